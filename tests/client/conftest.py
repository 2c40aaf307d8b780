"""A real bench over real sockets, for both clients."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests_support.asked_benches import TOKEN, AskedBench, asked_bench, with_questions


@pytest.fixture
def bench(tmp_path: Path, sim_bench: Any) -> Iterator[AskedBench]:
    """A bench with a socket, and a page behind a token; its sheet asks two questions."""
    token = tmp_path / "token"
    token.write_text(f"{TOKEN}\n")
    token.chmod(0o600)
    page = {"enabled": True, "port": 0, "token_file": str(token)}
    with asked_bench(tmp_path, sim_bench.folder, page=page, checks=with_questions(tmp_path)) as asked:
        yield asked

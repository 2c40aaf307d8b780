"""Nothing in the suite may touch what the user who runs it keeps."""

from __future__ import annotations

from collections.abc import Iterator

import pytest


@pytest.fixture(scope="session", autouse=True)
def data_folder_of_its_own(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """History and reports of this run go to a folder of its own (XDG Base Directory Specification)."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_DATA_HOME", str(tmp_path_factory.mktemp("data")))
        yield

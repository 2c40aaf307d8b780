"""A bench for checks."""

from __future__ import annotations

import pytest

from tests_support.crafts import Bench


@pytest.fixture
def bench() -> Bench:
    """A bench with a tongue that says everything."""
    return Bench()

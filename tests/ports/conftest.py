"""A real pseudo-terminal."""

from __future__ import annotations

import os
from collections.abc import Iterator

import pytest


@pytest.fixture
def terminal() -> Iterator[str]:
    """The path of a device that is there as long as the test runs."""
    master, slave = os.openpty()
    try:
        yield os.ttyname(slave)
    finally:
        os.close(master)
        os.close(slave)

"""Noticing who opens and closes a path."""

from __future__ import annotations

from collections.abc import AsyncIterator
from pathlib import Path

import pytest

from propsoff_sim.openings import Openings
from sim.reader import eventually


@pytest.fixture
async def openings() -> AsyncIterator[Openings]:
    """Closed after the test."""
    openings = Openings()
    yield openings
    openings.close()
    openings.close()


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A file to open and close."""
    path = tmp_path / "port"
    path.touch()
    return path


async def test_opening_and_closing_are_noticed_each_for_itself(openings: Openings, path: Path) -> None:
    seen: list[tuple[bool, bool]] = []
    openings.watch(str(path), lambda opened, closed: seen.append((opened, closed)))
    file = path.open()  # what is tested is what its opening and its closing do
    await eventually(lambda: seen == [(True, False)])
    file.close()
    await eventually(lambda: seen == [(True, False), (False, True)])


async def test_an_opening_and_a_closing_that_come_together_are_both_told(openings: Openings, path: Path) -> None:
    seen: list[tuple[bool, bool]] = []
    openings.watch(str(path), lambda opened, closed: seen.append((opened, closed)))
    path.read_bytes()
    await eventually(lambda: bool(seen))
    assert seen == [(True, True)]


async def test_a_forgotten_path_is_not_told_of_not_even_of_what_happened_before(openings: Openings, path: Path) -> None:
    seen: list[str] = []
    other = path.with_name("other")
    other.touch()
    forgotten = openings.watch(str(path), lambda opened, closed: seen.append("forgotten"))
    openings.watch(str(other), lambda opened, closed: seen.append("other"))
    path.read_bytes()
    assert forgotten is not None
    openings.forget(forgotten)
    openings.forget(forgotten)
    other.read_bytes()
    await eventually(lambda: bool(seen))
    assert seen == ["other"]


async def test_a_path_that_is_not_there_cannot_be_watched(openings: Openings, tmp_path: Path) -> None:
    assert openings.watch(str(tmp_path / "none"), lambda opened, closed: None) is None

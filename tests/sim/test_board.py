"""Facts by dotted path, and the layout of the overlay."""

from __future__ import annotations

import pytest

from propsoff_sim.board import fact, layout, with_fact, with_facts, with_raw
from propsoff_sim.catalogue import board


def test_a_fact_is_found_by_its_path() -> None:
    state = board("ossel-hd53")
    assert fact(state, "overlay.columns") == 53
    assert fact(state, "ports.1.roles") == ("receiver",)
    assert fact(state, "overlay.elements.0.name") == "battery"


def test_another_value_leaves_the_first_board_as_it_was() -> None:
    before = board("ossel-hd53")
    after = with_fact(before, "ports.1.baud", 1200)
    assert (before.ports[1].baud, after.ports[1].baud) == (420000, 1200)
    assert after.ports[0] is before.ports[0]


@pytest.mark.parametrize("path", ["overlay.colums", "ports.9.baud", "ports.first.baud", "label.first", "ports.-1"])
def test_a_path_that_leads_nowhere_is_an_error(path: str) -> None:
    with pytest.raises(KeyError):
        with_fact(board("ossel-hd53"), path, 1)
    with pytest.raises(KeyError):
        with_raw(board("ossel-hd53"), path, "x")


def test_several_facts_change_at_once() -> None:
    state = with_facts(board("ossel-hd53"), {"channels.low": 988, "channels.high": 2012})
    assert (state.channels.low, state.channels.high) == (988, 2012)


@pytest.mark.parametrize(("columns", "rows"), [(30, 13), (30, 16), (50, 18), (53, 20), (60, 22)])
def test_a_layout_uses_its_grid_and_stays_inside_without_overlap(columns: int, rows: int) -> None:
    elements = layout(columns, rows)
    cells = [(each.column + at, each.row) for each in elements for at in range(each.width)]
    assert len(cells) == len(set(cells))
    assert all(0 <= column < columns and 0 <= row < rows for column, row in cells)
    assert max(column for column, _ in cells) >= columns - 4
    assert max(row for _, row in cells) >= rows - 3

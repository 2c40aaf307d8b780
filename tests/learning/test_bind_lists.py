"""Rows that are the items of a list: channels now, reasons not to arm (common practice)."""

from __future__ import annotations

import pytest

from propsoff.learning.bind_lists import bind_lists
from propsoff.learning.model import Cell, RowSet

NOW = ["1500", "1501", "1000", "1499", "2000"]


def rows(path: tuple[str, ...], **columns: list[str]) -> RowSet:
    made = tuple(
        {name: Cell(text, at) for name, text in zip(columns, texts, strict=True)}
        for at, texts in enumerate(zip(*columns.values(), strict=True), 1)
    )
    return RowSet("page", {"table": "page"}, path, tuple(columns), made)


def bound(one: RowSet) -> dict[str, tuple[str, list[object]]]:
    found = {each.group: each for each in bind_lists(one)}
    assert all(each.is_list for each in found.values())
    return {
        group: (each.cells[0].column, [reading and reading.value for reading in each.cells[0].readings])
        for group, each in found.items()
    }


@pytest.mark.parametrize("count", [["1", "2", "3", "4", "5"], ["CH1", "CH2", "CH3", "CH4", "CH5"]])
def test_a_column_of_values_beside_numbers_that_count_up_is_what_the_channels_show(count: list[str]) -> None:
    assert bound(rows(("channels",), channel=count, now=NOW)) == {"channels.live": ("now", [*map(int, NOW)])}


def test_ends_and_defaults_beside_them_are_not_taken() -> None:
    count, low = ["1", "2", "3", "4", "5"], ["1000"] * 5
    assert bound(rows(("channels",), channel=count, min=low, now=NOW, max=["2000"] * 5))["channels.live"][0] == "now"
    assert bound(rows(("channels",), channel=count, min=low)) == {}
    assert bound(rows(("channels",), channel=count, low=low, centre=["1500"] * 5, high=["2000"] * 5)) == {}


@pytest.mark.parametrize(
    ("path", "count", "values"),
    [
        (("channels",), ["1", "2", "3", "4", "6"], NOW),  # one is missing
        (("motors",), ["1", "2", "3", "4", "5"], NOW),
        (("channels",), ["1", "2", "3", "4", "5"], ["1500", "1500", "0", "1500", "1500"]),
        (("channels",), ["roll", "pitch", "throttle", "yaw", "aux"], NOW),  # in which order nobody knows
    ],
)
def test_other_rows_are_none(path: tuple[str, ...], count: list[str], values: list[str]) -> None:
    assert bound(rows(path, n=count, value=values)) == {}


def test_reasons_that_are_all_known_are_the_blocks() -> None:
    found = bound(rows(("arming blocked by",), value=["usb connected", "no signal"]))
    assert found == {"arming.blocks": ("value", ["usb-connected", "no-receiver-link"])}


@pytest.mark.parametrize(
    ("path", "texts"), [(("arming blocked by",), ["usb", "rain"]), (("failsafe",), ["no signal", "usb"])]
)
def test_unknown_reasons_and_other_lists_are_not(path: tuple[str, ...], texts: list[str]) -> None:
    assert bound(rows(path, value=texts)) == {}

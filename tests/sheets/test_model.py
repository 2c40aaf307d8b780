"""Expectations and grids."""

from __future__ import annotations

import pickle

import pytest

from propsoff.sheets.expect import Expected, either
from propsoff.sheets.model import GRIDS, BuildSheet, Grid, grid_of


@pytest.mark.parametrize(
    ("values", "value", "allowed"),
    [
        (("crsf",), "crsf", True),
        (("crsf",), "CRSF", True),
        (("crsf", "sbus"), "sbus", True),
        (("crsf",), "ibus", False),
        (("crsf",), None, False),  # not read never counts as right
        ((True,), True, True),
        ((True,), 1, False),
        ((1,), True, False),
        ((3.0,), 3, True),
        (("1",), 1, False),
    ],
)
def test_any_one_of_the_values_will_do(
    values: tuple[str | int | float | bool, ...], value: object, allowed: bool
) -> None:
    assert Expected(values).allows(value) is allowed


def test_only_a_single_value_can_be_set() -> None:
    assert Expected(("crsf",)).only == "crsf"
    assert Expected(("crsf", "sbus")).only is None
    assert str(Expected(("crsf", "sbus", "ibus"))) == "crsf, sbus or ibus"
    assert either([]) == ""


def test_named_grids_are_those_of_the_trade() -> None:
    # MAX7456 data sheet 19-0576: 30 columns, 13 and 16 rows; the digital ones are common practice, 60x22 from memory.
    sizes = {name: (grid.columns, grid.rows) for name, grid in GRIDS.items()}
    assert sizes == {
        "ntsc": (30, 13),
        "pal": (30, 16),
        "hd-50x18": (50, 18),
        "hd-53x20": (53, 20),
        "hd-60x22": (60, 22),
    }


@pytest.mark.parametrize(
    ("text", "grid"),
    [
        ("pal", Grid(30, 16, "pal")),
        ("30x16", Grid(30, 16, "pal")),
        ("53 X 20", Grid(53, 20, "hd-53x20")),
        ("64×24", Grid(64, 24)),
        ("64x", None),
        ("", None),
        ("wide", None),
        ("123456x1", None),
    ],
)
def test_a_grid_is_given_by_name_or_by_size(text: str, grid: Grid | None) -> None:
    assert grid_of(text) == grid


def test_a_sheet_travels_to_another_process() -> None:
    sheet = BuildSheet("n", "t", "s", (), {"channels.order": Expected(("AETR",))}, {"digital": (Grid(53, 20),)})
    assert pickle.loads(pickle.dumps(sheet)) == sheet

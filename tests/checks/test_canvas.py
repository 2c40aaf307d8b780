"""What the overlay checks have in common: which grid is meant, and what the pilot sees of one on another."""

from __future__ import annotations

import pytest

from propsoff import OverlayElement, Size
from propsoff_checks.canvas import DIGITAL, LARGEST, NTSC, PAL, name_of, names, nearest, seen


@pytest.mark.parametrize(
    ("found", "meant"),
    [
        # Cells by which columns and rows differ, together (computed).
        ((30, 16), (50, 18)),  # 20 + 2 against 23 + 4
        ((50, 18), (50, 18)),
        ((51, 20), (53, 20)),  # 2 + 0 against 1 + 2: nearer in columns alone is not nearer
        ((52, 18), (50, 18)),  # 2 + 0 against 1 + 2
        ((47, 22), (50, 18)),  # 3 + 4 against 6 + 2 and 13 + 0
        ((58, 22), (60, 22)),
        ((99, 99), (60, 22)),
        ((60, 10), (60, 22)),  # 0 + 12 against 7 + 10 and 10 + 8
    ],
)
def test_the_grid_that_is_meant_is_the_one_that_differs_least(found: tuple[int, int], meant: tuple[int, int]) -> None:
    assert nearest(Size(*found), DIGITAL) == meant
    assert nearest(Size(*found), tuple(reversed(DIGITAL))) == meant


@pytest.mark.parametrize(
    ("found", "drawn", "clustered"),
    [
        # "A grid that is too small leaves the layout clustered in the upper-left corner": common practice
        ((30, 16), (53, 20), True),
        ((30, 13), (50, 18), True),
        ((30, 16), (31, 17), True),
        ((30, 20), (53, 20), False),  # as high as it should be: along the left, not in the corner
        ((30, 22), (53, 20), False),
        ((31, 16), (53, 20), False),
        ((30, 13), (30, 16), False),  # an analogue picture has no other width
        ((50, 18), (53, 20), False),
        ((60, 22), (53, 20), False),
    ],
)
def test_an_analogue_layout_on_a_digital_display_sits_in_the_corner(
    found: tuple[int, int], drawn: tuple[int, int], clustered: bool
) -> None:
    assert ("upper left" in seen(Size(*found), Size(*drawn))) is clustered


@pytest.mark.parametrize(
    ("found", "drawn", "says", "not_a_word_of"),
    [
        ((53, 19), (53, 20), "1 row is unused at the bottom (it reaches 19/20 of the height, 95%)", "column"),
        ((53, 18), (53, 20), "2 rows are unused", "column"),
        ((53, 21), (53, 20), "the last row of 21 lies beyond the bottom", "column"),
        ((53, 22), (53, 20), "the last 2 rows of 22 lie beyond the bottom", "column"),
        ((52, 20), (53, 20), "1 column is unused at the right edge (it reaches 52/53 of the width, 98%)", "row"),
        ((51, 20), (53, 20), "2 columns are unused", "row"),
        ((55, 20), (53, 20), "the last 2 columns of 55 lie beyond the right edge", "row"),
    ],
)
def test_one_way_amiss_is_told_and_the_other_is_not(
    found: tuple[int, int], drawn: tuple[int, int], says: str, not_a_word_of: str
) -> None:
    words = seen(Size(*found), Size(*drawn))
    assert says in words
    assert not_a_word_of not in words
    assert ";" not in words


def test_no_display_draws_as_many_columns_or_rows_as_are_called_absurd() -> None:
    """Twice 50: the widest known grid has 60 columns (from memory)."""
    assert max(max(size) for size in (NTSC, PAL, *DIGITAL)) == 60
    assert LARGEST == 100


def test_elements_are_called_by_their_names() -> None:
    battery, nameless = OverlayElement("battery"), OverlayElement(None)
    assert [name_of(battery), name_of(nameless), name_of(OverlayElement(""))] == [
        "battery",
        "unnamed element",
        "unnamed element",
    ]
    assert names([battery, nameless]) == "battery and unnamed element"
    assert len(name_of(OverlayElement("x" * 5000))) < 200

"""The canonical text of a channel order, and its parts."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from propsoff.craft.order import order_of, parts_of

PARTS = st.lists(st.sampled_from([*"AETR", *map(str, range(1, 17))]), max_size=12)


@pytest.mark.parametrize(
    ("parts", "order"),
    [
        ("A E T R", "AETR"),
        ("A E T R 1 2 3 4", "AETR"),
        ("A E T R 1 2 3 4 5 6 7 8 9 10 11 12", "AETR"),
        ("A E T R 2 1 3", "AETR 2 1 3"),
        ("A E T R 1 2 4", "AETR 1 2 4"),
        ("A 1 E T R", "A 1 ETR"),
        ("A E T 1 R 2", "AET 1 R 2"),
        ("1 A E T R", "1 AETR"),
        ("A E T E 1 2", "AETE"),
        ("A E T 1 2", "AET"),
        ("1 2 3", "1 2 3"),
        ("", ""),
    ],
)
def test_numbers_that_run_on_at_the_end_are_left_out_and_others_stand_apart(parts: str, order: str) -> None:
    assert order_of(parts.split()) == order
    assert order_of(parts_of(order)) == order


@given(parts=PARTS)
def test_an_order_keeps_its_parts_but_for_numbers_that_run_on_at_the_end(parts: list[str]) -> None:
    kept = parts_of(order_of(parts))
    left_out = parts[len(kept) :]
    assert kept == parts[: len(kept)]
    assert left_out == [str(number + 1) for number in range(len(left_out))]

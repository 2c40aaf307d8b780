"""The same fault on several craft."""

from __future__ import annotations

import io

from propsoff.outputs.shared_causes import Cause, SharedCause, shared_causes, show_shared
from propsoff.outputs.terminal import console_for

GRID = Cause("overlay-canvas/grid", "laid out for 50x18")
ORDER = Cause("channel-order/order", "swapped")


def test_what_several_craft_have_is_named_with_them_and_what_one_has_is_not() -> None:
    seen = [("a", [GRID, ORDER]), ("b", [Cause("overlay-canvas/grid", "laid out for 30x16")]), ("c", [])]
    assert shared_causes(seen) == [SharedCause("overlay-canvas/grid", "laid out for 50x18", ("a", "b"))]


def test_a_craft_that_has_it_twice_counts_once_and_the_commonest_comes_first() -> None:
    seen = [("a", [ORDER, ORDER]), ("b", [GRID]), ("c", [GRID]), ("d", [ORDER]), ("e", [GRID])]
    assert [(cause.name, cause.labels) for cause in shared_causes(seen)] == [
        ("overlay-canvas/grid", ("b", "c", "e")),
        ("channel-order/order", ("a", "d")),
    ]
    assert shared_causes([("a", [ORDER, ORDER])]) == []


def test_it_is_printed_with_the_craft_and_nothing_that_a_terminal_would_obey() -> None:
    stream = io.StringIO()
    show_shared([SharedCause("a/b", "says", tuple(f"craft\x1b[31m{n}" for n in range(15)))], console_for(stream))
    text = stream.getvalue()
    assert "the same on 15 craft: a/b" in text
    assert "and 3 more" in text
    assert "\x1b[31m" not in text

"""Lists whose items stand on lines of their own, below a line that says what they are."""

from __future__ import annotations

import pytest

from dialects.toys import FIRST, craft_of, mistake

DEEPER = """
grammar = "lines"
lines = ["volts {v:number}"]
words.v = "battery.volts"
[[reads.lists]]
fact = "arming.blocks"
below = ["grounded by:", "grounded by {_:int}:"]
line = "{item:rest}"
field = "item"
as = "choice"
words = { link = "no-receiver-link", usb = "usb-connected" }
"""
MARKED = DEEPER.replace('"{item:rest}"', '"- {item:rest}"')


@pytest.mark.parametrize("head", ["grounded by:", "grounded by 2:", "  grounded by:"])
def test_the_lines_that_stand_deeper_are_its_items(head: str) -> None:
    craft = craft_of(DEEPER, f"volts 11.1\n{head}\n    link\n    usb\nvolts 11.1")
    assert (craft.arming.blocks, craft.battery.volts) == (("no-receiver-link", "usb-connected"), 11.1)
    assert craft.provenance["arming.blocks"] == (FIRST + 2, FIRST + 3)
    assert (craft.problems, craft.unread) == ((), ())


@pytest.mark.parametrize("between", ["\n", "volts 9\n", "link\n"])
def test_only_the_very_next_lines_are_items(between: str) -> None:
    craft = craft_of(DEEPER, f"grounded by:\n{between}    usb")
    assert craft.arming.blocks is None  # nor is it known that there are none
    assert "usb" in [text.strip() for _, text in craft.unread]


def test_with_a_mark_they_need_not_stand_deeper() -> None:
    assert craft_of(MARKED, "grounded by:\n- usb\n- link").arming.blocks == ("usb-connected", "no-receiver-link")
    assert craft_of(DEEPER, "grounded by:\nusb").arming.blocks is None


def test_without_its_line_nothing_is_known() -> None:
    craft = craft_of(MARKED, "- usb")
    assert craft.arming.blocks is None
    assert [text for _, text in craft.unread] == ["- usb"]


def test_an_item_that_nobody_knows_leaves_the_list_unread() -> None:
    craft = craft_of(DEEPER, "grounded by:\n    rain\n    usb")
    assert craft.arming.blocks is None
    assert any(problem.fact == "arming.blocks" for problem in craft.problems)


def test_of_a_reply_that_stops_short_the_list_is_not_known() -> None:
    assert craft_of(DEEPER, "grounded by:\n    usb", done=False).arming.blocks is None


def test_only_the_grammar_of_lines_knows_such_lists() -> None:
    read = DEEPER.replace('grammar = "lines"', 'grammar = "pairs"\nline = "{key:words} {value:word}"')
    read = read.replace('lines = ["volts {v:number}"]\n', "").replace('line = "{item:rest}"\n', 'key = "x"\n')
    assert "below" in str(mistake(read.replace('field = "item"\n', "")))

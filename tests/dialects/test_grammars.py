"""The grammars beyond what the built-in dialects need, each with a small dialect of its own."""

from __future__ import annotations

from typing import Any

import pytest

from propsoff.console.capture import Event, Capture
from propsoff.craft.model import Craft, OverlayElement, Switch, Uart
from propsoff.dialects.load import parse_dialect
from propsoff.dialects.read import read_craft

HEAD = """
format = 1
id = "toy"
title = "Toy"
[console]
line_end = "\\n"
echo = false
prompt = "> "
comments = ["# {_:rest}"]
[identity]
command = "id"
known_by = "Toy"
grammar = "lines"
lines = ["Toy {v:word}"]
words.v = "firmware.version"
[[reads]]
command = "all"
"""


def craft_of(read: str, reply: str) -> Craft:
    """What a dialect with this one read makes of this reply."""
    dialect = parse_dialect(HEAD + read, "toy.toml")
    turns = (("\n", "\n> "), ("id\n", "\nToy 1.0\n> "), ("all\n", f"\n{reply}\n> "))
    events = [event for sent, got in turns for event in (Event(0.0, "i", sent), Event(0.0, "o", got))]
    return read_craft(Capture(tuple(events), 0.0), dialect).craft


LINES = """
grammar = "lines"
lines = ["Channels arrive as {order:word}", "{cells:int} cells at {volts:number} V", "Low is {low:word}"]
[reads.words]
order = { fact = "channels.order", as = "letters" }
cells = "battery.cells"
volts = "battery.volts"
low = { fact = "channels.low", as = "integer", base = 16, prefix = "0x" }
[[reads.rows]]
group = "ports"
line = "Port {id:word}: {roles:words} ({baud:int})"
fields.id = "id"
fields.roles = { fact = "roles", as = "list", separator = ", ", each = "role" }
fields.baud = "baud"
[[reads.lists]]
fact = "arming.blocks"
line = "Cannot arm: {why:rest}"
field = "why"
as = "choice"
words = { "no link" = "no-receiver-link" }
others = "keep"
[decoders.role]
as = "choice"
words = { radio = "receiver", "on-screen text" = "overlay-link" }
"""
LINES_REPLY = """\
# what there is
Channels arrive as TAER1234
6 cells at 24.6 V
Low is 0x3e8
Port A: radio (420000)
Port B: radio, on-screen text (9600)
Cannot arm: no link
Cannot arm: it is Monday
What is this"""


def test_lines_are_read_by_templates() -> None:
    craft = craft_of(LINES, LINES_REPLY)
    assert (craft.channels.order, craft.channels.low) == ("TAER1234", 1000)
    assert (craft.battery.cells, craft.battery.volts) == (6, 24.6)
    assert craft.ports == (Uart("A", ("receiver",), 420000), Uart("B", ("receiver", "overlay-link"), 9600))
    assert craft.arming.blocks == ("no-receiver-link", "it is Monday")
    assert [text for _, text in craft.unread] == ["What is this"]
    assert craft.problems == ()


TABLE = """
grammar = "table"
title = "[{table:words}]"
[reads.words]
"main.order" = { fact = "channels.order", as = "letters" }
"limits.stick.low" = "channels.low"
"limits.stick.high" = "channels.high"
[[reads.rows]]
group = "overlay.elements"
table = "on screen"
fields.what = "name"
fields.col = "column"
fields.row = "row"
"""
TABLE_REPLY = """\
[main]
word   value
order  AETR12

[limits]
what   low   high
stick  1000  2000

[on screen]
what           col  row
craft name       2    3
link quality    10
"""


def test_tables_without_rule_and_count_end_with_a_blank_line() -> None:
    craft = craft_of(TABLE, TABLE_REPLY.replace("  2    3", "2    3").replace("    10", " 10"))
    assert craft.problems == ()


def test_cells_under_their_headers_are_read_whatever_they_hold() -> None:
    reply = TABLE_REPLY.replace("craft name       2    3", "craft name     2    3").replace(
        "link quality    10", "link quality   10"
    )
    craft = craft_of(TABLE, reply)
    assert (craft.channels.order, craft.channels.low, craft.channels.high) == ("AETR12", 1000, 2000)
    assert craft.overlay.elements is not None
    assert craft.overlay.elements[0] == OverlayElement("craft name", 2, 3)
    assert (craft.overlay.elements[1].name, craft.overlay.elements[1].column) == ("link quality", 10)
    assert [problem.message for problem in craft.problems] == ["expected a number, found ''"]  # an empty cell

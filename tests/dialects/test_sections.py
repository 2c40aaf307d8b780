"""The grammar `sections`: headings, nesting by indentation, and what happens when a heading is lost."""

from __future__ import annotations

import pytest

from dialects.toys import FIRST, STARTS, craft_of, mistake, toy
from propsoff.craft.model import Uart

FLAT = """
ends = "-- {count:int} lines"
grammar = "sections"
headings = ["[{section:words}]", "* {section:word} *"]
line = "{key:word} = {value:rest}"
ignore = ["radio.colour"]
[reads.words]
board = "board.name"
"radio.kind" = { fact = "receiver.kind", as = "choice", words = { uart = "serial" } }
"radio.link.port" = "receiver.port"
"radio.link.speed" = "battery.cells"
"range.low" = "channels.low"
"range.high" = { fact = "channels.high", also = ["range.top"] }
"seen.port" = "craft.name"
[[reads.rows]]
group = "ports"
key = "port {id:word}.{member:word}"
fields.id = "id"
fields.roles = { fact = "roles", as = "list", separator = "+", each = { as = "choice", words = { rx = "receiver" } } }
fields.baud = "baud"
[[reads.lists]]
fact = "arming.blocks"
key = "held.{n:int}"
index = "n"
none_when_absent = true
[say]
set = "set {section} {key} {value}"
"""
LINES = [
    "board = LOOM-F4", "[radio]", "kind = uart", "colour = red", "[radio.link]", "port = P2", "speed = 6",
    "* range *", "low = 1000", "top = 2000", "[port P1]", "roles = rx", "baud = 420000", "[held]", "1 = link down",
]  # fmt: skip


def counted(lines: list[str], says: int | None = None) -> str:
    return "\n".join([*lines, f"-- {len(lines) if says is None else says} lines"])


def test_a_word_is_its_section_and_its_key() -> None:
    craft = craft_of(FLAT, counted(LINES))
    assert (craft.board.name, craft.receiver.kind, craft.receiver.port) == ("LOOM-F4", "serial", "P2")
    assert (craft.battery.cells, craft.channels.low, craft.channels.high) == (6, 1000, 2000)
    assert craft.ports == (Uart("P1", ("receiver",), 420000),)
    assert craft.arming.blocks == ("link down",)
    assert (craft.problems, craft.unread) == ((), ())
    assert craft.provenance["receiver.port"] == (FIRST + 5,)


def test_a_listing_without_a_section_says_that_its_list_is_empty() -> None:
    assert craft_of(FLAT, counted(LINES[:-2])).arming.blocks == ()


def test_keys_outside_their_section_are_unread() -> None:
    craft = craft_of(FLAT, counted(["kind = uart", "[range]", "kind = uart", "[radio]", "low = 1000"]))
    assert (craft.receiver.kind, craft.channels.low) == (None, None)
    assert [text for _, text in craft.unread] == ["kind = uart", "kind = uart", "low = 1000"]


def test_what_stands_below_a_garbled_heading_belongs_to_nobody() -> None:
    garbled = [line.replace("[radio.link]", "[radio.li") for line in LINES]
    craft = craft_of(FLAT, counted(garbled))
    assert (craft.receiver.port, craft.battery.cells) == (None, None)
    assert (craft.receiver.kind, craft.channels.low) == ("serial", 1000)
    assert [text for _, text in craft.unread] == ["[radio.li", "port = P2", "speed = 6"]
    (problem,) = craft.problems
    assert "a heading was lost" in problem.message
    assert (problem.line, problem.gap) == (FIRST + 5, True)


def test_comments_and_blank_lines_lose_no_section() -> None:
    craft = craft_of(FLAT, counted([*LINES[:2], "", "# the radio", *LINES[2:]]))
    assert craft.receiver.kind == "serial"
    assert craft.problems == ()


def test_of_a_torn_reply_only_keys_that_stand_in_one_section_are_taken() -> None:
    # The heading [radio.link] is missing altogether: `port` also stands in [seen], nothing else has a `speed`.
    lines = [*LINES[:3], "[seen]", *LINES[5:]]
    craft = craft_of(FLAT, counted(lines, len(LINES)))
    assert (craft.craft.name, craft.receiver.port) == (None, None)
    assert (craft.receiver.kind, craft.channels.low) == ("serial", 1000)
    assert craft.ports is None
    told = {problem.fact: problem.message for problem in craft.problems}
    assert "several sections" in told["craft.name"]
    assert "ports" in told


def test_a_setting_is_said_by_section_and_key() -> None:
    dialect = toy(FLAT)
    assert dialect.say("receiver.port", "P3") == ("set radio.link port P3",)
    assert dialect.say("ports[].baud", 9600, row={"id": "P1"}) == ("set port P1 baud 9600",)


NESTED = """
grammar = "sections"
headings = "{section:words}:"
line = "{key:word}: {value:rest}"
indented = true
[reads.words]
"board" = "board.name"
"radio.kind" = { fact = "receiver.kind", as = "choice", words = { uart = "serial" } }
"radio.link.port" = "receiver.port"
"radio.link.label" = "craft.name"
"radio.after" = "receiver.protocol"
"range.low" = "channels.low"
"range.top" = "channels.high"
"""
TREE = """\
board: LOOM-F4
radio:
  kind: uart
  link:
      port: P2
      label:
  after: crsf
range:
\tlow: 1000
        top: 2000"""


def test_blocks_nest_by_indentation() -> None:
    craft = craft_of(NESTED, TREE)
    assert (craft.board.name, craft.receiver.kind, craft.receiver.port) == ("LOOM-F4", "serial", "P2")
    assert (craft.receiver.protocol, craft.channels.low, craft.channels.high) == ("crsf", 1000, 2000)
    assert craft.craft.name == ""  # nothing stands deeper below it: a setting without a value, not a heading
    assert (craft.problems, craft.unread) == ((), ())


@pytest.mark.parametrize(
    ("old", "new", "unread"),
    [
        ("  link:\n", "", ["port: P2", "label:"]),  # deeper without a heading
        ("  link:\n", "  li\n", ["li", "port: P2", "label:"]),
        ("  after: crsf\n", "    after: crsf\n", ["after: crsf"]),  # as deep as nothing before it
    ],
)
def test_a_line_indented_as_no_other_of_its_block_is_unread(old: str, new: str, unread: list[str]) -> None:
    assert TREE.count(old) == 1
    craft = craft_of(NESTED, TREE.replace(old, new))
    assert [text.strip() for _, text in craft.unread] == unread
    assert any("a heading was lost" in problem.message for problem in craft.problems)
    assert (craft.receiver.kind, craft.channels.low) == ("serial", 1000)


def test_a_heading_below_which_nothing_stands_opens_an_empty_block() -> None:
    craft = craft_of(NESTED.replace("{key:word}: ", "{key:word} is "), "radio:\nrange:\n low is 1000")
    assert (craft.channels.low, craft.unread, craft.problems) == (1000, (), ())


@pytest.mark.parametrize(
    ("old", "new", "line", "key", "says"),
    [
        ('headings = "{section:words}:"\n', "", None, None, "'headings' is missing"),
        ("{section:words}:", "{name:words}:", 2, "headings", "the one field {section:word}"),
        ('"{section:words}:"', "[]", 2, "headings", "at least one line template"),
        ("{key:word}: ", "{k:word}: ", 3, "line", "the fields key and value"),
        ("indented = true", "indented = 1", 4, "indented", "expected true or false"),
        ("indented = true", "idented = true", 4, "idented", "did you mean 'indented'?"),
        ("board.name", "board.nam", 6, "words.board", "did you mean 'board.name'?"),
    ],
)
def test_a_mistake_names_its_line_and_key(old: str, new: str, line: int | None, key: str | None, says: str) -> None:
    assert NESTED.count(old) == 1
    error = mistake(NESTED.replace(old, new))
    assert says in str(error)
    if line is not None:
        assert (error.line, error.key) == (STARTS + line + 1, f"reads[0].{key}")

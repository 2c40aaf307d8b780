"""The grammars beyond what the built-in dialects need, each with a small dialect of its own."""

from __future__ import annotations

import re

import pytest

from dialects.conversations import brindle
from dialects.samples import BRINDLE_VIEW
from dialects.toys import HEAD, craft_of
from propsoff.console.capture import Capture, Event
from propsoff.craft.model import OverlayElement, Switch, Uart
from propsoff.dialects.catalogue import catalogue
from propsoff.dialects.load import parse_dialect
from propsoff.dialects.read import read_craft
from propsoff.exceptions import DialectError

LINES = """
grammar = "lines"
lines = ["Channels arrive as {order:word}", "{cells:int} cells at {volts:number} V", "Low is {low:word}"]
[reads.words]
order = { fact = "channels.order", as = "letters", separator = "-" }
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
Channels arrive as T-A-E-R-1-2
6 cells at 24.6 V
Low is 0x3e8
Port A: radio (420000)
Port B: radio, on-screen text (9600)
Cannot arm: no link
Cannot arm: it is Monday
What is this"""


def test_lines_are_read_by_templates() -> None:
    craft = craft_of(LINES, LINES_REPLY)
    assert (craft.channels.order, craft.channels.low) == ("TAER", 1000)
    assert (craft.battery.cells, craft.battery.volts) == (6, 24.6)
    assert craft.ports == (Uart("A", ("receiver",), 420000), Uart("B", ("receiver", "overlay-link"), 9600))
    assert craft.arming.blocks == ("no-receiver-link", "it is Monday")
    assert [text for _, text in craft.unread] == ["What is this"]
    assert craft.problems == ()


def test_rows_of_a_reply_that_is_cut_are_said_to_be_perhaps_not_all() -> None:
    dialect = parse_dialect(HEAD + LINES, "toy.toml")
    events = (Event(0.0, "i", "all\n"), Event(0.0, "o", "\n" + LINES_REPLY.partition("Cannot arm: it")[0]))
    craft = read_craft(Capture(events, 0.0), dialect).craft
    assert {problem.fact for problem in craft.problems} == {None, "ports", "arming.blocks"}
    assert craft.ports is not None
    assert (len(craft.ports), craft.arming.blocks) == (2, None)


def test_a_listing_that_is_whole_and_names_none_states_that_there_are_none() -> None:
    silent = LINES.replace("fields.id", "none_when_absent = true\nfields.id").replace(
        'field = "why"', 'field = "why"\nnone_when_absent = true'
    )
    assert (craft_of(LINES, "").ports, craft_of(LINES, "").arming.blocks) == (None, None)
    assert (craft_of(silent, "").ports, craft_of(silent, "").arming.blocks) == ((), ())


def test_a_list_of_more_than_1024_entries_stays_unread() -> None:
    craft = craft_of(LINES, "Cannot arm: x\n" * 1025)
    assert craft.arming.blocks is None
    assert [problem.message for problem in craft.problems] == ["more than 1024 entries"]
    assert len(craft_of(LINES, "Cannot arm: x\n" * 1024).arming.blocks or ()) == 1024


TABLE = """
grammar = "table"
title = "[{table:words}]"
[reads.words]
"main.order" = { fact = "channels.order", as = "letters", separator = " " }
"limits.stick.low" = "channels.low"
"limits.stick.high" = "channels.high"
[[reads.rows]]
group = "overlay.elements"
table = "on screen"
fields.what = "name"
fields.col = { fact = "column", missing = ["-", ""] }
fields.row = "row"
"""
TABLE_REPLY = """\
[main]
word   value
order  A E T R

[limits]
what   low   high
stick  1000  2000

[on screen]
what          col  row
craft name    2    3
link quality       10
"""


def test_tables_without_rule_and_count_end_with_a_blank_line() -> None:
    craft = craft_of(TABLE, TABLE_REPLY)
    assert (craft.channels.order, craft.channels.low, craft.channels.high) == ("AETR", 1000, 2000)
    assert craft.overlay.elements == (OverlayElement("craft name", 2, 3), OverlayElement("link quality", None, 10))
    assert (craft.problems, craft.unread) == ((), ())


@pytest.mark.parametrize(
    ("old", "new", "why", "rows"),
    [
        ("craft name    2    3", "craft nme    2    3", "do not stand under the headers", 1),  # a byte was lost
        ("craft name    2    3", "craft name   2     3", "do not stand under the headers", 1),
        ("craft name    2    3", "  craft name  2    3", "do not stand under the headers", 1),
        ("what          col  row", "what          cl   row", "has no column 'col'", 2),
    ],
)
def test_rows_that_do_not_stand_under_their_headers_are_left_out_and_said(
    old: str, new: str, why: str, rows: int
) -> None:
    assert old in TABLE_REPLY
    craft = craft_of(TABLE, TABLE_REPLY.replace(old, new))
    assert [why in problem.message for problem in craft.problems] == [True]
    assert craft.problems[0].fact == "overlay.elements"
    assert craft.overlay.elements is not None
    assert len(craft.overlay.elements) == rows


def test_a_rule_that_comes_late_leaves_the_rows_before_it_as_they_were_read() -> None:
    ruled = TABLE.replace("[reads.words]", 'rule = "-"\n[reads.words]', 1)
    craft = craft_of(ruled, TABLE_REPLY.replace("order  A E T R\n", "order  A E T R\n-----  ----  --\n"))
    assert craft.channels.order == "AETR"
    assert craft.channels.low == 1000
    assert (craft.problems, craft.unread) == ((), ())


@pytest.mark.parametrize(
    ("old", "new", "why", "facts"),
    [
        (
            "(2 rows)\n\n= wires",
            "(3 rows)\n\n= wires",
            "table 'levers' says that it has 3 rows, 2 were read",
            "switches",
        ),
        ("(8 rows)\n\n= levers", "= levers", "table 'input' stops short here", "channels.live"),
        ("4   1502\n", "", "expected entry 4 here", "channels.live"),
        ("2   host attached", "3   host attached", "expected entry 2 here", "arming.blocks"),
    ],
)
def test_a_table_that_lacks_something_says_so(old: str, new: str, why: str, facts: str) -> None:
    assert BRINDLE_VIEW.count(old) == 1
    brindle_dialect = next(dialect for dialect in catalogue().dialects if dialect.id == "brindle")
    craft = read_craft(brindle(BRINDLE_VIEW.replace(old, new)), brindle_dialect).craft
    told = [problem for problem in craft.problems if problem.fact == facts]
    assert any(why in problem.message for problem in told)
    assert (craft.value(facts) is None) == (facts != "switches")  # rows are kept, a list is not


JSON = """
grammar = "json"
[reads.words]
"esc[1].kind" = "motors.protocol"
'odd."a.b"' = "craft.name"
when = { fact = "failsafe.delay_s", unit = "ms", also = ["when_ms"] }
[[reads.rows]]
group = "switches"
path = "a.modes"
index = "no"
fields.does = "function"
fields.ch = "channel"
[[reads.lists]]
fact = "channels.live"
path = "sticks"
field = "us"
"""
PLACES = """
grammar = "json"
ignore = ["debug", "marks[].colour"]
[reads.words.grid]
items = ["w", "h"]
fields = { w = "overlay.columns", h = "overlay.rows" }
[[reads.rows]]
group = "overlay.elements"
path = "marks"
fields.id = "name"
fields.at = { items = ["x", "y"], fields = { x = "column", y = "row" } }
"""


def test_lists_are_split_by_position_and_what_is_ignored_is_not_unread() -> None:
    reply = '{"debug": {"a": [1]}, "grid": [53, 20],\n"marks": [{"id": "a", "at": [1, 2], "colour": 7}]}'
    craft = craft_of(PLACES, reply)
    assert (craft.overlay.columns, craft.overlay.rows) == (53, 20)
    assert craft.overlay.elements == (OverlayElement("a", 1, 2),)
    assert (craft.problems, craft.unread) == ((), ())


@pytest.mark.parametrize(
    ("grid", "why"),
    [
        ("[53]", "expected a list of 2, found [53]"),
        ('"53x20"', "expected a list of 2, found '53x20'"),
        ("5", "list of 2"),
    ],
)
def test_a_list_of_another_length_is_a_problem_for_each_of_its_facts(grid: str, why: str) -> None:
    craft = craft_of(PLACES, f'{{"grid": {grid}, "marks": [{{"id": "a", "at": {grid}}}]}}')
    assert (craft.overlay.columns, craft.overlay.elements) == (None, (OverlayElement("a"),))
    facts = [problem.fact for problem in craft.problems if why in problem.message]
    assert facts == ["overlay.columns", "overlay.rows", "overlay.elements[0].column"]


def test_paths_lead_into_lists_and_through_odd_names() -> None:
    reply = """{"esc": [{"kind": "a"}, {"kind": "dshot300"}], "odd": {"a.b": "Teal"}, "when_ms": 1500,
      "a": {"modes": [{"no": 1, "does": "arm", "ch": 5}, {"no": 2, "does": "beeper", "ch": null}]},
      "sticks": [{"us": 1500}, {"us": 1000}]}"""
    craft = craft_of(JSON, reply)
    assert (craft.motors.protocol, craft.craft.name, craft.failsafe.delay_s) == ("dshot300", "Teal", 1.5)
    assert craft.switches == (Switch("arm", 5), Switch("beeper", None))
    assert craft.channels.live == (1500, 1000)
    assert craft.problems == ()
    assert [number for number, _ in craft.unread] == [5]  # esc[0].kind is no word


@pytest.mark.parametrize(
    ("reply", "why", "fact"),
    [
        ('{"a": {"modes": 5}}', "expected a list", "switches"),
        ('{"a": {"modes": [5]}}', "expected an object in the list", "switches"),
        ('{"a": {"modes": [{"no": 2}]}}', "expected entry 1 here", "switches"),
        ('{"sticks": [{"us": null}]}', "an entry of the list says nothing", "channels.live"),
        ('{"sticks": [{"us": "x"}]}', "expected a number, found 'x'", "channels.live"),
        ('{"sticks": [{"us": 1}, {"us"', "the document breaks off", None),
        ('{"a": {"modes": [{"no": 1, "ch": 5, "ch": 6}]}}', "'ch' stands twice", "switches"),
        ("not a document", None, None),
    ],
)
def test_a_document_of_another_shape_is_a_problem(reply: str, why: str | None, fact: str | None) -> None:
    craft = craft_of(JSON, reply)
    assert craft.channels.live is None
    if why is None:
        assert [text for _, text in craft.unread] == [reply]
    else:
        assert any(why in problem.message and problem.fact == fact and problem.line for problem in craft.problems)


def test_null_above_known_words_says_nothing() -> None:
    craft = craft_of(JSON, '{"a": null, "odd": null, "esc": null, "sticks": null, "when": null}')
    assert (craft.switches, craft.channels.live, craft.problems, craft.unread) == (None, None, (), ())


PAIRS = """
grammar = "pairs"
line = "{key:words} = {value:rest}"
ignore = ["build host", "debug.{_:rest}"]
[reads.words]
"craft name" = "craft.name"
"loop" = { fact = "motors.loop_hz", unit = "us", also = ["loop time"] }
[[reads.rows]]
group = "ports"
key = "port {id:word}"
fields.id = "id"
fields.value = { fact = "roles", as = "list", separator = " ", each = { as = "choice", words = { rx = "receiver" } } }
"""


@pytest.mark.parametrize("word", ["loop", "loop time"])
def test_pairs_may_have_any_mark_keys_of_several_words_and_further_names(word: str) -> None:
    reply = f"craft name = Teal = Wren\n{word} = 125\nbuild host = x\ndebug.a = 1\nport 1 = rx\nport 2 =\nother = 1"
    craft = craft_of(PAIRS, reply)
    assert (craft.craft.name, craft.motors.loop_hz) == ("Teal = Wren", 8000)
    assert craft.ports == (Uart("1", ("receiver",)), Uart("2", ()))
    assert [text for _, text in craft.unread] == ["other = 1"]


def test_two_names_of_one_word_that_differ_are_a_contradiction() -> None:
    craft = craft_of(PAIRS, "loop = 125\nloop time = 250")
    assert craft.motors.loop_hz is None
    assert "stated twice" in craft.problems[0].message
    assert craft.problems[0].line == 6


@pytest.mark.parametrize(
    ("read", "says"),
    [
        (LINES.replace('"Low is {low:word}"', '"Low is {lw:word}"'), "field 'lw'"),
        (LINES.replace(', "Low is {low:word}"', ""), "no line has a field 'low'"),
        (LINES.replace("fields.baud", "fields.bauds"), "no such field in the template"),
        (TABLE.replace("{table:words}", "{name:words}"), "the title has the one field"),
        (TABLE.replace("[reads.words]", 'row_count = "({count:word} rows)"\n[reads.words]'), "{count:int}"),
        (TABLE.replace("[reads.words]", 'rule = "--"\n[reads.words]'), "one character"),
        (PAIRS.replace('also = ["loop time"]', 'also = ["craft name"]'), "is a word already"),
    ],
)
def test_a_mistake_in_a_grammar_is_named(read: str, says: str) -> None:
    assert read not in (LINES, TABLE, PAIRS)
    with pytest.raises(DialectError, match=re.escape(says)) as caught:
        parse_dialect(HEAD + read, "toy.toml")
    assert caught.value.line is not None

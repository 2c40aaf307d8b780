"""Tables without a title, and tables whose cells stand between marks."""

from __future__ import annotations

import pytest

from dialects.toys import FIRST, HEAD, craft_of, mistake
from propsoff.console.capture import pasted
from propsoff.craft.model import Switch
from propsoff.dialects.load import parse_dialect
from propsoff.dialects.read import read_craft

SWITCHES = """
grammar = "table"
rule = "-"
[[reads.rows]]
group = "switches"
table = "all"
fields.does = "function"
fields.ch = "channel"
"""
ROWS = """\
The switches of this board
# a comment
does   ch
-----  --
arm    5

level  6"""


def test_a_reply_without_a_title_is_the_table_of_its_command() -> None:
    craft = craft_of(SWITCHES, "does   ch\n-----  --\narm    5\nlevel  6")
    assert craft.switches == (Switch("arm", 5), Switch("level", 6))
    assert (craft.problems, craft.unread) == ((), ())
    assert craft.provenance["switches[0]"] == (FIRST + 2,)


def test_its_header_is_the_first_line_with_a_known_heading_and_a_blank_line_ends_it() -> None:
    craft = craft_of(SWITCHES, ROWS)
    assert craft.switches == (Switch("arm", 5),)
    assert [text for _, text in craft.unread] == ["The switches of this board", "level  6"]


def test_a_rule_may_be_missing() -> None:
    assert craft_of(SWITCHES, "does   ch\narm    5").switches == (Switch("arm", 5),)


def test_a_header_alone_says_that_there_are_no_rows_and_no_header_says_nothing() -> None:
    assert craft_of(SWITCHES, "does   ch").switches == ()
    assert craft_of(SWITCHES, "nothing here").switches is None


def test_a_column_that_is_missing_is_said() -> None:
    craft = craft_of(SWITCHES, "does   at\narm    5")
    assert ["has no column 'ch'" in problem.message for problem in craft.problems] == [True]


def test_rows_of_a_reply_that_stops_may_be_missing() -> None:
    craft = craft_of(SWITCHES, "does   ch\narm    5", done=False)
    assert "switches" in craft.partial
    assert any("stops short" in problem.message for problem in craft.problems)


def test_the_line_after_the_rows_is_counted_and_ends_it() -> None:
    read = SWITCHES.replace('rule = "-"', 'row_count = "({count:int})"')
    craft = craft_of(read, "does   ch\narm    5\n(1)\nlevel  6")
    assert (craft.switches, craft.problems) == ((Switch("arm", 5),), ())
    assert [text for _, text in craft.unread] == ["level  6"]
    short = craft_of(read, "does   ch\narm    5\n(2)")
    assert any("says that it has 2 rows, 1 were read" in problem.message for problem in short.problems)


WORDS = """
grammar = "table"
[reads.words]
"all.low" = "channels.low"
"all.top end" = "channels.high"
"""


def test_words_of_a_table_without_a_title_begin_with_its_command() -> None:
    craft = craft_of(WORDS, "what     us\nlow      1000\ntop end  2000\nmid      1500")
    assert (craft.channels.low, craft.channels.high) == (1000, 2000)
    assert [text for _, text in craft.unread] == ["mid      1500"]


def test_the_command_of_a_table_may_have_dots() -> None:
    text = HEAD.replace('"all"', '"dump.a"') + WORDS.replace("all.", "dump.a.")
    reply = "> id\nToy 1\n> dump.a\nwhat     us\nlow      1000\n> "
    assert read_craft(pasted(reply.encode()), parse_dialect(text, "toy.toml")).craft.channels.low == 1000


BY_HEADER = """
grammar = "table"
by_header = true
separator = "|"
rule = "-"
ignore = ["colour"]
[reads.words]
"what.low" = "channels.low"
[[reads.rows]]
group = "switches"
table = "does"
fields.does = "function"
fields.ch = "channel"
"""


def test_several_tables_without_titles_are_named_by_their_first_headings() -> None:
    reply = "# all there is\n---+---\nwhat | us\n---+---\nlow | 988\n\ndoes | ch\narm | 5\n\ncolour | n\nred | 1\n"
    reply += "\nodd | n\na | 1"
    craft = craft_of(BY_HEADER, reply)
    assert (craft.channels.low, craft.switches, craft.problems) == (988, (Switch("arm", 5),), ())
    assert [text for _, text in craft.unread] == ["odd | n", "a | 1"]


MARKED = """
grammar = "table"
title = "## {table:words}"
separator = "|"
rule = "-"
[reads.words]
"ends.low" = "channels.low"
"ends.top" = "channels.high"
[[reads.rows]]
group = "switches"
table = "levers"
fields.does = "function"
fields.ch = "channel"
fields.from = "from_us"
"""
FRAMED = """\
## ends
what|us
low|1000
top |2000

## levers
+-------+----+------+
| does  | ch | from |
|-------|----|------|
| arm   | 5  | 1300 |
+-------+----+------+
| level | 6  |      |
+-------+----+------+"""


def test_cells_stand_between_marks_with_a_frame_or_without() -> None:
    craft = craft_of(MARKED, FRAMED)
    assert (craft.channels.low, craft.channels.high) == (1000, 2000)
    assert (craft.switches is not None and craft.switches[0]) == Switch("arm", 5, 1300)
    # An empty cell is no number, and is said.
    assert [problem.fact for problem in craft.problems] == ["switches[1].from_us"]
    assert craft.unread == ()


@pytest.mark.parametrize(
    "row", ["| arm   | 5    1300 |", "  arm   | 5  | 1300 |", "| arm   | 5  | 1300", "| arm | a | 5 | 1300 |", "arm"]
)
def test_a_row_that_lost_a_mark_is_left_out_and_said(row: str) -> None:
    assert FRAMED.count("| arm   | 5  | 1300 |") == 1
    craft = craft_of(MARKED, FRAMED.replace("| arm   | 5  | 1300 |", row))
    assert craft.switches is not None
    assert [switch.function for switch in craft.switches] == ["level"]
    assert any("do not stand under the headers" in problem.message for problem in craft.problems)


def test_an_empty_last_cell_without_a_frame_is_a_cell() -> None:
    read = SWITCHES.replace('rule = "-"', 'separator = ";"').replace(
        'fields.ch = "channel"', 'fields.ch = { fact = "channel", missing = [""] }'
    )
    assert craft_of(read, "does;ch\narm;\nlevel;6").switches == (Switch("arm", None), Switch("level", 6))


def test_two_columns_with_one_heading_are_not_told_apart() -> None:
    read = SWITCHES.replace('rule = "-"', 'separator = ";"')
    craft = craft_of(read, "does;ch;ch\narm;5;6\narm;5")
    assert craft.switches is None
    assert any("do not stand under the headers" in problem.message for problem in craft.problems)


def test_marks_without_a_title_find_the_header_below_its_frame() -> None:
    read = SWITCHES.replace('rule = "-"', 'separator = "|"\nrule = "-"')
    craft = craft_of(read, "+------+----+\n| does | ch |\n+------+----+\n| arm  | 5  |\n+------+----+")
    assert (craft.switches, craft.problems, craft.unread) == ((Switch("arm", 5),), (), ())


@pytest.mark.parametrize(
    ("read", "old", "new", "key", "says"),
    [
        (SWITCHES, '"all"', '"levers"', "rows", "has the name of its command, 'all', not 'levers'"),
        (BY_HEADER, 'separator = "|"', 'title = "{table:word}"', "by_header", "either 'title' or 'by_header'"),
        (WORDS, "all.low", "ends.low", "words", "'all'.ITEM, not 'ends.low'"),
        (MARKED, '"|"', '" | "', "separator", "no blanks"),
        (MARKED, '"|"', '"||||"', "separator", "1 to 3 characters"),
        (MARKED, '"|"', '"-"', "rule", "different characters"),
        (MARKED, '"|"', "1", "separator", "expected text"),
        (MARKED, "separator", "seperator", "seperator", "did you mean 'separator'?"),
    ],
)
def test_a_mistake_names_its_key(read: str, old: str, new: str, key: str, says: str) -> None:
    assert read.count(old) == 1
    error = mistake(read.replace(old, new))
    assert (error.key, error.line is not None) == (f"reads[0].{key}", True)
    assert says in str(error)

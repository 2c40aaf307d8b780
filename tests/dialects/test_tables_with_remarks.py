"""Comments inside tables, and what may be the mark between cells."""

from __future__ import annotations

import pytest

from dialects.toys import craft_of, mistake
from propsoff.craft.model import Switch

TITLED = """
grammar = "table"
title = "== {table:word} =="
rule = "-"
row_count = "({count:int} rows)"
[[reads.rows]]
group = "switches"
table = "levers"
fields.does = "function"
fields.ch = "channel"
"""
UNTITLED = TITLED.replace('title = "== {table:word} =="\nrule = "-"\n', "").replace("levers", "all")
BY_HEADER = UNTITLED.replace('row_count = "({count:int} rows)"', "by_header = true").replace('"all"', '"does"')
BETWEEN = UNTITLED.replace("[[reads", 'separator = "|"\n[[reads', 1)
TABLE = "== levers ==\ndoes   ch\n-----  --\narm    5\nlevel  6\n(2 rows)"
BARE = "does   ch\narm    5\nlevel  6\n(2 rows)"
LEVERS = (Switch("arm", 5), Switch("level", 6))


@pytest.mark.parametrize(
    ("read", "reply"),
    [
        (TITLED, TABLE),
        (UNTITLED, BARE),
        (BY_HEADER, BARE.removesuffix("\n(2 rows)")),
        (BETWEEN, BARE.replace("   ", "|").replace("    ", "|").replace("  ", "|").replace("arm| ", "arm|")),
    ],
)
def test_a_comment_may_stand_before_every_line_of_a_table(read: str, reply: str) -> None:
    lines = reply.split("\n")
    for at in range(len(lines) + 1):
        craft = craft_of(read, "\n".join([*lines[:at], "# a remark", *lines[at:]]))
        assert craft.switches == LEVERS, at
        assert (craft.problems, craft.unread) == ((), ()), at


def test_a_comment_is_not_counted_as_a_row() -> None:
    craft = craft_of(TITLED, TABLE.replace("level  6", "# level 6"))
    assert craft.switches == LEVERS[:1]
    assert "switches" in craft.partial
    assert any("says that it has 2 rows, 1 were read" in problem.message for problem in craft.problems)


def test_what_is_no_comment_between_the_rows_is_a_row_that_lost_bytes() -> None:
    craft = craft_of(TITLED, TABLE.replace("level", "#level").replace("(2", "(2"))
    assert craft.switches is not None
    assert Switch("level", 6) not in craft.switches
    assert craft.problems


@pytest.mark.parametrize("separator", ["|", ";", ",", "::", "~|~"])
def test_cells_may_stand_between_one_to_three_characters(separator: str) -> None:
    reply = BARE.replace("    ", "  ").replace("   ", "  ").replace("  ", separator)
    assert craft_of(BETWEEN.replace('"|"', f'"{separator}"'), reply).switches == LEVERS


@pytest.mark.parametrize("separator", [" ", "| ", "||||", "\\n"])
def test_cells_do_not_stand_between_blanks(separator: str) -> None:
    error = mistake(BETWEEN.replace('"|"', f'"{separator}"'))
    assert "characters that stand between the cells" in str(error)
    assert error.key == "reads[0].separator"


@pytest.mark.parametrize("separator", ["\\t", "\\t\\t", " \\t", "|\\t"])
def test_cells_do_not_stand_between_tabs_since_a_transcript_has_none(separator: str) -> None:
    error = mistake(BETWEEN.replace('"|"', f'"{separator}"'))
    assert "tabs are blanks by the time" in str(error)
    assert "leave 'separator' out" in str(error)
    assert error.key == "reads[0].separator"


def test_a_table_between_tabs_is_read_by_its_columns() -> None:
    craft = craft_of(UNTITLED, "does\tch\narm\t5\nlevel\t6\n(2 rows)")
    assert (craft.switches, craft.problems) == (LEVERS, ())

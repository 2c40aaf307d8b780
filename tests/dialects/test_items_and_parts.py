"""Items of lists in blocks, replies in several parts, rows of one repeated key, and blanks before lines."""

from __future__ import annotations

import pytest

from dialects.toys import FIRST, STARTS, craft_of, mistake
from propsoff.craft.model import Switch, Uart

ITEMS = """
ends = "end {count:int}"
grammar = "sections"
headings = "{section:word}:"
line = "{key:word}: {value:rest}"
indented = true
items = "-"
[reads.words]
"radio.kind" = { fact = "receiver.kind", as = "choice", words = { uart = "serial" } }
"marks.2.low" = "channels.low"
[[reads.rows]]
group = "ports"
key = "ports.{n:int}.{member:word}"
fields.name = "id"
fields.baud = "baud"
"""
TREE = [
    "ports:", "  - name: P1", "    baud: 9600", "  - name: P2", "    baud: 1200",
    "radio:", "  kind: uart", "marks:", "  - high: 3", "  - low: 1000",
]  # fmt: skip


def counted(lines: list[str], says: int | None = None) -> str:
    return "\n".join([*lines, f"end {len(lines) if says is None else says}"])


def test_an_item_is_a_block_with_its_number_as_name() -> None:
    craft = craft_of(ITEMS, counted(TREE))
    assert craft.ports == (Uart("P1", None, 9600), Uart("P2", None, 1200))
    assert (craft.receiver.kind, craft.channels.low) == ("serial", 1000)
    assert (craft.problems, [text.strip() for _, text in craft.unread]) == ((), ["high: 3"])


def test_each_list_counts_its_own_items_from_one() -> None:
    craft = craft_of(ITEMS, counted(["marks:", "  - high: 3", "ports:", "  - name: P1", "    baud: 9600"]))
    assert craft.ports == (Uart("P1", None, 9600),)


@pytest.mark.parametrize("forgotten", ["_", "_n"])
def test_items_whose_number_states_nothing_stay_apart(forgotten: str) -> None:
    craft = craft_of(ITEMS.replace("{n:int}", f"{{{forgotten}:int}}"), counted([*TREE[:2], "  - baud: 115200"]))
    assert craft.ports == (Uart("P1", None, None), Uart(None, None, 115200))
    assert (craft.problems, craft.unread) == ((), ())


def test_an_item_whose_number_states_nothing_is_one_row() -> None:
    read = ITEMS.replace("{n:int}", "{_n:int}")
    assert craft_of(read, counted(TREE)).ports == (Uart("P1", None, 9600), Uart("P2", None, 1200))


MEMBERS = """
grammar = "pairs"
line = "{key:word} = {value:rest}"
[[reads.rows]]
group = "ports"
key = KEY
fields.name = "id"
fields.baud = "baud"
"""
FORGETFUL = [
    '"p.{_:word}.{_:word}.{member:word}"',
    r"{ pattern = 'p\.(?P<_a>[a-z])\.(?P<_b>[a-z])\.(?P<member>[a-z]+)' }",
    r"{ pattern = 'p\.(?P<_a>[a-z])\.(?:(?P<_b>[a-z])\.)?(?P<member>[a-z]+)' }",
]


@pytest.mark.parametrize("key", FORGETFUL)
def test_every_part_of_a_key_that_is_forgotten_tells_rows_apart(key: str) -> None:
    craft = craft_of(
        MEMBERS.replace("KEY", key), "p.a.b.name = P1\np.a.c.baud = 9600\np.b.b.baud = 1200\np.a.b.baud = 5"
    )
    assert craft.ports == (Uart("P1", None, 5), Uart(None, None, 9600), Uart(None, None, 1200))


def test_an_item_that_lost_its_mark_states_nothing_twice() -> None:
    lines = [line.replace("- name: P2", "  name: P2") for line in TREE]
    craft = craft_of(ITEMS, counted(lines))
    assert craft.ports == (Uart(None, None, None),)
    assert {problem.fact for problem in craft.problems} == {"ports[0].id", "ports[0].baud"}


@pytest.mark.parametrize(
    ("old", "new", "unread"),
    [("ports:", "por", 5), ("    baud: 1200", "   baud: 1200", 1)],  # its heading is garbled; it stands askew
)
def test_an_item_without_its_place_is_unread(old: str, new: str, unread: int) -> None:
    craft = craft_of(ITEMS, counted([new if line == old else line for line in TREE]))
    assert all(port.baud != 1200 for port in craft.ports or ())
    assert sum("high" not in text for _, text in craft.unread) == unread
    assert any("a heading was lost" in problem.message for problem in craft.problems)
    assert craft.receiver.kind == "serial"


def test_of_a_torn_list_no_item_is_taken() -> None:
    craft = craft_of(ITEMS, counted(TREE[:3] + TREE[4:], len(TREE)))
    assert craft.ports is None
    assert any(problem.fact == "ports" for problem in craft.problems)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('items = "-"', 'items = "---"', "a mark of one or two characters"),
        ('items = "-"', 'items = " "', "a mark of one or two characters"),
        ("indented = true", "indented = false", "with 'indented = true'"),
    ],
)
def test_a_mark_of_items_is_short_and_needs_blocks(old: str, new: str, says: str) -> None:
    error = mistake(ITEMS.replace(old, new))
    assert says in str(error)
    assert (error.line, error.key) == (STARTS + 7, "reads[0].items")


PARTS = """
ends = "end {count:int}"
grammar = "pairs"
line = "{key:word} = {value:rest}"
ignore = ["colour"]
words.kind = { fact = "receiver.kind", as = "choice", words = { uart = "serial" } }
[[reads.parts]]
grammar = "table"
rule = "-"
[[reads.parts.rows]]
group = "switches"
table = "all"
fields.does = "function"
fields.ch = "channel"
[[reads.parts]]
grammar = "lines"
lines = ["the low end is {low:int}"]
words.low = "channels.low"
"""
BOTH = ["kind = uart", "colour = red", "does   ch", "-----  --", "arm    5", "level  6", "", "the low end is 1000"]


def test_each_part_reads_what_the_one_before_left() -> None:
    craft = craft_of(PARTS, counted(BOTH))
    assert craft.switches == (Switch("arm", 5), Switch("level", 6))
    assert (craft.receiver.kind, craft.channels.low) == ("serial", 1000)
    assert (craft.problems, craft.unread) == ((), ())
    assert craft.provenance["channels.low"] == (FIRST + 7,)


def test_what_no_part_understands_is_unread_once() -> None:
    craft = craft_of(PARTS, counted([*BOTH, "all is well", "size = 3"]))
    assert [text for _, text in craft.unread] == ["all is well", "size = 3"]


def test_lines_that_are_missing_make_the_later_part_partial_too() -> None:
    craft = craft_of(PARTS, counted([line for line in BOTH if "level" not in line], len(BOTH)))
    assert "switches" in craft.partial
    assert craft.receiver.kind == "serial"


def test_a_row_that_lost_bytes_states_no_other_value() -> None:
    craft = craft_of(PARTS, counted([line.replace("level  6", "level 6") for line in BOTH]))
    assert all(lever.channel in (5, None) for lever in craft.switches or ())
    assert any((problem.fact or "").startswith("switches") for problem in craft.problems)


def test_parts_that_state_one_fact_differently_leave_it_unread() -> None:
    read = PARTS.replace("words.low", 'words.other = "craft.name"\nwords.low').replace(
        'words.kind = { fact = "receiver.kind", as = "choice", words = { uart = "serial" } }',
        'words.low = "channels.low"',
    )
    read = read.replace('words.other = "craft.name"\n', "")
    craft = craft_of(read, counted(["low = 990", *BOTH[2:]]))
    assert craft.channels.low is None
    assert [problem.fact for problem in craft.problems] == ["channels.low"]


@pytest.mark.parametrize(
    ("old", "new", "key", "says"),
    [
        ('grammar = "table"', 'grammar = "tabel"', "grammar", "did you mean 'table'?"),
        ('rule = "-"', 'ends = "x"', "ends", "no such key here"),
        ('group = "switches"', 'group = "levers"', "rows[0].group", "no such group"),
    ],
)
def test_a_mistake_in_a_part_names_its_line_and_key(old: str, new: str, key: str, says: str) -> None:
    error = mistake(PARTS.replace(old, new))
    assert says in str(error)
    assert error.key == f"reads[0].parts[0].{key}"
    assert error.line == STARTS + PARTS[: PARTS.index(old)].count("\n") + 1


@pytest.mark.parametrize(
    "line", ['command = "x"', "deadline_s = 3", 'opens = "x"', 'counted = "x"', 'before = "x"', 'after = "x"',
             "cap_bytes = 2048", "required = false", 'known_by = "x"', "parts = []"],
)  # fmt: skip
def test_a_part_has_none_of_the_keys_of_its_command(line: str) -> None:
    error = mistake(PARTS.replace('grammar = "table"', f'grammar = "table"\n{line}'))
    assert "no such key here" in str(error)
    assert error.key == f"reads[0].parts[0].{line.partition(' ')[0]}"
    assert error.line == STARTS + PARTS[: PARTS.index('rule = "-"')].count("\n") + 1


def test_a_word_that_is_no_key_of_a_part_is_not_taken_for_one_of_its_command() -> None:
    assert "'command'" not in str(mistake(PARTS.replace('grammar = "table"', 'grammar = "table"\ncomand = "x"')))


REPEATED = """
ends = "end {count:int}"
grammar = "pairs"
line = "{key:word}={value:rest}"
[[reads.rows]]
group = "ports"
key = "PORT"
forms = ["{id:word},{roles:word},{baud:int}", "{id:word},{roles:word}"]
fields.id = "id"
fields.baud = "baud"
fields.roles = { fact = "roles", as = "list", each = { as = "choice", words = { rx = "receiver", con = "console" } } }
"""
SAID = ["PORT=P1,con,9600", "PORT=P2,rx,1200", "PORT=P3,rx"]


def test_one_key_that_stands_several_times_is_a_row_each() -> None:
    craft = craft_of(REPEATED, counted(SAID))
    assert craft.ports == (Uart("P1", ("console",), 9600), Uart("P2", ("receiver",), 1200), Uart("P3", ("receiver",)))
    assert (craft.problems, craft.unread) == ((), ())
    assert craft.provenance["ports[1]"] == (FIRST + 1,)


def test_the_same_row_twice_is_one() -> None:
    craft = craft_of(REPEATED, counted([*SAID, SAID[1]]))
    assert (len(craft.ports or ()), craft.problems) == (3, ())


def test_two_rows_of_one_name_that_differ_state_neither() -> None:
    craft = craft_of(REPEATED, counted([SAID[0], SAID[1].replace("P2", "P1")]))
    assert craft.ports == (Uart("P1", None, None),)
    assert {problem.fact for problem in craft.problems} == {"ports[0].roles", "ports[0].baud"}


def test_a_row_of_another_form_states_nothing_and_a_lost_one_is_missed() -> None:
    garbled = craft_of(REPEATED, counted([SAID[0], "PORT=P2rx1200"]))
    assert garbled.ports == (Uart("P1", ("console",), 9600), Uart(None, None, None))
    assert [problem.line for problem in garbled.problems] == [FIRST + 1]
    lost = craft_of(REPEATED, counted(SAID[:2], 3))
    assert "ports" in lost.partial


PAIRS = """
grammar = "pairs"
line = "{key:word} = {value:rest}"
words.low = "channels.low"
words.name = "craft.name"
"""
FLAT = """
grammar = "sections"
headings = "[{section:word}]"
line = "{key:word} = {value:rest}"
[reads.words]
"a.low" = "channels.low"
"b.low" = "channels.high"
"""


def test_blanks_before_a_pair_are_not_looked_at_and_those_of_a_value_are_kept() -> None:
    craft = craft_of(PAIRS, "   low = 1000\n\tname =  Teal Wren")
    assert (craft.channels.low, craft.craft.name, craft.unread) == (1000, " Teal Wren", ())


def test_a_pair_that_stands_twice_is_unread_however_it_is_indented() -> None:
    craft = craft_of(PAIRS, "low = 1000\n   low = 990")
    assert craft.channels.low is None
    assert [problem.fact for problem in craft.problems] == ["channels.low"]


def test_blanks_before_headings_and_settings_of_flat_sections_are_not_looked_at() -> None:
    craft = craft_of(FLAT, "  [a]\n      low = 1000\n [b]\nlow = 2000")
    assert (craft.channels.low, craft.channels.high, craft.unread) == (1000, 2000, ())


def test_a_heading_with_blanks_before_it_that_lost_bytes_is_missed() -> None:
    craft = craft_of(FLAT, "  [a]\n  low = 1000\n  [b\n  low = 2000")
    assert (craft.channels.low, craft.channels.high) == (1000, None)
    assert [text.strip() for _, text in craft.unread] == ["[b", "low = 2000"]


APART = """
grammar = "pairs"
line = "{key:word} = {value:rest}"
ignore = ["osd-rate"]
[reads.words]
"osd-rows" = "overlay.rows"
[[reads.rows]]
group = "overlay.elements"
key = "osd-{id:word}"
forms = ["{column:int} {row:int}"]
fields.id = "name"
fields.column = "column"
fields.row = "row"
"""


def test_a_word_that_is_ignored_by_name_is_no_row_though_it_is_called_like_one() -> None:
    said = "osd-rate = 30\nosd-rows = 20\nosd-timer = 46 18"
    craft = craft_of(APART, said)
    assert [(one.name, one.column, one.row) for one in craft.overlay.elements or ()] == [("timer", 46, 18)]
    assert (craft.overlay.rows, craft.problems, craft.unread) == (20, (), ())
    assert craft_of(APART.replace('ignore = ["osd-rate"]', ""), said).problems

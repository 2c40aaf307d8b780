"""Rows whose cells stand on several lines, lines of several forms, and records by position."""

from __future__ import annotations

import pytest

from dialects.toys import FIRST, STARTS, craft_of, mistake, toy
from propsoff.craft.model import OverlayElement, Switch, Uart

ROLE = '{ fact = "roles", as = "list", separator = "+", each = { as = "choice", words = { rx = "receiver" } } }'
PORTS = f"""
grammar = "pairs"
line = "{{key:word}} = {{value:rest}}"
ignore = ["port.{{_:word}}.colour"]
[[reads.rows]]
group = "ports"
key = "port.{{id:word}}.{{member:word}}"
fields.id = "id"
fields.roles = {ROLE}
fields.baud = "baud"
[[reads.rows]]
group = "overlay.elements"
key = ["mark.{{name:word}}.{{member:word}}", "sign.{{name:word}}.{{member:word}}"]
fields.name = "name"
fields.place = {{ form = "{{x:int}},{{y:int}}", fields = {{ x = "column", y = "row" }} }}
fields.shown = {{ fact = "shown", as = "yes-no", yes = "on", no = "off" }}
[say]
set = "let {{word}} {{value}}"
"""


def test_each_line_gives_a_cell_of_the_row_of_its_key() -> None:
    reply = (
        "port.P2.baud = 9600\nport.P1.roles = rx\nport.P2.roles =\nport.P1.baud = 420000\nport.P1.colour = red\n"
        "mark.link.place = 3,4\nsign.link.shown = off"
    )
    craft = craft_of(PORTS, reply)
    assert craft.ports == (Uart("P2", (), 9600), Uart("P1", ("receiver",), 420000))  # in order of appearance
    assert craft.overlay.elements == (OverlayElement("link", 3, 4, None, False),)  # both keys name the same row
    assert craft.unread == ()


def test_every_cell_knows_its_own_line() -> None:
    craft = craft_of(PORTS, "port.P1.roles = rx\nother = 1\nport.P1.baud = 420000")
    assert craft.provenance["ports[0]"] == (FIRST, FIRST + 2)
    assert craft.provenance["ports[0].baud"] == (FIRST + 2,)
    assert "ports[0].roles" not in craft.provenance  # where its row begins


def test_a_member_that_nobody_knows_is_unread_and_makes_no_row() -> None:
    craft = craft_of(PORTS, "port.P1.baud = 9600\nport.P3.mood = grim\nport.P4.id = P9")
    assert craft.ports == (Uart("P1", None, 9600),)
    assert [text for _, text in craft.unread] == ["port.P3.mood = grim", "port.P4.id = P9"]


def test_a_cell_that_is_stated_twice_is_unread_and_both_lines_are_named() -> None:
    craft = craft_of(PORTS, "port.P1.roles = rx\nport.P1.baud = 9600\nport.P1.baud = 115200\nport.P1.baud = 9600")
    assert craft.ports == (Uart("P1", ("receiver",), None),)
    (problem,) = craft.problems
    assert (problem.fact, problem.line) == ("ports[0].baud", FIRST + 2)
    assert f"9600 on line {FIRST + 1} and 115200 here" in problem.message
    assert craft_of(PORTS, "port.P1.baud = 9600\nport.P1.baud = 9600").problems == ()


def test_a_cell_that_cannot_be_taken_is_not_made_good_by_another_line() -> None:
    craft = craft_of(PORTS, "port.P1.baud = x\nport.P1.baud = 9600\nmark.a.place = 3;4")
    assert craft.ports == (Uart("P1", None, None),)
    facts = [problem.fact for problem in craft.problems]
    assert facts == ["ports[0].baud", "overlay.elements[0].column"]


def test_rows_of_a_reply_that_stops_are_part_of_a_group() -> None:
    craft = craft_of(PORTS, "port.P1.baud = 9600", done=False)
    assert craft.ports == (Uart("P1", None, 9600),)
    assert "ports" in craft.partial


def test_a_cell_is_said_in_a_line_of_its_own() -> None:
    dialect = toy(PORTS)
    assert dialect.say("ports[].baud", 9600, row={"id": "P2"}) == ("let port.P2.baud 9600",)
    others = {"name": "link", "row": 2}
    assert dialect.say("overlay.elements[].column", 1, row=others) == ("let mark.link.place 1,2",)
    assert dialect.say("overlay.elements[].column", 1, row={"name": "link"}) == ()  # the line also states the row
    assert dialect.say("ports[].baud", 9600) == ()


COUNTED = """
grammar = "pairs"
line = "{key:word}={value:rest}"
[[reads.rows]]
group = "switches"
key = "sw.{n:int}.{member:word}"
index = "n"
named_by = "n"
fields.does = "function"
fields.ch = "channel"
"""


def test_numbered_rows_must_count_up_from_one() -> None:
    whole = craft_of(COUNTED, "sw.1.does=arm\nsw.1.ch=5\nsw.2.does=level\nsw.2.ch=6")
    assert whole.switches == (Switch("arm", 5), Switch("level", 6))
    assert whole.problems == ()
    said = toy(COUNTED + '[say]\nset = "{word}={value}"\n').say("switches[].channel", 7, row={"index": 2})
    assert said == ("sw.2.ch=7",)
    craft = craft_of(COUNTED, "sw.1.does=arm\nsw.3.does=level")
    assert ["expected entry 2 here" in problem.message for problem in craft.problems] == [True]
    assert "switches" in craft.partial


@pytest.mark.parametrize(
    ("old", "new", "key", "says"),
    [
        ('fields.baud = "baud"', 'fields.member = "baud"', "rows[0].fields.member", "it states no fact"),
        ('fields.baud = "baud"', 'fields.baud = "bauds"', "rows[0].fields.baud", "did you mean 'baud'?"),
        ('fields.baud = "baud"', 'fields.baud = "id"', "rows[0].fields.baud", "ports[].id is already stated"),
        (f'fields.roles = {ROLE}\nfields.baud = "baud"\n', "", "rows[0].fields", "no field is named as a member"),
        ('"sign.{name:word}.{member:word}"', '"sign.{name:word}"', "rows[1].key", "either every key"),
        ("port.{id:word}.{m", "{id:word}.{m", "rows[0].key", "begins with literal text"),
    ],
)
def test_a_mistake_names_its_key(old: str, new: str, key: str, says: str) -> None:
    assert PORTS.count(old) == 1
    error = mistake(PORTS.replace(old, new))
    assert (error.key, error.line is not None and error.line > STARTS) == (f"reads[0].{key}", True)
    assert says in str(error)


def test_a_list_has_no_members() -> None:
    read = COUNTED + '[[reads.lists]]\nfact = "arming.blocks"\nkey = "held.{member:word}"\n'
    assert "a list has none" in str(mistake(read))


MIXED = """
grammar = "pairs"
line = ["set {key:word} {value:rest}", "{key:word} = {value:rest}", "{value:int} is {key:words}"]
[reads.words]
low = "channels.low"
high = "channels.high"
name = "craft.name"
"the middle" = "channels.centre"
"""


def test_the_first_template_of_a_line_that_fits_is_used() -> None:
    craft = craft_of(MIXED, "set low 1000\nhigh = 2000\nset name = Teal\n1500 is the middle\nlow is 3")
    assert (craft.channels.low, craft.channels.high, craft.channels.centre) == (1000, 2000, 1500)
    assert craft.craft.name == "= Teal"
    assert [text for _, text in craft.unread] == ["low is 3"]


@pytest.mark.parametrize(
    ("line", "key", "says"),
    [
        ('["set {key:word} {value:rest}", "{key:word}"]', "line", "the fields key and value"),
        ('["set {key:word} {value:rest}", "{key:word"]', "line[1]", "a field is written"),
        ('["set {key:word} {value:rest}", 5]', "line[1]", "expected a line template, found a whole number 5"),
        ("[]", "line", "at least one line template"),
        ("5", "line", "expected a line template"),
    ],
)
def test_a_mistake_in_one_of_several_templates_is_named(line: str, key: str, says: str) -> None:
    error = mistake(f'grammar = "pairs"\nline = {line}\n')
    assert (error.key, error.line) == (f"reads[0].{key}", STARTS + 2)
    assert says in str(error)


RECORDS = """
grammar = "lines"
lines = ["poles {poles:int} {idle:number}"]
words = { poles = "motors.poles", idle = "motors.idle_percent" }
[[reads.rows]]
group = "overlay.elements"
line = ["relay {n:word} {place:hex} {wide:int}", "relay {n:word} off", "relay {n:word} at {x:int} {y:int}"]
fields.n = "name"
fields.place.base = 16
fields.place.packed.column = { shift = 0, bits = 6 }
fields.place.packed.row = { shift = 6, bits = 5 }
fields.place.packed.shown = { shift = 11, bits = 1 }
fields.wide = "width"
"""


def test_records_are_read_by_position_in_any_of_their_forms() -> None:
    read = RECORDS.replace(', "relay {n:word} at {x:int} {y:int}"', "")
    craft = craft_of(read, "poles 14 5.5\nrelay 1 8c3 7\nrelay 2 off\nrelay 3 0 0\nrelay 4 8c3 7 9")
    assert (craft.motors.poles, craft.motors.idle_percent) == (14, 5.5)
    # 0x8c3 = 2243 = 1 x 2048 + 3 x 64 + 3
    assert craft.overlay.elements == (
        OverlayElement("1", 3, 3, 7, True),
        OverlayElement("2"),
        OverlayElement("3", 0, 0, 0, False),
    )
    assert [text for _, text in craft.unread] == ["relay 4 8c3 7 9"]


def test_lines_that_may_be_typed_as_they_stand_are_said_whole() -> None:
    read = RECORDS.replace(', "relay {n:word} at {x:int} {y:int}"', "")
    typed = toy(read.replace("words = {", "typed = true\nwords = {"))
    row = {"name": "1", "row": 3, "shown": True, "width": 7}
    assert typed.say("overlay.elements[].column", 3, row=row) == ("relay 1 8c3 7",)
    assert typed.say("overlay.elements[].width", 9, row={**row, "column": 3}) == ("relay 1 8c3 9",)
    assert typed.say("overlay.elements[].column", 3, row={"name": "1", "row": 3}) == ()
    assert typed.say_all([("motors.poles", 12), ("motors.idle_percent", 5.5)]) == ("poles 12 5.5",)
    assert typed.say("motors.poles", 12) == ()  # the line also states the idle speed
    measured = read.replace("words = {", "typed = true\nwords = {").replace(
        '"motors.idle_percent"', '{ fact = "motors.idle_percent", measured = true }'
    )
    assert toy(measured).say_all([("motors.poles", 12), ("motors.idle_percent", 5.5)]) == ()
    assert toy(measured).say("motors.poles", 12, row={"idle_percent": 5.5}) == ()
    assert toy(read).say("overlay.elements[].column", 3, row=row) == ()
    said = craft_of(read, "relay 1 8c3 9").overlay.elements
    assert said == (OverlayElement("1", 3, 3, 9, True),)


def test_only_lines_are_typed() -> None:
    assert "no such key here" in str(mistake(COUNTED.replace("[[", "typed = true\n[[")))


def test_two_cells_of_a_row_do_not_state_the_same_fact() -> None:
    error = mistake(RECORDS + 'fields.x = "column"\n')
    assert "already stated" in str(error)
    assert "overlay.elements[].column" in str(error)

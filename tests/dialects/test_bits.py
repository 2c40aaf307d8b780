"""Whole numbers that hold more than a number: bits, positions, packed fields. Each is read, refused and said back."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dialects.toys import STARTS, craft_of, mistake, toy
from propsoff.craft.model import OverlayElement
from propsoff.dialects.decode import Decoder, Fault, Integer, Raw
from propsoff.dialects.decode_bits import Bit, Bits, Index, Packed, Slot

NAMED = Bits({0: "gyro", 3: "baro", 63: "last"})
LOOSE = Bits({1: "b"}, Integer(16, "0x"), keep=True)
FREE = Bits({2: "receiver"}, empty=("unused",))
POWER = Index(("25", "", "200"), first=1)
GIVEN: list[tuple[Decoder, Raw, Any]] = [
    (NAMED, "9", ("gyro", "baro")),
    (NAMED, Decimal(1), ("gyro",)),
    (NAMED, "0", ()),
    (NAMED, str(1 << 63), ("last",)),
    (LOOSE, "0x83", ("bit 0", "b", "bit 7")),
    (FREE, "0", ("unused",)),
    (Bit(3), "8", True),
    (Bit(3), "7", False),
    (Bit(0, Integer(2), inverted=True), "10", True),
    (Bit(0, inverted=True), "1", False),
    (Index(("a", "b")), "1", "b"),
    (Index((9600, 115200), 1), "2", 115200),
    (Index((0.5, 2.0), integer=Integer(16)), "1", 2.0),
    (Index((False, True)), "1", True),
]
REFUSED: list[tuple[Decoder, Raw, str]] = [
    (NAMED, "2", "bit 1 of '2' has no name"),
    (NAMED, "-1", "expected bits"),
    (NAMED, str(1 << 64), "at most 64 bits"),
    (NAMED, "x", "expected a whole number"),
    (NAMED, None, "expected a whole number"),
    (LOOSE, "3", "behind '0x'"),
    (Bit(3), "eight", "expected a whole number"),
    (Index(("a", "b")), "2", "from 0 to 1"),
    (Index(("a", "b")), "-1", "from 0 to 1"),
    (Index(("a", "b"), 1), "0", "from 1 to 2"),
    (Index(("a", None)), "1", "has no meaning"),
    (Index(("a", "b")), "a", "expected a whole number"),
]


@pytest.mark.parametrize(("decoder", "raw", "value"), GIVEN)
def test_what_is_written_is_read_and_said_back(decoder: Decoder, raw: Raw, value: Any) -> None:
    found = decoder.read(raw)
    assert found == value
    assert type(found) is type(value)
    said = decoder.say(value)
    assert isinstance(decoder, Bit) == (said is None)
    if said is not None:
        assert decoder.read(said) == value


@pytest.mark.parametrize(("decoder", "raw", "why"), REFUSED)
def test_what_cannot_be_taken_is_a_fault(decoder: Decoder, raw: Raw, why: str) -> None:
    found = decoder.read(raw)
    assert isinstance(found, Fault)
    assert why in found.why


def test_names_are_said_in_any_order_and_unknown_ones_not_at_all() -> None:
    assert NAMED.say(("baro", "gyro")) == "9"
    assert NAMED.say(()) == "0"
    assert NAMED.say(("baro", "compass")) is None
    assert NAMED.say(5) is None
    assert LOOSE.say(("bit 7", "b")) == "0x82"
    assert FREE.say(("unused",)) == "0"
    assert FREE.say(("unused", "receiver")) is None
    assert FREE.say(()) is None  # it would read back as unused
    assert POWER.say("300") is None
    assert Index((1, 2)).say(True) is None
    assert Index((0.5, 2.0)).say(2) == "1"


SLOTS = Packed((Slot("column", 0, 6), Slot("row", 6, 5), Slot("shown", 11, 1)))


@given(st.integers(0, 63), st.integers(0, 31), st.integers(0, 1), st.integers(2, 36))
def test_a_packed_number_is_taken_apart_and_put_together(column: int, row: int, shown: int, base: int) -> None:
    # By arithmetic alone: 6 bits of column are 64 places, 5 bits of row 32.
    number = column + 64 * row + 2048 * shown
    packed = Packed(SLOTS.slots, Integer(base))
    text = packed.join({"column": str(column), "row": str(row), "shown": str(shown)})
    assert text is not None
    assert int(text, base) == number
    assert packed.split(text) == {"column": str(column), "row": str(row), "shown": str(shown)}


def test_what_does_not_fit_into_its_bits_is_not_said_and_stray_bits_are_refused() -> None:
    fits = {"column": "63", "row": "31", "shown": "1"}
    assert SLOTS.join(fits) == "4095"
    for name, text in (("column", "64"), ("row", "-1"), ("shown", "2"), ("shown", "1.0"), ("shown", "")):
        assert SLOTS.join({**fits, name: text}) is None
    assert SLOTS.split("4096") == Fault("bit 12 of '4096' belongs to no field")
    forgotten = Packed((*SLOTS.slots, Slot("_spare", 12, 4)))
    assert forgotten.split("4096") == {"column": "0", "row": "0", "shown": "0", "_spare": "1"}
    assert forgotten.join(fits) is None  # what stands in the forgotten bits would be lost


MASKS = """
grammar = "pairs"
line = "{key:word}={value:rest}"
[reads.words]
held = { fact = "arming.blocks", as = "bits", base = 16, names = { 0 = "not-level", 9 = "usb-connected" } }
flags = { fact = "receiver.inverted", as = "bit", bit = 2, inverted = true }
power = { fact = "video.power_mw", as = "index", of = [25, "200", 600.5], from = 1 }
kind = { fact = "receiver.kind", as = "index", of = ["none", "serial"] }
[reads.words.grid]
base = 16
prefix = "0x"
packed = { w = { shift = 8, bits = 8 }, h = { shift = 0, bits = 7 }, overlay = { shift = 7, bits = 1 } }
fields = { w = "overlay.columns", h = "overlay.rows", overlay = "overlay.enabled" }
[[reads.rows]]
group = "overlay.elements"
key = "item.{name:word}"
fields.name = "name"
packed = { column = { shift = 0, bits = 6 }, row = { shift = 6, bits = 5 }, shown = { shift = 11, bits = 1 } }
[[reads.rows]]
group = "ports"
key = "port.{id:word}.{member:word}"
fields.id = "id"
fields.duty = { fact = "roles", as = "bits", names = { 0 = "receiver", 1 = "telemetry" }, empty = ["unused"] }
fields.speed = { fact = "baud", as = "index", of = ["9600", "115200"], from = 0 }
[say]
set = "let {word} {value}"
"""


def test_words_and_cells_state_what_their_numbers_hold() -> None:
    reply = (
        "held=201\nflags=4\npower=3\nkind=1\ngrid=0x3594\nitem.link=2243\n"
        "port.1.duty=3\nport.1.speed=1\nport.2.duty=0\nport.2.speed=9"
    )
    craft = craft_of(MASKS, reply)
    assert craft.arming.blocks == ("not-level", "usb-connected")  # 0x201
    assert (craft.receiver.inverted, craft.receiver.kind, craft.video.power_mw) == (False, "serial", 600.5)
    # 0x3594 = 53 x 256 + 1 x 128 + 20
    assert (craft.overlay.columns, craft.overlay.rows, craft.overlay.enabled) == (53, 20, True)
    assert craft.overlay.elements == (OverlayElement("link", 3, 3, None, True),)
    assert craft.ports is not None
    assert [(port.roles, port.baud) for port in craft.ports] == [
        (("receiver", "telemetry"), 115200),
        (("unused",), None),
    ]
    (problem,) = craft.problems
    assert problem.fact == "ports[1].baud"


def test_a_number_that_holds_too_much_leaves_all_its_facts_unread() -> None:
    craft = craft_of(MASKS, "grid=0x13594\nitem.link=4096")
    assert (craft.overlay.columns, craft.overlay.rows, craft.overlay.enabled) == (None, None, None)
    assert craft.overlay.elements == (OverlayElement("link"),)
    assert {"overlay.columns", "overlay.elements[0].column"} <= {problem.fact for problem in craft.problems}


def test_a_packed_number_is_said_with_all_that_stands_in_it() -> None:
    dialect = toy(MASKS)
    grid = [("overlay.columns", 53), ("overlay.rows", 20), ("overlay.enabled", True)]
    assert dialect.say_all(grid) == ("let grid 0x3594",)
    assert dialect.say_all(grid[:2]) == ()
    row = {"name": "link", "row": 3, "shown": True}
    assert dialect.say("overlay.elements[].column", 3, row=row) == ("let item.link 2243",)
    assert dialect.say("overlay.elements[].column", 64, row=row) == ()
    assert dialect.say("ports[].roles", ("telemetry", "receiver"), row={"id": "1"}) == ("let port.1.duty 3",)
    assert dialect.say("ports[].baud", 115200, row={"id": "1"}) == ("let port.1.speed 1",)
    assert dialect.say("receiver.inverted", True) == ()  # the other bits of that number would go


FACT = '{ fact = "arming.blocks", as = "bits", '
SPEED = '{ fact = "channels.low", as = "index", '
FLAG = '{ fact = "receiver.inverted", as = "bit", '
GRID = "{ fields = { w = 'overlay.columns' }, packed = "


@pytest.mark.parametrize(
    ("written", "key", "says"),
    [
        (FACT + "names = { gyro = '0' } }", ".names.gyro", "a number from 0 to 63"),
        (FACT + "names = { 64 = 'a' } }", ".names.64", "from 0 to 63"),
        (FACT + "names = { 03 = 'a' } }", ".names.03", "from 0 to 63"),
        (FACT + "names = { 0 = 'a', 1 = 'a' } }", ".names.1", "two bits are called 'a'"),
        (FACT + "names = { 0 = 5 } }", ".names.0", "expected text"),
        (FACT + "names = {} }", ".names", "at least one bit"),
        (FACT + "others = 'keep' }", "", "'names' is missing"),
        (FACT + "names = { 0 = 'a' }, others = 'drop' }", ".others", "'problem' or 'keep'"),
        (FACT + "names = { 0 = 'a' }, base = 37 }", ".base", "expected 2 to 36"),
        (FACT + "name = { 0 = 'a' } }", ".name", "did you mean 'names'?"),
        ('{ fact = "craft.name", as = "bits", names = { 0 = "a" } }', ".as", "no list of words"),
        ('{ fact = "channels.live", as = "bits", names = { 0 = "a" } }', ".as", "no list of words"),
        (FLAG + "bit = 64 }", ".bit", "expected 0 to 63"),
        (FLAG + "bits = 6 }", ".bits", "did you mean 'bit'?"),
        ('{ fact = "craft.name", as = "bit", bit = 1 }', ".as", "no yes or no"),
        (SPEED + "of = [] }", ".of", "a list of what the positions stand for"),
        (SPEED + "from = 1 }", "", "a list of what the positions stand for"),
        (SPEED + "of = ['1000', 'x'] }", ".of[1]", "cannot be 'x'"),
        (SPEED + "of = [1.5] }", ".of[0]", "of type int"),
        (SPEED + "of = [true] }", ".of[0]", "of type int"),
        (SPEED + "of = [1], from = -1 }", ".from", "expected 0 to"),
        ('{ fact = "receiver.kind", as = "index", of = ["serail"] }', ".of[0]", "did you mean 'serial'?"),
        (GRID + "{ w = { shift = 60, bits = 5 } } }", ".packed.w.bits", "ends above bit 63"),
        (GRID + "{ w = { shift = 0, bits = 0 } } }", ".packed.w.bits", "expected 1 to 32"),
        (GRID + "{ w = { shift = 0 } } }", ".packed.w", "'bits' is missing"),
        (GRID + "{ w = { shift = 0, bits = 4, to = 3 } } }", ".packed.w.to", "no such key"),
        (GRID + "{ w = { shift = 0, bits = 4 }, _h = { shift = 3, bits = 1 } } }", ".packed._h.shift", "bits with 'w'"),
        ("{ packed = { _w = { shift = 0, bits = 4 } } }", ".packed", "at least one field"),
        ("{ packed = { w = { shift = 0, bits = 4 } } }", ".fields.w.fact", "no such fact: 'w'"),
        (GRID + "{ v = { shift = 0, bits = 4 } } }", ".fields.v.fact", "no such fact: 'v'"),
        ("{ packed = { w = { shift = 0, bits = 4 } }, form = '{a:int}', fields = {} }", "", "or 'packed'"),
        ("{ packed = { a = { shift = 0, bits = 4 }, b = { shift = 4, bits = 4 } }, "
         "fields = { a = 'battery.cells', b = 'battery.cells' } }", ".fields.b", "stated by the field 'a'"),
    ],
)  # fmt: skip
def test_a_mistake_names_its_line_and_key(written: str, key: str, says: str) -> None:
    error = mistake(f'grammar = "pairs"\nline = "{{key:word}}={{value:rest}}"\n[reads.words]\nw = {written}\n')
    assert (error.line, error.key) == (STARTS + 4, f"reads[0].words.w{key}")
    assert says in str(error)

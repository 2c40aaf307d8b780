"""From the options of a dialect file to the decoders of whole numbers that hold more than a number."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from propsoff.craft.names import FactSpec
from propsoff.dialects.decode import Integer
from propsoff.dialects.decode_bits import WIDEST, Bit, Bits, Index, Packed, Slot
from propsoff.dialects.section import Section, nearest

_MOST_BITS = 32


def integer_of(section: Section) -> Integer:
    """How a whole number is written: `base` and `prefix`. Raises DialectError."""
    return Integer(section.whole("base", 10, least=2, most=36), section.text_or("prefix", ""))


def bits_of(_: object, section: Section, spec: FactSpec) -> Bits:
    """The decoder `bits`. Raises DialectError."""
    if not spec.many or spec.type is not str:
        section.fail(f"{spec.name} is no list of words: decoder 'bits' does not give that", "as")
    names = section.section("names")
    taken: dict[int, str] = {}
    for bit in names.names():
        if not (bit.isascii() and bit.isdigit()) or not 0 <= int(bit[:4]) < WIDEST or (str(int(bit)) != bit):
            names.fail(f"a bit is a number from 0 to {WIDEST - 1}", bit)
        name = taken[int(bit)] = names.text(bit)
        if spec.choices and name not in spec.choices:
            names.fail(f"{spec.name} cannot be {name!r}", bit, nearest(name, spec.choices))
        if list(taken.values()).count(name) > 1:
            names.fail(f"two bits are called {name!r}", bit)
    keep = section.text_or("others", "problem")
    if keep not in ("problem", "keep"):
        section.fail("expected 'problem' or 'keep'", "others")
    if keep == "keep" and spec.choices:
        section.fail(f"{spec.name} takes fixed words only: others cannot be kept", "others")
    if not taken and keep != "keep":
        section.fail("at least one bit is needed", "names")
    empty = section.texts("empty", [])
    wrong = next((item for item in empty if spec.choices and item not in spec.choices), None)
    if wrong is not None:
        section.fail(f"{spec.name} cannot be {wrong!r}", "empty", nearest(wrong, spec.choices))
    return Bits(dict(sorted(taken.items())), integer_of(section), keep == "keep", empty)


def bit_of(_: object, section: Section, spec: FactSpec) -> Bit:
    """The decoder `bit`. Raises DialectError."""
    if spec.type is not bool:
        section.fail(f"{spec.name} is no yes or no: decoder 'bit' does not give that", "as")
    bit = section.whole("bit", most=WIDEST - 1)
    return Bit(bit, integer_of(section), section.truth("inverted", False))


def index_of(_: object, section: Section, spec: FactSpec) -> Index:
    """The decoder `index`. Raises DialectError."""
    listed: Any = section.raw("of")
    if not isinstance(listed, list) or not listed:
        section.fail("a list of what the positions stand for is needed", "of" if section.has("of") else None)
    holder = section.within("of")
    meant = tuple(_meant(holder, at, item, spec) for at, item in enumerate(listed))
    return Index(meant, section.whole("from", 0), integer_of(section))


def _meant(holder: Section, at: int, item: object, spec: FactSpec) -> object:
    """What one position stands for, in the type of the fact; None for an empty text: no meaning is known."""
    if item == "":
        return None
    if spec.type is str and isinstance(item, str):
        if spec.choices and item not in spec.choices:
            holder.fail(f"{spec.name} cannot be {item!r}", at, nearest(item, spec.choices))
        return item
    text = {True: "true", False: "false"}[item] if isinstance(item, bool) else str(item)
    if spec.type is bool and text in ("true", "false"):
        return text == "true"
    if spec.type in (int, float) and isinstance(item, (int, str, Decimal)) and not isinstance(item, bool):
        try:
            number = Decimal(text)
            if number.is_finite() and abs(number) < 1 << 63 and (spec.type is float or number == int(number)):
                return float(number) if spec.type is float else int(number)
        except ArithmeticError:
            pass
    return holder.fail(f"{spec.name} cannot be {item!r}: it is of type {spec.type.__name__}", at)


def packed_of(section: Section) -> Packed:
    """The fields of the key `packed`, and how the number is written. Raises DialectError."""
    fields = section.section("packed")
    slots: list[Slot] = []
    for name in fields.names():
        inner = fields.section(name)
        slot = Slot(name, inner.whole("shift", most=WIDEST - 1), inner.whole("bits", least=1, most=_MOST_BITS))
        inner.finish()
        if slot.shift + slot.bits > WIDEST:
            inner.fail(f"it ends above bit {WIDEST - 1}", "bits")
        over = next((other for other in slots if other.mask & slot.mask), None)
        if over is not None:
            inner.fail(f"it shares bits with {over.name!r}", "shift")
        slots.append(slot)
    packed = Packed(tuple(slots), integer_of(section))
    if not packed.names:
        section.fail("at least one field is needed", "packed")
    return packed

"""Decoders of whole numbers that hold more than a number: bits with names, positions in a list, packed fields."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from propsoff.dialects.decode import Fault, Integer, Raw, shown

WIDEST = 64
"""Bits of the largest number that is taken apart."""
_LOOSE = "bit "


def _mask(integer: Integer, raw: Raw) -> int | Fault:
    number = integer.read(raw)
    if isinstance(number, Fault):
        return number
    if not isinstance(number, int) or number < 0 or number.bit_length() > WIDEST:
        return Fault(f"expected bits of a number of at most {WIDEST} bits, found {shown(raw)}")
    return number


@dataclass(frozen=True, slots=True)
class Bits:
    """The names of the bits that are set, lowest first. With `keep`, a bit without a name is called ``bit 7``.

    No bit set stands for `empty`. Bits have no order: what is said reads back as the same names, lowest first.
    """

    names: Mapping[int, str]
    integer: Integer = field(default=Integer())
    keep: bool = False
    empty: tuple[str, ...] = ()

    def read(self, raw: Raw) -> object:
        mask = _mask(self.integer, raw)
        if isinstance(mask, Fault):
            return mask
        found: list[str] = []
        for bit in range(mask.bit_length()):
            if not mask >> bit & 1:
                continue
            if bit not in self.names and not self.keep:
                return Fault(f"bit {bit} of {shown(raw)} has no name")
            found.append(self.names.get(bit, f"{_LOOSE}{bit}"))
        return tuple(found) or self.empty

    def say(self, value: object) -> str | None:
        values = (value,) if isinstance(value, str) else value
        if not isinstance(values, (tuple, list)):
            return None
        wanted = set() if tuple(values) == self.empty else set(values)
        known = {name: bit for bit, name in self.names.items()}
        if self.keep:
            known |= {f"{_LOOSE}{bit}": bit for bit in range(WIDEST) if bit not in self.names}
        if not wanted <= known.keys():
            return None
        text = self.integer.say(sum(1 << known[name] for name in wanted))
        back = None if text is None else self.read(text)
        return text if isinstance(back, tuple) and sorted(back) == sorted(values) else None


@dataclass(frozen=True, slots=True)
class Bit:
    """One bit of a number, as true or false; `inverted`: true when it is not set. Not said: the other bits would go."""

    bit: int
    integer: Integer = field(default=Integer())
    inverted: bool = False

    def read(self, raw: Raw) -> object:
        mask = _mask(self.integer, raw)
        return mask if isinstance(mask, Fault) else bool(mask >> self.bit & 1) is not self.inverted

    def say(self, value: object) -> str | None:
        return None


@dataclass(frozen=True, slots=True)
class Index:
    """The position of a value in a list, counted from `first`. A value None is a position without a meaning."""

    of: Sequence[object]
    first: int = 0
    integer: Integer = field(default=Integer())

    def read(self, raw: Raw) -> object:
        number = self.integer.read(raw)
        if isinstance(number, Fault):
            return number
        at = number - self.first if isinstance(number, int) else -1
        if not 0 <= at < len(self.of):
            last = self.first + len(self.of) - 1
            return Fault(f"expected a position from {self.first} to {last}, found {shown(raw)}")
        found = self.of[at]
        return Fault(f"position {shown(raw)} has no meaning") if found is None else found

    def say(self, value: object) -> str | None:
        for at, known in enumerate(self.of):
            if known is not None and known == value and type(known) is type(value):
                return self.integer.say(at + self.first)
        # A whole number for a fact that takes parts is the same value.
        same = [at for at, known in enumerate(self.of) if isinstance(known, float) and known == value]
        return self.integer.say(same[0] + self.first) if same and not isinstance(value, bool) else None


@dataclass(frozen=True, slots=True)
class Slot:
    """A field of a packed number: `bits` many from bit `shift` on."""

    name: str
    shift: int
    bits: int

    @property
    def mask(self) -> int:
        """The bits of the number that are this field."""
        return (1 << self.bits) - 1 << self.shift


@dataclass(frozen=True, slots=True)
class Packed:
    """Several numbers in one. A bit that belongs to no field must not be set."""

    slots: tuple[Slot, ...]
    integer: Integer = field(default=Integer())

    @property
    def names(self) -> tuple[str, ...]:
        """The fields, without those that are taken and forgotten (`_name`)."""
        return tuple(slot.name for slot in self.slots if not slot.name.startswith("_"))

    def split(self, raw: Raw) -> Mapping[str, str] | Fault:
        """Each field as decimal text."""
        number = _mask(self.integer, raw)
        if isinstance(number, Fault):
            return number
        stray = number & ~sum(slot.mask for slot in self.slots)
        if stray:
            return Fault(f"bit {stray.bit_length() - 1} of {shown(raw)} belongs to no field")
        return {slot.name: str((number & slot.mask) >> slot.shift) for slot in self.slots}

    def join(self, texts: Mapping[str, str]) -> str | None:
        """The number; None when a field is forgotten, or its text is no number that fits into it."""
        number = 0
        for slot in self.slots:
            text = texts.get(slot.name, "")
            if not (text.isascii() and text.isdigit()) or len(text) > WIDEST or int(text).bit_length() > slot.bits:
                return None
            number |= int(text) << slot.shift
        return self.integer.say(number)

"""Decoders of several values in one: the order of the channels, and lists."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from propsoff.craft.order import is_number, order_of, parts_of
from propsoff.dialects.decode import Decoder, Fault, Raw, shown, word_of

_PARTS = re.compile(r"[0-9]+|[^0-9]")
_DIGITS = "0123456789"
_LONGEST_ORDER = 160


@dataclass(frozen=True, slots=True)
class Letters:
    """The channel order as one letter an axis, numbers for the further channels (``R A E T 1 2``).

    `letters` maps the board's letters to A, E, T and R. `separator` stands between them (a blank: any run of blanks;
    empty: nothing). `rest` is how many further channels the board must be told.
    """

    letters: Mapping[str, str]
    separator: str = ""
    rest: int = 0

    def read(self, raw: Raw) -> object:
        if not isinstance(raw, str) or len(raw) > _LONGEST_ORDER:
            return Fault(f"expected the letters of the channel order, found {shown(raw)}")
        axes: list[str] = []
        for part in self._parts(raw):
            if not (part in self.letters or _is_channel(part)):
                return Fault(f"no axis has the letter {part!r}: {shown(raw)}")
            axes.append(self.letters.get(part, part))
        return _order(axes, raw)

    def _parts(self, raw: str) -> list[str]:
        if self.separator:
            return [part for part in _items(raw, self.separator) or () if isinstance(part, str)]
        parts = _PARTS.findall(raw)
        return [one for part in parts for one in (_numbers(part) if part[0] in _DIGITS else [part])]

    def say(self, value: object) -> str | None:
        return _order_said(self, self.letters, value)


@dataclass(frozen=True, slots=True)
class Axes:
    """The channel order as names in a list, numbers for the further channels (``roll,pitch,throttle,yaw,1,2``).

    `names` maps the board's names to A, E, T and R. `rest` is how many further channels the board must be told.
    """

    names: Mapping[str, str]
    separator: str = ","
    rest: int = 0

    def read(self, raw: Raw) -> object:
        items = _items(raw, self.separator)
        if items is None:
            return Fault(f"expected the axes in order, found {shown(raw)}")
        axes: list[str] = []
        for item in items:
            name = word_of(item) or ""
            if not (name in self.names or _is_channel(name)):
                return Fault(f"no axis has the name {shown(item)}")
            axes.append(self.names.get(name, name))
        return _order(axes, raw)

    def say(self, value: object) -> str | None:
        return _order_said(self, self.names, value)


def _is_channel(part: str) -> bool:
    return is_number(part) and len(part) < 3


def _order_said(decoder: Letters | Axes, words: Mapping[str, str], value: object) -> str | None:
    if not isinstance(value, str):
        return None
    parts = parts_of(value)
    numbers = sum(map(is_number, parts))
    if numbers == 0:
        parts += [str(number) for number in range(1, decoder.rest + 1)]
    elif numbers < decoder.rest:
        return None
    back = {axis: word for word, axis in words.items()}
    text = decoder.separator.join(back.get(part, part) for part in parts)
    return text if decoder.read(text) == value else None


def _numbers(digits: str) -> list[str]:
    """``123`` is 1, 2, 3; ``8910`` is 8, 9, 10: numbers that count up are taken whole, others digit by digit."""
    counted: list[str] = []
    at, following = 0, int(digits[0])
    while at < len(digits) and digits.startswith(str(following), at):
        counted.append(str(following))
        at += len(str(following))
        following += 1
    return counted if at == len(digits) else list(digits)


def _order(axes: list[str], raw: Raw) -> object:
    # An order that repeats or lacks an axis is what the board states; to judge it is a check's work.
    return order_of(axes) or Fault(f"the channel order is empty: {shown(raw)}")


def _items(raw: Raw, separator: str) -> list[Raw] | None:
    if isinstance(raw, list):
        return raw
    if not isinstance(raw, str):
        return None
    if separator.strip():
        return [part.strip() for part in raw.split(separator)] if raw.strip() else []
    return list(raw.split())


@dataclass(frozen=True, slots=True)
class ListOf:
    """Several values: a list of a JSON document, or text with a `separator` (a blank: any run of blanks).

    An empty list stands for `empty`, and is said as `empty_said` (not at all when that is empty). `behind` is text that
    stands once behind all of them, such as their unit.
    """

    each: Decoder
    separator: str = ","
    empty: tuple[str, ...] = ()
    empty_said: str = ""
    behind: str = ""

    def read(self, raw: Raw) -> object:
        if self.behind and isinstance(raw, str):
            if not raw.endswith(self.behind):
                return Fault(f"expected a list followed by {self.behind!r}, found {shown(raw)}")
            raw = raw.removesuffix(self.behind).rstrip()
        items = _items(raw, self.separator)
        if items is None:
            return Fault(f"expected a list, found {shown(raw)}")
        taken: list[object] = []
        for item in items:
            value = self.each.read(item)
            if isinstance(value, Fault):
                return value
            taken.append(value)
        return tuple(taken) if items else self.empty

    def say(self, value: object) -> str | None:
        values = (value,) if isinstance(value, str) else value
        if not isinstance(values, (tuple, list)):
            return None
        if tuple(values) == self.empty and self.empty_said:
            return self.empty_said
        if not values:
            return None
        said = [self.each.say(item) for item in values]
        text = self.separator.join(word for word in said if word is not None) + self.behind
        return text if None not in said and self.read(text) == tuple(values) else None

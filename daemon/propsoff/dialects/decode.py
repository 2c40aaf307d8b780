"""Decoders: from what a console writes to the value of a canonical fact, and back.

A decoder is pure. What it cannot take becomes a `Fault` that says why: never an exception, never a default. Values from
a JSON document arrive as they stand there (text, `Decimal`, true/false, list), everything else as text.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from typing import Protocol

from propsoff.dialects.units import Scale

Raw = str | Decimal | bool | list["Raw"] | dict[str, "Raw"] | None
_NUMBER = re.compile(r"[+-]?[0-9]+(?:\.[0-9]+)?")
_LONGEST = 40
_LARGEST_EXPONENT = 30


@dataclass(frozen=True, slots=True)
class Fault:
    """Why a value could not be taken."""

    why: str


class Decoder(Protocol):
    """One way to read a value, and to say it."""

    def read(self, raw: Raw) -> object:
        """The canonical value, or a `Fault`."""

    def say(self, value: object) -> str | None:
        """The board's word for a canonical value, None when it has none. Reading it back gives the value."""


def shown(raw: object) -> str:
    """A value as it is quoted in a problem: short."""
    text = _written(raw)
    return text if len(text) <= _LONGEST else text[: _LONGEST - 3] + "..."


def _written(raw: object) -> str:
    if isinstance(raw, list):
        return f"[{', '.join(_written(item) for item in raw)}]"
    if isinstance(raw, dict):
        return "{...}" if raw else "{}"
    if raw is None or isinstance(raw, bool):
        return {None: "null", True: "true", False: "false"}[raw]
    return repr(raw) if isinstance(raw, str) else str(raw)


def _is_typable(text: str) -> bool:
    """Whether a person can type the text at a console and the board would take it whole."""
    return text.isprintable() and text == text.strip()


def word_of(raw: Raw) -> str | None:
    """The text of a scalar as the console wrote it, None for lists, objects and null."""
    if isinstance(raw, str):
        return raw
    if isinstance(raw, bool):
        return "true" if raw else "false"
    return format(raw, "f") if isinstance(raw, Decimal) and abs(raw.adjusted()) <= _LARGEST_EXPONENT else None


@dataclass(frozen=True, slots=True)
class Text:
    """Text as it stands; `lower` folds it to lower case. `before` is what the fact has in front of it."""

    lower: bool = False
    before: str = ""

    def read(self, raw: Raw) -> object:
        text = word_of(raw)
        if text is None or isinstance(raw, bool):
            return Fault(f"expected text, found {shown(raw)}")
        return self.before + (text.lower() if self.lower else text)

    def say(self, value: object) -> str | None:
        if not isinstance(value, str) or not value.startswith(self.before):
            return None
        bare = value.removeprefix(self.before)
        return bare if _is_typable(bare) and self.read(bare) == value else None


@dataclass(frozen=True, slots=True)
class Integer:
    """A whole number in a base of 2..36, behind a `prefix` such as ``0x``."""

    base: int = 10
    prefix: str = ""

    def read(self, raw: Raw) -> object:
        text = word_of(raw)
        if text is None or isinstance(raw, bool):
            return Fault(f"expected a whole number, found {shown(raw)}")
        digits = text.removeprefix(self.prefix)
        wanted = f"a whole number in base {self.base}" + (f" behind {self.prefix!r}" if self.prefix else "")
        plain = digits[1:] if digits[:1] in ("+", "-") and not self.prefix else digits
        # int() also takes blanks, underscores and other scripts' digits, which no console writes on purpose.
        if not text.startswith(self.prefix) or len(plain) > _LONGEST or not (plain.isascii() and plain.isalnum()):
            return Fault(f"expected {wanted}, found {shown(raw)}")
        try:
            return int(digits, self.base)
        except ValueError:
            return Fault(f"expected {wanted}, found {shown(raw)}")

    def say(self, value: object) -> str | None:
        if isinstance(value, bool) or not isinstance(value, int) or (value < 0 and self.prefix):
            return None
        digits = ""
        rest = abs(value)
        while rest or not digits:
            rest, digit = divmod(rest, self.base)
            digits = "0123456789abcdefghijklmnopqrstuvwxyz"[digit] + digits
        return ("-" if value < 0 else "") + self.prefix + digits


@dataclass(frozen=True, slots=True)
class Number:
    """A number, scaled to the unit of the fact.

    `whole`: the fact is a whole number; a scaled value that is none is a fault (a reciprocal is rounded). `suffix`:
    text written against the number. `comma`: it has a comma where others have a point. For saying: `decimals` at least,
    and `board_whole` when the board takes whole numbers only.
    """

    whole: bool
    suffix: str = ""
    scale: Scale = field(default=Scale())
    decimals: int = 0
    board_whole: bool = False
    comma: bool = False
    _bare: bool = field(init=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_bare", self.whole and not self.suffix and self.scale == Scale())

    def read(self, raw: Raw) -> object:
        if self._bare:
            if type(raw) is str and raw.isdigit() and raw.isascii() and len(raw) <= _LONGEST:
                return int(raw)
            if isinstance(raw, Decimal) and (whole := _whole(raw)) is not None:
                return whole
        ratio = self._ratio(raw)
        if ratio is None:
            wanted = f"a number followed by {self.suffix!r}" if self.suffix else "a number"
            return Fault(f"expected {wanted}, found {shown(raw)}")
        above, below = self.scale.to_fact(*ratio)
        if below == 0:
            return Fault(f"{shown(raw)} has no reciprocal")
        if not self.whole:
            return above / below
        number, remainder = divmod(above, below)
        if remainder and not self.scale.reciprocal:
            return Fault(f"expected a whole number, found {shown(raw)}")
        return round(Fraction(above, below)) if remainder else number

    def _ratio(self, raw: Raw) -> tuple[int, int] | None:
        """The number as it is written, exact, as numerator and denominator."""
        if isinstance(raw, str):
            text = raw
            if self.suffix:
                if not raw.endswith(self.suffix):
                    return None
                text = raw[: len(raw) - len(self.suffix)].rstrip()
            if len(text) > _LONGEST or (self.comma and "." in text):
                return None
            if self.comma:
                text = text.replace(",", ".", 1)
            if text.isdigit() and text.isascii():
                return int(text), 1
            return Decimal(text).as_integer_ratio() if _NUMBER.fullmatch(text) else None
        if not isinstance(raw, Decimal) or self.suffix or abs(raw.adjusted()) > _LARGEST_EXPONENT:
            return None
        return raw.as_integer_ratio()

    def say(self, value: object) -> str | None:
        if isinstance(value, bool) or not isinstance(value, (int, float)) or not math.isfinite(value):
            return None
        number = self.scale.to_board(Fraction(repr(value)))
        if number is None or (self.board_whole and number.denominator != 1):
            return None
        text = _decimal(number, self.decimals)
        if text is not None and self.comma:
            text = text.replace(".", ",")
        return text + self.suffix if text is not None and self.read(text + self.suffix) == value else None


def _whole(raw: Decimal) -> int | None:
    return number if 0 <= raw.adjusted() <= _LARGEST_EXPONENT and (number := int(raw)) == raw else None


def _decimal(number: Fraction, decimals: int) -> str | None:
    """The number in decimal notation with at least so many decimals, None when that needs more than nine."""
    for places in range(decimals, 10):
        scaled = number * 10**places
        if scaled.denominator == 1:
            digits = str(abs(scaled.numerator)).rjust(places + 1, "0")
            whole, part = digits[: len(digits) - places], digits[len(digits) - places :]
            return ("-" if scaled < 0 else "") + whole + (f".{part}" if part else "")
    return None


@dataclass(frozen=True, slots=True)
class YesNo:
    """True or false in the board's words; the first of each is the one that is said."""

    yes: tuple[str, ...] = ("true",)
    no: tuple[str, ...] = ("false",)

    def read(self, raw: Raw) -> object:
        text = word_of(raw)
        if text in self.yes:
            return True
        if text in self.no:
            return False
        return Fault(f"expected {' or '.join(repr(word) for word in (*self.yes, *self.no))}, found {shown(raw)}")

    def say(self, value: object) -> str | None:
        return (self.yes if value else self.no)[0] if isinstance(value, bool) else None


@dataclass(frozen=True, slots=True)
class Choice:
    """A word that stands for a canonical one. With `keep`, a word that is not listed stands for itself."""

    words: Mapping[str, str]
    keep: bool = False

    def read(self, raw: Raw) -> object:
        text = word_of(raw)
        if text is None:
            return Fault(f"expected a word, found {shown(raw)}")
        found = self.words.get(text)
        if found is not None:
            return found
        if self.keep and text:
            return text
        known = ", ".join(repr(word) for word in self.words)
        return Fault(f"no known word: {shown(raw)}" + (f" (known: {known})" if len(known) <= 160 else ""))

    def say(self, value: object) -> str | None:
        for word, meaning in self.words.items():
            if meaning == value:
                return word
        if self.keep and isinstance(value, str) and value and value not in self.words and _is_typable(value):
            return value
        return None

"""Units that a console may count in, and how they become those of the canonical facts, without rounding."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

_UNITS: Mapping[str, tuple[str, Fraction]] = {
    "s": ("time", Fraction(1)),
    "ms": ("time", Fraction(1, 1000)),
    "us": ("time", Fraction(1, 1_000_000)),
    "ns": ("time", Fraction(1, 1_000_000_000)),
    "Hz": ("frequency", Fraction(1)),
    "kHz": ("frequency", Fraction(1000)),
    "MHz": ("frequency", Fraction(1_000_000)),
    "GHz": ("frequency", Fraction(1_000_000_000)),
    "V": ("voltage", Fraction(1)),
    "mV": ("voltage", Fraction(1, 1000)),
    "W": ("power", Fraction(1)),
    "mW": ("power", Fraction(1, 1000)),
    "uW": ("power", Fraction(1, 1_000_000)),
    "bytes": ("size", Fraction(1)),
    "B": ("size", Fraction(1)),
    "kB": ("size", Fraction(1000)),
    "MB": ("size", Fraction(1_000_000)),
    "GB": ("size", Fraction(1_000_000_000)),
    "KiB": ("size", Fraction(1 << 10)),
    "MiB": ("size", Fraction(1 << 20)),
    "GiB": ("size", Fraction(1 << 30)),
    "%": ("share", Fraction(1)),
    "permille": ("share", Fraction(1, 10)),
    "ratio": ("share", Fraction(100)),
    "baud": ("rate", Fraction(1)),
    "kbaud": ("rate", Fraction(1000)),
    "columns": ("columns", Fraction(1)),
}


@dataclass(frozen=True, slots=True)
class Scale:
    """How a board's number becomes the fact's.

    It is ``number * factor``, or ``factor / number`` when `reciprocal` (the board gives a period, the fact is a rate).
    """

    factor: Fraction = Fraction(1)
    reciprocal: bool = False

    def to_fact(self, above: int, below: int) -> tuple[int, int]:
        """From the board's number to the fact's, both exact, as numerator and denominator; a denominator 0 for 1/0."""
        if self.reciprocal:
            return below * self.factor.numerator, above * self.factor.denominator
        return above * self.factor.numerator, below * self.factor.denominator

    def to_board(self, number: Fraction) -> Fraction | None:
        """The board's number, exact; None for the reciprocal of zero."""
        if not self.reciprocal:
            return number / self.factor
        return self.factor / number if number else None


def known_units() -> tuple[str, ...]:
    """The names of all units."""
    return tuple(_UNITS)


def scale(board: str, fact: str | None) -> Scale | None:
    """How a number in unit `board` becomes one in the fact's unit; None when the two cannot be converted.

    Raises KeyError when there is no unit `board`.
    """
    kind, size = _UNITS[board]
    if fact is None or fact not in _UNITS:
        return None
    fact_kind, fact_size = _UNITS[fact]
    if kind == fact_kind:
        return Scale(size / fact_size)
    if {kind, fact_kind} == {"time", "frequency"}:
        return Scale(1 / (size * fact_size), reciprocal=True)
    return None

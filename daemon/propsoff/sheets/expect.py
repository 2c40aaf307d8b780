"""What a build sheet allows: a value, a range, a pattern, or anything at all; alone or several of them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fnmatch import fnmatchcase

from propsoff.versions import compare_versions

Value = str | int | float | bool


@dataclass(frozen=True, slots=True)
class Range:
    """From `low` to `high`, both included; None leaves that side open. Texts are versions and compare as such."""

    low: Value | None = None
    high: Value | None = None

    def allows(self, value: object) -> bool:
        """Whether a value lies in it; what cannot be compared does not."""
        above = self.low is None or _order(value, self.low) in (0, 1)
        return above and (self.high is None or _order(value, self.high) in (0, -1))

    def __str__(self) -> str:
        if self.low is None:
            return f"at most {self.high}"
        return f"at least {self.low}" if self.high is None else f"{self.low} to {self.high}"


@dataclass(frozen=True, slots=True)
class Pattern:
    """A shell-style pattern (`*`, `?`, `[ab]`) for a text; capitals do not matter."""

    text: str

    def allows(self, value: object) -> bool:
        """Whether a text matches."""
        return isinstance(value, str) and fnmatchcase(value.casefold(), self.text.casefold())

    def __str__(self) -> str:
        return f"like {self.text}"


@dataclass(frozen=True, slots=True)
class Anything:
    """Any value, as long as there is one: what was not read never will do."""

    def allows(self, value: object) -> bool:
        """Whether there is a value."""
        return value is not None

    def __str__(self) -> str:
        return "any value"


Allowed = Value | Range | Pattern | Anything


@dataclass(frozen=True, slots=True)
class Expected:
    """What a fact may be: any one of `values` (never empty), a number within `tolerance` of one.

    Texts are compared without regard to case. `source` says which sheet and line asks for it.
    """

    values: tuple[Allowed, ...]
    tolerance: float = 0.0
    source: str = ""

    def allows(self, value: object) -> bool:
        """Whether a value that was read will do. None, not read, never does."""
        return value is not None and any(self._fits(value, one) for one in self.values)

    def __str__(self) -> str:
        within = f" within {self.tolerance:g}" if self.tolerance else ""
        return either(str(value) for value in self.values) + within

    @property
    def plain(self) -> tuple[Value, ...]:
        """Those that are values of their own: neither ranges nor patterns."""
        return tuple(one for one in self.values if not isinstance(one, Range | Pattern | Anything))

    @property
    def only(self) -> Value | None:
        """The value when there is but one, else None: only then can a remedy name what to set."""
        return self.plain[0] if len(self.values) == len(self.plain) == 1 else None

    def _fits(self, value: object, one: Allowed) -> bool:
        if isinstance(one, Range | Pattern | Anything):
            return one.allows(value)
        if self.tolerance and _is_number(value) and _is_number(one):
            # A sum that is exact in decimal notation need not be one in binary.
            return abs(float(value) - float(one)) <= self.tolerance + 1e-9  # type: ignore[arg-type]  # numbers by now
        return _folded(value) == _folded(one)


def either(words: Iterable[str]) -> str:
    """`a`, `a or b`, `a, b or c`."""
    listed = list(words)
    return " or ".join(filter(None, [", ".join(listed[:-1]), listed[-1] if listed else ""]))


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


def _folded(value: object) -> object:
    if isinstance(value, bool):
        return ("bool", value)
    return value.casefold() if isinstance(value, str) else value


def _order(value: object, bound: Value) -> int | None:
    """-1, 0 or 1 as a value is below, at or above a bound; None when they cannot be compared."""
    if isinstance(value, str) and isinstance(bound, str):
        return compare_versions(value, bound)
    if _is_number(value) and _is_number(bound):
        return (value > bound) - (value < bound)  # type: ignore[operator]  # numbers by now
    return None

"""The order of firmware versions: 1.9.2 is older than 1.10.0, and a release candidate is older than its release.

Dates are compared as dates, and with dates only.
"""

from __future__ import annotations

import re
from datetime import date

from packaging.version import InvalidVersion, Version

_LEADING = re.compile(r"\s*v?(\d{1,9}(?:\.\d{1,9}){1,5}(?!\d)|\d{1,9}(?![^\W_]))", re.IGNORECASE | re.ASCII)
_APART = re.compile(r"\s+(?=(?:a|b|c|rc|alpha|beta|pre|preview|dev)[\s._-]?\d*\s*\Z)", re.IGNORECASE | re.ASCII)
_CLOCK = r"(?:[T\s]+\d{1,2}:\d{2}(?::\d{2}(?:\.\d{1,9})?)?\s*(?:Z|[+-]\d{2}:?\d{2})?)?"
_DATES = (
    # ISO 8601; with dots it may as well be a version, but one that has the same order.
    re.compile(rf"\s*(?P<y>\d{{4}})(?P<mark>[-/.])(?P<m>\d{{1,2}})(?P=mark)(?P<d>\d{{1,2}}){_CLOCK}\s*\Z", re.ASCII),
    re.compile(rf"\s*(?P<d>\d{{1,2}})\.(?P<m>\d{{1,2}})\.(?P<y>\d{{4}}){_CLOCK}\s*\Z", re.ASCII),
    # As ISO C has it in __DATE__ (C11 6.10.8.1): "Mar 14 2026", a day below 10 with a blank before it.
    re.compile(rf"\s*(?P<name>[A-Za-z]{{3}})\s+(?P<d>\d{{1,2}})\s+(?P<y>\d{{4}}){_CLOCK}\s*\Z", re.ASCII),
)
_DATE_LIKE = re.compile(r"\s*(?:\d{4}[-/]\d{1,2}[-/]|\d{1,2}/\d{1,2}/\d|\d{1,2}[-.]\d{1,2}[-.]\d{4}(?!\d))", re.ASCII)
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")

_LONGEST = 100


def compare_versions(first: str, second: str) -> int | None:
    """-1, 0 or 1 as the first is older than, equal to or newer than the second; None when that cannot be told.

    Dates (2026-03-14, 2026/03/14, 14.03.2026, Mar 14 2026; a time of day behind them does not count) compare with dates
    only; one whose day and month could be swapped (03/04/2026) with nothing. Versions that are not written as
    packaging.version reads them (PEP 440) are told by their leading numbers alone, as far as these decide:
    `4.3-field7` is above 4.2, but whether it reaches 4.3 is anybody's guess, unless the same is asked for.
    """
    one, other = first[: _LONGEST + 1], second[: _LONGEST + 1]
    if max(len(one), len(other)) > _LONGEST:
        return None
    dated = _date(one), _date(other)
    if dated[0] is not None and dated[1] is not None:
        return (dated[0] > dated[1]) - (dated[0] < dated[1])
    if _only_a_date(one, dated[0]) or _only_a_date(other, dated[1]):
        return None
    return _in_order(one, other)


def at_least(version: str, floor: str) -> bool | None:
    """Whether a version is at or above a floor; None when that cannot be told."""
    order = compare_versions(version, floor)
    return None if order is None else order >= 0


def _in_order(first: str, second: str) -> int | None:
    """The order of two texts that are no dates."""
    one, other = _version(first), _version(second)
    if one is not None and other is not None:
        return (one > other) - (one < other)
    leading, against = _numbers(first, one), _numbers(second, other)
    if leading is None or against is None:
        return None
    if first.strip().casefold() == second.strip().casefold():
        return 0
    # What stands behind the numbers may be anything, further numbers too: only where they differ is something told.
    if one is not None:
        leading += (0,) * (len(against) - len(leading))
    if other is not None:
        against += (0,) * (len(leading) - len(against))
    shared = min(len(leading), len(against))
    here, there = leading[:shared], against[:shared]
    return None if here == there else 1 if here > there else -1


def _date(text: str) -> date | None:
    for pattern in _DATES:
        if (match := pattern.match(text)) is not None:
            parts = match.groupdict()
            name = (parts.get("name") or "").lower()
            month = int(parts["m"]) if not name else _MONTHS.index(name) + 1 if name in _MONTHS else 0
            try:
                return date(int(parts["y"]), month, int(parts["d"]))
            except ValueError:
                return None
    return None


def _only_a_date(text: str, found: date | None) -> bool:
    """Whether it is, or looks like, a date and cannot be a version."""
    if found is None:
        return _DATE_LIKE.match(text) is not None
    return _DATES[0].match(text) is None or _version(text) is None


def _version(text: str) -> Version | None:
    try:
        return Version(_APART.sub("", text.strip()))
    except InvalidVersion:
        return None


def _numbers(text: str, version: Version | None) -> tuple[int, ...] | None:
    """Its epoch and leading numbers alone; the epoch is 0 where PEP 440 does not read it."""
    if version is not None:
        return (version.epoch, *version.release)
    leading = _LEADING.match(text)
    return None if leading is None else (0, *map(int, leading[1].split(".")))

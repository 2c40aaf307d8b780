"""The order of firmware versions: 1.9.2 is older than 1.10.0, and a release candidate is older than its release."""

from __future__ import annotations

import re

from packaging.version import InvalidVersion, Version

_LEADING = re.compile(r"\s*v?(\d{1,9}(?:\.\d{1,9}){0,5})(?!\d)", re.IGNORECASE)

_LONGEST = 100


def compare_versions(first: str, second: str) -> int | None:
    """-1, 0 or 1 as the first is older than, equal to or newer than the second; None when that cannot be told.

    Versions that are not written as packaging.version reads them (PEP 440) are told by their leading numbers alone, as
    far as these decide: `4.3-field7` is above 4.2, but whether it reaches 4.3 is anybody's guess.
    """
    one, other = _version(first), _version(second)
    if one is not None and other is not None:
        return (one > other) - (one < other)
    one, other = _numbers(first, one), _numbers(second, other)
    if one is None or other is None or one == other:
        return None
    return 1 if one > other else -1


def at_least(version: str, floor: str) -> bool | None:
    """Whether a version is at or above a floor; None when that cannot be told."""
    order = compare_versions(version, floor)
    return None if order is None else order >= 0


def _version(text: str) -> Version | None:
    try:
        return Version(text.strip()) if len(text) <= _LONGEST else None
    except InvalidVersion:
        return None


def _numbers(text: str, version: Version | None) -> Version | None:
    """Its leading numbers alone."""
    if version is not None:
        return Version(version.base_version)
    leading = _LEADING.match(text[:_LONGEST])
    return None if leading is None else Version(leading[1])

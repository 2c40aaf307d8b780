"""Comparing firmware versions: 1.9.2 is older than 1.10.0, and a release candidate is older than its release."""

from __future__ import annotations

import re

from packaging.version import InvalidVersion, Version

_LEADING = re.compile(r"\s*v?(\d{1,9}(?:\.\d{1,9}){0,5})(?!\d)", re.IGNORECASE)

_LONGEST = 100


def at_least(version: str, floor: str) -> bool | None:
    """Whether a version is at or above a floor; None when that cannot be told.

    Versions that are not written as packaging.version reads them (PEP 440) are told by their leading numbers alone, as
    far as these decide: `4.3-field7` is above 4.2, but whether it reaches 4.3 is anybody's guess.
    """
    wanted = _version(floor)
    if wanted is None:
        return None
    found = _version(version)
    if found is not None:
        return found >= wanted
    leading = _LEADING.match(version[:_LONGEST])
    if leading is None:
        return None
    number = Version(leading[1])
    return None if number == Version(wanted.base_version) else number > wanted


def _version(text: str) -> Version | None:
    try:
        return Version(text.strip()) if len(text) <= _LONGEST else None
    except InvalidVersion:
        return None

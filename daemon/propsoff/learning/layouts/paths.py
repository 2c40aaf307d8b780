"""The words that a key of several parts is made of."""

from __future__ import annotations

from propsoff.learning.thesaurus import UNITS


def path_of(key: str) -> tuple[str, ...]:
    """The parts of a key: `sense.gyro` and `/sense/gyro` are the gyro of the senses."""
    for mark in ("/", "::", ".", ":", ">", "\\"):
        parts = [part.strip() for part in key.removeprefix(mark).split(mark)]
        if len(parts) > 1 and all(parts):
            return tuple(with_unit(parts))
    return (key,)


def with_unit(parts: list[str], mark: str = " ") -> list[str]:
    """The parts with a unit at the end joined to what it measures: `channel.min.us` is a `min us` of the channels."""
    if len(parts) > _NAMED and parts[-1].casefold() in UNITS and len(parts[-1]) > 1:
        return [*parts[:-2], f"{parts[-2]}{mark}{parts[-1]}"]
    return parts


_NAMED = 2

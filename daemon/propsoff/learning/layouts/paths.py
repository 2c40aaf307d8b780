"""The words that a key of several parts is made of."""

from __future__ import annotations


def path_of(key: str) -> tuple[str, ...]:
    """The parts of a key: `sense.gyro` and `/sense/gyro` are the gyro of the senses."""
    for mark in ("/", "::", ".", ":", ">", "\\"):
        parts = [part.strip() for part in key.removeprefix(mark).split(mark)]
        if len(parts) > 1 and all(parts):
            return tuple(parts)
    return (key,)

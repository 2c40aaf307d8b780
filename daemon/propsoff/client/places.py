"""Which place of a bench a person means."""

from __future__ import annotations

import os
from collections.abc import Sequence
from typing import TYPE_CHECKING

from propsoff.exceptions import NothingThereError, RequestError

if TYPE_CHECKING:
    from propsoff.bench.scene import PlaceNow


def chosen(places: Sequence[PlaceNow], word: str, *, here: bool = False) -> PlaceNow:
    """The place of that id, of that name, or where that device is plugged in.

    `here`: the bench runs on this machine, so that another path of the same device is the same device. Raises
    NothingThereError with the places that there are; RequestError where several have that name.
    """
    for place in places:
        if place.place == word:
            return place
    if (plugged := at_device(places, word, here=here)) is not None:
        return plugged[0]
    named = [place for place in places if place.name == word]
    if len(named) == 1:
        return named[0]
    if named:
        ids = ", ".join(place.place for place in named)
        raise RequestError(f"{word}: several places are called that; name one by its id: {ids}")
    there = ", ".join(place.place for place in places) or "none so far"
    raise NothingThereError(
        f"the bench has no place {word[:200]!r}; there are: {there} (the setting bench.places names those that stay)"
    )


def at_device(places: Sequence[PlaceNow], device: str, *, here: bool = False) -> tuple[PlaceNow, str] | None:
    """The place where a device is plugged in, and what the bench calls the device; None when none has it."""
    wanted = os.path.realpath(device) if here and "://" not in device else device
    for place in places:
        for plugged in place.plugged:
            local = here and "://" not in plugged.device
            if device == plugged.device or wanted == (os.path.realpath(plugged.device) if local else plugged.device):
                return place, plugged.device
    return None

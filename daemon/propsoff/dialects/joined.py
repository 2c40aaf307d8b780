"""One fact from several words: ``{ver.major}.{ver.minor}`` is put together and read as one value."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass

from propsoff.dialects.words import Part

_PLACE = re.compile(r"\{([^{}]+)\}")


@dataclass(frozen=True)
class Joined:
    """`source` is the text with the words' names in braces; `part` is the fact, and how the whole is written."""

    source: str
    part: Part

    @property
    def names(self) -> tuple[str, ...]:
        """The words that it is put together from, each once."""
        return places_of(self.source)

    def text(self, said: Mapping[str, str]) -> str:
        """The whole, from what each word says."""
        return _PLACE.sub(lambda match: said[match[1]], self.source)


def places_of(source: str) -> tuple[str, ...]:
    """The names in braces, each once."""
    return tuple(dict.fromkeys(_PLACE.findall(source)))


def is_plain(source: str) -> bool:
    """Whether braces stand around names only."""
    return not set("{}") & set(_PLACE.sub("", source))

"""Finding what a text may be by the literal text that it begins with, without trying every template."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Generic, TypeVar

T = TypeVar("T")


@dataclass(frozen=True)
class Heads(Generic[T]):
    """Things filed under the literal text that their texts begin with."""

    filed: Mapping[str, tuple[T, ...]]
    lengths: tuple[int, ...]

    @classmethod
    def of(cls, things: Iterable[tuple[str, T]]) -> Heads[T]:
        """File (head, thing) pairs."""
        filed: dict[str, tuple[T, ...]] = {}
        for head, thing in things:
            filed[head] = (*filed.get(head, ()), thing)
        return cls(filed, tuple(sorted({len(head) for head in filed}, reverse=True)))

    def under(self, text: str) -> Iterator[T]:
        """The things whose head the text begins with, longest head first."""
        for length in self.lengths:
            yield from self.filed.get(text[:length], ())

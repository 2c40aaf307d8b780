"""The channel order as the canonical fact `channels.order` writes it.

Parts are the letters A, E, T, R and the numbers of the further channels, as text. Letters that follow one another are
joined, numbers stand apart. Numbers that run 1..n behind the last letter say nothing, and are left out::

    A E T R 1 2 3 4    AETR
    A E T R 2 1 3      AETR 2 1 3
    A 1 E T R          A 1 ETR
"""

from __future__ import annotations

from collections.abc import Sequence


def order_of(parts: Sequence[str]) -> str:
    """The canonical text of an order; empty when there are no parts."""
    kept = list(parts)
    numbers = [part for part in kept if is_number(part)]
    letters = len(kept) - len(numbers)
    if letters and kept[letters:] == [str(number) for number in range(1, len(numbers) + 1)]:
        del kept[letters:]
    text = ""
    for at, part in enumerate(kept):
        apart = at > 0 and (is_number(part) or is_number(kept[at - 1]))
        text += f" {part}" if apart else part
    return text


def parts_of(order: str) -> list[str]:
    """The parts of an order, one for each channel that it names."""
    return [part for word in order.split() for part in ([word] if is_number(word) else word)]


def is_number(part: str) -> bool:
    """Whether a part is the number of a further channel."""
    return part.isascii() and part.isdigit()

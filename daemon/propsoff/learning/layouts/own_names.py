"""Which word before a number or a letter belongs to a thing's own name."""

from __future__ import annotations

import re
from collections.abc import Sequence

_GENERIC = frozenset(
    ["port", "ports", "poort", "porta", "puerto", "porte", "switch", "item", "element", "slot", "row", "no"]
)


def own_name(lead: str, ids: Sequence[str]) -> str:
    """What belongs in front of short ids: `UART ` where the console says `UART 1`, nothing where it says `port 1`."""
    short = all(re.fullmatch(r"[0-9]{1,2}|[A-Z]", id_) for id_ in ids)
    return f"{lead} " if short and lead.isalpha() and lead.casefold() not in _GENERIC else ""

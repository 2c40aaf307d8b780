"""What the built-in checks say in common: cautions, lists in words, lines for one UART."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from propsoff import Case, Uart

PROPELLERS_OFF = (
    "Propellers off before the craft is powered. Connecting the battery may start a motor. Local rules come first."
)
"""The usual caution; where it comes from is in `SAFETY_SOURCES`."""

SAFETY_SOURCES = (
    "droneracingsafety.org: all propellers off before work on the bench",
    "BMFA handbook, p. 33: connecting the battery may start a motor",
)

_LONGEST = 40
_LONGEST_LIST = 150
_MOST_TYPED = 6


def listed(words: Iterable[str]) -> str:
    """`a`, `a and b`, `a, b and c`; long words are cut, and of many those are named that fit into a summary."""
    return _joined(words, " and ")


def either(words: Iterable[str]) -> str:
    """As `listed`, with `or`."""
    return _joined(words, " or ")


def _joined(words: Iterable[str], last: str) -> str:
    every = [cut(word) for word in words]
    fitting, length = 0, 0
    while fitting < len(every) and length + len(every[fitting]) <= _LONGEST_LIST:
        length += len(every[fitting]) + 2
        fitting += 1
    rest = len(every) - fitting
    shown = [*every[:fitting], f"{rest} more"] if rest else every
    return last.join(filter(None, [", ".join(shown[:-1]), shown[-1] if shown else ""]))


def cut(text: str) -> str:
    """Text that is short enough to quote."""
    return text if len(text) <= _LONGEST else f"{text[:_LONGEST]}... ({len(text)} characters)"


def port_name(port: Uart, index: int) -> str:
    """The board's name of a UART, else where it stands in the listing."""
    return cut(port.id) if port.id else f"port {index + 1} of the listing"


def typed(lines: Sequence[str], first: str = "type") -> str:
    """Console lines as a remark within a step, a blank before it; empty where there is nothing to type."""
    return f" ({first} {', '.join(f'`{line}`' for line in lines)})" if 0 < len(lines) <= _MOST_TYPED else ""


def say_port(case: Case, port: Uart, *, roles: Sequence[str] | None = None, baud: int | None = None) -> tuple[str, ...]:
    """Console lines that give a UART these roles and this rate (None: as they are); empty where they cannot be said."""
    if case.tongue is None or port.id is None:
        return ()
    wanted: list[tuple[str, object]] = []
    row: dict[str, object] = {"id": port.id, "roles": roles or port.roles, "baud": port.baud if baud is None else baud}
    if roles is not None:
        wanted.append(("ports[].roles", tuple(roles)))
    if baud is not None and baud != port.baud:
        wanted.append(("ports[].baud", baud))
    said: list[str] = []
    for fact, value in wanted:
        lines = case.tongue.say(fact, value, row=row)
        if not lines:
            return ()
        said += [line for line in lines if line not in said]
    return (*said, *case.tongue.closing()) if said else ()

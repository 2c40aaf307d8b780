"""Which stick drives which control."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import zip_longest

from propsoff import Case, Finding, check
from propsoff_checks.words import PROPELLERS_OFF, SAFETY_SOURCES, cut, listed

CONTROLS = {"A": "aileron (roll)", "E": "elevator (pitch)", "T": "throttle", "R": "rudder (yaw)"}
_SHORT = {"A": "aileron", "E": "elevator", "T": "throttle", "R": "rudder"}
_PART = re.compile(r"[0-9]+|[^0-9\s]")
_THROTTLE_WHY = "With throttle on another stick the motors may go to full power at the first touch of a stick."
_OTHER_WHY = "A stick that moves the wrong axis turns the craft over at take-off."
_TRY = "Propellers off, transmitter on: move one stick at a time and see that its own channel answers, from end to end."
_EFFECTS = ("arming-blocks/throttle-not-low", "switch-plan/arm-on-stick", "switch-plan/on-stick")


@check(
    "channel-order",
    title="Channel order: every stick drives its own control",
    why=_OTHER_WHY,
    reads=("channels.order",),
    sources=(
        "rchelibase.com, p. 14: orders are makers' customs, no standard; there are 4! = 24",
        "one order for all craft and transmitters of a house: common practice",
        *SAFETY_SOURCES,
    ),
    caution=PROPELLERS_OFF,
)
def channel_order(case: Case) -> Iterator[Finding]:
    """Four letters, each once, in the sheet's order."""
    order = case.craft.channels.order
    if order is None:
        yield case.unread("channels.order", explains=("channel-range/unread",))
        return
    found = parts_of(order)
    letters, rest = _sorted_out(found)
    wanted = _nearest(case, found)
    expected = case.sheet.expected("channels.order")
    if sorted(letters) != sorted(CONTROLS):
        yield _incomplete(case, order, letters, wanted)
    elif expected is not None and expected.allows(order):
        yield case.passed(f"{letters}, as expected", facts=("channels.order",), actual=cut(order))
    elif expected is not None and wanted is None:
        yield _unlike(case, order, cut(str(expected)))
    elif wanted is None:
        yield case.passed(
            f"{letters}: every control has one channel; the build sheet asks for no order", facts=("channels.order",)
        )
    elif found[:4] != wanted[:4]:
        yield _out_of_place(case, order, found, wanted)
    elif _as_far_as_asked(rest, wanted) != wanted[4:]:
        asked = _listed(wanted[4:])
        yield case.fail(
            f"the channels after the sticks are in the order {cut(_listed(rest))}, where {asked} is expected",
            code="further-channels",
            facts=("channels.order",),
            expected=_text(wanted),
            actual=cut(order),
            why="Switches act on other functions than the pilot means.",
            settings=_settings(case, rest, wanted),
            steps=(_TRY,),
        )
    else:
        yield case.passed(f"{letters}, as expected", facts=("channels.order",), actual=cut(order))


def parts_of(order: str) -> list[str]:
    """What each channel carries, in order: the letter of a stick, as a capital, or the number of a further channel."""
    return [part.upper() for part in _PART.findall(order)]


def _sorted_out(parts: Sequence[str]) -> tuple[str, list[str]]:
    """The letters of the sticks in one word, and the numbers of the further channels."""
    numbers = [part for part in parts if part.isascii() and part.isdigit()]
    return "".join(part for part in parts if part not in numbers), numbers


def _counted_out(numbers: Sequence[str]) -> list[str]:
    """No numbers where they run 1..n, as the fact leaves them out."""
    return [] if [*numbers] == [str(at + 1) for at in range(len(numbers))] else [*numbers]


def _listed(numbers: Sequence[str]) -> str:
    return " ".join(numbers) or "1 2 3 and so on"


def _text(order: Sequence[str]) -> str:
    """An order that begins with the four sticks, as the fact is written."""
    return " ".join(("".join(order[:4]), *_counted_out(order[4:])))


def _nearest(case: Case, found: Sequence[str]) -> list[str] | None:
    """Of the orders that the sheet allows, the one that differs least from what was found."""
    expected = case.sheet.expected("channels.order")
    if expected is None:
        return None
    orders = [parts_of(str(value)) for value in expected.plain]
    return min(orders, key=lambda order: sum(a != b for a, b in zip_longest(order, found[: len(order)])), default=None)


def _settings(case: Case, rest: Sequence[str], wanted: Sequence[str]) -> Sequence[tuple[str, object]]:
    """What puts it right: the sheet's letters, and the board's own further channels where the sheet names none."""
    expected = case.sheet.expected("channels.order")
    if expected is None or expected.only is None:
        return ()
    return [("channels.order", _text([*wanted, *(number for number in rest if number not in wanted[4:])]))]


def _as_far_as_asked(rest: Sequence[str], wanted: Sequence[str]) -> list[str]:
    """As many further channels as the sheet names: what stands behind them is nobody's concern."""
    asked = len(wanted) - 4
    return [*(rest or (str(at + 1) for at in range(asked)))][:asked]


def _unlike(case: Case, order: str, expected: str) -> Finding:
    return case.fail(
        f"the channel order is {cut(order)}, where {expected} is expected",
        code="order",
        facts=("channels.order",),
        expected=expected,
        actual=cut(order),
        steps=(_TRY,),
        explains=_EFFECTS,
    )


def _incomplete(case: Case, order: str, letters: str, wanted: Sequence[str] | None) -> Finding:
    missing = [CONTROLS[letter] for letter in CONTROLS if letter not in letters]
    repeated = [CONTROLS[letter] for letter in CONTROLS if letters.count(letter) > 1]
    strange = sorted({letter for letter in letters if letter not in CONTROLS})
    parts = [
        f"no channel drives {listed(missing)}" if missing else "",
        f"more than one channel drives {listed(repeated)}" if repeated else "",
        f"{listed(strange)} stands for no control" if strange else "",
    ]
    summary = "; ".join(part for part in parts if part)
    why = _THROTTLE_WHY if CONTROLS["T"] in missing + repeated else _OTHER_WHY
    return case.fail(
        summary if letters else "no channel order is set: no stick drives anything",
        code="incomplete",
        facts=("channels.order",),
        expected=_text(wanted) if wanted else "each of A, E, T and R once",
        actual=cut(order) or "empty",
        why=f"A control without a channel of its own cannot be flown. {why}",
        settings=_settings(case, _sorted_out(parts_of(order))[1], wanted or ()),
        steps=(_TRY,),
        explains=_EFFECTS,
    )


def cycles(found: str, wanted: str) -> list[str]:
    """The groups of controls that stand in each other's places, each as letters: `TA` are swapped, `AET` are rotated.

    In a group the stick of each letter drives the control of the next, and that of the last the first.
    """
    drives = {wanted[channel]: found[channel] for channel in range(4)}
    groups: list[str] = []
    seen: set[str] = set()
    for start in "TAER":  # throttle first: it matters most
        group = ""
        while start not in seen:
            seen.add(start)
            group += start
            start = drives[start]
        if len(group) > 1:
            groups.append(group)
    return groups


def _told(group: str) -> str:
    names = [_SHORT[letter] for letter in group]
    pairs = listed(f"the {name} stick drives {names[(at + 1) % len(names)]}" for at, name in enumerate(names))
    return f"{listed(names)} are swapped: {pairs}" if len(group) == 2 else f"{listed(names)} are rotated: {pairs}"


def _scattered(found: Sequence[str], wanted: Sequence[str]) -> str:
    """What the sticks drive where a further channel stands among them."""
    moved = [(stick, part) for stick, part in zip(wanted[:4], found, strict=False) if stick != part]
    pairs = listed(f"the {_SHORT[stick]} stick drives {_SHORT.get(part, 'no control')}" for stick, part in moved)
    return f"a further channel stands among the sticks: {pairs}"


def _out_of_place(case: Case, order: str, found: Sequence[str], wanted: Sequence[str]) -> Finding:
    letters, rest = _sorted_out(found)
    among_sticks = found[:4] != [*letters]
    if not among_sticks:
        groups = cycles(letters, "".join(wanted))
        summary = "; ".join(_told(group) for group in groups)
        throttle = any("T" in group for group in groups)
    else:
        summary = _scattered(found, wanted)
        throttle = found.index("T") != wanted.index("T")
    return case.fail(
        summary,
        code="among-sticks" if among_sticks else "order",
        facts=("channels.order",),
        expected=_text(wanted),
        actual=cut(order),
        why=_THROTTLE_WHY if throttle else _OTHER_WHY,
        settings=_settings(case, rest, wanted),
        steps=(_TRY,),
        explains=_EFFECTS,
    )

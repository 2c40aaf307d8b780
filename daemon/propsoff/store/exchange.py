"""All of history as JSON lines, and back: nothing is lost on the way, and nothing overwritten.

The first line says what it is. Then, the first that was entered first, each visit: its report and what history knows
of it; a capture stands before the first report that was read from it, in base64 (RFC 4648).
"""

from __future__ import annotations

import base64
import hashlib
import json
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from propsoff.exceptions import StoreError
from propsoff.store.entering import Before
from propsoff.store.packing import Prepared, document, prepared, told_rules
from propsoff.store.sound import sound_report

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from propsoff.store.store import Store

FORM = 1
_HEAD = "propsoff_history"


@dataclass
class Counts:
    """What an import or export came to.

    `known` and `known_captures` were there already, `bad` are the parts that could not be taken.
    """

    reports: int = 0
    captures: int = 0
    known: int = 0
    known_captures: int = 0
    bad: int = 0


def exported(store: Store, counts: Counts, say: Callable[[str], object]) -> Iterator[str]:
    """The lines. What is damaged is said, counted and left out. Raises StoreError when the database fails."""
    yield _line({_HEAD: FORM})
    left = dict.fromkeys(store.captures())
    for visit in store.in_order_of_entry():
        if visit.capture_sha256 in left:
            del left[visit.capture_sha256]
            yield from _capture_line(store, visit.capture_sha256, counts, say)
        try:
            report = store.report(visit.id)
        except StoreError as error:
            counts.bad += 1
            say(str(error))
            continue
        before = {
            "entered": visit.entered,
            "replaces": visit.replaces,
            "clock_back": visit.clock_back,
            "rules": visit.rules,
        }
        counts.reports += 1
        yield f'{{"visit":{json.dumps(before)},"report":{document(report).decode().strip()}}}\n'
    for sha256 in left:
        yield from _capture_line(store, sha256, counts, say)


def _capture_line(store: Store, sha256: str, counts: Counts, say: Callable[[str], object]) -> Iterator[str]:
    try:
        data = store.capture(sha256)
    except StoreError as error:
        counts.bad += 1
        say(str(error))
        return
    if data is not None:
        counts.captures += 1
        yield _line({"capture": sha256, "base64": base64.b64encode(data).decode()})


def _line(value: object) -> str:
    return json.dumps(value, separators=(",", ":")) + "\n"


def imported(store: Store, lines: Iterable[bytes], say: Callable[[str], object]) -> Counts:
    """Enter exported lines; a line that cannot be taken is said with its number, and the others go on.

    Raises StoreError when the first line says that this is no export, or a newer one; and when the database fails.
    """
    counts = Counts()
    reading = _Reading(store, say, counts)
    for name, came in store.enter_many(reading.visits(lines)):
        reading.count_capture(name, entered=came != "differs")
        if came == "differs":
            counts.bad += 1
            say(f"report {name}: history has another of this id, which stays")
        elif came == "known":
            counts.known += 1
        else:
            counts.reports += 1
    reading.keep_the_rest()
    return counts


@dataclass
class _Reading:
    """`held` are the captures whose report has not come yet.

    `brought` says of each report that came with a capture whether history had that one already.
    """

    store: Store
    say: Callable[[str], object]
    counts: Counts
    held: dict[str, bytes] = field(default_factory=dict)
    brought: dict[str, bool] = field(default_factory=dict)

    def visits(self, lines: Iterable[bytes]) -> Iterator[tuple[Prepared, Before]]:
        numbered = enumerate(lines, 1)
        _must_be_ours(next(numbered, (1, b""))[1])
        for number, line in numbered:
            try:
                visit = self._taken(json.loads(line))
            except (ValueError, TypeError, KeyError, AttributeError, RecursionError, StoreError) as error:
                self.counts.bad += 1
                self.say(f"line {number}: not entered: {str(error).partition(chr(10))[0] or type(error).__name__}")
            else:
                if visit is not None:
                    yield visit

    def _taken(self, value: dict[str, Any]) -> tuple[Prepared, Before] | None:
        if "capture" in value:
            data = base64.b64decode(value["base64"], validate=True)
            if hashlib.sha256(data).hexdigest() != value["capture"]:
                raise ValueError("a capture whose SHA-256 differs")
            self.keep_the_rest()
            self.held = {value["capture"]: data}
            return None
        told = value["visit"]
        report = sound_report(json.dumps(value["report"]))
        data_of = self.held.pop(report.capture.sha256, None)
        if data_of is not None:
            self.brought[report.id] = self.store.has_capture(report.capture.sha256)
        return prepared(report, data_of, told_rules(told.get("rules"))), _before(told)

    def keep_the_rest(self) -> None:
        for data in self.held.values():
            self._count(known=not self.store.keep_capture(data))
        self.held = {}

    def count_capture(self, report: str, *, entered: bool) -> None:
        """Count the capture that came with a report, where it was entered with it or was there."""
        known = self.brought.pop(report, None)
        if known is not None and (known or entered):
            self._count(known=known)

    def _count(self, *, known: bool) -> None:
        self.counts.captures += not known
        self.counts.known_captures += known


def _before(told: dict[str, Any]) -> Before:
    entered, replaces, back = told["entered"], told["replaces"], told["clock_back"]
    if not isinstance(entered, str) or not isinstance(replaces, str | None) or not isinstance(back, bool):
        raise TypeError("what history knew of this visit is not of the form of an export")
    return Before(entered, replaces, back)


def _must_be_ours(line: bytes) -> None:
    try:
        form = json.loads(line)[_HEAD]
    except (ValueError, TypeError, KeyError, IndexError, RecursionError):
        raise StoreError("line 1: this is no exported history of propsoff; nothing was entered") from None
    if form != FORM:
        raise StoreError(f"line 1: exported by a newer propsoff (form {form}, this one knows {FORM}); nothing entered")

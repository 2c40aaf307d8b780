"""The bench as one picture: every place and what is there now, for all who look on or wait.

A viewer remembers the number of the newest change that it has seen and asks for what came after it; nothing is kept for
each viewer, so one that never reads costs nothing here. Everything runs on the bench's event loop.
"""

from __future__ import annotations

import asyncio
import time
from collections import Counter, deque
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from propsoff.bench.events import Asked, Kept, Left, Reading, Reported, Seen, Settled, Trouble
from propsoff.bench.overheard import Overheard
from propsoff.bench.places import MOST_PLACES, Past, PlaceMemory, place_id, place_name, place_of
from propsoff.bench.this_run import RunVisits
from propsoff.inspection.report import instant
from propsoff.ports.consent import scopes_for

if TYPE_CHECKING:
    from propsoff.bench.events import Event
    from propsoff.console.capture import Event as Spoken
    from propsoff.inspection.report import Report
    from propsoff.ports.facts import Port

State = Literal["empty", "shut", "reading", "report"]
"""`shut`: something is plugged in that is not opened; `report`: what is plugged in was inspected."""

_MOST_TROUBLES = 100
_LONGEST_TOLD = 2000
_MOST_FILES = 10_000


@dataclass(frozen=True, slots=True)
class Plugged:
    """A port in a place: what it is opened as, its USB identity as texts, and why it stays shut (empty: it does not).

    `scopes` are those in which consent can be given for it; none where consent does not help.
    """

    device: str
    vid_pid: str | None = None
    serial_number: str | None = None
    product: str | None = None
    shut: str = ""
    scopes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PlaceNow:
    """A place as it is now. `changed` is the number of its newest change, `since` (RFC 3339) when the state began.

    `report` is the newest report of what is plugged in now, `ask` the id of the questions that wait for an answer about
    it, `note` what a person should know of the place now.
    """

    place: str
    name: str
    state: State
    since: str
    changed: int
    plugged: tuple[Plugged, ...] = ()
    report: str | None = None
    ask: str | None = None
    note: str = ""
    past: tuple[Past, ...] = ()


@dataclass(frozen=True, slots=True)
class Told:
    """Something that a person should know, with its number and time (RFC 3339). `place` None: of the whole bench."""

    changed: int
    at: str
    text: str
    place: str | None = None


@dataclass
class _Place:
    now: PlaceNow
    ports: dict[str, tuple[Port, Plugged]] = field(default_factory=dict)
    report: Report | None = None
    reading: set[str] = field(default_factory=set)
    read: str | None = None
    talk: Overheard = field(default_factory=Overheard)

    def is_of_another_craft(self, report: Report) -> bool:
        """Whether a report made anew is of a conversation that a newer one has followed here."""
        if self.report is None or self.report.capture.sha256 == report.capture.sha256:
            return False
        newest, its = self.report.capture.started, report.capture.started
        return newest is not None and its is not None and its < newest


class _Tick:
    """A moment that passes again and again. It costs nothing while nobody waits for it."""

    def __init__(self) -> None:
        self._next: asyncio.Event | None = None

    def pass_(self) -> None:
        """Wake all who wait."""
        if self._next is not None:
            self._next.set()
            self._next = None

    async def passes(self, until: float | None) -> bool:
        """Wait for the next one; False when it did not come before `until` (loop time)."""
        if self._next is None:
            self._next = asyncio.Event()
        try:
            async with asyncio.timeout_at(until):
                return await self._next.wait()
        except TimeoutError:
            return False


class Scene:
    """Is told of each event of the bench (it is a `Watcher`), and by `overhear` of each thing said on a console.

    `names` gives the places that always stand there, in their order, and what each is called.
    """

    def __init__(
        self,
        names: Mapping[str, str] | None = None,
        memory: PlaceMemory | None = None,
        clock: Callable[[], float] = time.time,
    ) -> None:
        self._names = {place_id(place): name for place, name in (names or {}).items()}
        self._memory, self._clock = memory or PlaceMemory(None), clock
        self.changed = 0
        """The number of the newest change."""
        self._places: dict[str, _Place] = {}
        self._troubles: deque[Told] = deque(maxlen=_MOST_TROUBLES)
        self._files: dict[str, Path] = {}
        self._tick, self._talk_tick = _Tick(), _Tick()
        self.visits = RunVisits()
        """The reports of this run, as history would list them."""
        self.told = 0
        """How many troubles there were."""
        self.verdicts: Counter[str] = Counter()
        """How many reports of each verdict there were."""
        self.ended = False
        """Whether the bench has ended: nothing changes any more."""
        for place in [*self._names, *(each for each in self._memory.past if each not in self._names)]:
            self._at(place)

    # What is there

    @property
    def places(self) -> tuple[PlaceNow, ...]:
        """Every place, those that the settings name first, each where it always stands."""
        return tuple(each.now for each in self._places.values())

    def place(self, place: str) -> PlaceNow | None:
        """A place by its id; None when there is none."""
        found = self._places.get(place)
        return found.now if found else None

    def place_at(self, device: str) -> PlaceNow | None:
        """The place of what is opened as `device` now; None when nothing is."""
        return next((each.now for each in self._places.values() if device in each.ports), None)

    def ports(self, place: str) -> tuple[Port, ...]:
        """The ports that are plugged into a place."""
        found = self._places.get(place)
        return tuple(port for port, _ in found.ports.values()) if found else ()

    def report(self, place: str) -> Report | None:
        """The newest report of a place, also when its craft has left."""
        found = self._places.get(place)
        return found.report if found else None

    def talk(self, place: str) -> Overheard | None:
        """What is said, or was said last, on the console of a place."""
        found = self._places.get(place)
        return found.talk if found else None

    def file_of(self, report: str) -> Path | None:
        """Where a report of this run was written; None for one that was not, or of an earlier run."""
        return self._files.get(report)

    @property
    def troubles(self) -> tuple[Told, ...]:
        """What people should know, the newest last."""
        return tuple(self._troubles)

    async def after(self, changed: int, timeout_s: float | None = None) -> int:
        """Wait for a change after number `changed`; the newest change's number. It is the same one at the time-out."""
        until = None if timeout_s is None else asyncio.get_running_loop().time() + timeout_s
        while self.changed <= changed:
            if not await self._tick.passes(until):
                break
        return self.changed

    async def next_report(self, place: str, after: str | None, timeout_s: float) -> Report | None:
        """The report of a place as soon as it is another than `after`; None when there is none within the time.

        Without `after` it is that of what is plugged in now, or of what is next.
        """
        before, now = self.report(place), self.place(place)
        if after is None and before is not None and now is not None and now.state != "report":
            after = before.id
        until = asyncio.get_running_loop().time() + timeout_s
        while True:
            seen = self.changed
            report = self.report(place)
            if report is not None and report.id != after:
                return report
            left = until - asyncio.get_running_loop().time()
            if left <= 0 or self.ended or (await self.after(seen, left)) == seen:
                return None

    async def said(self, place: str, since: int, began: int | None, timeout_s: float) -> Overheard | None:
        """What is said at a place, as soon as there is a piece `since` of the conversation that began with number
        `began`, or another conversation; at the time-out as it is. None where there is no such place.
        """
        until = asyncio.get_running_loop().time() + timeout_s
        while True:
            talk = self.talk(place)
            if talk is None or talk.count > since or (began is not None and talk.began != began) or self.ended:
                return talk
            if not await self._talk_tick.passes(until):
                return self.talk(place)

    def end(self) -> None:
        """The bench has ended: everybody who waits is told."""
        self.ended = True
        self._moved()

    # What happens

    def __call__(self, event: Event) -> None:
        """Take an event of the bench."""
        match event:
            case Seen(port, decision):
                scopes = scopes_for(port) if decision.rule in ("not-allowed", "ambiguous") else ()
                self._plug(port, "" if decision.open else decision.reason, scopes)
            case Reading(port):
                where = self._at(place_of(port), port)
                where.reading.add(port.device)
                where.read = port.device
                self._change(where, state="reading", report=None, ask=None, note="")
                where.talk = Overheard(self.changed)
            case Reported(port, report):
                self._reported(port, report)
            case Kept(report, path):
                self._files[report.id] = path
                while len(self._files) > _MOST_FILES:
                    del self._files[next(iter(self._files))]
                self._moved()
            case Asked(port, ask):
                self._change(self._at(place_of(port), port), ask=ask)
            case Settled(place):
                self._change(self._at(place), ask=None)
            case Left(port):
                self._unplug(port)
            case Trouble(text, port):
                self._tell(text, port)
            case _:
                self._tell(f"the report could not be written ({event.output}): {event.problem}", None)

    def overhear(self, port: Port) -> Callable[[Spoken], None]:
        """What takes each thing that is recorded of a conversation on a port."""
        where, tick = self._at(place_of(port), port), self._talk_tick

        def take(spoken: Spoken) -> None:
            where.talk.take(spoken)
            tick.pass_()  # who looks at tiles is not woken for each line of a console

        return take

    def _plug(self, port: Port, shut: str, scopes: Iterable[str]) -> None:
        where = self._at(place_of(port), port)
        usb = port.usb
        plugged = Plugged(port.device, usb.vid_pid, usb.serial_number, usb.product, shut, tuple(scopes))
        where.ports[port.device] = (port, plugged)
        state: State = "shut" if shut and where.now.state in ("empty", "shut") else where.now.state
        if where.now.state == "empty":
            self._change(where, state=state, report=None, ask=None, note=shut)
        else:
            self._change(where, state=state, note=shut if state == "shut" else where.now.note)

    def _unplug(self, port: Port) -> None:
        where = self._at(place_of(port), port)
        where.ports.pop(port.device, None)
        where.reading.discard(port.device)
        left = [plugged for _, plugged in where.ports.values()]
        if not left:
            self._change(where, state="empty", note="")
        elif all(plugged.shut for plugged in left):
            # Of what was read nothing is plugged in any more; what stays was never opened.
            self._change(where, state="shut", report=None, ask=None, note=left[0].shut)
        else:
            self._change(where)

    def _reported(self, port: Port, report: Report) -> None:
        where, before = self._at(place_of(port), port), None
        self.verdicts[report.verdict.value] += 1
        self.visits.take(report)
        if where.report is not None and where.report.capture.sha256 == report.capture.sha256:
            before = where.report.id
        self._memory.note(where.now.place, Past.of(report), name=where.now.name, instead_of=before)
        past = tuple(self._memory.past[where.now.place])
        late = where.is_of_another_craft(report)
        if before is None and not late:
            where.reading.discard(port.device)
        if late:
            self._change(where, past=past)
            return
        if self._says_less(where, port, report):
            self._change(where, state="report", past=past, note=f"{port.device}: {report.ended}")
            return
        where.report, where.read = report, port.device
        if before is not None and where.reading:
            # Answers about the craft of before, while the next one is read.
            self._change(where, past=past)
            return
        # Of a craft that left while it was read there is a report, and nothing is plugged in.
        state: State = "reading" if where.reading else "report" if where.ports else "empty"
        self._change(where, state=state, report=report.id, past=past, note="")

    @staticmethod
    def _says_less(where: _Place, port: Port, report: Report) -> bool:
        """Whether it is of a port where nobody answered, beside one of the same board where somebody did."""
        shown = where.report
        return (
            report.dialect is None
            and shown is not None
            and shown.dialect is not None
            and where.now.report == shown.id
            and where.read != port.device
            and where.read in where.ports
            and not where.reading
        )

    def _tell(self, text: str, port: Port | None) -> None:
        place = None if port is None else place_of(port)
        self._moved()
        self.told += 1
        text = text if len(text) <= _LONGEST_TOLD else f"{text[:_LONGEST_TOLD]}… (the log has the rest)"
        self._troubles.append(Told(self.changed, instant(self._clock()), text, place))
        if place is not None:
            self._change(self._at(place, port), note=text)

    def _at(self, place: str, port: Port | None = None) -> _Place:
        if place not in self._places:
            self._moved()
            self._forget_some()
            past = tuple(self._memory.past.get(place, ()))
            name = self._names.get(place) or (place_name(port) if port else self._memory.names.get(place, place))
            self._places[place] = _Place(
                PlaceNow(place, name, "empty", instant(self._clock()), self.changed, past=past)
            )
        return self._places[place]

    def _forget_some(self) -> None:
        """Room for one more place: an empty one that the settings do not name goes, that changed longest ago."""
        spare = [each.now for name, each in self._places.items() if name not in self._names and not each.ports]
        if len(self._places) >= MOST_PLACES and spare:
            del self._places[min(spare, key=lambda now: now.changed).place]

    def _change(self, where: _Place, **changes: object) -> None:
        self._moved()
        if changes.get("state", where.now.state) != where.now.state:
            changes["since"] = instant(self._clock())
        plugged = tuple(plugged for _, plugged in where.ports.values())
        where.now = replace(where.now, changed=self.changed, plugged=plugged, **changes)  # type: ignore[arg-type]  # named above

    def _moved(self) -> None:
        self.changed += 1
        self._tick.pass_()
        self._talk_tick.pass_()

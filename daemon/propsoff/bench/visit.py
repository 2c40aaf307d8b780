"""One visit of one board: open, converse, close, inspect. Whatever happens, there is a capture and a report."""

from __future__ import annotations

import asyncio
import contextlib
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from propsoff import __version__
from propsoff.bench.known import KnownBoards
from propsoff.bench.neighbours import Neighbours
from propsoff.console.capture import STOPPED, Capture, Recorder
from propsoff.console.conversation import converse
from propsoff.console.link import Link
from propsoff.console.timings import Timings
from propsoff.exceptions import PortError, PortGoneError
from propsoff.outputs.files import visit_stem
from propsoff.ports.identity import wants_dtr
from propsoff.ports.opening import OpeningRules, open_when_ready

if TYPE_CHECKING:
    from propsoff.bench.asks import Asks
    from propsoff.console.capture import Event
    from propsoff.inspection.meant import Meant
    from propsoff.inspection.report import Report
    from propsoff.library import Toolbox
    from propsoff.ports.facts import Port


@dataclass(frozen=True)
class Bay:
    """What every visit needs: the toolbox, the waits, the boards seen before, and the craft seen today.

    `stopping` ends the conversations, and each is examined; `hurry` ends that too. `overhear` makes, for a port,
    what is given each thing that is recorded, as it is. `asks` takes the questions for a person, where there is one who
    may answer.
    """

    tools: Toolbox
    known: KnownBoards = field(default_factory=lambda: KnownBoards(None))
    stopping: asyncio.Event = field(default_factory=asyncio.Event)
    hurry: asyncio.Event = field(default_factory=asyncio.Event)
    neighbours: Neighbours = field(default_factory=Neighbours)
    favoured: tuple[str, ...] = ()
    overhear: Callable[[Port], Callable[[Event], None]] | None = None
    asks: Asks | None = None

    @property
    def waits(self) -> Timings:
        """The conversation's waits."""
        return self.tools.settings.waits()


@dataclass(frozen=True)
class Visited:
    """What a visit left behind. `dialect` is the id of the dialect that the board spoke, or None; `stopped` tells that
    propsoff was stopped before the conversation had ended, `examined` that the inspection was waited for. `meant` is
    what the conversation is about, where that was found and the console was read whole.
    """

    report: Report
    capture: Capture
    dialect: str | None
    stopped: bool = False
    examined: bool = True
    meant: Meant | None = None


async def visit(
    port: Port, bay: Bay, notice: Callable[[str], None] | None = None, gone: asyncio.Event | None = None
) -> Visited:
    """Inspect the board on a port. Never raises for what a port or a board does: that is in the report.

    `notice` is told what a person may want to act on while the visit waits: who else holds the port. `gone` is set when
    the port has left: from then on it is not opened, since another board may stand there under the same name.
    """
    started = time.time()
    recorder = Recorder(
        clock=time.perf_counter,
        started=started,
        port=port_texts(port),
        tool=f"propsoff {__version__}",
        neighbours=bay.neighbours.of(port, started),
        onlooker=None if bay.overhear is None else bay.overhear(port),
    )
    talk = asyncio.create_task(
        _talk(port, bay, recorder, notice, gone or asyncio.Event()), name=f"conversation on {port.device}"
    )
    try:
        stopped = not await _done_before(talk, bay.stopping)
        if stopped:
            talk.cancel()
            await _done_before(talk, bay.hurry)
    finally:
        talk.cancel()
    capture = recorder.capture()
    if capture.ending is None:
        recorder.mark(f"end: {_fault_of(talk) or STOPPED}")
        capture = recorder.capture()
    dialect = talk.result() if talk.done() and not talk.cancelled() and talk.exception() is None else None
    meant: list[Meant] = []
    examining = asyncio.create_task(asyncio.to_thread(bay.tools.inspect, capture, tell=meant.append))
    examined = await _done_before(examining, bay.hurry)
    report = examining.result() if examined else bay.tools.unexamined(capture)
    bay.neighbours.note(port, report, started)
    about = meant[0] if examined and meant else None
    return Visited(_named(report, started, capture), capture, dialect, stopped, examined, about)


async def _done_before(task: asyncio.Task[Any], event: asyncio.Event) -> bool:
    """Whether a task ends, in whatever way, before an event is set. It goes on where it does not."""
    setting = asyncio.create_task(event.wait())
    try:
        await asyncio.wait({task, setting}, return_when=asyncio.FIRST_COMPLETED)
    finally:
        setting.cancel()
    return task.done()


def _fault_of(talk: asyncio.Task[Any]) -> str | None:
    if not talk.done() or talk.cancelled() or (error := talk.exception()) is None:
        return None
    return f"a fault in propsoff itself: {type(error).__name__}: {error}"


async def _talk(
    port: Port, bay: Bay, recorder: Recorder, notice: Callable[[str], None] | None, gone: asyncio.Event
) -> str | None:
    """Open, converse, close; the id of the dialect that the board spoke."""
    try:
        link = await opened_port(port, bay.waits, notice, gone)
    except (PortError, ValueError) as error:  # ValueError: a URL of a kind that pyserial does not know
        recorder.mark(f"end: {error}")
        return None
    manners = [dialect.manner for dialect in bay.tools.dialects]
    try:
        conversation = await converse(
            link,
            manners,
            recorder,
            hinted=(*bay.favoured, *hinted(port, bay.tools)),
            known=bay.known.dialect_of(port),
            timings=bay.waits,
        )
    finally:
        await link.close()
    return conversation.dialect


async def opened_port(port: Port, waits: Timings, notice: Callable[[str], None] | None, gone: asyncio.Event) -> Link:
    """The port, as soon as it can be opened. Raises PortError, also when it leaves meanwhile."""
    rules = OpeningRules(busy_s=waits.busy_s, settle_s=waits.settle_s, attempt_s=waits.open_s)

    def waiting(holders: Sequence[str]) -> None:
        if notice is not None:
            who = ", ".join(holders) or "a process that this user may not see"
            notice(f"is held by {who}; it is waited for, {rules.busy_s:g} s at most")

    async def opened() -> Link:
        if not gone.is_set():
            link = await Link.open(port.device, dtr=wants_dtr(port.usb), timings=waits)
            if not gone.is_set():
                return link
            await link.close()
        raise PortGoneError(port.device, "it was unplugged before it could be opened")

    async def pause(seconds: float) -> None:
        with contextlib.suppress(TimeoutError):
            await asyncio.wait_for(gone.wait(), seconds)

    return await open_when_ready(port.device, opened, rules, on_wait=waiting, sleep=pause)


def hinted(port: Port, tools: Toolbox) -> Sequence[str]:
    """The dialects whose USB hints fit a port, those with a fitting product string first."""
    from fnmatch import fnmatchcase

    fits: list[tuple[int, str]] = []
    for dialect in tools.dialects:
        for hint in dialect.hints:
            if (hint.vid, hint.pid) == (port.usb.vid, port.usb.pid):
                named = hint.product is not None and fnmatchcase(port.usb.product or "", hint.product)
                if named or hint.product is None:
                    fits.append((0 if named else 1, dialect.id))
    return tuple(dict.fromkeys(name for _, name in sorted(fits)))


def port_texts(port: Port) -> dict[str, str]:
    """The port's facts as the capture's header keeps them."""
    usb = port.usb
    facts = {
        "device": port.device,
        "vid": None if usb.vid is None else f"{usb.vid:04x}",
        "pid": None if usb.pid is None else f"{usb.pid:04x}",
        "serial_number": usb.serial_number,
        "manufacturer": usb.manufacturer,
        "product": usb.product,
        "path": usb.path,
        "origin": port.origin,
        "key": port.key,
    }
    return {name: value for name, value in facts.items() if value}


def _named(report: Report, started: float, capture: Capture) -> Report:
    """The report with the name of its capture's file: time, craft, board, and the capture's own hash."""
    when = datetime.fromtimestamp(started, UTC)
    serial = report.board_serial or (report.port.serial_number if report.port else None)
    stem = visit_stem(when, report.craft or report.board, serial, capture.sha256[:8])
    used = report.capture.model_copy(update={"file": f"{stem}.cast"})
    return report.model_copy(update={"capture": used})

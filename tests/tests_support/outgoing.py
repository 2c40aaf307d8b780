"""What leaves a bench, to test with: settings, entries of a queue, a voice that keeps what is said, a running one."""

from __future__ import annotations

import asyncio
import base64
import contextlib
import resource
from collections.abc import AsyncIterator, Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from propsoff.bench.events import Event, Kept, Reported, Trouble
from propsoff.console.capture import Capture
from propsoff.inspection.report import Report
from propsoff.outgoing.outbox import Entry, Head, Outbox
from propsoff.outgoing.outgoing import Outgoing, outgoing_of
from propsoff.outgoing.output import QueueOutput
from propsoff.outgoing.section import OutgoingSection
from propsoff.outputs.files import ReportFiles
from propsoff.ports.facts import Port
from propsoff.settings import BenchSection, OutputSection
from tests_support.benches import QuietLog
from tests_support.reports import a_report

KEY = bytes(range(32))


@dataclass(frozen=True)
class WithOutgoing:
    """The part of the settings that is looked at."""

    bench: BenchSection
    output: OutputSection
    outgoing: OutgoingSection


class Voice:
    """Keeps what is said."""

    def __init__(self) -> None:
        self.logged: list[tuple[str, dict[str, Any]]] = []
        self.troubles: list[str] = []

    def log(self, event: str, **values: object) -> None:
        self.logged.append((event, dict(values)))

    def trouble(self, text: str) -> None:
        self.troubles.append(text)


def secret_file(folder: Path, key: bytes = KEY) -> Path:
    """A file with the key of a signature."""
    path = folder / "secret"
    path.write_text(f"whsec_{base64.b64encode(key).decode()}\n")
    path.chmod(0o600)
    return path


def settings(folder: Path, **outgoing: object) -> WithOutgoing:
    """Settings of a bench in this folder."""
    quick = {"back_off_s": 0.05, "back_off_most_s": 0.2, **outgoing}
    return WithOutgoing(
        BenchSection(state=folder / "state", name="Bench 7", grace_s=5),
        OutputSection(folder=folder / "reports", sync=False),
        OutgoingSection.model_validate(quick),
    )


def an_entry(folder: Path, name: str = "a", **head: object) -> Entry:
    """A report that waits."""
    report, _ = a_report(name)
    known = {"report": report.id, "verdict": "fail", "place": "left", "craft": "Teal Wren", "capture": f"{name}.cast"}
    body = report.to_json(indent=None).encode()
    return Entry(folder / "entry", Head.model_validate({**known, "made_s": 1.0, **head}), body)


def an_outbox(folder: Path, voice: Voice, keep: int = 100) -> Outbox:
    return Outbox(folder, keep=keep, sync=False, say=voice.trouble)


def queue(outbox: Outbox, name: str) -> str:
    """Have a report wait; its id."""
    report, capture = a_report(name)
    QueueOutput("test", outbox).keep(report, capture)
    return report.id


async def until(condition: Callable[[], object], within_s: float = 20) -> None:
    """Wait for a condition."""
    async with asyncio.timeout(within_s):
        while not condition():
            await asyncio.sleep(0.005)


@contextlib.contextmanager
def no_file_free() -> Iterator[None]:
    """This process may open no further file: EMFILE of open(2), by RLIMIT_NOFILE of setrlimit(2)."""
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    resource.setrlimit(resource.RLIMIT_NOFILE, (0, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_NOFILE, (soft, hard))


class Running:
    """Outgoing at work, fed as a bench feeds it."""

    def __init__(self, options: WithOutgoing) -> None:
        self.events: list[Event] = []
        self.log = QuietLog()
        made = outgoing_of(options, self.log, self._take)
        assert made is not None
        self.outgoing: Outgoing = made
        self.folder = options.output.folder

    def _take(self, event: Event) -> None:
        self.events.append(event)

    @property
    def troubles(self) -> list[str]:
        return [event.text for event in self.events if isinstance(event, Trouble)]

    async def report(self, name: str, place: str = "left") -> Report:
        """A report as it comes on a bench: to every queue, to a file, and told."""
        report, capture = a_report(name)
        await asyncio.gather(*(asyncio.to_thread(each.keep, report, capture) for each in self.outgoing.outputs))
        path = await asyncio.to_thread(self._kept, report, capture)
        self.outgoing.watcher(Kept(report, path))
        self.outgoing.watcher(Reported(Port(f"/bench/{place}", origin="folder"), report))
        return report

    def _kept(self, report: Report, capture: Capture) -> Path:
        return ReportFiles(self.folder, sync=False).keep(report, capture)

    def said(self, event: str) -> list[dict[str, Any]]:
        """What was logged under this name."""
        return [values for told, values in list(self.log.said) if told == event]


@contextlib.asynccontextmanager
async def running(options: WithOutgoing, grace_s: float = 5.0) -> AsyncIterator[Running]:
    """Outgoing at work until the end of the block, then closed within a grace."""
    bench = Running(options)
    task = asyncio.create_task(bench.outgoing.run())
    try:
        yield bench
    finally:
        await bench.outgoing.close(grace_s)
        await asyncio.wait_for(task, 20)

"""Headless inspection of many saved captures, on any `concurrent.futures` executor: a pool of processes by default."""

from __future__ import annotations

import gc
import hashlib
import os
import stat
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import BrokenExecutor, Executor, Future
from dataclasses import dataclass, field, fields
from functools import lru_cache, partial
from pathlib import Path
from typing import TYPE_CHECKING

from propsoff.console.capture import MAX_CAPTURE_BYTES, UNREADABLE, Capture, Event, load_capture
from propsoff.exceptions import CaptureError
from propsoff.inspection.causes import root_causes
from propsoff.inspection.finding import Outcome, Verdict
from propsoff.inspection.report import Report
from propsoff.library import Toolbox, toolbox
from propsoff.outputs.document import Told
from propsoff.safe_write import replace_file
from propsoff.settings import Settings

if TYPE_CHECKING:
    from propsoff.store.packing import Prepared

SUFFIXES = frozenset({".cast", ".txt"})
CHUNK = 16
"""Captures in one task: enough that handing it over costs little, few enough that the progress bar moves."""
_NOT_TOLD = ("history", "rules", "unwritten")
_SEVERITY = (Outcome.FAIL, Outcome.ERROR, Outcome.UNKNOWN, Outcome.WARN)


@dataclass(frozen=True, slots=True)
class Row:
    """One capture of a batch. `file` and `report` are relative to the folder and to the output folder.

    `causes` are the names and summaries of what wants doing. `history` is the report as history enters it, where it is
    wanted: made by the worker, so that the batch need not wait for it. `rules` is the fingerprint of what the worker
    inspected by, where it is wanted and known. `unwritten`: it was inspected, and its report could not be written.
    """

    file: str
    verdict: str
    craft: str | None = None
    board: str | None = None
    firmware: str | None = None
    report: str | None = None
    first: str = ""
    causes: tuple[tuple[str, str], ...] = ()
    history: Prepared | None = field(default=None, repr=False, compare=False)
    rules: str | None = field(default=None, repr=False, compare=False)
    unwritten: bool = False

    def as_dict(self) -> dict[str, object]:
        """For JSON, without what is for history."""
        return {each.name: getattr(self, each.name) for each in fields(self) if each.name not in _NOT_TOLD}


@dataclass(frozen=True, slots=True)
class Job:
    """What every task of a batch needs. `settings` is JSON, so that a worker gathers its toolbox once.

    `notes` is a file of hand notes for every capture; when None, each has those beside it. `history`: have each report
    ready for history; `rules`: tell what each was inspected by.
    """

    folder: str
    out: str
    settings: str
    sync: bool
    notes: str | None = None
    history: bool = False
    rules: bool = False


def find_captures(folder: Path) -> list[Path]:
    """Every `.cast` and `.txt` below a folder, sorted; hidden names and links to folders are left out."""
    found: list[Path] = []
    for place, folders, files in os.walk(folder):
        here = Path(place)
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        found += [here / name for name in files if Path(name).suffix.lower() in SUFFIXES and not name.startswith(".")]
    return sorted(found)


def run_batch(executor: Callable[[], Executor], job: Job, paths: Sequence[Path], *, width: int) -> Iterator[Row]:
    """A row for each path, in order. `executor` makes one (again, when its workers died); `width` tasks are under way.

    A capture that cannot be read is an `incomplete` row, one whose worker died an `error` row; the batch goes on.
    """
    chunks: Iterator[Sequence[Path]] = _chunks(paths)
    waiting: deque[tuple[Sequence[Path], Future[list[Row]] | None]] = deque()
    pool, broken = executor(), False
    try:
        while True:
            while not broken and len(waiting) < width and (chunk := next(chunks, None)) is not None:
                answer = _submitted(pool, job, chunk)
                waiting.append((chunk, answer))
                broken = answer is None
            if not waiting and not broken:
                return
            if not waiting:
                pool.shutdown(wait=False, cancel_futures=True)
                pool, broken = executor(), False
                continue
            chunk, answer = waiting.popleft()
            rows = _answered(answer)
            broken = broken or rows is None
            # Which file killed its worker is not known: each goes again alone, so that only the culprit is lost.
            yield from rows if rows is not None else _each_alone(executor, job, chunk)
    finally:
        pool.shutdown(wait=False, cancel_futures=True)


def _submitted(pool: Executor, job: Job, chunk: Sequence[Path]) -> Future[list[Row]] | None:
    """The task under way; None when the pool's workers have died."""
    try:
        return pool.submit(inspect_chunk, job, [str(path) for path in chunk])
    except BrokenExecutor:
        return None


def _answered(answer: Future[list[Row]] | None) -> list[Row] | None:
    """The rows of a task; None when a worker died before they came."""
    try:
        return None if answer is None else answer.result()
    except BrokenExecutor:
        return None


def _each_alone(executor: Callable[[], Executor], job: Job, chunk: Sequence[Path]) -> Iterator[Row]:
    for path in chunk:
        yield from _alone(executor, job, path)


def _chunks(paths: Sequence[Path]) -> Iterator[Sequence[Path]]:
    for start in range(0, len(paths), CHUNK):
        yield paths[start : start + CHUNK]


def _alone(executor: Callable[[], Executor], job: Job, path: Path) -> list[Row]:
    with executor() as pool:
        try:
            return pool.submit(inspect_chunk, job, [str(path)]).result()
        except BrokenExecutor:
            file = str(path.relative_to(job.folder))
            return [Row(file, Verdict.ERROR.value, first="the process that read this capture died")]


def inspect_chunk(job: Job, paths: Sequence[str]) -> list[Row]:
    """Inspect a few captures and write their reports; the task that a worker runs."""
    tools = _tools(job.settings)
    return [_inspect(tools, job, Path(path)) for path in paths]


@lru_cache(maxsize=1)
def _tools(settings: str) -> Toolbox:
    tools = toolbox(Settings.model_validate_json(settings))
    # What is loaded by now stays: the collector need not go through it again for each capture.
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)
    return tools


def _inspect(tools: Toolbox, job: Job, path: Path) -> Row:
    file = str(path.relative_to(job.folder))
    try:
        hand = tools.notes_beside(path) if job.notes is None else tools.notes_or_why_not(Path(job.notes))
        report = tools.inspect(readable(path), file=path.name, hand=hand)
        target = Path(job.out) / f"{file}.json"
        replace_file(target, report.to_json().encode(), sync=job.sync)
    except OSError as error:
        first = f"the report could not be written: {error.strerror or error}"
        return Row(file, Verdict.ERROR.value, first=first, unwritten=True)
    except Exception as error:  # noqa: BLE001  a fault of ours on one capture must not stop the batch
        return Row(file, Verdict.ERROR.value, first=f"a fault in propsoff itself: {type(error).__name__}: {error}")
    first = first_of(report)
    causes = tuple((cause.name, cause.summary) for cause in root_causes(report.findings))
    who = (report.craft, report.board, report.firmware)
    rules = tools.rules_of(report) if job.history or job.rules else None
    history = _for_history(job, report, path, rules)
    return Row(file, report.verdict.value, *who, f"{file}.json", first, causes, history, rules)


def _for_history(job: Job, report: Report, path: Path, rules: str | None) -> Prepared | None:
    if not job.history:
        return None
    from propsoff.store.output import with_capture

    return with_capture(report, octets_of(path), rules)


def octets_of(path: Path) -> bytes | None:
    """What is in the file of a capture; None where it cannot be read, or is larger than a capture may be."""
    try:
        about = path.stat()
        fits = stat.S_ISREG(about.st_mode) and about.st_size <= MAX_CAPTURE_BYTES
        return path.read_bytes() if fits else None
    except OSError:
        return None


def first_of(report: Report) -> str:
    """What to look at first: how a broken conversation ended, else the worst finding that is no effect of another."""
    if not report.complete:
        return report.ended
    causes = root_causes(report.findings)
    return next((each.summary for outcome in _SEVERITY for each in causes if each.outcome is outcome), "")


def readable(path: Path) -> Capture:
    """The capture, or an empty one that ended because it cannot be read: that is reported like any other."""
    try:
        return load_capture(path)
    except CaptureError as error:
        try:
            about = path.stat()
            # Anything but a file may never end: a pipe, or a link to a device.
            data = path.read_bytes() if stat.S_ISREG(about.st_mode) and about.st_size < (64 << 20) else b""
        except OSError:
            data = b""
        digest = hashlib.sha256(data).hexdigest() if data else ""
        return Capture((Event(0.0, "m", f"end: {UNREADABLE}{error}"),), digest=digest)


def told_of(row: Row, folder: Path, out: Path) -> Told:
    """The row as a document tells it: its report is read back from `out`, its capture from `folder`. Never raises."""
    load = partial(readable, folder / row.file)
    if row.report is None:
        return Told(row.file, None, row.first or "it has no report", load)
    try:
        return Told(row.file, Report.from_json((out / row.report).read_bytes()), load=load)
    except (OSError, ValueError) as error:  # pydantic's is a ValueError
        said = error.strerror if isinstance(error, OSError) else "it is no report"
        return Told(row.file, None, f"its report {row.report} could not be read back: {said}", load)


def counted(rows: Iterable[Row]) -> dict[str, int]:
    """How many rows have each verdict, in order of severity, those that occur."""
    counts: dict[str, int] = {}
    seen = [row.verdict for row in rows]
    for verdict in Verdict:
        if number := seen.count(verdict.value):
            counts[verdict.value] = number
    return counts

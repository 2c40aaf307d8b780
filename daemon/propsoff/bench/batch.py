"""Headless inspection of many saved captures, on any `concurrent.futures` executor: a pool of processes by default."""

from __future__ import annotations

import gc
import hashlib
import itertools
import os
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import BrokenExecutor, Executor, Future
from dataclasses import asdict, dataclass
from functools import lru_cache
from pathlib import Path

from propsoff.console.capture import Capture, Event, load_capture
from propsoff.exceptions import CaptureError
from propsoff.inspection.finding import Outcome, Verdict
from propsoff.library import Toolbox, toolbox
from propsoff.safe_write import replace_file
from propsoff.settings import Settings

SUFFIXES = frozenset({".cast", ".txt"})
CHUNK = 16
"""Captures in one task: enough that handing it over costs little, few enough that the progress bar moves."""
_SEVERITY = (Outcome.FAIL, Outcome.ERROR, Outcome.UNKNOWN, Outcome.WARN)


@dataclass(frozen=True, slots=True)
class Row:
    """One capture of a batch. `file` and `report` are relative to the folder and to the output folder."""

    file: str
    verdict: str
    craft: str | None = None
    board: str | None = None
    firmware: str | None = None
    report: str | None = None
    first: str = ""

    def as_dict(self) -> dict[str, str | None]:
        """For JSON."""
        return asdict(self)


@dataclass(frozen=True, slots=True)
class Job:
    """What every task of a batch needs. `settings` is JSON, so that a worker gathers its toolbox once."""

    folder: str
    out: str
    settings: str
    sync: bool


def find_captures(folder: Path, *, but: Path | None = None) -> list[Path]:
    """Every `.cast` and `.txt` below a folder, sorted; hidden names, links to folders and `but` are left out."""
    found: list[Path] = []
    for place, folders, files in os.walk(folder):
        here = Path(place)
        folders[:] = sorted(name for name in folders if not name.startswith(".") and here / name != but)
        found += [here / name for name in files if Path(name).suffix.lower() in SUFFIXES and not name.startswith(".")]
    return sorted(found)


def run_batch(executor: Callable[[], Executor], job: Job, paths: Sequence[Path], *, width: int) -> Iterator[Row]:
    """A row for each path, in order. `executor` makes one (again, when its workers died); `width` tasks are under way.

    A capture that cannot be read is an `incomplete` row, one whose worker died an `error` row; the batch goes on.
    """
    chunks: Iterator[Sequence[Path]] = _chunks(paths)
    waiting: deque[tuple[Sequence[Path], Future[list[Row]]]] = deque()
    pool = executor()
    try:
        while True:
            for chunk in itertools.islice(chunks, width - len(waiting)):
                waiting.append((chunk, pool.submit(inspect_chunk, job, [str(path) for path in chunk])))
            if not waiting:
                return
            chunk, answer = waiting.popleft()
            try:
                yield from answer.result()
            except BrokenExecutor:
                # Which file killed its worker is not known: each goes again alone, so that only the culprit is lost.
                pool.shutdown(wait=False, cancel_futures=True)
                again = [chunk, *(each for each, _ in waiting)]
                waiting.clear()
                for path in itertools.chain.from_iterable(again):
                    yield from _alone(executor, job, path)
                pool = executor()
    finally:
        pool.shutdown(wait=False, cancel_futures=True)


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
        report = tools.inspect(readable(path), file=path.name)
        target = Path(job.out) / f"{file}.json"
        replace_file(target, report.to_json().encode(), sync=job.sync)
    except OSError as error:
        return Row(file, Verdict.ERROR.value, first=f"the report could not be written: {error}")
    except Exception as error:  # noqa: BLE001  a fault of ours on one capture must not stop the batch
        return Row(file, Verdict.ERROR.value, first=f"a fault in propsoff itself: {type(error).__name__}: {error}")
    worst = [finding for outcome in _SEVERITY for finding in report.findings if finding.outcome is outcome]
    first = report.ended if not report.complete else worst[0].summary if worst else ""
    return Row(file, report.verdict.value, report.craft, report.board, report.firmware, f"{file}.json", first)


def readable(path: Path) -> Capture:
    """The capture, or an empty one that ended because it cannot be read: that is reported like any other."""
    try:
        return load_capture(path)
    except CaptureError as error:
        try:
            data = path.read_bytes() if path.stat().st_size < (64 << 20) else b""
        except OSError:
            data = b""
        digest = hashlib.sha256(data).hexdigest() if data else ""
        return Capture((Event(0.0, "m", f"end: the capture cannot be read: {error}"),), digest=digest)


def counted(rows: Iterable[Row]) -> dict[str, int]:
    """How many rows have each verdict, in order of severity, those that occur."""
    counts: dict[str, int] = {}
    seen = [row.verdict for row in rows]
    for verdict in Verdict:
        if number := seen.count(verdict.value):
            counts[verdict.value] = number
    return counts

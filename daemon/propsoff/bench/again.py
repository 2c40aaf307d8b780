"""Kept conversations inspected again with today's checks and sheets, as a batch: nothing in history is changed.

Those that were inspected by exactly today's rules would come out the same, and are taken as they are kept.
"""

from __future__ import annotations

import tempfile
from collections import deque
from collections.abc import Callable, Generator, Iterator, Sequence
from concurrent.futures import Executor
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, overload

from propsoff.craft.model import HAND, HandNote
from propsoff.exceptions import StoreError
from propsoff.inspection.report import Report
from propsoff.notes.model import HandNotes
from propsoff.notes.save import save_notes

if TYPE_CHECKING:
    from propsoff.bench.batch import Row
    from propsoff.library import Toolbox
    from propsoff.store.model import KeptVisit
    from propsoff.store.store import Store


_SOME = 100
"""So many reports are held at once while they wait for their turn."""


@dataclass(frozen=True, slots=True)
class Again:
    """A visit with its report of that day, and today's; `why_not` says why there is none.

    `as_kept`: it was not looked at again, since that would come to the same. `rules` is the fingerprint of what it was
    inspected by now, where that is known.
    """

    visit: KeptVisit
    old: Report | None
    new: Report | None
    why_not: str = ""
    as_kept: bool = False
    rules: str | None = None

    @property
    def looked_at(self) -> bool:
        """Whether its conversation was inspected now."""
        return self.new is not None and not self.as_kept


def inspected_again(
    store: Store,
    visits: Sequence[KeptVisit],
    tools: Toolbox,
    executor: Callable[[int], Executor],
    *,
    width: int,
    anew: bool = False,
) -> Iterator[Again]:
    """Each visit, in order, inspected again from its kept capture and the hand notes of its report.

    One that was inspected by exactly the rules of `tools`, with the same hand notes, is not, but for `anew`. `executor`
    makes the pool for so many visits, `width` tasks are under way (see `propsoff.bench.batch`).
    """
    rules = None if anew or all(visit.rules is None for visit in visits) else tools.rules.today()
    current = [visit for visit in visits if rules is not None and (visit.rules or "").startswith(rules)]
    there = {visit.id for visit in current}
    others = [visit for visit in visits if visit.id not in there]
    kept = _as_kept(store, current, tools)
    inspected = _inspected(store, others, tools, lambda: executor(len(others)), width)
    with closing(inspected):
        for visit in visits:
            again = next(kept) if visit.id in there else next(inspected)
            if again is None:
                [again] = _inspected(store, [visit], tools, lambda: executor(1), width)
            yield again


def _as_kept(store: Store, visits: Sequence[KeptVisit], tools: Toolbox) -> Iterator[Again | None]:
    """Each visit as it is kept; None for one that has to be looked at again all the same."""
    for start in range(0, len(visits), _SOME):
        some = visits[start : start + _SOME]
        found = dict(store.reports(visit.id for visit in some))
        for visit in some:
            report = found.get(visit.id)
            if isinstance(report, Report) and tools.rules.still(visit.rules, report):
                yield Again(visit, report, report, as_kept=True, rules=visit.rules)
            else:
                yield None


def _inspected(
    store: Store, visits: Sequence[KeptVisit], tools: Toolbox, executor: Callable[[], Executor], width: int
) -> Generator[Again, None, None]:
    """Each visit, in order, inspected again."""
    if not visits:
        return
    from propsoff.bench.batch import Job, run_batch  # most often there is nothing to inspect, and this takes a while

    with tempfile.TemporaryDirectory(prefix="propsoff-again-") as folder:
        into, out = Path(folder) / "in", Path(folder) / "out"
        into.mkdir()
        out.mkdir()
        laid = _Laid(store, visits, into)
        job = Job(str(into), str(out), tools.settings.model_dump_json(), sync=False, rules=True)
        for row in run_batch(executor, job, laid, width=width):
            while (again := laid.waiting.popleft())[1] is None:
                yield again[0]
            yield _with_new(again[0], out, row)
            for file in (into / row.file, (into / row.file).with_suffix(".notes.toml"), out / f"{row.file}.json"):
                file.unlink(missing_ok=True)
        yield from (again for again, _ in laid.waiting)


class _Laid(Sequence[Path]):
    """The captures of visits as files, each laid out when it is taken: thousands at once would fill the disk.

    `waiting` are the visits that were taken, in order, each with its file or, where there is no capture, None.
    """

    def __init__(self, store: Store, visits: Sequence[KeptVisit], folder: Path) -> None:
        self._store, self._visits, self._folder = store, visits, folder
        self.waiting: deque[tuple[Again, Path | None]] = deque()

    def __len__(self) -> int:
        return len(self._visits)

    @overload
    def __getitem__(self, at: int) -> Path: ...
    @overload
    def __getitem__(self, at: slice) -> Sequence[Path]: ...
    def __getitem__(self, at: int | slice) -> Path | Sequence[Path]:
        if isinstance(at, int):
            raise TypeError("captures are taken some at a time, and once")
        taken = [_laid_out(self._store, visit, self._folder) for visit in self._visits[at]]
        self.waiting.extend(taken)
        return [path for _, path in taken if path is not None]


def _laid_out(store: Store, visit: KeptVisit, folder: Path) -> tuple[Again, Path | None]:
    """The visit with its old report, and the file of its capture with its notes beside it; None where there is none."""
    try:
        old = store.report(visit.id)
    except StoreError as error:
        return Again(visit, None, None, str(error)), None
    try:
        data = store.capture(visit.capture_sha256)
    except StoreError as error:
        return Again(visit, old, None, str(error)), None
    if data is None:
        return Again(visit, old, None, "its capture is not kept (any more)"), None
    path = folder / f"{visit.id}{'.txt' if old.capture.origin == 'pasted' else '.cast'}"
    answers = {
        fact.name.removeprefix(HAND): HandNote(fact.value, fact.at)
        for fact in old.facts
        if fact.origin == "hand" and not isinstance(fact.value, tuple)
    }
    try:
        path.write_bytes(data)
        if answers:
            save_notes(path.with_suffix(".notes.toml"), HandNotes(answers), sync=False)
    except OSError as error:
        return Again(visit, old, None, f"{path}: could not be written: {error.strerror or error}"), None
    return Again(visit, old, None), path


def _with_new(again: Again, out: Path, row: Row) -> Again:
    """With today's report; where the conversation was held, and what its capture is called, is as in the old one."""
    old = again.old
    if row.report is None or old is None:
        return Again(again.visit, old, None, f"it could not be inspected: {row.first}")
    new = Report.from_json((out / row.report).read_bytes())
    capture = new.capture.model_copy(update={"file": old.capture.file})
    new = new.model_copy(update={"bench": old.bench, "capture": capture})
    return Again(again.visit, old, new, rules=row.rules)

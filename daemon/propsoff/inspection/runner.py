"""Running checks so that none of them can harm the others or the report.

A check that raises, hangs or answers nonsense becomes an `error` finding that names it; the checks after it still run.

Checks run one after another in one worker thread per inspection. A check that outlives its deadline is abandoned: an
exception is put into its thread, which ends a loop written in Python but not a call that never returns to the
interpreter; another thread goes on with the rest. What no thread can guard against is a check that never gives up the
interpreter's lock (an exponential regular expression): that takes the whole process along.
"""

from __future__ import annotations

import asyncio
import queue
import threading
from collections.abc import AsyncIterable, Callable, Iterable, Sequence
from dataclasses import dataclass, field
from inspect import isawaitable
from typing import TYPE_CHECKING, Any

from propsoff.inspection.finding import Finding
from propsoff.inspection.mishap import hung, raised, returned, still_hanging, too_many
from propsoff.isolation import AbandonedError, interrupt, thread_clock

if TYPE_CHECKING:
    from propsoff.inspection.case import Case
    from propsoff.inspection.check import Check

CHECK_DEADLINE_S = 5.0
"""How long one check may take."""

_GRACE_S = 0.1
"""How much longer the inspection waits than an awaited check may take, so that its own loop can cancel it cleanly."""

MAX_FINDINGS = 1000
"""How many findings of one check are kept."""

MAX_FINDING_BYTES = 256 << 10
"""How large one finding may be, as JSON."""


class _NonsenseError(Exception):
    """A check answered something that is no list of its findings."""


class _LateError(Exception):
    """An awaited answer outlived the deadline."""


@dataclass
class _Worker:
    """One thread that works through checks; `found` grows while the current check runs."""

    results: queue.SimpleQueue[list[Finding]] = field(default_factory=queue.SimpleQueue)
    lock: threading.Lock = field(default_factory=threading.Lock)
    found: list[Finding] = field(default_factory=list)
    abandoned: bool = False
    clock: int | None = None

    def work(self, checks: Sequence[Check], make_case: Callable[[Check], Case], deadline_s: float) -> None:
        """Body of the thread."""
        self.clock = thread_clock()
        loops = _Loops()
        try:
            for check in checks:
                found: list[Finding] = []
                self.found = found
                _examine(check, make_case, deadline_s, found, loops)
                with self.lock:
                    if self.abandoned:
                        return
                    self.results.put(found)
        except AbandonedError:
            return
        finally:
            loops.close()


class CheckRunner:
    """Runs checks under a deadline each. One runner may serve several threads; it remembers checks that still hang.

    While a check that was abandoned is still running, it is not started again: each inspection gets an `error` finding
    for it, so that a bench does not gather a thread per board.
    """

    def __init__(self, deadline_s: float = CHECK_DEADLINE_S) -> None:
        self.deadline_s = deadline_s
        self._hanging: dict[str, threading.Thread] = {}
        self._guard = threading.Lock()

    def __call__(self, checks: Sequence[Check], make_case: Callable[[Check], Case]) -> list[Finding]:
        """Findings in the order of `checks`, then as each check gave them. Never raises for what a check does."""
        findings: list[Finding] = []
        left = list(checks)
        while left:
            ready = self._ready(left)
            if not ready:
                findings.append(still_hanging(left.pop(0)))
                continue
            findings += self._run(ready, make_case, left)
        return findings

    def _ready(self, left: Sequence[Check]) -> list[Check]:
        """The checks up to the first that still hangs from an earlier inspection."""
        if not self._hanging:
            return list(left)
        with self._guard:
            self._hanging = {id_: thread for id_, thread in self._hanging.items() if thread.is_alive()}
            for index, check in enumerate(left):
                if check.id in self._hanging:
                    return list(left[:index])
        return list(left)

    def _run(self, ready: Sequence[Check], make_case: Callable[[Check], Case], left: list[Check]) -> list[Finding]:
        """Work through `ready` in one thread, taking what is done off `left`; ends early at a check that hangs."""
        worker = _Worker()
        thread = threading.Thread(
            target=worker.work, args=(ready, make_case, self.deadline_s), name="propsoff-checks", daemon=True
        )
        thread.start()
        findings: list[Finding] = []
        for check in ready:
            left.pop(0)
            done = self._next(worker)
            if done is None:
                self._abandon(check, worker, thread)
                late = hung(check, self.deadline_s)
                return [*findings, *(one for one in worker.found[:MAX_FINDINGS] if one != late), late]
            findings += done
        thread.join(_GRACE_S)  # what an async check left running may refuse to end
        return findings

    def _next(self, worker: _Worker) -> list[Finding] | None:
        try:
            return worker.results.get(timeout=self.deadline_s + _GRACE_S)
        except queue.Empty:
            pass
        with worker.lock:  # it may have finished between the two lines above
            try:
                return worker.results.get_nowait()
            except queue.Empty:
                worker.abandoned = True
                return None

    def _abandon(self, check: Check, worker: _Worker, thread: threading.Thread) -> None:
        with self._guard:
            self._hanging[check.id] = thread
        interrupt(thread, worker.clock)


def run_checks(
    checks: Sequence[Check], make_case: Callable[[Check], Case], deadline_s: float = CHECK_DEADLINE_S
) -> list[Finding]:
    """Run checks once, in isolation, with a deadline each. See `CheckRunner`."""
    return CheckRunner(deadline_s)(checks, make_case)


class _Loops:
    """An event loop for the checks of one worker, made only when one of them needs it."""

    def __init__(self) -> None:
        self._runner: asyncio.Runner | None = None

    def run(self, awaitable: Any, deadline_s: float) -> Any:
        if self._runner is None:
            self._runner = asyncio.Runner()

        async def bounded() -> Any:
            try:
                async with asyncio.timeout(deadline_s) as limit:
                    return await (awaitable if isawaitable(awaitable) else _gathered(awaitable))
            except TimeoutError as error:
                if limit.expired():
                    raise _LateError from error
                raise

        return self._runner.run(bounded())

    def close(self) -> None:
        if self._runner is not None:
            self._runner.close()


async def _gathered(answers: AsyncIterable[Any]) -> list[Any]:
    taken: list[Any] = []
    async for found in answers:
        taken.append(found)
        if len(taken) > MAX_FINDINGS:
            break
    return taken


def _examine(
    check: Check, make_case: Callable[[Check], Case], deadline_s: float, found: list[Finding], loops: _Loops
) -> None:
    """Append what the check finds to `found`; whatever goes wrong becomes its last entry."""
    try:
        answer: Any = check.examine(make_case(check))
        if isawaitable(answer) or hasattr(answer, "__aiter__"):
            answer = loops.run(answer, deadline_s)
        _take(check, answer, found)
    except AbandonedError:
        raise
    except _NonsenseError as error:
        found.append(returned(check, str(error)))
    except _LateError:
        found.append(hung(check, deadline_s))
    except BaseException as error:  # noqa: BLE001  SystemExit of a check must not end the inspection either
        found.append(raised(check, error))


def _take(check: Check, answer: Any, found: list[Finding]) -> None:
    for item in _items(answer):
        if len(found) == MAX_FINDINGS:
            if hasattr(answer, "close"):
                answer.close()
            found.append(too_many(check, MAX_FINDINGS))
            return
        found.append(_sound(check, item))
    if not found:
        raise _NonsenseError("no finding at all; one that does not apply yields `case.skipped(...)` with the reason")


def _items(answer: Any) -> Iterable[Any]:
    if isinstance(answer, Finding):  # a model is iterable: over its fields
        raise _NonsenseError("one finding instead of a list; yield it, or return it in a list")
    if answer is None or isinstance(answer, (str, bytes)) or not isinstance(answer, Iterable):
        raise _NonsenseError(f"{type(answer).__name__} instead of findings")
    return answer


def _sound(check: Check, item: Any) -> Finding:
    """The finding, proven to be one that a report can carry. Raises _NonsenseError with what is wrong with it."""
    if type(item) is not Finding:
        if hasattr(item, "close") and isawaitable(item):
            item.close()  # type: ignore[attr-defined]  # a coroutine: closed so that it does not warn later
        raise _NonsenseError(f"{type(item).__name__} among its findings")
    if item.check != check.id:
        raise _NonsenseError(f"a finding in the name of another check, {item.check!r}")
    try:
        text = item.model_dump_json(warnings="error")
        if len(text) > MAX_FINDING_BYTES:
            raise _NonsenseError(f"a finding of {len(text)} characters; {MAX_FINDING_BYTES} are the limit")
        return Finding.model_validate_json(text)
    except ValueError as error:  # pydantic's errors of both kinds are ValueErrors
        raise _NonsenseError(f"a finding that is not one: {error}") from error

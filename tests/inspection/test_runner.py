"""Running checks: whatever one of them does, it is named, and the others run."""

from __future__ import annotations

import asyncio
import sys
import threading
import time
from collections.abc import AsyncIterator, Iterator
from typing import Any

import pytest

from propsoff import Case, Check, Evidence, Finding, Outcome, Remedy
from propsoff.craft.model import Craft
from propsoff.inspection.runner import MAX_FINDINGS, CheckRunner, run_checks
from propsoff.sheets.catalogue import built_in_sheets
from tests_support.crafts import Bench

SHEET = built_in_sheets()[0]
DEADLINE_S = 0.2


def case_for(check: Check) -> Case:
    return Case(check, Craft(), SHEET)


def check_of(examine: Any, id: str = "under-test") -> Check:  # noqa: A002  the word of the contract
    return Check(id, "Under test", "because", ("board",), examine)


def good(case: Case) -> list[Finding]:
    return [case.passed("fine")]


def run(*examines: Any) -> list[Finding]:
    checks = [check_of(examine, f"check-{at}") for at, examine in enumerate(examines)]
    return run_checks(checks, case_for, DEADLINE_S)


def raises(case: Case) -> list[Finding]:
    raise ValueError("too bad")


def raises_late(case: Case) -> Iterator[Finding]:
    yield case.passed("first")
    raise KeyError("later")


def exits(case: Case) -> list[Finding]:
    sys.exit(3)


def interrupts(case: Case) -> list[Finding]:
    raise KeyboardInterrupt


def recurses(case: Case) -> list[Finding]:
    return recurses(case)


async def raises_async(case: Case) -> list[Finding]:
    await asyncio.sleep(0)
    raise RuntimeError("async")


async def exits_async(case: Case) -> list[Finding]:
    raise SystemExit(1)


async def times_out_itself(case: Case) -> list[Finding]:
    raise TimeoutError("its own")


def unprintable(case: Case) -> list[Finding]:
    class WorseError(Exception):
        def __str__(self) -> str:
            return "bad \ud800 text\nof <object at 0x7f00deadbeef>"

    raise WorseError


@pytest.mark.parametrize(
    ("examine", "says"),
    [
        (raises, "ValueError: too bad"),
        (raises_late, "KeyError: 'later'"),
        (exits, "SystemExit: 3"),
        (interrupts, "KeyboardInterrupt"),
        (recurses, "RecursionError"),
        (raises_async, "RuntimeError: async"),
        (exits_async, "SystemExit: 1"),
        (times_out_itself, "TimeoutError: its own"),
        (unprintable, "bad \\ud800 text of <object>"),
    ],
)
def test_a_check_that_raises_is_named_with_the_place_and_the_next_one_runs(examine: Any, says: str) -> None:
    findings = run(examine, good)
    broken = findings[-2]
    assert (broken.check, broken.outcome) == ("check-0", "error")
    assert says in broken.summary
    assert "test_runner.py:" in (broken.actual or "")
    assert findings[-1] == Finding(check="check-1", outcome=Outcome.PASS, summary="fine", why="because")


def test_what_a_check_found_before_it_broke_is_kept() -> None:
    assert run(raises_late)[0].summary == "first"


def loops(case: Case) -> list[Finding]:
    while True:
        pass


def blocks(case: Case) -> list[Finding]:
    RELEASE.wait(30)
    return [case.passed("too late")]


def yields_then_hangs(case: Case) -> Iterator[Finding]:
    yield case.passed("first")
    RELEASE.wait(30)


async def waits(case: Case) -> list[Finding]:
    await asyncio.Event().wait()
    return []


async def blocks_its_loop(case: Case) -> list[Finding]:
    RELEASE.wait(30)
    return []


RELEASE = threading.Event()


@pytest.fixture(autouse=True)
def released() -> Iterator[None]:
    """Threads of checks that hung are let go and gone before the next test."""
    RELEASE.clear()
    yield
    RELEASE.set()
    for thread in threading.enumerate():
        if thread.name == "propsoff-checks":
            thread.join(10)
            assert not thread.is_alive()


@pytest.mark.parametrize("examine", [loops, blocks, waits, blocks_its_loop])
def test_a_check_that_hangs_is_abandoned_and_the_next_one_runs(examine: Any) -> None:
    began = time.monotonic()
    findings = run(examine, good)
    assert time.monotonic() - began < 5
    assert [(one.check, one.outcome.value) for one in findings] == [("check-0", "error"), ("check-1", "pass")]
    assert findings[0].summary == "the check did not finish within 0.2 s and was abandoned"


async def leaves_a_task_behind(case: Case) -> list[Finding]:
    async def stubborn() -> None:
        while not RELEASE.is_set():
            try:
                await asyncio.sleep(0.01)
            except asyncio.CancelledError:
                continue

    TASKS.append(asyncio.create_task(stubborn()))
    await asyncio.sleep(0)
    return [case.passed("done")]


TASKS: list[asyncio.Task[None]] = []


def test_a_task_that_an_async_check_leaves_behind_holds_nobody_up() -> None:
    began = time.monotonic()
    assert [finding.outcome.value for finding in run(leaves_a_task_behind, good)] == ["pass", "pass"]
    assert time.monotonic() - began < 5


def test_a_check_that_hangs_outside_of_python_slows_nobody_even_while_a_tracer_runs() -> None:
    tracer = sys.gettrace()
    sys.settrace(lambda frame, event, argument: None)
    try:
        began = time.monotonic()
        run(blocks, good)
        assert time.monotonic() - began < 5
    finally:
        sys.settrace(tracer)


def test_what_a_check_found_before_it_hung_is_kept() -> None:
    assert [finding.outcome.value for finding in run(yields_then_hangs, good)] == ["pass", "error", "pass"]


def test_each_of_several_hanging_checks_is_named() -> None:
    findings = run(loops, good, blocks, waits, good)
    assert [finding.outcome.value for finding in findings] == ["error", "pass", "error", "error", "pass"]


def test_a_check_that_still_hangs_is_not_started_again_until_it_is_gone() -> None:
    started = []

    def hangs(case: Case) -> list[Finding]:
        started.append(1)
        RELEASE.wait(30)
        return [case.passed("at last")]

    runner = CheckRunner(DEADLINE_S)
    checks = [check_of(good, "before"), check_of(hangs, "hangs"), check_of(good, "after")]
    runner(checks, case_for)
    second = runner(checks, case_for)
    assert len(started) == 1
    assert [finding.outcome.value for finding in second] == ["pass", "error", "pass"]
    assert "still hangs from an earlier inspection" in second[1].summary
    RELEASE.set()
    for thread in threading.enumerate():
        if thread.name == "propsoff-checks":
            thread.join(10)
    third = runner(checks, case_for)
    assert [finding.summary for finding in third] == ["fine", "at last", "fine"]


def plain_function(case: Case) -> list[Finding]:
    return [case.passed("a"), case.warn("b")]


def generator(case: Case) -> Iterator[Finding]:
    yield case.passed("a")
    yield case.warn("b")


async def coroutine(case: Case) -> list[Finding]:
    await asyncio.sleep(0)
    return [case.passed("a"), case.warn("b")]


async def async_generator(case: Case) -> AsyncIterator[Finding]:
    yield case.passed("a")
    await asyncio.sleep(0)
    yield case.warn("b")


def gives_a_coroutine(case: Case) -> Any:
    return coroutine(case)


@pytest.mark.parametrize("examine", [plain_function, generator, coroutine, async_generator, gives_a_coroutine])
def test_checks_of_every_kind_of_function_run_alike(examine: Any) -> None:
    assert [(one.outcome.value, one.summary) for one in run(examine)] == [("pass", "a"), ("warn", "b")]


def test_checks_run_from_inside_a_running_loop_too() -> None:
    async def inside() -> list[Finding]:
        return run(coroutine)

    assert len(asyncio.run(inside())) == 2


class Pretender(Finding):
    """A finding of a class of its own."""


def finding(**details: Any) -> Finding:
    return Finding.model_construct(**{"check": "check-0", "outcome": Outcome.PASS, "summary": "s", **details})


def deep(depth: int) -> Any:
    return finding(remedy=Remedy.model_construct(console=("x" * depth,), steps=()))


@pytest.mark.parametrize(
    ("answer", "says"),
    [
        (None, "NoneType instead of findings"),
        ("pass", "str instead of findings"),
        (7, "int instead of findings"),
        ([], "no finding at all"),
        ({}, "no finding at all"),
        (["pass"], "str among its findings"),
        ([None], "NoneType among its findings"),
        (Finding(check="check-0", outcome=Outcome.PASS, summary="s"), "one finding instead of a list"),
        ([Finding(check="another", outcome=Outcome.PASS, summary="s")], "in the name of another check, 'another'"),
        ([Pretender(check="check-0", outcome=Outcome.PASS, summary="s")], "Pretender among its findings"),
        ([finding(outcome="splendid")], "not one"),
        ([finding(summary=5)], "not one"),
        ([finding(summary="")], "not one"),
        ([finding(summary="x" * 500)], "not one"),
        ([finding(evidence=(Evidence.model_construct(line=0, text="x"),))], "not one"),
        ([finding(summary="\ud800")], "not one"),
        ([deep(300_000)], "a finding of 300"),
    ],
)
def test_nonsense_becomes_an_error_that_says_what_it_is(answer: Any, says: str) -> None:
    [first, second] = run(lambda case: answer, good)
    assert (first.check, first.outcome) == ("check-0", "error")
    assert says in first.summary
    assert second.outcome == "pass"


def test_a_coroutine_among_findings_is_closed_without_a_warning() -> None:
    assert "coroutine among its findings" in run(lambda case: [coroutine(case)])[0].summary


def endless(case: Case) -> Iterator[Finding]:
    while True:
        yield case.passed("again")


async def endless_async(case: Case) -> AsyncIterator[Finding]:
    while True:
        yield case.passed("again")


@pytest.mark.parametrize("examine", [endless, endless_async, lambda case: [case.passed("again")] * 10_000])
def test_findings_without_end_are_capped_and_said_to_be(examine: Any) -> None:
    findings = run_checks([check_of(examine), check_of(good, "after")], case_for, 30)
    assert len(findings) == MAX_FINDINGS + 2
    assert findings[MAX_FINDINGS].outcome == "error"
    assert str(MAX_FINDINGS) in findings[MAX_FINDINGS].summary
    assert findings[-1].check == "after"


def test_a_case_that_cannot_be_made_is_the_checks_error() -> None:
    def no_case(check: Check) -> Case:
        raise OSError("no case")

    assert [finding.outcome.value for finding in run_checks([check_of(good)], no_case)] == ["error"]


def test_findings_come_in_the_order_of_the_checks() -> None:
    checks = [check_of(good, f"check-{at}") for at in range(50)]
    assert [finding.check for finding in run_checks(checks, case_for)] == [check.id for check in checks]


def test_no_checks_give_no_findings() -> None:
    assert run_checks([], case_for) == []


def test_one_runner_serves_many_threads_at_once() -> None:
    runner = CheckRunner(10)
    checks = [check_of(examine, f"check-{at}") for at, examine in enumerate([good, coroutine, generator, raises])]
    results: list[list[Finding]] = []
    threads = [threading.Thread(target=lambda: results.append(runner(checks, case_for))) for _ in range(16)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(30)
    assert len(results) == 16
    assert all(result == results[0] for result in results)


def test_the_overhead_of_an_inspection_is_well_below_a_millisecond() -> None:
    checks = [check_of(good, f"check-{at}") for at in range(4)]
    runner = CheckRunner()
    best_s = min(_timed(runner, checks) for _ in range(200))
    assert best_s < 0.001


def _timed(runner: CheckRunner, checks: list[Check]) -> float:
    began = time.perf_counter()
    runner(checks, case_for)
    return time.perf_counter() - began


def test_the_thread_of_a_sound_inspection_is_gone_when_it_returns() -> None:
    before = set(threading.enumerate())
    Bench().run(check_of(good))
    assert set(threading.enumerate()) <= before

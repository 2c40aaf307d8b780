"""One target and its queue: order, pauses, giving up, and a stop."""

from __future__ import annotations

import asyncio
import contextlib
import itertools
from collections.abc import AsyncIterator
from pathlib import Path

import pytest

from propsoff.outgoing.lane import BackOff, Lane, Later, Never, Outcome, Sent
from propsoff.outgoing.outbox import Entry, waiting_files
from propsoff.threads import tell
from tests_support.outgoing import Voice, an_outbox, no_file_free, queue, until


class Target:
    """Answers as told; the last answer for ever."""

    name = "web call rig"

    def __init__(self, *answers: Outcome | Exception) -> None:
        self.answers = list(answers)
        self.came: list[str] = []
        self.open = asyncio.Event()
        self.open.set()

    async def ready(self) -> None:
        await self.open.wait()

    async def attempt(self, entry: Entry) -> Outcome:
        self.came.append(entry.head.report)
        answer = self.answers.pop(0) if len(self.answers) > 1 else self.answers[0]
        if isinstance(answer, Exception):
            raise answer
        return answer


class Work:
    """A lane at work on a queue."""

    def __init__(self, folder: Path, target: Target, *, max_age_s: float = 60, keep: int = 100) -> None:
        self.voice, self.target = Voice(), target
        self.outbox = an_outbox(folder / "q", self.voice, keep)
        quick = BackOff(0.01, 0.02)
        self.lane = Lane(target, self.outbox, back_off=quick, max_age_s=max_age_s, voice=self.voice)
        loop = asyncio.get_running_loop()
        self.outbox.wake = lambda: tell(loop, self.lane.wake)


@contextlib.asynccontextmanager
async def at_work(work: Work) -> AsyncIterator[Work]:
    task = asyncio.create_task(work.lane.run())
    try:
        yield work
    finally:
        task.cancel()
        await asyncio.gather(task, return_exceptions=True)


async def test_reports_go_out_in_order_and_leave_the_disk(tmp_path: Path) -> None:
    work = Work(tmp_path, Target(Sent()))
    ids = [queue(work.outbox, f"{number}") for number in range(5)]
    async with at_work(work):
        await until(lambda: len(work.target.came) == 5)
        ids += [queue(work.outbox, "later")]
        await until(lambda: len(work.target.came) == 6)
        await until(lambda: not waiting_files(tmp_path / "q"))
        await asyncio.wait_for(work.lane.calm.wait(), 5)
    assert work.target.came == ids
    assert work.voice.troubles == []
    assert [event for event, _ in work.voice.logged] == ["an outgoing report is out"] * 6


async def test_a_failure_is_tried_again_before_the_next_one_and_said_once(tmp_path: Path) -> None:
    work = Work(tmp_path, Target(Later("busy"), Later("busy"), Later("busy"), Sent()))
    first, second = queue(work.outbox, "a"), queue(work.outbox, "b")
    async with at_work(work):
        await until(lambda: len(work.target.came) == 5)
        await until(lambda: len(work.voice.troubles) == 2)
    assert work.target.came == [first] * 4 + [second]
    assert "busy" in work.voice.troubles[0]
    assert "works again" in work.voice.troubles[1]
    again = [values for event, values in work.voice.logged if event == "an outgoing report is tried again"]
    assert len(again) == 3


async def test_a_queue_that_cannot_be_read_for_a_while_is_said_once_and_sent_when_it_can(tmp_path: Path) -> None:
    work = Work(tmp_path, Target(Sent()))
    ids = [queue(work.outbox, "a"), queue(work.outbox, "b")]
    with no_file_free():
        async with at_work(work):
            await until(lambda: len(work.voice.logged) >= 3)
            await until(work.lane.calm.is_set)  # a stop need not wait for the disk
    assert len(work.voice.troubles) == 1
    assert "Too many open files" in work.voice.troubles[0]
    async with at_work(work):
        await until(lambda: work.target.came == ids)
    assert waiting_files(tmp_path / "q") == []


async def test_a_report_that_cannot_be_read_is_put_aside_when_its_time_is_over(tmp_path: Path) -> None:
    work = Work(tmp_path, Target(Sent()), max_age_s=0.05)
    queue(work.outbox, "a")
    with no_file_free():
        async with at_work(work):
            await until(lambda: not len(work.outbox))
    assert "could not be read" in work.voice.troubles[-1]
    assert work.target.came == []


async def test_what_the_target_will_not_take_is_given_up_with_the_reason_and_the_next_one_goes_out(
    tmp_path: Path,
) -> None:
    work = Work(tmp_path, Target(Never("the receiver answered 422"), Sent()))
    first, second = queue(work.outbox, "a"), queue(work.outbox, "b")
    async with at_work(work):
        await until(lambda: work.target.came == [first, second])
        await until(lambda: not waiting_files(tmp_path / "q"))
    assert work.voice.troubles == [f"web call rig: report {first} is given up: the receiver answered 422"]


async def test_a_report_that_grew_too_old_is_given_up_but_was_tried(tmp_path: Path) -> None:
    work = Work(tmp_path, Target(Later("no answer")), max_age_s=0.2)
    first = queue(work.outbox, "a")
    async with at_work(work):
        await until(lambda: any("given up" in text for text in work.voice.troubles))
        await until(lambda: not waiting_files(tmp_path / "q"))
    assert first in work.target.came
    assert "longer than" in work.voice.troubles[-1]
    assert "no answer" in work.voice.troubles[-1]


async def test_a_target_that_never_gets_ready_costs_a_report_its_age_at_the_most(tmp_path: Path) -> None:
    target = Target(Later("no connection"))
    target.open.clear()
    work = Work(tmp_path, target, max_age_s=0.1)
    queue(work.outbox, "a")
    async with at_work(work):
        await until(work.lane.calm.is_set)
        await until(lambda: any("given up" in text for text in work.voice.troubles))


async def test_one_that_waits_for_its_target_does_not_hold_up_a_stop(tmp_path: Path) -> None:
    target = Target(Sent())
    target.open.clear()
    work = Work(tmp_path, target)
    queue(work.outbox, "a")
    async with at_work(work):
        await asyncio.wait_for(work.lane.calm.wait(), 5)
        queue(work.outbox, "b")
        await asyncio.sleep(0)
        assert work.lane.calm.is_set()
    assert len(waiting_files(tmp_path / "q")) == 2
    assert target.came == []


async def test_a_fault_in_a_target_is_named_and_tried_again(tmp_path: Path) -> None:
    work = Work(tmp_path, Target(ZeroDivisionError("oops"), Sent()))
    queue(work.outbox, "a")
    async with at_work(work):
        await until(lambda: len(work.voice.troubles) == 2)
    assert "ZeroDivisionError: oops" in work.voice.troubles[0]


async def test_a_report_that_is_dropped_while_it_rests_is_not_tried_again(tmp_path: Path) -> None:
    work = Work(tmp_path, Target(Later("busy")), keep=1)
    first = queue(work.outbox, "a")
    async with at_work(work):
        await until(lambda: work.target.came)
        second = queue(work.outbox, "b")
        await until(lambda: second in work.target.came)
        # In the case that the first was under way when the second came, it is dropped at the third.
        third = queue(work.outbox, "c")
        await until(lambda: third in work.target.came)
        assert first not in work.target.came[-2:]
    assert sum("dropped" in text for text in work.voice.troubles) >= 1


@pytest.mark.parametrize(("chance", "factor"), [(0.0, 1.0), (1.0, 0.5)])
def test_pauses_double_up_to_the_longest_and_are_shortened_by_chance(chance: float, factor: float) -> None:
    back_off = BackOff(2, 60, lambda: chance)
    assert [back_off.pause_s(n) for n in range(1, 8)] == [each * factor for each in (2, 4, 8, 16, 32, 60, 60)]
    assert back_off.pause_s(10_000) == 60 * factor


def test_a_pause_that_the_target_asks_for_is_never_cut_short() -> None:
    assert BackOff(2, 60, lambda: 0.0).pause_s(1, 30) == 30
    assert BackOff(2, 60, lambda: 0.0).pause_s(4, 3) == 16
    assert BackOff(2, 60).pause_s(1, 600) == 600


def test_pauses_of_many_benches_differ() -> None:
    pauses = {round(BackOff(2, 60).pause_s(3), 6) for _ in itertools.repeat(None, 50)}
    assert len(pauses) > 40
    assert all(4 <= pause <= 8 for pause in pauses)

"""History as callers ask it: a slow one costs each its own time, and no connection is left behind."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from propsoff.exceptions import NothingThereError, StoreError
from propsoff.page.history import History
from propsoff.settings import StoreSection
from propsoff.store.model import Wanted
from propsoff.store.store import Store


def history(tmp_path: Path, within_s: float) -> History:
    return History(StoreSection(url=f"sqlite:///{tmp_path}/history.sqlite"), within_s)


def connections(tmp_path: Path) -> int:
    """Files of the database that this process has open. Source: proc(5), /proc/PID/fd."""
    targets = []
    for link in Path("/proc/self/fd").iterdir():
        try:
            targets.append(str(link.readlink()))
        except FileNotFoundError:  # the handle that lists them
            continue
    return sum(target.startswith(f"{tmp_path}/history.sqlite") for target in targets)


async def until(condition: Callable[[], object]) -> None:
    async with asyncio.timeout(20):
        while not condition():
            await asyncio.sleep(0.005)


def visits(store: Store) -> int:
    return len(store.visits(Wanted()))


class Held:
    """Questions that are answered once they are let go on."""

    def __init__(self) -> None:
        self.go_on, self.came = threading.Event(), 0

    def __call__(self, store: Store) -> int:
        self.came += 1
        found = visits(store)
        assert self.go_on.wait(20)
        return found


async def test_one_connection_serves_one_question_after_the_other_and_is_let_go_of(tmp_path: Path) -> None:
    asked = history(tmp_path, 20)
    assert await asyncio.gather(*(asked.ask(visits) for _ in range(10))) == [0] * 10
    once = connections(tmp_path)
    assert once > 0
    await asked.ask(visits)
    assert connections(tmp_path) == once
    asked.close()
    await until(lambda: connections(tmp_path) == 0)


async def test_a_question_that_takes_too_long_leaves_no_connection_behind(tmp_path: Path) -> None:
    asked, held = history(tmp_path, 20), Held()
    await asked.ask(visits)
    asked.within_s = 0.05
    for _ in range(3):
        with pytest.raises(StoreError, match=r"did not answer within 0\.05 s"):
            await asked.ask(held)
    assert held.came >= 1
    asked.within_s = 20
    assert await asked.ask(visits) == 0
    held.go_on.set()
    asked.close()
    await until(lambda: connections(tmp_path) == 0)


async def test_who_waits_for_a_turn_in_vain_takes_nothing_from_whoever_has_it(tmp_path: Path) -> None:
    asked, held = history(tmp_path, 20), Held()
    await asked.ask(visits)
    once = connections(tmp_path)
    first = asyncio.create_task(asked.ask(held))
    await until(lambda: held.came)
    asked.within_s = 0.05
    with pytest.raises(StoreError, match="asked by others"):
        await asked.ask(visits)
    held.go_on.set()
    assert await first == 0
    asked.within_s = 20
    await asked.ask(visits)
    assert connections(tmp_path) == once
    asked.close()
    await until(lambda: connections(tmp_path) == 0)


async def test_the_time_of_a_question_does_not_count_what_it_waited_for_its_turn(tmp_path: Path) -> None:
    asked, first, second = history(tmp_path, 2.0), Held(), Held()
    answers = asyncio.gather(asked.ask(first), asked.ask(second))
    loop = asyncio.get_running_loop()
    loop.call_later(1.3, first.go_on.set)
    loop.call_later(2.6, second.go_on.set)
    assert list(await answers) == [0, 0]
    asked.close()
    await until(lambda: connections(tmp_path) == 0)


async def test_a_caller_who_hangs_up_and_a_question_that_fails_leave_no_connection_behind(tmp_path: Path) -> None:
    asked, held = history(tmp_path, 20), Held()
    gone = asyncio.create_task(asked.ask(held))
    await until(lambda: held.came)
    gone.cancel()
    await asyncio.gather(gone, return_exceptions=True)
    held.go_on.set()
    await until(lambda: connections(tmp_path) == 0)

    def fails(store: Store) -> None:
        visits(store)
        raise NothingThereError("no such thing")

    with pytest.raises(NothingThereError):
        await asked.ask(fails)
    assert connections(tmp_path) == 0


async def test_a_history_that_is_closed_while_it_is_asked_is_let_go_of_after_the_answer(tmp_path: Path) -> None:
    asked, held = history(tmp_path, 20), Held()
    first = asyncio.create_task(asked.ask(held))
    await until(lambda: held.came)
    asked.close()
    held.go_on.set()
    assert await first == 0
    await until(lambda: connections(tmp_path) == 0)

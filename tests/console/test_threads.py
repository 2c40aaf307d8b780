"""One blocking call in a thread of its own."""

from __future__ import annotations

import asyncio
import threading

import pytest

from console.conftest import eventually
from propsoff.console.threads import in_thread, tell


async def test_the_result_and_the_error_come_back() -> None:
    def fail() -> None:
        raise OSError(5, "Input/output error")

    assert await in_thread(threading.get_ident, "test") != threading.get_ident()
    with pytest.raises(OSError, match="Input/output"):
        await in_thread(fail, "test")


@pytest.mark.parametrize("returned_before_the_cancellation", [False, True])
async def test_a_result_that_nobody_waits_for_is_let_go_of(returned_before_the_cancellation: bool) -> None:
    go_on, returned = threading.Event(), threading.Event()
    let_go: list[str] = []

    def call() -> str:
        go_on.wait(10)
        returned.set()
        return "an open port"

    waiting = asyncio.create_task(in_thread(call, "test", let_go.append))
    await asyncio.sleep(0)
    if returned_before_the_cancellation:
        go_on.set()
        returned.wait(10)  # blocks the loop on purpose: the result cannot be delivered before the cancellation
    waiting.cancel()
    with pytest.raises(asyncio.CancelledError):
        await waiting
    go_on.set()
    await eventually(lambda: let_go == ["an open port"])


async def test_an_error_that_nobody_waits_for_is_no_complaint() -> None:
    heard: list[object] = []
    loop = asyncio.get_running_loop()
    loop.set_exception_handler(lambda _, context: heard.append(context))
    go_on, ended = threading.Event(), threading.Event()

    def fail() -> None:
        go_on.wait(10)
        ended.set()
        raise OSError(5, "Input/output error")

    waiting = asyncio.create_task(in_thread(fail, "test"))
    await asyncio.sleep(0)
    waiting.cancel()
    with pytest.raises(asyncio.CancelledError):
        await waiting
    go_on.set()
    await asyncio.to_thread(ended.wait, 5)
    await asyncio.sleep(0.01)
    assert heard == []


def test_telling_a_closed_loop_is_told_back() -> None:
    loop = asyncio.new_event_loop()
    loop.close()
    assert not tell(loop, list)

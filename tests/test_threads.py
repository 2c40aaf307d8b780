"""One blocking call off the loop: results, errors, and results that come too late."""

from __future__ import annotations

import asyncio
import threading

import pytest

from propsoff.threads import in_thread, tell


async def test_the_result_comes_back_from_another_thread() -> None:
    assert await in_thread(threading.get_ident) != threading.get_ident()


async def test_what_the_call_raises_comes_back() -> None:
    def fail() -> None:
        raise OSError(5, "Input/output error")

    with pytest.raises(OSError, match="Input/output"):
        await in_thread(fail)


async def test_the_loop_goes_on_while_the_call_blocks() -> None:
    release = threading.Event()
    waiting = asyncio.create_task(in_thread(lambda: release.wait(10)))
    await asyncio.sleep(0)
    assert not waiting.done()
    release.set()
    assert await waiting is True


async def test_a_result_that_comes_after_a_cancellation_is_discarded() -> None:
    release, discarded = threading.Event(), threading.Event()
    results: list[str] = []

    def call() -> str:
        release.wait(10)
        return "an open port"

    def discard(result: str) -> None:
        results.append(result)
        discarded.set()

    waiting = asyncio.create_task(in_thread(call, discard=discard))
    await asyncio.sleep(0)
    waiting.cancel()
    with pytest.raises(asyncio.CancelledError):
        await waiting
    release.set()
    assert await in_thread(lambda: discarded.wait(10))
    assert results == ["an open port"]


async def test_a_cancellation_in_the_moment_of_the_result_does_not_lose_it() -> None:
    """The answer is set and the task is cancelled before it wakes: without care the open port would leak."""
    discarded = threading.Event()
    results: list[str] = []

    def discard(result: str) -> None:
        results.append(result)
        discarded.set()

    loop = asyncio.get_running_loop()
    real = loop.create_future

    def cancelling() -> asyncio.Future[str]:
        future: asyncio.Future[str] = real()
        # Called before the waiting task's own callback, which was added later.
        future.add_done_callback(lambda _: waiting.cancel())
        return future

    loop.create_future = cancelling  # type: ignore[method-assign]  # the only way to this very moment
    waiting = asyncio.create_task(in_thread(lambda: "an open port", discard=discard))
    await asyncio.sleep(0)
    loop.create_future = real  # type: ignore[method-assign]  # put back
    with pytest.raises(asyncio.CancelledError):
        await waiting
    assert await in_thread(lambda: discarded.wait(10))
    assert results == ["an open port"]


def test_a_result_that_comes_after_the_loop_is_closed_is_discarded() -> None:
    release, discarded = threading.Event(), threading.Event()

    def call() -> str:
        release.wait(10)
        return "an open port"

    async def give_up() -> None:
        waiting = asyncio.create_task(in_thread(call, discard=lambda _: discarded.set()))
        await asyncio.sleep(0)
        waiting.cancel()

    asyncio.run(give_up())
    release.set()
    assert discarded.wait(10)


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

"""One blocking call in a thread of its own. A thread of the loop's pool would do, if the call were sure to come back.

Opening a port may hang in the kernel. A daemon thread for each keeps the shared pool free and never holds up the exit.
"""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable
from typing import TypeVar

T = TypeVar("T")


async def in_thread(call: Callable[[], T], discard: Callable[[T], object] | None = None) -> T:
    """What `call` returns, or raises. When nobody waits for the result any more, `discard` gets it, in a thread too."""
    loop = asyncio.get_running_loop()
    answer: asyncio.Future[T] = loop.create_future()

    def deliver(result: T) -> None:
        if not answer.done():
            answer.set_result(result)
        else:
            _start(lambda: _drop(result, discard))

    def fail(error: BaseException) -> None:
        if not answer.done():
            answer.set_exception(error)

    def work() -> None:
        try:
            result = call()
        except BaseException as error:  # noqa: BLE001  handed to the caller
            _soon(loop, fail, error)
            return
        if not _soon(loop, deliver, result):
            _drop(result, discard)

    _start(work)
    try:
        return await answer
    except asyncio.CancelledError:
        # Cancelled in the moment between the result and the waking of the task: the result would be lost.
        if answer.done() and not answer.cancelled() and answer.exception() is None:
            late = answer.result()
            _start(lambda: _drop(late, discard))
        raise


def _start(call: Callable[[], object]) -> None:
    threading.Thread(target=call, name="propsoff-port", daemon=True).start()


def _soon(loop: asyncio.AbstractEventLoop, call: Callable[[T], object], value: T) -> bool:
    """False when the loop is closed: nobody is there to take the value."""
    try:
        loop.call_soon_threadsafe(call, value)
    except RuntimeError:
        return False
    return True


def _drop(result: T, discard: Callable[[T], object] | None) -> None:
    if discard is not None:
        try:
            discard(result)
        except OSError:
            return

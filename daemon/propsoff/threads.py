"""One blocking call in a daemon thread of its own.

Opening and closing a port may hang in the kernel. A thread of the loop's pool would then hold up its other users, and
the process's exit; a daemon thread holds up nothing.
"""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable
from typing import Any, TypeVar

T = TypeVar("T")


def start(call: Callable[[], object], name: str) -> threading.Thread:
    """Run `call` in a daemon thread."""
    thread = threading.Thread(target=call, name=f"propsoff {name}", daemon=True)
    thread.start()
    return thread


def tell(loop: asyncio.AbstractEventLoop, call: Callable[..., object], *values: Any) -> bool:
    """Have the loop call `call`, from any thread. False when the loop is closed: nobody is there to be told."""
    try:
        loop.call_soon_threadsafe(call, *values)
    except RuntimeError:
        return False
    return True


async def in_thread(
    call: Callable[[], T], name: str = "blocking call", discard: Callable[[T], object] | None = None
) -> T:
    """What `call` returns, or raises. A result that nobody waits for any more is given to `discard`, in the thread."""
    loop = asyncio.get_running_loop()
    answer: asyncio.Future[T] = loop.create_future()
    lock = threading.Lock()
    abandoned = False

    def work() -> None:
        try:
            result = call()
        except BaseException as error:  # noqa: BLE001  handed to the caller
            tell(loop, _fail, answer, error)
            return
        with lock:
            taken = not abandoned and tell(loop, _deliver, answer, result)
        if not taken and discard is not None:
            discard(result)

    start(work, name)
    try:
        return await asyncio.shield(answer)
    except asyncio.CancelledError:
        with lock:
            abandoned = True
        if discard is not None:
            # The result may be on its way already: then it is this side that must let go of it.
            answer.add_done_callback(lambda late: _let_go(late, discard, name))
        raise


def _deliver(answer: asyncio.Future[T], result: T) -> None:
    if not answer.done():
        answer.set_result(result)


def _fail(answer: asyncio.Future[T], error: BaseException) -> None:
    if not answer.done():
        answer.set_exception(error)
        answer.exception()  # marks it as seen: whoever waits is told, and when nobody does that is no fault


def _let_go(late: asyncio.Future[T], discard: Callable[[T], object], name: str) -> None:
    if not late.cancelled() and late.exception() is None:
        result = late.result()
        start(lambda: discard(result), name)

"""An event loop in a thread of its own, whose blocking calls each have a daemon thread: nothing in it can hold up the
bench's loop, its thread pool or the exit.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Coroutine
from concurrent.futures import Future, ThreadPoolExecutor
from typing import Any, TypeVar

from propsoff.threads import start

T = TypeVar("T")


class DaemonThreads(ThreadPoolExecutor):
    """Runs each call in a daemon thread. A name server that does not answer blocks a look-up for half a minute."""

    def submit(self, fn: Callable[..., T], /, *args: Any, **kwargs: Any) -> Future[T]:
        """Start a call."""
        future: Future[T] = Future()

        def call() -> None:
            if future.set_running_or_notify_cancel():
                try:
                    future.set_result(fn(*args, **kwargs))
                except BaseException as error:  # noqa: BLE001  handed to the caller
                    future.set_exception(error)

        start(call, "outgoing call")
        return future

    def shutdown(self, wait: bool = True, *, cancel_futures: bool = False) -> None:
        """Nothing is waited for."""


def run_loop(main: Callable[[], Coroutine[Any, Any, None]]) -> None:
    """Run `main` on a new event loop in the calling thread."""
    with asyncio.Runner() as runner:
        runner.get_loop().set_default_executor(DaemonThreads(1))
        runner.run(main())

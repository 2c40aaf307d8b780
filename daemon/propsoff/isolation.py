"""Running somebody else's code with a deadline: in a thread of its own, with an event loop there when it is async.

A thread cannot be killed. One that does not come back is asked to stop (an exception is raised inside it, which ends
any loop written in Python) and left behind; being a daemon thread it never holds up the exit.
"""

from __future__ import annotations

import asyncio
import ctypes
import inspect
import threading
import time
from collections.abc import Awaitable, Callable
from concurrent.futures import Future, wait
from typing import Any

_GRACE_S, _LOOKS = 0.1, 10


class NotBackError(Exception):
    """A call did not come back within its deadline."""


class AbandonedError(BaseException):
    """Raised inside a thread whose caller no longer waits."""


def thread_clock() -> int | None:
    """The processor clock of the calling thread, None where the system has none."""
    return time.pthread_getcpuclockid(threading.get_ident()) if hasattr(time, "pthread_getcpuclockid") else None


def interrupt(thread: threading.Thread, clock: int | None) -> None:
    """Ask a thread that does not come back to stop, if that can help; takes a tenth of a second at the most.

    An exception that waits for a thread which itself waits slows every other thread (Python 3.11 looks for it at each
    call), and stops them while a debugger or coverage traces: only one that uses the processor is sent one. A call into
    C is not interrupted. `clock` is what `thread_clock` gave in that thread.
    """
    if thread.ident is not None and thread.is_alive() and _computes(clock):
        ctypes.pythonapi.PyThreadState_SetAsyncExc(ctypes.c_ulong(thread.ident), ctypes.py_object(AbandonedError))


def _computes(clock: int | None) -> bool:
    """Whether the thread of this clock uses the processor."""
    if clock is None:
        return True
    try:
        before = time.clock_gettime(clock)
        for _ in range(_LOOKS):
            threading.Event().wait(_GRACE_S / _LOOKS)
            if time.clock_gettime(clock) > before:
                return True
    except OSError:  # the thread is gone
        pass
    return False


async def _awaited(value: Awaitable[Any], deadline_s: float) -> Any:
    """The result of an async call. A loop that waits for nothing runs no Python, so it must end its wait itself."""
    task = asyncio.ensure_future(value)
    done, _ = await asyncio.wait({task}, timeout=deadline_s)
    if not done:
        task.cancel()
        raise NotBackError
    return task.result()


def _called(call: Callable[[], Any], deadline_s: float) -> Any:
    """The result of a call: awaited when it is async, listed when it is a generator, so that its body runs here."""
    value = call()
    if inspect.isawaitable(value):
        value = asyncio.run(_awaited(value, deadline_s))
    return list(value) if inspect.isgenerator(value) else value


def ordinary(error: BaseException) -> Exception:
    """What somebody else's code raised, as an error that ends nothing but the call.

    A CancelledError or SystemExit would end the task or the program of whoever waits, a StopIteration is taken for the
    end of a generator, and an error whose text raises could not be told.
    """
    kind = type(error).__name__
    try:
        text = str(error)
    except BaseException as worse:  # noqa: BLE001  it is the culprit's code too
        plain: Exception = RuntimeError(f"{kind}, whose text raised {type(worse).__name__}")
        return plain.with_traceback(error.__traceback__)
    if isinstance(error, Exception) and not isinstance(error, StopIteration):
        return error
    if isinstance(error, SystemExit | KeyboardInterrupt):
        said = f"tried to end the program with {kind}"
    else:
        said = f"{kind}: {text}" if text else kind
    return RuntimeError(said).with_traceback(error.__traceback__)


class _Call:
    """One call in a daemon thread; `answer` has its result, or whatever it raised."""

    def __init__(self, call: Callable[[], Any], deadline_s: float) -> None:
        self.answer: Future[Any] = Future()
        self._clock: int | None = None
        self._thread = threading.Thread(target=self._work, args=(call, deadline_s), name="propsoff-plugin", daemon=True)
        self._thread.start()

    def _work(self, call: Callable[[], Any], deadline_s: float) -> None:
        self._clock = thread_clock()
        value: Any = None
        wrong: Exception | None = None
        try:
            value = _called(call, deadline_s)
        except AbandonedError:
            return
        except BaseException as error:  # noqa: BLE001  handed to the caller, who names the culprit
            wrong = ordinary(error)
        if not self.answer.set_running_or_notify_cancel():
            return
        if wrong is None:
            self.answer.set_result(value)
        else:
            self.answer.set_exception(wrong)

    def abandon(self) -> None:
        """Nobody waits any more; returns at once."""
        self.answer.cancel()
        threading.Thread(target=interrupt, args=(self._thread, self._clock), daemon=True).start()


def wait_bounded(call: Callable[[], Any], deadline_s: float) -> Any:
    """As `run_bounded`, for a caller that may block: also inside a running event loop, which then waits too."""
    running = _Call(call, deadline_s)
    # The call's own deadline comes first where it is async; this one is for those that are not.
    done, _ = wait([running.answer], timeout=deadline_s + _GRACE_S)
    if not done:
        running.abandon()
        raise NotBackError
    return running.answer.result()


async def run_bounded(call: Callable[[], Any], deadline_s: float) -> Any:
    """The result of `call` (awaited where it is async), run off the event loop.

    Raises NotBackError after `deadline_s` seconds, or what the call raised.
    """
    running = _Call(call, deadline_s)
    waiting = asyncio.wrap_future(running.answer)
    try:
        done, _ = await asyncio.wait({waiting}, timeout=deadline_s + _GRACE_S)
    except asyncio.CancelledError:
        running.abandon()
        raise
    if not done:
        waiting.cancel()
        running.abandon()
        raise NotBackError
    return waiting.result()

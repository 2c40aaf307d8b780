"""Running somebody else's code with a deadline: in a thread of its own, with an event loop there when it is async.

A thread cannot be killed. One that does not come back is asked to stop (an exception is raised inside it, which ends
any loop written in Python) and left behind; being a daemon thread it never holds up the exit.
"""

from __future__ import annotations

import asyncio
import ctypes
import inspect
import threading
from collections.abc import Awaitable, Callable
from concurrent.futures import Future, wait
from typing import Any

_GRACE_S = 0.1


class NotBackError(Exception):
    """A call did not come back within its deadline."""


class _AbandonedError(BaseException):
    """Raised inside a thread whose caller no longer waits."""


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


def _work(call: Callable[[], Any], deadline_s: float, answer: Future[Any]) -> None:
    value: Any = None
    wrong: BaseException | None = None
    try:
        value = _called(call, deadline_s)
    except _AbandonedError:
        return
    except (SystemExit, KeyboardInterrupt) as error:
        wrong = RuntimeError(f"tried to end the program with {type(error).__name__}")
    except BaseException as error:  # noqa: BLE001  handed to the caller, who names the culprit
        wrong = error
    if not answer.set_running_or_notify_cancel():
        return
    if wrong is None:
        answer.set_result(value)
    else:
        answer.set_exception(wrong)


def start_bounded(call: Callable[[], Any], deadline_s: float) -> tuple[threading.Thread, Future[Any]]:
    """Start `call` in a daemon thread; its result, or whatever it raised, is in the future."""
    answer: Future[Any] = Future()
    work = (call, deadline_s, answer)
    thread = threading.Thread(target=_work, args=work, name="propsoff-plugin", daemon=True)
    thread.start()
    return thread, answer


def abandon(thread: threading.Thread) -> None:
    """Ask a thread that does not come back to stop. Best effort: a call into C is not interrupted."""
    if thread.ident is not None and thread.is_alive():
        ctypes.pythonapi.PyThreadState_SetAsyncExc(ctypes.c_ulong(thread.ident), ctypes.py_object(_AbandonedError))


def wait_bounded(call: Callable[[], Any], deadline_s: float) -> Any:
    """As `run_bounded`, for a caller that may block: also inside a running event loop, which then waits too."""
    thread, answer = start_bounded(call, deadline_s)
    # The call's own deadline comes first where it is async; this one is for those that are not.
    done, _ = wait([answer], timeout=deadline_s + _GRACE_S)
    if not done:
        abandon(thread)
        raise NotBackError
    return answer.result()


async def run_bounded(call: Callable[[], Any], deadline_s: float) -> Any:
    """The result of `call` (awaited where it is async), run off the event loop.

    Raises NotBackError after `deadline_s` seconds, or what the call raised.
    """
    thread, answer = start_bounded(call, deadline_s)
    waiting = asyncio.wrap_future(answer)
    try:
        done, _ = await asyncio.wait({waiting}, timeout=deadline_s + _GRACE_S)
    except asyncio.CancelledError:
        abandon(thread)
        raise
    if not done:
        waiting.cancel()
        abandon(thread)
        raise NotBackError
    return waiting.result()

"""Other people's code with a deadline: what it raises is an ordinary error; only our own cancellation cancels."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import Callable
from typing import Any

import pytest

from propsoff.isolation import ordinary, run_bounded, wait_bounded


class _UnusualError(BaseException):
    """Neither an error nor an end of anything."""


class _UnspeakableError(Exception):
    def __str__(self) -> str:
        raise LookupError("no words")


def raising(error: BaseException) -> Callable[[], Any]:
    def call() -> None:
        raise error

    return call


def raising_later(error: BaseException) -> Callable[[], Any]:
    async def call() -> None:
        await asyncio.sleep(0)
        raise error

    return call


ODD = [
    (asyncio.CancelledError(), "CancelledError"),
    (_UnusualError("by design"), "_UnusualError: by design"),
    (GeneratorExit(), "GeneratorExit"),
    (SystemExit(3), "tried to end the program with SystemExit"),
    (KeyboardInterrupt(), "tried to end the program with KeyboardInterrupt"),
    (_UnspeakableError(), "_UnspeakableError, whose text raised LookupError"),
]


@pytest.mark.parametrize("how", [raising, raising_later])
@pytest.mark.parametrize(("error", "words"), ODD, ids=[type(error).__name__ for error, _ in ODD])
async def test_what_is_no_error_comes_back_as_one(how: Any, error: BaseException, words: str) -> None:
    with pytest.raises(RuntimeError) as told:
        await run_bounded(how(error), 10)
    assert str(told.value) == words
    with pytest.raises(RuntimeError) as told:
        await asyncio.to_thread(wait_bounded, how(error), 10)
    assert str(told.value) == words


async def test_the_end_of_somebody_elses_iterator_is_no_hanging() -> None:
    with pytest.raises(RuntimeError, match="StopIteration"):
        await run_bounded(raising(StopIteration("x")), 10)


def test_an_ordinary_error_stays_what_it_is() -> None:
    error = OSError(28, "No space left on device")
    assert ordinary(error) is error


async def test_a_cancellation_of_whoever_waits_still_cancels() -> None:
    begun, end = threading.Event(), threading.Event()

    def call() -> None:
        begun.set()
        end.wait(20)

    waiting = asyncio.create_task(run_bounded(call, 20))
    await asyncio.to_thread(begun.wait, 20)
    waiting.cancel()
    with pytest.raises(asyncio.CancelledError):
        await waiting
    end.set()

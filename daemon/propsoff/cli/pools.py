"""The pool of processes that many captures are inspected on."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Executor


def pools_of(jobs: int) -> Callable[[int], Executor]:
    """What makes the executor for a number of captures that is known only later."""
    return lambda captures: pool_of(jobs, captures)()


def pool_of(jobs: int, captures: int) -> Callable[[], Executor]:
    """What makes the executor for so many captures: `jobs` processes, or for few captures a thread."""
    from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
    from multiprocessing import get_context

    from propsoff.bench.batch import CHUNK

    if jobs == 1 or captures <= CHUNK:
        return lambda: ThreadPoolExecutor(1)  # starting processes would cost more than it saves
    return lambda: ProcessPoolExecutor(jobs, mp_context=get_context("spawn"))

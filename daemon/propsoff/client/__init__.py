"""Asking a running bench from a program: a test rig, a script, another command.

::

    from propsoff.client import BenchClient

    with BenchClient.find() as bench:
        begun = bench.inspect("a")
        report = bench.wait("a", after=begun.before, timeout_s=120)

`AsyncBenchClient` is the same for asyncio. Names load when they are first used, so that httpx costs only those who ask.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from propsoff.client.asynchronous import AsyncBenchClient
    from propsoff.client.blocking import BenchClient
    from propsoff.client.found import Service, running_bench, state_folder
    from propsoff.client.places import chosen
    from propsoff.client.replies import AskedQuestion, AskView, Begun, BenchNow, Changes, Happening, Ready, Said, Visits

_HOMES = {
    "AskView": "replies",
    "AskedQuestion": "replies",
    "AsyncBenchClient": "asynchronous",
    "Begun": "replies",
    "BenchClient": "blocking",
    "BenchNow": "replies",
    "Changes": "replies",
    "Happening": "replies",
    "Ready": "replies",
    "Said": "replies",
    "Service": "found",
    "Visits": "replies",
    "chosen": "places",
    "running_bench": "found",
    "state_folder": "found",
}

__all__ = [
    "AskView",
    "AskedQuestion",
    "AsyncBenchClient",
    "Begun",
    "BenchClient",
    "BenchNow",
    "Changes",
    "Happening",
    "Ready",
    "Said",
    "Service",
    "Visits",
    "chosen",
    "running_bench",
    "state_folder",
]


def __getattr__(name: str) -> Any:
    if name in _HOMES:
        return getattr(import_module(f"propsoff.client.{_HOMES[name]}"), name)
    raise AttributeError(f"module 'propsoff.client' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted(__all__)

"""Learning a test console over a real pseudo-terminal, and how what was learned compares with the truth."""

from __future__ import annotations

import asyncio
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from propsoff.console.capture import Recorder
from propsoff.console.conversation import Conversation, converse
from propsoff.console.link import Link
from propsoff.console.timings import Timings
from propsoff.craft.model import Craft
from propsoff.dialects.model import Dialect
from propsoff.learning.learn import Lesson, learn
from propsoff.learning.model import Heard, HelpWord, LeftOut
from propsoff.learning.talk import hear
from tests_support.other_consoles.console import Console, Truth
from tests_support.other_consoles.served import served


@dataclass(frozen=True)
class Learned:
    """A console, what was learned of it, and in how many seconds."""

    console: Console
    lesson: Lesson
    seconds: float

    @property
    def craft(self) -> Craft:
        assert self.lesson.craft is not None, self.lesson.why_not
        return self.lesson.craft


@dataclass(frozen=True)
class Mark:
    """How many of the stated facts were read right; which were read wrong, and which not at all."""

    right: int
    stated: int
    wrong: tuple[tuple[str, Any, Any], ...]
    missing: tuple[str, ...]

    @property
    def share(self) -> float:
        """Of the stated facts the share that was read right."""
        return self.right / self.stated


async def allow_all(chosen: Sequence[HelpWord], _: Sequence[LeftOut]) -> Sequence[HelpWord]:
    """Whatever the learner chose may be sent."""
    return chosen


def recorder() -> Recorder:
    """A recorder on the real clock."""
    return Recorder(clock=time.perf_counter, started=time.time(), port={"device": "test"}, tool="tests")


async def learned(kind: type[Console]) -> Learned:
    """Learn a console from nothing."""
    return (await all_learned([kind]))[0]


async def all_learned(kinds: Sequence[type[Console]]) -> list[Learned]:
    """Learn several consoles from nothing, side by side."""
    talked = await asyncio.gather(*map(_heard, kinds))  # what they mean is worked out when nobody waits any more
    return [Learned(console, learn(heard, id_="learned", title="Learned"), took) for console, heard, took in talked]


async def _heard(kind: type[Console]) -> tuple[Console, Heard, float]:
    console = kind()
    began = time.monotonic()
    with served(console) as device:
        async with await Link.open(str(device), timings=Timings()) as link:
            heard = await hear(link, recorder(), allow_all, timings=Timings())
    return console, heard, time.monotonic() - began


async def inspected_again(kind: type[Console], dialect: Dialect) -> tuple[Console, Conversation]:
    """Read a console that is plugged in anew with a dialect that was learned."""
    console = kind()
    with served(console) as device:
        async with await Link.open(str(device), timings=Timings()) as link:
            hinted = [dialect.id]
            return console, await converse(
                link, [dialect.manner], recorder(), hinted=hinted, timings=Timings(listen_s=0.1)
            )


def marked(craft: Craft, truth: Truth) -> Mark:
    """Compare every fact that was read with the truth; a fact that the console does not state is read wrong."""
    read = {fact.name: fact.value for fact in craft.facts()}
    wrong = [
        (name, value, found)
        for name, value in truth.stated.items()
        if (found := craft.value(name)) is not None and found != value
    ]
    wrong += [
        (name, "not stated", found)
        for name, found in read.items()
        if name not in truth.stated and truth.coded.get(name) != found
    ]
    missing = tuple(name for name in truth.stated if craft.value(name) is None)
    right = sum(craft.value(name) == value for name, value in truth.stated.items())
    return Mark(right, len(truth.stated), tuple(wrong), missing)


def saved(lesson: Lesson, folder: Path) -> Path:
    """The draft as a file."""
    assert lesson.draft is not None
    file = folder / "learned.toml"
    file.write_text(lesson.draft.text, encoding="utf-8")
    return file

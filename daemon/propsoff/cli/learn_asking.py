"""What `propsoff learn` asks a person: whether words may be sent, and what a statement means."""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import click

from propsoff.cli.common import many, note

if TYPE_CHECKING:
    from propsoff.learning.learn import Lesson
    from propsoff.learning.model import HelpWord, LeftOut

_LONGEST = 60


@dataclass
class Consent:
    """What may be sent of what was chosen: all, or what a person says, also of what a menu offers that was opened.

    `declined` tells that they said no before anything was sent.
    """

    ask: bool
    declined: bool = False
    allowed: bool = False

    async def __call__(self, chosen: Sequence[HelpWord], left_out: Sequence[LeftOut]) -> Sequence[HelpWord]:
        from propsoff.outputs.escape import visible

        for line in would_send(chosen, left_out):
            note(visible(line))
        if not self.ask or not chosen or await _agreed("Send these?"):
            self.allowed = True
            return chosen
        self.declined = not self.allowed
        return ()


def would_send(chosen: Sequence[HelpWord], left_out: Sequence[LeftOut]) -> Iterator[str]:
    """The lines that a person is shown before anything is sent."""
    if chosen:
        yield f"would send {many(len(chosen), 'word')} that {'reads' if len(chosen) == 1 else 'read'}:"
    else:
        yield "would send no word: none is known that certainly only reads"
    for word in chosen:
        yield f"  {word.word}" + (f"   ({word.says[:_LONGEST]})" if word.says else "")
    if left_out:
        yield f"would not send {len(left_out)}:"
    for one in left_out:
        yield f"  {one.word.word}   {one.why}"


async def _agreed(question: str) -> bool:
    """Whether a person says yes. It can be cancelled: nothing reads from the terminal before there is something."""
    import asyncio

    click.echo(f"{question} [y/N]: ", nl=False, err=True)
    loop, typed = asyncio.get_running_loop(), asyncio.Event()
    try:
        loop.add_reader(sys.stdin, typed.set)
    except (OSError, ValueError, NotImplementedError):  # a file, or none: that does not keep us waiting; or Windows
        typed.set()
    try:
        await typed.wait()
    finally:
        with contextlib.suppress(OSError, ValueError, NotImplementedError):
            loop.remove_reader(sys.stdin)
    try:
        typed_line = sys.stdin.readline()
        if not sys.stdin.isatty():
            note("")  # nobody's Enter has ended the line
        return typed_line.strip().casefold() in ("y", "yes")
    except (OSError, UnicodeDecodeError):  # the terminal went away, or bytes that are no text
        return False


def settled_by_a_person(lesson: Lesson, renamed: Callable[[Lesson], Lesson]) -> Lesson:
    """The lesson with what a person says to the statements that are nearly certain, and `renamed` after that."""
    from propsoff.learning.doubts import doubts_of, settled
    from propsoff.outputs.escape import visible

    answers: dict[int, str] = {}
    for doubt in doubts_of(lesson):
        note(visible(f"line {doubt.statement.line}: {' '.join(doubt.statement.path)}  {doubt.statement.text}"))
        try:
            if click.confirm(f"  is this {doubt.fact} ({doubt.doc})?", default=False, err=True):
                answers[doubt.number] = doubt.fact
        except (click.Abort, EOFError):
            break
    return renamed(settled(lesson, answers)) if answers else lesson

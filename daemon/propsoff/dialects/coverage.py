"""What a dialect reads of a capture, line by line: for whoever writes one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from propsoff.console.capture import Capture
from propsoff.console.transcript import Transcript
from propsoff.craft.model import Craft, Problem
from propsoff.craft.names import facts
from propsoff.dialects.model import Dialect
from propsoff.dialects.read import read_transcript


@dataclass(frozen=True, slots=True)
class LineRead:
    """One line of the transcript. `state` is `fact`, `problem`, `unread` (nothing understood it) or `quiet`.

    Quiet lines state nothing: prompts, echoes, headings, marks, comments, and whatever no asked command answered.
    """

    number: int
    text: str
    state: str
    facts: tuple[str, ...] = ()
    problem: str = ""


@dataclass(frozen=True)
class Coverage:
    """What was read. `unread_facts` are canonical facts that no line states.

    `replies` are the commands that were answered in this capture, `missing` those that were not.
    """

    lines: tuple[LineRead, ...]
    craft: Craft
    unread_facts: tuple[str, ...]
    replies: tuple[str, ...]
    missing: tuple[str, ...]

    @property
    def share(self) -> float:
        """Of the lines that state something the share that became facts, 0 to 1; 0 when there are none."""
        stated = [line for line in self.lines if line.state != "quiet"]
        return sum(line.state == "fact" for line in stated) / len(stated) if stated else 0.0


def coverage_of(capture: Capture, dialect: Dialect) -> Coverage:
    """What the dialect reads of the capture. Pure; never raises for what a board said."""
    transcript = Transcript(capture)
    reading = read_transcript(transcript, dialect)
    craft = reading.craft
    stated = _stated(craft)
    problems = {problem.line: problem for problem in craft.problems if problem.line is not None}
    unread = {number for number, _ in craft.unread}
    lines = tuple(
        _line(line.number, line.text, stated.get(line.number, ()), problems.get(line.number), line.number in unread)
        for line in transcript.lines
    )
    read = {fact.name for fact in craft.facts()}
    answered = {exchange.command for exchange in reading.exchanges}
    asked = (dialect.manner.identify, *dialect.manner.reads)
    return Coverage(
        lines,
        craft,
        tuple(dict.fromkeys(_not_in(read))),
        tuple(query.command for query in asked if query.command in answered),
        tuple(query.command for query in asked if query.command not in answered),
    )


def _line(number: int, text: str, names: tuple[str, ...], problem: Problem | None, unread: bool) -> LineRead:
    if problem is not None:
        return LineRead(number, text, "problem", names, problem.message)
    if names:
        return LineRead(number, text, "fact", names)
    return LineRead(number, text, "unread" if unread else "quiet")


def _stated(craft: Craft) -> Mapping[int, tuple[str, ...]]:
    found: dict[int, tuple[str, ...]] = {}
    for fact in craft.facts():
        for number in fact.lines:
            found[number] = (*found.get(number, ()), fact.name)
    return found


def _not_in(read: set[str]) -> Iterator[str]:
    """The canonical facts that were not read; of repeated groups the groups."""
    for name, spec in facts().items():
        group = spec.repeated
        if group is None and name not in read:
            yield name
        elif group is not None and not any(one == group or one.startswith(f"{group}[") for one in read):
            yield group

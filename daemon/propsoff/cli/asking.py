"""Asking a person at the terminal what no console tells. Standard output stays clean: the questions go to the other."""

from __future__ import annotations

import select
import sys
from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, datetime
from typing import TYPE_CHECKING

import click

from propsoff.craft.model import HandNote, Scalar, name_of_craft
from propsoff.notes.answers import answer_of, wanted_answer
from propsoff.notes.load import LONGEST_NAME
from propsoff.notes.model import HandNotes
from propsoff.outputs.escape import visible

if TYPE_CHECKING:
    from propsoff.inspection.meant import Meant
    from propsoff.sheets.model import Question

_HINTS: Mapping[str, str] = {"yes-no": " [y/n]", "version": " (a version, such as 1.10.0)", "choice": "", "text": ""}
_LONGEST = 600
_LOOK_S = 0.25
PROMPT = "     > "


def ask_person(meant: Meant, before: HandNotes | None) -> tuple[HandNotes | None, bool]:
    """Ask the questions of the sheet; `before` are earlier answers. Gives all answers, and whether Ctrl-C ended it.

    What was answered until then counts. None when there is no answer at all.
    """
    craft, questions = meant.craft, meant.sheet.questions
    name = name_of_craft(craft.craft.name, craft.board.name, craft.board.serial)
    if not questions:
        _say(f"{name}: the sheet {meant.sheet.name} asks nothing.")
        return before, False
    _say(f"{name}: {counted(len(questions))} of the sheet {meant.sheet.name}.")
    _say("Propellers off. Enter leaves an answer as it is, Ctrl-D all that are left.")
    at = datetime.now(UTC).replace(microsecond=0).isoformat().replace("+00:00", "Z")
    notes, stopped = before or _nothing_yet(meant), False
    try:
        for number, question in enumerate(questions, start=1):
            value = _asked(question, f"{number}/{len(questions)}", notes.answers.get(question.id))
            if value is not None:
                notes = _with(notes, question.id, HandNote(value, at))
    except EOFError:
        _say("")
    except KeyboardInterrupt:
        _say("")
        stopped = True
    return notes if notes.answers else before, stopped


def _nothing_yet(meant: Meant) -> HandNotes:
    """No answers yet of this craft. A name of blanks alone names nobody."""

    def fitting(text: str | None) -> str | None:
        return text if text and text.strip() and len(text) <= LONGEST_NAME else None

    return HandNotes(craft=fitting(meant.craft.craft.name), serial=fitting(meant.craft.board.serial))


def _with(notes: HandNotes, name: str, note: HandNote) -> HandNotes:
    places = {each: place for each, place in notes.places.items() if each != name}
    return replace(notes, answers={**notes.answers, name: note}, places=places)


def _asked(question: Question, count: str, before: HandNote | None) -> Scalar | None:
    """The answer that was typed; None for Enter. Raises EOFError, and KeyboardInterrupt."""
    for line in lines_of(question, count, before):
        _say(line)
    while True:
        click.echo(PROMPT, nl=False, err=True)
        try:
            typed = _line()
            if not typed:
                return None
            value = answer_of(question, typed)
        except ValueError as wrong:
            _say(f"     {wrong}, please")
            continue
        if question.kind == "choice":
            _say(f"     {told(value)}")
        return value


def lines_of(question: Question, count: str, before: HandNote | None) -> list[str]:
    """A question as a person reads it; `count` says the how many-th it is, `before` is an earlier answer."""
    usable = before is not None and wanted_answer(question, before.value) is None
    now = f" (now: {told(before.value)})" if before is not None and usable else ""
    choices = [f"     {number}  {choice}" for number, choice in enumerate(question.choices, start=1)]
    return [f"{count}  {question.ask}{_HINTS[question.kind]}{now}", *choices]


def _line() -> str:
    """A line from the terminal, without blanks around it. Raises EOFError; ValueError for bytes that are no text."""
    # A Ctrl-C just before a read begins would be noticed only when that ends; between two looks it is noticed anyway.
    while sys.platform != "win32" and not select.select([sys.stdin], [], [], _LOOK_S)[0]:
        pass
    try:
        line = sys.stdin.buffer.readline()
    except OSError:  # the terminal went away
        line = b""
    if not line:
        raise EOFError
    try:
        return line.decode(sys.stdin.encoding or "utf-8").strip()
    except UnicodeDecodeError:
        raise ValueError("letters that this terminal can show") from None


def told(value: Scalar) -> str:
    """An answer in words."""
    return ("yes" if value else "no") if isinstance(value, bool) else str(value)


def counted(many: int) -> str:
    return "1 question" if many == 1 else f"{many} questions"


def _say(text: str) -> None:
    click.echo(visible(text, _LONGEST), err=True)

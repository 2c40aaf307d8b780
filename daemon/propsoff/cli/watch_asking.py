"""`propsoff watch --ask`: the questions of the build sheets, asked at the terminal while the bench goes on.

They are those that the page shows too, and whoever answers first has answered.
"""

from __future__ import annotations

import asyncio
import sys
from typing import TYPE_CHECKING

import click

from propsoff.bench.asks import AnswerError
from propsoff.cli.asking import PROMPT, counted, lines_of, told
from propsoff.cli.typed import Typed
from propsoff.exceptions import SettingsError, StaleError
from propsoff.notes.answers import answer_of
from propsoff.outputs.escape import visible

if TYPE_CHECKING:
    from collections.abc import Mapping

    from rich.console import Console

    from propsoff.bench.asks import Ask
    from propsoff.bench.control import Control
    from propsoff.bench.events import Event, Watcher
    from propsoff.cli.rows import Rows
    from propsoff.sheets.model import Question

_LONGEST = 600
_KEPT_S = 1.0


class AtTerminal:
    """Asks at the terminal. It is the watcher of the bench, around the one that shows the rows on `console`, so that a
    row which comes while somebody types stands on lines of its own; and `serve` is one of those who serve.
    """

    def __init__(self, rows: Watcher, console: Console, typed: Typed) -> None:
        self._rows, self._console, self._typed = rows, console, typed
        self._shown: list[str] = []
        """What stands at the prompt now, to be shown again below a row; empty while nothing is asked."""

    @classmethod
    def of(cls, rows: Rows) -> AtTerminal:
        """On standard input. Raises SettingsError when that is no terminal."""
        if not sys.stdin.isatty():
            hint = "answer on the page: propsoff watch --page"
            raise SettingsError("standard input is no terminal, so nobody can be asked", source="--ask", hint=hint)
        return cls(rows, rows.console, Typed(sys.stdin.fileno()))

    def __call__(self, event: Event) -> None:
        """Show an event; the question that waits is shown again below it."""
        if not self._shown:
            self._rows(event)
            return
        with self._console.capture() as captured:
            self._rows(event)
        if not (told := captured.get()):
            return
        shown, self._shown = self._shown, []
        click.echo("", err=True)
        try:
            self._console.file.write(told)
            self._console.file.flush()
        finally:
            # What was half typed would count, and nobody could see it any more.
            self._typed.forget()
            self._prompt(shown)

    async def serve(self, control: Control) -> None:
        """Ask whatever waits, one question after the other, until cancelled or until the terminal goes away."""
        try:
            while True:
                changed = control.scene.changed
                if control.asks.waiting:
                    await self._ask(control, control.asks.waiting[0])
                else:
                    await control.scene.after(changed)
        except _GoneError:
            return
        finally:
            self._leave_prompt()
            self._typed.close()

    async def _ask(self, control: Control, ask: Ask) -> None:
        await _until_kept(control, ask)
        self._typed.forget()
        place = control.scene.place(ask.place)
        questions = f"{counted(len(ask.questions))} of the sheet {ask.meant.sheet.name}"
        _say(f"{place.name if place else ask.place}  {ask.report.called}: {questions}.")
        _say("Propellers off. Enter leaves an answer as it is, Ctrl-D all that are left.")
        answering = asyncio.create_task(self._answers(ask), name="questions")
        settled = asyncio.create_task(_settled(control, ask), name="questions settled")
        try:
            await asyncio.wait({answering, settled}, return_when=asyncio.FIRST_COMPLETED)
        finally:
            answered = answering.done() and not answering.cancelled()
            answering.cancel()
            settled.cancel()
            await asyncio.gather(answering, settled, return_exceptions=True)
        if answered:
            # Not to be broken off half way: what was answered would be lost.
            await asyncio.shield(asyncio.ensure_future(_handed(control, ask, answering.result())))
            return
        self._leave_prompt()
        self._typed.forget()
        _say(_why(control, ask))

    async def _answers(self, ask: Ask) -> dict[str, str]:
        """What was typed, by question. Raises _GoneError."""
        given: dict[str, str] = {}
        before = ask.before.answers if ask.before else {}
        many = len(ask.questions)
        for number, question in enumerate(ask.questions, start=1):
            typed = await self._asked(question, lines_of(question, f"{number}/{many}", before.get(question.id)))
            if typed is None:
                break
            if typed:
                given[question.id] = typed
        return given

    async def _asked(self, question: Question, lines: list[str]) -> str | None:
        """What was typed and can be an answer; empty for Enter, None for the end of input. Raises _GoneError."""
        self._prompt(lines)
        while True:
            typed = await self._typed.line()
            self._shown = []
            if typed is None:
                if self._typed.gone:
                    raise _GoneError
                _say("")
                return None
            try:
                text = typed.decode(sys.stdin.encoding or "utf-8").strip()
                value = answer_of(question, text) if text else None
            except UnicodeDecodeError:
                self._prompt(["     letters that this terminal can show, please"], again=lines)
            except ValueError as wrong:
                self._prompt([f"     {wrong}, please"], again=lines)
            else:
                if value is not None and question.kind == "choice":
                    _say(f"     {told(value)}")
                return text

    def _prompt(self, lines: list[str], again: list[str] | None = None) -> None:
        """Show lines and the prompt; `again` is what is shown instead when a row came between."""
        for line in lines:
            _say(line)
        click.echo(PROMPT, nl=False, err=True)
        self._shown = lines if again is None else again

    def _leave_prompt(self) -> None:
        """What comes next begins on a line of its own."""
        if self._shown:
            self._shown = []
            click.echo("", err=True)


class _GoneError(Exception):
    """The terminal went away."""


async def _handed(control: Control, ask: Ask, given: Mapping[str, str]) -> None:
    try:
        if given or ask.before is not None:
            await control.answer(ask.id, given)
        else:
            control.put_off(ask.id)
            _say("Nothing was answered; the report stays as it is.")
    except StaleError as stale:
        _say(f"{ask.report.called}: {stale}." if control.stopping else _why(control, ask))
    except AnswerError as wrong:
        _say(f"{wrong}")


async def _until_kept(control: Control, ask: Ask) -> None:
    """Wait for a moment until the report is written: what is told of that would come between question and answer."""
    loop = asyncio.get_running_loop()
    until = loop.time() + _KEPT_S
    while control.scene.file_of(ask.report.id) is None and (left := until - loop.time()) > 0:
        await control.scene.after(control.scene.changed, left)


async def _settled(control: Control, ask: Ask) -> None:
    """Returns when these questions wait no longer."""
    while True:
        changed = control.scene.changed
        if all(each.id != ask.id for each in control.asks.waiting):
            return
        await control.scene.after(changed)


def _why(control: Control, ask: Ask) -> str:
    """Why questions are no longer asked."""
    now = control.scene.place(ask.place)
    if now is not None and (now.state == "reading" or now.ask not in (None, ask.id)):
        return f"{ask.report.called}: the board is read anew; these questions are out of date."
    return f"{ask.report.called}: answered or put off elsewhere meanwhile."


def _say(text: str) -> None:
    click.echo(visible(text, _LONGEST), err=True)

"""Answers of consoles that a test writes by hand, line by line, and what was heard of them."""

from __future__ import annotations

from propsoff.console.capture import pasted
from propsoff.learning.from_text import heard_in
from propsoff.learning.model import Cell, Heard, Layout, RowSet, Statement

PROMPT = "oak> "


def answer_of(*lines: str, command: str = "settings", rows: tuple[RowSet, ...] = (), note: str = "") -> Layout:
    """The layout of an answer whose lines are `PATH = VALUE`, with `/` between the parts of a path."""
    statements = []
    for number, line in enumerate(lines, 1):
        word, _, text = line.partition(" = ")
        statements.append(Statement(command, word, tuple(word.split("/")), text, number, note=note))
    return Layout(command, "pairs", {"line": "{key:words} = {value:rest}"}, tuple(statements), rows)


def rows_of(path: str, columns: str, *lines: str, command: str = "page", first: int = 1) -> RowSet:
    """Rows of a table whose cells are parted by blanks, one a line; a column `a/b` is a part of another."""
    names = tuple(columns.split())
    made = tuple(
        {name: Cell(text, number) for name, text in zip(names, line.split(), strict=True)}
        for number, line in enumerate(lines, first)
    )
    return RowSet(command, {"table": path}, tuple(path.split("/")), names, made)


def conversation_of(answers: dict[str, str]) -> str:
    """A saved conversation: each command behind the prompt, its answer below it."""
    return "".join(f"{PROMPT}{command}\n{answer}\n" for command, answer in answers.items()) + PROMPT


def heard_from(answers: dict[str, str]) -> Heard:
    """What is heard of a saved conversation."""
    heard = heard_in(pasted(conversation_of(answers).encode("utf-8", "surrogatepass")))
    assert heard is not None
    return heard

"""What is learned of an unknown console: how it talks, what it said, how that is laid out, what it means."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from propsoff.console.capture import Capture
from propsoff.console.manner import Line


@dataclass(frozen=True, slots=True)
class Habits:
    """How a console talks. `prompt`, `pager` and `error` are sources of line templates.

    `typing_s` is the pause that it needs between typed characters (s). `unsure` says in words what is a guess.
    """

    wake: bytes
    line_end: bytes
    echo: bool
    prompt: str
    pager: str | None = None
    pager_key: str = " "
    error: str | None = None
    typing_s: float = 0.0
    unsure: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class HelpWord:
    """A word that the console says it knows, as it must be typed, with what it says of it (may be empty).

    `line` is the transcript line (from 1). `takes` is what it shows of arguments (`<name>`, `[n]`), which are never
    sent. `under` is the heading that it stands below, if any.
    """

    word: str
    says: str
    line: int
    takes: str = ""
    under: str = ""


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A word that is not sent, and why."""

    word: HelpWord
    why: str


@dataclass(frozen=True, slots=True)
class Answer:
    """What the console answered to one word: its lines without echo, prompt and pager, numbered as in the transcript.

    `whole` is False when it was cut (deadline, size, lost port). `back` is what has to be typed after it to leave the
    menu that it opened; empty when nothing has. `about` is what the menu calls it, where the word is only a number.
    `way` are the entries that lead to the menu in which the word is known, outermost first, `ways_out` those that lead
    back from it.
    """

    command: str
    lines: tuple[Line, ...]
    whole: bool = True
    back: str = ""
    about: str = ""
    way: tuple[str, ...] = ()
    ways_out: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Heard:
    """A conversation with an unknown console, live or taken out of a saved text."""

    habits: Habits
    answers: tuple[Answer, ...]
    capture: Capture = field(repr=False)
    words: tuple[HelpWord, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    troubles: tuple[str, ...] = ()
    """What went wrong on the way, in words."""


@dataclass(frozen=True, slots=True)
class Statement:
    """One value that a reply states.

    `word` is the name that the dialect's grammar gives it (`radio.kind`, `TABLE.ITEM`, a path of a JSON document).
    `path` are the words that name it for a person, outermost first, as they are written: sections, table, row, key.
    `text` is the value as it is written; of a JSON document the scalar's text, a list as its items parted by commas.
    `kind` tells what it was: `text`, or `number`, `truth`, `list` of a JSON document. `unit` is what stands in a column
    of units, or behind it in a sentence. `implied` are concepts that a sentence says in other ways; `kind` is `told`
    for what stands in one. `note` is a comment beside the value,
    `called` what a listing of the keys' meanings calls it.
    """

    command: str
    word: str
    path: tuple[str, ...]
    text: str
    line: int
    kind: str = "text"
    unit: str = ""
    implied: frozenset[str] = frozenset()
    note: str = ""
    called: str = ""


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell of a row that repeats: its text, its transcript line, its kind and its note as in `Statement`."""

    text: str
    line: int
    kind: str = "text"
    note: str = ""


@dataclass(frozen=True, slots=True)
class RowSet:
    """Rows that repeat: ports, switches, elements, or anything else.

    `place` are the keys of a dialect's `[[reads.rows]]` that say where they stand (`key`, `line`, `table`, `path`).
    `path` names the group for a person (section, table title, command, the fixed part of the key). Each row maps a
    field (of the key, of the value, a column, a member) to its cell; the simple value of `pairs` is the field
    `value`. `columns` are the fields in order. `forms` are the templates that split a value into fields, if
    there are any. `before` is what belongs in front of each id: `UART ` where the place takes the number alone.
    `parted` are cells of several parts: the column, the template that splits it (empty where the cell is a list of a
    document), and the names of the parts; such a part is the column `COLUMN/PART`. `apart` are the words of settings
    that are called like such rows and are none.
    """

    command: str
    place: Mapping[str, Any]
    path: tuple[str, ...]
    columns: tuple[str, ...]
    rows: tuple[Mapping[str, Cell], ...]
    forms: tuple[str, ...] = ()
    before: str = ""
    parted: Mapping[str, tuple[str, tuple[str, ...]]] = field(default_factory=dict)
    apart: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Layout:
    """How one answer is laid out. `options` are the keys of a dialect's read command that say so (`line`, `title`).

    `marks` are its keys `opens`, `ends`, `counted`, as far as they were seen. `understood` are the transcript lines
    that became a statement, a row, a heading, a mark or a comment. `comments` are templates of lines that say
    nothing.
    """

    command: str
    grammar: str
    options: Mapping[str, Any]
    statements: tuple[Statement, ...]
    rows: tuple[RowSet, ...] = ()
    marks: Mapping[str, Any] = field(default_factory=dict)
    comments: tuple[str, ...] = ()
    understood: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class Reading:
    """One way to read a value as a canonical fact: how the dialect writes it, and what comes of it.

    `options` are the keys besides `fact` (`as`, `words`, `suffix`, `unit`, ...). `value` is the canonical value.
    """

    options: Mapping[str, Any]
    value: Any


@dataclass(frozen=True, slots=True)
class Bound:
    """A statement that is taken for a fact. `confidence` is 0 to 1; `why` says what speaks for it.

    `others` are the next best facts with their confidence. Several facts from one statement are several of these, with
    the same statement and the field of its `form` that states each.
    """

    fact: str
    statement: Statement
    reading: Reading
    confidence: float
    why: str
    others: tuple[tuple[str, float], ...] = ()
    form: str | None = None
    part: str | None = None


@dataclass(frozen=True, slots=True)
class BoundCell:
    """A field of rows that is taken for a fact of a group (`ports[].baud`)."""

    fact: str
    column: str
    readings: tuple[Reading | None, ...]
    """One for each row; None where the cell says nothing."""
    options: Mapping[str, Any]
    """How the dialect writes it, right for all rows."""
    confidence: float
    why: str


@dataclass(frozen=True, slots=True)
class BoundRows:
    """Rows that are taken for a repeated group, with the fields that are understood.

    `group` may also be a fact that is a list: then the one cell has its items.
    """

    group: str
    rows: RowSet
    cells: tuple[BoundCell, ...]
    confidence: float
    why: str

    @property
    def is_list(self) -> bool:
        """Whether the rows are the items of a list."""
        return all(cell.fact == self.group for cell in self.cells)


@dataclass(frozen=True, slots=True)
class Unbound:
    """A statement, or a field of rows, that is not taken for any fact, and the nearest guesses."""

    statement: Statement
    guesses: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Meaning:
    """What the replies mean as far as that is known."""

    bound: tuple[Bound, ...]
    rows: tuple[BoundRows, ...] = ()
    unbound: tuple[Unbound, ...] = ()
    unbound_rows: tuple[RowSet, ...] = ()

"""Writing what was learned as a dialect: readable, with evidence beside each word and what is left to a person."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from propsoff.learning.identity import identity_of
from propsoff.learning.model import Answer, Bound, BoundCell, BoundRows, Heard, Layout, Meaning, RowSet, Unbound
from propsoff.ports.facts import UsbHint
from propsoff.toml_text import toml_comment, toml_key, toml_value

_MOST_LEFT = 60
_SHOWN = 70


@dataclass(frozen=True, slots=True)
class Draft:
    """A dialect to be. `identity` is the command that tells the firmware apart, `known_by` the line that does."""

    text: str
    identity: str
    known_by: str


def draft_of(
    heard: Heard, layouts: Sequence[Layout], meaning: Meaning, *, id_: str, title: str, hints: Sequence[UsbHint] = ()
) -> Draft | None:
    """The draft; None when no answer can tell this firmware apart from others."""
    by_command: dict[str, list[Layout]] = {}
    for layout in layouts:
        by_command.setdefault(layout.command, []).append(layout)
    answers = {answer.command: answer for answer in heard.answers}
    identity = identity_of(answers, by_command, meaning)
    if identity is None:
        return None
    command, known_by = identity
    useful = [one for one in by_command if one != command and _says(one, meaning)]
    lines = [
        "# Learned from the console itself. Read it through: what is bound says why, and what is not stands below as a",
        "# comment, to be filled in by hand. `propsoff dialect check THIS --capture CAPTURE` shows what it reads.",
        "format = 1",
        f"id = {toml_value(id_)}",
        f"title = {toml_value(title)}",
        'version = "1"',
        "",
        *_usb(hints),
        *_console(heard, layouts),
        "",
        "[identity]",
        f"command = {toml_value(command)}",
        f"known_by = {toml_value(known_by)}",
        *_read(by_command.get(command, []), answers[command], meaning, "identity"),
    ]
    for one in useful:
        lines += ["", "[[reads]]", f"command = {toml_value(one)}"]
        lines += _read(by_command[one], answers[one], meaning, "reads")
    lines += ["", *_left(heard, {command, *useful})]
    return Draft("\n".join(lines).rstrip("\n") + "\n", command, known_by)


def _says(command: str, meaning: Meaning, layout: Layout | None = None) -> bool:
    """Whether anything that an answer, or one part of it, states is understood."""
    own = None if layout is None else {id(one) for one in (*layout.statements, *layout.rows)}
    stated = [one.statement for one in meaning.bound if one.statement.command == command]
    rows = [one.rows for one in meaning.rows if one.rows.command == command]
    return any(own is None or id(one) in own for one in (*stated, *rows))


def _usb(hints: Sequence[UsbHint]) -> Iterator[str]:
    for hint in hints:
        yield "[[usb]]"
        yield f"vid = 0x{hint.vid:04x}"
        yield f"pid = 0x{hint.pid:04x}"
        if hint.product:
            yield f"product = {toml_value(hint.product)}"
        yield ""


def _console(heard: Heard, layouts: Sequence[Layout]) -> Iterator[str]:
    habits = heard.habits
    yield "[console]"
    yield f"line_end = {toml_value(habits.line_end.decode('latin-1'))}"
    if habits.wake != habits.line_end:
        yield f"wake = {toml_value(habits.wake.decode('latin-1'))}"
    yield f"echo = {'true' if habits.echo else 'false'}"
    yield f"prompt = {toml_value(habits.prompt)}"
    if habits.pager is not None:
        yield f"pager = {toml_value(habits.pager)}"
        yield f"pager_key = {toml_value(habits.pager_key)}"
    if habits.error is not None:
        yield f"error = {toml_value(habits.error)}"
    comments = list(dict.fromkeys(template for layout in layouts for template in layout.comments))
    if comments:
        yield f"comments = {toml_value(comments)}"
    if habits.typing_s:
        yield f"typing_s = {habits.typing_s:g}"
    for doubt in habits.unsure:
        yield f"# a guess: {doubt}"


def _read(layouts: Sequence[Layout], answer: Answer, meaning: Meaning, table: str) -> Iterator[str]:
    if answer.way:
        yield f"before = {toml_value(list(answer.way))}"
    if ways_out := [back for back in (answer.back, *answer.ways_out) if back]:
        yield f"after = {toml_value(ways_out)}"
    layouts = [layout for layout in layouts if _worth_reading(layout, meaning)]
    if not layouts:
        yield from ('grammar = "pairs"', 'line = "{key:words} = {value:rest}"   # nothing in it is read')
        return
    yield from (f"{name} = {toml_value(value)}" for name, value in layouts[0].marks.items())
    yield from _part(layouts[0], answer, meaning, table)
    for layout in layouts[1:]:
        yield from ("", f"[[{table}.parts]]", *_part(layout, answer, meaning, f"{table}.parts"))


def _part(layout: Layout, answer: Answer, meaning: Meaning, table: str) -> Iterator[str]:
    """How one part of an answer is laid out, and what it means."""
    yield f'grammar = "{layout.grammar}"'
    yield from (f"{name} = {toml_value(value)}" for name, value in _options(layout, meaning).items())
    own = {id(statement) for statement in layout.statements}
    bound = [one for one in meaning.bound if id(one.statement) in own]
    unbound = [one for one in meaning.unbound if id(one.statement) in own]
    if apart := _apart(layout, meaning, {one.statement.word for one in bound}):
        yield f"ignore = {toml_value(apart)}   # not rows, though they are called like some"
    yield ""
    yield f"[{table}.words]"
    yield from _words(bound, answer)
    yield from _unbound(unbound)
    for rows in meaning.rows:
        if any(rows.rows is one for one in layout.rows):
            yield from _rows(rows, table)
    for left in meaning.unbound_rows:
        if any(left is one for one in layout.rows):
            yield from _left_rows(left)


def _apart(layout: Layout, meaning: Meaning, bound: Collection[str]) -> list[str]:
    """The keys that look like those of bound rows and are none, where they mean nothing else."""
    rows = (one.rows for one in meaning.rows if any(one.rows is each for each in layout.rows))
    return sorted({word for one in rows for word in one.apart} - set(bound))


def _worth_reading(layout: Layout, meaning: Meaning) -> bool:
    """Whether there is anything to read: lines of their own are named only where they mean something."""
    return layout.grammar != "lines" or _says(layout.command, meaning, layout)


def _options(layout: Layout, meaning: Meaning) -> Mapping[str, Any]:
    """The layout's own keys. In `lines` every field is a word: those that mean nothing are taken and forgotten."""
    if layout.grammar != "lines":
        return layout.options
    own = {id(statement) for statement in layout.statements}
    known = {one.statement.word for one in meaning.bound if id(one.statement) in own}
    lines = []
    for template in layout.options["lines"]:
        fields = re.findall(r"\{([A-Za-z][\w-]*):", template)
        if not known & {*fields}:
            continue
        for name in fields:
            if name not in known:
                template = template.replace(f"{{{name}:", f"{{_{name}:", 1)
        lines.append(template)
    return {"lines": lines}


def _words(bound: Sequence[Bound], answer: Answer) -> Iterator[str]:
    lines = {line.number: line.text.strip() for line in answer.lines}
    done: set[int] = set()
    for one in bound:
        if id(one.statement) in done:
            continue
        done.add(id(one.statement))
        together = [other for other in bound if other.statement is one.statement]
        yield f"{toml_key(one.statement.word)} = {toml_value(_word(together))}"
        least = min(other.confidence for other in together)
        yield f"#   {least:.2f}  {_cut(lines.get(one.statement.line, ''))}  ({toml_comment(one.why)})"
        if one.others:
            yield f"#   or: {', '.join(f'{fact} {confidence:.2f}' for fact, confidence in one.others)}"


def _word(together: Sequence[Bound]) -> Any:
    first = together[0]
    if first.form is None:
        return {"fact": first.fact, **first.reading.options} if first.reading.options else first.fact
    fields = {
        one.part: {"fact": one.fact, **one.reading.options} if one.reading.options else one.fact for one in together
    }
    return {"form": _forgetting(first.form, {one.part or "" for one in together}), "fields": fields}


def _unbound(unbound: Sequence[Unbound]) -> Iterator[str]:
    if unbound:
        yield "# Nothing that is known, or not for certain:"
    for one in unbound[:_MOST_LEFT]:
        guesses = ", ".join(f"{fact} {confidence:.2f}" for fact, confidence in one.guesses)
        said = f'# {toml_key(one.statement.word)} = ""   # {_cut(one.statement.text)}'
        yield said + (f"   ({guesses}?)" if guesses else "")
    if len(unbound) > _MOST_LEFT:
        yield f"# and {len(unbound) - _MOST_LEFT} more"


def _list(bound: BoundRows, table: str) -> Iterator[str]:
    """Rows that are the items of a list."""
    (items,) = bound.cells
    yield ""
    yield f"[[{table}.lists]]   # {bound.confidence:.2f}  {toml_comment(bound.why)}"
    yield f"fact = {toml_value(bound.group)}"
    place = {name: _forgetting(value, {items.column}) for name, value in bound.rows.place.items()}
    yield from (f"{name} = {toml_value(value)}" for name, value in place.items())
    if "key" not in place:
        yield f"field = {toml_value(items.column)}"
    yield from (f"{name} = {toml_value(value)}" for name, value in items.options.items())


def _rows(bound: BoundRows, table: str) -> Iterator[str]:
    if bound.is_list:
        yield from _list(bound, table)
        return
    yield ""
    yield f"[[{table}.rows]]   # {bound.confidence:.2f}  {toml_comment(bound.why)}"
    yield f"group = {toml_value(bound.group)}"
    known = {cell.column for cell in bound.cells} | {"member"}
    if "{member:" in str(bound.rows.place.get("key", "")):
        known |= {"id", "n"}  # they tell the rows apart, even if it means nothing
    yield from (f"{name} = {toml_value(_forgetting(value, known))}" for name, value in bound.rows.place.items())
    if bound.rows.forms:
        yield f"forms = {toml_value(_forgetting(list(bound.rows.forms), known))}"
    for cell in bound.cells:
        if "/" not in cell.column:
            yield f"fields.{toml_key(cell.column)} = {toml_value(_cell(cell, bound.rows))}"
    for column, (form, parts) in bound.rows.parted.items():
        inner = {part: cell for part in parts for cell in bound.cells if cell.column == f"{column}/{part}"}
        if inner and (form or len(inner) == len(parts)):
            fields = {part: _cell(cell, bound.rows) for part, cell in inner.items()}
            split = {"form": _forgetting(form, inner)} if form else {"items": list(parts)}
            yield f"fields.{toml_key(column)} = {toml_value({**split, 'fields': fields})}"


def _cell(cell: BoundCell, rows: RowSet) -> Any:
    options = dict(cell.options)
    if cell.column == "id" and rows.before:
        options["before"] = rows.before
    leaf = cell.fact.rpartition(".")[2]
    return {"fact": leaf, **options} if options else leaf


def _forgetting(value: Any, known: Collection[str]) -> Any:
    """A template, or several, in which the fields that mean nothing are taken and forgotten."""
    if isinstance(value, (list, tuple)):
        return [_forgetting(one, known) for one in value]
    return re.sub(r"\{([A-Za-z][\w-]*):", lambda match: match[0] if match[1] in known else f"{{_{match[1]}:", value)


def _left_rows(rows: RowSet) -> Iterator[str]:
    yield ""
    place = ", ".join(f"{name} = {toml_value(value)}" for name, value in rows.place.items())
    yield f"# {len(rows.rows)} rows that are not understood: {place}; fields: {toml_comment(', '.join(rows.columns))}"
    for row in rows.rows[:2]:
        yield f"#   {_cut(', '.join(f'{name} {cell.text}' for name, cell in row.items()))}"


def _left(heard: Heard, used: set[str]) -> Iterator[str]:
    unused = [answer for answer in heard.answers if answer.command not in used and answer.lines]
    if unused:
        yield "# Asked too, and not needed, for nothing in the answer is known:"
        yield from (f"#   {toml_comment(answer.command)}: {_cut(_first(answer.lines))}" for answer in unused)
    if heard.left_out:
        yield "# Never asked:"
        yield from (f"#   {toml_comment(one.word.word)}: {_cut(one.why)}" for one in heard.left_out[:_MOST_LEFT])


def _first(lines: Iterable[Any]) -> str:
    return next((line.text.strip() for line in lines if line.text.strip()), "")


def _cut(value: str) -> str:
    shown = toml_comment(value)
    return shown if len(shown) <= _SHOWN else shown[: _SHOWN - 1] + "…"

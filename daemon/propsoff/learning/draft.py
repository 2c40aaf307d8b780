"""Writing what was learned as a dialect: readable, with evidence beside each word and what is left to a person."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from propsoff.dialects.templates import TemplateError, compile_template
from propsoff.learning.habits import escaped
from propsoff.learning.model import Answer, Bound, BoundRows, Heard, Layout, Meaning, RowSet, Unbound
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
    by_command = {layout.command: layout for layout in layouts}
    answers = {answer.command: answer for answer in heard.answers}
    identity = _identity(answers, by_command, meaning)
    if identity is None:
        return None
    command, known_by = identity
    useful = [layout for layout in layouts if layout.command != command and _says(layout.command, meaning)]
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
        *_read(by_command.get(command), answers[command], meaning, "identity"),
    ]
    for layout in useful:
        lines += ["", "[[reads]]", f"command = {toml_value(layout.command)}"]
        lines += _read(layout, answers[layout.command], meaning, "reads")
    lines += ["", *_left(heard, {command, *(layout.command for layout in useful)})]
    return Draft("\n".join(lines).rstrip("\n") + "\n", command, known_by)


def _says(command: str, meaning: Meaning) -> bool:
    return any(one.statement.command == command for one in meaning.bound) or any(
        one.rows.command == command for one in meaning.rows
    )


def _identity(answers: Mapping[str, Answer], layouts: Mapping[str, Layout], meaning: Meaning) -> tuple[str, str] | None:
    """The command whose answer tells the firmware apart, and the line of it that does so."""
    for fact in ("firmware.name", "firmware.version", "board.name"):
        bound = next((one for one in meaning.bound if one.fact == fact), None)
        if bound is None:
            continue
        answer = answers[bound.statement.command]
        line = next((line.text for line in answer.lines if line.number == bound.statement.line), None)
        if line is not None and (known := _known_by(line, bound, meaning)) is not None:
            return answer.command, known
    whole = sorted(
        (answer for answer in answers.values() if answer.whole and answer.lines), key=lambda one: len(one.lines)
    )
    for answer in whole:
        if answer.command in layouts:
            first = next((line.text.strip() for line in answer.lines if line.text.strip()), "")
            if any(char.isalpha() for char in first):
                return answer.command, escaped(first)
    return None


def _known_by(line: str, bound: Bound, meaning: Meaning) -> str | None:
    """A line as a template, up to the name that tells: what stands behind it differs from board to board."""
    text, value = line.strip(), bound.statement.text
    at = text.find(value)
    if at < 0:
        return None
    kept = text[: at + len(value)] if bound.fact != "firmware.version" else text[:at]
    if not any(char.isalpha() for char in kept.replace(value, "") or kept) or not kept.strip():
        return None
    varies = [one.statement.text for one in meaning.bound if one.statement.line == bound.statement.line]
    template = escaped(kept)
    for other in sorted(varies, key=len, reverse=True):
        if other != value and len(other) > 2 and escaped(other) in template:
            template = template.replace(escaped(other), "{_:word}", 1)
    if len(kept) < len(text):
        template = template.rstrip() + " {_:rest}" if template.endswith(" ") else template + "{_:rest}"
    for attempt in (template, escaped(text)):
        try:
            if compile_template(attempt).match(text) is not None:
                return attempt
        except TemplateError:
            continue
    return None


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


def _read(layout: Layout | None, answer: Answer, meaning: Meaning, table: str) -> Iterator[str]:
    if answer.back:
        yield f"after = {toml_value(answer.back)}"
    if layout is None:
        return
    yield from (f"{name} = {toml_value(value)}" for name, value in layout.marks.items())
    yield f'grammar = "{layout.grammar}"'
    yield from (f"{name} = {toml_value(value)}" for name, value in _options(layout, meaning).items())
    bound = [one for one in meaning.bound if one.statement.command == layout.command]
    unbound = [one for one in meaning.unbound if one.statement.command == layout.command]
    yield ""
    yield f"[{table}.words]"
    yield from _words(bound, answer)
    yield from _unbound(unbound)
    for rows in meaning.rows:
        if rows.rows.command == layout.command:
            yield from _rows(rows, table)
    for left in meaning.unbound_rows:
        if left.command == layout.command:
            yield from _left_rows(left)


def _options(layout: Layout, meaning: Meaning) -> Mapping[str, Any]:
    """The layout's own keys. In `lines` every field is a word: those that mean nothing are taken and forgotten."""
    if layout.grammar != "lines":
        return layout.options
    known = {one.statement.word for one in meaning.bound if one.statement.command == layout.command}
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
        yield f"#   {least:.2f}  {_cut(lines.get(one.statement.line, ''))}  ({one.why})"
        if one.others:
            yield f"#   or: {', '.join(f'{fact} {confidence:.2f}' for fact, confidence in one.others)}"


def _word(together: Sequence[Bound]) -> Any:
    first = together[0]
    if first.form is None:
        return {"fact": first.fact, **first.reading.options} if first.reading.options else first.fact
    fields = {
        one.part: {"fact": one.fact, **one.reading.options} if one.reading.options else one.fact for one in together
    }
    return {"form": first.form, "fields": fields}


def _unbound(unbound: Sequence[Unbound]) -> Iterator[str]:
    if unbound:
        yield "# Nothing that is known, or not for certain:"
    for one in unbound[:_MOST_LEFT]:
        guesses = ", ".join(f"{fact} {confidence:.2f}" for fact, confidence in one.guesses)
        said = f'# {toml_key(one.statement.word)} = ""   # {_cut(one.statement.text)}'
        yield said + (f"   ({guesses}?)" if guesses else "")
    if len(unbound) > _MOST_LEFT:
        yield f"# and {len(unbound) - _MOST_LEFT} more"


def _rows(bound: BoundRows, table: str) -> Iterator[str]:
    yield ""
    yield f"[[{table}.rows]]   # {bound.confidence:.2f}  {bound.why}"
    yield f"group = {toml_value(bound.group)}"
    known = {cell.column for cell in bound.cells} | {"member"}
    yield from (f"{name} = {toml_value(_forgetting(value, known))}" for name, value in bound.rows.place.items())
    if bound.rows.form is not None:
        yield f"forms = {toml_value(_forgetting(_forms(bound), known))}"
    for cell in bound.cells:
        leaf = cell.fact.rpartition(".")[2]
        options = dict(cell.options)
        if cell.column == "id" and bound.rows.before:
            options["before"] = bound.rows.before
        value: Any = {"fact": leaf, **options} if options else leaf
        yield f"fields.{toml_key(cell.column)} = {toml_value(value)}"


def _forgetting(value: Any, known: Collection[str]) -> Any:
    """A template, or several, in which the fields that mean nothing are taken and forgotten."""
    if isinstance(value, (list, tuple)):
        return [_forgetting(one, known) for one in value]
    return re.sub(r"\{([A-Za-z][\w-]*):", lambda match: match[0] if match[1] in known else f"{{_{match[1]}:", value)


def _forms(bound: BoundRows) -> list[Any]:
    """The form of a value of several parts, and that of one that has the first part alone."""
    form = bound.rows.form or ""
    first = f"{{{bound.rows.columns[1]}:word}}"
    return [form, first] if form != first else [form]


def _left_rows(rows: RowSet) -> Iterator[str]:
    yield ""
    place = ", ".join(f"{name} = {toml_value(value)}" for name, value in rows.place.items())
    yield f"# {len(rows.rows)} rows that are not understood: {place}; fields: {', '.join(rows.columns)}"
    for row in rows.rows[:2]:
        yield f"#   {_cut(', '.join(f'{name} {cell.text}' for name, cell in row.items()))}"


def _left(heard: Heard, used: set[str]) -> Iterator[str]:
    unused = [answer for answer in heard.answers if answer.command not in used and answer.lines]
    if unused:
        yield "# Asked too, and not needed, for nothing in the answer is known:"
        yield from (f"#   {answer.command}: {_cut(_first(answer.lines))}" for answer in unused)
    if heard.left_out:
        yield "# Never asked:"
        yield from (f"#   {one.word.word}: {_cut(one.why)}" for one in heard.left_out[:_MOST_LEFT])


def _first(lines: Iterable[Any]) -> str:
    return next((line.text.strip() for line in lines if line.text.strip()), "")


def _cut(value: str) -> str:
    shown = toml_comment(value)
    return shown if len(shown) <= _SHOWN else shown[: _SHOWN - 1] + "…"

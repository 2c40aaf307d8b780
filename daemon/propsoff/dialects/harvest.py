"""Collecting what the replies state, and putting it into the craft once it is known to be whole and free of contradiction."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from propsoff.craft.build import CraftBuilder
from propsoff.dialects.decode import Fault, Raw, word_of
from propsoff.dialects.repeated import Gathered, Repeated, Rows
from propsoff.dialects.words import Word

_IDENTITY = {"ports": "id", "overlay.elements": "name"}
_MAX_ITEMS = 1024


@dataclass(slots=True)
class _Row:
    values: dict[str, object]
    place: int
    line: int
    text: str
    lines: list[int]
    leaf_lines: dict[str, tuple[int, ...]]


@dataclass(slots=True)
class _Collected:
    """What was stated of one group or list. `faulty`: it is not whole."""

    spec: Repeated
    rows: dict[object, _Row] = field(default_factory=dict)
    items: list[object] = field(default_factory=list)
    lines: list[int] = field(default_factory=list)
    faulty: bool = False
    counted: int = 0


class Harvest:
    """Takes the statements of all replies; `finish` puts groups and lists into the builder."""

    def __init__(self, builder: CraftBuilder) -> None:
        self._builder = builder
        self._collected: dict[str, _Collected] = {}

    def word(self, word: Word, raw: Raw, line: int, text: str, item_lines: Sequence[int] = ()) -> None:
        """A word's value. `item_lines` are the lines of the items where the value is a list that spans lines."""
        spread = bool(word.items) and len(item_lines) == len(word.items)
        for position, (fact, value) in enumerate(word.read(raw).items()):
            lines = (line, item_lines[position]) if spread else (line,)
            if isinstance(value, Fault):
                self._builder.problem(value.why, lines=lines, text=text, fact=fact)
            else:
                self._builder.put(fact, value, lines=lines, text=text)

    def open(self, spec: Repeated, lines: Sequence[int] = ()) -> None:
        """A group or list was stated, so that no row means that there are none."""
        self._of(spec).lines += lines

    def row(
        self,
        rows: Rows,
        raws: Mapping[str, Raw],
        line: int,
        text: str,
        key: str | None = None,
        *,
        cell_lines: Mapping[str, int] | None = None,
        texts: Callable[[int], str] | None = None,
    ) -> None:
        """One row, whose first line is `line`. `key` tells rows apart where the console names them.

        `cell_lines` says on which line each cell stands where that differs, and `texts` gives the text of a line.
        """
        group = self._of(rows)
        self._count(group, raws, line, text)
        row = _Row({}, len(group.rows), line, text, [line], {})
        for name, word in rows.cells.items():
            if name not in raws:
                continue
            where = (cell_lines or {}).get(name, line)
            problems: dict[str, str] = {}
            for fact, value in word.read(raws[name]).items():
                if isinstance(value, Fault):
                    problems.setdefault(value.why, fact)
                    continue
                row.values[fact] = value
                if where != line:
                    row.leaf_lines[fact] = (where,)
            for why, fact in problems.items():
                self.problem(why, where, texts(where) if texts else text, f"{rows.group}[{len(group.rows)}].{fact}")
        self._keep(group, row, key)

    def item(self, gathered: Gathered, raws: Mapping[str, Raw], line: int, text: str) -> None:
        """One item of a gathered list."""
        group = self._of(gathered)
        self._count(group, raws, line, text)
        value = gathered.part.read(raws.get(gathered.cell))
        if value is None:
            value = Fault("an entry of the list says nothing")
        if isinstance(value, Fault):
            self.broken(gathered, value.why, line, text)
        elif len(group.items) < _MAX_ITEMS:
            group.items.append(value)
            group.lines.append(line)
        elif not group.faulty:
            self.broken(gathered, f"more than {_MAX_ITEMS} entries", line, text)

    def broken(self, spec: Repeated, why: str, line: int | None = None, text: str = "") -> None:
        """A group or list is not whole: a list stays unread, rows are kept, and a problem says so."""
        self._of(spec).faulty = True
        self.problem(why, line, text, spec.name)

    def problem(self, why: str, line: int | None = None, text: str = "", fact: str | None = None) -> None:
        """Something could not be taken."""
        self._builder.problem(why, lines=() if line is None else (line,), text=text, fact=fact)

    def finish(self) -> None:
        """Put groups and lists into the craft."""
        for name, found in self._collected.items():
            if isinstance(found.spec, Gathered):
                if not found.faulty:
                    self._builder.put(name, tuple(found.items), lines=found.lines)
                continue
            if found.rows or not found.faulty:
                self._builder.begin_rows(name, lines=found.lines)
            for row in found.rows.values():
                self._builder.add_row(name, row.values, lines=row.lines, text=row.text, leaf_lines=row.leaf_lines)

    def _of(self, spec: Repeated) -> _Collected:
        found = self._collected.get(spec.name)
        if found is None:
            found = self._collected[spec.name] = _Collected(spec)
        return found

    def _count(self, group: _Collected, raws: Mapping[str, Raw], line: int, text: str) -> None:
        """Entries that are numbered must count up from 1, or one was lost on the way."""
        if group.spec.index is None:
            return
        group.counted += 1
        number = word_of(raws.get(group.spec.index)) or ""
        if number == str(group.counted):
            return
        self.broken(group.spec, f"expected entry {group.counted} here; an entry is missing or stands twice", line, text)
        if number.isascii() and number.isdigit() and len(number) < 6:
            group.counted = int(number)

    def _keep(self, group: _Collected, row: _Row, key: str | None) -> None:
        identity = _IDENTITY.get(group.spec.name)
        name = row.values.get(identity) if identity else None
        slot = ("key", key) if key is not None else ("name", name) if name is not None else ("row", len(group.rows))
        if len(group.rows) > _MAX_ITEMS:  # one more than the craft takes, so that it says so
            return
        before = group.rows.setdefault(slot, row)
        if before is row:
            return
        for fact in dict.fromkeys([*before.values, *row.values]):
            first, second = before.values.get(fact), row.values.get(fact)
            if first != second:
                where = f"{group.spec.name}[{before.place}].{fact}"
                why = f"stated twice with different values: {first!r} on line {before.line} and {second!r} here; taken as unread"
                self.problem(why, row.line, row.text, where)
                before.values[fact] = None
        before.lines += row.lines

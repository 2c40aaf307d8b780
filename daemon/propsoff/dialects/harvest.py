"""Collecting what the replies state, and putting it into the craft once it is known to be whole and consistent."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from propsoff.console.manner import Line
from propsoff.craft.build import CraftBuilder
from propsoff.dialects.decode import Fault, Raw, word_of
from propsoff.dialects.joined import Joined
from propsoff.dialects.repeated import MEMBER, Gathered, Repeated, Rows
from propsoff.dialects.words import Word

_IDENTITY = {"ports": "id", "overlay.elements": "name"}
_MAX_ITEMS = 1024


class Place(NamedTuple):
    """Where a value stands: the transcript line (from 1) on which it begins, and those of the items of a list.

    `own` is the text of `line` where that is at hand; `among` are lines by number, where the text of any is looked up.
    """

    line: int
    own: str = ""
    items: Sequence[int] = ()
    among: Mapping[int, Line] | None = None

    def lines(self, item: int | None) -> tuple[int, ...]:
        """The lines that state the value, or one item of it."""
        if item is None or item >= len(self.items) or self.items[item] == self.line:
            return (self.line,)
        return (self.line, self.items[item])

    def text(self, line: int) -> str:
        """The text of a line."""
        if self.among is None:
            return self.own
        found = self.among.get(line)
        return found.text if found else ""


@dataclass(slots=True)
class _Row:
    values: dict[str, object]
    place: int
    at: Place
    lines: list[int]
    leaf_lines: dict[str, tuple[int, ...]]
    closed: frozenset[str] = frozenset()
    """Facts that were stated wrongly, or twice with different values: nothing more is taken for them."""


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
        self._heard: dict[str, list[tuple[str | None, Place]]] = {}

    def word(self, word: Word, raw: Raw, at: Place) -> None:
        """A word's value."""
        if word.key:
            text = word_of(raw)
            self._heard.setdefault(word.key, []).append((None if text in word.missing else text, at))
        for position, (fact, value) in enumerate(word.read(raw).items()):
            lines = at.lines(position if word.items else None)
            if isinstance(value, Fault):
                self.problem(value.why, lines[-1], at.text(lines[-1]), fact)
            else:
                self._builder.put(fact, value, lines=lines, text=at.text(lines[-1]))

    def join(self, joined: Sequence[Joined]) -> None:
        """Put together the facts that several words of one reply state; what the reply said of them is then forgotten.

        A fact of which one word says nothing stays unread.
        """
        for each in joined:
            heard = {name: self._heard[name] for name in each.names if name in self._heard}
            if not heard:
                continue
            places = [at for said in heard.values() for _, at in said]
            last = max(places, key=lambda at: at.line)
            lines = tuple(sorted({at.line for at in places}))
            fact, value = each.part.fact, _joined(each, heard)
            if isinstance(value, Fault):
                self.problem(value.why, last.line, last.text(last.line), fact)
            else:
                self._builder.put(fact, value, lines=lines, text=last.text(last.line))
        self._heard.clear()

    def open(self, spec: Repeated, lines: Sequence[int] = ()) -> None:
        """A group or list was stated, so that no row means that there are none."""
        self._of(spec).lines += lines

    def row(
        self,
        rows: Rows,
        raws: Mapping[str, Raw],
        at: Place,
        key: str | None = None,
        cells: Mapping[str, Place] | None = None,
    ) -> None:
        """One row.

        `key` tells rows apart where the console names them; `cells` says where cells stand on lines of their own.
        """
        group = self._of(rows)
        if rows.index is not None:
            self._count(group, raws, at)
        row = _Row({}, len(group.rows), at, [at.line], {})
        for name, word, fact, read in rows.plan:
            raw = raws.get(name)
            if raw is None:
                continue
            where = cells.get(name, at) if cells else at
            if fact is not None and where is at:
                value = row.values[fact] = read(raw)
                if type(value) is Fault:
                    self._faults(row, rows.group, {fact: value}, word, at)
                continue
            stated = word.read(raw)
            row.values.update(stated)
            if where is not at or word.items or Fault in map(type, stated.values()):
                self._faults(row, rows.group, stated, word, where)
        self._keep(group, row, key)

    def cell(
        self,
        rows: Rows,
        fields: Mapping[str, str],
        raw: Raw,
        at: Place,
        apart: tuple[str | None, ...] | None = None,
    ) -> bool:
        """One cell of a row whose cells stand on lines of their own; `fields` are those of its key.

        `apart` is what else in the key tells rows apart.
        False when no cell of the group has the name that the field `MEMBER` gives; then nothing is taken.
        """
        member = fields.get(MEMBER, "")
        word = rows.cells.get(member)
        if word is None or member in fields:
            return False
        group = self._of(rows)
        slot: tuple[object, ...] = tuple(item for item in fields.items() if item[0] != MEMBER)
        slot = slot if apart is None else (*slot, apart)
        row = group.rows.get(slot)
        if row is None:
            if len(group.rows) > _MAX_ITEMS:  # as in _keep
                return True
            if rows.index is not None:
                self._count(group, fields, at)
            row = group.rows[slot] = _Row({}, len(group.rows), at, [at.line], {})
            for name in fields.keys() & rows.cells.keys():
                self._put_cell(row, rows, rows.cells[name], fields[name], at)
        elif at.line not in row.lines:
            row.lines.append(at.line)
        self._put_cell(row, rows, word, raw, at)
        return True

    def _put_cell(self, row: _Row, rows: Rows, word: Word, raw: Raw, at: Place) -> None:
        """Put what a cell states into its row; a second value that differs from the first closes the fact."""
        fresh: dict[str, object] = {}
        for fact, value in word.read(raw).items():
            before = row.values.get(fact)
            if value is None or fact in row.closed or before == value:
                continue
            if before is None or isinstance(value, Fault):
                fresh[fact] = value
            else:
                first = row.leaf_lines.get(fact, (row.at.line,))[0]
                why = f"stated twice with different values: {before!r} on line {first} and {value!r} here"
                self.problem(why, at.line, at.text(at.line), f"{rows.group}[{row.place}].{fact}")
                row.values[fact] = None
                row.closed |= {fact}
        row.values.update(fresh)
        row.closed |= {fact for fact, value in fresh.items() if isinstance(value, Fault)}
        self._faults(row, rows.group, fresh, word, at)

    def _faults(self, row: _Row, group: str, stated: Mapping[str, object], word: Word, where: Place) -> None:
        """Record what of a cell could not be taken, and on which lines the rest of it stands."""
        said: set[str] = set()
        for position, (fact, value) in enumerate(stated.items()):
            lines = where.lines(position if word.items else None)
            if not isinstance(value, Fault):
                if lines != (row.at.line,):
                    row.leaf_lines[fact] = lines
                continue
            row.values[fact] = None
            if value.why not in said:
                said.add(value.why)
                self.problem(value.why, lines[-1], where.text(lines[-1]), f"{group}[{row.place}].{fact}")

    def item(self, gathered: Gathered, raws: Mapping[str, Raw], at: Place) -> None:
        """One item of a gathered list."""
        group = self._of(gathered)
        if gathered.index is not None:
            self._count(group, raws, at)
        value = gathered.part.read(raws.get(gathered.cell))
        if value is None:
            value = Fault("an entry of the list says nothing")
        if isinstance(value, Fault):
            self.broken(gathered, value.why, at)
        elif len(group.items) < _MAX_ITEMS:
            group.items.append(value)
            group.lines.append(at.line)
        elif not group.faulty:
            self.broken(gathered, f"more than {_MAX_ITEMS} entries", at)

    def broken(self, spec: Repeated, why: str, at: Place) -> None:
        """A group or list is not whole: a list stays unread, rows are kept as part of one, and a problem says so."""
        self._of(spec).faulty = True
        self.problem(why, at.line, at.text(at.line), spec.name, gap=True)

    def problem(
        self, why: str, line: int | None = None, text: str = "", fact: str | None = None, *, gap: bool = False
    ) -> None:
        """Something could not be taken; `gap`: something that was said is missing there."""
        self._builder.problem(why, lines=() if line is None else (line,), text=text, fact=fact, gap=gap)

    def finish(self) -> None:
        """Put groups and lists into the craft."""
        for name, found in self._collected.items():
            if isinstance(found.spec, Gathered):
                if not found.faulty:
                    self._builder.put(name, tuple(found.items), lines=found.lines)
                continue
            if found.rows or not found.faulty:
                self._builder.begin_rows(name, lines=found.lines)
            if found.faulty:
                self._builder.partial(name)
            for row in found.rows.values():
                self._builder.add_row(
                    name, row.values, lines=row.lines, text=row.at.text(row.at.line), leaf_lines=row.leaf_lines
                )

    def _of(self, spec: Repeated) -> _Collected:
        found = self._collected.get(spec.name)
        if found is None:
            found = self._collected[spec.name] = _Collected(spec)
        return found

    def _count(self, group: _Collected, raws: Mapping[str, Raw], at: Place) -> None:
        """Entries that are numbered must count up from 1, or one was lost on the way."""
        group.counted += 1
        number = word_of(raws.get(group.spec.index or "")) or ""
        if number == str(group.counted):
            return
        self.broken(group.spec, f"expected entry {group.counted} here; an entry is missing or stands twice", at)
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
                why = f"stated twice with different values: {first!r} on line {before.at.line} and {second!r} here"
                self.problem(why, row.at.line, row.at.text(row.at.line), where)
                before.values[fact] = None
        before.lines += row.lines


def _joined(joined: Joined, heard: Mapping[str, Sequence[tuple[str | None, Place]]]) -> object:
    """The value of a joined fact, or a `Fault`."""
    said: dict[str, str] = {}
    for name in joined.names:
        texts = [(text, at.line) for text, at in heard.get(name, ()) if text is not None]
        if not texts:
            return Fault(f"{name!r} says nothing, which is a part of it; taken as unread")
        other = next(((text, line) for text, line in texts if text != texts[0][0]), None)
        if other is not None:
            first = f"{texts[0][0]!r} on line {texts[0][1]}"
            return Fault(f"{name!r} is stated twice: {first} and {other[0]!r} on line {other[1]}; taken as unread")
        said[name] = texts[0][0]
    return joined.part.read(joined.text(said))

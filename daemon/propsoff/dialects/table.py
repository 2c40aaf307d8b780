"""The grammar `table`: tables whose cells stand under their headers, or between the same marks as those."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import zip_longest

from propsoff.console.manner import Line
from propsoff.dialects.harvest import Harvest, Place
from propsoff.dialects.listing import Listing, Reply
from propsoff.dialects.patterns import Template
from propsoff.dialects.repeated import Repeated, Rows

_HEADING = re.compile(r"[^ ]+(?: [^ ]+)*")
_RUN = re.compile(r"[^ ]+")


@dataclass(slots=True)
class _Table:
    """One table as it stands.

    `spans` are the columns' places on a line, `rows` pairs of a line and its cells (None: askew). With a `separator`
    there are no spans; `open_ended` says of a line's beginning and end whether no separator stands there.
    """

    name: str
    title: Line
    separator: str = ""
    open_ended: tuple[bool, bool] = (True, True)
    header: Line | None = None
    ruled: bool = False
    columns: tuple[str, ...] = ()
    spans: tuple[slice, ...] = ()
    rows: list[tuple[Line, Mapping[str, str] | None]] = field(default_factory=list)
    says: int | None = None

    def head(self, text: str, starts: Sequence[int]) -> None:
        """Take the headings from the header's text, one from each start."""
        if self.separator:
            bare = text.strip()
            self.open_ended = not bare.startswith(self.separator), not bare.endswith(self.separator)
            self.columns = tuple(self._parted(text) or ())
            return
        self.spans = tuple(slice(start, end) for start, end in zip_longest(starts, starts[1:]))
        self.columns = tuple(text[span].strip() for span in self.spans)

    def cells(self, text: str) -> Mapping[str, str] | None:
        """The cells of a row by column; None when one does not stand as its header does, or two share a heading."""
        if self.separator:
            parts = self._parted(text)
            if parts is None or len(parts) != len(self.columns) or len(set(self.columns)) != len(parts):
                return None
            return dict(zip(self.columns, parts, strict=True))
        return self._under_headers(text)

    def _parted(self, text: str) -> list[str] | None:
        """The cells between the separators; None when a line does not begin and end as the header does."""
        parts = [part.strip() for part in text.split(self.separator)]
        for end, is_open in zip((0, -1), self.open_ended, strict=True):
            if not is_open and (not parts or parts.pop(end)):
                return None
        return parts

    def _under_headers(self, text: str) -> Mapping[str, str] | None:
        cells: dict[str, str] = {}
        before = text[: self.spans[0].start]
        if before.strip():
            return None
        for column, span in zip(self.columns, self.spans, strict=True):
            raw = text[span]
            cell = cells[column] = raw.strip()
            # A byte lost on the way moves the rest of the row: then a blank is missing before a column, or it begins
            # late.
            if raw and ((before and before[-1] != " ") or (cell and raw[0] == " ")):
                return None
            before = raw
        return cells if len(cells) == len(self.columns) else None


@dataclass(frozen=True)
class Tables:
    """`title` has the field `table`; None where a reply is one table, which has the name of its command.

    `rule` is the character of the line under the header, empty where there is none. `rows` is the line after the last
    row, with the field `count`; None where tables end with a blank line. `separator` stands between the cells; empty
    where they stand under their headers. `by_header`: tables have no titles, a blank line stands between them, and each
    is named by its first heading.
    """

    title: Template | None
    rule: str = ""
    rows: Template | None = None
    separator: str = ""
    by_header: bool = False

    def read(self, listing: Listing, reply: Reply, harvest: Harvest) -> None:
        """Take each table by its title."""
        known = _known_tables(listing)
        untitled = self._headed_each(reply) if self.by_header else self._only(listing, reply)
        for table in self._tables(reply) if self.title else untitled:
            if (self.title is None and not self.by_header) or table.name in known:
                self._whole(listing, table, reply, harvest)
                _take(listing, table, reply, harvest)
            elif not listing.ignores(table.name):
                header = [table.header] if table.header not in (None, table.title) else []
                for line in [table.title, *header, *(line for line, _ in table.rows)]:
                    if line is not None:
                        reply.aside(line)

    def _tables(self, reply: Reply) -> Iterator[_Table]:
        table: _Table | None = None
        for line in reply.lines:
            title = self.title.match(line.text) if self.title else None
            if title is not None:
                if table:
                    yield table
                table = _Table(title.get("table", ""), line, self.separator)
            elif not line.text.strip():
                if table and table.header:
                    yield table
                    table = None
            elif reply.quiet(line):
                continue
            elif table is None:
                reply.aside(line)
            elif self._ends(table, line):
                yield table
                table = None
            else:
                self._line(table, line)
        if table:
            yield table

    def _headed_each(self, reply: Reply) -> Iterator[_Table]:
        """Tables that a blank line parts: the first line of each is its header, and its first heading its name."""
        table: _Table | None = None
        for line in reply.lines:
            if not line.text.strip():
                if table is not None:
                    yield table
                table = None
            elif reply.quiet(line):
                continue
            elif table is None:
                if self._is_rule(line.text):
                    continue
                table = _Table("", line, self.separator)
                self._line(table, line)
                table.name = table.columns[0] if table.columns else ""
            elif self._ends(table, line):
                yield table
                table = None
            else:
                self._line(table, line)
        if table is not None:
            yield table

    def _only(self, listing: Listing, reply: Reply) -> Iterator[_Table]:
        """The one table of a reply without titles: its header is the first line with a heading that is known."""
        table: _Table | None = None
        ended = False
        for line in reply.lines:
            if reply.quiet(line):
                ended = ended or (table is not None and bool(table.rows) and not line.text.strip())
            elif ended:
                reply.aside(line)
            elif table is not None:
                ended = self._ends(table, line)
                if not ended:
                    self._line(table, line)
            else:
                table = self._headed(listing, line)
                if table is None and not self._is_rule(line.text):
                    reply.aside(line)
        if table is not None:
            yield table

    def _headed(self, listing: Listing, line: Line) -> _Table | None:
        """The table of the command, when this line is its header."""
        if self._is_rule(line.text):
            return None
        table = _Table(listing.command, line, self.separator)
        self._line(table, line)
        spec = listing.at(listing.command)
        return table if spec is None or _wanted(spec) & {*table.columns} else None

    def _ends(self, table: _Table, line: Line) -> bool:
        """Whether the line is the one after the last row; the table then knows how many it says there are."""
        found = self.rows.match(line.text) if self.rows else None
        if found is None:
            return False
        says = found.get("count", "")
        table.says = int(says) if says.isdecimal() and len(says) < 9 else -1
        return True

    def _is_rule(self, text: str) -> bool:
        """Whether a line is drawn: where separators are, rules may stand anywhere, and crosses where they meet."""
        return bool(self.separator and self.rule) and not text.strip(f"{self.rule}{self.separator}+ ")

    def _line(self, table: _Table, line: Line) -> None:
        text = line.text
        if self.separator and self._is_rule(text):
            return
        if table.header is None:
            table.header = line
            table.head(text, [match.start() for match in _HEADING.finditer(text)])
        elif self.rule and not self.separator and not table.ruled and not text.strip(self.rule + " "):
            table.ruled = True
            table.head(table.header.text, [match.start() for match in _RUN.finditer(text)])
        else:
            table.rows.append((line, table.cells(text)))

    def _whole(self, listing: Listing, table: _Table, reply: Reply, harvest: Harvest) -> None:
        """Say what is missing of a table: its end, rows, or cells that do not stand under their headers."""
        spec = listing.at(table.name)
        last = table.rows[-1][0] if table.rows else table.header or table.title
        why = None
        if self.rows and table.says is None:
            why = f"table {table.name!r} stops short here: rows may be missing"
        elif table.says is not None and table.says != len(table.rows):
            why = f"table {table.name!r} says that it has {table.says} rows, {len(table.rows)} were read"
        elif not self.rows and not reply.whole:
            why = f"the reply stops short: rows of table {table.name!r} may be missing"
        if spec is not None:
            harvest.open(spec, (table.title.number,))
        # More rows than there are: nothing is missing, a text among the values has line ends in it.
        gap = table.says is None or table.says > len(table.rows) or table.says < 0
        if why:
            _problem(harvest, spec, why, last, gap=gap)
        for line, cells in table.rows:
            if cells is None:
                askew = f"the cells do not stand under the headers of table {table.name!r}"
                _problem(harvest, spec, askew, line, gap=gap or table.says == len(table.rows))


def _problem(harvest: Harvest, spec: Repeated | None, why: str, line: Line, *, gap: bool) -> None:
    if spec is None:
        harvest.problem(why, line.number, line.text, gap=gap)
    else:
        harvest.broken(spec, why, Place(line.number, line.text))


def _wanted(spec: Repeated) -> set[str]:
    """The headings that a group or list wants."""
    return {*(spec.cells if isinstance(spec, Rows) else (spec.cell,)), *((spec.index,) if spec.index else ())}


def _known_tables(listing: Listing) -> frozenset[str]:
    names = {key.partition(".")[0] for key in (*listing.words, *listing.aliases)}
    return frozenset(names | {spec.source for spec in listing.repeated})


def _take(listing: Listing, table: _Table, reply: Reply, harvest: Harvest) -> None:
    spec = listing.at(table.name)
    if spec is None:
        for line, cells in table.rows:
            if cells is not None:
                _item(listing, table.name, line, list(cells.items()), reply, harvest)
        return
    _columns(listing, table, spec, reply, harvest)
    for line, cells in table.rows:
        if cells is None:
            continue
        if isinstance(spec, Rows):
            harvest.row(spec, cells, Place(line.number, line.text))
        else:
            harvest.item(spec, cells, Place(line.number, line.text))


def _item(
    listing: Listing, table: str, line: Line, cells: list[tuple[str, str]], reply: Reply, harvest: Harvest
) -> None:
    """A row that names a setting in its first cell.

    The word is ``TABLE.ITEM``, or ``TABLE.ITEM.COLUMN`` in a table of more than two columns.
    """
    wanted = False
    for column, cell in cells[1:]:
        key = f"{table}.{cells[0][1]}" + (f".{column}" if len(cells) > 2 else "")
        word = listing.word(key)
        if word is not None:
            harvest.word(word, cell, Place(line.number, line.text))
        wanted = wanted or word is not None or listing.ignores(key)
    if not wanted:
        reply.aside(line)


def _columns(listing: Listing, table: _Table, spec: Repeated, reply: Reply, harvest: Harvest) -> None:
    """A header that lacks a column, or has one that nobody knows."""
    wanted = set(spec.cells) if isinstance(spec, Rows) else {spec.cell}
    known = _wanted(spec)
    at = table.header or table.title
    for column in sorted(wanted - set(table.columns)):
        harvest.broken(spec, f"table {table.name!r} has no column {column!r}", Place(at.number, at.text))
    if any(column not in known and not listing.ignores(f"{table.name}.{column}") for column in table.columns):
        reply.aside(at)

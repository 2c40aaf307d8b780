"""Keys that end alike: `batteryColumn` and `timerColumn`, `Arm channel` and `Level channel` are cells of rows."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from propsoff.dialects.templates import TemplateError, compile_template
from propsoff.learning.habits import escaped
from propsoff.learning.layouts.parting import parted
from propsoff.learning.layouts.value_forms import form_of_values
from propsoff.learning.model import Cell, RowSet, Statement
from propsoff.learning.thesaurus import folded, value_words

_FEWEST = 2
_FEWEST_OF_ONE = 3
_NO_MARK = r"[^._ \-/:]"
_CUT = re.compile(rf"(?<={_NO_MARK})([._ \-/:])(?={_NO_MARK})|(?<=[^\W_A-Z])(?=[A-Z])")
"""Where a key may be parted: at a mark, or before a capital."""

Rows = dict[str, dict[str, Statement]]


@dataclass(frozen=True, slots=True)
class _Cut:
    """A key in two: what it is of, the mark between, and what it tells of that."""

    of: str
    joint: str
    member: str
    statement: Statement


def rows_by_ending(command: str, statements: Sequence[Statement]) -> Iterator[RowSet]:
    """The groups of rows that keys with common endings may be the cells of."""
    by_joint: dict[str, list[_Cut]] = {}
    for statement in statements:
        for one in _cuts(statement):
            by_joint.setdefault(one.joint, []).append(one)
    for joint, cuts in by_joint.items():
        longest = _longest_shared(cuts)
        for rows in _related(longest):
            for lead, part in _with_leads(rows, joint):
                if (found := _row_set(command, lead, joint, part, statements)) is not None:
                    yield found
        yield from _of_one_member(command, joint, longest)


def _cuts(statement: Statement) -> Iterator[_Cut]:
    word = statement.word
    for cut in _CUT.finditer(word):
        of, joint, member = word[: cut.start()], cut.group(), word[cut.end() :]
        if any(char.isalpha() for char in member):
            yield _Cut(of, joint, member, statement)


def _longest_shared(cuts: Sequence[_Cut]) -> list[_Cut]:
    """Of each key the cut with the longest ending that another key has, too."""
    heads: dict[str, set[str]] = {}
    for one in cuts:
        heads.setdefault(one.member, set()).add(one.of)
    chosen: dict[str, _Cut] = {}
    for one in cuts:
        if len(heads[one.member]) >= _FEWEST:
            chosen.setdefault(one.statement.word, one)
    return list(chosen.values())


def _related(cuts: Sequence[_Cut]) -> Iterator[Rows]:
    """Rows by their names: those that share two endings and more with another one, and what else belongs to them."""
    rows: Rows = {}
    for one in cuts:
        rows.setdefault(one.of, {})[one.member] = one.statement
    left = dict(rows)
    while left:
        first = next(iter(left))
        together = [first]
        del left[first]
        for of in together:
            near = [other for other in left if len(rows[of].keys() & rows[other].keys()) >= _FEWEST]
            together += near
            for other in near:
                del left[other]
        if len(together) < _FEWEST:
            continue
        often = [member for of in together for member in rows[of]]
        members = {member for member in often if often.count(member) >= _FEWEST}
        found = {of: {m: cell for m, cell in rows[of].items() if m in members} for of in together}
        weak = {of: {m: cell for m, cell in row.items() if m in members} for of, row in rows.items() if of not in found}
        kin = {of for of, row in weak.items() if row and _belongs(of, row, together)}
        yield {of: found.get(of) or weak[of] for of in rows if of in found or of in kin}


def _belongs(of: str, row: Mapping[str, Statement], others: Sequence[str]) -> bool:
    """Whether a name with a single ending is one of theirs: `uart5` beside `uart1`, or a port by its role."""
    bare = {re.sub(r"[0-9]+", "", other) for other in others if re.search(r"[0-9]", other)}
    if re.search(r"[0-9]", of) and re.sub(r"[0-9]+", "", of) in bare:
        return True
    roles = {value_words("roles").get(folded(cell.text), "unused") for cell in row.values()}
    return bool(bare) and roles != {"unused"} and "unused" not in roles


def _with_leads(rows: Rows, joint: str) -> Iterator[tuple[str, Rows]]:
    """The rows as they are, and those that begin alike without that beginning."""
    yield "", rows
    parts: dict[str, Rows] = {}
    for of, row in rows.items():
        for cut in _CUT.finditer(of):
            parts.setdefault(of[: cut.end()], {})[of[cut.end() :]] = row
    for lead, part in parts.items():
        if len(part) >= _FEWEST:
            yield lead, part


def _row_set(command: str, lead: str, joint: str, rows: Rows, statements: Sequence[Statement]) -> RowSet | None:
    members = tuple(dict.fromkeys(member for row in rows.values() for member in row))
    if len(members) < _FEWEST or any(set(member) & set("{}|") for member in members):
        return None
    kind = "words" if any(" " in of for of in rows) else "word"
    key = f"{escaped(lead)}{{id:{kind}}}{escaped(joint)}{{member:{'|'.join(members)}}}"
    try:
        template = compile_template(key)
    except TemplateError:
        return None
    cells = {cell.word for row in rows.values() for cell in row.values()}
    for of, row in rows.items():
        if any(template.match(cell.word) != {"id": of, "member": member} for member, cell in row.items()):
            return None
    made = tuple(
        {"id": Cell(of, min(cell.line for cell in row.values()))}
        | {member: Cell(cell.text, cell.line, cell.kind, cell.note) for member, cell in row.items()}
        for of, row in rows.items()
    )
    apart = tuple(one.word for one in statements if one.word not in cells and template.fits(one.word))
    return parted(RowSet(command, {"key": key}, _path(command, lead, rows), ("id", *members), made, apart=apart))


def _path(command: str, lead: str, rows: Rows) -> tuple[str, ...]:
    first = next(iter(next(iter(rows.values())).values()))
    words = [word for word in re.split(r"[._ \-/:]+", lead) if word]
    return (*first.path[:-1], *words) if words else (*first.path[:-1], command)


def _of_one_member(command: str, joint: str, cuts: Sequence[_Cut]) -> Iterator[RowSet]:
    """Rows of which each is one key with a value of several parts: `batteryPos = 1,12`."""
    by_member: dict[str, list[_Cut]] = {}
    for one in cuts:
        by_member.setdefault(one.member, []).append(one)
    for member, found in by_member.items():
        form = form_of_values([one.statement.text for one in found]) if len(found) >= _FEWEST_OF_ONE else None
        if form is None or set(member) & set("{}|"):
            continue
        rows: dict[str, _Cut] = {one.of: one for one in found}
        lead = _common_lead(list(rows))
        kind = "words" if any(" " in of for of in rows) else "word"
        key = f"{escaped(lead)}{{id:{kind}}}{escaped(joint)}{{_:|{member}}}"
        try:
            template = compile_template(key)
        except TemplateError:
            continue
        if any(template.match(one.statement.word) != {"id": of[len(lead) :]} for of, one in rows.items()):
            continue
        made = tuple(
            {"id": Cell(of[len(lead) :], one.statement.line)}
            | {column: Cell(text, one.statement.line) for column, text in form.split(one.statement.text).items()}
            for of, one in rows.items()
        )
        first = {of: {member: one.statement} for of, one in rows.items()}
        path = _path(command, lead, first)
        yield RowSet(command, {"key": key}, path, ("id", *form.columns), made, form.templates)


def _common_lead(names: Sequence[str]) -> str:
    """What all names begin with, up to a place where a key may be parted; empty when nothing is left of one."""
    leads = [cut.end() for cut in _CUT.finditer(names[0])]
    return next((names[0][:at] for at in reversed(leads) if all(one.startswith(names[0][:at]) for one in names)), "")

"""Binding what the replies state to canonical facts. A wrong binding is worse than none: in doubt nothing is bound."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from propsoff.dialects.templates import TemplateError, compile_template
from propsoff.learning.bind_lists import bind_lists
from propsoff.learning.bind_rows import bind_rows
from propsoff.learning.clauses import Clause, clauses_of, form_of_clauses
from propsoff.learning.habits import escaped
from propsoff.learning.legends import bits_of, legend_of, read_by_bits, read_by_legend, unit_in
from propsoff.learning.model import Bound, BoundRows, Layout, Meaning, Reading, RowSet, Statement, Unbound
from propsoff.learning.readings import reading_of
from propsoff.learning.scoring import Name, said, score
from propsoff.learning.spans import form_of, spans_of
from propsoff.learning.thesaurus import named, read_name, terms
from propsoff.learning.variants import variants_of

THRESHOLD = 0.7
"""Confidence (0 to 1) below which nothing is bound."""

_MARGIN = 0.05
_GUESSES = 3
_WORTH_SAYING = 0.3
_GRID = re.compile(r"([0-9]{2})(\s*[x×X*,/:]\s*|\s+by\s+)([0-9]{2})")
_RELEASE = re.compile(
    r"([A-Za-z][A-Za-z_-]{2,})( +(?:v|version |release |rel )?)([0-9]+(?:\.[0-9]+)+[\w.+-]*)( +\(.*\))?"
)
_SLOT = re.compile(r"([A-Za-z])([-:/ ]?)([0-9])")
_SPAN = re.compile(r"([0-9]{3,4})(\s*(?:\.\.+|-|–|to|/|,|:)\s*)([0-9]{3,4})(\s*(?:us)?)")
_TRIPLE = re.compile(r"([0-9]{3,4})([ /,:-]+)([0-9]{3,4})\2([0-9]{3,4})")


def bind(layouts: Sequence[Layout], threshold: float = THRESHOLD, about: Mapping[str, str] | None = None) -> Meaning:
    """What the replies mean, as far as confidence reaches `threshold` (0 to 1).

    `about` says what a command's answer is about, where its word does not.
    """
    about = about or {}
    statements = [statement for layout in layouts for statement in layout.statements]
    rows = tuple(_rows(layouts, threshold, about))
    free = [one for one in statements if not any(_is_cell(one, bound.rows) for bound in rows)]
    candidates = [candidate for statement in free for candidate in _candidates(statement, about)]
    lists = {one.group for one in rows if one.is_list}
    chosen = [one for one in _unique(_best_of_each(candidates), threshold) if one.fact not in lists]
    bound = tuple(one.bound(_others(one, candidates)) for one in chosen)
    bound = _with_whole_port(bound, rows)
    taken = {id(one.statement) for one in chosen}
    statements = free
    unbound = tuple(
        Unbound(statement, _guesses(statement, candidates)) for statement in statements if id(statement) not in taken
    )
    kept = {id(one.rows) for one in rows}
    left = tuple(one for layout in layouts for one in layout.rows if id(one) not in kept)
    return Meaning(bound, rows, unbound, left)


def confirmed(statement: Statement, fact: str, about: Mapping[str, str] | None = None) -> Bound | None:
    """A statement bound to the fact that a person says it states; None when its value cannot be that.

    `about` as in `bind`.
    """
    fitting = [one for one in _candidates(statement, about or {}) if one.fact == fact]
    if fitting:
        return replace(max(fitting, key=lambda one: one.confidence).bound(()), confidence=1.0, why=_SAID_SO)
    unit = statement.unit or Name.of(statement.path, statement.command).unit
    reading = reading_of(terms()[fact].shape, statement.text, unit, fact)
    return None if reading is None else Bound(fact, statement, reading, 1.0, _SAID_SO)


_SAID_SO = "a person said so"


def _is_cell(statement: Statement, rows: RowSet) -> bool:
    """Whether a statement is a cell of rows: by its path in a document, else by its line."""
    if statement.command != rows.command:
        return False
    if "path" in rows.place:
        return statement.word.startswith((f"{rows.place['path']}.", f"{rows.place['path']}["))
    return any(statement.line == cell.line for row in rows.rows for cell in row.values())


def _with_whole_port(bound: Sequence[Bound], rows: Sequence[BoundRows]) -> tuple[Bound, ...]:
    """The receiver's port by its own name, where it is told by its number alone: `4` is `uart4`."""
    cells = [cell for one in rows if one.group == "ports" for cell in one.cells if cell.fact.endswith(".id")]
    ids = [reading.value for cell in cells for reading in cell.readings if reading is not None]
    found: list[Bound] = []
    for one in bound:
        number = one.reading.value
        if one.fact == "receiver.port" and one.part is None and isinstance(number, str) and number.isdigit():
            leads = {id_.removesuffix(number) for id_ in ids if re.fullmatch(rf"\D+{number}", id_)}
            if len(leads) == 1 and not one.reading.options:
                lead = leads.pop()
                one = replace(one, reading=Reading({"before": lead}, lead + number))
        found.append(one)
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Candidate:
    """A fact that a statement may state. `way` tells the ways to take its text apart; `part` is empty for the whole."""

    fact: str
    statement: Statement
    reading: Reading
    confidence: float
    why: str
    form: str | None = None
    part: str | None = None
    way: int = 0

    def bound(self, others: tuple[tuple[str, float], ...]) -> Bound:
        return Bound(
            self.fact, self.statement, self.reading, round(self.confidence, 2), self.why, others, self.form, self.part
        )


def _candidates(statement: Statement, about: Mapping[str, str]) -> Iterator[_Candidate]:
    """Every fact that the statement may state, with what its value would be."""
    told = statement.kind == "told"
    asked = about.get(statement.command) or statement.command
    unit = statement.unit or unit_in(statement.note)
    name = Name.of(statement.path, asked, unit, statement.implied, told=told)
    if bits := bits_of(statement.text, statement.note):
        yield from _by_bits(statement, name, bits)
        return
    legend = legend_of(statement.text, statement.note or statement.unit)
    if legend:
        yield from _by_legend(statement, name, legend)
    yield from _fitting(statement, name, statement.text, statement.kind)
    if statement.called:
        called = Name.of((statement.called,), "", unit, told=True)
        yield from _fitting(statement, called, statement.text, statement.kind)
        if legend:
            yield from _by_legend(statement, called, legend)
    if heading := _named_by_note(statement):
        called = Name.of((heading,), asked, unit)
        yield from _fitting(statement, called, statement.text, statement.kind)
        if legend:
            yield from _by_legend(statement, called, legend)
    if statement.kind != "text":
        return
    for way, variant in enumerate(variants_of(statement.text), 1):
        called = name if not variant.unit else replace(name, beside=variant.unit)
        yield from _fitting(statement, called, variant.text, "text", variant.form, way)
    yield from _compound(statement, name)
    yield from _in_words(statement, name, asked)


def _fitting(
    statement: Statement, name: Name, text: str, kind: str, form: str | None = None, way: int = 0
) -> Iterator[_Candidate]:
    part = None if form is None else "value"
    for term in terms().values():
        if kind == "told" and term.shape == "blocks":  # a part of a list is a wrong list
            continue
        reading = reading_of(term.shape, text, name.unit, term.fact, "text" if kind == "told" else kind)
        if term.shape == "pack-voltage" and reading is not None and reading.options.get("suffix"):
            name = replace(name, volts=True)
        if reading is not None and (confidence := score(name, term, text)) > 0:
            yield _Candidate(term.fact, statement, reading, confidence, said(name, term), form, part, way)


def _by_legend(statement: Statement, name: Name, legend: Mapping[str, str]) -> Iterator[_Candidate]:
    for term in terms().values():
        reading = read_by_legend(term.shape, statement.text, legend, term.fact)
        if reading is not None and (confidence := score(name, term, legend[statement.text])) > 0:
            yield _Candidate(term.fact, statement, reading, confidence, said(name, term))


def _by_bits(statement: Statement, name: Name, bits: Mapping[int, str]) -> Iterator[_Candidate]:
    for term in terms().values():
        reading = read_by_bits(term.shape, statement.text, bits, term.fact)
        if reading is not None and (confidence := score(name, term, next(iter(bits.values())))) > 0:
            yield _Candidate(term.fact, statement, reading, confidence, said(name, term))


def _named_by_note(statement: Statement) -> str:
    """What a remark calls a setting whose own key says nothing: `FWNAM=TYNE ; firmware name`; else empty."""
    if not statement.note or any(piece.concepts for piece in read_name(statement.path[-1])):
        return ""
    head = re.split(r"[,;:(]", statement.note)[0].strip()
    return head if head and len(head.split()) <= _LONGEST_NAME and not _DEFAULTS.match(head) else ""


_LONGEST_NAME = 6
_DEFAULTS = re.compile(r"(?:default|def|range|min|max|was|factory)\b", re.IGNORECASE)
_REMARK = re.compile(r"\s(?:;|#|//)\s")
_COMPOUND, _WORDED = 100, 200


def _compound(statement: Statement, name: Name) -> Iterator[_Candidate]:
    """Values that state several facts at once: a grid, a band with its channel, the ends of the sticks."""
    concepts = named((*name.leaf, *name.around))
    text = statement.text.strip()
    if (grid := _GRID.fullmatch(text)) and concepts & {"overlay", "grid"} and _all_fit(name, _OF_GRIDS):
        parts = [("overlay.columns", "columns", grid[1]), ("overlay.rows", "rows", grid[3])]
        yield from _split(statement, name, "{columns:int}" + grid[2] + "{rows:int}", parts, {"column", "row"})
    if (release := _RELEASE.fullmatch(text)) and "firmware" in named(name.leaf):
        parts = [("firmware.name", "name", release[1]), ("firmware.version", "version", release[3])]
        rest = "{_:rest}" if release[4] else ""
        form = "{name:word}" + release[2] + "{version:word}" + (" " if rest else "") + rest
        yield from _split(statement, name, form, parts, {"name", "version"})
    if (slot := _SLOT.fullmatch(text)) and "channel" in concepts | ({"channel"} if "band" in concepts else set()):
        parts = [("video.band", "band", slot[1]), ("video.channel", "channel", slot[3])]
        yield from _split(statement, name, "{band:letter}" + slot[2] + "{channel:int}", parts, {"band", "channel"})
    if (triple := _TRIPLE.fullmatch(text)) and concepts & {"channel", "stick", "receiver"}:
        parts = [
            ("channels.low", "low", triple[1]),
            ("channels.centre", "centre", triple[3]),
            ("channels.high", "high", triple[4]),
        ]
        form = "{low:int}" + triple[2] + "{centre:int}" + triple[2] + "{high:int}"
        yield from _split(statement, name, form, parts, {"low", "centre", "high"})
    elif (span := _SPAN.fullmatch(text)) and concepts & {"channel", "stick", "receiver"} and "span" in concepts:
        parts = [("channels.low", "low", span[1]), ("channels.high", "high", span[3])]
        form = "{low:int}" + span[2] + "{high:int}" + span[4]
        yield from _split(statement, name, form, parts, {"low", "high"})


def _all_fit(name: Name, concepts: frozenset[str]) -> bool:
    """Whether every piece of a name is one of these, or says nothing; where it names the overlay, of its last word."""
    own = "overlay" in named(name.leaf)
    return all(piece.concepts & concepts or piece.neutral for piece in (*name.leaf, *(() if own else name.path_around)))


_OF_GRIDS = frozenset(["overlay", "grid", "video", "column", "row", "wide", "high_up", "system", "length"])


def _in_words(statement: Statement, name: Name, asked: str) -> Iterator[_Candidate]:
    """What a value of several words says: `serial, CRSF on UART2`, `50 columns, 18 rows`."""
    text = statement.text.strip()
    if _REMARK.search(text):  # what stands behind the mark is said of the value
        return
    if clauses := clauses_of(text) if len(text) <= _LONGEST_VALUE else ():
        yield from _in_clauses(statement, name, asked, clauses)
        return
    spans = spans_of(text) if " " in text and len(text) <= _LONGEST_VALUE else ()
    if not spans or (len(spans) == 1 and spans[0].text == text):
        return
    form = form_of(text, spans, "p") + escaped(text[spans[-1].end :])
    if not _splits(form, text, [span.text for span in spans]):
        return
    for number, span in enumerate(spans, 1):
        path = (*statement.path[:-1], " ".join((*statement.path[-1:], *span.words)))
        called = Name.of(path, asked, span.unit, span.implied, told=True)
        for one in _fitting(statement, called, span.text, "told", form, _WORDED):
            if isinstance(one.reading.value, bool) and len(spans) > 1 and not span.words:
                continue  # `46 18 on`: nothing says what is on
            yield replace(one, part=f"p{number}", confidence=one.confidence - _LESS_IN_WORDS)


def _in_clauses(statement: Statement, name: Name, asked: str, clauses: Sequence[Clause]) -> Iterator[_Candidate]:
    """What a value says that is a list of names with values: `kind serial, protocol crsf, port uart2`."""
    form = form_of_clauses(statement.text.strip(), clauses)
    if not _splits(form, statement.text.strip(), [one.text for one in clauses]):
        return
    for number, clause in enumerate(clauses, 1):
        called = Name.of((*statement.path, clause.name), asked)
        for one in _fitting(statement, called, clause.text, "told", form, _WORDED):
            yield replace(one, part=f"p{number}")


def _splits(form: str, text: str, parts: Sequence[str]) -> bool:
    try:
        fields = compile_template(form).match(text)
    except TemplateError:
        return False
    return fields is not None and list(fields.values()) == list(parts)


_LONGEST_VALUE = 200
_LESS_IN_WORDS = 0.03


def _split(
    statement: Statement, name: Name, form: str, parts: Sequence[tuple[str, str, str]], implied: set[str]
) -> Iterator[_Candidate]:
    """One candidate for each part, when all of them are values of the right shape."""
    found: list[_Candidate] = []
    for fact, part, text in parts:
        term = terms()[fact]
        reading = reading_of(term.shape, text, None, fact)
        lenient = replace(term, wants=term.wants | implied)
        confidence = score(replace(name, implied=name.implied | implied), lenient, text)
        if reading is None or confidence <= 0:
            return
        found.append(_Candidate(fact, statement, reading, confidence, said(name, term), form, part, _COMPOUND))
    yield from found


def _best_of_each(candidates: Iterable[_Candidate]) -> list[_Candidate]:
    """For each statement the fact that it fits best, or the facts of its parts; none when two fit equally."""
    by_statement: dict[int, list[_Candidate]] = {}
    for one in candidates:
        by_statement.setdefault(id(one.statement), []).append(one)
    chosen: list[_Candidate] = []
    for fitting in by_statement.values():
        single = sorted((one for one in fitting if one.way < _COMPOUND), key=lambda one: (-one.confidence, one.way))
        compound = [one for one in fitting if one.way == _COMPOUND]
        best = single[0].confidence if single else 0.0
        if compound and min(one.confidence for one in compound) >= best - _MARGIN:
            chosen += compound
        elif best < THRESHOLD and (worded := _of_parts([one for one in fitting if one.way == _WORDED])):
            chosen += worded
        elif single and not _contested(single):
            chosen.append(single[0])
    return chosen


def _contested(fitting: Sequence[_Candidate]) -> bool:
    """Whether another fact fits as well as the best one."""
    rivals = (one for one in fitting[1:] if one.fact != fitting[0].fact)
    return any(fitting[0].confidence - one.confidence < _MARGIN / 2 for one in rivals)


def _of_parts(candidates: Sequence[_Candidate]) -> list[_Candidate]:
    """Of each part of a value the fact that it fits best, where nothing else fits as well, and no two the same."""
    by_part: dict[str | None, list[_Candidate]] = {}
    for one in candidates:
        by_part.setdefault(one.part, []).append(one)
    best = []
    for fitting in by_part.values():
        fitting.sort(key=lambda one: -one.confidence)
        if fitting[0].confidence >= THRESHOLD and not _contested(fitting):
            best.append(fitting[0])
    facts = [one.fact for one in best]
    return [one for one in best if facts.count(one.fact) == 1]


def _unique(candidates: Iterable[_Candidate], threshold: float) -> list[_Candidate]:
    """For each fact the statement that fits best; none when two differ and fit nearly equally."""
    by_fact: dict[str, list[_Candidate]] = {}
    for one in candidates:
        if one.confidence >= threshold:
            by_fact.setdefault(one.fact, []).append(one)
    chosen: list[_Candidate] = []
    for fitting in by_fact.values():
        fitting.sort(key=lambda one: -one.confidence)
        best = fitting[0]
        rivals = [one for one in fitting[1:] if best.confidence - one.confidence < _MARGIN]
        if all(one.reading.value == best.reading.value for one in rivals):
            chosen.append(best)
    return chosen


def _others(chosen: _Candidate, candidates: Iterable[_Candidate]) -> tuple[tuple[str, float], ...]:
    return tuple(pair for pair in _guesses(chosen.statement, candidates) if pair[0] != chosen.fact)


def _guesses(statement: Statement, candidates: Iterable[_Candidate]) -> tuple[tuple[str, float], ...]:
    best: dict[str, float] = {}
    for one in candidates:
        if one.statement is statement and one.confidence >= _WORTH_SAYING:
            best[one.fact] = max(best.get(one.fact, 0.0), round(one.confidence, 2))
    return tuple(sorted(best.items(), key=lambda pair: -pair[1])[:_GUESSES])


def _rows(layouts: Sequence[Layout], threshold: float, about: Mapping[str, str]) -> Iterator[BoundRows]:
    """For each group the rows that fit it best; none when two sets of rows fit nearly equally."""
    found = [
        one
        for layout in layouts
        for rows in layout.rows
        for find in (bind_rows, bind_lists)
        for one in find(rows, about.get(layout.command, ""))
    ]
    by_group: dict[str, list[BoundRows]] = {}
    for one in found:
        if one.confidence >= threshold:
            by_group.setdefault(one.group, []).append(one)
    for fitting in by_group.values():
        fitting.sort(key=lambda one: (-one.confidence, -len(one.cells)))
        rivals = [one for one in fitting[1:] if fitting[0].confidence - one.confidence < _MARGIN]
        lines = _lines(fitting[0])
        if any(len(one.cells) >= len(fitting[0].cells) and not _lines(one) & lines for one in rivals):
            continue
        wider = [one for one in fitting if _lines(one) > lines and len(one.cells) >= len(fitting[0].cells)]
        yield wider[0] if wider else fitting[0]  # the same rows and more of them


def _lines(bound: BoundRows) -> set[tuple[str, int]]:
    return {(bound.rows.command, cell.line) for row in bound.rows.rows for cell in row.values()}


__all__ = ["THRESHOLD", "RowSet", "bind", "confirmed"]

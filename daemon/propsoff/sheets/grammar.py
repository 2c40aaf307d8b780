"""What may stand in a build sheet of format 1: every key, and the shape of what it holds."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, get_args

from propsoff.craft.model import PortRole
from propsoff.craft.names import FactSpec, facts
from propsoff.sheets.expectation import Expectation
from propsoff.sheets.form import (
    Constant,
    Day,
    Fault,
    Flag,
    Listing,
    Number,
    Path,
    Refused,
    Schema,
    Shape,
    Table,
    Text,
    Words,
    described,
    quoted,
)
from propsoff.sheets.model import CHEMISTRIES, GRID_SIZE, REGIONS

FORMAT = 1

MATCH_KEYS: Mapping[str, str] = {
    "board": "board.name",
    "serial": "board.serial",
    "craft": "craft.name",
    "firmware": "firmware.name",
    "video": "video.link",
    "port": "port",
}
"""What a sheet can be chosen by, and the fact behind each. `port` is no fact of the craft: where it is plugged in."""

LINKS = ("analog", "digital")
ROLES: tuple[str, ...] = get_args(PortRole)
KINDS = ("yes-no", "text", "version", "choice")
OWN_KEYS = ("format", "name", "title", "version", "abstract", "extends")
"""Keys that speak of this one sheet: what is built on it does not take them over."""

_SLUG = r"[a-z0-9][a-z0-9-]*"
_WORDS = 400
_GRID_FACTS = frozenset({"overlay.columns", "overlay.rows"})
_FINDING = Text(
    "CHECK or CHECK/CODE, as a report names it", pattern=rf"^{_SLUG}(/{_SLUG})?$", what="the name of a finding"
)
_CHECK = Text("id of a check: propsoff checks", pattern=rf"^{_SLUG}$", what="the id of a check")
_ROLE = Words(ROLES, "a port role")
_GRID_HINT = 'columns x rows, for example "64x24", or a name under [grids]'


@dataclass(frozen=True, slots=True)
class Grids:
    """Grids that will do: one, a list, or a table by video link."""

    def faults(self, value: Any, path: Path) -> Iterator[Fault]:
        """As in `Shape`."""
        yield from (self._by_link if isinstance(value, dict) else self._any_link).faults(value, path)

    def schema(self) -> Schema:
        """As in `Shape`."""
        return described({"anyOf": [self._any_link.schema(), self._by_link.schema()]}, "the grid that the goggles draw")

    @property
    def _any_link(self) -> Shape:
        item = Text(what="neither columns x rows nor the name of a grid", hint=_GRID_HINT)
        return Listing(item, least=1, lone=True)

    @property
    def _by_link(self) -> Shape:
        return Table(dict.fromkeys(LINKS, self._any_link))


@dataclass(frozen=True, slots=True)
class QuestionShape:
    """One question; what may be expected as its answer depends on its kind."""

    def faults(self, value: Any, path: Path) -> Iterator[Fault]:
        """As in `Shape`."""
        kind = value.get("kind") if isinstance(value, dict) else None
        yield from self._table(kind if isinstance(kind, str) else None).faults(value, path)

    def schema(self) -> Schema:
        """As in `Shape`."""
        form = self._table(None).schema()
        assert isinstance(form, dict)
        cases = []
        for kind in KINDS:
            answer = answer_of(kind).schema()
            cases.append(
                {
                    "if": {"properties": {"kind": {"const": kind}}, "required": ["kind"]},
                    "then": {"properties": {"expected": answer}},
                }
            )
        return {**form, "allOf": cases}

    def _table(self, kind: str | None) -> Table:
        keys: dict[str, Shape] = {
            "id": Text("a word for the question; its answer is the fact hand.ID", pattern=rf"^{_SLUG}$", what="a word"),
            "ask": Text("the question, in words", _WORDS),
            "kind": Words(KINDS, "a kind of question", "what an answer is"),
            "choices": Listing(Text(), least=2, what="a list of texts", doc="the answers that there are, of a choice"),
            "expected": answer_of(kind) if kind in KINDS else _Whatever(),
            "why": Text("what goes wrong when the answer is another", _WORDS),
            "remedy": Text("what to do then", _WORDS),
        }
        return Table(keys, required=("id", "ask", "kind"), doc="what no console tells: a person looks, and answers")


@dataclass(frozen=True, slots=True)
class _Whatever:
    """Not judged here."""

    def faults(self, value: Any, path: Path) -> Iterator[Fault]:
        """As in `Shape`: none."""
        return iter(())

    def schema(self) -> Schema:
        """As in `Shape`."""
        return True


def answer_of(kind: str | None) -> Expectation:
    """What may be expected as the answer to a question of this kind."""
    doc = "the answer that is right"
    if kind == "yes-no":
        return Expectation("yes-no", doc)
    return Expectation("version" if kind == "version" else "name", doc)


@cache
def groups() -> Mapping[str, Mapping[str, FactSpec]]:
    """The tables of a sheet and the facts that each may state: one value each, no repeated groups."""
    found: dict[str, dict[str, FactSpec]] = {}
    for name, spec in facts().items():
        if spec.repeated is None and not spec.many and name not in _GRID_FACTS:
            group, _, leaf = name.partition(".")
            found.setdefault(group, {})[leaf] = spec
    return found


@cache
def sheet_shape() -> Table:
    """The shape of a whole sheet."""
    keys: dict[str, Shape] = {
        "format": Constant(FORMAT, f"this version reads format {FORMAT}"),
        "name": Text("the sheet's own name: others extend it by this"),
        "title": Text("what it is, in words"),
        "version": Text("the author's own; a report names it"),
        "abstract": Flag("true: only there to be built on, never chosen by itself"),
        "extends": Listing(
            Text(), least=1, lone=True, what="a text or a list", doc="the sheet, or sheets, to build on"
        ),
        "match": _match(),
        "grids": _named_grids(),
    }
    extras = _extras()
    for group, specs in groups().items():
        leaves: dict[str, Shape] = {leaf: Expectation.of(spec) for leaf, spec in specs.items()}
        keys[group] = Table({**leaves, **extras.pop(group, {})})
    for group, more in extras.items():
        keys[group] = Table(more)
    keys["switches"] = _switches()
    keys["tolerances"] = _tolerances()
    keys["checks"] = _checks()
    keys["waivers"] = Listing(_waiver(), what="written as [[waivers]]", doc="findings that may be, until a day")
    keys["questions"] = Listing(QuestionShape(), what="written as [[questions]]", doc="what no console tells")
    return Table(keys, required=("format", "name"), doc="What a craft should be.")


def _match() -> Table:
    docs = {"port": "the USB path or the device of the port on the bench", "video": "analog or digital"}
    pattern = "texts or shell-style patterns, any of which will do"
    rules: dict[str, Shape] = {
        key: Listing(
            Text(pattern=r"^[\s\S]", what="a text: must be a text of 1 to 200 characters"),
            least=1,
            lone=True,
            doc=f"{docs.get(key, fact)}: {pattern}",
        )
        for key, fact in MATCH_KEYS.items()
    }
    return Table(rules, least=1, empty=("has no rule", "leave [match] out to make this the house default"))


def _named_grids() -> Table:
    size = Text("columns x rows", pattern=GRID_SIZE, what="a grid", hint='columns x rows, for example "64x24"')
    return Table(others=size, doc="grids of your own, by name")


def _extras() -> dict[str, dict[str, Shape]]:
    """What stands beside the facts, by group."""
    together = Refused("is said together with the other one", 'grid = "53x20"')
    elements = Listing(Text(), what="a list of elements", doc="elements of the overlay that must be shown")
    region = Words(REGIONS, "a region whose table of radio rules is known", "whose rules for radio to compare with")
    normal = Listing(Text(), what="a list of texts", doc="reasons not to arm that are usual on this bench")
    return {
        "overlay": {"grid": Grids(), "required": elements, "columns": together, "rows": together},
        "video": {"region": region},
        "battery": {"chemistry": Words(CHEMISTRIES, "a kind of cell", "what the cells are made of")},
        "arming": {"normal": normal},
        "ports": {
            "required": Listing(_ROLE, what="a list of port roles", doc="roles that some UART must carry"),
            "allowed": Listing(_ROLE, what="a list of port roles", doc="the only roles that a UART may carry"),
        },
    }


def _switches() -> Table:
    pulse = Number(whole=True, least=0, most=5000, doc="pulse width in us")
    where: dict[str, Shape] = {
        "channel": Number(whole=True, least=1, most=64, doc="channel, from 1; the sticks are 1 to 4"),
        "from_us": pulse,
        "to_us": pulse,
    }
    planned = Table(where, least=1, doc="where the house has this function")
    sets = Listing(Listing(Text(), least=2, what="a list of functions"), what="a list of lists of functions")
    keys: dict[str, Shape] = {
        "required": Listing(Text(), what="a list of functions", doc="functions that must be on some switch"),
        "together": Listing(
            sets.item, what=sets.what, doc="functions that one position of a switch may have on together"
        ),
    }
    return Table(keys, others=planned, doc="the house plan of the switches: [switches.arm] channel = 5")


def _tolerances() -> Table:
    keys: dict[str, Shape] = {}
    by_group: dict[str, dict[str, Shape]] = {}
    for name, spec in facts().items():
        if spec.type in (int, float) and spec.repeated is None and name not in _GRID_FACTS:
            off = Number(least=0, doc=f"how far off it may be ({spec.unit or 'a number'})")
            group, _, leaf = name.partition(".")
            keys[name] = off
            by_group.setdefault(group, {})[leaf] = off
    unknown = "there is no number of this name that could be off"
    for group, leaves in by_group.items():
        keys[group] = Table(leaves, unknown=unknown)
    return Table(keys, unknown=unknown, doc="how far numbers may be off, in the facts' own units")


def _checks() -> Table:
    reason = Text("why it does not apply", _WORDS)
    return Table(
        {
            "only": Listing(_CHECK, what="a list of checks", doc="the checks that apply, where not all do"),
            "skip": Table(others=reason, doc="checks that do not apply, and why"),
        }
    )


def _waiver() -> Table:
    keys: dict[str, Shape] = {
        "finding": _FINDING,
        "reason": Text("why it may be so", _WORDS),
        "until": Day("the last day on which this holds"),
    }
    return Table(keys, required=("finding", "reason"))


def faults_of(document: dict[str, Any]) -> Iterator[Fault]:
    """Everything that is wrong with the form of a sheet; of a sheet of another format only that."""
    wrong = list(Table({"format": Constant(FORMAT)}, others=_Whatever()).faults(document, ()))
    if "format" not in document:
        yield Fault(("format",), "missing", f"a build sheet begins with `format = {FORMAT}`")
    elif wrong:
        problem = f"{quoted(document['format'])} is not a format that this version reads"
        yield Fault(("format",), problem, f"it reads format {FORMAT}")
    else:
        yield from sheet_shape().faults(document, ())


def slug(text: str) -> bool:
    """Whether a text is a word of lower-case letters, digits and hyphens."""
    return re.fullmatch(_SLUG, text) is not None

"""From a sheet that is well formed and has its bases taken in to the `BuildSheet` that checks are given."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from propsoff.exceptions import SheetError
from propsoff.sheets.expect import Expected
from propsoff.sheets.expectation import Expectation
from propsoff.sheets.form import Fault, Path, day_of, near
from propsoff.sheets.grammar import LINKS, MATCH_KEYS, groups
from propsoff.sheets.model import GRIDS, BuildSheet, Grid, MatchRule, Question, Waiver, grid_of
from propsoff.sheets.questions import questions_of
from propsoff.sheets.switch_plan import switch_faults, switch_plan_of
from propsoff.sheets.written import LISTED, Stated, Written

NEVER_WAIVED = ("build-sheet", "listing", "notes-file")
"""The check ids of what is found about the sheets themselves, and about a listing that was not read whole."""


def sheet_of(
    written: Written, root: Stated, bases: Sequence[Written] = ()
) -> tuple[BuildSheet | None, list[SheetError]]:
    """The sheet, or None and everything in it that contradicts itself. `root` is what `resolved` made of it."""
    reader = _Reader(root)
    reader.find(reader.expectation_faults())
    reader.find(reader.tolerance_faults())
    reader.find(reader.waiver_faults())
    reader.find(switch_faults(reader.table("switches")))
    named = reader.named_grids()
    reader.find(_role_faults(reader.table("ports")))
    questions, question_faults = questions_of(reader.document.get("questions", []), reader.place)
    reader.find(question_faults)
    grids = reader.grids(named)
    if reader.errors:
        return None, reader.errors
    return _sheet(written, reader, grids, questions, root, bases), []


def _sheet(
    written: Written,
    reader: _Reader,
    grids: dict[str, tuple[Grid, ...]],
    questions: tuple[Question, ...],
    root: Stated,
    bases: Sequence[Written],
) -> BuildSheet:
    """The sheet of a document in which nothing is wrong."""
    roles = reader.table("ports")
    expectations = reader.expectations()
    expectations |= {question.fact: question.expected for question in questions if question.expected is not None}
    return BuildSheet(
        name=written.name,
        title=reader.document.get("title", written.name).strip(),
        version=reader.document.get("version", "").strip(),
        source=written.source,
        match=reader.match(),
        expectations=expectations,
        grids=grids,
        roles_required=tuple(roles.get("required", ())),
        roles_allowed=_tuple(roles.get("allowed")),
        built_in=written.built_in,
        switches=switch_plan_of(reader.table("switches")),
        elements_required=_tuple(reader.table("overlay").get("required")),
        region=reader.table("video").get("region"),
        chemistry=reader.table("battery").get("chemistry"),
        arming_normal=tuple(reader.table("arming").get("normal", ())),
        questions=questions,
        waivers=reader.waivers(),
        tolerances={name: float(off) for name, off in reader.table("tolerances").items()},
        only=_tuple(reader.table("checks").get("only")),
        skip={check: reason.strip() for check, reason in reader.table("checks").get("skip", {}).items()},
        extends=tuple(base.name for base in bases),
        origins=origins_of(root),
        abstract=written.abstract,
    )


def _tuple(items: Sequence[str] | None) -> tuple[str, ...] | None:
    return None if items is None else tuple(items)


def _role_faults(ports: Mapping[str, Any]) -> Iterator[Fault]:
    """Roles that must be there and may not be."""
    allowed = ports.get("allowed")
    for at, role in enumerate(ports.get("required", ())):
        if allowed is not None and role not in allowed:
            problem = f"{role} is required, but not among the roles that are allowed"
            yield Fault(("ports", "required", at), problem, "add it to ports.allowed, or take it away here")


@dataclass
class _Reader:
    """Reads one section after another, and gathers what is wrong."""

    root: Stated
    errors: list[SheetError] = field(default_factory=list)
    document: dict[str, Any] = field(init=False)

    def __post_init__(self) -> None:
        self.document = self.root.plain()

    def find(self, faults: Iterator[Fault] | Sequence[Fault]) -> None:
        """Remember what is wrong."""
        self.errors += [self.root.error(fault) for fault in faults]

    def table(self, name: str) -> dict[str, Any]:
        found: dict[str, Any] = self.document.get(name, {})
        return found

    def place(self, path: Path) -> str:
        return self.root.place(path)

    def _stated(self) -> Iterator[tuple[str, Expectation, Any, Path]]:
        """Every fact that the sheet states: name, shape, value, path."""
        for group, specs in groups().items():
            for leaf, value in self.table(group).items():
                if leaf in specs:
                    yield f"{group}.{leaf}", Expectation.of(specs[leaf]), value, (group, leaf)

    def expectation_faults(self) -> Iterator[Fault]:
        for _, shape, value, path in self._stated():
            yield from shape.contradictions(value, path)

    def expectations(self) -> dict[str, Expected]:
        offs = self.table("tolerances")
        return {
            name: shape.read(value, self.place(path), offs.get(name)) for name, shape, value, path in self._stated()
        }

    def tolerance_faults(self) -> Iterator[Fault]:
        """Tolerances of what is not a value of its own."""
        stated = {name: shape.read(value, "") for name, shape, value, _ in self._stated()}
        for name in self.table("tolerances"):
            if name in stated and not stated[name].plain:
                problem = f"nothing is within a tolerance: {name} is to be {stated[name]}"
                yield Fault(("tolerances", name), problem, "name a value there, or take the tolerance away")

    def match(self) -> tuple[MatchRule, ...]:
        rules = []
        for key, fact in MATCH_KEYS.items():
            if key in self.table("match"):
                patterns = self.table("match")[key]
                rules.append(MatchRule(key, fact, tuple(patterns) if isinstance(patterns, list) else (patterns,)))
        return tuple(rules)

    def waiver_faults(self) -> Iterator[Fault]:
        for at, entry in enumerate(self.document.get("waivers", [])):
            check = entry["finding"].partition("/")[0]
            if check in NEVER_WAIVED:
                problem = f"what is found under {check} cannot be waived: it says that something was not examined"
                yield Fault(("waivers", at, "finding"), problem, "put that right instead")

    def waivers(self) -> tuple[Waiver, ...]:
        return tuple(
            Waiver(
                entry["finding"],
                entry["reason"].strip(),
                day_of(entry.get("until")),
                self.place(("waivers", at)),
            )
            for at, entry in enumerate(self.document.get("waivers", []))
        )

    def named_grids(self) -> dict[str, Grid]:
        named = dict(GRIDS)
        for name, size in self.table("grids").items():
            grid = grid_of(size, {})
            if grid is None or not (grid.columns and grid.rows):
                self.find([Fault(("grids", name), f"{size!r} is not a grid", 'columns x rows, for example "64x24"')])
            elif name in GRIDS and not grid.same_size(GRIDS[name].columns, GRIDS[name].rows):
                self.find([Fault(("grids", name), f"is {GRIDS[name]} everywhere", "choose another name")])
            else:
                named[name] = Grid(grid.columns, grid.rows, name)
        return named

    def grids(self, named: Mapping[str, Grid]) -> dict[str, tuple[Grid, ...]]:
        value = self.table("overlay").get("grid")
        if value is None:
            return {}
        if isinstance(value, dict):
            return {link: self._grids(item, named, ("overlay", "grid", link)) for link, item in value.items()}
        return dict.fromkeys(LINKS, self._grids(value, named, ("overlay", "grid")))

    def _grids(self, value: str | list[str], named: Mapping[str, Grid], path: Path) -> tuple[Grid, ...]:
        found: list[Grid] = []
        for at, text in enumerate([value] if isinstance(value, str) else value):
            grid = grid_of(text, named)
            if grid is None or not (grid.columns and grid.rows):
                where = path if isinstance(value, str) else (*path, at)
                problem = f"{text!r} is neither columns x rows nor the name of a grid"
                self.find([Fault(where, problem, near(text, named))])
            else:
                found.append(grid)
        return tuple(found)


def origins_of(root: Stated) -> dict[str, str]:
    """The file and line of each key: `channels.order`, `switches.arm.channel`, `waivers.failsafe/hold`."""
    return {name: root.place(path) for name, path in keys_of(root)}


def keys_of(root: Stated) -> Iterator[tuple[str, Path]]:
    """Every key of a sheet by name, and its path; an entry of a list of tables goes by what tells it apart."""

    def walk(node: Stated, path: Path) -> Iterator[tuple[str, Path]]:
        if len(path) == 1 and path[0] in LISTED:
            for at, entry in enumerate(node.value):
                yield f"{path[0]}.{entry.value[LISTED[str(path[0])]]}", (*path, at)
        elif isinstance(node.value, dict) and all(isinstance(item, Stated) for item in node.value.values()):
            for key, item in node.value.items():
                yield from walk(item, (*path, key))
        else:
            yield ".".join(map(str, path)), path

    yield from walk(root, ())

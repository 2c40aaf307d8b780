"""Reading build sheets, format 1. The form is described in contrib/guide/sheets.md.

Every error is a `SheetError` that names file, line and key, and the nearest key that there is.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, NoReturn, get_args

from propsoff.craft.model import PortRole
from propsoff.craft.names import FactSpec, facts
from propsoff.exceptions import SheetError
from propsoff.sheets.expect import Expected, Value
from propsoff.sheets.model import GRIDS, BuildSheet, Grid, MatchRule, grid_of
from propsoff.toml_scan import KeyLines
from propsoff.tomlfile import nearest, read_toml

FORMAT = 1

MATCH_KEYS: Mapping[str, str] = {
    "board": "board.name",
    "craft": "craft.name",
    "firmware": "firmware.name",
    "video": "video.link",
}
"""What a sheet can be chosen by, and the fact behind each."""

_LINKS = ("analog", "digital")
_ROLES: tuple[str, ...] = get_args(PortRole)
_TOP = ("format", "name", "title", "version", "match", "grids")
_STICKS = "AETR"
_GRID_FACTS = frozenset({"overlay.columns", "overlay.rows"})


def load_sheet(path: Path, *, origin: str | None = None) -> BuildSheet:
    """Read one sheet. `origin` names it in reports in place of its path; a sheet with one is built in.

    Raises SheetError, naming file, line and key, when it cannot be read or says something wrong.
    """
    document, lines = read_toml(path, SheetError)
    return _Parser(origin or str(path), document, lines).sheet(built_in=origin is not None)


@dataclass(frozen=True)
class _Parser:
    source: str
    document: dict[str, Any]
    lines: KeyLines

    def fail(self, problem: str, *path: str, hint: str | None = None) -> NoReturn:
        key = ".".join(path)
        raise SheetError(problem, source=self.source, line=self.lines.of(*path), key=key, hint=hint)

    def fail_near(self, problem: str, word: object, known: Iterable[str], *path: str) -> NoReturn:
        """As `fail`, with the nearest of the known words, or all of them, as the hint."""
        listed = list(known)
        near = nearest(str(word), listed)
        self.fail(problem, *path, hint=f"did you mean {near}?" if near else f"known here: {', '.join(listed)}")

    def sheet(self, built_in: bool) -> BuildSheet:
        self._format()
        groups = _groups()
        self._known(self.document, (*_TOP, *groups, "ports"))
        named = self._named_grids()
        expectations: dict[str, Expected] = {}
        for group, specs in groups.items():
            special = ("grid",) if group == "overlay" else ()
            for name in _GRID_FACTS & {f"{group}.{key}" for key in self._raw(group)}:
                self.fail("is said together with the other one", *name.split("."), hint='grid = "53x20"')
            for key, value in self._table(group, (*specs, *special)).items():
                if key not in special:
                    expectations[f"{group}.{key}"] = self._expected(specs[key], value)
        ports = self._table("ports", ("required", "allowed"))
        return BuildSheet(
            name=self._text("name", required=True),
            title=self._text("title") or self._text("name"),
            version=self._text("version"),
            source=self.source,
            match=self._match(),
            expectations=expectations,
            grids=self._grids(named),
            roles_required=self._roles(ports, "required") or (),
            roles_allowed=self._roles(ports, "allowed"),
            built_in=built_in,
        )

    def _format(self) -> None:
        found = self.document.get("format")
        if found is None:
            self.fail("missing", "format", hint=f"a build sheet begins with `format = {FORMAT}`")
        if type(found) is not int or found != FORMAT:
            self.fail(f"{found!r} is not a format that this version reads", "format", hint=f"it reads format {FORMAT}")

    def _known(self, table: Mapping[str, Any], known: Iterable[str], *path: str) -> None:
        listed = list(known)
        for key in table:
            if key not in listed:
                self.fail_near("there is no such key in a build sheet of format 1", key, listed, *path, key)

    def _raw(self, name: str) -> dict[str, Any]:
        table = self.document.get(name)
        return table if isinstance(table, dict) else {}

    def _table(self, name: str, known: Iterable[str]) -> dict[str, Any]:
        table = self.document.get(name, {})
        if not isinstance(table, dict):
            self.fail("must be a table", name, hint=f"write it under a line [{name}]")
        self._known(table, known, name)
        return table

    def _text(self, *path: str, required: bool = False) -> str:
        value: Any = self.document.get(path[0])
        if value is None and not required:
            return ""
        if not isinstance(value, str) or not value.strip() or len(value) > 200:
            self.fail("must be a text of 1 to 200 characters" if value is not None else "missing", *path)
        return value.strip()

    def _items(self, value: Any, *path: str) -> list[Any]:
        """The value, or the list of values, as a list. A table is kept for richer forms of a later format."""
        items = value if isinstance(value, list) else [value]
        if not items:
            self.fail("an empty list allows nothing", *path, hint="leave the key out when anything will do")
        for item in items:
            if isinstance(item, dict | list):
                self.fail("must be a value, or a list of values of which any will do", *path)
        return items

    def _match(self) -> tuple[MatchRule, ...]:
        table = self._table("match", MATCH_KEYS)
        rules: list[MatchRule] = []
        for key, value in table.items():
            patterns = self._items(value, "match", key)
            if not all(isinstance(item, str) and item for item in patterns):
                self.fail("must be a text, or a list of texts", "match", key)
            rules.append(MatchRule(key, MATCH_KEYS[key], tuple(patterns)))
        if "match" in self.document and not rules:
            self.fail("has no rule", "match", hint="leave [match] out to make this the house default")
        return tuple(rules)

    def _expected(self, spec: FactSpec, value: Any) -> Expected:
        path = tuple(spec.name.split("."))
        values = tuple(self._typed(spec, item, path) for item in self._items(value, *path))
        return Expected(values)

    def _typed(self, spec: FactSpec, item: Any, path: tuple[str, ...]) -> Value:
        if spec.choices and item not in spec.choices:
            self.fail_near(f"{item!r} is not among its values", item, spec.choices, *path)
        number = isinstance(item, int | float) and not isinstance(item, bool)
        if not (number if spec.type is float else type(item) is spec.type):
            self.fail(f"{item!r} is not a value of type {spec.type.__name__}", *path, hint=spec.doc)
        if spec.name == "channels.order":
            return self._order(item, path)
        return float(item) if spec.type is float else item

    def _order(self, item: str, path: tuple[str, ...]) -> str:
        letters, *numbers = item.upper().split() or [""]
        counted = sorted(map(str, range(1, len(numbers) + 1)))
        if sorted(letters) != sorted(_STICKS) or sorted(numbers) != counted:
            self.fail(f"{item!r} is not an order of A, E, T and R", *path, hint='for example "AETR", or "AETR 2 1"')
        return " ".join((letters, *numbers))

    def _named_grids(self) -> dict[str, Grid]:
        table = self.document.get("grids", {})
        if not isinstance(table, dict):
            self.fail("must be a table of names", "grids", hint='[grids] then "my-goggles" = "64x24"')
        named = dict(GRIDS)
        for name, size in table.items():
            grid = grid_of(size, {}) if isinstance(size, str) else None
            if grid is None or not (grid.columns and grid.rows):
                self.fail(f"{size!r} is not a grid", "grids", name, hint='columns x rows, for example "64x24"')
            if name in GRIDS and not grid.same_size(GRIDS[name].columns, GRIDS[name].rows):
                self.fail(f"is {GRIDS[name]} everywhere", "grids", name, hint="choose another name")
            named[name] = Grid(grid.columns, grid.rows, name)
        return named

    def _grids(self, named: Mapping[str, Grid]) -> dict[str, tuple[Grid, ...]]:
        value = self._raw("overlay").get("grid")
        if value is None:
            return {}
        if not isinstance(value, dict):
            return dict.fromkeys(_LINKS, self._grid_list(value, named, "overlay", "grid"))
        self._known(value, _LINKS, "overlay", "grid")
        return {link: self._grid_list(grids, named, "overlay", "grid", link) for link, grids in value.items()}

    def _grid_list(self, value: Any, named: Mapping[str, Grid], *path: str) -> tuple[Grid, ...]:
        grids: list[Grid] = []
        for item in self._items(value, *path):
            grid = grid_of(item, named) if isinstance(item, str) else None
            if grid is None or not (grid.columns and grid.rows):
                self.fail_near(f"{item!r} is neither columns x rows nor the name of a grid", item, named, *path)
            grids.append(grid)
        return tuple(grids)

    def _roles(self, ports: Mapping[str, Any], key: str) -> tuple[str, ...] | None:
        if key not in ports:
            return None
        roles = ports[key]
        if not isinstance(roles, list):
            self.fail("must be a list of port roles", "ports", key)
        for role in roles:
            if role not in _ROLES:
                self.fail_near(f"{role!r} is not a port role", role, _ROLES, "ports", key)
        return tuple(roles)


def _groups() -> dict[str, dict[str, FactSpec]]:
    """The tables of a sheet and the facts that each may state: one value each, no repeated groups."""
    groups: dict[str, dict[str, FactSpec]] = {}
    for name, spec in facts().items():
        if spec.repeated is None and not spec.many and name not in _GRID_FACTS:
            group, _, leaf = name.partition(".")
            groups.setdefault(group, {})[leaf] = spec
    return groups

"""One build sheet as it is written: its document, and the file and line of each key. Not yet what it means."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path as File
from typing import Any

from propsoff.exceptions import SheetError
from propsoff.sheets.form import Fault, Path
from propsoff.sheets.grammar import faults_of
from propsoff.toml_scan import KeyLines
from propsoff.tomlfile import parse_toml, read_toml

MOST_FAULTS = 20
"""How many faults of one sheet are told; the rest is counted."""

LISTED: Mapping[str, str] = {"waivers": "finding", "questions": "id"}
"""The lists of tables that add up when one sheet is built on another, and the key that tells two entries apart."""

_DEEP = (("overlay", "grid"), ("checks", "skip"))


@dataclass(frozen=True, slots=True)
class Stated:
    """A value, and where it stands. Tables and lists that are merged hold what they hold as `Stated` again."""

    value: Any
    source: str
    lines: KeyLines
    path: Path

    def line(self, rest: Path = ()) -> int | None:
        """The line of it, or of what is at `rest` within it."""
        return self.lines.of(*self.path, *rest)

    def plain(self) -> Any:
        """The value, without saying where it stands."""
        if _is_table(self.value):
            return {key: item.plain() for key, item in self.value.items()}
        if isinstance(self.value, list) and self.value and isinstance(self.value[0], Stated):
            return [item.plain() for item in self.value]
        return self.value

    def at(self, path: Path) -> tuple[Stated, Path]:
        """What stands nearest to a path, and what of the path is left."""
        here, rest = self, path
        while rest:
            inner = here.value
            in_list = _is_list(inner) and isinstance(rest[0], int) and rest[0] < len(inner)
            if not in_list and not (_is_table(inner) and rest[0] in inner):
                break
            here, rest = inner[rest[0]], rest[1:]
        return here, rest

    def error(self, fault: Fault) -> SheetError:
        """The fault as an error that names file, line and key."""
        here, rest = self.at(fault.path)
        return SheetError(
            fault.problem, source=here.source, line=here.line(rest), key=dotted(fault.path) or None, hint=fault.hint
        )

    def place(self, path: Path) -> str:
        """`FILE:LINE` of a path."""
        here, rest = self.at(path)
        line = here.line(rest)
        return here.source if line is None else f"{here.source}:{line}"


def _is_table(value: Any) -> bool:
    return isinstance(value, dict) and all(isinstance(item, Stated) for item in value.values())


def _is_list(value: Any) -> bool:
    return isinstance(value, list) and all(isinstance(item, Stated) for item in value)


def dotted(path: Path) -> str:
    """`channels.low`, `waivers[2].until`; which item of a list of values it was, the line tells."""
    while path and isinstance(path[-1], int) and path[0] not in LISTED:
        path = path[:-1]
    text = ""
    for part in path:
        text += f"[{part}]" if isinstance(part, int) else f".{part}" if text else part
    return text


@dataclass(frozen=True, slots=True)
class Written:
    """A sheet that is well formed. `extends` are the names of the sheets that it is built on, as written."""

    name: str
    source: str
    root: Stated
    extends: tuple[str, ...] = ()
    abstract: bool = False
    built_in: bool = False

    @property
    def key(self) -> str:
        """What it is called by: capitals do not matter."""
        return key_of(self.name)


@dataclass(frozen=True, slots=True)
class Unusable:
    """A sheet of which at least something is wrong. `name` is None when not even that could be read."""

    source: str
    name: str | None
    errors: tuple[SheetError, ...]


def key_of(name: str) -> str:
    """Names of sheets are compared without regard to capitals and to blanks around them."""
    return name.strip().casefold()


def read_written(file: File, *, origin: str | None = None) -> Written | Unusable:
    """A sheet from a file. `origin` names it in reports in place of its path; one with an origin is built in."""
    try:
        document, lines = read_toml(file, SheetError)
    except SheetError as error:
        return Unusable(str(file), None, (error,))
    return _judged(document, lines, origin or str(file), built_in=origin is not None)


def written_of(text: str, source: str) -> Written | Unusable:
    """A sheet from a text; `source` names it in errors."""
    try:
        document, lines = parse_toml(text, source, SheetError)
    except SheetError as error:
        return Unusable(source, None, (error,))
    return _judged(document, lines, source, built_in=False)


def _judged(document: dict[str, Any], lines: KeyLines, source: str, *, built_in: bool) -> Written | Unusable:
    root = _stated(document, source, lines, ())
    name = document.get("name")
    faults = list(faults_of(document)) or list(_said_twice(document))
    if faults:
        errors = [root.error(fault) for fault in faults[:MOST_FAULTS]]
        if len(faults) > MOST_FAULTS:
            errors.append(SheetError(f"{len(faults) - MOST_FAULTS} more faults of form are not listed", source=source))
        return Unusable(source, name if isinstance(name, str) else None, tuple(errors))
    bases = document.get("extends", [])
    extends = tuple(bases) if isinstance(bases, list) else (bases,)
    if "tolerances" in document:
        root.value["tolerances"] = _tolerances(document["tolerances"], source, lines)
    return Written(str(name).strip(), source, root, extends, document.get("abstract", False), built_in)


def _said_twice(document: dict[str, Any]) -> Iterator[Fault]:
    """Entries of one list that mean the same thing, and tolerances that are said in both ways."""
    for key, told_by in LISTED.items():
        seen: dict[str, int] = {}
        for at, entry in enumerate(document.get(key, [])):
            if (first := seen.setdefault(entry[told_by], at)) != at:
                problem = f"{entry[told_by]!r} is said twice: also in entry {first + 1}"
                yield Fault((key, at, told_by), problem, "take one of them away")
    table = document.get("tolerances", {})
    for name in table:
        group, _, leaf = name.partition(".")
        if leaf and leaf in table.get(group, {}):
            yield Fault(("tolerances", name), "is said twice: with and without quotation marks", "take one away")


def _tolerances(table: dict[str, Any], source: str, lines: KeyLines) -> Stated:
    """The tolerances by dotted name, whichever way they are written."""
    flat: dict[str, Stated] = {}
    for name, value in table.items():
        path: Path = ("tolerances", name)
        if isinstance(value, dict):
            flat |= {f"{name}.{leaf}": Stated(off, source, lines, (*path, leaf)) for leaf, off in value.items()}
        else:
            flat[name] = Stated(value, source, lines, path)
    return Stated(flat, source, lines, ("tolerances",))


def _stated(value: Any, source: str, lines: KeyLines, path: Path) -> Stated:
    """A document with each part that can be merged by itself."""
    if isinstance(value, dict) and _merges(path):
        value = {key: _stated(item, source, lines, (*path, key)) for key, item in value.items()}
    elif isinstance(value, list) and len(path) == 1 and path[0] in LISTED:
        value = [_stated(item, source, lines, (*path, at)) for at, item in enumerate(value)]
    return Stated(value, source, lines, path)


def _merges(path: Path) -> bool:
    return len(path) < 2 or path in _DEEP or (len(path) == 2 and path[0] == "switches")

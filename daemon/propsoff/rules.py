"""What an inspection goes by, as one fingerprint: what was inspected by exactly this need not be inspected again.

It is taken over propsoff's version, the octets of its modules that a report depends on, of each plug-in that brings
checks, and of each dialect and build sheet, and over the checks that are left out. What was changed on the disk since
it was loaded, or cannot be read, leaves doubt: then there is no fingerprint, and everything is inspected again.
"""

from __future__ import annotations

import hashlib
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from types import FunctionType, ModuleType
from typing import TYPE_CHECKING

import propsoff
from propsoff.inspection.finding import Outcome
from propsoff.inspection.noted import NOTES_ID
from propsoff.plugins import GIVEN

if TYPE_CHECKING:
    from propsoff.inspection.report import Report
    from propsoff.library import Toolbox

PACKAGES = ("console", "craft", "dialects", "inspection", "notes", "overlay", "ports", "sheets")
"""The packages of propsoff that a report depends on, and the modules beside them."""
_MOST_FILES, _MOST_BYTES = 4000, 64 << 20
"""A larger plug-in is not gone through each time."""


class _DoubtError(Exception):
    """It cannot be told whether what is on the disk is what inspects."""


@dataclass(frozen=True)
class Rules:
    """A toolbox's fingerprint, None in doubt. `ends` are the last days of the waivers, in their order.

    The clock counts in so far as it ends waivers, by days in UTC: see `propsoff.inspection.waivers`.
    """

    base: str | None
    ends: tuple[date, ...] = ()

    def today(self, now_s: float | None = None) -> str | None:
        """What a report without hand notes would carry if it were made now (Unix, s); None in doubt."""
        now_s = time.time() if now_s is None else now_s
        return self._on(datetime.fromtimestamp(now_s, UTC).date())

    def of(self, report: Report) -> str | None:
        """What to keep with a report that this toolbox made; None in doubt."""
        return self._with_notes(report, self._on(datetime.fromisoformat(report.created).astimezone(UTC).date()))

    def still(self, kept: str | None, report: Report, now_s: float | None = None) -> bool:
        """Whether a report with which `kept` was kept would come out the same now (Unix, s)."""
        return kept is not None and kept == self._with_notes(report, self.today(now_s))

    def _on(self, day: date) -> str | None:
        if self.base is None:
            return None
        holding = "".join("1" if day <= end else "0" for end in self.ends)
        return hashlib.sha256(f"{self.base} {holding}".encode()).hexdigest()

    def _with_notes(self, report: Report, text: str | None) -> str | None:
        if text is None or not _certain(report):
            return None
        said = sorted((fact.name, repr(fact.value), fact.at or "") for fact in report.facts if fact.origin == "hand")
        return f"{text}-{hashlib.sha256(repr(said).encode()).hexdigest()[:16]}" if said else text


def _certain(report: Report) -> bool:
    """Whether the same rules would give the same report.

    Not what broke or took too long, not a conversation that nobody examined, and not hand notes that were left out: of
    those nothing is kept.
    """
    broke = any(finding.outcome is Outcome.ERROR or finding.check == NOTES_ID for finding in report.findings)
    return report.dialect is not None and not broke


def rules_of(tools: Toolbox) -> Rules:
    """The fingerprint of a toolbox. Never raises: whatever goes wrong is doubt."""
    try:
        base = _fingerprint(tools)
    except Exception:  # noqa: BLE001  a plug-in's objects may raise anything when they are looked at
        base = None
    return Rules(base, tuple(one.until for sheet in tools.sheets for one in sheet.waivers if one.until is not None))


def _fingerprint(tools: Toolbox) -> str:
    """Raises _DoubtError, and OSError for what cannot be read."""
    if tools.plugins.failures or tools.dialect_errors or tools.sheet_errors:
        raise _DoubtError("something could not be gathered")
    taken = hashlib.sha256()
    for part in _parts(tools):
        # With its length, so that no two rows of parts are one text.
        taken.update(f"{len(part)}:".encode())
        taken.update(part)
    return taken.hexdigest()


def _parts(tools: Toolbox) -> Iterator[bytes]:
    yield f"propsoff {propsoff.__version__} {sys.implementation.cache_tag}".encode()
    own = Path(propsoff.__file__).parent
    yield from _files(sorted(own.glob("*.py")), own, propsoff.LOADED_NS)
    for name in PACKAGES:
        yield from _files(_in_folder(own / name), own, propsoff.LOADED_NS)
    yield from _plugins(tools)
    for owned in (*tools.checks, *tools.left_out):
        yield f"check {owned.plugin} {owned.check.id} {owned in tools.left_out}".encode()
    for dialect in tools.dialects:
        yield f"dialect {dialect.id}".encode()
        yield _octets(Path(dialect.file), tools.begun_ns)
    for sheet in tools.sheets:
        yield f"sheet {sheet.name} {sheet.built_in}".encode()
        if not sheet.built_in:  # those are among propsoff's own files
            yield _octets(Path(sheet.source), tools.begun_ns)


def _plugins(tools: Toolbox) -> Iterator[bytes]:
    """The code of each plug-in that brings checks."""
    infos = {info.name: info for info in tools.infos if info.problem is None}
    roots: dict[str, set[Path]] = {}
    for owned in (*tools.checks, *tools.left_out):
        roots.setdefault(owned.plugin, set()).update(_roots(owned.check.examine))
    for name, places in roots.items():
        info = infos[name]
        if info.origin == GIVEN:
            raise _DoubtError("what a program gives may hold whatever the program holds")
        yield f"plug-in {name} {info.origin} {info.version}".encode()
        plugin = tools.plugins.manager.get_plugin(name)
        own = _root(plugin.__name__ if isinstance(plugin, ModuleType) else type(plugin).__module__)
        for place in sorted({own, *places}, key=lambda each: each.name):
            files = _in_folder(place) if place.is_dir() else [place]
            yield from _files(files, place.parent, propsoff.LOADED_NS)


def _roots(examine: object) -> set[Path]:
    """The package, or the lone module, of a check's function, and of each function that it wraps."""
    found: set[Path] = set()
    seen: set[int] = set()
    while examine is not None and id(examine) not in seen:
        seen.add(id(examine))
        if not isinstance(examine, FunctionType):
            raise _DoubtError("an object may hold what is not in its module")
        found.add(_root(examine.__globals__["__name__"]))
        examine = getattr(examine, "__wrapped__", None)
    return found


def _root(module: str) -> Path:
    """The folder of the outermost package with a file of its own, or the file of a module that is in none."""
    parts = module.split(".")
    for count in range(1, len(parts) + 1):
        file = getattr(sys.modules.get(".".join(parts[:count])), "__file__", None)
        if file is not None:
            return Path(file).parent if Path(file).stem == "__init__" else Path(file)
    raise _DoubtError(f"{module} has no file")


def _in_folder(folder: Path) -> list[Path]:
    """Every file of a package, data too, but what Python makes of it."""
    found = [path for path in folder.rglob("*") if "__pycache__" not in path.parts and path.is_file()]
    if len(found) > _MOST_FILES or not found:
        raise _DoubtError(f"{folder}: {len(found)} files")
    return sorted(found)


def _files(files: list[Path], top: Path, loaded_ns: int) -> Iterator[bytes]:
    left = _MOST_BYTES
    for file in files:
        octets = _octets(file, loaded_ns)
        left -= len(octets)
        if left < 0:
            raise _DoubtError(f"{top}: too large")
        yield file.relative_to(top).as_posix().encode()
        yield octets


def _octets(file: Path, loaded_ns: int) -> bytes:
    """What is in a file that was not touched since `loaded_ns` (Unix, ns). Raises _DoubtError and OSError."""
    octets = file.read_bytes()
    about = file.stat()
    if max(about.st_mtime_ns, about.st_ctime_ns) > loaded_ns:
        raise _DoubtError(f"{file} was changed since")
    return octets

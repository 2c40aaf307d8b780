"""All build sheets that there are: built in, from plug-ins, and the user's own."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from propsoff.exceptions import SheetError
from propsoff.sheets.load import load_sheet
from propsoff.sheets.model import BuildSheet

_BUILT_IN = Path(__file__).parent / "builtin"


@dataclass(frozen=True)
class Catalogue:
    """The sheets found. `errors` are those that could not be used, `notes` say which sheet took the place of which."""

    sheets: tuple[BuildSheet, ...]
    errors: tuple[SheetError, ...] = ()
    notes: tuple[str, ...] = ()


def built_in_sheets() -> tuple[BuildSheet, ...]:
    """The sheets that ship with propsoff."""
    return tuple(load_sheet(file, origin=f"built in: {file.name}") for file in _files(_BUILT_IN))


def catalogue(*, plugins: Iterable[Path] = (), user: Iterable[Path] = ()) -> Catalogue:
    """All sheets: built in, then those at the plug-ins' paths, then at the user's; each path is a file or a folder.

    Of two with the same name the user's wins over a plug-in's, and that over a built-in one; two of one origin are an
    error. A sheet that is wrong is an error that names it; the others go on. A path that does not exist is an error,
    except for a folder of the user's. Never raises SheetError.
    """
    shelf = _Shelf({_key(sheet): sheet for sheet in built_in_sheets()})
    shelf.add(plugins, missing_is_error=True)
    shelf.add(user, missing_is_error=False)
    return Catalogue(tuple(shelf.sheets.values()), tuple(shelf.errors), tuple(shelf.notes))


def _key(sheet: BuildSheet) -> str:
    return sheet.name.casefold()


def _files(path: Path) -> Iterator[Path]:
    """The sheets at a path, in order of name. Raises OSError."""
    if path.is_dir():
        yield from sorted(file for file in path.iterdir() if file.suffix == ".toml" and not file.name.startswith("."))
    else:
        yield path


@dataclass
class _Shelf:
    sheets: dict[str, BuildSheet]
    errors: list[SheetError] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    def add(self, paths: Iterable[Path], *, missing_is_error: bool) -> None:
        """Add the sheets of one origin."""
        own: dict[str, BuildSheet] = {}
        for path in paths:
            if not path.exists() and path.suffix != ".toml" and not missing_is_error:
                continue
            try:
                for file in _files(path):
                    self._read(file, own)
            except OSError as error:
                self.errors.append(SheetError(error.strerror or str(error), source=path))
        for key, sheet in own.items():
            if key in self.sheets:
                other = self.sheets[key].source
                self.notes.append(f"build sheet {sheet.name}: {sheet.source} takes the place of {other}")
            self.sheets[key] = sheet

    def _read(self, file: Path, own: dict[str, BuildSheet]) -> None:
        try:
            sheet = load_sheet(file)
        except SheetError as error:
            self.errors.append(error)
            return
        other = own.setdefault(_key(sheet), sheet)
        if other is not sheet:
            problem = f"{sheet.name!r} is the name of another sheet too: {other.source}"
            self.errors.append(SheetError(problem, source=file, key="name", hint="rename one of them"))

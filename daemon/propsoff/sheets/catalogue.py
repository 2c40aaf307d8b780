"""All build sheets that there are: built in, from plug-ins, and the user's own."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from propsoff.exceptions import SheetError
from propsoff.sheets.form import Fault
from propsoff.sheets.load import Shelf, load_sheet
from propsoff.sheets.model import BuildSheet
from propsoff.sheets.written import Unusable, Written, key_of, read_written

_BUILT_IN = Path(__file__).parent / "builtin"


@dataclass(frozen=True)
class Catalogue:
    """The sheets found. `errors` are those that could not be used, `notes` say which sheet took the place of which.

    `shelf` are the same sheets as they are written. Abstract ones are among the sheets: they are never chosen.
    """

    sheets: tuple[BuildSheet, ...]
    errors: tuple[SheetError, ...] = ()
    notes: tuple[str, ...] = ()
    shelf: Shelf = field(default_factory=lambda: Shelf({}), compare=False, repr=False)


def built_in_sheets() -> tuple[BuildSheet, ...]:
    """The sheets that ship with propsoff."""
    return tuple(load_sheet(file, origin=_origin(file)) for file in files_at(_BUILT_IN))


def catalogue(*, plugins: Iterable[Path] = (), user: Iterable[Path] = (), named: Iterable[Path] = ()) -> Catalogue:
    """All sheets: built in, then those at the plug-ins' paths, then at the user's; each path is a file or a folder.

    `user` are the user's own folders, wherever they usually are; `named` are paths that settings or options name.

    Of two with the same name the user's wins over a plug-in's, and that over a built-in one; two of one origin are an
    error (`user` and `named` are one). A sheet may extend any that is left then. A sheet that is wrong is an error that
    names it; the others go on. A path that does not exist is an error, except for a folder in `user`. Never raises
    SheetError.
    """
    finder = _Finder()
    finder.add_built_in()
    finder.add(plugins)
    finder.add(named, if_there=user)
    shelf = Shelf(finder.sheets, finder.unusable)
    sheets: list[BuildSheet] = []
    errors = list(finder.errors)
    for written in finder.sheets.values():
        sheet, wrong = shelf.sheet(written)
        if sheet is not None:
            sheets.append(sheet)
        errors += wrong
    # What is wrong with a base is wrong with all that is built on it, and is told once.
    told = {str(error): error for error in reversed(errors)}
    return Catalogue(tuple(sheets), tuple(reversed(told.values())), tuple(finder.notes), shelf)


def _origin(file: Path) -> str:
    return f"built in: {file.name}"


def files_at(path: Path) -> Iterator[Path]:
    """The sheet at a path, or those in a folder in order of name. Raises OSError."""
    if path.is_dir():
        files = (file for file in path.iterdir() if file.suffix == ".toml" and not file.name.startswith("."))
        # Hand notes may lie beside the sheets that ask for them.
        yield from sorted(file for file in files if not file.name.endswith(".notes.toml"))
    else:
        yield path


@dataclass
class _Finder:
    sheets: dict[str, Written] = field(default_factory=dict)
    unusable: dict[str, Unusable] = field(default_factory=dict)
    errors: list[SheetError] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    read: set[str] = field(default_factory=set)

    def add_built_in(self) -> None:
        """Add the sheets that ship with propsoff."""
        for file in files_at(_BUILT_IN):
            written = read_written(file, origin=_origin(file))
            assert isinstance(written, Written), written
            self.sheets[written.key] = written

    def add(self, paths: Iterable[Path], *, if_there: Iterable[Path] = ()) -> None:
        """Add the sheets of one origin; folders in `if_there` may be missing."""
        own: dict[str, Written] = {}
        for path, needed in (*((each, each.suffix == ".toml") for each in if_there), *((each, True) for each in paths)):
            try:
                if path.exists():
                    for file in files_at(path):
                        self._read(file, own)
                elif needed:
                    hint = "correct the path that names it, or take it away"
                    self.errors.append(SheetError("there is no such file or folder", source=path, hint=hint))
            except OSError as error:
                self.errors.append(SheetError(error.strerror or str(error), source=path))
        for key, sheet in own.items():
            if key in self.sheets:
                other = self.sheets[key].source
                self.notes.append(f"build sheet {sheet.name}: {sheet.source} takes the place of {other}")
            self.sheets[key] = sheet

    def _read(self, file: Path, own: dict[str, Written]) -> None:
        real = os.path.realpath(file)  # Path.resolve raises on a link that leads to itself
        if real in self.read:  # named twice, or by its folder too
            return
        self.read.add(real)
        written = read_written(file)
        if isinstance(written, Unusable):
            self.errors += written.errors
            if written.name is not None:
                self.unusable[key_of(written.name)] = written
            return
        other = own.setdefault(written.key, written)
        if other is not written:
            problem = f"{written.name!r} is the name of another sheet too: {other.source}"
            self.errors.append(written.root.error(Fault(("name",), problem, "rename one of them")))

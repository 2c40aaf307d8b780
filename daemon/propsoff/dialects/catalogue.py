"""Finding dialect files: the built-in ones, those of plug-ins, and the user's own."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from propsoff.dialects.load import load_dialect
from propsoff.dialects.model import Dialect
from propsoff.exceptions import DialectError

BUILTIN = Path(__file__).parent / "builtin"


@dataclass(frozen=True)
class Catalogue:
    """The dialects found, sorted by id.

    `errors` are files that could not be used, `notes` say which file replaced which.
    """

    dialects: tuple[Dialect, ...]
    errors: tuple[DialectError, ...] = ()
    notes: tuple[str, ...] = ()

    def get(self, id: str) -> Dialect | None:  # noqa: A002  the word that the files use
        """The dialect of this id, or None."""
        return next((dialect for dialect in self.dialects if dialect.id == id), None)


def catalogue(*, plugins: Iterable[Path] = (), user: Iterable[Path] = (), named: Iterable[Path] = ()) -> Catalogue:
    """All dialects: built in, then those at the plug-ins' paths, then at the user's; each path is a file or a folder of
    them. `user` are the user's own folders, wherever they usually are; `named` are paths that settings or options name.

    Of two with the same id the user's wins over a plug-in's, and a plug-in's over a built-in one. A file that is wrong
    is an error that names it; the others go on. A path that does not exist is an error, except a folder in `user`.
    """
    chosen: dict[str, Dialect] = {}
    errors: list[DialectError] = []
    notes: list[str] = []
    for paths, if_there in (((BUILTIN,), ()), (plugins, ()), (named, user)):
        ours: dict[str, Dialect] = {}
        for file in _files(paths, if_there, errors):
            try:
                dialect = load_dialect(file)
            except DialectError as error:
                errors.append(error)
                continue
            if (first := ours.setdefault(dialect.id, dialect)) is not dialect:
                errors.append(DialectError(f"{dialect.id!r} is the id of {first.file} already", source=file, key="id"))
        for id_, dialect in ours.items():
            if id_ in chosen:
                notes.append(f"dialect {id_!r}: {dialect.file} is used instead of {chosen[id_].file}")
            chosen[id_] = dialect
    return Catalogue(tuple(chosen[id_] for id_ in sorted(chosen)), tuple(errors), tuple(notes))


def _files(paths: Iterable[Path], if_there: Iterable[Path], errors: list[DialectError]) -> Iterator[Path]:
    """The files at these paths, folders in `if_there` may be missing; a file named twice comes once."""
    seen: set[Path] = set()
    for path, lenient in (*((each, True) for each in if_there), *((each, False) for each in paths)):
        try:
            found = _at(path, lenient)
        except OSError as error:
            errors.append(DialectError(f"cannot be listed: {error.strerror or error}", source=path))
            continue
        except DialectError as error:
            errors.append(error)
            continue
        for file in found:
            if (place := _resolved(file)) not in seen:
                seen.add(place)
                yield file


def _resolved(file: Path) -> Path:
    try:
        return file.resolve()
    except (OSError, RuntimeError):  # a link to itself; whoever opens the file says so
        return file.absolute()


def _at(path: Path, lenient: bool) -> list[Path]:
    if path.is_dir():
        return sorted(file for file in path.iterdir() if file.suffix == ".toml")
    if path.exists() or path.suffix == ".toml":
        return [path]
    if lenient:
        return []
    hint = "correct the path that names it, or take it away"
    raise DialectError("there is no such file or folder", source=path, hint=hint)

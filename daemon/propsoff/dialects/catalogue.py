"""Finding dialect files: the built-in ones, those of plug-ins, and the user's own."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from propsoff.dialects.model import Dialect
from propsoff.exceptions import DialectError


@dataclass(frozen=True)
class Catalogue:
    """The dialects found, sorted by id. `errors` are files that could not be used, `notes` say which file replaced which."""

    dialects: tuple[Dialect, ...]
    errors: tuple[DialectError, ...] = ()
    notes: tuple[str, ...] = ()

    def get(self, id: str) -> Dialect | None:  # noqa: A002  the word that the files use
        """The dialect of this id, or None."""
        return next((dialect for dialect in self.dialects if dialect.id == id), None)


def catalogue(*, plugins: Iterable[Path] = (), user: Iterable[Path] = ()) -> Catalogue:
    """All dialects: built in, then those at the plug-ins' paths, then at the user's; each path is a file or a folder of them.

    Of two with the same id the user's wins over a plug-in's, and a plug-in's over a built-in one. A file that is wrong is
    an error that names it; the others go on. A path that does not exist is an error when it is a file, nothing when it
    is the user's folder.
    """
    raise NotImplementedError

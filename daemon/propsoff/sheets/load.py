"""Reading build sheets, format 1. The form is described in contrib/guide/sheets.md.

Every error is a `SheetError` that names file, line and key, and the nearest key that there is.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from propsoff.exceptions import SheetError
from propsoff.sheets.build import sheet_of
from propsoff.sheets.extending import resolved, shelf_of
from propsoff.sheets.grammar import FORMAT, MATCH_KEYS
from propsoff.sheets.model import BuildSheet
from propsoff.sheets.written import Stated, Unusable, Written, key_of, read_written, written_of

__all__ = ["FORMAT", "MATCH_KEYS", "Shelf", "load_sheet", "sheet_from"]


def load_sheet(path: Path, *, origin: str | None = None, bases: Iterable[Written] = ()) -> BuildSheet:
    """Read one sheet. `origin` names it in reports in place of its path; a sheet with one is built in.

    `bases` are the sheets that it may extend. Raises SheetError, naming file, line and key, when it cannot be read or
    says something wrong.
    """
    return _only(read_written(path, origin=origin), bases)


def sheet_from(text: str, source: str, *, bases: Iterable[Written] = ()) -> BuildSheet:
    """As `load_sheet`, of a text; `source` names it in errors."""
    return _only(written_of(text, source), bases)


def _only(written: Written | Unusable, bases: Iterable[Written]) -> BuildSheet:
    if isinstance(written, Unusable):
        raise written.errors[0]
    shelf = Shelf({**shelf_of(bases), written.key: written})
    sheet, errors = shelf.sheet(written)
    if sheet is None:
        raise errors[0]
    return sheet


@dataclass
class Shelf:
    """All sheets that there are, as written. `unusable` are those with faults of form, by the keys of their names."""

    sheets: Mapping[str, Written]
    unusable: Mapping[str, Unusable] = field(default_factory=dict)

    def whole(self, written: Written) -> tuple[Stated, tuple[Written, ...]]:
        """The sheet with its bases taken in, and these. Raises SheetError."""
        return resolved(written, self.sheets)

    def sheet(self, written: Written) -> tuple[BuildSheet | None, list[SheetError]]:
        """What a sheet says, or None and what is wrong with it or with what it is built on."""
        try:
            root, bases = self.whole(written)
        except SheetError as error:
            return None, self._of_a_base(written) or [error]
        return sheet_of(written, root, bases)

    def _of_a_base(self, written: Written) -> list[SheetError]:
        """The errors of a base that is there and could not be used."""
        seen: set[str] = set()
        left = [written]
        while left:
            for name in left.pop().extends:
                key = key_of(name)
                if key in self.unusable and key not in self.sheets:
                    return list(self.unusable[key].errors)
                if key not in seen and key in self.sheets:
                    seen.add(key)
                    left.append(self.sheets[key])
        return []

"""What a report was made with that is not here today: without it a conversation is judged otherwise, or not at all."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from propsoff.inspection.check import RESERVED
from propsoff.records.verdicts import Verdicts

if TYPE_CHECKING:
    from propsoff.inspection.report import Report


@dataclass(frozen=True, slots=True)
class Here:
    """What there is today: the ids of the dialects, the names of the build sheets, the ids of the checks."""

    dialects: frozenset[str]
    sheets: frozenset[str]
    checks: frozenset[str]


def why_not_read(old: Report, new: Report, here: Here) -> str:
    """Why a conversation that was read then is not read today; empty where it is, or was not read then either.

    What was found then has not gone for that.
    """
    if old.dialect is None:
        return ""
    name = old.dialect.id
    if name not in here.dialects:
        # Another one may read some of it, all the same.
        less = new.dialect is None or (Verdicts.of(old).whole and not Verdicts.of(new).whole)
        return f"dialect {name} is not here" if less else ""
    return f"dialect {name} does not know the console any more" if new.dialect is None else ""


def judged_without(old: Report, here: Here) -> tuple[str, ...]:
    """The build sheet and the checks that a report was made with and that are not here: `sheet X`, `check Y`."""
    found = []
    sheet = old.sheet
    if sheet is not None and not sheet.house_default and sheet.name not in here.sheets:
        found.append(f"sheet {sheet.name}")
    known = RESERVED | here.checks
    found += [f"check {name}" for name in dict.fromkeys(one.check for one in old.findings) if name not in known]
    return tuple(found)


def said_of(without: tuple[str, ...]) -> str:
    """One sentence about what `judged_without` names."""
    are = "is" if len(without) == 1 else "are"
    return f"made with {', '.join(without)}, which {are} not here: judged without"

"""Which build sheet a craft is judged by, and what is said where that is in doubt."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from propsoff.craft.model import Craft
from propsoff.exceptions import SheetError
from propsoff.inspection.finding import Finding
from propsoff.inspection.mishap import sheet_undecided, sheet_unsure
from propsoff.inspection.report import PortIdentity
from propsoff.sheets.choose import Chosen, choose

if TYPE_CHECKING:
    from propsoff.sheets.model import BuildSheet


def sheet_for(sheets: Sequence[BuildSheet], craft: Craft, port: PortIdentity | None) -> tuple[Chosen, list[Finding]]:
    """The sheet for this craft, and findings where it is in doubt; then the house defaults stand in."""
    try:
        chosen = choose(sheets, craft, _names(port))
    except SheetError as error:
        return Chosen(_fallback(sheets), f"house defaults stand in: {error}"), [sheet_undecided(error)]
    return chosen, [sheet_unsure(chosen.undecided)] if chosen.undecided else []


def _names(port: PortIdentity | None) -> tuple[str, ...]:
    """What a match rule may call a port by: its USB path and its device."""
    return tuple(name for name in (port.path, port.device) if name) if port else ()


def _fallback(sheets: Sequence[BuildSheet]) -> BuildSheet:
    from propsoff.sheets.catalogue import built_in_sheets

    return next((sheet for sheet in sheets if sheet.built_in and sheet.house_default), built_in_sheets()[0])

"""propsoff: plug a flight controller in, get a report.

The public names, loaded when first used (PEP 562), so that `import propsoff` costs nothing. A test rig uses::

    from propsoff import inspect_file
    report = inspect_file("saved.cast")
    assert report.verdict == "pass", [finding.summary for finding in report.findings]
"""

from __future__ import annotations

from importlib import import_module
from time import time_ns
from typing import TYPE_CHECKING, Any

__version__ = "0.1.0"
LOADED_NS = time_ns()
"""When this process loaded propsoff (Unix, ns): a module whose file is newer may be another one by now."""

if TYPE_CHECKING:
    from propsoff.client.asynchronous import AsyncBenchClient
    from propsoff.client.blocking import BenchClient
    from propsoff.console.capture import Capture, load_capture, parse_cast, pasted
    from propsoff.craft.model import (
        Craft,
        HandNote,
        Neighbour,
        OverlayElement,
        PortRole,
        Problem,
        ReceiverKind,
        Switch,
        Uart,
    )
    from propsoff.exceptions import BenchError, LayoutError, NotesError, PropsoffError, RequestError
    from propsoff.hookspecs import hookimpl
    from propsoff.inspection.case import Case
    from propsoff.inspection.check import Check, check
    from propsoff.inspection.finding import Evidence, Finding, Outcome, Remedy, Verdict
    from propsoff.inspection.inspect import inspect_capture
    from propsoff.inspection.report import Report
    from propsoff.library import Toolbox, inspect_file, inspect_port, toolbox
    from propsoff.notes.answers import wanted_answer
    from propsoff.notes.known import WELL_KNOWN, WellKnown
    from propsoff.notes.load import load_notes
    from propsoff.notes.model import HandNotes, WrittenNote
    from propsoff.outputs.document import Document, Told
    from propsoff.outputs.output import Output
    from propsoff.overlay.fit import fit_layout, layout_source
    from propsoff.overlay.layout import Layout, Overlap, overlay_grid
    from propsoff.overlay.moves import layout_moves, nameless
    from propsoff.overlay.size import Size
    from propsoff.ports.facts import Arrival, Departure, Port, UsbIdentity
    from propsoff.sheets.expect import Anything, Expected, Pattern, Range
    from propsoff.sheets.model import GRIDS, BuildSheet, Grid, PlannedSwitch, Question, SwitchPlan
    from propsoff.versions import at_least, compare_versions

_HOMES = {
    "GRIDS": "sheets.model",
    "WELL_KNOWN": "notes.known",
    "Anything": "sheets.expect",
    "Arrival": "ports.facts",
    "AsyncBenchClient": "client.asynchronous",
    "BenchClient": "client.blocking",
    "BenchError": "exceptions",
    "BuildSheet": "sheets.model",
    "Capture": "console.capture",
    "Case": "inspection.case",
    "Check": "inspection.check",
    "Craft": "craft.model",
    "Departure": "ports.facts",
    "Document": "outputs.document",
    "Evidence": "inspection.finding",
    "Expected": "sheets.expect",
    "Finding": "inspection.finding",
    "Grid": "sheets.model",
    "HandNote": "craft.model",
    "HandNotes": "notes.model",
    "Layout": "overlay.layout",
    "LayoutError": "exceptions",
    "Neighbour": "craft.model",
    "NotesError": "exceptions",
    "Outcome": "inspection.finding",
    "Output": "outputs.output",
    "Overlap": "overlay.layout",
    "OverlayElement": "craft.model",
    "Pattern": "sheets.expect",
    "PlannedSwitch": "sheets.model",
    "Port": "ports.facts",
    "PortRole": "craft.model",
    "Problem": "craft.model",
    "PropsoffError": "exceptions",
    "Question": "sheets.model",
    "Range": "sheets.expect",
    "ReceiverKind": "craft.model",
    "Remedy": "inspection.finding",
    "Report": "inspection.report",
    "RequestError": "exceptions",
    "Size": "overlay.size",
    "Switch": "craft.model",
    "SwitchPlan": "sheets.model",
    "Told": "outputs.document",
    "Toolbox": "library",
    "Uart": "craft.model",
    "UsbIdentity": "ports.facts",
    "Verdict": "inspection.finding",
    "WellKnown": "notes.known",
    "WrittenNote": "notes.model",
    "at_least": "versions",
    "check": "inspection.check",
    "compare_versions": "versions",
    "fit_layout": "overlay.fit",
    "hookimpl": "hookspecs",
    "inspect_capture": "inspection.inspect",
    "inspect_file": "library",
    "inspect_port": "library",
    "layout_moves": "overlay.moves",
    "layout_source": "overlay.fit",
    "load_capture": "console.capture",
    "load_notes": "notes.load",
    "nameless": "overlay.moves",
    "overlay_grid": "overlay.layout",
    "parse_cast": "console.capture",
    "pasted": "console.capture",
    "toolbox": "library",
    "wanted_answer": "notes.answers",
}

__all__ = [
    "GRIDS",
    "WELL_KNOWN",
    "Anything",
    "Arrival",
    "AsyncBenchClient",
    "BenchClient",
    "BenchError",
    "BuildSheet",
    "Capture",
    "Case",
    "Check",
    "Craft",
    "Departure",
    "Document",
    "Evidence",
    "Expected",
    "Finding",
    "Grid",
    "HandNote",
    "HandNotes",
    "Layout",
    "LayoutError",
    "Neighbour",
    "NotesError",
    "Outcome",
    "Output",
    "Overlap",
    "OverlayElement",
    "Pattern",
    "PlannedSwitch",
    "Port",
    "PortRole",
    "Problem",
    "PropsoffError",
    "Question",
    "Range",
    "ReceiverKind",
    "Remedy",
    "Report",
    "RequestError",
    "Size",
    "Switch",
    "SwitchPlan",
    "Told",
    "Toolbox",
    "Uart",
    "UsbIdentity",
    "Verdict",
    "WellKnown",
    "WrittenNote",
    "at_least",
    "check",
    "compare_versions",
    "fit_layout",
    "hookimpl",
    "inspect_capture",
    "inspect_file",
    "inspect_port",
    "layout_moves",
    "layout_source",
    "load_capture",
    "load_notes",
    "nameless",
    "overlay_grid",
    "parse_cast",
    "pasted",
    "toolbox",
    "wanted_answer",
]


def __getattr__(name: str) -> Any:
    if name in _HOMES:
        return getattr(import_module(f"propsoff.{_HOMES[name]}"), name)
    raise AttributeError(f"module 'propsoff' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted([*__all__, "__version__"])

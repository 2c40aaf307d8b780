"""The state of a place as it is published, and the place of a report."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from propsoff.bench.places import place_of
from propsoff.ports.facts import Port, UsbIdentity

if TYPE_CHECKING:
    from propsoff.bench.scene import PlaceNow
    from propsoff.inspection.report import Report


def place_in(report: Report) -> str | None:
    """The id of the place that a report was made at; None where its port is not known."""
    port = report.port
    if port is None or not (port.device or port.path):
        return None
    origin = "folder" if port.origin == "folder" else "named"
    return place_of(Port(port.device or "", UsbIdentity(path=port.path), origin))  # type: ignore[arg-type]  # one of two


def state_of_place(now: PlaceNow, report: Report | None) -> bytes:
    """A place as a JSON object. `craft`, `verdict` and `report` are of the newest report, also when its craft left."""
    made = report if report is not None and report.id == now.report else None
    state = {
        "place": now.place,
        "name": now.name,
        "state": now.state,
        "since": now.since,
        "craft": made.called if made else None,
        "verdict": made.verdict.value if made else None,
        "report": made.id if made else None,
    }
    return json.dumps(state).encode()

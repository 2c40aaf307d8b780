"""What is made of a report for a caller: the card, the drawing of its overlay, what differs from another one."""

from __future__ import annotations

import re
from collections.abc import AsyncIterator
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from fastapi.responses import StreamingResponse

from propsoff.console.capture import parse_cast, pasted
from propsoff.exceptions import CaptureError, LayoutError, NothingThereError
from propsoff.outputs.files import file_name_only
from propsoff.page.models import ChangesView

if TYPE_CHECKING:
    from collections.abc import Mapping

    from propsoff.console.capture import Capture
    from propsoff.inspection.report import Report

_PIECE = 64 << 10
_POLICY = re.compile(rb'http-equiv="Content-Security-Policy" content="([^"]*)"')
_UNFIT = re.compile(r"[^A-Za-z0-9._-]+")


class Whole(StreamingResponse):
    """Many bytes, handed over in pieces: a caller that takes none of them costs the memory of one."""

    def __init__(self, data: bytes, *, media_type: str, headers: Mapping[str, str]) -> None:
        super().__init__(_pieces(data), media_type=media_type, headers={**headers, "Content-Length": str(len(data))})


async def _pieces(data: bytes) -> AsyncIterator[bytes]:
    for at in range(0, len(data), _PIECE):
        yield data[at : at + _PIECE]


def download(name: str, *, save: bool = True) -> dict[str, str]:
    """The header that tells a browser what the file is called, and whether to save it."""
    plain = _UNFIT.sub("-", file_name_only(name))[:120]
    return {"Content-Disposition": f'{"attachment" if save else "inline"}; filename="{plain}"'}


def card_of(report: Report, data: bytes | None, newer: str | None) -> bytes:
    """The card of a report as HTML. `data` is its capture, `newer` the id of a newer report of the craft."""
    from propsoff.outputs.page import html_page

    capture = None if data is None else capture_of(report, data)
    return html_page(report, capture, replaced_by=newer).encode()


def capture_of(report: Report, data: bytes) -> Capture | None:
    """The capture in a file; None where it cannot be read: the card then does without its surroundings."""
    try:
        capture = pasted(data) if report.capture.origin == "pasted" else parse_cast(data, "the capture")
    except CaptureError:
        return None
    return replace(capture, digest=report.capture.sha256)


def policy_of_card(page: bytes) -> str:
    """The card's own policy, which names its style by hash; what only a header can say is added."""
    found = _POLICY.search(page)
    own = found[1].decode() if found else "default-src 'none'"
    return f"{own}; frame-ancestors 'none'"


def drawing_of(report: Report) -> bytes:
    """The overlay of a report as SVG. Raises NothingThereError with the reason when it cannot be drawn."""
    from propsoff.outputs.page_words import overlay_of, values_of
    from propsoff.overlay.layout import Layout, overlay_grid
    from propsoff.overlay.svg import draw_svg

    overlay = overlay_of(values_of(report.facts))
    size = overlay_grid(overlay)
    if overlay.elements is None or size is None:
        raise NothingThereError(f"report {report.id}: the overlay was not read, so nothing can be drawn")
    try:
        drawing: Any = draw_svg(Layout.of(overlay.elements, size), title="Overlay")
    except LayoutError as error:
        raise NothingThereError(f"report {report.id}: the overlay cannot be drawn: {error}") from None
    return str(drawing).encode()


def changes_of(earlier: Report, report: Report) -> ChangesView:
    """What differs between two reports."""
    from propsoff.records.compare import compare

    found = compare(earlier, report)
    return ChangesView(with_=earlier.id, created=earlier.created, same=found.same, comparison=found)

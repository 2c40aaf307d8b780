"""What stands at the foot of each printed sheet of a card, so that a sheet alone still says whose it is."""

from __future__ import annotations

from typing import TYPE_CHECKING

from propsoff.outputs.escape import visible

if TYPE_CHECKING:
    from propsoff.inspection.report import Report

_MOST = 40


def running_foot(report: Report, *, old: bool) -> str:
    """CSS that prints craft, board serial number and report at each sheet's foot (CSS Paged Media Level 3, 4.2)."""
    serial = f"serial number {visible(report.board_serial, _MOST)}" if report.board_serial else ""
    named = visible(report.craft or report.board or "a board that did not say what it is", _MOST)
    told = " · ".join(part for part in ("OLD" if old else "", named, serial, f"report {report.id}") if part)
    looks = "font: 8pt Georgia, serif; overflow-wrap: anywhere;"
    return f"@page {{ @bottom-left {{ content: {_css_string(told)}; {looks} }} }}"


def _css_string(text: str) -> str:
    """A CSS string in which no character but plain letters, figures and blanks stands as itself (CSS Syntax 3, 4.3.7).

    So nothing that a board typed ends the string, or the element that it is in. An escape takes one blank behind it.
    """
    plain = (c if c == " " or (c.isascii() and c.isalnum()) else f"\\{ord(c):x} " for c in text)
    return f'"{"".join(plain)}"'

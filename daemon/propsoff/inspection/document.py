"""Putting the report together from what an inspection came to."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from propsoff import __version__
from propsoff.craft.model import Craft, Fact, Scalar
from propsoff.inspection.conversation import Ending
from propsoff.inspection.finding import Finding, verdict_of
from propsoff.inspection.report import (
    CaptureUsed,
    Conversation,
    DialectUsed,
    PluginUsed,
    PortIdentity,
    ProblemSeen,
    Report,
    SheetUsed,
    Tool,
    UnreadLine,
    instant,
    plain,
)

if TYPE_CHECKING:
    from propsoff.console.capture import Capture
    from propsoff.console.manner import Line
    from propsoff.dialects.model import Dialect
    from propsoff.sheets.choose import Chosen

MAX_LINE = 1000
"""Longest transcript line that a report quotes, in characters; the rest is counted."""

MAX_UNREAD = 500
"""How many unread lines a report lists."""

_MAX_NAME = 200
_AS_THEY_ARE = frozenset({bool, int, float})
_NOT_SLUG = re.compile(r"[^a-z0-9]+")


def shown_lines(lines: Iterable[Line]) -> list[str]:
    """The transcript's lines as a report quotes them."""
    return [_cut(line.text) for line in lines]


@dataclass(frozen=True)
class Visit:
    """What is known without reading the conversation: capture, time (Unix, s), port, name of its file, plug-ins."""

    capture: Capture
    created: float
    port: PortIdentity | None = None
    file: str | None = None
    plugins: tuple[PluginUsed, ...] = ()


def build_report(
    visit: Visit,
    *,
    findings: Sequence[Finding],
    conversation: Conversation,
    ending: Ending,
    craft: Craft | None = None,
    dialect: Dialect | None = None,
    chosen: Chosen | None = None,
) -> Report:
    """The report. `craft`, `dialect` and `chosen` are None when nobody knows what the console speaks."""
    known = craft or Craft()
    board = _name(known.board.name)
    return Report(
        id=_report_id(visit, board),
        created=instant(visit.created),
        tool=Tool(version=__version__),
        verdict=verdict_of((finding.counts_as for finding in findings), complete=ending.complete),
        complete=ending.complete,
        ended=ending.words,
        next_steps=ending.next_steps,
        board=board,
        board_serial=_name(known.board.serial),
        craft=_name(known.craft.name),
        firmware=_name(" ".join(filter(None, (known.firmware.name, known.firmware.version)))),
        port=visit.port,
        dialect=None if dialect is None else _dialect_used(dialect),
        sheet=None if chosen is None else _sheet_used(chosen),
        plugins=visit.plugins,
        findings=tuple(findings),
        facts=tuple(fact if type(fact.value) in _AS_THEY_ARE else _shown(fact) for fact in known.facts()),
        problems=tuple(_problems(known)),
        unread=tuple(UnreadLine(line=line, text=_cut(text)) for line, text in known.unread[:MAX_UNREAD]),
        conversation=conversation,
        capture=_capture_used(visit),
    )


def _capture_used(visit: Visit) -> CaptureUsed:
    return CaptureUsed(
        sha256=visit.capture.sha256,
        file=None if visit.file is None else plain(visit.file),
        events=len(visit.capture.events),
        origin=visit.capture.origin,
        started=_started(visit.capture),
    )


def _cut(text: str) -> str:
    text = plain(text)
    return text if len(text) <= MAX_LINE else f"{text[:MAX_LINE]}… ({len(text)} characters)"


def _name(text: str | None) -> str | None:
    return plain(text)[:_MAX_NAME] or None if text else None


def _dialect_used(dialect: Dialect) -> DialectUsed:
    return DialectUsed(id=dialect.id, version=plain(dialect.version), source=plain(dialect.file))


def _sheet_used(chosen: Chosen) -> SheetUsed:
    sheet = chosen.sheet
    return SheetUsed(
        name=plain(sheet.name),
        title=plain(sheet.title),
        version=plain(sheet.version),
        source=plain(sheet.source),
        why=plain(chosen.why),
        house_default=sheet.house_default,
    )


def _shown(fact: Fact) -> Fact:
    """The fact as a report quotes it."""
    value = fact.value
    quoted: Scalar | tuple[Scalar, ...]
    if isinstance(value, str):
        quoted = _cut(value)
    elif isinstance(value, tuple):
        quoted = tuple(_cut(item) if isinstance(item, str) else item for item in value)
    else:
        return fact
    return fact if quoted == value else replace(fact, value=quoted)


def _problems(craft: Craft) -> list[ProblemSeen]:
    seen = [
        ProblemSeen(message=_cut(one.message), line=one.line, text=_cut(one.text), fact=one.fact)
        for one in craft.problems
    ]
    if (count := len(craft.unread)) > MAX_UNREAD:
        seen.append(ProblemSeen(message=f"{count} lines were not understood; the first {MAX_UNREAD} are listed"))
    return seen


def _started(capture: Capture) -> str | None:
    if capture.started is None:
        return None
    try:
        return instant(capture.started)
    except (ValueError, OverflowError, OSError):  # a hand-made header may hold any number
        return None


def _report_id(visit: Visit, board: str | None) -> str:
    """Time, board, and a hash of what tells this inspection from any other in the same second."""
    when = datetime.fromtimestamp(visit.created, UTC).strftime("%Y%m%dT%H%M%SZ")
    slug = _NOT_SLUG.sub("-", (board or "unknown").lower())[:32].strip("-") or "board"
    port = visit.port.key if visit.port else None
    told_by = repr((visit.capture.sha256, visit.created, port, visit.file))
    return f"{when}-{slug}-{hashlib.sha256(told_by.encode('utf-8', 'backslashreplace')).hexdigest()[:12]}"

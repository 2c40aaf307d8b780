"""Lines of evidence with the transcript around them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from propsoff.console.transcript import Transcript

if TYPE_CHECKING:
    from propsoff.console.capture import Capture
    from propsoff.inspection.finding import Evidence
    from propsoff.inspection.report import Report

_AROUND = 2


@dataclass(frozen=True, slots=True)
class Shown:
    """A transcript line by its number; `seen`: it is evidence itself, not what stands around it."""

    line: int
    text: str
    seen: bool


def transcript_texts(report: Report, capture: Capture | None) -> Sequence[str]:
    """The transcript of the very capture that the report was read from; empty where that is not at hand.

    It is not made where no finding has evidence.
    """
    if capture is None or capture.sha256 != report.capture.sha256:
        return ()
    if not any(finding.evidence for finding in report.findings):
        return ()
    return Transcript(capture).texts


def excerpts(evidence: Sequence[Evidence], texts: Sequence[str]) -> list[list[Shown]]:
    """The evidence in runs of adjoining lines, each with two lines before and after it if the transcript has them."""
    rows = {each.line: Shown(each.line, each.text, True) for each in evidence}
    for line in list(rows):
        for near in range(max(1, line - _AROUND), min(len(texts), line + _AROUND) + 1):
            rows.setdefault(near, Shown(near, texts[near - 1], False))
    runs: list[list[Shown]] = []
    for line in sorted(rows):
        if not runs or runs[-1][-1].line != line - 1:
            runs.append([])
        runs[-1].append(rows[line])
    return runs

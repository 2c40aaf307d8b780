"""Evidence with the transcript around it."""

from __future__ import annotations

from propsoff.console.capture import Capture, Event
from propsoff.inspection.finding import Evidence
from propsoff.outputs.page_evidence import excerpts, transcript_texts
from tests_support.findings import CAUSE, report_of

TEXTS = [f"text {number}" for number in range(1, 21)]


def lines(*numbers: int) -> list[Evidence]:
    return [Evidence(line=number, text=f"text {number}") for number in numbers]


def test_two_lines_stand_before_and_after_a_line_of_evidence() -> None:
    [run] = excerpts(lines(10), TEXTS)
    assert [(row.line, row.text, row.seen) for row in run] == [
        (8, "text 8", False),
        (9, "text 9", False),
        (10, "text 10", True),
        (11, "text 11", False),
        (12, "text 12", False),
    ]


def test_near_lines_make_one_run_and_far_ones_two() -> None:
    assert [[row.line for row in run] for run in excerpts(lines(1, 5, 20), TEXTS)] == [
        [1, 2, 3, 4, 5, 6, 7],
        [18, 19, 20],
    ]


def test_evidence_beyond_the_transcript_stands_alone() -> None:
    assert [[row.line for row in run] for run in excerpts(lines(500), TEXTS)] == [[500]]
    assert [[row.line for row in run] for run in excerpts(lines(3), ())] == [[3]]


def test_another_capture_than_the_reports_own_gives_no_surroundings() -> None:
    capture = Capture((Event(0.0, "o", "one\r\ntwo\r\n"),))
    seen = CAUSE.model_copy(update={"evidence": tuple(lines(1))})
    report = report_of(seen)
    own = report.model_copy(update={"capture": report.capture.model_copy(update={"sha256": capture.sha256})})
    assert transcript_texts(report, capture) == ()
    assert transcript_texts(own, None) == ()
    assert list(transcript_texts(own, capture)) == ["one", "two"]

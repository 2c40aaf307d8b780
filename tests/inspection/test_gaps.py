"""What was not read must not pass: every line of a listing is taken away in turn."""

from __future__ import annotations

import pytest

from propsoff import Capture, Report, pasted
from propsoff.library import toolbox
from propsoff_sim.text import console_text

TOOLS = toolbox()
BAD = [f"{board}+{fault}" for board in ("ossel-hd53", "brindle-hd53") for fault in ("two-receivers", "two-roles")]
BAD += ["corvane-hd53+two-receivers", "brindle-analog+receiver-and-overlay", "ossel-analog+bad-baud"]


def inspected(lines: list[str]) -> Report:
    capture: Capture = pasted("".join(lines).encode())
    return TOOLS.inspect(capture)


def without_each_line(board: str) -> list[tuple[str, Report]]:
    lines = console_text(board).splitlines(keepends=True)
    return [(line, inspected([*lines[:at], *lines[at + 1 :]])) for at, line in enumerate(lines)]


@pytest.mark.parametrize("board", BAD)
def test_no_lost_line_makes_a_bad_craft_pass(board: str) -> None:
    assert inspected(console_text(board).splitlines(keepends=True)).verdict == "fail"
    for line, report in without_each_line(board):
        assert report.verdict not in ("pass", "warn"), line


@pytest.mark.parametrize("board", ["ossel-hd53", "ossel-analog-spi", "brindle-hd53", "corvane-analog"])
def test_no_lost_line_is_blamed_on_a_sound_craft(board: str) -> None:
    assert inspected(console_text(board).splitlines(keepends=True)).verdict == "pass"
    for line, report in without_each_line(board):
        failed = [finding.summary for finding in report.findings if finding.outcome == "fail"]
        assert (line, failed) == (line, [])


def test_a_listing_with_a_gap_says_where_and_what_to_do() -> None:
    lines = [line for line in console_text("ossel-hd53").splitlines(keepends=True) if "pack.now" not in line]
    report = inspected(lines)
    assert report.verdict == "unknown"
    gap = next(finding for finding in report.findings if finding.name == "listing/not-whole")
    assert "it says that it has 60 lines, 59 were read" in gap.summary or "were read: bytes were lost" in gap.summary
    assert gap.evidence
    assert gap.remedy.steps[0].startswith("Copy the whole listing again")

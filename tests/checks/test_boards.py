"""Every simulated board with every single fault, read back from its own console: which check finds what, and only that.

The simulator shares no code with the reader. Boards, faults and their firmwares are inventions for the demonstration.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import pytest

from propsoff import BuildSheet, Report
from propsoff.sheets.catalogue import built_in_sheets
from propsoff.sheets.model import GRIDS
from propsoff_sim.board import BoardState
from propsoff_sim.board_faults import BOARD_FAULTS
from propsoff_sim.catalogue import board, board_names, boards_for
from propsoff_sim.personalities import console_for
from tests_support.conversations import CHECKS, dialect_of, inspected, recorded

FOUND: Mapping[str, tuple[str, str]] = {
    "receiver-port-unused": ("receiver-type", "fail"),
    "receiver-inverted": ("receiver-type", "fail"),
    "receiver-half-duplex": ("receiver-type", "warn"),
    "receiver-none": ("receiver-type", "fail"),
    "receiver-ppm": ("receiver-type", "fail"),
    "receiver-pwm": ("receiver-type", "fail"),
    "receiver-port-missing": ("receiver-type", "fail"),
    "receiver-no-port": ("receiver-type", "unknown"),  # the console shows that there is none as it shows nothing
    "no-protocol": ("receiver-type", "unknown"),
    "receiver-other-protocol": ("receiver-type", "fail"),
    "receiver-odd-protocol": ("receiver-type", "warn"),
    "receiver-odd-kind": ("receiver-type", "unknown"),
    "order-taer": ("channel-order", "fail"),
    "order-eatr": ("channel-order", "fail"),
    "order-aert": ("channel-order", "fail"),
    "order-repeated": ("channel-order", "fail"),
    "order-missing": ("channel-order", "fail"),
    "order-empty": ("channel-order", "unknown"),
    "small-grid": ("overlay-canvas", "fail"),
    "analog-grid-on-digital": ("overlay-canvas", "fail"),
    "auto-grid-on-digital": ("overlay-canvas", "fail"),
    "digital-on-analog": ("overlay-canvas", "fail"),
    "wrong-standard": ("overlay-canvas", "fail"),
    "odd-grid": ("overlay-canvas", "fail"),
    "large-grid": ("overlay-canvas", "fail"),
    "old-firmware": ("overlay-canvas", "fail"),
    "grid-zero": ("overlay-canvas", "fail"),
    "grid-huge": ("overlay-canvas", "fail"),
    "overlay-off": ("overlay-canvas", "warn"),
    "link-other": ("overlay-canvas", "fail"),
    "two-roles": ("port-roles", "fail"),
    "receiver-and-overlay": ("port-roles", "fail"),
    "two-receivers": ("port-roles", "fail"),
    "two-overlay-links": ("port-roles", "fail"),
    "overlay-link-missing": ("port-roles", "fail"),
    "bad-baud": ("port-roles", "fail"),
    "zero-baud": ("port-roles", "fail"),
    "bad-baud-overlay": ("port-roles", "warn"),
    "malformed-baud": ("port-roles", "unknown"),
    "console-lost": ("port-roles", "fail"),
    "console-shared": ("port-roles", "fail"),
    "odd-duty": ("port-roles", "unknown"),
    "no-ports": ("port-roles", "fail"),
}
"""What one finding, of which check, each fault gives. Faults that stand not here are for checks to come."""


def sheet_for(name: str) -> BuildSheet:
    """A house's sheet for the goggles that this variant is built for."""
    house = built_in_sheets()[0]
    goggles = "hd-50x18" if "hd50" in name else "hd-53x20"
    return replace(house, built_in=False, grids={**house.grids, "digital": (GRIDS[goggles],)})


def found_on(state: BoardState, name: str) -> Report:
    return inspected(recorded(state), sheets=(sheet_for(name),))


def told(report: Report) -> list[tuple[str, str]]:
    return [(finding.check, finding.outcome.value) for finding in report.findings if finding.outcome != "pass"]


@pytest.mark.parametrize("name", board_names())
def test_a_sound_board_passes_every_check(name: str) -> None:
    report = found_on(board(name), name)
    assert report.verdict == "pass", told(report)
    assert [finding.check for finding in report.findings] == [check.id for check in CHECKS]


@pytest.mark.parametrize("fault", BOARD_FAULTS)
def test_a_fault_gives_the_one_finding_that_it_should_on_every_board(fault: str) -> None:
    names = boards_for(BOARD_FAULTS[fault])
    assert names
    for name in names:
        report = found_on(board(f"{name}+{fault}"), name)
        assert report.complete, (name, report.ended)
        expected = [FOUND[fault]] if fault in FOUND else []
        assert told(report) == expected, name


def test_every_fault_in_the_table_exists() -> None:
    assert set(FOUND) <= set(BOARD_FAULTS)


def typed(state: BoardState, lines: tuple[str, ...]) -> BoardState:
    """The board after a person typed these lines at its console and it restarted."""
    console, end = console_for(state), dialect_of(state).manner.line_end
    console.feed(end)
    for line in lines:
        console.feed(line.encode() + end)
    assert console.restart_wanted, "a remedy that sets something ends by storing it and restarting"
    return console.stored


CURED = {
    "receiver-port-unused",
    "receiver-inverted",
    "receiver-half-duplex",
    "order-taer",
    "order-eatr",
    "order-aert",
    "order-repeated",
    "order-missing",
    "small-grid",
    "analog-grid-on-digital",
    "auto-grid-on-digital",
    "wrong-standard",
    "odd-grid",
    "large-grid",
    "grid-zero",
    "grid-huge",
    "overlay-off",
    "two-receivers",
    "bad-baud",
    "zero-baud",
    "bad-baud-overlay",
    "console-shared",
    "receiver-and-overlay",
}
"""Faults whose remedy the console itself can say; the rest needs hands, or somebody who knows what is fitted."""


@pytest.mark.parametrize("fault", sorted(FOUND))
def test_typing_the_remedy_at_the_boards_own_console_cures_the_fault(fault: str) -> None:
    for name in boards_for(BOARD_FAULTS[fault]):
        state = board(f"{name}+{fault}")
        before = found_on(state, name)
        remedies = [finding.remedy.console for finding in before.findings if finding.remedy.console]
        assert bool(remedies) is (fault in CURED), name
        for lines in remedies:
            after = found_on(typed(state, lines), name)
            wrong = [finding for finding in after.findings if finding.outcome in ("fail", "unknown", "error")]
            assert [finding.summary for finding in wrong] == [], name

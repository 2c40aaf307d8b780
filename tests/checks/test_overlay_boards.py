"""Faults of the overlay on every simulated board, read back; and the remedy typed at the board's own console.

The simulator shares no code with the reader. Boards, faults and their firmwares are inventions for the demonstration.
"""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from checks.test_boards import sheet_for, typed
from propsoff import Finding
from propsoff_checks.overlay_canvas import overlay_canvas
from propsoff_checks.overlay_layout import overlay_layout
from propsoff_sim.board import BoardState
from propsoff_sim.board_faults import BOARD_FAULTS
from propsoff_sim.catalogue import board, board_names, boards_for
from tests_support.conversations import inspected, recorded
from tests_support.crafts import not_passed

BOTH = (overlay_canvas, overlay_layout)
OUTSIDE, OVERLAP = ("overlay-layout/outside", "fail"), ("overlay-layout/overlap", "fail")
SMALL, HIDDEN = ("overlay-layout/small-layout", "warn"), ("overlay-layout/required-hidden", "warn")
MISSING, NONE_SHOWN = ("overlay-layout/required-missing", "warn"), ("overlay-layout/none-shown", "warn")
ABSURD, NO_GRID = ("overlay-canvas/absurd-size", "fail"), ("overlay-layout/no-grid", "unknown")
MANY = ("overlay-layout/many-elements", "warn")

FOUND: Mapping[str, list[tuple[str, str]]] = {
    "small-grid": [("overlay-canvas/grid", "fail")],
    "odd-grid": [("overlay-canvas/grid", "fail")],
    "large-grid": [("overlay-canvas/grid", "fail")],
    "analog-grid-on-digital": [("overlay-canvas/system", "fail")],
    "auto-grid-on-digital": [("overlay-canvas/system", "fail")],
    "digital-on-analog": [("overlay-canvas/system", "fail")],
    "wrong-standard": [("overlay-canvas/rows", "fail")],
    "old-firmware": [("overlay-canvas/firmware-too-old", "fail")],
    "overlay-off": [("overlay-canvas/switched-off", "warn")],
    "link-other": [("overlay-canvas/link-in-doubt", "fail")],
    "grid-zero": [ABSURD, NO_GRID],
    "grid-huge": [ABSURD, NO_GRID],
    "layout-cramped": [SMALL],
    "layout-for-50x18": [SMALL],
    "layout-for-53x20": [OUTSIDE],
    "element-off-grid": [OUTSIDE],
    "element-left-of-grid": [OUTSIDE],
    "element-below-grid": [OUTSIDE],
    "element-wider-than-grid": [OUTSIDE],
    "element-flat": [("overlay-layout/no-width", "fail")],
    "elements-collide": [OVERLAP],
    "elements-stacked": [OVERLAP],
    "elements-crowded": [MANY, OVERLAP],
    "elements-hidden": [NONE_SHOWN],
    "no-elements": [NONE_SHOWN],
    "battery-hidden": [HIDDEN],
    "warnings-hidden": [HIDDEN],
    "link-quality-hidden": [HIDDEN],
    "battery-element-missing": [MISSING],
    "timer-element-missing": [MISSING],
    "malformed-grid": [("overlay-layout/place-unread", "unknown")],
}
SOUND = {"other-standard", "floor-firmware"}
"""Faults that nobody can see on the console, and what is none."""
BY_HAND = {
    "digital-on-analog",  # the console does not tell the camera's standard
    "old-firmware",
    "link-other",
    "element-wider-than-grid",
    "element-flat",
    "elements-crowded",
    "no-elements",
    "battery-element-missing",
    "timer-element-missing",
    "malformed-grid",
}
"""Faults that the console itself cannot cure."""


def found_on(state: BoardState, name: str) -> list[Finding]:
    """What these two checks find; the report also says that nobody examined what else the sheet expects."""
    report = inspected(recorded(state), sheets=(sheet_for(name),), checks=BOTH)
    assert report.complete, (name, report.ended)
    return [finding for finding in report.findings if finding.check in ("overlay-canvas", "overlay-layout")]


def test_the_table_names_every_fault_of_the_overlay() -> None:
    group = {fault for fault, what in BOARD_FAULTS.items() if what.group == "overlay"}
    assert group | {"link-other", "malformed-grid"} == set(FOUND) | SOUND
    assert set(FOUND) >= BY_HAND


@pytest.mark.parametrize("name", board_names())
def test_a_sound_board_passes_both(name: str) -> None:
    assert [finding.outcome for finding in found_on(board(name), name)] == ["pass", "pass"]


@pytest.mark.parametrize("fault", sorted(FOUND))
def test_a_fault_gives_the_findings_that_it_should_on_every_board(fault: str) -> None:
    names = boards_for(BOARD_FAULTS[fault])
    assert len(names) >= 6
    for name in names:
        findings = found_on(board(f"{name}+{fault}"), name)
        assert not_passed(findings) == FOUND[fault], name
        assert all(finding.because == ABSURD[0] for finding in findings if finding.code == "no-grid")


@pytest.mark.parametrize("fault", sorted(FOUND))
def test_typing_the_remedy_at_the_boards_own_console_cures_grid_and_layout_at_once(fault: str) -> None:
    for name in boards_for(BOARD_FAULTS[fault]):
        state = board(f"{name}+{fault}")
        remedies = [finding.remedy.console for finding in found_on(state, name) if finding.remedy.console]
        assert bool(remedies) is (fault not in BY_HAND), name
        for lines in remedies:
            after = found_on(typed(state, lines), name)
            assert not_passed(after) == [], (name, lines)


def test_the_lines_move_the_elements_where_they_were_meant_to_go() -> None:
    name = "ossel-hd53"
    state = board(f"{name}+layout-cramped")
    [remedy] = [finding.remedy.console for finding in found_on(state, name) if finding.remedy.console]
    moved = {each.name: (each.column, each.row) for each in typed(state, remedy).overlay.elements}
    # Two from the right and one from the bottom of 30x16 (22 + 6 = 28, row 14), and so of 53x20.
    assert moved["timer"] == (53 - 2 - 6, 20 - 2)
    assert moved["battery"] == (2, 18)
    assert moved["warnings"] == ((53 - 12) // 2, 16)

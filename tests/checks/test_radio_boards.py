"""Faults of channels, switches, failsafe, sensors and arming on every simulated board, read back and typed away.

The simulator shares no code with the reader. Boards, faults and their firmwares are inventions for the demonstration.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import pytest

from checks.test_boards import sheet_for, typed
from propsoff import BuildSheet, Finding, PlannedSwitch, SwitchPlan
from propsoff_checks.arming_blocks import arming_blocks
from propsoff_checks.channel_order import channel_order
from propsoff_checks.channel_range import channel_range
from propsoff_checks.failsafe import failsafe
from propsoff_checks.sensors import sensors
from propsoff_checks.switch_plan import switch_plan
from propsoff_sim.board import BoardState, with_raw
from propsoff_sim.board_faults import BOARD_FAULTS
from propsoff_sim.catalogue import board, board_names, boards_for
from tests_support.conversations import inspected, recorded

CHECKS = (channel_order, channel_range, switch_plan, failsafe, sensors, arming_blocks)
IDS = {check.id for check in CHECKS}
Found = tuple[str, str, str | None]


def fails(name: str, because: str | None = None) -> Found:
    return (name, "fail", because)


def warns(name: str, because: str | None = None) -> Found:
    return (name, "warn", because)


NOT_JUDGED: Found = ("channel-range", "skipped", None)
"""The sticks are not judged: by no order that anybody could trust, or without a link."""

FOUND: Mapping[str, list[Found]] = {
    "order-taer": [fails("channel-order/order"), NOT_JUDGED],
    "order-eatr": [fails("channel-order/order"), NOT_JUDGED],
    "order-aert": [fails("channel-order/order"), NOT_JUDGED],
    "order-repeated": [fails("channel-order/incomplete"), NOT_JUDGED],
    "order-missing": [fails("channel-order/incomplete"), NOT_JUDGED],
    "order-empty": [
        ("channel-order/unread", "unknown", None),
        ("channel-range/unread", "unknown", "channel-order/unread"),
    ],
    "endpoints-short": [warns("channel-range/low-end"), warns("channel-range/high-end")],
    "endpoints-reversed": [fails("channel-range/reversed")],
    "centre-off": [fails("channel-range/centre")],
    "sticks-off-centre": [fails("channel-range/centre-trim"), fails("channel-range/centre-trim")],
    "sticks-dead": [fails("channel-range/no-pulse")],
    "throttle-raised": [
        fails("channel-range/throttle-raised"),
        warns("arming-blocks/throttle-not-low", because="channel-range/throttle-raised"),
    ],
    "sticks-few": [fails("switch-plan/channel-missing")],
    "malformed-value": [("channel-range/unread", "unknown", None)],
    "no-arm-switch": [fails("switch-plan/missing-arm")],
    "no-switches": [fails("switch-plan/missing-arm")],
    "arm-span-turned": [fails("switch-plan/range-turned")],
    "arm-span-narrow": [fails("switch-plan/range-narrow")],
    "arm-always": [fails("switch-plan/arm-always")],
    "arm-on-stick": [fails("switch-plan/arm-on-stick")],
    "arm-channel-missing": [fails("switch-plan/channel-missing")],
    "arm-switch-on": [
        fails("switch-plan/arm-on"),
        warns("arming-blocks/arm-switch-on", because="switch-plan/arm-on"),
    ],
    "switches-overlap": [fails("switch-plan/overlap")],
    "failsafe-hold": [fails("failsafe/hold")],
    "failsafe-return": [fails("failsafe/return-without-positioning")],
    "failsafe-late": [fails("failsafe/late")],
    "failsafe-throttle": [fails("failsafe/throttle")],
    "value-empty": [("failsafe/unread", "unknown", None)],
    "value-negative": [fails("failsafe/delay-absurd")],
    "gyro-missing": [
        fails("sensors/gyro-missing"),
        fails("arming-blocks/gyro-missing", because="sensors/gyro-missing"),
    ],
    "accelerometer-missing": [fails("sensors/accelerometer-missing")],
    "no-link": [NOT_JUDGED],
    "tilted": [warns("arming-blocks/not-level")],
    "blocked-many": [
        NOT_JUDGED,
        warns("arming-blocks/throttle-not-low"),
        warns("arming-blocks/not-level"),
        fails("arming-blocks/gyro-missing"),
        warns("arming-blocks/arm-switch-on"),
    ],
    "odd-block": [warns("arming-blocks/unfamiliar")],
}
"""Everything that these checks find, by fault, and the cause that it is laid under."""

SOUND = {
    "no-beeper-switch",  # a matter of the build sheet
    "barometer-fitted",
    "failsafe-land",  # with its throttle closed, which is what drop does as well
    "ready-to-arm",
}
GROUPS = {"channels", "switches", "failsafe", "sensors", "arming"}

CURED = {
    "order-taer",
    "order-eatr",
    "order-aert",
    "order-repeated",
    "order-missing",
    "endpoints-short",
    "endpoints-reversed",
    "centre-off",
    "arm-span-turned",
    "failsafe-hold",
    "failsafe-return",
    "failsafe-late",
    "failsafe-throttle",
    "value-negative",
}
"""Faults whose remedy the console itself can say. The rest needs hands, the transmitter, or a house plan."""

HOUSE_PLAN = SwitchPlan(
    required=("arm", "level", "beeper"),
    planned={
        "arm": PlannedSwitch(5, 1700, 2100),
        "level": PlannedSwitch(6, 1300, 1700),
        "turtle": PlannedSwitch(8, 1700, 2100),
    },
)
"""What the sound boards have: an invention for these tests."""


def found_on(state: BoardState, sheet: BuildSheet) -> list[Finding]:
    """What these checks find; the report also says that nobody examined what else the sheet expects."""
    report = inspected(recorded(state), sheets=(sheet,), checks=CHECKS)
    assert report.complete, report.ended
    return [finding for finding in report.findings if finding.check in IDS]


def told(findings: list[Finding]) -> list[Found]:
    return [(one.name, one.outcome.value, one.because) for one in findings if one.outcome != "pass"]


def planned(name: str) -> BuildSheet:
    return replace(sheet_for(name), switches=HOUSE_PLAN)


def test_the_table_names_every_fault_of_these_groups() -> None:
    group = {id_ for id_, fault in BOARD_FAULTS.items() if fault.group in GROUPS}
    assert group == (set(FOUND) | SOUND) - {"malformed-value", "value-empty", "value-negative"}
    assert set(FOUND) >= CURED


@pytest.mark.parametrize("name", board_names())
def test_a_sound_board_passes_with_and_without_a_house_plan(name: str) -> None:
    for sheet in (sheet_for(name), planned(name)):
        findings = found_on(board(name), sheet)
        assert [(one.check, one.outcome.value) for one in findings] == [(check.id, "pass") for check in CHECKS]


@pytest.mark.parametrize("fault", sorted({*FOUND, *SOUND}))
def test_a_fault_gives_exactly_its_findings_on_every_board(fault: str) -> None:
    names = boards_for(BOARD_FAULTS[fault])
    assert len(names) == 24
    for name in names:
        assert told(found_on(board(f"{name}+{fault}"), sheet_for(name))) == FOUND.get(fault, []), name


def test_every_other_fault_is_none_of_these_checks() -> None:
    mine = {*FOUND, *SOUND}
    for fault in sorted({*BOARD_FAULTS} - mine):
        name = boards_for(BOARD_FAULTS[fault])[0]
        assert told(found_on(board(f"{name}+{fault}"), sheet_for(name))) == [], fault


@pytest.mark.parametrize("fault", sorted(FOUND))
def test_typing_the_remedy_at_the_boards_own_console_cures_the_fault(fault: str) -> None:
    for name in boards_for(BOARD_FAULTS[fault]):
        state = board(f"{name}+{fault}")
        remedies = [one.remedy.console for one in found_on(state, sheet_for(name)) if one.remedy.console]
        assert bool(remedies) is (fault in CURED), name
        for lines in remedies:
            state = typed(state, lines)
        if remedies:
            assert told(found_on(state, sheet_for(name))) == [], name


@pytest.mark.parametrize(
    "fault", ["arm-span-turned", "arm-span-narrow", "arm-always", "arm-on-stick", "arm-channel-missing"]
)
def test_with_a_house_plan_every_console_is_told_where_the_arm_switch_belongs(fault: str) -> None:
    for name in boards_for(BOARD_FAULTS[fault]):
        state, sheet = board(f"{name}+{fault}"), planned(name)
        findings = found_on(state, sheet)
        assert told(findings) == FOUND[fault], name
        [lines] = [finding.remedy.console for finding in findings if finding.remedy.console]
        after = typed(state, lines)
        assert told(found_on(after, sheet)) == [], (name, lines)
        assert after.switches == board(name).switches


def test_with_a_house_plan_a_switch_that_was_moved_goes_back_and_a_missing_one_is_missed() -> None:
    for name in board_names():
        state, sheet = board(f"{name}+switches-overlap"), planned(name)
        findings = found_on(state, sheet)
        assert [one[0] for one in told(findings)] == ["switch-plan/off-plan", "switch-plan/overlap"]
        [lines] = [finding.remedy.console for finding in findings if finding.remedy.console]
        assert told(found_on(typed(state, lines), sheet)) == [], (name, lines)
        missing = told(found_on(board(f"{name}+no-beeper-switch"), sheet))
        assert missing == [fails("switch-plan/missing-beeper")]


def test_readings_that_are_none_are_unknown_and_the_ends_are_still_judged() -> None:
    name = "ossel-hd53"
    state = with_raw(board(name), "channels.live", "15oo 1500 1000 1500")
    assert told(found_on(state, sheet_for(name))) == [("channel-range/unread", "unknown", None)]
    state = with_raw(board(f"{name}+centre-off"), "channels.live", "15oo 1500 1000 1500")
    assert told(found_on(state, sheet_for(name))) == [
        ("channel-range/unread", "unknown", None),
        fails("channel-range/centre"),
    ]

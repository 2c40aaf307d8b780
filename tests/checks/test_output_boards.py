"""Faults of firmware, video link, battery and motors on the simulated boards, read back from their own consoles.

The simulator shares no code with the reader. Boards, faults and their firmwares are inventions for the demonstration.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import pytest

from checks.test_boards import sheet_for, typed
from propsoff import BuildSheet, Finding
from propsoff.sheets.expect import Expected, Range
from propsoff_checks.battery_limits import battery_limits
from propsoff_checks.firmware_level import firmware_level
from propsoff_checks.motor_output import motor_output
from propsoff_checks.overlay_canvas import overlay_canvas
from propsoff_checks.video_link import video_link
from propsoff_sim.board import BoardState
from propsoff_sim.board_faults import BOARD_FAULTS
from propsoff_sim.catalogue import board, board_names, boards_for
from tests_support.conversations import inspected, recorded
from tests_support.crafts import not_passed

FOUR = (firmware_level, video_link, battery_limits, motor_output)
IDS = {check.id for check in FOUR}
Found = list[tuple[str, str]]

FOUND: Mapping[str, Found] = {
    "old-firmware": [("firmware-level/below-digital-grid", "fail")],
    "frequency-off": [("video-link/other-frequency", "fail")],
    "channel-outside": [],
    "band-unknown": [("video-link/unknown-band", "warn")],
    "power-high": [("video-link/bench-power", "warn")],
    "link-other": [("video-link/link-in-doubt", "fail")],
    "cells-wrong": [("battery-limits/above-full", "fail")],
    "cells-zero": [("battery-limits/absurd-cells", "fail")],
    "pack-flat": [("battery-limits/below-low", "fail")],
    "pack-absent": [],
    "scale-off": [("battery-limits/below-warning", "warn")],
    "cell-low-deep": [("battery-limits/below-floor", "warn")],
    "cell-limits-crossed": [("battery-limits/limits-crossed", "fail")],
    "cell-full-high": [("battery-limits/high-full", "warn")],
    "malformed-volts": [("battery-limits/unread", "unknown")],
    "motors-analog": [("motor-output/pulses", "warn")],
    "dshot-too-slow": [("motor-output/frame-too-long", "fail")],
    "two-way-on-pwm": [("motor-output/pulses", "warn"), ("motor-output/two-way-without-dshot", "fail")],
    "no-two-way": [],
    "poles-odd": [("motor-output/odd-poles", "fail")],
    "poles-other": [],
    "idle-zero": [("motor-output/no-idle", "fail")],
    "idle-high": [("motor-output/high-idle", "warn")],
    "motors-reversed": [],
    "loop-slow": [],
    "value-huge": [("motor-output/unread", "unknown")],
}
"""What these four checks find where the sheet says nothing about it; an empty list is what no console shows."""

HOUSE: Mapping[str, str | int | float | bool] = {
    "video.power_mw": 25.0,
    "video.frequency_mhz": 5806,
    "battery.cells": 6,
    "battery.scale": 11.0,
    "battery.cell_low": 3.3,
    "battery.cell_warn": 3.5,
    "battery.cell_full": 4.2,
    "motors.protocol": "dshot600",
    "motors.bidirectional": True,
    "motors.poles": 14,
    "motors.idle_percent": 5.5,
    "motors.reversed": False,
    "motors.loop_hz": 8000,
}
AGAINST_A_SHEET: Mapping[str, Found] = {
    "frequency-off": [("video-link/frequency", "fail"), ("video-link/other-frequency", "fail")],
    "channel-outside": [("video-link/frequency", "fail"), ("video-link/outside-region", "fail")],
    "power-high": [
        ("video-link/power", "fail"),
        ("video-link/bench-power", "warn"),
        ("video-link/region-power", "fail"),
    ],
    "cells-wrong": [("battery-limits/cells", "fail")],
    "cells-zero": [("battery-limits/cells", "fail"), ("battery-limits/absurd-cells", "fail")],
    "pack-flat": [("battery-limits/below-low", "fail")],
    "pack-absent": [],
    "scale-off": [("battery-limits/scale", "fail")],
    "cell-low-deep": [("battery-limits/low", "fail"), ("battery-limits/below-floor", "fail")],
    "cell-limits-crossed": [
        ("battery-limits/warning", "fail"),
        ("battery-limits/limits-crossed", "fail"),
        ("battery-limits/late-warning", "warn"),
    ],
    "cell-full-high": [("battery-limits/full", "fail"), ("battery-limits/high-full", "warn")],
    "motors-analog": [
        ("motor-output/protocol", "fail"),
        ("motor-output/two-way", "fail"),
        ("motor-output/pulses", "warn"),
    ],
    "dshot-too-slow": [
        ("motor-output/protocol", "fail"),
        ("motor-output/loop", "fail"),
        ("motor-output/frame-too-long", "fail"),
    ],
    "two-way-on-pwm": [
        ("motor-output/protocol", "fail"),
        ("motor-output/pulses", "warn"),
        ("motor-output/two-way-without-dshot", "fail"),
    ],
    "no-two-way": [("motor-output/two-way", "fail")],
    "poles-odd": [("motor-output/poles", "fail"), ("motor-output/odd-poles", "fail")],
    "poles-other": [("motor-output/poles", "fail")],
    "idle-zero": [("motor-output/idle", "fail"), ("motor-output/no-idle", "fail")],
    "idle-high": [("motor-output/idle", "fail"), ("motor-output/high-idle", "warn")],
    "motors-reversed": [("motor-output/direction", "fail")],
    "loop-slow": [("motor-output/loop", "fail")],
    "value-huge": [("motor-output/unread", "unknown")],
}
CURED = set(AGAINST_A_SHEET) - {"pack-flat", "pack-absent", "scale-off", "value-huge"}
"""Faults that the console cures once a sheet says what is right. (A simulated voltage does not follow the divider.)"""


def house(name: str) -> BuildSheet:
    """A sheet that names everything that these checks read."""
    wanted = {fact: value for fact, value in HOUSE.items() if "analog" in name or not fact.startswith("video.")}
    expectations = {fact: Expected((value,), tolerance=0.01) for fact, value in wanted.items()}
    since = {"firmware.version": Expected((Range("0.18.0", None),))}
    sheet = sheet_for(name)
    return replace(
        sheet, expectations={**sheet.expectations, **expectations, **since}, region="eu", chemistry="lipo", match=()
    )


def found_on(state: BoardState, sheet: BuildSheet) -> list[Finding]:
    report = inspected(recorded(state), sheets=(sheet,), checks=FOUR)
    assert report.complete, report.ended
    return [finding for finding in report.findings if finding.check in IDS]


def one_of_each_firmware(fault: str) -> list[str]:
    """The first and the last board of each firmware that can have it: no need to try all 24 variants twice."""
    names = boards_for(BOARD_FAULTS[fault])
    return [
        name
        for firmware in ("ossel", "brindle", "corvane")
        for name in sorted({each for each in names if each.startswith(firmware)})[:: max(1, len(names) // 3 - 1)]
    ]


@pytest.mark.parametrize("name", board_names())
def test_a_sound_board_passes_all_four_with_a_sheet_and_without(name: str) -> None:
    assert [finding.outcome for finding in found_on(board(name), sheet_for(name))] == ["pass"] * 4
    assert not_passed(found_on(board(name), house(name))) == []


def test_the_table_names_every_fault_of_video_battery_and_motors() -> None:
    groups = {fault for fault, what in BOARD_FAULTS.items() if what.group in ("video", "battery", "motors")}
    assert groups | {"old-firmware", "malformed-volts", "value-huge"} == set(FOUND)
    assert set(AGAINST_A_SHEET) <= set(FOUND)


@pytest.mark.parametrize("fault", sorted(FOUND))
def test_a_fault_gives_exactly_the_findings_that_it_should(fault: str) -> None:
    names = boards_for(BOARD_FAULTS[fault])
    assert len(names) >= 12
    for name in names:
        assert not_passed(found_on(board(f"{name}+{fault}"), sheet_for(name))) == FOUND[fault], name


@pytest.mark.parametrize("fault", sorted(AGAINST_A_SHEET))
def test_a_fault_against_a_sheet_is_one_thing_to_do_and_its_effects(fault: str) -> None:
    for name in one_of_each_firmware(fault):
        findings = found_on(board(f"{name}+{fault}"), house(name))
        assert not_passed(findings) == AGAINST_A_SHEET[fault], name
        roots = [finding for finding in findings if finding.because is None and finding.outcome != "pass"]
        both = {"dshot-too-slow": 2, "motors-analog": 2, "channel-outside": 1, "pack-absent": 0}
        assert len(roots) == both.get(fault, 1), (name, [finding.name for finding in roots])


@pytest.mark.parametrize("fault", sorted(AGAINST_A_SHEET))
def test_typing_the_remedies_at_the_boards_own_console_cures_the_fault(fault: str) -> None:
    for name in one_of_each_firmware(fault):
        state, sheet = board(f"{name}+{fault}"), house(name)
        for _ in range(3):  # one remedy after another, each followed by a new inspection
            wrong = [finding for finding in found_on(state, sheet) if finding.remedy.console and not finding.because]
            if not wrong:
                break
            state = typed(state, wrong[0].remedy.console)
        left = not_passed(found_on(state, sheet))
        if fault == "channel-outside":  # the frequency is put right; which band and channel that is, hands must set
            assert left == [("video-link/other-frequency", "fail")], name
        else:
            assert (left == []) is (fault in CURED or fault == "pack-absent"), (name, left)


def test_old_firmware_explains_what_the_overlay_lacks() -> None:
    for name in one_of_each_firmware("old-firmware"):
        state = board(f"{name}+old-firmware")
        report = inspected(recorded(state), sheets=(sheet_for(name),), checks=(firmware_level, overlay_canvas))
        wrong = {finding.name: finding.because for finding in report.findings if finding.check != "build-sheet"}
        assert wrong["firmware-level/below-digital-grid"] is None
        assert wrong["overlay-canvas/firmware-too-old"] == "firmware-level/below-digital-grid"


def test_corvanes_62_us_meet_a_sheet_that_says_16_khz() -> None:
    from propsoff_sim.board import with_facts

    state = with_facts(board("corvane-hd53"), {"motors.loop_hz": 16000})
    sheet = replace(sheet_for("corvane-hd53"), expectations={"motors.loop_hz": Expected((16000,))})
    findings = [finding for finding in found_on(state, sheet) if finding.check == "motor-output"]
    assert [finding.outcome.value for finding in findings] == ["pass"]
    assert "of the 62.0 us of a loop" in findings[0].summary


def test_a_neighbour_on_the_same_channel_is_found_from_the_captures_header() -> None:
    capture = replace(recorded("ossel-analog"), neighbours={"Grey Heron, serial number H-1": 5806})
    report = inspected(capture, sheets=(sheet_for("ossel-analog"),), checks=(video_link,))
    [finding] = [one for one in report.findings if one.check == "video-link"]
    assert (finding.code, finding.outcome.value) == ("same-channel", "warn")
    assert "Grey Heron, serial number H-1" in finding.summary

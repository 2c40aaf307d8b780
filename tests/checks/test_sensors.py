"""sensors: what must be there, and what the sheet says is there."""

from __future__ import annotations

from itertools import product

import pytest

from propsoff import Anything
from propsoff_checks.sensors import sensors
from tests_support.crafts import Bench, names, outcomes, told

RIGHT: dict[str, object] = {
    "sensors.gyro": "found",
    "sensors.accelerometer": "found",
    "sensors.barometer": "missing",
    "failsafe.action": "drop",
}
LEVEL = ({"function": "LEVEL", "channel": 6, "from_us": 1300, "to_us": 1700},)
BEEPER = ({"function": "beeper", "channel": 7, "from_us": 1700, "to_us": 2100},)


def test_a_craft_with_gyro_and_accelerometer_passes_and_they_are_named(bench: Bench) -> None:
    [finding] = bench.run(sensors, RIGHT)
    assert (finding.outcome, finding.summary) == ("pass", "found: gyro and accelerometer")


def test_a_craft_without_a_gyro_cannot_fly(bench: Bench) -> None:
    [finding] = bench.run(sensors, {**RIGHT, "sensors.gyro": "missing"})
    assert (finding.code, finding.outcome) == ("gyro-missing", "fail")
    assert "cannot fly without a gyro" in finding.why
    assert finding.explains == ("arming-blocks/gyro-missing",)
    allowed = bench.sheet(expect={"sensors.gyro": ("found", "missing")})
    assert names(bench.run(sensors, {**RIGHT, "sensors.gyro": "missing"}, sheet=allowed)) == [("gyro-missing", "fail")]


@pytest.mark.parametrize(
    ("switches", "action", "outcome", "needs"),
    [
        (LEVEL, "drop", "fail", "self-levelling"),
        (BEEPER, "drop", "warn", ""),
        (None, None, "warn", ""),
        (BEEPER, "hold", "warn", ""),
        (BEEPER, "land", "fail", "the failsafe, which is to land"),
        (BEEPER, "return", "fail", "the failsafe, which is to return"),
        (LEVEL, "land", "fail", "self-levelling, which is on a switch and the failsafe"),
    ],
)
def test_the_accelerometer_is_needed_by_what_levels_the_craft(
    bench: Bench, switches: tuple[dict[str, object], ...] | None, action: str | None, outcome: str, needs: str
) -> None:
    changes = {**RIGHT, "sensors.accelerometer": "missing", "failsafe.action": action}
    [finding] = bench.run(sensors, changes, switches=switches)
    assert (finding.code, finding.outcome) == ("accelerometer-missing", outcome)
    assert needs in finding.summary
    assert finding.summary.endswith("needs it" if needs else "was not found")
    assert "take self-levelling off its switch" in told([finding])


def test_a_sheet_may_do_without_an_accelerometer_unless_something_needs_it(bench: Bench) -> None:
    sheet = bench.sheet(expect={"sensors.accelerometer": "missing"})
    missing = {**RIGHT, "sensors.accelerometer": "missing"}
    assert names(bench.run(sensors, missing, sheet=sheet, switches=BEEPER)) == [(None, "pass")]
    assert names(bench.run(sensors, missing, sheet=sheet, switches=LEVEL)) == [("accelerometer-missing", "fail")]


def test_the_barometer_is_a_matter_of_the_sheet(bench: Bench) -> None:
    for state in ("found", "missing", None):
        assert names(bench.run(sensors, {**RIGHT, "sensors.barometer": state})) == [(None, "pass")]
    fitted = bench.sheet(expect={"sensors.barometer": "found"})
    [finding] = bench.run(sensors, RIGHT, sheet=fitted)
    assert (finding.code, finding.outcome) == ("barometer-missing", "fail")
    assert "the build sheet asks for it" in finding.summary
    assert "self-levelling" not in told([finding])
    absent = bench.sheet(expect={"sensors.barometer": "missing"})
    [finding] = bench.run(sensors, {**RIGHT, "sensors.barometer": "found"}, sheet=absent)
    assert (finding.code, finding.outcome) == ("barometer-unexpected", "fail")
    whatever = bench.sheet(expect={"sensors.barometer": Anything()})
    assert names(bench.run(sensors, RIGHT, sheet=whatever)) == [(None, "pass")]


@pytest.mark.parametrize("name", ["gyro", "accelerometer", "barometer"])
def test_a_sensor_that_the_sheet_expects_and_nobody_read_is_unknown(bench: Bench, name: str) -> None:
    sheet = bench.sheet(expect={f"sensors.{name}": "found"})
    [finding] = bench.run(sensors, {**RIGHT, "sensors.barometer": "found", f"sensors.{name}": None}, sheet=sheet)
    assert (finding.code, finding.outcome) == ("unread", "unknown")
    assert f"sensors.{name}" in finding.summary


def test_what_is_needed_and_was_not_read_is_unknown(bench: Bench) -> None:
    assert names(bench.run(sensors)) == [("unread", "unknown")]
    assert names(bench.run(sensors, {**RIGHT, "sensors.gyro": None})) == [("unread", "unknown")]
    tilt = {**RIGHT, "sensors.accelerometer": None}
    assert names(bench.run(sensors, tilt, switches=BEEPER)) == [(None, "pass")]
    [finding] = bench.run(sensors, tilt, switches=LEVEL)
    assert (finding.code, "sensors.accelerometer" in finding.summary) == ("unread", True)


def test_of_all_states_only_sound_ones_pass(bench: Bench) -> None:
    states = ("found", "missing", None)
    for gyro, tilt, air in product(states, repeat=3):
        changes = {**RIGHT, "sensors.gyro": gyro, "sensors.accelerometer": tilt, "sensors.barometer": air}
        passes = outcomes(bench.run(sensors, changes, switches=LEVEL)) == ["pass"]
        assert passes is (gyro == tilt == "found")


def test_a_missing_sensor_is_looked_for_again_before_the_board_is_replaced(bench: Bench) -> None:
    findings = bench.run(sensors, {**RIGHT, "sensors.gyro": "missing", "sensors.accelerometer": "missing"})
    assert names(findings) == [("gyro-missing", "fail"), ("accelerometer-missing", "warn")]
    for finding in findings:
        assert "connect again without moving the craft" in finding.remedy.steps[0]
        assert "replaced" in finding.remedy.steps[1]
        assert finding.remedy.console == ()  # what was measured nobody can set
        assert (finding.expected, finding.actual) == ("found", "missing")
        assert "Propellers off" in (finding.caution or "")
        assert finding.evidence

"""The level of the firmware against the sheet and against what a digital link needs."""

from __future__ import annotations

from typing import Any

import pytest

from propsoff import Range, at_least
from propsoff.inspection.causes import under_their_causes
from propsoff.sheets.expect import Anything, Expected, Pattern
from propsoff_checks.firmware_level import firmware_level
from propsoff_checks.levels import level, wanted
from propsoff_checks.overlay_canvas import overlay_canvas
from propsoff_checks.words import PROPELLERS_OFF
from tests_support.crafts import Bench, told


def found(bench: Bench, version: str | None, expected: Any, fact: str = "firmware.version") -> tuple[str, str | None]:
    changes: dict[str, object] = {fact: version}
    [one] = bench.run(firmware_level, changes, sheet=bench.sheet(expect={fact: expected}))
    return one.outcome.value, one.code


@pytest.mark.parametrize(
    ("version", "expected", "answer"),
    [
        ("4.2.0", Range("4.1.0", None), ("pass", None)),
        ("4.1.0", Range("4.1.0", None), ("pass", None)),
        ("4.0.9", Range("4.1.0", None), ("fail", "too-old")),
        ("1.9.2", Range("1.10.0", None), ("fail", "too-old")),  # by number, not by letter
        ("4.1.0-rc1", Range("4.1.0", None), ("fail", "too-old")),  # PEP 440: a candidate is before its release
        ("4.2.0", Range(None, "4.1.9"), ("fail", "too-new")),
        ("4.1.9", Range(None, "4.1.9"), ("pass", None)),
        ("4.3.0", Range("4.1.0", "4.2.99"), ("fail", "too-new")),
        ("4.0.0", Range("4.1.0", "4.2.99"), ("fail", "too-old")),
        ("4.1.0-field7", Range("4.1.0", None), ("unknown", "unclear")),
        ("4.2.0-field7", Range("4.1.0", None), ("pass", None)),
        ("4.0.9-field7", Range("4.1.0", None), ("fail", "too-old")),
        ("4.1.0-field7", Range("4.0", "4.1.0"), ("unknown", "unclear")),
        ("2026-03-14", Range("4.1.0", None), ("unknown", "unclear")),  # a date is no version
        ("4.2", "4.2.0", ("pass", None)),  # the same version, written shorter
        ("v4.2.0", "4.2.0", ("pass", None)),
        ("4.2.0", ("4.1.0", "4.2.0"), ("pass", None)),
        ("4.1.5", ("4.1.0", "4.2.0"), ("fail", "other")),
        ("4.0.0", ("4.1.0", "4.2.0"), ("fail", "too-old")),
        ("4.3.0", ("4.1.0", "4.2.0"), ("fail", "too-new")),
        ("summer", "4.2.0", ("unknown", "unclear")),
        ("4.1.5", Pattern("4.2.*"), ("fail", "other")),
        ("4.2.5", Pattern("4.2.*"), ("pass", None)),
        ("summer", Anything(), ("pass", None)),
        (None, Range("4.1.0", None), ("unknown", "unread")),
        (None, Anything(), ("unknown", "unread")),
    ],
)
def test_the_version_against_floor_ceiling_and_list(
    bench: Bench, version: str | None, expected: Any, answer: tuple[str, str | None]
) -> None:
    bench.tongue.grid_since = None
    assert found(bench, version, expected) == answer


@pytest.mark.parametrize(
    ("built", "expected", "answer"),
    [
        ("2026-03-14", Range("2026-01-01", None), ("pass", None)),
        ("14.03.2026", Range("2026-01-01", None), ("pass", None)),
        ("31.12.2025", Range("2026-01-01", None), ("fail", "built-too-old")),
        ("Mar 14 2026", Range(None, "2026-03-01"), ("fail", "built-too-new")),
        ("2026-03-14", Range("4.1.0", None), ("unknown", "built-unclear")),
        ("03/04/2026", Range("2026-01-01", None), ("unknown", "built-unclear")),
        ("2026-03-14", ("2026-03-13", "2026-03-15"), ("fail", "built-other")),
        (None, Range("2026-01-01", None), ("unknown", "unread")),
    ],
)
def test_the_build_date_is_compared_as_a_date(
    bench: Bench, built: str | None, expected: Any, answer: tuple[str, str | None]
) -> None:
    assert found(bench, built, expected, "firmware.built") == answer


def test_without_a_word_of_the_sheet_it_names_the_level_and_passes(bench: Bench) -> None:
    [one] = bench.run(firmware_level, {"firmware.built": "2026-03-14"})
    assert one.outcome == "pass"
    assert "Invented 4.2.0 of 2026-03-14" in one.summary
    assert "asks for no level" in one.summary


def test_a_version_that_was_not_read_never_passes(bench: Bench) -> None:
    [one] = bench.run(firmware_level, {"firmware.version": None, "video.link": "analog"})
    assert (one.outcome.value, one.code) == ("unknown", "unread")


def test_another_family_is_said_alone_since_its_versions_mean_something_else(bench: Bench) -> None:
    sheet = bench.sheet(expect={"firmware.name": "Ossel", "firmware.version": Range("9.0", None)})
    [one] = bench.run(firmware_level, sheet=sheet)
    assert (one.outcome.value, one.code, one.actual) == ("fail", "other-firmware", "Invented")
    unread = bench.run(firmware_level, {"firmware.name": None}, sheet=sheet)
    assert [each.code for each in unread] == ["unread", "too-old"]


def test_a_digital_link_below_the_grids_level_is_the_cause_that_the_overlay_shows(bench: Bench) -> None:
    changes: dict[str, object] = {"firmware.version": "4.0.3", "overlay.system": "auto"}
    mine = bench.run(firmware_level, changes)
    grouped = under_their_causes([*mine, *bench.run(overlay_canvas, changes)])
    assert [each.name for each in grouped] == ["firmware-level/below-digital-grid", "overlay-canvas/firmware-too-old"]
    assert grouped[1].because == grouped[0].name
    assert "4.1.0 or newer" in told(mine)
    assert at_least("4.1.0", "4.1.0")
    [exactly] = bench.run(firmware_level, {"firmware.version": "4.1.0"})
    assert exactly.outcome == "pass"


def test_a_floor_of_the_sheet_and_the_grids_level_are_one_thing_to_do(bench: Bench) -> None:
    sheet = bench.sheet(expect={"firmware.version": Range("4.2.0", None)})
    [one] = bench.run(firmware_level, {"firmware.version": "4.0.3"}, sheet=sheet)
    assert (one.code, one.explains) == ("too-old", ("overlay-canvas/firmware-too-old",))
    assert "digital grid, which needs 4.1.0" in one.why
    [analog] = bench.run(firmware_level, {"firmware.version": "4.0.3", "video.link": "analog"}, sheet=sheet)
    assert (analog.code, analog.explains) == ("too-old", ())
    assert "grid" not in analog.why


def test_an_analogue_link_needs_no_digital_grid(bench: Bench) -> None:
    [one] = bench.run(firmware_level, {"firmware.version": "4.0.3", "video.link": "analog"})
    assert one.outcome == "pass"


def test_whether_the_grids_level_is_reached_may_be_undecided(bench: Bench) -> None:
    [one] = bench.run(firmware_level, {"firmware.version": "4.1.0-field7"})
    assert (one.outcome.value, one.code) == ("unknown", "grid-unclear")
    bench.tongue.grid_since = None
    [one] = bench.run(firmware_level, {"firmware.version": "4.1.0-field7"})
    assert one.outcome == "pass"
    [one] = bench.run(firmware_level, {"firmware.version": "4.1.0-field7"}, tongue=None)
    assert one.outcome == "pass"


def test_an_spi_receiver_has_its_firmware_from_the_flight_controller(bench: Bench) -> None:
    spi: dict[str, object] = {"receiver.kind": "spi", "firmware.version": "4.0.3"}
    [one] = bench.run(firmware_level, {**spi, "video.link": "analog"})
    assert "receiver on the board" in one.summary
    [one] = bench.run(firmware_level, spi)
    assert "bind again" in told([one])
    [serial] = bench.run(firmware_level, {"firmware.version": "4.0.3"})
    assert "receiver" not in told([serial])


def test_what_is_to_be_done_names_the_level_and_the_settings_first(bench: Bench) -> None:
    sheet = bench.sheet(expect={"firmware.version": Range("5.0.0", "5.9")})
    [one] = bench.run(firmware_level, sheet=sheet)
    assert one.remedy.steps[0].startswith("Write down the settings. Bring the firmware to 5.0.0 or newer, at most 5.9")
    assert PROPELLERS_OFF in (one.caution or "")
    sheet = bench.sheet(expect={"firmware.version": Range("4.0", "4.1.9")})
    [one] = bench.run(firmware_level, sheet=sheet)
    assert "Bring the firmware back to 4.1.9 or older, at least 4.0" in one.remedy.steps[0]
    assert one.evidence[0].text == "firmware.version = 4.2.0"


def test_levels_and_their_words() -> None:
    assert level("4.0", Expected((Range("4.1"), Range("5.1")))) == "old"
    assert level("4.0", Expected((Range("4.1"), Range(None, "3.0")))) == "other"
    assert level("4.0", Expected((Range("4.1"), "summer"))) == "unclear"
    assert level("4.0", Expected((Pattern("5.*"),))) == "other"
    assert level("4.0", Expected((5,))) == "other"
    assert level("4.2", Expected((Range(4, None),))) == "fits"
    assert wanted(Expected((Range("4.1"),)), "old") == "4.1 or newer"
    assert wanted(Expected((Range(None, "4.1"),)), "new") == "4.1 or older"
    assert wanted(Expected(("4.1", "4.2")), "other") == "4.1 or 4.2"
    assert wanted(Expected(("4.1",)), "old") == "4.1"


@pytest.mark.parametrize(
    ("expect", "asked"),
    [
        ({"firmware.name": "Invented"}, True),
        ({"firmware.version": "4.2.0"}, True),
        ({"firmware.built": "2026-03-14"}, True),
        ({"video.link": "digital"}, False),
    ],
)
def test_a_pass_says_whether_the_sheet_asked_for_any_of_it(
    bench: Bench, expect: dict[str, object], asked: bool
) -> None:
    [one] = bench.run(firmware_level, {"firmware.built": "2026-03-14"}, sheet=bench.sheet(expect=expect))
    assert (one.outcome.value, one.actual) == ("pass", "4.2.0")
    assert ("asks for no level" not in one.summary) is asked


def test_a_firmware_without_a_name_is_told_by_its_version(bench: Bench) -> None:
    [one] = bench.run(firmware_level, {"firmware.name": None})
    assert one.outcome.value == "pass"
    assert one.summary.startswith("4.2.0")


def test_every_way_to_other_firmware_warns_of_the_receiver_on_the_board(bench: Bench) -> None:
    for expect in ({"firmware.name": "Ossel"}, {"firmware.version": Range("5.0", None)}):
        [one] = bench.run(firmware_level, {"receiver.kind": "spi"}, sheet=bench.sheet(expect=expect))
        assert [("bind again" in step) for step in one.remedy.steps] == [False, True]
        [one] = bench.run(firmware_level, sheet=bench.sheet(expect=expect))
        assert len(one.remedy.steps) == 1


def test_the_grids_level_is_told_apart_from_a_date_that_is_too_old(bench: Bench) -> None:
    sheet = bench.sheet(expect={"firmware.built": Range("2026-01-01", None)})
    changes: dict[str, object] = {"firmware.version": "4.0.3", "firmware.built": "2025-12-31"}
    grid, date = bench.run(firmware_level, changes, sheet=sheet)
    assert (grid.code, grid.expected, grid.actual) == ("below-digital-grid", "4.1.0 or newer", "4.0.3")
    assert (date.code, date.actual, date.explains) == ("built-too-old", "2025-12-31", ())
    assert "grid" not in date.why
    unread = bench.run(firmware_level, {**changes, "firmware.version": None}, sheet=sheet)
    assert [one.code for one in unread] == ["unread", "built-too-old"]


@pytest.mark.parametrize(
    ("expected", "bring"),
    [
        (Range("5.0.0", "5.9"), "5.0.0 or newer, at most 5.9"),
        (Range("5.0.0", None), "5.0.0 or newer,"),
        (Range(None, "4.1.9"), "4.1.9 or older,"),
        (("4.1.0", "4.3.0"), "4.1.0 or 4.3.0,"),
    ],
)
def test_the_step_names_what_to_bring_it_to(bench: Bench, expected: Any, bring: str) -> None:
    [one] = bench.run(firmware_level, sheet=bench.sheet(expect={"firmware.version": expected}))
    assert bring in one.remedy.steps[0]
    assert one.actual == "4.2.0"
    assert "4.2.0" in one.summary
    assert (one.expected or "?") in one.summary


def test_what_one_side_of_a_range_leaves_undecided_is_not_called_old_or_new() -> None:
    assert level("4.1", Expected((Range("4.1", "summer"),))) == "unclear"
    assert level("4.1", Expected((Range("summer", "4.1"),))) == "unclear"
    assert level("4.0", Expected((Range("4.1", "summer"),))) == "old"
    assert level("4.2", Expected((Range("summer", "4.1"),))) == "new"
    assert level("4.2", Expected((Range(None, "summer"),))) == "unclear"
    assert level("4.2", Expected((Range("summer", None),))) == "unclear"
    assert level("4.2", Expected((Range(None, 5),))) == "fits"  # a sheet may write a version as a number
    assert level("4.2", Expected((Range(4, 5),))) == "fits"
    assert level("6.2", Expected((Range(None, 5),))) == "new"


def test_what_fits_one_of_several_fits_and_what_may_fit_one_is_unclear() -> None:
    assert level("4.2", Expected(("4.2.0", "summer"))) == "fits"
    assert level("4.2", Expected(("4.1", "4.2.0"))) == "fits"
    assert level("4.2", Expected(("summer", "4.1", Pattern("5.*")))) == "unclear"
    assert level("4.2", Expected(("4.1", "4.3"))) == "other"
    assert level("4.2", Expected(("4.1", Range(None, "4.1.9")))) == "new"


def test_of_several_allowed_levels_all_are_named() -> None:
    assert wanted(Expected((Range("4.1"), Range("5.1"))), "old") == "at least 4.1 or at least 5.1"
    assert wanted(Expected((Range(None, "4.1"), Range(None, "3.1"))), "new") == "at most 4.1 or at most 3.1"
    assert wanted(Expected((Range("4.1", "4.5"),)), "unclear") == "4.1 to 4.5"
    assert wanted(Expected((Range("4.1", "4.5"),)), "new") == "4.5 or older, at least 4.1"


@pytest.mark.parametrize(
    ("expected", "word"),
    [(Range("5.0", None), "older than"), (Range(None, "4.1"), "newer than"), (("4.1.0", "4.3.0"), ", where")],
)
def test_the_summary_says_on_which_side_it_is_wrong(bench: Bench, expected: Any, word: str) -> None:
    [one] = bench.run(firmware_level, sheet=bench.sheet(expect={"firmware.version": expected}))
    assert [each for each in ("older than", "newer than", ", where") if each in one.summary] == [word]

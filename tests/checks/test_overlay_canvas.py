"""overlay-canvas: grids against links, standards and goggles."""

from __future__ import annotations

from typing import Any

import pytest

from propsoff import Size
from propsoff_checks.canvas import BY_STANDARD, DIGITAL, NTSC, PAL, seen
from propsoff_checks.overlay_canvas import overlay_canvas
from tests_support.crafts import PORTS, Bench, outcomes, told

ANALOG = {
    "video.link": "analog",
    "overlay.system": "pal",
    "overlay.columns": 30,
    "overlay.rows": 16,
}
SMALL = ({"name": "battery", "column": 2, "row": 11, "width": 5, "shown": True},)
OURS = {"grid": [(53, 20)]}


def test_analogue_grids_are_those_of_the_overlay_chip() -> None:
    # MAX7456 data sheet 19-0576 Rev 0: characters 12x18 pixels, 30 columns, 13 rows at 525 lines, 16 at 625.
    # Visible lines per field // 18: 243 // 18 and 288 // 18. Application note 4117: 480 addresses = 30 * 16.
    assert Size(30, 243 // 18) == NTSC == BY_STANDARD["ntsc"]
    assert Size(30, 288 // 18) == PAL == BY_STANDARD["pal"]
    assert PAL.columns * PAL.rows == 480


def test_digital_grids_are_those_of_the_trade() -> None:
    assert DIGITAL == ((50, 18), (53, 20), (60, 22))  # common practice; 60x22 from memory


@pytest.mark.parametrize(
    ("found", "drawn", "says"),
    [
        # 53 - 50 = 3; 20 - 18 = 2 (computed; "two to three characters unused at the right edge": common practice)
        ((50, 18), (53, 20), ["3 columns are unused at the right edge", "2 rows are unused", "50/53", "18/20"]),
        # 30/53 = 57 %, 16/20 = 80 % (computed)
        ((30, 16), (53, 20), ["clustered in the upper left", "30/53 of the width, 57%", "16/20 of the height, 80%"]),
        ((60, 22), (53, 20), ["last 7 columns of 60 lie beyond the right edge", "last 2 rows of 22"]),
        ((54, 20), (53, 20), ["last column of 54 lies beyond the right edge and is not drawn"]),
        ((52, 20), (53, 20), ["1 column is unused"]),
        ((30, 13), (30, 16), ["3 rows are unused at the bottom"]),
    ],
)
def test_what_the_pilot_sees_is_computed(found: tuple[int, int], drawn: tuple[int, int], says: list[str]) -> None:
    for words in says:
        assert words in seen(Size(*found), Size(*drawn))


def test_equal_grids_show_nothing_amiss() -> None:
    assert seen(Size(53, 20), Size(53, 20)) == ""


@pytest.mark.parametrize(
    "changes",
    [
        {},
        ANALOG,
        {**ANALOG, "overlay.system": "ntsc", "overlay.rows": 13},
        {**ANALOG, "overlay.system": "auto"},
        {**ANALOG, "overlay.system": "auto", "overlay.rows": 13},
        {**ANALOG, "overlay.columns": None, "overlay.rows": None},
        {**ANALOG, "overlay.system": "auto", "overlay.columns": None, "overlay.rows": None},
    ],
)
def test_a_sound_overlay_passes(bench: Bench, changes: dict[str, object]) -> None:
    elements = SMALL if changes else ({"name": "timer", "column": 45, "row": 18, "width": 6, "shown": True},)
    assert outcomes(bench.run(overlay_canvas, changes, elements=elements)) == ["pass"]


@pytest.mark.parametrize(
    ("changes", "outcome", "says"),
    [
        ({"video.link": None}, "unknown", "video.link"),
        ({"overlay.system": None}, "unknown", "overlay.system"),
        ({"overlay.columns": None}, "unknown", "overlay.columns"),
        ({"overlay.columns": None, "overlay.rows": None}, "unknown", "overlay.rows"),
        ({"firmware.version": None}, "unknown", "firmware.version"),
        ({"overlay.columns": 50, "overlay.rows": 18}, "fail", "3 columns are unused at the right edge"),
        ({"overlay.columns": 60, "overlay.rows": 22}, "fail", "beyond the right edge"),
        ({"overlay.columns": 47, "overlay.rows": 11}, "fail", "47x11"),
        ({"overlay.system": "pal", "overlay.columns": 30, "overlay.rows": 16}, "fail", "set to PAL on a digital link"),
        ({"overlay.system": "auto", "overlay.columns": 30, "overlay.rows": 16}, "fail", "detect an analogue camera"),
        ({"overlay.system": "auto", "overlay.columns": None, "overlay.rows": None}, "fail", "30/53"),
    ],
)
def test_a_digital_link_needs_the_grid_of_the_sheet(
    bench: Bench, changes: dict[str, object], outcome: str, says: str
) -> None:
    findings = bench.run(overlay_canvas, changes, sheet=bench.sheet(**OURS))
    assert outcomes(findings) == [outcome]
    assert says in told(findings)


@pytest.mark.parametrize(
    ("changes", "outcome", "says"),
    [
        ({"overlay.system": None}, "unknown", "overlay.system"),
        ({"overlay.rows": None}, "unknown", "overlay.rows"),
        ({"overlay.rows": 13}, "fail", "PAL video draws 30x16"),
        ({"overlay.system": "ntsc"}, "fail", "NTSC video draws 30x13"),
        (
            {"overlay.system": "digital", "overlay.columns": 53, "overlay.rows": 20},
            "fail",
            "digital grid on an analogue",
        ),
        ({"overlay.system": "auto", "overlay.rows": 14}, "fail", "30x14"),
    ],
)
def test_an_analogue_link_needs_the_grid_of_its_standard(
    bench: Bench, changes: dict[str, object], outcome: str, says: str
) -> None:
    findings = bench.run(overlay_canvas, {**ANALOG, **changes}, elements=SMALL, ports=PORTS[:3])
    assert outcomes(findings) == [outcome]
    assert says in told(findings)


def test_rows_that_are_not_drawn_are_counted(bench: Bench) -> None:
    [finding] = bench.run(overlay_canvas, {**ANALOG, "overlay.system": "ntsc"}, elements=SMALL)
    assert "the last 3 rows of 16 lie beyond the bottom" in finding.why  # 16 - 13 = 3


def test_the_remedy_sets_system_and_grid_together_and_then_it_passes(bench: Bench) -> None:
    changes = {"overlay.system": "pal", "overlay.columns": 30, "overlay.rows": 16}
    sheet = bench.sheet(**OURS)
    [finding] = bench.run(overlay_canvas, changes, sheet=sheet)
    assert finding.remedy.console == (
        "set overlay.system digital",
        "set overlay.columns 53",
        "set overlay.rows 20",
        "store",
    )
    assert outcomes(bench.run(overlay_canvas, {**changes, **dict(bench.tongue.asked)}, sheet=sheet)) == ["pass"]


@pytest.mark.parametrize(
    ("version", "says"),
    [
        ("4.0.3", "4.1.0 or newer"),
        ("3.10.0", "4.1.0 or newer"),
        ("4.1.0-rc2", "4.1.0 or newer"),  # a candidate is older than its release (PEP 440)
    ],
)
def test_old_firmware_is_named_as_the_cause_and_nothing_else_is(bench: Bench, version: str, says: str) -> None:
    changes = {"firmware.version": version, "overlay.system": "auto", "overlay.columns": None, "overlay.rows": None}
    [finding] = bench.run(overlay_canvas, changes)
    assert finding.outcome == "fail"
    assert f"firmware {version} cannot draw a digital grid" in finding.summary
    assert finding.expected == says
    assert "30/53" in finding.why
    assert finding.remedy.console == ()


@pytest.mark.parametrize("version", ["4.1.0", "4.10.0", "5.0", "v4.2.0", "4.2.0-field7", "4.1.0+abc"])
def test_firmware_at_or_above_the_floor_is_no_cause(bench: Bench, version: str) -> None:
    assert outcomes(bench.run(overlay_canvas, {"firmware.version": version})) == ["pass"]


@pytest.mark.parametrize("version", ["", "summer", "4.1.0-field7", "9" * 4000])
def test_a_version_that_cannot_be_compared_is_unknown(bench: Bench, version: str) -> None:
    [finding] = bench.run(overlay_canvas, {"firmware.version": version})
    assert finding.outcome == "unknown"
    assert "cannot be told" in finding.summary


def test_a_dialect_without_a_floor_has_none(bench: Bench) -> None:
    bench.tongue.grid_since = None
    assert outcomes(bench.run(overlay_canvas, {"firmware.version": "0.1"})) == ["pass"]
    assert outcomes(bench.run(overlay_canvas, {"firmware.version": None}, tongue=None)) == ["pass"]


@pytest.mark.parametrize("link", ["digital", "analog"])
@pytest.mark.parametrize(
    ("fact", "value"),
    [("overlay.columns", 0), ("overlay.columns", -5), ("overlay.rows", 65_536), ("overlay.rows", 2**53)],
)
def test_an_absurd_size_fails_and_says_so(bench: Bench, link: str, fact: str, value: int) -> None:
    base: dict[str, object] = dict(ANALOG) if link == "analog" else {}
    [finding] = bench.run(overlay_canvas, {**base, fact: value}, elements=SMALL)
    assert finding.outcome == "fail"
    assert f"{value} {fact.removeprefix('overlay.')} cannot be" in finding.summary


def test_a_sheet_may_know_a_larger_display(bench: Bench) -> None:
    changes = {"overlay.columns": 120, "overlay.rows": 40}
    elements = ({"name": "timer", "column": 110, "row": 30, "width": 6, "shown": True},)
    sheet = bench.sheet(grid=[(120, 40)])
    assert outcomes(bench.run(overlay_canvas, changes, sheet=sheet, elements=elements)) == ["pass"]


def test_without_a_sheet_another_goggles_grid_is_a_question_not_a_fault(bench: Bench) -> None:
    changes = {"overlay.columns": 50, "overlay.rows": 18}
    [finding] = bench.run(overlay_canvas, changes, elements=elements(("timer", 42, 16, 6, True)))
    assert finding.outcome == "warn"
    assert "no build sheet says what these goggles draw" in finding.summary
    assert finding.remedy.console == ()
    assert any('grid = "50x18"' in step for step in finding.remedy.steps)


def test_with_a_sheet_for_50x18_goggles_53x20_is_the_fault(bench: Bench) -> None:
    sheet = bench.sheet(grid=[(50, 18)])
    [finding] = bench.run(overlay_canvas, sheet=sheet)
    assert finding.outcome == "fail"
    assert "the last 3 columns of 53 lie beyond" in finding.why
    assert "Not drawn in full: battery and timer" in finding.why  # both lie in row 18, of rows 0..17


def elements(*rows: tuple[Any, ...]) -> list[dict[str, object]]:
    keys = ("name", "column", "row", "width", "shown")
    return [dict(zip(keys, row, strict=True)) for row in rows]


def test_what_lies_on_the_grid_is_left_to_another_check(bench: Bench) -> None:
    assert outcomes(bench.run(overlay_canvas, elements=elements(("timer", 90, -3, 6, True)))) == ["pass"]
    assert outcomes(bench.run(overlay_canvas, elements=[])) == ["pass"]
    assert outcomes(bench.run(overlay_canvas, elements=None)) == ["pass"]


@pytest.mark.parametrize(
    ("expect", "changes", "outcome"),
    [
        ({}, {"overlay.enabled": False}, ["warn"]),
        ({"overlay.enabled": True}, {"overlay.enabled": False}, ["fail"]),
        ({"overlay.enabled": False}, {"overlay.enabled": False}, []),
        ({"overlay.enabled": True}, {"overlay.enabled": None}, ["unknown"]),
        ({"video.link": "analog"}, {}, ["fail"]),
        ({"video.link": "digital"}, {}, []),
        ({"overlay.system": "pal"}, {**ANALOG, "overlay.system": "ntsc", "overlay.rows": 13}, ["fail"]),
    ],
)
def test_the_sheet_has_the_last_word(
    bench: Bench, expect: dict[str, object], changes: dict[str, object], outcome: list[str]
) -> None:
    rows = SMALL if "video.link" in changes else elements(("timer", 45, 18, 6, True))
    found = outcomes(bench.run(overlay_canvas, changes, sheet=bench.sheet(expect=expect), elements=rows))
    assert [word for word in found if word != "pass"] == outcome


def test_looking_into_the_goggles_comes_with_the_caution(bench: Bench) -> None:
    [finding] = bench.run(overlay_canvas, {"overlay.columns": 47})
    assert finding.caution is not None
    assert "Propellers off" in finding.caution
    assert any("fan" in step for step in finding.remedy.steps)


PAL_ON_DIGITAL: dict[str, object] = {"overlay.system": "pal", "overlay.columns": 30, "overlay.rows": 16}


@pytest.mark.parametrize(
    ("changes", "sheet", "code"),
    [
        ({"video.link": "analog"}, {}, "link-in-doubt"),
        ({}, {"expect": {"video.link": "analog"}}, "link"),
        ({"overlay.enabled": False}, {}, "switched-off"),
        ({}, {"expect": {"overlay.enabled": False}}, "switched-on"),
        ({"overlay.columns": 0}, {}, "absurd-size"),
        ({"firmware.version": "4.0.3"}, {}, "firmware-too-old"),
        ({"firmware.version": "summer"}, {}, "firmware-unclear"),
        (PAL_ON_DIGITAL, {}, "system"),
        ({}, {"expect": {"overlay.system": "pal"}}, "system"),
        ({"overlay.columns": 47}, {}, "grid"),
        ({"overlay.columns": 50, "overlay.rows": 18}, {}, "grid"),
        ({"overlay.rows": None}, {}, "unread"),
        ({**ANALOG, "overlay.rows": 13}, {}, "rows"),
        (ANALOG, {"grid": [(30, 13)]}, "standard"),
    ],
)
def test_each_finding_has_a_code_of_its_own(
    bench: Bench, changes: dict[str, object], sheet: dict[str, Any], code: str
) -> None:
    ports = PORTS if code == "link-in-doubt" or changes.get("video.link") != "analog" else PORTS[:3]
    findings = bench.run(overlay_canvas, changes, sheet=bench.sheet(**sheet) if sheet else None, ports=ports)
    assert [finding.code for finding in findings if finding.outcome != "pass"] == [code]


def test_an_overlay_that_is_switched_off_does_not_pass_as_well(bench: Bench) -> None:
    assert outcomes(bench.run(overlay_canvas, {"overlay.enabled": False})) == ["warn"]


def test_the_remedy_of_a_grid_moves_the_elements_with_it(bench: Bench) -> None:
    rows = elements(("timer", 22, 14, 6, True), ("battery", 2, 14, 5, True))
    [finding] = bench.run(overlay_canvas, PAL_ON_DIGITAL, sheet=bench.sheet(**OURS), elements=rows)
    assert ("overlay.elements[].column", 45) in bench.tongue.asked  # two from the right, of 53
    assert ("overlay.elements[].row", 18) in bench.tongue.asked
    assert finding.remedy.console[:3] == ("set overlay.system digital", "set overlay.columns 53", "set overlay.rows 20")
    assert finding.remedy.console[-1] == "store"
    assert len(finding.remedy.console) == 7


def test_a_grid_that_is_too_small_explains_elements_beyond_its_edge_when_they_fit_the_right_one(bench: Bench) -> None:
    sheet = bench.sheet(**OURS)
    [small] = bench.run(overlay_canvas, PAL_ON_DIGITAL, sheet=sheet)
    assert small.explains == ("overlay-layout/outside",)
    [still] = bench.run(overlay_canvas, PAL_ON_DIGITAL, sheet=sheet, elements=elements(("timer", 90, 3, 6, True)))
    assert still.explains == ()

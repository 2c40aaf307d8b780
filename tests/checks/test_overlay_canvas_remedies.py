"""overlay-canvas: what its remedies set, what they leave to the person, and what makes the link doubtful."""

from __future__ import annotations

from typing import Any

import pytest

from checks.test_overlay_canvas import ANALOG, OURS, PAL_ON_DIGITAL, SMALL, elements
from propsoff_checks.overlay_canvas import overlay_canvas
from tests_support.crafts import ELEMENTS, PORTS, Bench, outcomes

SAY_53X20 = ("set overlay.columns 53", "set overlay.rows 20", "store")


def test_lines_that_cannot_move_every_element_still_set_the_grid(bench: Bench) -> None:
    sheet, said = bench.sheet(**OURS), ("set overlay.system digital", *SAY_53X20)
    twins = elements(("speed", 2, 3, 6, True), ("speed", 2, 9, 6, True), ("timer", 22, 14, 6, True))
    for rows in (twins, None, []):
        [finding] = bench.run(overlay_canvas, PAL_ON_DIGITAL, sheet=sheet, elements=rows)
        assert finding.remedy.console == said, rows


def test_without_a_tongue_there_are_steps_and_no_lines(bench: Bench) -> None:
    [finding] = bench.run(overlay_canvas, PAL_ON_DIGITAL, sheet=bench.sheet(**OURS), tongue=None)
    assert finding.remedy.console == ()
    assert finding.remedy.steps


def test_of_two_grids_that_will_do_the_console_lines_choose_none(bench: Bench) -> None:
    sheet = bench.sheet(grid=[(53, 20), (50, 18)])
    for changes in (PAL_ON_DIGITAL, {"overlay.columns": 60, "overlay.rows": 22}, {"overlay.columns": 0}):
        [finding] = bench.run(overlay_canvas, changes, sheet=sheet, elements=[])
        assert finding.remedy.console == ()
        assert finding.expected is not None
        assert "53x20 or 50x18" in finding.expected
    assert outcomes(bench.run(overlay_canvas, sheet=sheet)) == ["pass"]
    fifty = {"overlay.columns": 50, "overlay.rows": 18}
    assert outcomes(bench.run(overlay_canvas, fifty, sheet=sheet, elements=[])) == ["pass"]


@pytest.mark.parametrize(
    ("changes", "lines"),
    [
        ({"overlay.columns": 47}, SAY_53X20),
        ({"overlay.columns": 0}, SAY_53X20),
        ({"overlay.columns": 0, "overlay.rows": None}, SAY_53X20),  # no grid was read to move elements from
        ({**PAL_ON_DIGITAL, "overlay.columns": 0}, ("set overlay.system digital", *SAY_53X20)),
    ],
)
def test_the_lines_say_what_is_not_so_yet(bench: Bench, changes: dict[str, object], lines: tuple[str, ...]) -> None:
    rows = (
        elements(("timer", 2, 3, 6, True), ("battery", 2, 5, 6, True)) if changes.get("overlay.rows", 0) is None else []
    )
    [finding] = bench.run(overlay_canvas, changes, sheet=bench.sheet(**OURS), elements=rows)
    assert finding.expected == "53x20"
    assert finding.remedy.console == lines


def test_who_does_not_know_the_goggles_is_told_what_the_house_expects(bench: Bench) -> None:
    """47x11 is no grid of any goggles, and so a fault whoever wrote the sheet."""
    [finding] = bench.run(overlay_canvas, {"overlay.columns": 47, "overlay.rows": 11}, elements=[])
    assert (finding.outcome, finding.expected) == ("fail", "53x20")
    assert "no build sheet" not in finding.summary
    assert finding.remedy.console == SAY_53X20
    assert "Not drawn in full" not in finding.why
    [question] = bench.run(overlay_canvas, {"overlay.columns": 60, "overlay.rows": 22}, elements=[])
    assert (question.outcome, question.expected) == ("warn", "53x20")
    assert question.remedy.console == ()


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        # "More columns or rows than any display draws" begins beyond 100; a grid of 1 is odd, and yet one.
        ({"overlay.columns": 1}, "grid"),
        ({"overlay.rows": 1}, "grid"),
        ({"overlay.columns": 100}, "grid"),
        ({"overlay.rows": 100}, "grid"),
        ({"overlay.columns": 101}, "absurd-size"),
        ({"overlay.rows": 101}, "absurd-size"),
        ({"overlay.rows": 0}, "absurd-size"),
    ],
)
@pytest.mark.parametrize("grid", [(53, 20), (120, 20)])
def test_absurd_is_what_no_display_draws(
    bench: Bench, changes: dict[str, object], code: str, grid: tuple[int, int]
) -> None:
    """A build sheet that knows a wider display makes as many columns possible, and no more rows."""
    if grid == (120, 20) and changes == {"overlay.columns": 101}:
        code = "grid"
    [finding] = bench.run(overlay_canvas, changes, sheet=bench.sheet(grid=[grid]), elements=[])
    assert finding.code == code


@pytest.mark.parametrize(
    ("version", "tongue", "code"),
    [
        ("4.0.3", True, "firmware-too-old"),  # it knows no digital grid: no wonder that none is set
        ("4.1.0", True, "link-in-doubt"),
        ("4.2.0", True, "link-in-doubt"),
        (None, True, "link-in-doubt"),
        ("summer", True, "link-in-doubt"),
        ("4.0.3", False, "link-in-doubt"),
    ],
)
def test_an_analogue_overlay_without_a_uart_puts_the_link_in_doubt_unless_old_firmware_explains_it(
    bench: Bench, version: str | None, tongue: bool, code: str
) -> None:
    changes = {**PAL_ON_DIGITAL, "firmware.version": version}
    findings = bench.run(overlay_canvas, changes, ports=PORTS[:3], elements=[], tongue=bench.tongue if tongue else None)
    assert [finding.code for finding in findings] == [code]


def test_a_dialect_without_a_floor_explains_no_analogue_overlay(bench: Bench) -> None:
    bench.tongue.grid_since = None
    [finding] = bench.run(overlay_canvas, {**PAL_ON_DIGITAL, "firmware.version": "0.1"}, ports=PORTS[:3])
    assert finding.code == "link-in-doubt"


def test_a_link_that_the_sheet_names_is_not_in_doubt(bench: Bench) -> None:
    sheet = bench.sheet(expect={"video.link": "digital"}, **OURS)
    [finding] = bench.run(overlay_canvas, PAL_ON_DIGITAL, sheet=sheet, ports=PORTS[:3], elements=[])
    assert finding.code == "system"


@pytest.mark.parametrize(
    ("enabled", "expect", "code", "words", "line"),
    [
        (False, True, "switched-off", ("on", "off"), "set overlay.enabled True"),
        (True, False, "switched-on", ("off", "on"), "set overlay.enabled False"),
        (False, None, "switched-off", ("on", "off"), "set overlay.enabled True"),
    ],
)
def test_the_remedy_switches_the_overlay_as_it_should_be(
    bench: Bench, enabled: bool, expect: bool | None, code: str, words: tuple[str, str], line: str
) -> None:
    sheet = None if expect is None else bench.sheet(expect={"overlay.enabled": expect})
    [finding] = bench.run(overlay_canvas, {"overlay.enabled": enabled}, sheet=sheet)
    assert (finding.code, finding.expected, finding.actual) == (code, *words)
    assert finding.remedy.console == (line, "store")


def test_an_overlay_whose_switch_was_not_read_is_not_called_off(bench: Bench) -> None:
    assert outcomes(bench.run(overlay_canvas, {"overlay.enabled": None})) == ["pass"]


@pytest.mark.parametrize("base", [{}, ANALOG])
@pytest.mark.parametrize("unread", ["overlay.columns", "overlay.rows"])
def test_only_the_number_that_was_not_read_is_named(bench: Bench, base: dict[str, object], unread: str) -> None:
    [finding] = bench.run(
        overlay_canvas, {**base, unread: None}, elements=SMALL, ports=PORTS[3:] if not base else PORTS[:3]
    )
    assert finding.outcome == "unknown"
    assert [name for name in ("overlay.columns", "overlay.rows") if name in finding.summary] == [unread]


@pytest.mark.parametrize(
    ("found", "expect", "console"),
    [
        ("digital", "pal", ("set overlay.system pal", "store")),
        ("digital", ("pal", "ntsc"), ()),  # which of the two only the camera tells
        ("ntsc", "digital", ("set overlay.system digital", *SAY_53X20)),
    ],
)
def test_another_video_system_on_a_digital_link_is_set_where_the_sheet_names_one(
    bench: Bench, found: str, expect: object, console: tuple[str, ...]
) -> None:
    sheet = bench.sheet(expect={"overlay.system": expect}, **OURS)
    [finding] = bench.run(overlay_canvas, {"overlay.system": found}, sheet=sheet, elements=[])
    assert (finding.code, finding.remedy.console) == ("system", console)


def test_a_sheet_may_want_an_analogue_system_on_a_digital_link(bench: Bench) -> None:
    sheet = bench.sheet(expect={"overlay.system": "pal"}, grid=[(30, 16)])
    assert outcomes(bench.run(overlay_canvas, PAL_ON_DIGITAL, sheet=sheet, elements=SMALL)) == ["pass"]


PAL_LINES = ("set overlay.system pal", "set overlay.columns 30", "set overlay.rows 16", "store")
NTSC_LINES = ("set overlay.system ntsc", "set overlay.columns 30", "set overlay.rows 13", "store")


@pytest.mark.parametrize(
    ("changes", "sheet", "code", "actual", "console"),
    [
        # MAX7456 data sheet 19-0576 Rev 0: 30 columns, 13 rows at 525 lines (NTSC), 16 at 625 (PAL)
        ({"overlay.rows": 13}, {}, "rows", "30x13", PAL_LINES[1:]),
        ({"overlay.system": "ntsc"}, {}, "rows", "30x16", NTSC_LINES[1:]),
        ({}, {"expect": {"overlay.system": "ntsc"}}, "standard", "pal, 30x16", NTSC_LINES),
        (
            {"overlay.system": "ntsc", "overlay.rows": 13},
            {"expect": {"overlay.system": "pal"}},
            "standard",
            "ntsc, 30x13",
            PAL_LINES,
        ),
        (
            {"overlay.system": "auto", "overlay.columns": None, "overlay.rows": None},
            {"expect": {"overlay.system": "pal"}},
            "standard",
            "auto",
            PAL_LINES,
        ),
        ({}, {"expect": {"overlay.system": "auto"}}, "standard", "pal, 30x16", ("set overlay.system auto", "store")),
        ({}, {"expect": {"overlay.system": ("auto", "ntsc")}}, "standard", "pal, 30x16", ()),
        ({}, {"grid": [(30, 13)]}, "standard", "pal, 30x16", NTSC_LINES),
        ({"overlay.system": "ntsc", "overlay.rows": 13}, {"grid": [(30, 16)]}, "standard", "ntsc, 30x13", PAL_LINES),
        ({"overlay.system": "auto", "overlay.rows": 14}, {}, "standard", "auto, 30x14", ()),
        ({"overlay.system": "auto"}, {"grid": [(30, 13)]}, "standard", "auto, 30x16", NTSC_LINES),
        (
            {},
            {"grid": [(30, 12)]},
            "standard",
            "pal, 30x16",
            ("set overlay.columns 30", "set overlay.rows 12", "store"),
        ),
        ({"overlay.system": "digital"}, {}, "system", "digital, 30x16", ()),
        ({"overlay.system": "digital"}, {"grid": [(30, 16)]}, "system", "digital, 30x16", PAL_LINES),
        ({"overlay.system": "digital"}, {"grid": [(30, 13)]}, "system", "digital, 30x16", NTSC_LINES),
        (
            {"overlay.system": "digital", "overlay.columns": None, "overlay.rows": None},
            {},
            "system",
            "digital",
            (),
        ),
        ({"overlay.columns": 0}, {"grid": [(30, 16)]}, "absurd-size", "0 columns", PAL_LINES[1:]),
        ({"overlay.columns": 0}, {"grid": [(30, 13)]}, "absurd-size", "0 columns", NTSC_LINES),
    ],
)
def test_the_lines_for_an_analogue_link_set_standard_and_grid(
    bench: Bench,
    changes: dict[str, object],
    sheet: dict[str, Any],
    code: str,
    actual: str,
    console: tuple[str, ...],
) -> None:
    findings = bench.run(
        overlay_canvas,
        {**ANALOG, **changes},
        sheet=bench.sheet(**sheet) if sheet else None,
        elements=[],
        ports=PORTS[:3],
    )
    assert [(one.code, one.actual, one.remedy.console) for one in findings] == [(code, actual, console)]


def test_rows_too_many_explain_elements_below_the_picture_and_name_them(bench: Bench) -> None:
    """Row 14 is drawn of 16 rows and not of 13."""
    low, high = elements(("timer", 20, 14, 6, True)), elements(("timer", 20, 11, 6, True))
    on_ntsc = {**ANALOG, "overlay.system": "ntsc"}
    [finding] = bench.run(overlay_canvas, on_ntsc, elements=low)
    assert "Not drawn in full: timer" in finding.why
    assert finding.explains == ()
    [finding] = bench.run(overlay_canvas, on_ntsc, elements=high)
    assert "Not drawn in full" not in finding.why
    assert finding.explains == ("overlay-layout/outside",)


@pytest.mark.parametrize(
    ("changes", "grid"),
    [
        ({}, "53x20"),
        (ANALOG, "30x16"),
        ({**ANALOG, "overlay.columns": None, "overlay.rows": None}, "30x16"),
        ({**ANALOG, "overlay.system": "ntsc", "overlay.columns": None, "overlay.rows": None}, "30x13"),
        ({**ANALOG, "overlay.system": "auto", "overlay.columns": None, "overlay.rows": None}, None),
        ({**ANALOG, "overlay.system": "auto"}, "30x16"),
    ],
)
def test_a_pass_says_which_grid_it_is(bench: Bench, changes: dict[str, object], grid: str | None) -> None:
    [finding] = bench.run(
        overlay_canvas, changes, elements=SMALL if changes else ELEMENTS, ports=PORTS[:3] if changes else PORTS
    )
    assert (finding.outcome, finding.actual) == ("pass", grid)
    assert (grid or "30x13 or 30x16") in finding.summary
    detected = changes.get("overlay.system") == "auto"
    assert ("detected" in finding.summary) is detected
    assert ("video standard" in finding.summary) is bool(changes)  # a digital link has none


@pytest.mark.parametrize(
    ("expect", "console"), [("analog", ("set video.link analog", "store")), (("analog", "none"), ())]
)
def test_the_link_of_the_sheet_is_set_where_there_is_but_one(
    bench: Bench, expect: object, console: tuple[str, ...]
) -> None:
    [finding] = bench.run(overlay_canvas, sheet=bench.sheet(expect={"video.link": expect}))
    assert (finding.code, finding.actual, finding.remedy.console) == ("link", "digital", console)


@pytest.mark.parametrize("unread", ["overlay.columns", "overlay.rows"])
@pytest.mark.parametrize(("system", "grid"), [("pal", "30x16"), ("ntsc", "30x13"), ("auto", "30x16")])
def test_a_grid_of_which_half_was_not_read_is_that_of_the_video_standard(
    bench: Bench, unread: str, system: str, grid: str
) -> None:
    changes = {**PAL_ON_DIGITAL, "overlay.system": system, unread: None}
    [finding] = bench.run(overlay_canvas, changes, sheet=bench.sheet(**OURS))
    assert (finding.code, finding.actual) == ("system", f"{system}, {grid}")


@pytest.mark.parametrize("grid", [(50, 18), (53, 20), (60, 22)])
def test_where_no_sheet_names_a_grid_all_that_the_trade_knows_will_do(bench: Bench, grid: tuple[int, int]) -> None:
    changes: dict[str, object] = {"overlay.columns": grid[0], "overlay.rows": grid[1]}
    assert outcomes(bench.run(overlay_canvas, changes, sheet=bench.sheet(), elements=[])) == ["pass"]
    [odd] = bench.run(overlay_canvas, {**changes, "overlay.rows": 19}, sheet=bench.sheet(), elements=[])
    assert (odd.outcome, odd.expected) == ("fail", "50x18, 53x20 or 60x22")  # common practice; 60x22 from memory


def test_where_no_sheet_names_an_analogue_grid_both_standards_will_do(bench: Bench) -> None:
    changes: dict[str, object] = {**ANALOG, "overlay.system": "auto", "overlay.rows": 14}
    [odd] = bench.run(overlay_canvas, changes, sheet=bench.sheet(), elements=SMALL, ports=PORTS[:3])
    assert (odd.outcome, odd.expected) == ("fail", "30x13 or 30x16")

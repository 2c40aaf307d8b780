"""overlay-layout: elements on the grid, on each other, missing, and laid out for another grid."""

from __future__ import annotations

import timeit
from typing import Any

import pytest

from propsoff import Case, Layout, OverlayElement, Size
from propsoff.sheets.catalogue import built_in_sheets
from propsoff_checks.overlay_layout import overlay_layout
from propsoff_sim.board import layout as simulated_layout
from tests_support.crafts import ELEMENTS, Bench, outcomes, told

NEEDED = ("battery", "timer", "link-quality", "warnings")
WITHOUT = {
    "battery": "An empty battery is noticed only when the craft falls.",
    "timer": "Nobody knows how long the craft has been up.",
    "link-quality": "The link is lost without a warning.",
    "warnings": "What the board warns of is not read.",
}
KEYS = ("name", "column", "row", "width", "shown")
PAL: dict[str, object] = {"overlay.system": "pal", "overlay.columns": 30, "overlay.rows": 16, "video.link": "analog"}


def elements(*rows: tuple[Any, ...]) -> list[dict[str, object]]:
    return [dict(zip(KEYS, row, strict=True)) for row in rows]


GOOD = elements(
    ("battery", 2, 18, 5, True),
    ("timer", 45, 18, 6, True),
    ("link-quality", 2, 1, 4, True),
    ("warnings", 20, 16, 12, True),
)


def good_but(*rows: tuple[Any, ...]) -> list[dict[str, object]]:
    """The good layout with other rows in place of those of the same name, and further ones."""
    others = {row[0] for row in rows}
    return [row for row in GOOD if row["name"] not in others] + elements(*rows)


def simulated(columns: int, rows: int) -> list[dict[str, object]]:
    return elements(*((one.name, one.column, one.row, one.width, one.shown) for one in simulated_layout(columns, rows)))


def codes(findings: list[Any]) -> list[tuple[str, str]]:
    return [(finding.outcome.value, finding.code or "") for finding in findings]


def test_a_sound_layout_passes_and_says_how_much_of_the_grid_it_uses(bench: Bench) -> None:
    [finding] = bench.run(overlay_layout, elements=GOOD)
    assert finding.outcome == "pass"
    # 45 + 6 = 51 of 53 columns, row 18 is the 19th of 20 (computed)
    assert "4 elements on 53x20, out to 51/53 of the width (96%) and 19/20 of the height (95%)" in finding.summary
    assert finding.actual
    assert finding.evidence


@pytest.mark.parametrize(
    ("rows", "found", "says"),
    [
        (good_but(("timer", 47, 18, 6, True)), ("pass", ""), ""),  # 47 + 6 = 53 just fits
        (good_but(("timer", 48, 18, 6, True)), ("fail", "outside"), "beyond the edge of 53x20: timer"),
        (good_but(("timer", 45, 20, 6, True)), ("fail", "outside"), "timer from column 45, row 20"),
        (good_but(("timer", -1, 9, 6, True)), ("fail", "outside"), "timer from column -1, row 9"),
        (good_but(("timer", 45, -1, 6, True)), ("fail", "outside"), "timer"),
        (good_but(("timer", 45, 65_536, 6, True)), ("fail", "outside"), "row 65536"),
        (good_but(("horizon", 51, 3, 9, False)), ("pass", ""), ""),  # hidden
        (good_but(("horizon", 51, 3, 9, None)), ("fail", "outside"), "horizon"),  # may be drawn
        (good_but((None, 5, 3, 2**53, True)), ("fail", "outside"), "unnamed element"),
        (good_but(("x" * 5000, 51, 3, 6, True)), ("fail", "outside"), "xxx"),
        (good_but(("speed", 4, 18, 6, True)), ("fail", "overlap"), "battery and speed in row 18, columns 4 to 6"),
        (good_but(("speed", 7, 18, 6, True)), ("pass", ""), ""),  # 2 + 5 = 7: side by side
        (good_but(("speed", 6, 18, 6, True)), ("fail", "overlap"), "in row 18, column 6"),
        (good_but(("speed", 4, 18, 6, False)), ("pass", ""), ""),
        (good_but(("speed", 9, 4, 0, True)), ("fail", "no-width"), "speed 0 columns wide"),
        (good_but(("speed", 9, 4, -7, True)), ("fail", "no-width"), "not even one column wide: speed"),
        (good_but(("speed", None, 4, 6, True)), ("unknown", "place-unread"), "speed"),
        (good_but(("speed", 9, None, 6, None)), ("unknown", "place-unread"), "speed"),
        (good_but(("speed", None, 4, 6, False)), ("pass", ""), ""),
        ([], ("warn", "none-shown"), "no element of the overlay is shown"),
        (elements(("timer", 45, 18, 6, False)), ("warn", "none-shown"), "no element of the overlay is shown"),
        (simulated(53, 20), ("pass", ""), ""),
        (simulated(30, 16), ("warn", "small-layout"), "made for 30x16"),
        (simulated(30, 13), ("warn", "small-layout"), "made for 30x13"),
        (simulated(50, 18), ("warn", "small-layout"), "made for 50x18"),
        (None, ("unknown", "unread"), "overlay.elements"),
    ],
)
def test_what_lies_on_the_grid(
    bench: Bench, rows: list[dict[str, object]] | None, found: tuple[str, str], says: str
) -> None:
    findings = bench.run(overlay_layout, elements=rows)
    assert codes(findings) == [found]
    assert says in told(findings)


@pytest.mark.parametrize(
    ("grid", "made_for", "says"),
    [
        # A layout made for 30x16 on 53x20 reaches at most 30/53 of the width and 16/20 of the height (computed).
        ((53, 20), (30, 16), ["clustered in the upper left", "30/53 of the width, 57%", "16/20 of the height, 80%"]),
        # 50 columns where 53 are drawn leave two to three unused (common practice); 53 - 50 = 3 (computed).
        ((53, 20), (50, 18), ["3 columns are unused at the right edge", "50/53"]),
        ((60, 22), (53, 20), ["7 columns are unused at the right edge"]),
        ((60, 22), (50, 18), ["10 columns are unused at the right edge"]),
        ((50, 18), (30, 16), ["30/50 of the width, 60%", "16/18 of the height, 89%"]),
    ],
)
def test_a_layout_for_a_smaller_grid_says_what_the_pilot_sees(
    bench: Bench, grid: tuple[int, int], made_for: tuple[int, int], says: list[str]
) -> None:
    changes: dict[str, object] = {"overlay.columns": grid[0], "overlay.rows": grid[1]}
    [finding] = bench.run(overlay_layout, changes, elements=simulated(*made_for))
    assert (finding.outcome, finding.code) == ("warn", "small-layout")
    assert f"the layout was made for {Size(*made_for)}" in finding.summary
    for words in says:
        assert words in finding.why


def test_a_layout_of_13_rows_on_16_was_made_for_the_other_standard(bench: Bench) -> None:
    [finding] = bench.run(overlay_layout, PAL, elements=simulated(30, 13))
    assert "made for 30x13" in finding.summary
    assert "3 rows are unused at the bottom" in finding.why  # 16 - 13 = 3


def test_a_layout_with_wide_margins_on_all_sides_was_made_for_its_own_grid(bench: Bench) -> None:
    rows = elements(
        ("battery", 4, 15, 5, True),
        ("timer", 42, 15, 6, True),
        ("link-quality", 4, 3, 4, True),
        ("warnings", 20, 14, 12, True),
    )
    assert outcomes(bench.run(overlay_layout, elements=rows)) == ["pass"]


def test_one_element_alone_proves_no_layout() -> None:
    assert Layout((OverlayElement("timer", 2, 2, 6, True),), Size(53, 20)).made_for is None


@pytest.mark.parametrize("name", NEEDED)
def test_what_a_pilot_looks_for_is_missed_and_hidden_ones_are_shown_again(bench: Bench, name: str) -> None:
    # battery, timer, link quality and warnings: common practice
    [absent] = bench.run(overlay_layout, elements=[row for row in GOOD if row["name"] != name])
    assert (absent.outcome, absent.code) == ("warn", "required-missing")
    assert f"no element for {name}" in absent.summary
    assert absent.remedy.console == ()
    [hidden] = bench.run(
        overlay_layout, elements=[{**row, "shown": False} if row["name"] == name else row for row in GOOD]
    )
    assert (hidden.outcome, hidden.code) == ("warn", "required-hidden")
    assert name in hidden.summary
    assert ("overlay.elements[].shown", True) in bench.tongue.asked
    assert hidden.remedy.console[-1] == "store"
    assert absent.why == hidden.why
    assert absent.why == WITHOUT[name]


def test_by_the_sheet_other_elements_are_required_and_missing_ones_fail(bench: Bench) -> None:
    sheet = bench.sheet(elements_required=("Battery", "speed"))
    [finding] = bench.run(overlay_layout, sheet=sheet, elements=GOOD[:1])
    assert (finding.outcome, finding.code) == ("fail", "required-missing")
    assert "speed" in finding.summary
    assert finding.expected == "shown, by the build sheet"
    hidden = [{**GOOD[0], "shown": False}, *elements(("speed", 2, 9, 6, True))]
    assert codes(bench.run(overlay_layout, sheet=sheet, elements=hidden)) == [("fail", "required-hidden")]
    assert codes(bench.run(overlay_layout, sheet=sheet, elements=[])) == [("fail", "required-missing")]


def test_a_sheet_may_require_nothing(bench: Bench) -> None:
    sheet = bench.sheet(elements_required=())
    assert outcomes(bench.run(overlay_layout, sheet=sheet, elements=GOOD[:1])) == ["pass"]


def test_an_element_without_a_name_may_be_the_one_that_is_missed(bench: Bench) -> None:
    rows = [{**row, "name": None} if row["name"] == "timer" else row for row in GOOD]
    [finding] = bench.run(overlay_layout, elements=rows)
    assert (finding.outcome, finding.code) == ("unknown", "name-unread")
    assert "timer" in finding.summary


def test_500_elements_are_too_many_and_no_more_than_that_is_said_of_each(bench: Bench) -> None:
    rows = [*GOOD, *elements(*((f"item{n}", n % 40, n % 15 + 2, 1, True) for n in range(500)))]
    findings = bench.run(overlay_layout, elements=rows)
    assert codes(findings) == [("warn", "many-elements"), ("fail", "overlap")]
    assert "504 elements" in findings[0].summary
    for finding in findings:
        assert len(finding.summary) <= 400
        assert len(finding.remedy.console) <= 100
        assert len(finding.evidence) <= 12
        assert sum(len(step) for step in finding.remedy.steps) < 1500


@pytest.mark.parametrize(
    ("changes", "found"),
    [
        ({"overlay.columns": 0}, ("unknown", "no-grid")),
        ({"overlay.columns": -5}, ("unknown", "no-grid")),
        ({"overlay.rows": 65_536}, ("unknown", "no-grid")),
        ({"overlay.columns": 2**53}, ("unknown", "no-grid")),
        ({"overlay.columns": None}, ("unknown", "unread")),
        ({"overlay.columns": None, "overlay.rows": None}, ("unknown", "unread")),
        ({"overlay.columns": None, "overlay.rows": None, "overlay.system": None}, ("unknown", "unread")),
    ],
)
def test_without_a_grid_that_can_be_nothing_is_said_of_the_layout(
    bench: Bench, changes: dict[str, object], found: tuple[str, str]
) -> None:
    assert codes(bench.run(overlay_layout, changes, elements=GOOD)) == [found]


@pytest.mark.parametrize("system", ["pal", "auto"])
def test_without_a_stated_grid_the_video_standard_has_one(bench: Bench, system: str) -> None:
    # MAX7456 data sheet 19-0576 Rev 0: 30 columns, at most 16 rows
    changes = {**PAL, "overlay.system": system, "overlay.columns": None, "overlay.rows": None}
    [finding] = bench.run(overlay_layout, changes, elements=simulated(30, 16))
    assert finding.outcome == "pass"
    assert "on 30x16" in finding.summary
    assert codes(bench.run(overlay_layout, changes, elements=GOOD)) == [("fail", "outside")]


def test_an_overlay_that_is_meant_to_be_off_is_not_examined(bench: Bench) -> None:
    off: dict[str, object] = {"overlay.enabled": False}
    sheet = bench.sheet(expect={"overlay.enabled": False})
    assert outcomes(bench.run(overlay_layout, off, sheet=sheet, elements=[])) == ["skipped"]
    assert outcomes(bench.run(overlay_layout, off, elements=[])) == ["warn"]
    meant_on = bench.sheet(expect={"overlay.enabled": True})
    assert outcomes(bench.run(overlay_layout, off, sheet=meant_on, elements=[])) == ["warn"]
    assert outcomes(bench.run(overlay_layout, sheet=sheet, elements=[])) == ["warn"]


def placed_as_told(bench: Bench, rows: list[dict[str, object]]) -> list[dict[str, object]]:
    """The elements after the lines of a remedy were typed: what the tongue was asked to say, row by row."""
    after = {row["name"]: dict(row) for row in rows}
    for line in bench.tongue.lines:
        name, part, value = line
        after[name][part] = value
    return list(after.values())


@pytest.mark.parametrize(
    "rows",
    [
        simulated(30, 16),
        simulated(50, 18),
        good_but(("speed", 4, 18, 6, True)),
        good_but(("timer", 51, 30, 6, True)),
        good_but(("timer", -1, 18, 6, True), ("speed", 3, 18, 12, True)),
        good_but(("battery", 46, 18, 5, False)),  # hidden, and where the timer stands
    ],
)
def test_who_does_as_the_remedy_says_passes(bench: Bench, rows: list[dict[str, object]]) -> None:
    findings = bench.run(overlay_layout, elements=rows)
    assert findings[0].remedy.console
    assert outcomes(bench.run(overlay_layout, elements=placed_as_told(bench, rows))) == ["pass"]


def test_for_hands_it_says_where_each_goes(bench: Bench) -> None:
    bench.tongue.dumb = True
    [finding] = bench.run(overlay_layout, elements=good_but(("timer", 51, 18, 6, True)))
    assert finding.remedy.console == ()
    assert "move timer to column 47, row 18" in finding.remedy.steps[0]


def test_elements_that_share_a_name_are_not_told_apart_on_the_console(bench: Bench) -> None:
    rows = [*GOOD, *elements(("speed", 60, 3, 6, True), ("speed", 2, 3, 6, True))]
    [finding] = bench.run(overlay_layout, elements=rows)
    assert finding.remedy.console == ()
    assert "move speed to column 47, row 3" in finding.remedy.steps[0]


def test_when_nothing_can_be_proposed_the_reason_is_given(bench: Bench) -> None:
    rows = good_but(("banner", 0, 4, 80, True))
    [finding] = bench.run(overlay_layout, elements=rows)
    assert finding.code == "outside"
    assert "wider than the 53 columns of 53x20: banner (80 wide)" in finding.remedy.steps[0]


def test_whoever_looks_into_the_goggles_is_told_what_can_hurt(bench: Bench) -> None:
    [finding] = bench.run(overlay_layout, elements=simulated(30, 16))
    assert "Propellers off" in (finding.caution or "")
    assert any("fan" in step for step in finding.remedy.steps)


def test_a_layout_is_examined_in_far_less_than_half_a_millisecond(bench: Bench) -> None:
    craft, lines = bench.craft(elements=simulated(53, 20))
    case = Case(overlay_layout, craft, built_in_sheets()[0], bench.tongue, lines)
    best_s = min(timeit.repeat(lambda: list(overlay_layout.examine(case)), number=20, repeat=9)) / 20  # type: ignore[arg-type]  # not a coroutine
    assert best_s < 0.0005


def test_an_element_whose_width_was_not_read_is_not_said_to_fit(bench: Bench) -> None:
    """At column 52 of 53 anything wider than one column lies beyond the edge."""
    timer = {"column": 52, "width": None}
    cut = [{**row, **timer} if row["name"] == "timer" else row for row in ELEMENTS]
    found = [one for one in bench.run(overlay_layout, elements=cut) if one.outcome != "pass"]
    assert [(one.name, one.outcome) for one in found] == [("overlay-layout/width-unread", "unknown")]
    assert "timer" in found[0].summary


def test_a_firmware_that_states_no_widths_is_not_asked_for_them(bench: Bench) -> None:
    bare = [{**row, "width": None} for row in ELEMENTS]
    assert [one.outcome for one in bench.run(overlay_layout, elements=bare)] == ["pass"]

"""overlay-layout: where its numbers begin and end, and which lines of the conversation prove a finding."""

from __future__ import annotations

import pytest

from checks.test_overlay_layout import GOOD, codes, elements, good_but
from propsoff import Finding
from propsoff_checks.overlay_layout import overlay_layout
from tests_support.crafts import Bench


def proof(finding: Finding) -> list[str]:
    return [line.text for line in finding.evidence]


@pytest.mark.parametrize(("many", "found"), [(100, []), (101, [("warn", "many-elements")])])
def test_100_elements_are_not_yet_too_many(bench: Bench, many: int, found: list[tuple[str, str]]) -> None:
    rows = [*GOOD, *elements(*((f"item{n}", 2, 3, 4, False) for n in range(many - len(GOOD))))]
    assert [code for code in codes(bench.run(overlay_layout, elements=rows)) if code[0] != "pass"] == found


@pytest.mark.parametrize(
    ("columns", "rows", "examined"),
    [
        (1, 20, True),
        (53, 1, True),
        (200, 20, True),
        (201, 20, False),
        (53, 200, True),
        (53, 201, False),
        (0, 20, False),
    ],
)
def test_a_layout_is_examined_on_every_grid_that_can_be(bench: Bench, columns: int, rows: int, examined: bool) -> None:
    """Beyond twice what any display draws no layout is examined; of one column or row it is."""
    changes: dict[str, object] = {"overlay.columns": columns, "overlay.rows": rows}
    found = codes(bench.run(overlay_layout, changes, elements=GOOD))
    assert (("unknown", "no-grid") not in found) is examined


@pytest.mark.parametrize(
    ("unread", "named"),
    [
        (("columns",), ["columns"]),
        (("rows",), ["rows"]),
        (("columns", "rows", "system"), ["columns", "rows", "system"]),
    ],
)
def test_what_was_not_read_of_the_grid_is_named_and_nothing_else(
    bench: Bench, unread: tuple[str, ...], named: list[str]
) -> None:
    [finding] = bench.run(overlay_layout, {f"overlay.{name}": None for name in unread}, elements=GOOD)
    assert finding.outcome == "unknown"
    assert [name for name in ("columns", "rows", "system") if f"overlay.{name}" in finding.summary] == named


def test_how_wide_is_told_where_it_was_read(bench: Bench) -> None:
    [finding] = bench.run(overlay_layout, elements=good_but(("timer", 48, 18, 6, True)))
    assert finding.actual == "timer from column 48, row 18, 6 wide"
    rows = [{**row, "width": None} for row in good_but(("timer", 53, 18, 6, True))]
    [finding] = bench.run(overlay_layout, elements=rows)
    assert finding.actual == "timer from column 53, row 18"


def test_only_the_lines_of_the_elements_in_question_prove_it_eight_at_most(bench: Bench) -> None:
    [finding] = bench.run(overlay_layout, elements=good_but(("timer", 48, 18, 6, True)))
    assert len(proof(finding)) == 1
    assert "'timer'" in proof(finding)[0]
    beyond = [(f"item-{at}", 60, at, 4, True) for at in range(9)]
    [finding] = bench.run(overlay_layout, elements=[*GOOD, *elements(*beyond)])
    assert [at for at in range(9) if any(f"'item-{at}'" in line for line in proof(finding))] == list(range(8))
    assert len(proof(finding)) == 8


def test_of_many_overlaps_six_are_told_cell_by_cell(bench: Bench) -> None:
    rows = [row for at in range(7) for row in ((f"a{at}", 20, 2 + at, 4, True), (f"b{at}", 21, 2 + at, 4, True))]
    [finding] = bench.run(overlay_layout, elements=[*GOOD, *elements(*rows)])
    assert finding.code == "overlap"
    assert finding.actual is not None
    assert finding.actual.count("columns 21 to 23") == 6


def test_of_an_empty_overlay_only_what_a_pilot_looks_for_is_shown_again(bench: Bench) -> None:
    rows = [{**row, "shown": False} for row in [*GOOD, *elements(("horizon", 22, 10, 9, False))]]
    [finding] = bench.run(overlay_layout, elements=rows)
    assert finding.code == "none-shown"
    assert {(name, value) for name, part, value in bench.tongue.lines if part == "shown"} == {
        (name, True) for name in ("battery", "timer", "link-quality", "warnings")
    }


def test_who_asks_for_an_element_is_told_apart_and_so_is_what_its_lack_does(bench: Bench) -> None:
    by_custom = bench.run(overlay_layout, elements=GOOD[1:])[0]
    assert by_custom.expected is not None
    assert "build sheet" not in by_custom.expected
    assert by_custom.why == "An empty battery is noticed only when the craft falls."
    [by_sheet] = bench.run(overlay_layout, sheet=bench.sheet(elements_required=("speed",)), elements=GOOD)
    assert "build sheet" in (by_sheet.expected or "")
    assert by_sheet.why == "The house wants the pilot to see it."

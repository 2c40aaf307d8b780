"""A sheet drafted from a craft that is right loads, and the craft passes against it; whatever the craft says."""

from __future__ import annotations

import re
import tomllib
from dataclasses import fields, replace
from functools import cache
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from propsoff.console.capture import pasted
from propsoff.craft.build import CraftBuilder
from propsoff.craft.model import NOT_FACTS, Craft, OverlayElement, Switch, Uart
from propsoff.craft.names import facts
from propsoff.exceptions import CaptureError
from propsoff.inspection.drafting import Draft, drafted
from propsoff.sheets.draft import draft_of
from propsoff.sheets.draft_words import ENDING
from propsoff.sheets.load import sheet_from
from propsoff.sheets.model import BuildSheet
from propsoff_sim.catalogue import board_names
from tests_support.conversations import CHECKS, WHEN_S, dialects, recorded
from tests_support.sheets import HEAD, read_craft


@cache
def draft(name: str) -> Draft:
    port = {"device": "/dev/ttyACM0", "path": "1-3:1.0"}
    capture = recorded(name, port=port)
    return drafted(capture, dialects=dialects(), checks=CHECKS, source=f"{name}.cast", clock=lambda: WHEN_S)


@pytest.mark.parametrize("name", board_names())
def test_every_simulated_board_passes_against_the_sheet_drafted_from_it(name: str) -> None:
    made = draft(name)
    assert made.report.sheet is not None
    assert made.report.sheet.name == tomllib.loads(made.text)["name"]
    assert made.report.verdict == "pass", [
        finding.summary for finding in made.report.findings if finding.outcome not in ("pass", "skipped")
    ]


@pytest.mark.parametrize("name", board_names())
def test_each_fact_that_was_read_stands_in_the_draft_with_its_unit(name: str) -> None:
    craft, text = read_craft(name), draft(name).text
    for fact in craft.facts():
        group, _, leaf = fact.name.partition(".")
        spec = facts().get(fact.name)
        if spec is None or spec.many or fact.name in ("overlay.columns", "overlay.rows"):
            continue
        section = text[text.index(f"[{group}]") :]
        [line] = re.findall(rf"^(?:# )?{leaf} = .*", section, re.MULTILINE)[:1]
        assert spec.unit is None or f"# {spec.unit}: " in line


def test_a_draft_of_everything_expects_it_and_nothing_else_would_do() -> None:
    """As it is when there are checks for all facts."""
    for name in board_names():
        craft = read_craft(name)
        sheet = sheet_from(draft_of(craft, source=name), "draft")
        assert len(sheet.expectations) > 15
        for fact, expected in sheet.expectations.items():
            assert expected.allows(craft.value(fact)), fact
            assert not expected.allows(None)
        assert {switch.function for switch in craft.switches or ()} == set(sheet.switches.planned)
        assert sheet.elements_required
        size = (craft.overlay.columns, craft.overlay.rows)
        [grid] = sheet.grids_for(craft.video.link)
        assert (grid.columns, grid.rows) == size


HEADING = re.compile(r"(?:# )?\[")


def with_instead(section: list[str], at: int) -> list[str]:
    """The section with the comment at `at` in the place of the active line of its key."""
    chosen = section[at].removeprefix("# ")
    key = chosen.partition(" =")[0]
    kept = [line for line in section if not line.startswith(f"{key} =")]
    return [
        chosen if line == section[at] else line.removeprefix("# ") if HEADING.match(line) else line for line in kept
    ]


def test_each_alternative_in_a_comment_is_one_that_loads_in_the_place_of_its_line() -> None:
    tried = 0
    for name in board_names():
        lines = draft_of(read_craft(name), source=name, port=("1-3:1.0",)).partition(ENDING)[0].splitlines()
        starts = [at for at, line in enumerate(lines) if HEADING.match(line)]
        for start, end in zip(starts, [*starts[1:], len(lines)], strict=True):
            section = lines[start:end]
            for at, line in enumerate(section):
                if re.match(r"# [a-z_]+ = ", line):
                    changed = "\n".join([*lines[:start], *with_instead(section, at), *lines[end:]])
                    assert sheet_from(changed, "draft").name, line
                    tried += 1
    assert tried > 300


def test_the_ending_is_a_sheet_s_part_when_the_marks_are_taken_away() -> None:
    text = "".join(line.removeprefix("# ").removeprefix("#") + "\n" for line in ENDING.splitlines())
    sheet = sheet_from(HEAD + text, "ending")
    assert (len(sheet.waivers), len(sheet.questions), len(sheet.skip), len(sheet.tolerances)) == (1, 1, 1, 1)


def test_what_no_check_asks_for_is_a_comment() -> None:
    craft = read_craft("ossel-hd53")
    everything = ["motors.protocol", "ports", "switches", "overlay.columns", "overlay.elements", "firmware.version"]
    sheet = sheet_from(draft_of(craft, source="x", unexamined=everything), "draft")
    assert not set(everything) & set(sheet.reads())
    assert "channels.order" in sheet.reads()


def test_a_craft_that_is_not_right_is_drafted_and_told() -> None:
    made = drafted(recorded("ossel-hd53+receiver-inverted"), dialects=dialects(), checks=CHECKS, source="x")
    assert made.report.verdict in ("fail", "pass")  # a house may want it so; then its sheet says so
    gone = drafted(recorded("ossel-hd53+overlay-link-missing"), dialects=dialects(), checks=CHECKS, source="x")
    assert gone.report.verdict == "fail"
    assert sheet_from(gone.text, "draft")


def test_nothing_is_drafted_from_what_nobody_recognises() -> None:
    with pytest.raises(CaptureError, match=r"hello\.txt: no sheet can be drafted"):
        drafted(pasted(b"hello"), dialects=dialects(), checks=CHECKS, source="hello.txt")


TEXTS = st.one_of(
    st.text(max_size=20),
    st.sampled_from(
        ["any", "", " ", "a\nb", '"', "\\", "\x1b[2J", "\x7f", "\udc80", "\uef80", "x" * 5000, "[a]*", "#"]
    ),
)
NUMBERS = st.one_of(st.integers(-(2**60), 2**60), st.sampled_from([0, -1, 99, 65_536]))


def value_of(name: str) -> st.SearchStrategy[Any]:
    spec = facts()[name]
    if spec.choices:
        return st.sampled_from(spec.choices)
    return {str: TEXTS, int: NUMBERS, float: st.floats(-1e12, 1e12), bool: st.booleans()}[spec.type]


FACTS = st.fixed_dictionaries(
    {}, optional={name: value_of(name) for name, spec in facts().items() if spec.repeated is None and not spec.many}
)
ROLES = st.lists(st.sampled_from(["console", "receiver", "unused"]), max_size=3).map(tuple)
SWITCHES = st.builds(
    Switch,
    function=st.one_of(st.none(), TEXTS, st.sampled_from(["arm", "level", "required", "together"])),
    channel=st.one_of(st.none(), st.integers(-1, 70)),
    from_us=st.one_of(st.none(), NUMBERS, st.integers(900, 2100)),
    to_us=st.one_of(st.none(), NUMBERS, st.integers(900, 2100)),
)


@settings(max_examples=300, deadline=None)
@given(
    FACTS,
    st.none() | st.lists(st.builds(Uart, id=TEXTS, roles=st.none() | ROLES), max_size=4).map(tuple),
    st.none() | st.lists(SWITCHES, max_size=6).map(tuple),
    st.none() | st.lists(st.builds(OverlayElement, name=st.none() | TEXTS, shown=st.none() | st.booleans())).map(tuple),
    st.lists(TEXTS, max_size=2),
)
def test_whatever_a_craft_says_its_draft_loads_and_expects_what_it_says(
    said: dict[str, Any],
    ports: tuple[Uart, ...] | None,
    switches: tuple[Switch, ...] | None,
    elements: tuple[OverlayElement, ...] | None,
    port: list[str],
) -> None:
    builder = CraftBuilder()
    for name, value in said.items():
        builder.put(name, value, lines=[1])
    craft: Craft = builder.craft()
    craft = replace(craft, ports=ports, switches=switches, overlay=replace(craft.overlay, elements=elements))
    text = draft_of(craft, source="a\n[b]", port=port)
    assert not [char for char in text.replace("\n", "") if not char.isprintable()]
    sheet: BuildSheet = sheet_from(text, "draft")
    for fact, expected in sheet.expectations.items():
        assert expected.allows(craft.value(fact)), fact
    rules = {rule.fact: rule.patterns for rule in sheet.match}
    assert rules.get("board.name", (craft.board.name,)) == (craft.board.name,)


def test_a_draft_asks_for_every_group_of_a_sheet() -> None:
    drawn = draft_of(read_craft("ossel-analog"), source="x")
    groups = {each.name for each in fields(Craft)} - {*NOT_FACTS, "arming"}
    assert groups <= set(re.findall(r"\[([a-z]+)[\].]", drawn))


def test_a_version_that_no_order_reaches_is_expected_as_it_is() -> None:
    builder = CraftBuilder()
    builder.put("firmware.version", "4.3-field7", lines=[1])
    expected = sheet_from(draft_of(builder.craft(), source="x"), "draft").expected("firmware.version")
    assert expected is not None
    assert expected.allows("4.3-field7")


def test_functions_that_lie_on_top_of_each_other_on_this_craft_may_do_so() -> None:
    craft = replace(Craft(), switches=(Switch("arm", 5, 1700, 2100), Switch("beeper", 5, 1800, 2100)))
    plan = sheet_from(draft_of(craft, source="x"), "draft").switches
    assert plan.together == {frozenset({"arm", "beeper"})}

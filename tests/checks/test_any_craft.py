"""Whatever a board says: every built-in check answers with findings, never breaks, and passes nothing unread."""

from __future__ import annotations

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from propsoff import BuildSheet, Finding
from propsoff.craft.names import FactSpec, facts
from propsoff_checks import propsoff_checks
from tests_support.crafts import Bench

CHECKS = propsoff_checks()
TEXTS = st.one_of(st.text(max_size=12), st.sampled_from(["AETR", "crsf", "sbus", "U2", "4.2.0", "", "x" * 3000]))
NUMBERS = st.one_of(st.integers(-3, 80), st.sampled_from([0, 65_536, 115_200, 420_000, -(2**31), 2**53]))


def values(spec: FactSpec) -> st.SearchStrategy[Any]:
    """Anything that the fact may be, and None for not read."""
    if spec.choices:
        one: st.SearchStrategy[Any] = st.sampled_from(spec.choices)
    else:
        one = {bool: st.booleans(), int: NUMBERS, float: st.floats(-10, 1e6), str: TEXTS}[spec.type]
    return st.one_of(st.none(), st.lists(one, max_size=4).map(tuple) if spec.many else one)


def rows(group: str) -> st.SearchStrategy[Any]:
    fields = {
        name.removeprefix(f"{group}[]."): values(spec) for name, spec in facts().items() if spec.repeated == group
    }
    return st.one_of(st.none(), st.lists(st.fixed_dictionaries(fields), max_size=7))


FACTS = st.fixed_dictionaries(
    {}, optional={name: values(spec) for name, spec in facts().items() if spec.repeated is None}
)
SHEETS = st.sampled_from(
    [
        None,
        Bench().sheet(),
        Bench().sheet(grid=[(50, 18), (60, 22)], expect={"receiver.protocol": "sbus", "channels.order": "TAER"}),
        Bench().sheet(expect={"overlay.enabled": True, "video.link": "analog"}, roles_required=("positioning",)),
        Bench().sheet(roles_allowed=(), expect={"receiver.telemetry": True, "receiver.inverted": False}),
    ]
)


def examine(changes: dict[str, object], ports: Any, elements: Any, sheet: BuildSheet | None) -> list[Finding]:
    bench = Bench()
    return [
        finding
        for check in CHECKS
        for finding in bench.run(check, changes, sheet=sheet, ports=ports, elements=elements)
    ]


@settings(max_examples=400, deadline=None)
@given(FACTS, rows("ports"), rows("overlay.elements"), SHEETS)
def test_no_craft_breaks_a_check(
    changes: dict[str, object], ports: Any, elements: Any, sheet: BuildSheet | None
) -> None:
    findings = examine(changes, ports, elements, sheet)
    assert {finding.check for finding in findings} == {check.id for check in CHECKS}
    assert [finding.summary for finding in findings if finding.outcome == "error"] == []
    for check in CHECKS:
        mine = [finding.outcome.value for finding in findings if finding.check == check.id]
        assert mine == ["pass"] or "pass" not in mine or check.id == "overlay-canvas"


@settings(max_examples=60, deadline=None)
@given(FACTS, rows("ports"), rows("overlay.elements"), SHEETS)
def test_the_same_craft_gives_the_same_findings(
    changes: dict[str, object], ports: Any, elements: Any, sheet: BuildSheet | None
) -> None:
    once = [one.model_dump_json() for one in examine(changes, ports, elements, sheet)]
    assert once == [one.model_dump_json() for one in examine(changes, ports, elements, sheet)]


def test_a_craft_of_which_nothing_was_read_passes_no_check() -> None:
    nothing = dict.fromkeys((name for name, spec in facts().items() if spec.repeated is None), None)
    findings = examine(dict(nothing), None, None, None)
    # Two look at nothing but what the sheet asks for, and are skipped where it asks nothing.
    outcomes = {one.outcome.value for one in findings if one.check not in ("hand-notes", "build-facts")}
    assert outcomes == {"unknown"}
    assert {finding.check for finding in findings} == {check.id for check in CHECKS}


def test_every_finding_that_asks_for_something_says_why_how_and_what_to_beware_of() -> None:
    asking: list[Finding] = []
    faults: tuple[dict[str, object], ...] = (
        {"receiver.inverted": True},
        {"receiver.half_duplex": True},
        {"channels.order": "TAER"},
        {"overlay.columns": 47},
        {"firmware.version": "1.0"},
    )
    for changes in faults:
        asking += examine(changes, None, None, None)
    asking = [finding for finding in asking if finding.outcome in ("fail", "warn")]
    assert len(asking) >= 5
    for finding in asking:
        assert finding.why
        assert finding.remedy.console or finding.remedy.steps
        assert "Propellers off" in (finding.caution or "")
        assert finding.expected
        assert finding.actual
        assert finding.sources
        assert finding.evidence

"""Two reports side by side, against a plain comparison of their facts as they were made."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from propsoff.console.capture import load_capture
from propsoff.craft.model import Fact
from propsoff.inspection.applicable import applicable
from propsoff.inspection.finding import Finding, Outcome, Waived
from propsoff.inspection.report import ProblemSeen, Report
from propsoff.library import toolbox
from propsoff.records.compare import Comparison, compare
from propsoff.records.named import named_facts
from propsoff.settings import Settings
from propsoff.sheets.catalogue import built_in_sheets
from tests_support.captures import SOUND
from tests_support.visits import a_visit


def of(facts: dict[str, Any], **columns: Any) -> Report:
    """A report that states these facts."""
    made = tuple(Fact(name, value) for name, value in facts.items())
    return a_visit("Wren", facts=made, **columns)[0]


def names(found: Comparison, part: str) -> list[str]:
    return [one.name for one in getattr(found, part)]


def test_a_changed_setting_is_the_only_difference() -> None:
    facts = {"receiver.protocol": "crsf", "channels.order": "AETR", "motors.poles": 14}
    found = compare(of(facts), of({**facts, "channels.order": "TAER"}))
    assert [(one.name, one.a, one.b) for one in found.differs] == [("channels.order", "AETR", "TAER")]
    assert (found.equal, found.only_a, found.only_b, found.unreadable) == (2, (), (), ())
    assert found.different
    assert not found.same


def test_rows_are_compared_by_what_they_are_called() -> None:
    first = {"ports[0].id": "UART1", "ports[0].baud": 9600, "ports[1].id": "UART2", "ports[1].baud": 115200}
    turned = {"ports[0].id": "UART2", "ports[0].baud": 115200, "ports[1].id": "UART1", "ports[1].baud": 9600}
    assert compare(of(first), of(turned)).same
    more = {**turned, "ports[2].id": "UART3", "ports[2].baud": 57600}
    assert names(compare(of(first), of(more)), "only_b") == ["ports[UART3].baud"]


def test_two_rows_of_one_name_stay_two() -> None:
    twice = {
        "switches[0].function": "arm",
        "switches[0].channel": 5,
        "switches[1].function": "arm",
        "switches[1].channel": 6,
    }
    assert named_facts(twice) == {"switches[arm].channel": 5, "switches[arm #2].channel": 6}


def test_readings_and_identity_are_no_settings() -> None:
    a = {"battery.volts": 16.2, "channels.live": (1500,), "board.serial": "1", "craft.name": "Wren", "motors.poles": 14}
    b = {"battery.volts": 15.1, "channels.live": (1501,), "board.serial": "2", "craft.name": "Tern", "motors.poles": 14}
    found = compare(of(a), of(b))
    assert names(found, "readings") == ["battery.volts", "channels.live"]
    assert names(found, "identity") == ["board.serial", "craft.name"]
    assert found.same


def test_a_new_name_of_one_board_is_a_changed_setting() -> None:
    found = compare(
        of({"board.serial": "1", "craft.name": "Wren"}),
        of({"board.serial": "1", "craft.name": "Tern"}),
    )
    assert names(found, "differs") == ["craft.name"]
    assert found.different


def test_after_a_listing_with_a_gap_nothing_is_missing_for_certain() -> None:
    gap = Finding(check="listing", outcome=Outcome.UNKNOWN, code="not-whole", summary="not all was read")
    found = compare(of({"motors.poles": 14}), of({}, findings=(gap,)))
    assert names(found, "unreadable") == ["motors.poles"]
    assert found.only_a == ()


@pytest.mark.parametrize(
    ("problem", "there", "lost"),
    [
        ("channels.order", {}, ["channels.order"]),
        ("ports", {}, ["ports", "ports[UART1].baud"]),
        ("ports[0].baud", {"ports[0].id": "UART1", "ports[0].roles": ("receiver",)}, ["ports[UART1].baud"]),
        ("ports[3].baud", {"ports[0].id": "UART1", "ports[0].roles": ("receiver",)}, ["ports", "ports[UART1].baud"]),
    ],
)
def test_what_could_not_be_read_is_never_the_same(problem: str, there: dict[str, Any], lost: list[str]) -> None:
    whole = {"ports[0].id": "UART1", "ports[0].roles": ("receiver",), "ports[0].baud": 9600, "channels.order": "AETR"}
    known = there or {"ports[0].id": "UART1", "ports[0].roles": ("receiver",), "ports[0].baud": 9600}
    known = {} if problem == "ports" else known
    broken = of(known, problems=(ProblemSeen(message="lost", fact=problem),))
    whole = {name: value for name, value in whole.items() if name != "channels.order" or problem == "channels.order"}
    for found in (compare(of(whole), broken), compare(broken, of(whole))):
        assert set(lost) <= set(names(found, "unreadable"))
        assert not found.same
        assert found.differs == ()


def test_after_a_conversation_that_broke_off_nothing_is_missing_for_certain() -> None:
    found = compare(of({"motors.poles": 14, "channels.order": "AETR"}), of({"motors.poles": 14}, complete=False))
    assert names(found, "unreadable") == ["channels.order"]
    assert found.only_a == ()


def test_findings_come_go_and_change() -> None:
    def fails(check: str, **more: Any) -> Finding:
        return Finding(check=check, outcome=Outcome.FAIL, code="x", summary=f"of {check}", **more)

    waived = Waived(reason="may be", source="sheet.toml:3")
    a = of(
        {},
        findings=(
            fails("gone"),
            fails("stays"),
            fails("waived"),
            Finding(check="new", outcome=Outcome.PASS, summary="y"),
        ),
    )
    skipped = Finding(check="gone", outcome=Outcome.SKIPPED, summary="the craft has none")
    b = of({}, findings=(fails("stays"), fails("waived", waived=waived), fails("new"), skipped))
    assert [(one.name, one.a, one.b) for one in compare(a, b).findings] == [
        ("gone/x", "fail", None),
        ("waived/x", "fail", "fail, waived"),
        ("new/x", None, "fail"),
    ]


def test_a_finding_is_not_gone_where_its_check_did_not_run_or_could_not_tell() -> None:
    failed = Finding(check="ports", outcome=Outcome.FAIL, code="x", summary="of ports")
    unread = Finding(check="ports", outcome=Outcome.UNKNOWN, code="unread", summary="not read")
    broke = Finding(check="ports", outcome=Outcome.ERROR, summary="the check broke")
    well = Finding(check="ports", outcome=Outcome.PASS, summary="well")
    gap = Finding(check="listing", outcome=Outcome.UNKNOWN, code="not-whole", summary="not all was read")
    for findings, more in (
        ((unread,), {}),
        ((broke,), {}),
        ((Finding(check="other", outcome=Outcome.PASS, summary="y"),), {}),
        ((well,), {"complete": False}),
        ((well, gap), {}),
        (taken_out_of_a_real_report(), {}),
    ):
        there, lost = of({}, findings=(failed,)), of({}, findings=findings, **more)
        for found in (compare(there, lost), compare(lost, there)):
            assert found.findings == ()
            assert ("ports/x", {"fail", "not known"}) in [(one.name, {one.a, one.b}) for one in found.findings_unknown]
            assert not found.same
            assert not found.different


def taken_out_of_a_real_report() -> tuple[Finding, ...]:
    """What an inspection says of a check that the settings, or the build sheet, leave out; called `ports` each."""
    capture = load_capture(SOUND)
    settings = Settings.model_validate({"checks": {"skip": ["overlay-canvas"]}})
    [by_settings] = [one for one in toolbox(settings).inspect(capture).findings if one.check == "overlay-canvas"]
    check = toolbox().checks[0].check
    house = next(one for one in built_in_sheets() if one.name == "house-default")
    by_sheet = [
        applicable(sheet, [check], []).findings[0]
        for sheet in (replace(house, skip={check.id: "why"}), replace(house, only=("another",)))
    ]
    return tuple(one.model_copy(update={"check": "ports"}) for one in (by_settings, *by_sheet))


_NAMES = st.sampled_from(["receiver.protocol", "channels.order", "motors.poles", "motors.reversed", "overlay.rows"])
_VALUES = st.one_of(st.integers(0, 3), st.booleans(), st.sampled_from(["a", "b"]))
_FACTS = st.dictionaries(_NAMES, _VALUES)


@given(a=_FACTS, b=_FACTS)
def test_it_agrees_with_a_plain_comparison(a: dict[str, Any], b: dict[str, Any]) -> None:
    found = compare(of(a), of(b))
    both = [name for name in a if name in b]
    alike = [name for name in both if (type(a[name]) is bool, a[name]) == (type(b[name]) is bool, b[name])]
    assert found.equal == len(alike)
    assert set(names(found, "differs")) == {*both} - {*alike}
    assert set(names(found, "only_a")) == {*a} - {*b}
    assert set(names(found, "only_b")) == {*b} - {*a}
    assert found.same == (a.keys() == b.keys() and len(alike) == len(a))


@given(facts=_FACTS)
def test_a_report_is_the_same_as_itself(facts: dict[str, Any]) -> None:
    assert compare(of(facts), of(facts)).same

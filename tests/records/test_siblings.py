"""Craft of one kind: who stands against the others, and who has which fault."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from propsoff.records.named import Named
from propsoff.records.siblings import Sibling, faults_of, odd_settings


def craft(
    label: str, facts: dict[str, Any], faults: tuple[str, ...] = (), lost: tuple[str, ...] = (), whole: bool = True
) -> Sibling:
    told = {name: ("fail", f"says {name}") for name in faults}
    return Sibling(label, f"report-{label}", "2026-03-01T00:00:00.000Z", Named(facts, {}, frozenset(lost), whole), told)


def test_the_one_with_another_value_stands_against_the_others() -> None:
    (odd,) = odd_settings([craft(name, {"overlay.rows": rows}) for name, rows in (("A", 20), ("B", 20), ("C", 18))])
    assert (odd.name, odd.usual, odd.odd_ones) == ("overlay.rows", "20", ("C",))
    assert odd.values == (("20", ("A", "B")), ("18", ("C",)))


def test_where_no_value_leads_nobody_is_odd() -> None:
    (odd,) = odd_settings([craft("A", {"overlay.rows": 20}), craft("B", {"overlay.rows": 18})])
    assert (odd.usual, odd.odd_ones) == (None, ())


def test_who_does_not_state_it_stands_apart_and_who_cannot_be_read_does_not() -> None:
    (odd,) = odd_settings(
        [
            craft("A", {"motors.poles": 14}),
            craft("B", {"motors.poles": 14}),
            craft("C", {}),
            craft("D", {}, lost=("motors.poles",)),
            craft("E", {}, whole=False),
        ]
    )
    assert (odd.usual, odd.odd_ones, odd.unreadable) == ("14", ("C",), ("D", "E"))


def test_names_and_readings_are_no_odd_settings() -> None:
    ones = [craft(str(at), {"board.serial": str(at), "craft.name": str(at), "battery.volts": at}) for at in range(3)]
    assert odd_settings(ones) == ()


def test_a_fault_is_looked_for_on_all_and_one_that_broke_off_is_unknown() -> None:
    found = faults_of(
        [
            craft("A", {}, ("overlay-layout/small-layout",)),
            craft("B", {}, ("overlay-layout/small-layout", "failsafe/hold")),
            craft("C", {}),
            craft("D", {}, whole=False),
        ]
    )
    assert [(one.name, one.has, one.has_not, one.unknown, one.shared) for one in found] == [
        ("overlay-layout/small-layout", ("A", "B"), ("C",), ("D",), True),
        ("failsafe/hold", ("B",), ("A", "C"), ("D",), False),
    ]


@given(st.lists(st.dictionaries(st.sampled_from("pqr"), st.sampled_from("xyz")), min_size=2, max_size=6))
def test_it_agrees_with_plain_counting(facts: list[dict[str, str]]) -> None:
    found = {one.name: one for one in odd_settings([craft(str(at), each) for at, each in enumerate(facts)])}
    for name in "pqr":
        counts = Counter(each.get(name, "not stated") for each in facts).most_common()
        if len(counts) < 2:
            assert name not in found
        elif counts[0][1] == counts[1][1]:
            assert found[name].usual is None
        else:
            assert found[name].usual == counts[0][0]
            assert len(found[name].odd_ones) == len(facts) - counts[0][1]


def test_a_port_is_compared_among_boards_that_name_theirs_alike() -> None:
    ones = [
        craft("A", {"board.name": "Draycot", "ports[U1].baud": 9600}),
        craft("B", {"board.name": "Draycot", "ports[U1].baud": 9600}),
        craft("C", {"board.name": "Draycot"}),
        craft("D", {"board.name": "Marl", "ports[W1].baud": 9600}),
    ]
    named = {one.name: one for one in odd_settings(ones)}
    assert named.keys() == {"board.name", "ports[U1].baud"}
    assert named["ports[U1].baud"].odd_ones == ("C",)


def test_nobody_is_free_of_a_fault_whose_check_could_not_tell_or_was_not_there_yet() -> None:
    unsure = replace(craft("B", {}), unsure=frozenset({"failsafe"}))
    before_that_check = replace(craft("C", {}), left="as found that day", asked=frozenset({"port-roles"}))
    asked_then = replace(craft("D", {}), left="as found that day", asked=frozenset({"failsafe"}))
    (fault,) = faults_of([craft("A", {}, ("failsafe/hold",)), unsure, before_that_check, asked_then])
    assert (fault.has, fault.unknown, fault.has_not) == (("A",), ("B", "C"), ("D",))


def test_one_whose_sheet_lets_the_fault_be_has_it_all_the_same() -> None:
    waived = replace(craft("B", {}), found=frozenset({"failsafe/hold"}))
    (fault,) = faults_of([craft("A", {}, ("failsafe/hold",)), waived])
    assert fault.has == ("A", "B")
    assert faults_of([waived, craft("C", {})]) == ()


_CRAFT = st.tuples(st.sets(st.sampled_from(["a/x", "a/y", "b"])), st.sets(st.sampled_from("ab")), st.booleans())


@given(st.lists(_CRAFT, min_size=2, max_size=6))
def test_faults_agree_with_a_plain_table(table: list[tuple[set[str], set[str], bool]]) -> None:
    ones = [
        replace(craft(str(at), {}, tuple(sorted(faults)), whole=whole), unsure=frozenset(unsure))
        for at, (faults, unsure, whole) in enumerate(table)
    ]
    found = {one.name: one for one in faults_of(ones)}
    assert found.keys() == set().union(*(faults for faults, _, _ in table))
    for name, one in found.items():
        for at, (faults, unsure, whole) in enumerate(table):
            sure = whole and name.split("/")[0] not in unsure
            expected = "has" if name in faults else "has_not" if sure else "unknown"
            assert [part for part in ("has", "has_not", "unknown") if str(at) in getattr(one, part)] == [expected]

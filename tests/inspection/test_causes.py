"""Effects are laid under their cause."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from propsoff import Finding, Outcome
from propsoff.inspection.causes import under_their_causes


def finding(name: str, *explains: str, outcome: Outcome = Outcome.FAIL) -> Finding:
    check, _, code = name.partition("/")
    return Finding(check=check, code=code or None, outcome=outcome, summary=name, explains=explains)


def because(*findings: Finding) -> list[str | None]:
    return [one.because for one in under_their_causes(findings)]


@pytest.mark.parametrize("named", ["b", "b/x"])
@pytest.mark.parametrize("outcome", [Outcome.WARN, Outcome.FAIL, Outcome.UNKNOWN])
def test_an_effect_names_its_cause_whichever_stands_first(named: str, outcome: Outcome) -> None:
    cause, effect = finding("a/y", named), finding("b/x", outcome=outcome)
    assert because(cause, effect) == [None, "a/y"]
    assert because(effect, cause) == ["a/y", None]


@pytest.mark.parametrize("outcome", [Outcome.PASS, Outcome.SKIPPED, Outcome.ERROR])
def test_what_is_no_trouble_or_a_broken_check_is_no_effect(outcome: Outcome) -> None:
    assert because(finding("a", "b"), finding("b", outcome=outcome)) == [None, None]


@pytest.mark.parametrize("outcome", [Outcome.PASS, Outcome.SKIPPED, Outcome.ERROR, Outcome.UNKNOWN])
def test_only_what_asks_for_something_is_a_cause(outcome: Outcome) -> None:
    assert because(finding("a", "b", outcome=outcome), finding("b")) == [None, None]


def test_another_finding_of_the_same_check_is_not_meant_by_a_code() -> None:
    assert because(finding("a", "b/x"), finding("b/y"), finding("b")) == [None, None, None]


def test_the_first_of_two_causes_is_named_and_the_first_of_two_that_explain_each_other_is_the_cause() -> None:
    assert because(finding("c"), finding("a", "c"), finding("b", "c")) == ["a", None, None]
    assert because(finding("a", "b"), finding("b", "a")) == [None, "a"]


def test_an_effect_of_an_effect_is_laid_under_the_root() -> None:
    assert because(finding("c"), finding("b", "c"), finding("a", "b")) == ["a", "a", None]


NAMES = st.sampled_from(["a", "a/x", "b", "b/x", "c", "d"])


@given(st.lists(st.tuples(NAMES, st.lists(NAMES, max_size=3), st.sampled_from(Outcome)), max_size=8))
def test_every_effect_hangs_under_a_finding_that_hangs_under_none(drawn: list[tuple[str, list[str], Outcome]]) -> None:
    made = [finding(name, *explains, outcome=outcome) for name, explains, outcome in drawn]
    laid = under_their_causes(made)
    assert [one.model_copy(update={"because": None}) for one in laid] == made
    roots = {one.name for one in laid if one.because is None}
    assert {one.because for one in laid} - {None} <= roots

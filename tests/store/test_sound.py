"""Reports that come back from a file: what is no report, or speaks against itself, is refused in words."""

from __future__ import annotations

import json
import re

import pytest

from propsoff.inspection.finding import Outcome, Verdict
from propsoff.store.sound import sound_report
from tests_support.visits import a_visit


def edited(**keys: object) -> str:
    return json.dumps(json.loads(a_visit("one")[0].to_json()) | keys)


def test_a_report_comes_back_as_it_was_written() -> None:
    report, _ = a_visit("one")
    assert sound_report(report.to_json()) == report


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "it is no JSON (EOF while parsing a value at line 1 column 0)"),
        ("[" * 100_000, "it is no JSON (recursion limit exceeded"),
        ("[]", "input should be an object"),
        (edited(mine=1), "mine: extra inputs are not permitted"),
        (edited(bench=1, complete=None), "bench: input should be a valid string, and 1 more"),
        (edited(findings=[{"check": "a", "outcome": "great"}]), "findings[0].outcome: input should be 'pass', 'warn'"),
        (edited(verdict="pass"), "its verdict is pass, but what it found makes it warn"),
        (edited(verdict="pass", complete=False), "its verdict is pass, but what it found makes it incomplete"),
        (edited(verdict="pass", findings=[]), "its verdict is pass, but what it found makes it unknown"),
    ],
)
def test_what_is_wrong_is_said_in_words_for_people(text: str, said: str) -> None:
    with pytest.raises(ValueError, match=f"^{re.escape(said)}") as caught:
        sound_report(text)
    assert "pydantic" not in str(caught.value)
    assert "validation error" not in str(caught.value)


@pytest.mark.parametrize("outcome", list(Outcome))
def test_a_verdict_that_is_worse_than_what_was_found_lets_nothing_pass_and_is_taken(outcome: Outcome) -> None:
    findings = [{"check": "a", "outcome": outcome.value, "summary": "so"}]
    assert sound_report(edited(verdict="error", findings=findings)).verdict is Verdict.ERROR
    assert sound_report(edited(verdict="fail", findings=findings)).verdict is Verdict.FAIL

"""A board that was learned is judged as one whose dialect was written by hand."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

from propsoff.console.capture import Capture
from propsoff.dialects.load import load_dialect
from propsoff.dialects.model import Dialect
from propsoff.library import toolbox
from tests_support.learned import inspected_again, learned
from tests_support.trial_consoles_b.kelderby import Kelderby

BY_HAND = Path(__file__).with_name("kelderby.toml")
SAID = ("check", "outcome", "code", "summary", "expected", "actual", "why")
"""What a finding says of the craft; how it is put right is said in a dialect's own words."""


def _findings(capture: Capture, dialect: Dialect) -> list[dict[str, Any]]:
    report = replace(toolbox(), dialects=(dialect,)).inspect(capture)
    return [finding.model_dump(mode="json", include=set(SAID)) for finding in report.findings]


async def test_what_was_learned_gives_the_findings_of_a_dialect_written_by_hand() -> None:
    one = await learned(Kelderby)
    assert one.lesson.dialect is not None
    by_hand = load_dialect(BY_HAND)
    _, heard = await inspected_again(Kelderby, by_hand)
    _, again = await inspected_again(Kelderby, one.lesson.dialect)
    assert (heard.ending, again.ending) == ("done", "done")
    mine = _findings(heard.capture, by_hand)
    assert _findings(again.capture, one.lesson.dialect) == mine
    assert {finding["outcome"] for finding in mine} >= {"pass", "fail"}

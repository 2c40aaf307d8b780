"""A report on a terminal: what is said once, what is laid under its cause, what is left in peace."""

from __future__ import annotations

import io
from datetime import date

import pytest
from rich.console import Console

from propsoff.inspection.finding import Evidence, Verdict
from propsoff.inspection.report import DialectUsed, ProblemSeen, Report, SheetUsed
from propsoff.outputs.terminal import console_for, first_step, row_of, show_report
from tests_support.findings import CAUSE, EFFECT, LET_BE, PASSED, report_of


def shown(of: Report, **more: str) -> list[str]:
    stream = io.StringIO()
    show_report(of, console_for(stream), **more)
    return stream.getvalue().splitlines()


def plain_console() -> Console:
    return console_for(io.StringIO())


def test_an_effect_stands_in_one_line_under_its_cause_and_is_nothing_to_do() -> None:
    lines = shown(report_of(EFFECT, PASSED, CAUSE))
    cause = next(at for at, line in enumerate(lines) if "receiver-type" in line)
    assert "      also seen: channel-order: no channel was read" in lines[cause:]
    assert sum("channel-order" in line for line in lines) == 1
    assert not any("Move a stick." in line for line in lines)


def test_an_effect_whose_cause_is_not_in_the_report_is_shown_in_full() -> None:
    assert any("Move a stick." in line for line in shown(report_of(EFFECT)))


@pytest.mark.parametrize(("until", "words"), [(date(2027, 3, 1), "waived until 2027-03-01: "), (None, "waived: ")])
def test_a_waived_finding_is_its_outcome_and_the_word_for_it_without_a_remedy(until: date | None, words: str) -> None:
    assert LET_BE.waived is not None
    let_be = LET_BE.model_copy(update={"waived": LET_BE.waived.model_copy(update={"until": until})})
    lines = shown(report_of(let_be, CAUSE))
    line = next(at for at, line in enumerate(lines) if "overlay-canvas" in line)
    assert f"fail {words}the goggles are to be changed" in lines[line]
    assert not any("Choose the other grid." in each for each in lines)
    assert line < next(at for at, each in enumerate(lines) if "receiver-type" in each)


@pytest.mark.parametrize(("count", "words"), [(1, "1 value on the"), (2, "2 values on the")])
def test_problems_are_counted_rightly_and_without_a_line_no_line_is_mentioned(count: int, words: str) -> None:
    problems = (ProblemSeen(message="too many lines"), ProblemSeen(message="no number", line=7))[:count]
    lines = shown(report_of(problems=problems))
    assert any(words in line for line in lines)
    assert "    too many lines" in lines
    assert ("    line 7: no number" in lines) == (count == 2)


def test_a_problem_that_a_finding_tells_is_not_told_again() -> None:
    told = EFFECT.model_copy(update={"summary": "not read from this board: x (line 7: no number)"})
    problems = (ProblemSeen(message="no number", line=7), ProblemSeen(message="no number", line=71))
    lines = shown(report_of(told, problems=problems))
    assert "  1 value on the console could not be read:" in lines
    assert "    line 71: no number" in lines
    assert "    line 7: no number" not in lines


@pytest.mark.parametrize(
    ("count", "words"), [(5, "and 1 more line in the report"), (6, "and 2 more lines in the report")]
)
def test_evidence_is_cut_where_it_is_long_and_the_rest_is_counted(count: int, words: str) -> None:
    seen = tuple(Evidence(line=1 + at, text="9" * 500) for at in range(count))
    lines = shown(report_of(CAUSE.model_copy(update={"evidence": seen})))
    assert any(line.endswith(words) for line in lines)
    assert any(line.endswith(f"line 1: {'9' * 160}… (500 characters)") for line in lines)


def test_the_file_the_sheet_and_the_dialect_are_named() -> None:
    used = SheetUsed(name="ours", title="Ours", source="ours.toml", why="board is FENWICK F7")
    dialect = DialectUsed(id="ossel", version="1")
    path = "/bench/" + 40 * "captures/" + "one.cast"
    lines = shown(report_of(sheet=used, dialect=dialect), file=path)
    assert f"  file: {path}" in lines
    assert "  judged by: sheet ours (board is FENWICK F7); read by: dialect ossel 1" in lines
    assert "/dev/one" not in lines[1]
    assert "/dev/one" in shown(report_of())[1]


def test_a_row_leaves_to_the_finding_below_what_that_says() -> None:
    assert CAUSE.summary not in row_of(report_of(CAUSE), plain_console()).plain
    passed = report_of(PASSED, LET_BE, verdict=Verdict.PASS)
    assert row_of(passed, plain_console()).plain.endswith("ready: every check passed, 1 waived")
    broken = report_of(complete=False, ended="The board was unplugged.", verdict=Verdict.INCOMPLETE)
    assert row_of(broken, plain_console()).plain.endswith("The board was unplugged.")


def test_the_first_thing_to_do_is_a_line_to_type_where_there_is_one() -> None:
    assert first_step(CAUSE) == "type: put kind serial  (and 1 more line)"
    assert first_step(EFFECT) == "do: Move a stick."
    assert first_step(PASSED) is None

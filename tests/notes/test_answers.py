"""Which value can be the answer to which question, from a file and from a keyboard."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from propsoff import WELL_KNOWN, Question, compare_versions, wanted_answer
from propsoff.notes import known
from propsoff.notes.answers import answer_of

YES_NO = Question("a", "Is it?", "yes-no")
VERSION = Question("b", "Which version?", "version")
TEXT = Question("c", "What is it?", "text")
CHOICE = Question("d", "Which?", "choice", ("small", "Large", "6"))
EVERY = (YES_NO, VERSION, TEXT, CHOICE)


@pytest.mark.parametrize(
    ("question", "good", "bad"),
    [
        (YES_NO, [True, False], ["yes", "true", 1, 0, "", 1.0]),
        (
            VERSION,
            ["1.10.0", "4.2", "2026-03-14", "1.9.2rc1", "7"],
            [4.2, 4, True, "", "v4.2", "new", "x1", "03/04/2026"],
        ),
        (TEXT, ["x", "4.2"], ["", "  ", True, 4]),
        (CHOICE, ["small", "LARGE", " small ", "6"], ["medium", "", 6, 1, True, "1"]),
    ],
    ids=lambda each: each.kind if isinstance(each, Question) else "",
)
def test_an_answer_must_be_of_the_kind_of_its_question(
    question: Question, good: list[object], bad: list[object]
) -> None:
    assert [value for value in good if wanted_answer(question, value) is not None] == []
    assert [value for value in bad if wanted_answer(question, value) is None] == []


@pytest.mark.parametrize(
    ("question", "typed", "value"),
    [
        (YES_NO, "y", True),
        (YES_NO, " Yes ", True),
        (YES_NO, "n", False),
        (YES_NO, "NO", False),
        (VERSION, " 1.10.0 ", "1.10.0"),
        (TEXT, " two words ", "two words"),
        (CHOICE, "1", "small"),
        (CHOICE, "2", "Large"),
        (CHOICE, "large", "Large"),
        (CHOICE, "3", "6"),
        (CHOICE, "02", "Large"),
    ],
)
def test_what_is_typed_becomes_a_value_of_the_right_type(question: Question, typed: str, value: object) -> None:
    answer = answer_of(question, typed)
    assert (type(answer), answer) == (type(value), value)


@pytest.mark.parametrize(
    ("question", "typed", "told"),
    [
        (YES_NO, "1", "y or n"),
        (YES_NO, "true", "y or n"),
        (VERSION, "new", "begins with a digit"),
        (VERSION, "v4.2", "begins with a digit"),
        (CHOICE, "0", "a number from 1 to 3"),
        (CHOICE, "4", "a number from 1 to 3"),
        (CHOICE, "6", "a number from 1 to 3"),  # the third choice reads 6: a number always counts the lines
        (CHOICE, "9" * 5000, "at most 400"),
        (CHOICE, "9" * 300, "a number from 1 to 3"),
        (CHOICE, "²", "a number from 1 to 3"),
        (CHOICE, "medium", "a number from 1 to 3"),
        (TEXT, "x" * 401, "at most 400"),
        (TEXT, "a\x1b[2Jb", "all of which print"),
    ],
)
def test_what_is_no_answer_is_refused_with_what_to_type(question: Question, typed: str, told: str) -> None:
    with pytest.raises(ValueError, match=told):
        answer_of(question, typed)


@given(st.sampled_from(EVERY), st.text(max_size=30))
def test_whatever_is_typed_is_refused_or_a_usable_answer(question: Question, typed: str) -> None:
    try:
        value = answer_of(question, typed)
    except ValueError:
        return
    assert wanted_answer(question, value) is None


@given(st.text(max_size=30))
def test_a_usable_version_can_be_compared(text: str) -> None:
    if wanted_answer(VERSION, text) is None:
        assert compare_versions(text, text) == 0


def test_the_guide_lists_every_well_known_id_with_its_kinds_and_what_it_is_about() -> None:
    guide = (Path(__file__).parents[2] / "contrib" / "guide" / "hand-notes.md").read_text(encoding="utf-8")
    rows = [line for line in guide.splitlines() if line.startswith("| `") and line.count("`") >= 4 and "-" in line]
    told = [row for row in rows if any(row.startswith(f"| `{name}` |") for name in WELL_KNOWN)]
    assert told == [
        f"| `{each.id}` | {' or '.join(f'`{kind}`' for kind in each.kinds)} | {each.about} |"
        for each in WELL_KNOWN.values()
    ]
    constants = {value for name, value in vars(known).items() if name.isupper() and isinstance(value, str)}
    assert constants == set(WELL_KNOWN)

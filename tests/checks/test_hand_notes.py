"""hand-notes against answers that are right, wrong, missing, of the wrong kind, and to what nobody asked.

The questions are inventions for the demonstration; that nobody works beside propellers is droneracingsafety.org's rule.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from propsoff import WELL_KNOWN, Case, Expected, Finding, HandNote, Pattern, Question, Range, WrittenNote
from propsoff.inspection.causes import under_their_causes
from propsoff.inspection.runner import run_checks
from propsoff_checks.hand_notes import hand_notes
from propsoff_checks.video_link import video_link
from tests_support.crafts import Bench, outcomes, told

GOGGLES = Question(
    "goggles-firmware",
    "Which firmware do the goggles run?",
    "version",
    expected=Expected((Range("1.9.2", "1.10.0"),)),
    why="Older goggles draw a smaller grid.",
    remedy="Update the goggles first.",
)
BOUND = Question("receiver-bound", "Is the receiver bound?", "yes-no", expected=Expected((True,)))
PLUG = Question("plug", "Which plug?", "choice", ("small", "Large"), Expected(("large",)))
BOX = Question("box", "What else is in the box?", "text")
EVERY = (GOGGLES, BOUND, PLUG, BOX)
GOOD: Mapping[str, object] = {
    "goggles-firmware": "1.9.10",
    "receiver-bound": True,
    "plug": "LARGE",
    "box": "a strap",
}


def examine(answers: Mapping[str, Any], questions: tuple[Question, ...] = EVERY) -> list[Finding]:
    bench = Bench()
    craft, lines = bench.craft()
    notes = {name: value if isinstance(value, HandNote) else HandNote(value) for name, value in answers.items()}
    craft = replace(craft, hand=notes)
    sheet = bench.sheet(questions=questions)
    return run_checks([hand_notes], lambda one: Case(one, craft, sheet, bench.tongue, lines))


def with_answer(name: str, value: object) -> list[Finding]:
    return examine({**GOOD, name: value})


def codes(findings: list[Finding]) -> list[tuple[str, str | None]]:
    return [(finding.outcome.value, finding.code) for finding in findings]


def test_a_sheet_without_questions_is_skipped() -> None:
    [finding] = examine({}, ())
    assert (finding.outcome, finding.summary) == ("skipped", "the build sheet asks no questions")


def test_answers_that_are_all_as_expected_give_one_pass() -> None:
    [finding] = examine(GOOD)
    assert (finding.outcome, finding.summary) == ("pass", "all 4 questions are answered")
    [finding] = examine({"box": "a strap"}, (BOX,))
    assert (finding.outcome, finding.summary) == ("pass", "the question of the sheet is answered")


def test_each_unanswered_question_is_unknown_and_told_with_how_to_answer_it() -> None:
    findings = examine({})
    assert codes(findings) == [("unknown", "unanswered")] * 4
    for question, finding in zip(EVERY, findings, strict=True):
        assert question.ask in finding.summary
        assert "--ask" in finding.remedy.steps[0]
        assert "NAME.notes.toml" in finding.remedy.steps[0]
    assert [step.split("`")[3] for finding in findings for step in finding.remedy.steps] == [
        'goggles-firmware = "1.10.0"',
        "receiver-bound = true",
        'plug = "small"',
        'box = "..."',
    ]
    assert codes(examine({name: value for name, value in GOOD.items() if name != "plug"})) == [
        ("unknown", "unanswered")
    ]


@pytest.mark.parametrize(
    ("version", "code"),
    [
        ("1.9.2", None),
        ("1.9.10", None),  # as a text it would be below 1.9.2
        ("1.10.0", None),
        ("1.10", None),
        (" 1.10.0 ", "answer-unusable"),  # begins with a blank
        ("1.10.0rc1", None),  # a candidate is older than its release (PEP 440)
        ("1.9.2rc1", "goggles-firmware"),
        ("1.9.1", "goggles-firmware"),
        ("1.11", "goggles-firmware"),
        ("10.0", "goggles-firmware"),
        ("1.10.0-field7", "answer-undecided"),  # whether it is still 1.10.0 is anybody's guess
        ("2.0-field7", "goggles-firmware"),
        ("0.9-field7", "goggles-firmware"),
    ],
)
def test_a_version_is_held_to_floor_and_ceiling(version: str, code: str | None) -> None:
    assert [finding.code for finding in with_answer("goggles-firmware", version)] == [code]


def test_a_version_that_is_only_written_otherwise_is_the_same() -> None:
    question = replace(GOGGLES, expected=Expected(("4.2.0", Pattern("7.*"))))
    for version, outcome in (("4.2", "pass"), ("v4.2.0"[1:], "pass"), ("7.1", "pass"), ("4.2.1", "fail")):
        assert outcomes(examine({"goggles-firmware": version}, (question,))) == [outcome]


def test_a_wrong_answer_fails_under_the_id_of_its_question_with_the_sheets_own_words() -> None:
    [finding] = with_answer("goggles-firmware", "1.9.1")
    assert (finding.outcome, finding.code) == ("fail", "goggles-firmware")
    assert finding.summary == "Which firmware do the goggles run? - 1.9.1, where 1.9.2 to 1.10.0 is expected"
    assert (finding.expected, finding.actual) == ("1.9.2 to 1.10.0", "1.9.1")
    assert finding.why == GOGGLES.why
    assert finding.remedy.steps[0] == GOGGLES.remedy
    assert "--ask" in finding.remedy.steps[1]
    assert "Propellers off" in (finding.caution or "")


def test_a_choice_that_is_not_expected_fails() -> None:
    [finding] = with_answer("plug", "small")
    assert (finding.outcome, finding.code, finding.actual) == ("fail", "plug", "small")


def test_a_version_at_its_floor_may_still_be_above_its_ceiling_for_all_that_anybody_can_tell() -> None:
    question = replace(GOGGLES, expected=Expected((Range("4.3-field7", "4.3"),)))
    assert codes(examine({GOGGLES.id: "4.3-field7"}, (question,))) == [("unknown", "answer-undecided")]


@pytest.mark.parametrize(
    ("within", "version", "code"),
    [
        (Range(None, "4.3"), "4.3-field7", "answer-undecided"),
        (Range("4.3", None), "4.3-field7", "answer-undecided"),
        (Range(None, "4.3"), "4.4-field7", "goggles-firmware"),
        (Range("4.3", None), "4.2-field7", "goggles-firmware"),
        (Range("2026-01-01", None), "4.3", "answer-undecided"),  # a date and a version
    ],
)
def test_a_range_that_is_open_on_one_side_is_decided_by_the_other(within: Range, version: str, code: str) -> None:
    question = replace(GOGGLES, expected=Expected((within,)))
    assert [one.code for one in examine({GOGGLES.id: version}, (question,))] == [code]
    several = replace(GOGGLES, expected=Expected((Range("9.0", None), within)))
    assert [one.code for one in examine({GOGGLES.id: version}, (several,))] == [code]
    assert codes(examine({GOGGLES.id: "9.1"}, (several,))) == [("pass", None)]


def test_only_a_version_is_compared_as_one() -> None:
    text = Question("paint", "Which paint?", "text", expected=Expected(("4.2.0", Range("4.3-field7", "4.3"))))
    for answer in ("4.2", "4.3-field7"):
        assert codes(examine({"paint": answer}, (text,))) == [("fail", "paint")]


def test_an_answer_is_held_to_what_is_expected_without_the_blanks_around_it() -> None:
    assert outcomes(examine({"box": " Large  "}, (replace(BOX, expected=Expected(("large",))),))) == ["pass"]
    [finding] = examine({"box": " small "}, (replace(BOX, expected=Expected(("large",))),))
    assert (finding.actual, finding.why) == ("small", hand_notes.why)
    assert "cut whoever is near" not in finding.why
    [long] = examine({"box": "small"}, (replace(BOX, expected=Expected(("x" * 60,))),))
    assert long.remedy.steps[0] == f"Bring it to {'x' * 60}."  # nobody can bring it to half a text
    assert finding.remedy.steps[0] == "Bring it to large."


def test_a_long_question_is_cut() -> None:
    for length, told_as in ((200, "w" * 200), (201, "w" * 200 + "...")):
        [finding] = examine({}, (Question("q", "w" * length, "text"),))
        assert finding.summary == f"nobody has answered: {told_as}"


def test_propellers_are_off_only_where_the_question_is_yes_or_no_and_the_sheet_may_say_otherwise() -> None:
    stored = Question("propellers-off", "How are the propellers stored?", "text")
    assert outcomes(examine({"propellers-off": "in the box"}, (stored,))) == ["pass"]
    fitted = Question("propellers-off", "?", "yes-no", expected=Expected((False,)), why="Balance.", remedy="Fit them.")
    [finding] = examine({"propellers-off": True}, (fitted,))
    assert (finding.expected, finding.why, finding.remedy.steps[0]) == ("no", "Balance.", "Fit them.")


def test_yes_and_no_are_told_in_words_and_what_the_sheet_does_not_say_is_said_all_the_same() -> None:
    [finding] = with_answer("receiver-bound", False)
    assert (finding.outcome, finding.expected, finding.actual) == ("fail", "yes", "no")
    assert finding.why
    assert finding.remedy.steps[0] == "Bring it to yes."
    assert "True" not in told([finding])


def test_any_answer_will_do_where_none_is_expected() -> None:
    assert outcomes(with_answer("box", "nothing")) == ["pass"]
    assert outcomes(examine({"q": False}, (Question("q", "?", "yes-no"),))) == ["pass"]


def test_propellers_that_are_on_fail_also_where_the_sheet_expects_nothing() -> None:
    """All propellers off before work on the bench: droneracingsafety.org."""
    question = Question("propellers-off", "Are all propellers off?", "yes-no")
    assert outcomes(examine({"propellers-off": True}, (question,))) == ["pass"]
    [finding] = examine({"propellers-off": False}, (question,))
    assert (finding.outcome, finding.code, finding.expected) == ("fail", "propellers-off", "yes")
    assert finding.remedy.steps[0].startswith("Take all propellers off")
    assert "cut whoever is near" in finding.why


@pytest.mark.parametrize(
    ("name", "value", "wanted"),
    [
        ("goggles-firmware", 1.9, "a version in quotation marks"),
        ("goggles-firmware", True, "a version in quotation marks"),
        ("goggles-firmware", "newest", "begins with a digit"),
        ("receiver-bound", "yes", "true or false, without quotation marks"),
        ("receiver-bound", 1, "true or false, without quotation marks"),
        ("plug", "medium", 'one of "small", "Large"'),
        ("plug", 2, 'one of "small", "Large"'),
        ("box", "  ", "a text in quotation marks"),
        ("box", False, "a text in quotation marks"),
    ],
)
def test_an_answer_of_the_wrong_kind_is_unknown_and_says_where_and_what_is_wanted(
    name: str, value: Any, wanted: str
) -> None:
    [finding] = with_answer(name, WrittenNote(value, place="box.notes.toml:7"))
    assert (finding.outcome, finding.code) == ("unknown", "answer-unusable")
    assert name in finding.summary
    assert wanted in finding.remedy.steps[0]
    assert "box.notes.toml:7" in finding.remedy.steps[0]
    [elsewhere] = with_answer(name, value)
    assert "box.notes.toml" not in told([elsewhere])


def test_an_answer_under_a_wrong_name_is_warned_of_with_the_nearest_question() -> None:
    findings = examine({**GOOD, "plugg": "small", "colour": "teal"})
    assert codes(findings) == [("warn", "not-asked")]
    assert findings[0].summary == ("answers to what the sheet does not ask: plugg and colour; did you mean plug?")
    assert findings[0].expected == "answers to goggles-firmware, receiver-bound, plug and box"
    [finding] = examine({"colour": "teal"}, ())
    assert (finding.outcome, finding.code) == ("warn", "not-asked")
    assert finding.summary == "an answer to what the sheet does not ask: colour"
    assert finding.expected == "no answers: the sheet asks nothing"
    [finding] = examine({"antena-fited": True}, ())  # what a check knows may be meant too
    assert finding.summary.endswith("antena-fited; did you mean antenna-fitted?")
    [finding] = examine({"plugg": "small", "plug-": "small"}, (PLUG,))[1:]
    assert finding.summary.endswith("plugg and plug-; did you mean plug?")  # asked once
    answers = {"plug": "large", "plugs": "two", "plugg": "small"}
    [finding] = examine(answers, (PLUG, Question("plugs", "How many plugs?", "text")))
    assert finding.summary.endswith("plugg; did you mean plug?")  # the nearest alone
    [finding] = examine({"plug": "large", "plague": "small"}, (PLUG,))
    assert finding.summary.endswith("plague; did you mean plug?")  # three letters of each: near enough


@pytest.mark.parametrize("known", WELL_KNOWN.values(), ids=lambda each: each.id)
def test_an_id_that_checks_know_may_be_answered_unasked_but_must_be_usable(known: Any) -> None:
    good = {"version": "4.2.0", "yes-no": True, "choice": "x"}[known.kinds[0]]
    assert outcomes(examine({known.id: good}, ())) == ["skipped"]
    assert codes(examine({known.id: 4.2}, ())) == [("unknown", "answer-unusable")]


@pytest.mark.parametrize(
    ("name", "code"),
    [
        ("unanswered", "unanswered-answer"),
        ("not-asked", "not-asked-answer"),
        ("x" * 200, "x" * 80),
        ("x" * 79 + " y", "x" * 79),
        ("Of Mine\n", "of-mine"),
        ("--", "answer"),
    ],
)
def test_the_code_of_a_wrong_answer_is_never_another_finding_nor_none(name: str, code: str) -> None:
    question = Question(name, "Is it?", "yes-no", expected=Expected((True,)))
    assert codes(examine({name: False}, (question,))) == [("fail", code)]


TEXTS = st.text(max_size=500)
VALUES = st.one_of(st.booleans(), st.integers(), st.floats(allow_nan=False), TEXTS, st.sampled_from(["1.9.2", "large"]))
EXPECTED = st.none() | st.builds(
    Expected,
    st.lists(
        st.one_of(st.booleans(), TEXTS, st.builds(Pattern, TEXTS), st.builds(Range, TEXTS, st.none() | TEXTS)),
        min_size=1,
    ).map(tuple),
)
QUESTIONS = st.builds(
    Question,
    st.sampled_from(["goggles-firmware", "propellers-off", "plug", "q" * 300, "unanswered"]),
    TEXTS,
    st.sampled_from(["yes-no", "text", "version", "choice"]),
    st.lists(TEXTS, max_size=3).map(tuple),
    EXPECTED,
    TEXTS,
    TEXTS,
)


@settings(max_examples=300, deadline=None)
@given(st.lists(QUESTIONS, max_size=4).map(tuple), st.dictionaries(st.text(max_size=50), VALUES, max_size=4), st.data())
def test_whatever_is_asked_and_answered_the_check_answers_and_passes_only_what_is_answered(
    questions: tuple[Question, ...], more: dict[str, object], data: st.DataObject
) -> None:
    asked = sorted({question.id for question in questions})
    answers = {name: data.draw(VALUES) for name in asked if data.draw(st.booleans())}
    findings = examine({**more, **answers}, questions)
    assert "error" not in outcomes(findings), told(findings)
    assert outcomes(findings) in (["pass"], ["skipped"]) or not {"pass", "skipped"} & set(outcomes(findings))
    if not {*asked} <= answers.keys() | more.keys():
        assert ("unknown", "unanswered") in codes(findings)


def test_the_longest_words_fit_into_a_finding() -> None:
    question = Question("q" * 200, "w" * 400, "version", expected=Expected((Range("9" * 40 + "-x", "8" * 400),)))
    for value in ("1" * 10_000_000, "x" * 10_000_000):
        assert "error" not in outcomes(examine({question.id: value}, (question,)))
    many = {f"{'plug' * 40}-{at}": "small" for at in range(300)}
    assert codes(examine({**GOOD, **many})) == [("warn", "not-asked")]


@pytest.mark.parametrize("answers", [{}, {"goggles-firmware": HandNote(True)}])
def test_what_waits_for_an_answer_is_laid_under_the_question(answers: Mapping[str, HandNote]) -> None:
    bench = Bench()
    craft, lines = bench.craft()
    sheet = bench.sheet(questions=(GOGGLES,))
    craft = replace(craft, hand=answers)
    found = run_checks([video_link, hand_notes], lambda one: Case(one, craft, sheet, bench.tongue, lines))
    because = {one.name: one.because for one in under_their_causes(found) if one.outcome == "unknown"}
    cause = f"hand-notes/{'answer-unusable' if answers else 'unanswered'}"
    assert because == {cause: None, "video-link/unanswered": cause}


def test_an_answer_that_no_other_check_waits_for_explains_nothing() -> None:
    [finding] = examine({}, (BOX,))
    assert (finding.code, finding.explains) == ("unanswered", ())

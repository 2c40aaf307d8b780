"""What was learned, as JSON: what is bound and on which line, and what is left. Answers are invented."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest

from propsoff.console.capture import Event
from propsoff.dialects.load import parse_dialect
from propsoff.learning.findings import as_json, facts_in, not_known, refusal, wrong_with
from propsoff.learning.learn import Lesson, learn
from propsoff.learning.model import Answer, HelpWord, LeftOut
from tests_support.answers import heard_from

ANSWERS = {
    "about": "firmware name = oak\nfirmware version = 1.2.3",
    "settings": "battery low voltage = 3.5\nreceiver protocol port = uart2\nservo centre = 1500\nmotor poles = 14",
    "ports": "name   function  baud\nuart1  console   115200\nuart2  receiver  420000",
}


def _lesson(answers: dict[str, str] | None = None) -> Lesson:
    return learn(heard_from(answers or ANSWERS), id_="oak", title="Oak")


def _said(lesson: Lesson) -> dict[str, Any]:
    said = as_json(lesson)
    again: dict[str, Any] = json.loads(json.dumps(said))
    assert again.keys() == said.keys()
    return again


def test_a_fact_is_told_with_value_confidence_and_evidence() -> None:
    facts = {one["fact"]: one for one in _said(_lesson())["facts"]}
    assert facts.keys() == {"firmware.name", "firmware.version", "battery.cell_low", "motors.poles"}
    low = facts["battery.cell_low"]
    assert 0.7 <= low.pop("confidence") <= 1
    assert "'battery' names battery" in low.pop("why")
    (other,) = low.pop("others")
    assert other["fact"] == "battery.volts"
    assert 0 < other["confidence"] < 0.7
    assert low == {
        "fact": "battery.cell_low",
        "value": 3.5,
        "command": "settings",
        "word": "battery low voltage",
        "text": "3.5",
        "line": 5,
    }


def test_rows_are_told_as_a_group_with_their_columns() -> None:
    (ports,) = _said(_lesson())["groups"]
    assert (ports["group"], ports["rows"]) == ("ports", 2)
    assert {cell["fact"]: cell["column"] for cell in ports["cells"]} == {
        "ports[].id": "name",
        "ports[].roles": "function",
        "ports[].baud": "baud",
    }
    assert all(0 < cell["confidence"] <= 1 for cell in (ports, *ports["cells"]))
    assert ports["why"] == "2 rows with baud, id, roles"


def test_what_is_left_is_told_with_its_line_and_guesses() -> None:
    left = {one["word"]: one for one in _said(_lesson())["left"]}
    assert left.keys() == {"receiver protocol port", "servo centre"}
    assert (left["servo centre"]["text"], left["servo centre"]["line"]) == ("1500", 7)
    ((guess),) = left["receiver protocol port"]["guesses"]
    assert guess["fact"] == "receiver.port"
    assert guess["confidence"] < 0.7


def test_how_the_console_talks_and_what_was_asked_is_told() -> None:
    lesson = _lesson()
    word = HelpWord("erase", "forgets all", 3)
    heard = replace(
        lesson.heard,
        habits=replace(lesson.heard.habits, wake=b"\r\xff", pager="-- more --", error="what? {line}", typing_s=0.02),
        answers=(*lesson.heard.answers, Answer("log", (), whole=False)),
        left_out=(LeftOut(word, "it may change something"),),
        troubles=("the port was lost",),
    )
    said = _said(replace(lesson, heard=heard, dropped=("video.band",)))
    assert said["console"] == {
        "wake": "\r\xff",
        "line_end": "\r",
        "echo": True,
        "prompt": "oak>",
        "pager": "-- more --",
        "error": "what? {line}",
        "typing_s": 0.02,
        "unsure": ["how commands end, and whether they are echoed, cannot be seen in a text"],
    }
    assert said["asked"] == [
        {"command": "about", "lines": 2, "whole": True},
        {"command": "settings", "lines": 4, "whole": True},
        {"command": "ports", "lines": 3, "whole": True},
        {"command": "log", "lines": 0, "whole": False},
    ]
    assert said["never_asked"] == [{"word": "erase", "why": "it may change something"}]
    assert said["troubles"] == ["the port was lost"]
    assert said["dropped"] == ["video.band"]


def test_the_dialect_is_told_as_it_would_be_written() -> None:
    lesson = _lesson()
    said = _said(lesson)
    assert (said["usable"], said["why_not"]) == (True, None)
    assert lesson.draft is not None
    assert said["dialect"] == lesson.draft.text
    assert parse_dialect(said["dialect"], "oak").id == "oak"


def test_where_nothing_can_be_learned_the_reason_is_told() -> None:
    said = _said(_lesson({"a": "1", "b": "2"}))
    assert (said["usable"], said["dialect"]) == (False, None)
    assert said["why_not"] == "no answer tells what it is"
    assert (said["facts"], said["groups"]) == ([], [])


def _named(known_by: str, version: str = "firmware version = 1.2.3", id_: str = "oak") -> Lesson:
    """A lesson of a firmware that does not say its name, told by a line that a person gave it."""
    lesson = learn(heard_from(ANSWERS | {"about": version}), id_=id_, title="Oak")
    assert lesson.draft is not None
    return replace(lesson, draft=replace(lesson.draft, known_by=known_by))


def test_a_lesson_with_a_name_that_reads_its_own_conversation_has_nothing_wrong() -> None:
    lesson = _lesson()
    assert (wrong_with(lesson), refusal(lesson)) == ((), "")
    assert facts_in(lesson) == 7
    assert (_said(lesson)["wrong"], _said(lesson)["refused"]) == ([], None)


@pytest.mark.parametrize(
    "known_by",
    [
        "firmware version = {_:rest}",
        "version: {_:rest}",
        "Release {_:word} built {_:rest}",
        "fw: {{{_:rest}",
        "v {_:rest}",
    ],
)
def test_a_line_that_any_board_may_print_tells_no_firmware(known_by: str) -> None:
    (wrong,) = wrong_with(_named(known_by))
    assert "any board whose answer to 'about'" in wrong
    assert repr(known_by) in wrong
    assert "--id" not in wrong


@pytest.mark.parametrize("known_by", ["kelderwick version = {_:rest}", "Oakum {_:rest}", "release of tansy {_:rest}"])
def test_a_line_with_a_word_of_its_own_tells_a_firmware_that_has_an_id(known_by: str) -> None:
    assert wrong_with(_named(known_by)) == ()


def test_a_firmware_without_name_and_id_is_to_be_given_one() -> None:
    (wrong,) = wrong_with(_named("kelderwick version = {_:rest}", id_="learned"))
    assert "name it with --id" in wrong
    (wrong,) = wrong_with(_named("version = {_:rest}", id_="learned"))
    assert "any board" in wrong
    assert "name the draft with --id" in wrong


def test_a_conversation_that_broke_off_is_wrong_whatever_was_learned_of_it() -> None:
    lesson = _lesson()
    capture = replace(lesson.heard.capture, events=(*lesson.heard.capture.events, Event(9.0, "m", "end: unplugged")))
    answers = (*lesson.heard.answers[:-1], replace(lesson.heard.answers[-1], whole=False))
    wrong = wrong_with(replace(lesson, heard=replace(lesson.heard, capture=capture, answers=answers)))
    assert wrong[0].startswith("the conversation broke off: unplugged; the reply to 'ports' may be cut")


def test_what_the_draft_does_not_read_right_is_told() -> None:
    lesson = _lesson()
    assert lesson.draft is not None
    text = lesson.draft.text.replace('command = "settings"', 'command = "radio"')
    wrong = wrong_with(replace(lesson, dialect=parse_dialect(text, "oak")))
    assert wrong == ("the draft does not read its own conversation right: no reply to 'radio' in this capture",)


def test_what_of_weight_is_not_read_is_named() -> None:
    assert not_known(_lesson()) == (
        "serial number", "channel order", "switches", "overlay grid", "video link", "failsafe",
    )  # fmt: skip
    assert not_known(_lesson({"a": "1", "b": "2"})) == ()


@pytest.mark.parametrize(
    ("answers", "why"),
    [
        ({"settings": "tint = mauve", "ports": "hue = dim"}, "nothing in it was understood"),
        ({"settings": "motor poles = 14", "ports": "hue = dim"}, "names a firmware, a version or a board"),
        ({"The rooms": "motor poles = 14", "In a rig": "firmware name = oak"}, "headings of a document"),
    ],
)
def test_a_text_that_tells_of_no_board_is_refused_and_no_dialect_of_it_told(answers: dict[str, str], why: str) -> None:
    lesson = _lesson(answers)
    assert why in refusal(lesson)
    said = _said(lesson)
    assert (said["usable"], said["dialect"]) == (False, None)
    assert why in said["refused"]


def test_what_propsoff_recorded_itself_was_a_console_and_is_not_refused() -> None:
    lesson = _lesson({"settings": "tint = mauve", "ports": "hue = dim"})
    own = replace(lesson, heard=replace(lesson.heard, capture=replace(lesson.heard.capture, tool="propsoff 0")))
    assert refusal(own) == ""

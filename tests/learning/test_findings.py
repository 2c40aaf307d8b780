"""What was learned, as JSON: what is bound and on which line, and what is left. Answers are invented."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

from propsoff.dialects.load import parse_dialect
from propsoff.learning.findings import as_json
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

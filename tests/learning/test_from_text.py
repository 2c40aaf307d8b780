"""A conversation taken out of a saved text: what was typed, and what was answered. The consoles are invented."""

from __future__ import annotations

import random
import time

import pytest

from propsoff.console.capture import Capture, Event, pasted
from propsoff.learning.from_text import heard_in
from propsoff.learning.model import Heard

_TALK = """\
oak> help
tally   shows the values
ferry   saves them
oak> tally
cells = 4
order = AETR

oak> radio
kind = serial
oak> tally
cells = 6
oak>
"""


def _heard(text: str) -> Heard:
    heard = heard_in(pasted(text.encode()))
    assert heard is not None
    return heard


def _answers(heard: Heard) -> dict[str, list[str]]:
    return {answer.command: [line.text for line in answer.lines] for answer in heard.answers}


def test_what_was_typed_is_told_from_what_was_answered() -> None:
    heard = _heard(_TALK)
    assert _answers(heard) == {"tally": ["cells = 6"], "radio": ["kind = serial"]}
    assert [(word.word, word.says) for word in heard.words] == [("tally", "shows the values"), ("ferry", "saves them")]
    assert heard.habits.prompt == "oak>"
    assert heard.habits.unsure  # a text does not show how lines end


@pytest.mark.parametrize("prompt", ["> ", "oak# ", "oak $ ", "[oak] ", "oak: ", "oak% ", "(oak)? ", "~ "])
def test_prompts_of_every_kind(prompt: str) -> None:
    text = f"{prompt}tally\ncells = 4\n{prompt}radio\nkind = serial\n{prompt}"
    assert _answers(_heard(text)) == {"tally": ["cells = 4"], "radio": ["kind = serial"]}


def test_line_numbers_are_those_of_the_transcript() -> None:
    (answer,) = (one for one in _heard(_TALK).answers if one.command == "radio")
    assert [line.number for line in answer.lines] == [9]
    assert _TALK.split("\n")[8] == "kind = serial"


def test_a_menu_is_read_as_one() -> None:
    heard = _heard("pick: menu\n1) radio\n2) battery\npick: 1\nkind = serial\npick: ")
    assert [(word.word, word.says) for word in heard.words] == [("1", "radio"), ("2", "battery")]
    assert _answers(heard) == {"1": ["kind = serial"]}


def test_a_recording_tells_how_lines_end_and_whether_they_are_echoed() -> None:
    events = [Event(0.0, "o", "oak> ")]
    for at, (word, said) in enumerate([("tally", "cells = 4\r\n"), ("radio", "kind = serial\r\n")]):
        events += [Event(at + 1.0, "i", f"{word}\n"), Event(at + 1.1, "o", f"{word}\r\n{said}oak> ")]
    heard = heard_in(Capture(tuple(events), 0.0))
    assert heard is not None
    assert (heard.habits.line_end, heard.habits.echo, heard.habits.unsure) == (b"\n", True, ())
    assert _answers(heard) == {"tally": ["cells = 4"], "radio": ["kind = serial"]}


@pytest.mark.parametrize(
    "text",
    [
        "",
        "\n\n\n",
        "cells = 4\norder = AETR\n",
        "oak> tally\ncells = 4\n",
        "a sentence.\nanother one.\n",
        "\x00\xff\x1b",
    ],
)
def test_where_no_prompt_comes_twice_nothing_is_told(text: str) -> None:
    assert heard_in(pasted(text.encode("latin-1"))) is None


def test_a_command_without_an_answer_is_none() -> None:
    assert heard_in(pasted(b"oak> tally\noak> radio\noak> \n")) is None


def test_whatever_stands_there_nothing_is_raised() -> None:
    seed = 20261126
    chance = random.Random(seed)
    for _ in range(1500):
        text = "".join(chance.choices("ab> \n\r:#$=1\x1b[\x00\xff", k=chance.randrange(80)))
        heard = heard_in(pasted(text.encode("latin-1")))
        assert heard is None or (heard.answers and all(answer.lines for answer in heard.answers)), f"seed {seed}"


def test_a_long_text_is_read_in_time() -> None:
    begun = time.process_time()
    assert heard_in(pasted(("x > " * 10_000 + "\n").encode())) is None
    many = "".join(f"oak> show{at}\ncell {at}\n" for at in range(20_000))
    assert len(_heard(many).answers) == 20_000
    assert time.process_time() - begun < 5

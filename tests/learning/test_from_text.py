"""A conversation taken out of a saved text: what was typed, and what was answered. The consoles are invented."""

from __future__ import annotations

import random
import time
from typing import Literal

import pytest

from propsoff.console.capture import Capture, Event, pasted
from propsoff.learning.from_text import broken_off, heard_in, why_no_console
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


def test_the_answer_that_no_prompt_follows_is_not_whole() -> None:
    open_end = _heard(_TALK.removesuffix("oak>\n"))
    assert {one.command: one.whole for one in open_end.answers} == {"tally": False, "radio": True}
    assert all(one.whole for one in _heard(_TALK).answers)


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


def _recording(*said: tuple[str, str], ending: str = "done", tool: str = "a tool") -> Capture:
    """A recording of what was typed, and of what the console sent then."""
    events = [
        event for at, (typed, sent) in enumerate(said) for event in (_event(at, "i", typed), _event(at, "o", sent))
    ]
    return Capture((*events, Event(99.0, "m", f"end: {ending}")), 0.0, tool=tool)


def _event(at: int, code: Literal["i", "o"], text: str) -> Event:
    return Event(at + (0.1 if code == "i" else 0.2), code, text)


@pytest.mark.parametrize("prompt", ["> ", ":: ", "hvn| ", "?,", "norrick:/ ", "Number (? for menu): ", "* "])
@pytest.mark.parametrize("echo", [True, False])
def test_a_recording_tells_what_was_typed_whatever_the_prompt_and_without_echo(prompt: str, echo: bool) -> None:
    def sent(word: str, text: str) -> str:
        return (f"{word}\r\n" if echo else "") + f"{text}\r\n{prompt}"

    words = {"tally": "cells = 4", "radio": "kind = serial", "ports": "U1 = console"}
    said = [(f"{word}\r", sent(word, text)) for word, text in words.items()]
    heard = heard_in(_recording(("\r", prompt), ("\r", prompt), *said))
    assert heard is not None
    assert _answers(heard) == {word: [text] for word, text in words.items()}
    assert (heard.habits.prompt, heard.habits.echo) == (prompt.rstrip(), echo)


def test_of_a_recording_the_stops_of_a_pager_are_no_lines_of_the_answer() -> None:
    more = "-- more 1/2 --"
    heard = heard_in(
        _recording(
            ("\r", "oak> "),
            ("tally\r", f"tally\r\ncells = 4\r\n{more}"),
            (" ", "\r\norder = AETR\r\noak> "),
            ("radio\r", "radio\r\nkind = serial\r\noak> "),
        )
    )
    assert heard is not None
    assert _answers(heard) == {"tally": ["cells = 4", "order = AETR"], "radio": ["kind = serial"]}
    assert heard.habits.pager == "-- more {_:int}/{_:int} --"


def test_a_recording_of_single_keys_tells_the_words() -> None:
    typed = [(key, key) for key in "tally"] + [("\r", "\r\ncells = 4\r\noak> ")]
    heard = heard_in(_recording(("\r", "oak> "), *typed, ("radio\r", "radio\r\nkind = serial\r\noak> ")))
    assert heard is not None
    assert _answers(heard) == {"tally": ["cells = 4"], "radio": ["kind = serial"]}


def test_what_a_recording_broke_off_in_is_not_whole() -> None:
    begun = [("\r", "oak> "), ("tally\r", "tally\r\ncells = 4\r\noak> ")]
    capture = _recording(*begun, ("radio\r", "radio\r\nkind = serial\r\nport"), ending="unplugged")
    heard = heard_in(capture)
    assert heard is not None
    assert {answer.command: answer.whole for answer in heard.answers} == {"tally": True, "radio": False}
    assert _answers(heard)["radio"] == ["kind = serial", "port"]
    assert broken_off(capture) == "unplugged"
    stopped = heard_in(_recording(*begun, ("radio\r", "radio\r\nkind = serial\r\noak> "), ending="it was stopped"))
    assert stopped is not None
    assert all(answer.whole for answer in stopped.answers)
    assert _answers(stopped)["radio"] == ["kind = serial"]
    assert broken_off(_recording(*begun)) == ""


def test_a_recording_has_an_end_and_a_text_none() -> None:
    assert broken_off(pasted(_TALK.encode())) == ""
    assert broken_off(Capture((Event(0.0, "o", "oak> "),), 0.0, tool="propsoff")) == "the recording has no end"
    assert broken_off(Capture((Event(0.0, "o", "oak> "),), 0.0)) == ""  # another program's marks no end


def test_headings_between_answers_are_not_taken_for_the_prompt_that_waits_at_the_end() -> None:
    heard = _heard(
        "pf> tally\n# battery\ncells = 4\n# radio\nkind = serial\n# ports\nU1 = console\npf> ver\nnow = 1\npf> "
    )
    assert heard.habits.prompt == "pf>"
    assert _answers(heard)["tally"] == ["# battery", "cells = 4", "# radio", "kind = serial", "# ports", "U1 = console"]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"])
@pytest.mark.parametrize("lead", ["", "  ", "\t", "> ", "| ", "    > "])
def test_encoding_and_indent_of_a_paste_are_not_the_console_s(encoding: str, lead: str) -> None:
    text = "".join(f"{lead}{line}\r\n" if line else "\r\n" for line in _TALK.replace("kind", "größe").splitlines())
    heard = heard_in(pasted(text.encode(encoding)))
    assert heard is not None
    assert _answers(heard) == {"tally": ["cells = 6"], "radio": ["größe = serial"]}
    assert heard.habits.prompt == "oak>"
    (answer,) = (one for one in heard.answers if one.command == "radio")
    assert [line.number for line in answer.lines] == [9]


def test_bytes_that_are_no_text_stay_as_they_are_in_an_indented_paste() -> None:
    heard = heard_in(pasted(b"  oak> tally\n  name = \xffoak\n  oak> radio\n  kind = spi\n  oak>\n"))
    assert heard is not None
    assert _answers(heard)["tally"] == ["name = \uefffoak"]


def _why_no_console(prompt: str, *commands: str) -> str:
    return why_no_console(_heard("".join(f"{prompt}{one}\nvalue = {at}\n" for at, one in enumerate(commands)) + prompt))


@pytest.mark.parametrize(
    "headings",
    [
        ("Two commands", "Real boards", "Settings", "In a test rig"),
        ("The street", "The rooms", "Adding", "what runs here"),
        ("History", "Compare", "The rules"),
    ],
)
def test_the_headings_of_a_document_are_no_commands(headings: tuple[str, ...]) -> None:
    why = _why_no_console("## ", *headings)
    assert "headings of a document" in why
    assert "'##'" in why
    assert repr(headings[0]) in why


@pytest.mark.parametrize("prompt", ["$ ", "~ % ", "somebody@bench:~$ "])
def test_a_shell_is_no_board(prompt: str) -> None:
    assert "a shell" in _why_no_console(prompt, "ls", "cat notes.txt", "date")


@pytest.mark.parametrize(
    ("prompt", "commands"),
    [
        ("oak> ", ("tally", "radio", "show ports", "get serial")),
        ("oak $ ", ("date", "version", "settings")),
        ("oak# ", ("cat",)),
        ("## ", ("tally", "radio")),
        ("Oak> ", ("About", "Battery", "Failsafe")),
        ("oak> ", ("SHOW PORTS", "SHOW ALL", "Get Radio")),
        ("pick: ", ("1", "2", "0")),
    ],
)
def test_the_words_of_consoles_are_commands(prompt: str, commands: tuple[str, ...]) -> None:
    assert _why_no_console(prompt, *commands) == ""

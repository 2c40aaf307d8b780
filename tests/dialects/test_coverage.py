"""What a dialect reads of a capture, counted by hand line by line. The console is invented."""

from __future__ import annotations

import pytest

from propsoff.console.capture import Capture, Event, pasted
from propsoff.craft.names import facts
from propsoff.dialects.coverage import Coverage, coverage_of
from propsoff.dialects.load import parse_dialect

DIALECT = parse_dialect(
    """\
format = 1
id = "oak"
title = "Oak"
version = "1"

[console]
line_end = "\\r"
echo = true
prompt = "oak>"
comments = ["; {_:rest}"]

[identity]
command = "about"
known_by = "firmware = oak"
grammar = "pairs"
line = "{key:words} = {value:rest}"

[identity.words]
firmware = "firmware.name"

[[reads]]
command = "radio"
grammar = "pairs"
line = "{key:words} = {value:rest}"

[reads.words]
cells = "battery.cells"
slot = { form = "{band:letter}{channel:int}", fields = { band = "video.band", channel = "video.channel" } }
volts = { fact = "battery.volts", unit = "mV" }

[[reads.rows]]
group = "ports"
key = "port {id:word}"
forms = ["{roles:word} at {baud:int}"]
fields.id = "id"
fields.roles.fact = "roles"
fields.roles.as = "list"
fields.roles.each = { as = "choice", words = { radio = "receiver", talk = "console" } }
fields.baud = "baud"

[[reads]]
command = "log"
grammar = "pairs"
line = "{key:words} = {value:rest}"

[reads.words]
device = { fact = "logger.device", as = "choice", words = { card = "card", none = "none" } }
""",
    "oak.toml",
)
TALK = """\
oak> about
firmware = oak
release = 4
oak> radio
; what flies
cells = 4
slot = R5
volts = plenty
port U1 = radio at 420000
port U2 = talk at 115200
wind = 3

mumble mumble
oak> frogs
frogs = 4
oak>
"""
STATES = {
    1: "quiet",
    2: "fact",
    3: "unread",
    4: "quiet",
    5: "quiet",
    6: "fact",
    7: "fact",
    8: "problem",
    9: "fact",
    10: "fact",
    11: "unread",
    12: "quiet",
    13: "unread",
    14: "quiet",
    15: "quiet",
    16: "quiet",
}


def _of(text: str) -> Coverage:
    return coverage_of(pasted(text.encode()), DIALECT)


def test_every_line_of_the_transcript_has_a_state_and_its_text() -> None:
    lines = _of(TALK).lines
    assert {line.number: line.state for line in lines} == STATES
    assert [line.text for line in lines] == TALK.splitlines()


def test_a_line_names_the_facts_that_it_became() -> None:
    lines = {line.number: line for line in _of(TALK).lines}
    assert lines[2].facts == ("firmware.name",)
    assert lines[6].facts == ("battery.cells",)
    assert set(lines[7].facts) == {"video.band", "video.channel"}
    assert set(lines[9].facts) == {"ports[0].id", "ports[0].roles", "ports[0].baud"}
    assert set(lines[10].facts) == {"ports[1].id", "ports[1].roles", "ports[1].baud"}
    assert not any(line.facts for line in lines.values() if line.state != "fact")


def test_a_value_that_cannot_be_taken_is_a_problem_told_on_its_line() -> None:
    found = _of(TALK)
    (line,) = (line for line in found.lines if line.state == "problem")
    assert (line.number, line.facts) == (8, ())
    assert "plenty" in line.problem
    unblamed = [problem.message for problem in found.craft.problems if problem.line != 8]
    assert len(unblamed) == len(found.craft.problems) - 1 == 1
    assert "log" in unblamed[0]  # no line is to blame for an answer that is not there
    assert not any(line.problem for line in found.lines if line.state != "problem")


def test_the_share_is_that_of_the_lines_that_state_something() -> None:
    found = _of(TALK)
    assert found.share == 5 / 9  # 2, 6, 7, 9 and 10 of these and 3, 8, 11 and 13
    assert _of(TALK.replace("wind = 3\n", "")).share == 5 / 8
    assert _of(TALK.replace("plenty", "15800")).share == 6 / 9


@pytest.mark.parametrize(
    ("text", "share"),
    [
        ("oak> about\nfirmware = oak\noak> \n", 1.0),
        ("oak> about\nrelease = 4\noak> \n", 0.0),
        ("oak> frogs\nfrogs = 4\noak> \n", 0.0),  # nobody asked for them
        ("", 0.0),
    ],
)
def test_all_of_it_none_of_it_and_nothing_to_read(text: str, share: float) -> None:
    assert _of(text).share == share


def test_the_commands_that_were_answered_and_those_that_were_not() -> None:
    found = _of(TALK)
    assert (found.replies, found.missing) == (("about", "radio"), ("log",))
    whole = _of(TALK.rstrip() + " log\ndevice = card\noak>\n")
    assert (whole.replies, whole.missing) == (("about", "radio", "log"), ())
    none = _of("hello\n")
    assert (none.replies, none.missing) == ((), ("about", "radio", "log"))


def test_the_facts_that_no_line_states_are_told_a_repeated_group_once() -> None:
    found = _of(TALK)
    single = {name for name, spec in facts().items() if spec.repeated is None}
    groups = {spec.repeated for spec in facts().values() if spec.repeated is not None}
    read = {"firmware.name", "battery.cells", "video.band", "video.channel"}
    assert set(found.unread_facts) == (single - read) | (groups - {"ports"})
    assert len(found.unread_facts) == len(set(found.unread_facts))
    assert "battery.volts" in found.unread_facts  # it stands there, and could not be taken
    everything = _of("")
    assert set(everything.unread_facts) == single | groups


def test_the_craft_is_the_one_that_was_read() -> None:
    found = _of(TALK)
    assert {fact.name: fact.value for fact in found.craft.facts()} == {
        "firmware.name": "oak",
        "battery.cells": 4,
        "video.band": "R",
        "video.channel": 5,
        "ports[0].id": "U1",
        "ports[0].roles": ("receiver",),
        "ports[0].baud": 420000,
        "ports[1].id": "U2",
        "ports[1].roles": ("console",),
        "ports[1].baud": 115200,
    }


def test_a_recording_is_counted_like_a_pasted_text() -> None:
    events = [Event(0.0, "o", "oak> ")]
    for at, (word, said) in enumerate([("about", "firmware = oak\r\n"), ("radio", "cells = 4\r\nwind = 3\r\n")], 1):
        events += [Event(at, "i", f"{word}\r"), Event(at + 0.1, "o", f"{word}\r\n{said}oak> ")]
    found = coverage_of(Capture(tuple(events), 0.0), DIALECT)
    assert [line.state for line in found.lines] == ["quiet", "fact", "quiet", "fact", "unread", "quiet"]
    assert found.share == 2 / 3


def test_the_same_capture_always_gives_the_same() -> None:
    first, again = _of(TALK), _of(TALK)
    assert (first.lines, first.share, first.unread_facts) == (again.lines, again.share, again.unread_facts)


@pytest.mark.parametrize("text", ["\x00\x1b[2J\ufffd\n", "oak> radio\nslot = \nport = \ncells\noak> ", "oak>" * 50])
def test_whatever_a_board_said_nothing_is_raised(text: str) -> None:
    found = _of(text)
    assert 0.0 <= found.share <= 1.0
    assert [line.number for line in found.lines] == list(range(1, len(found.lines) + 1))

"""A draft is a dialect that can be read, and nothing that a console says can break it. Answers are invented."""

from __future__ import annotations

import re
import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from hypothesis import HealthCheck, assume, example, given, seed, settings
from hypothesis import strategies as st

from propsoff.cli.dialect import command as dialect_command
from propsoff.console.capture import pasted
from propsoff.console.manner import Line
from propsoff.dialects.load import parse_dialect
from propsoff.learning.draft import Draft, draft_of
from propsoff.learning.from_text import heard_in
from propsoff.learning.learn import Lesson, learn
from propsoff.learning.model import (
    Answer,
    Bound,
    Cell,
    Habits,
    HelpWord,
    Layout,
    LeftOut,
    Meaning,
    Reading,
    RowSet,
    Statement,
    Unbound,
)
from propsoff.ports.facts import UsbHint
from tests_support.answers import conversation_of, heard_from
from tests_support.learned import saved

ABOUT = "firmware name = oak\nfirmware version = 1.2.3"
SETTINGS = "battery low voltage = 3.5\nreceiver protocol port = uart2\nservo centre = 1500\nmotor poles = 14"
PORTS = "name   function  baud\nuart1  console   115200\nuart2  receiver  420000"
HEARD = heard_from({"about": ABOUT})
TOP = {"format", "id", "title", "version", "usb", "console", "identity", "reads"}
HOSTILE = (
    '"', '"""', "'''", "]]", "[[reads]]", "[reads.words]", '\nid = "x"', "\r\n[console]", "#", "\\", "\\u0000", "\x00",
    "\x1b[2J", "\x7f", "\x85", "\u2028", "\u202e", "{", "}", "{key:words}", "{{", "{_:rest}", "=", '" }, { "', ".", "-",
    "\ud800", "\U0001f6a9", "é", "\t",
)  # fmt: skip
hostile = st.lists(st.text(max_size=4) | st.sampled_from(HOSTILE), max_size=5).map("".join)
often = settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def _lesson(answers: dict[str, str], **more: Any) -> Lesson:
    return learn(heard_from(answers), **{"id_": "oak", "title": "Oak", **more})


def _draft(lesson: Lesson) -> Draft:
    assert lesson.draft is not None, lesson.why_not
    return lesson.draft


def _comments(text: str) -> list[str]:
    return [line for line in text.splitlines() if line.startswith("#")]


def test_a_draft_is_toml_and_says_how_the_console_talks_and_what_its_words_mean() -> None:
    draft = _draft(_lesson({"about": ABOUT, "settings": SETTINGS}))
    assert (draft.identity, draft.known_by) == ("about", "firmware name = oak")
    said = tomllib.loads(draft.text)
    assert said.keys() == TOP - {"usb"}
    assert (said["format"], said["id"], said["title"], said["version"]) == (1, "oak", "Oak", "1")
    assert said["console"] == {"line_end": "\r", "echo": True, "prompt": "oak>"}
    assert said["identity"] == {
        "command": "about",
        "known_by": "firmware name = oak",
        "grammar": "pairs",
        "line": "{key:words} = {value:rest}",
        "words": {"firmware name": "firmware.name", "firmware version": "firmware.version"},
    }
    (read,) = said["reads"]
    assert (read["command"], read["grammar"]) == ("settings", "pairs")
    assert read["words"].keys() == {"battery low voltage", "motor poles"}
    assert read["words"]["motor poles"] == "motors.poles"


def test_a_draft_is_taken_by_dialect_check_and_reads_what_it_was_learned_from(tmp_path: Path) -> None:
    answers = {"about": ABOUT, "settings": SETTINGS, "ports": PORTS}
    lesson = _lesson(answers)
    file = saved(lesson, tmp_path)
    talk = tmp_path / "talk.txt"
    talk.write_text(conversation_of(answers), encoding="utf-8")
    done = CliRunner().invoke(dialect_command, ["check", str(file), "--capture", str(talk)], standalone_mode=False)
    assert (done.exception, done.return_value) == (None, 0)
    assert "uart2  receiver  420000" in done.output
    assert CliRunner().invoke(dialect_command, ["check", str(file)]).output.startswith("ok  ")
    assert lesson.craft is not None
    assert {fact.name: fact.value for fact in lesson.craft.facts()} == {
        "firmware.name": "oak",
        "firmware.version": "1.2.3",
        "battery.cell_low": 3.5,
        "motors.poles": 14,
        "ports[0].id": "uart1",
        "ports[0].roles": ("console",),
        "ports[0].baud": 115200,
        "ports[1].id": "uart2",
        "ports[1].roles": ("receiver",),
        "ports[1].baud": 420000,
    }


def test_the_evidence_and_the_alternatives_of_a_word_stand_below_it() -> None:
    lines = _draft(_lesson({"about": ABOUT, "settings": SETTINGS})).text.splitlines()
    at = next(at for at, line in enumerate(lines) if line.startswith('"battery low voltage" = '))
    evidence, alternatives = lines[at + 1 : at + 3]
    assert evidence.startswith("#   1.00  battery low voltage = 3.5  (")
    assert "'battery' names battery" in evidence
    assert re.fullmatch(r"#   or: battery\.volts 0\.[56]\d", alternatives)
    at = next(at for at, line in enumerate(lines) if line.startswith('"motor poles" = '))
    assert not lines[at + 2].startswith("#   or:")


def test_what_is_not_bound_stands_as_a_comment_to_be_filled_in() -> None:
    text = _draft(_lesson({"about": ABOUT, "settings": SETTINGS})).text
    assert '# "servo centre" = ""   # 1500' in text
    assert re.search(
        r'^# "receiver protocol port" = ""   # uart2   \(receiver\.port 0\.[56]\d\?\)$', text, re.MULTILINE
    )
    filled = text.replace('# "receiver protocol port" = ""', '"receiver protocol port" = "receiver.port"')
    said = tomllib.loads(filled)
    assert said["reads"][0]["words"]["receiver protocol port"] == "receiver.port"
    assert parse_dialect(filled, "oak").id == "oak"


def test_many_lines_that_mean_nothing_are_counted_after_the_sixtieth() -> None:
    frogs = "\n".join(f"{chr(97 + at // 26)}{chr(97 + at % 26)}frog = {at}" for at in range(75))
    comments = _comments(_draft(_lesson({"about": ABOUT, "settings": f"{frogs}\nmotor poles = 14"})).text)
    assert sum("frog = " in line for line in comments) == 60
    assert "# and 15 more" in comments


def test_a_long_line_is_shown_cut() -> None:
    long = "frog " * 40
    text = _draft(_lesson({"about": ABOUT, "settings": f"motor poles = 14\nfrog = {long}"})).text
    (line,) = (line for line in _comments(text) if "frog" in line)
    assert line.endswith("…")
    assert len(line) < 120


def test_rows_are_written_with_their_fields_and_rows_that_mean_nothing_as_a_comment() -> None:
    filters = "axis   cutoff  order\nroll   90      2\npitch  80      2\nyaw    70      2"
    text = _draft(_lesson({"about": ABOUT, "ports": f"{PORTS}\n\n{filters}"})).text
    (read,) = tomllib.loads(text)["reads"]
    (rows,) = read["rows"]
    assert rows["group"] == "ports"
    assert rows["fields"].keys() == {"name", "function", "baud"}
    assert rows["fields"]["baud"] == "baud"
    assert any("rows that are not understood" in line and "axis, cutoff, order" in line for line in _comments(text))
    assert "#   axis roll, cutoff 90, order 2" in _comments(text)


def test_answers_that_are_not_needed_and_words_that_were_not_asked_are_told() -> None:
    heard = heard_from({"about": ABOUT, "settings": SETTINGS, "poem": "roses are red"})
    erase = LeftOut(HelpWord("erase", "forgets all", 3), "it may change something")
    text = _draft(learn(replace(heard, left_out=(erase,)), id_="oak", title="Oak")).text
    assert [read["command"] for read in tomllib.loads(text)["reads"]] == ["settings"]
    assert "#   poem: roses are red" in _comments(text)
    assert "#   erase: it may change something" in _comments(text)


def test_a_board_is_told_by_its_firmware_and_not_by_its_release() -> None:
    draft = _draft(_lesson({"about": "board = Elm\nrelease = Oak v1.2.3", "settings": "firmware = Oak v1.2.3"}))
    assert draft.identity == "settings"
    assert draft.known_by == "firmware = Oak{_:rest}"


def test_without_a_name_the_shortest_answer_tells_it() -> None:
    draft = _draft(_lesson({"settings": "motor poles = 14\nfrog = 3", "hello": "greetings from the pond"}))
    assert (draft.identity, draft.known_by) == ("settings", "motor poles = {_:rest}")
    heard = heard_from({"settings": "14\n15"})
    assert draft_of(heard, [], Meaning(()), id_="oak", title="Oak") is None


def test_what_is_asked_first_is_in_no_menu() -> None:
    heard = heard_from({"about": ABOUT, "settings": SETTINGS})
    within = replace(heard.answers[0], way=("2",), back="x", ways_out=("q",))
    lesson = learn(replace(heard, answers=(within, heard.answers[1])), id_="oak", title="Oak")
    draft = _draft(lesson)
    assert draft.identity == "settings"
    (read,) = tomllib.loads(draft.text)["reads"]
    assert (read["command"], read["before"], read["after"]) == ("about", ["2"], ["x", "q"])


def test_how_it_talks_is_written_as_far_as_it_is_known() -> None:
    heard = heard_from({"about": ABOUT})
    habits = Habits(b" \r", b"\r\n", False, "oak {_:int}>", "-- more --", "q", "what? {_:rest}", 0.02, ("a doubt",))
    text = _draft(learn(replace(heard, habits=habits), id_="oak", title="Oak")).text
    assert tomllib.loads(text)["console"] == {
        "wake": " \r",
        "line_end": "\r\n",
        "echo": False,
        "prompt": "oak {_:int}>",
        "pager": "-- more --",
        "pager_key": "q",
        "error": "what? {_:rest}",
        "typing_s": 0.02,
    }
    assert "# a guess: a doubt" in _comments(text)


def test_the_usb_identity_is_written_where_it_is_given() -> None:
    hints = (UsbHint(0x1209, 0x00A1, 'Oak "One"', "oak"), UsbHint(0x1209, 0x00A2, None, "oak"))
    text = _draft(_lesson({"about": ABOUT}, hints=hints)).text
    assert tomllib.loads(text)["usb"] == [
        {"vid": 0x1209, "pid": 0xA1, "product": 'Oak "One"'},
        {"vid": 0x1209, "pid": 0xA2},
    ]


def _made(word: str, text: str, line: str, title: str, place: str, cell: str) -> Draft | None:
    """The draft of one answer with a bound word, a word that is not, and rows that mean nothing."""
    heard = HEARD
    number = heard.answers[0].lines[0].number
    lines = (replace(heard.answers[0].lines[0], text=line), *heard.answers[0].lines[1:])
    known = Statement("about", word, ("firmware", word), text, number)
    left = Statement("about", f"{word}left", (word,), text, number + 1)
    row = RowSet("about", {"key": place}, ("things",), ("id", "n"), ({"id": Cell(cell, 1), "n": Cell(text, 2)},))
    layout = Layout("about", "pairs", {"line": place}, (known, left), (row,), {"opens": text}, (text,))
    meaning = Meaning(
        (Bound("firmware.version", known, Reading({"words": {text: word}}, text), 0.9, repr(text)),),
        (),
        (Unbound(left, (("battery.cells", 0.5),)),),
        (row,),
    )
    habits = Habits(b"\r", b"\r", True, title, text, text[:1] or " ", place)
    return draft_of(
        replace(heard, habits=habits, answers=(Answer("about", lines),)), [layout], meaning, id_="oak", title=title
    )


@seed(20261126)
@often
@given(hostile, hostile, hostile, hostile, hostile, hostile)
@example('x"\nid = "y', "'''", "]]\n[[reads]]", '"""', "\x00\x7f", "\u202e\ud800")
def test_no_text_of_a_console_breaks_or_enters_the_toml(
    word: str, text: str, line: str, title: str, place: str, cell: str
) -> None:
    draft = _made(word, text, line, title, place, cell)
    if draft is None:  # nothing tells such a board apart
        return
    said = tomllib.loads(draft.text)
    assert said.keys() <= TOP
    assert said["id"] == "oak"
    assert said["title"] == _sayable(title)
    assert said["identity"].keys() == {"command", "known_by", "opens", "grammar", "line", "words"}
    assert said["identity"]["words"].keys() == {_sayable(word)}
    assert said["identity"]["words"][_sayable(word)] == {
        "fact": "firmware.version",
        "words": {_sayable(text): _sayable(word)},
    }
    assert said["identity"]["line"] == _sayable(place)
    assert "reads" not in said
    assert all(char.isprintable() for char in draft.text.replace("\n", ""))


def _sayable(text: str) -> str:
    """What TOML can hold of a text: no halves of characters."""
    return "".join("\ufffd" if "\ud800" <= char <= "\udfff" else char for char in text)


keys = st.sampled_from(["firmware name", "battery cells", "motor poles", "receiver type", "frog", "osd", "uart1"])
odd_line = st.tuples(hostile | keys, st.sampled_from([" = ", ": ", "  ", "\t"]), hostile).map("".join)


@seed(20261126)
@often
@given(st.lists(odd_line | st.sampled_from(SETTINGS.splitlines()), min_size=1, max_size=8), hostile)
@example(['x"] = 4', "[[reads]] = '''", 'id = "x"', "motor poles = 14"], '"\\')
@example(['{"a]]": {"\\n\\u0000": 3, "\\"": "\'\'\'"}, "motor": {"poles": 14}}'], "{")
@example(['name  fun[ction  ba"ud', "uart1  console   115200", "uart2  receiver  420000"], "]")
def test_whatever_a_console_prints_the_draft_is_toml_and_loads_where_it_says_so(lines: list[str], name: str) -> None:
    said = " ".join(name.split()) or "oak"
    answers = {"about": f"firmware name = {said}\nfirmware version = 1.2.3", "settings": "\n".join(lines)}
    heard = heard_in(pasted(conversation_of(answers).encode("utf-8", "surrogatepass")))
    assume(heard is not None)  # what is printed may look like the prompt
    assert heard is not None
    lesson = learn(heard, id_="oak", title="Oak")
    if lesson.draft is None:
        assert lesson.why_not
        return
    top = tomllib.loads(lesson.draft.text)
    assert top.keys() <= TOP
    assert (top["id"], top["title"]) == ("oak", "Oak")
    assert len(top.get("reads", ())) <= 1
    assert (lesson.dialect is None) == bool(lesson.why_not)
    if lesson.dialect is not None:
        assert parse_dialect(lesson.draft.text, "oak").id == "oak"


@pytest.mark.parametrize(
    "hostile_text", ['"', "'''", "]]", "a # b", "\\", "{x}", '"] = "', "=", "[[reads]]", "\U0001f6a9"]
)
def test_a_hostile_value_is_read_again_as_it_is_written_and_a_hostile_key_harms_nothing(hostile_text: str) -> None:
    answer = f"craft name = Night {hostile_text} Owl\nfrog{hostile_text} = 3\nmotor poles = 14"
    lesson = _lesson({"about": ABOUT, "settings": answer})
    assert lesson.dialect is not None, lesson.why_not
    assert lesson.craft is not None
    assert lesson.craft.value("craft.name") == f"Night {hostile_text} Owl"
    assert lesson.craft.value("motors.poles") == 14
    assert lesson.dropped == ()


def test_words_that_stand_in_comments_alone_cannot_leave_them_or_turn_the_line_round() -> None:
    lesson = _lesson({"about": ABOUT, "settings": SETTINGS})
    odd = HelpWord("erase\n[[reads]]\n\u202e", "wipes", 1)
    heard = replace(
        lesson.heard,
        left_out=(LeftOut(odd, "it erases"),),
        answers=(*lesson.heard.answers, Answer("odd\n[[reads]]", (Line(90, "nothing"),), True)),
    )
    left = RowSet(
        "settings", {"table": "odd"}, ("odd",), ("a\nb", "\u202e"), ({"a\nb": Cell("1", 5), "\u202e": Cell("2", 5)},)
    )
    layouts = [replace(one, rows=(left,)) if one.command == "settings" else one for one in lesson.layouts]
    draft = draft_of(heard, layouts, replace(lesson.meaning, unbound_rows=(left,)), id_="oak", title="Oak")
    assert draft is not None
    assert "\u202e" not in draft.text
    assert len(tomllib.loads(draft.text)["reads"]) == len(tomllib.loads(_draft(lesson).text)["reads"])
    assert r"erase\n[[reads]]\n\u202E" in draft.text

"""What becomes of lines that are cut, contradictory, malformed, unknown or hostile."""

from __future__ import annotations

import json
import random
import tracemalloc
from functools import cache

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from dialects.conversations import CAPTURES, brindle, corvane, corvane_document, ossel, recorded
from dialects.samples import BRINDLE_BADGE, BRINDLE_VIEW, CORVANE_SETUP, ORDER, OSSEL_RECITE, OSSEL_WHO
from propsoff.console.capture import Capture, Event, pasted
from propsoff.console.transcript import Transcript
from propsoff.craft.model import Craft, Problem
from propsoff.dialects.catalogue import BUILTIN
from propsoff.dialects.load import load_dialect
from propsoff.dialects.model import Dialect
from propsoff.dialects.read import read_craft

Dialects = dict[str, Dialect]


def problem(craft: Craft, fact: str) -> Problem:
    """The one problem of a fact."""
    found = [each for each in craft.problems if each.fact == fact]
    assert len(found) == 1, craft.problems
    return found[0]


def _counted(recite: str) -> str:
    """The recital with the right count in its last line."""
    lines = recite.rstrip("\n").split("\n")[:-1]
    return "\n".join([*lines, f"; end of recital, {sum(':=' in line for line in lines)} entries", ""])


MALFORMED = [
    (
        "stick.low := 1001us",
        "stick.low := 10O1us",
        "channels.low",
        "expected a number followed by 'us', found '10O1us'",
    ),
    ("stick.now := 1500 1501", "stick.now := 1500 x", "channels.live", "expected a number, found 'x'"),
    ("pack.now := 24.6V", "pack.now := 24,6V", "battery.volts", "expected a number followed by 'V', found '24,6V'"),
    ("prop.magnets := 14", "prop.magnets := 14.5", "motors.poles", "expected a whole number, found '14.5'"),
    ("radio.flip := no", "radio.flip := perhaps", "receiver.inverted", "expected 'yes' or 'no', found 'perhaps'"),
    ("lost.does := home", "lost.does := pray", "failsafe.action", "no known word: 'pray'"),
    ("stick.letters := T A E R", "stick.letters := T A E X", "channels.order", "no axis has the letter 'X'"),
    ("camera.slot := R5", "camera.slot := R", "video.band", "expected '{band:letter}{number:int}', found 'R'"),
    ("radio at 420000", "radio at fast", "ports[1].baud", "expected a number, found 'fast'"),
    ("glass+camera at", "glass+kettle at", "ports[2].roles", "no known word: 'kettle'"),
    ("col 40 row 0", "col x row 0", "overlay.elements[1].column", "expected a number, found 'x'"),
]


@pytest.mark.parametrize(("old", "new", "fact", "why"), MALFORMED)
def test_a_malformed_value_is_a_problem_with_its_line_and_no_fact(
    old: str, new: str, fact: str, why: str, dialects: Dialects
) -> None:
    assert OSSEL_RECITE.count(old) == 1
    capture = ossel(OSSEL_RECITE.replace(old, new))
    craft = read_craft(capture, dialects["ossel"]).craft
    found = problem(craft, fact)
    assert why in found.message
    assert found.text.startswith(new.partition(" := ")[0]) or new in found.text
    assert found.line is not None
    assert Transcript(capture).lines[found.line - 1].text == found.text
    assert craft.value(fact) is None
    assert craft.unread == ()


def test_one_malformed_cell_does_not_take_its_neighbours_with_it(dialects: Dialects) -> None:
    craft = read_craft(ossel(OSSEL_RECITE.replace("radio at 420000", "radio at fast")), dialects["ossel"]).craft
    assert craft.ports is not None
    assert (craft.ports[1].id, craft.ports[1].roles, craft.ports[1].baud) == ("U2", ("receiver",), None)


def test_two_lines_that_contradict_leave_the_fact_unread_and_name_both(dialects: Dialects) -> None:
    capture = ossel(_counted(OSSEL_RECITE.replace("glass.on", "glass.cols := 50\nglass.on")))
    craft = read_craft(capture, dialects["ossel"]).craft
    found = problem(craft, "overlay.columns")
    lines = Transcript(capture).lines
    assert found.line is not None
    assert lines[found.line - 1].text == "glass.cols := 53"
    first = next(line.number for line in lines if line.text == "glass.cols := 50")
    assert f"stated twice with different values: 50 on line {first} and 53 here" in found.message
    assert craft.overlay.columns is None
    assert "overlay.columns" not in craft.provenance


def test_a_line_that_stands_twice_alike_is_no_contradiction(dialects: Dialects) -> None:
    craft = read_craft(
        ossel(_counted(OSSEL_RECITE.replace("glass.on", "glass.cols := 53\nglass.on"))), dialects["ossel"]
    ).craft
    assert craft.overlay.columns == 53
    assert len(craft.provenance["overlay.columns"]) == 2
    assert craft.problems == ()


def test_two_rows_of_one_name_that_contradict_leave_only_the_field_unread(dialects: Dialects) -> None:
    recite = _counted(OSSEL_RECITE.replace("socket.U4", "socket.U2 := radio at 115200\nsocket.U4"))
    craft = read_craft(ossel(recite), dialects["ossel"]).craft
    assert craft.ports is not None
    assert [(port.id, port.roles, port.baud) for port in craft.ports][1] == ("U2", ("receiver",), None)
    assert len(craft.ports) == 4
    assert "420000 on line" in problem(craft, "ports[1].baud").message
    assert len(craft.provenance["ports[1]"]) == 2


def test_a_document_that_names_a_member_twice_is_a_contradiction(dialects: Dialects) -> None:
    document = corvane_document("setup", CORVANE_SETUP).replace('"cells": 6,', '"cells": 6, "cells": 4,')
    craft = read_craft(corvane(document), dialects["corvane"]).craft
    assert craft.battery.cells is None
    assert "6 on line" in problem(craft, "battery.cells").message


def test_lines_that_nobody_knows_are_recorded_as_unread(dialects: Dialects) -> None:
    recite = OSSEL_RECITE.replace("; sticks", "\ngyro: 17 samples late\nnew.word := 5\n; sticks")
    craft = read_craft(ossel(_counted(recite)), dialects["ossel"]).craft
    assert [text for _, text in craft.unread] == ["gyro: 17 samples late", "new.word := 5"]
    assert craft.problems == ()
    view = BRINDLE_VIEW.replace("= cells =", "= moon =\nitem  value\n----  -----\nfull  y\n(1 rows)\n\n= cells =")
    view = view.replace("count    6", "count    6\ncharm    9").replace("(6 rows)\n\n= spin", "(7 rows)\n\n= spin")
    craft = read_craft(brindle(view.replace("(15 tables)", "(16 tables)")), dialects["brindle"]).craft
    assert [text for _, text in craft.unread] == ["= moon =", "item  value", "full  y", "charm    9"]
    assert craft.problems == ()
    setup = {**CORVANE_SETUP, "moon": {"full": True}, "pack": {**CORVANE_SETUP["pack"], "charm": 9}}
    craft = read_craft(corvane(corvane_document("setup", setup)), dialects["corvane"]).craft
    assert [text.strip() for _, text in craft.unread] == ['"charm": 9', '"moon": {', '"full": true', "}"]
    assert craft.problems == ()


@pytest.mark.parametrize("name", list(CAPTURES))
def test_an_error_reply_is_a_problem_and_no_fact(name: str, dialects: Dialects) -> None:
    lines = {
        "ossel": ossel(recite="! no such word: recite\n"),
        "brindle": recorded(
            ("\r", "\n\x1b[36m[brindle]\x1b[0m % "),
            ("badge\r", f"badge\n{BRINDLE_BADGE}\x1b[36m[brindle]\x1b[0m % "),
            ("view all\r", "view all\n\x1b[31mnot a verb:\x1b[0m view all\n\x1b[36m[brindle]\x1b[0m % "),
        ),
        "corvane": corvane(setup="@sorry unknown request tell setup\n"),
    }
    craft = read_craft(lines[name], dialects[name]).craft
    assert any("with an error" in each.message and each.line for each in craft.problems)
    assert craft.firmware.version is not None
    assert (craft.overlay.columns, craft.ports, craft.unread) == (None, None, ())


@pytest.mark.parametrize("name", list(CAPTURES))
def test_a_read_that_is_not_in_the_capture_is_said(name: str, dialects: Dialects) -> None:
    whole = CAPTURES[name]()
    firsts = [at for at, event in enumerate(whole.events) if event.code == "i"]
    craft = read_craft(Capture(whole.events[: firsts[2]], 0.0), dialects[name]).craft
    asked = dialects[name].manner.reads[0].command
    assert [each.message for each in craft.problems] == [f"no reply to {asked!r} in this capture"]
    assert craft.firmware.name is not None


def _cut(capture: Capture, keep: float) -> Capture:
    """The capture cut within the last output, as by an unplugged board."""
    events = [event for event in capture.events if event.code != "m"]
    last = events[-1]
    events[-1] = Event(0.0, "o", last.text[: int(len(last.text) * keep)])
    return Capture((*events, Event(0.0, "m", "end: unplugged")), 0.0)


@pytest.mark.parametrize("name", ["ossel", "corvane"])
def test_a_reply_that_is_cut_gives_the_facts_of_its_whole_lines_and_says_so(name: str, dialects: Dialects) -> None:
    reading = read_craft(_cut(CAPTURES[name](), 0.5), dialects[name])
    craft = reading.craft
    assert reading.exchanges[-1].state == "cut"
    assert any("is cut" in each.message for each in craft.problems)
    assert (craft.craft.name, craft.receiver.kind, craft.channels.order) == ("Teal Wren", "serial", ORDER)
    assert craft.logger.device is None
    assert craft.arming.blocks is None
    assert craft.unread == ()


def test_rows_of_a_cut_listing_are_kept_with_a_word_that_some_may_be_missing(dialects: Dialects) -> None:
    recite = OSSEL_RECITE.partition("socket.U3")[0]
    capture = recorded(("\r", "\nossel> "), ("who\r", f"who\n{OSSEL_WHO}ossel> "), ("recite\r", f"recite\n{recite}soc"))
    craft = read_craft(capture, dialects["ossel"]).craft
    assert craft.ports is not None
    assert [port.id for port in craft.ports] == ["U1", "U2"]
    assert "entries may be missing" in problem(craft, "ports").message
    assert craft.overlay.elements is None  # none was listed, and the listing is not whole
    assert craft.arming.blocks is None


def test_a_gathered_list_of_a_cut_listing_stays_unread(dialects: Dialects) -> None:
    recite = OSSEL_RECITE.partition("grounded.2")[0]
    capture = recorded(("\r", "\nossel> "), ("who\r", f"who\n{OSSEL_WHO}ossel> "), ("recite\r", f"recite\n{recite}gr"))
    craft = read_craft(capture, dialects["ossel"]).craft
    assert craft.arming.blocks is None
    assert "entries may be missing" in problem(craft, "arming.blocks").message


def test_a_number_that_is_skipped_in_a_numbered_list_leaves_it_unread(dialects: Dialects) -> None:
    craft = read_craft(ossel(_counted(OSSEL_RECITE.replace("grounded.1 := no-radio\n", ""))), dialects["ossel"]).craft
    assert craft.arming.blocks is None
    assert "expected entry 1 here" in problem(craft, "arming.blocks").message


def test_of_two_replies_to_one_command_the_later_whole_one_counts(dialects: Dialects) -> None:
    before = OSSEL_RECITE.replace("glass.cols := 53", "glass.cols := 50")
    turns = (
        ("\r", "\nossel> "),
        ("who\r", f"who\n{OSSEL_WHO}ossel> "),
        ("recite\r", f"recite\n{before}ossel> "),
        ("recite\r", f"recite\n{OSSEL_RECITE}ossel> "),
    )
    assert read_craft(recorded(*turns), dialects["ossel"]).craft.overlay.columns == 53
    torn = (*turns[:3], ("recite\r", f"recite\n{OSSEL_RECITE.partition('prop.')[0]}"))
    craft = read_craft(recorded(*torn), dialects["ossel"]).craft
    assert (craft.overlay.columns, craft.logger.device) == (50, "flash")
    assert craft.problems == ()


@pytest.mark.parametrize("prompt", ["ossel> ", "ossel>"])
def test_pasted_text_is_read_as_a_conversation(prompt: str, dialects: Dialects) -> None:
    text = f"{prompt}who\n{OSSEL_WHO}{prompt}recite\n{OSSEL_RECITE}{prompt}\n"
    craft = read_craft(pasted(text.encode()), dialects["ossel"]).craft
    assert (craft.firmware.version, craft.overlay.columns, craft.unread) == ("4.2.0", 53, ())


def test_a_pasted_listing_without_its_command_is_read_to_its_end_mark(dialects: Dialects) -> None:
    reading = read_craft(pasted(OSSEL_RECITE.encode()), dialects["ossel"])
    craft = reading.craft
    assert (craft.overlay.columns, craft.arming.blocks) == (53, ("no-receiver-link", "usb-connected"))
    assert [each.message for each in craft.problems] == [
        "no reply to 'who' in this capture",
        "the reply to 'recite' is unsure: the command that asked for it is not in the text",
    ]
    assert [exchange.command for exchange in reading.exchanges] == ["recite"]


def test_a_pasted_listing_that_lacks_lines_is_not_taken_for_whole(dialects: Dialects) -> None:
    text = OSSEL_RECITE.replace("grounded.2 := usb-attached\n", "")
    craft = read_craft(pasted(text.encode()), dialects["ossel"]).craft
    assert craft.arming.blocks is None
    assert any("it says 50, 49 were read" in each.message for each in craft.problems)


@cache
def _built_in(name: str) -> Dialect:
    # Not the fixture: what is handed to a failing property test is printed, and a dialect is long.
    return load_dialect(BUILTIN / f"{name}.toml")


MARKS = ["@doc setup lines=3", "@done setup", "ossel> recite", ":: tell setup", "[brindle] % view all", "(3 tables)"]
SETUP_LINES = json.dumps(CORVANE_SETUP, indent=2).split("\n")
WORDS = st.sampled_from([*OSSEL_RECITE.split("\n"), *BRINDLE_VIEW.split("\n"), *SETUP_LINES, *MARKS])
TEXT = st.lists(WORDS | st.text(max_size=40), max_size=40).map("\n".join)


@pytest.mark.parametrize("name", list(CAPTURES))
@settings(deadline=None)  # a busy machine is no failure; every test has its own time-out
@given(text=TEXT)
@example(text="= wires =\n\u00a0\n(9 rows)")
@example(text="= wires =\nwire\n----\n(99999999999999999999 rows)")
def test_no_text_makes_reading_raise(name: str, text: str) -> None:
    dialect = _built_in(name)
    prompt = {"ossel": "ossel> ", "brindle": "[brindle] % ", "corvane": ":: "}[name]
    command = dialect.manner.reads[0].command
    end = "\r" if dialect.manner.line_end == b"\r" else "\n"
    captures = [
        recorded((end, prompt), (command + end, f"{command}\n{text}\n{prompt}")),
        pasted(f"{prompt}{command}\n{text}\n{prompt}".encode("utf-8", "replace")),
        pasted(text.encode("utf-8", "replace")),
    ]
    for capture in captures:
        craft = read_craft(capture, dialect).craft
        assert len(craft.problems) <= 200
        assert all(record.value is not None for record in craft.facts())
        lines = Transcript(capture).lines
        assert all(0 < number <= len(lines) for record in craft.facts() for number in record.lines)
        assert all(each.line is None or 0 < each.line <= len(lines) for each in craft.problems)


@pytest.mark.parametrize("name", list(CAPTURES))
def test_flipped_bytes_never_raise_and_never_make_a_fact_of_the_wrong_type(name: str, dialects: Dialects) -> None:
    whole = CAPTURES[name]()
    for seed in range(60):
        random_ = random.Random(seed)
        events = list(whole.events)
        at = max(range(len(events)), key=lambda index: len(events[index].text))
        text = list(events[at].text)
        for _ in range(6):
            text[random_.randrange(len(text))] = chr(random_.randrange(32, 127))
        events[at] = Event(0.0, "o", "".join(text))
        craft = read_craft(Capture(tuple(events), 0.0), dialects[name]).craft
        assert craft.channels.low is None or type(craft.channels.low) is int, f"seed {seed}"
        assert craft.video.power_mw is None or type(craft.video.power_mw) is float, f"seed {seed}"


@pytest.mark.parametrize(("column", "problems"), [("1", 1), ("x", 200)])
def test_a_flood_of_rows_or_of_problems_is_bounded(column: str, problems: int, dialects: Dialects) -> None:
    flood = "".join(f"glass.item.n{n} := col {column} row 1 wide 1 shown\n" for n in range(20_000))
    capture = pasted(f"ossel> recite\n{flood}; end of recital, 20000 entries\nossel> ".encode())
    tracemalloc.start()
    craft = read_craft(capture, dialects["ossel"]).craft
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert craft.overlay.elements is not None
    assert len(craft.overlay.elements) == 1024
    told = [each for each in craft.problems if each.fact and each.fact.startswith("overlay.elements")]
    assert len(told) == problems - (1 if problems == 200 else 0)  # the missing reply to `who` is one of the 200
    assert ("more than 1024 rows" in told[-1].message) == (problems == 1)
    assert peak < 60 * len(flood)

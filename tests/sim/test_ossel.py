"""Ossel speaks as CONSOLES.md says: `key := value` lines with echo."""

from __future__ import annotations

import re

import pytest

from propsoff_sim.catalogue import board
from propsoff_sim.device import joined
from propsoff_sim.personalities import Ossel
from propsoff_sim.text import console_bytes

PROMPT = b"ossel> "


def console(name: str = "ossel-hd53") -> Ossel:
    """A console past its greeting."""
    engine = Ossel(board(name))
    engine.feed(b"\n")
    return engine


def said(engine: Ossel, data: bytes) -> bytes:
    """All that the console sends for these bytes."""
    return joined(engine.feed(data))


def listed(name: str) -> dict[str, str]:
    """The settings that `recite` lists, read line by line."""
    lines = said(console(name), b"recite\r").decode().split("\r\n")[1:-1]
    return dict(line.split(" := ", 1) for line in lines if not line.startswith(";"))


def test_nothing_is_sent_before_a_byte_is_received() -> None:
    assert said(Ossel(board("ossel-hd53")), b"") == b""


def test_the_first_line_end_is_greeted_and_only_the_first() -> None:
    engine = Ossel(board("ossel-hd53"))
    assert said(engine, b"\r") == b"\r\nOssel flight core. 'words' names the words.\r\nossel> "
    assert said(engine, b"\r") == b"\r\nossel> "


@pytest.mark.parametrize("end", [b"\r", b"\n", b"\r\n"])
def test_each_kind_of_line_end_is_one_line_end(end: bytes) -> None:
    assert said(console(), end) == b"\r\nossel> "


def test_a_line_end_cut_in_two_is_one_line_end() -> None:
    engine = console()
    assert said(engine, b"\r") + said(engine, b"\n") == b"\r\nossel> "
    assert said(engine, b"\n\n") == b"\r\nossel> " * 2


def test_characters_are_echoed_as_they_come() -> None:
    engine = console()
    assert [said(engine, bytes([byte])) for byte in b"who"] == [b"w", b"h", b"o"]


@pytest.mark.parametrize("rub_out", [b"\x08", b"\x7f"])
def test_a_character_can_be_rubbed_out(rub_out: bytes) -> None:
    engine = console()
    assert said(engine, b"whx" + rub_out) == b"whx\b \b"
    assert b"release := 4.2.0" in said(engine, b"o\r")
    assert said(engine, rub_out) == b""


def test_a_character_of_several_bytes_is_rubbed_out_whole() -> None:
    assert said(console(), "é".encode() + b"\x7f" + b"who\r").count(b"release") == 1


def test_a_line_holds_128_bytes() -> None:
    engine = console()
    assert said(engine, b"x" * 200) == b"x" * 128
    assert said(engine, b"\r") == b"\r\n! no such word: " + b"x" * 128 + b"\r\nossel> "


def test_an_unknown_word_is_refused_with_the_line() -> None:
    assert said(console(), b" frob it \r") == b" frob it \r\n! no such word: frob it\r\nossel> "


def test_identity() -> None:
    assert said(console(), b"who\r").decode() == (
        "who\r\nfirmware := Ossel\r\nrelease := 4.2.0\r\nbuilt := 2026-03-14\r\nboard := FENWICK F7\r\n"
        "serial := 4F2A00191C\r\nossel> "
    )


def test_a_word_on_the_first_line_is_answered_after_the_greeting() -> None:
    text = said(Ossel(board("ossel-hd53")), b"who\r")
    assert text.startswith(b"who\r\nOssel flight core. 'words' names the words.\r\nfirmware := Ossel\r\n")


@pytest.mark.parametrize(
    "name", ["ossel-hd53", "ossel-analog-spi", "ossel-hd53+old-firmware", "ossel-hd50+no-switches"]
)
def test_the_recital_counts_its_entries(name: str) -> None:
    text = said(console(name), b"recite\r").decode()
    assert text.endswith("\r\nossel> ")
    lines = text.split("\r\n")[1:-1]
    entries = [line for line in lines if " := " in line]
    assert lines[-1] == f"; end of recital, {len(entries)} entries"
    assert all(line.startswith("; ") for line in lines if line not in entries)


def test_every_setting_is_written_as_the_table_says() -> None:
    seen = listed("ossel-hd53")
    assert seen["craft.label"] == "Teal Wren"
    assert (seen["radio.input"], seen["radio.speech"], seen["radio.socket"]) == ("uart", "crsf", "U2")
    assert (seen["radio.flip"], seen["radio.onewire"], seen["radio.backtalk"]) == ("no", "no", "yes")
    assert (seen["stick.letters"], seen["stick.low"]) == ("A E T R 1 2 3 4", "1000us")
    assert seen["stick.now"] == "1500 1500 1000 1500 1000 1000 1000 1000"
    assert seen["lever.1"] == "arm on ch5 from 1700us to 2100us"
    assert (seen["socket.U2"], seen["socket.U4"], seen["socket.U3"]) == ("radio at 420000", "glass at 115200", "idle")
    assert (seen["glass.on"], seen["glass.norm"], seen["glass.cols"], seen["glass.rows"]) == (
        "yes", "digital", "53", "20",
    )  # fmt: skip
    assert seen["glass.item.battery"] == "col 2 row 18 wide 5 shown"
    assert seen["glass.item.horizon"].endswith(" hidden")
    assert (seen["camera.link"], seen["camera.slot"], seen["camera.freq"], seen["camera.power"]) == (
        "digital", "-", "-", "-",
    )  # fmt: skip
    assert (seen["pack.cells"], seen["pack.now"], seen["pack.ratio"]) == ("6", "24.6V", "11.0")
    assert (seen["pack.floor"], seen["pack.alert"], seen["pack.top"]) == ("3.30V", "3.50V", "4.20V")
    assert (seen["prop.signal"], seen["prop.twoway"], seen["prop.magnets"]) == ("dshot600", "yes", "14")
    assert (seen["prop.idle"], seen["prop.turned"], seen["prop.loop"]) == ("5.5%", "no", "8000Hz")
    assert (seen["lost.does"], seen["lost.after"], seen["lost.throttle"]) == ("drop", "1.0s", "1000us")
    assert (seen["sense.gyro"], seen["sense.tilt"], seen["sense.air"]) == ("found", "found", "missing")
    assert seen["grounded.1"] == "usb-attached"
    assert (seen["notes.device"], seen["notes.free"]) == ("chip", "15728640B")


def test_the_settings_come_in_the_order_of_the_table() -> None:
    groups = [word.split(".")[0] for word in listed("ossel-analog")]
    assert list(dict.fromkeys(groups)) == [
        "craft", "radio", "stick", "lever", "socket", "glass", "camera", "pack", "prop", "lost", "sense", "grounded",
        "notes",
    ]  # fmt: skip


def test_an_analogue_link_has_a_channel() -> None:
    seen = listed("ossel-analog")
    assert (seen["camera.slot"], seen["camera.freq"], seen["camera.power"]) == ("R5", "5806MHz", "25mW")


@pytest.mark.parametrize(
    ("fault", "word", "text"),
    [
        ("receiver-ppm", "radio.input", "pulse-train"),
        ("receiver-pwm", "radio.input", "pulse-each"),
        ("receiver-none", "radio.input", "absent"),
        ("receiver-none", "radio.speech", "-"),
        ("receiver-none", "radio.socket", "-"),
        ("receiver-port-missing", "radio.socket", "U9"),
        ("receiver-port-unused", "socket.U2", "idle"),
        ("two-roles", "socket.U2", "radio+backtalk at 420000"),
        ("console-lost", "socket.U1", "idle"),
        ("failsafe-return", "lost.does", "home"),
        ("failsafe-hold", "lost.does", "hold"),
        ("failsafe-land", "lost.does", "land"),
        ("logger-card", "notes.device", "card"),
        ("no-logger", "notes.device", "none"),
        ("unnamed", "craft.label", ""),
        ("malformed-value", "stick.low", "10O0us"),
        ("odd-duty", "socket.U6", "gramophone at -"),
    ],
)
def test_a_fault_is_spoken_in_the_firmware_s_own_words(fault: str, word: str, text: str) -> None:
    assert listed(f"ossel-hd53+{fault}")[word] == text


def test_an_spi_receiver_is_on_board() -> None:
    seen = listed("ossel-hd53-spi")
    assert (seen["radio.input"], seen["radio.speech"], seen["radio.socket"]) == ("on-board", "-", "-")


def test_every_reason_has_its_word() -> None:
    seen = listed("ossel-hd53+blocked-many")
    assert [seen[f"grounded.{number}"] for number in range(1, 7)] == [
        "usb-attached", "no-radio", "throttle-up", "tilted", "no-gyro", "lever-on",
    ]  # fmt: skip


def test_a_release_before_the_grid_never_names_one() -> None:
    seen = listed("ossel-hd53+old-firmware")
    assert seen["glass.norm"] == "auto"
    assert not {"glass.cols", "glass.rows"} & set(seen)


def test_a_setting_can_be_told_and_survives_a_restart_only_when_kept() -> None:
    engine = console("ossel-hd53+small-grid")
    assert said(engine, b"let glass.cols := 53\r").endswith(b"\r\nglass.cols := 53\r\nossel> ")
    assert engine.state.overlay.columns == 53
    said(engine, b"again\r")
    said(engine, b"\r")
    assert engine.state.overlay.columns == 50
    said(engine, b"let glass.cols := 53\r")
    assert said(engine, b"keep\r").endswith(b"\r\n; kept\r\nossel> ")
    assert said(engine, b"again\r").endswith(b"\r\n; starting again\r\n")
    assert said(engine, b"\r") == b"\r\nOssel flight core. 'words' names the words.\r\nossel> "
    assert engine.state.overlay.columns == 53
    assert engine.written == ["let glass.cols := 53", "again", "let glass.cols := 53", "keep", "again"]


@pytest.mark.parametrize(
    ("line", "word"),
    [
        ("let stick.letters := T A E R 1 2 3 4", "stick.letters"),
        ("let stick.letters := R 4 A E 1 T 3 2", "stick.letters"),
        ("let radio.input := pulse-train", "radio.input"),
        ("let radio.flip := yes", "radio.flip"),
        ("let radio.socket := U3", "radio.socket"),
        ("let socket.U3 := sky+notes at 57600", "socket.U3"),
        ("let socket.U2 := idle", "socket.U2"),
        ("let lever.2 := turtle on ch9 from 900us to 1200us", "lever.2"),
        ("let lever.5 := beeper on ch10 from 900us to 1200us", "lever.5"),
        ("let glass.item.timer := col 4 row 5 wide 6 hidden", "glass.item.timer"),
        ("let glass.on := no", "glass.on"),
        ("let glass.norm := pal", "glass.norm"),
        ("let camera.slot := E4", "camera.slot"),
        ("let camera.power := 200mW", "camera.power"),
        ("let pack.floor := 3.40V", "pack.floor"),
        ("let prop.idle := 6.0%", "prop.idle"),
        ("let lost.does := home", "lost.does"),
        ("let lost.after := 0.5s", "lost.after"),
        ("let craft.label := Grey Heron", "craft.label"),
        ("let craft.label :=", "craft.label"),
    ],
)
def test_what_is_told_is_what_is_recited(line: str, word: str) -> None:
    engine = console()
    said(engine, line.encode() + b"\r")
    told = line.partition(":=")[2].strip()
    assert f"\r\n{word} := {told}\r\n" in said(engine, b"recite\r").decode()


def test_a_listing_follows_what_was_told_since_the_last_one() -> None:
    engine = console()
    for column in (51, 52):
        said(engine, f"let glass.cols := {column}\r".encode())
        assert f"glass.cols := {column}\r\n" in said(engine, b"recite\r").decode().split("entries")[0]
    said(engine, b"again\r\r")
    assert b"glass.cols := 53\r\n" in said(engine, b"recite\r")


def test_telling_a_malformed_setting_a_value_makes_it_sound() -> None:
    engine = console("ossel-hd53+malformed-value")
    said(engine, b"let stick.low := 1000us\r")
    assert b"\r\nstick.low := 1000us\r\n" in said(engine, b"recite\r")


@pytest.mark.parametrize(
    ("line", "answer"),
    [
        ("let glass.cols = 53", "! no such word: let glass.cols = 53"),
        ("let glass.colour := 3", "! no such word: let glass.colour := 3"),
        ("let glass.cols := wide", "! no such value: wide"),
        ("let stick.letters := T A E R", "! no such value: T A E R"),
        ("let stick.letters := T A E E 1 2 3 4", "! no such value: T A E E 1 2 3 4"),
        ("let sense.gyro := found", "! no such value: found"),
        ("let socket.U2 := radio", "! no such value: radio"),
        ("let socket.U7 := idle", "! no such word: let socket.U7 := idle"),
        ("let lever.9 := arm on ch5 from 1us to 2us", "! no such word: let lever.9 := arm on ch5 from 1us to 2us"),
        ("let lever.1 := fly on ch5 from 1us to 2us", "! no such value: fly on ch5 from 1us to 2us"),
        ("let grounded.1 := none", "! no such value: none"),
        ("let", "! no such word: let"),
        ("keep all", "! no such word: keep all"),
    ],
)
def test_what_cannot_be_told_is_refused_and_changes_nothing(line: str, answer: str) -> None:
    engine = console()
    before = engine.state
    assert said(engine, line.encode() + b"\r").decode().split("\r\n")[1] == answer
    assert engine.state == before
    assert engine.written == [line]


def test_old_firmware_cannot_be_told_a_digital_grid() -> None:
    engine = console("ossel-hd53+old-firmware")
    assert b"! no such value: digital" in said(engine, b"let glass.norm := digital\r")
    assert b"! no such word: let glass.cols := 53" in said(engine, b"let glass.cols := 53\r")


def test_every_byte_is_on_record() -> None:
    engine = console()
    said(engine, b"who\r\x00\xff")
    assert engine.received == b"\nwho\r\x00\xff"
    assert engine.written == []


def test_a_name_stands_in_the_listing_byte_for_byte() -> None:
    assert b"craft.label := Teal \xff\xfe\xc3 Wren\r\n" in console_bytes("ossel-hd53+name-invalid-utf8")
    long = re.search(rb"craft\.label := (.*)\r\n", console_bytes("ossel-hd53+name-4k"))
    assert long is not None
    assert len(long[1]) == 4096


def test_a_name_can_look_like_the_prompt() -> None:
    assert b"craft.label := Teal ossel> Wren\r\n" in console_bytes("ossel-hd53+name-prompt")
    assert b"craft.label := Teal\r\nossel> \r\nWren\r\n" in console_bytes("ossel-hd53+name-prompt-line")

"""Brindle speaks as CONSOLES.md says: tables, a pager, colour codes."""

from __future__ import annotations

import pyte
import pytest

from propsoff_sim.catalogue import board
from propsoff_sim.device import joined
from propsoff_sim.personalities import Brindle
from propsoff_sim.text import console_text

PROMPT = b"\x1b[36m[brindle]\x1b[0m % "


def console(name: str = "brindle-hd53") -> Brindle:
    """A console past its first line end."""
    engine = Brindle(board(name))
    engine.feed(b"\r")
    return engine


def said(engine: Brindle, data: bytes) -> bytes:
    """All that the console sends for these bytes."""
    return joined(engine.feed(data))


def tables(name: str) -> dict[str, list[list[str]]]:
    """The tables of `view all`, each cut into cells by the positions of the header's words."""
    found: dict[str, list[list[str]]] = {}
    for block in console_text(name, "view all").split("\n\n"):
        lines = block.split("\n")
        if not lines[-1].endswith("rows)") or "= " not in block:
            continue
        title = next(at for at, line in enumerate(lines) if line.startswith("= "))
        header, rule, rows = lines[title + 1], lines[title + 2], lines[title + 3 : -1]
        starts = [at for at, sign in enumerate(rule) if sign == "-" and (at == 0 or rule[at - 1] == " ")]
        ends = [*starts[1:], None]
        assert all(header[at] != " " for at in starts)
        found[lines[title].strip("= ")] = [
            [line[at:end].rstrip() for at, end in zip(starts, ends, strict=True)] for line in rows
        ]
        assert lines[-1] == f"({len(rows)} rows)"
    return found


def items(name: str, table: str) -> dict[str, str]:
    """A table of two columns."""
    return {row[0]: row[1] for row in tables(name)[table]}


def test_the_first_line_end_is_answered_with_only_the_prompt() -> None:
    assert said(Brindle(board("brindle-hd53")), b"\r") == b"\r\n" + PROMPT


def test_identity_is_one_line() -> None:
    assert said(console(), b"badge\r") == b"badge\r\nBrindle 2.6.1 (2026-01-30) for MARL-405 #B7-00421\r\n" + PROMPT


def test_an_unknown_verb_is_refused_in_red() -> None:
    assert said(console(), b"frob it\r") == b"frob it\r\n\x1b[31mnot a verb:\x1b[0m frob it\r\n" + PROMPT


def test_colours_are_what_a_terminal_takes_them_for() -> None:
    """SGR codes as ECMA-48 defines them, by pyte: 36 cyan, 31 red, 1 bold, 7 reverse."""
    screen = pyte.Screen(80, 60)
    stream = pyte.ByteStream(screen)
    engine = console()
    stream.feed(said(engine, b"\r") + said(engine, b"frob\r"))
    assert screen.display[1].startswith("[brindle] % frob")
    assert (screen.buffer[1][0].fg, screen.buffer[1][12].fg) == ("cyan", "default")
    assert screen.display[2].startswith("not a verb: frob")
    assert (screen.buffer[2][0].fg, screen.buffer[2][12].fg) == ("red", "default")
    stream.feed(said(engine, b"view all\r"))
    bold = next(row for row in range(60) if screen.display[row].startswith("= frame ="))
    assert screen.buffer[bold][0].bold
    assert not screen.buffer[bold + 1][0].bold
    stop = next(row for row in range(60) if screen.display[row].startswith("-- 24 of "))
    assert screen.buffer[stop][0].reverse


def test_the_pager_stops_after_each_24_lines_and_counts_them() -> None:
    engine = console()
    page = said(engine, b"view all\r").removeprefix(b"view all\r\n")
    total = None
    for number in range(1, 20):
        *lines, stop = page.split(b"\r\n")
        if stop == PROMPT:
            break
        assert len(lines) == 24
        _, shown, _, of, *_ = stop.removeprefix(b"\x1b[7m").split(b" ")
        assert int(shown) == 24 * number
        assert stop == b"\x1b[7m-- %s of %s lines, press a key --\x1b[0m" % (shown, of)
        assert total in (None, int(of))
        total = int(of)
        page = said(engine, b" ")
        assert page.startswith(b"\r\x1b[K")
        page = page.removeprefix(b"\r\x1b[K")
    assert total == 24 * (number - 1) + len(lines)
    assert lines[-1] == b"(15 tables)"


def test_a_pager_line_leaves_nothing_on_the_screen() -> None:
    screen = pyte.Screen(80, 30)
    stream = pyte.ByteStream(screen)
    engine = console()
    stream.feed(said(engine, b"view all\r"))
    assert "press a key" in "".join(screen.display)
    stream.feed(said(engine, b"\x00"))
    assert sum("press a key" in line for line in screen.display) == 1  # the next stop, on the last line
    assert "press a key" in screen.display[-1]


def test_any_byte_turns_the_page_and_q_stops() -> None:
    engine = console()
    said(engine, b"view all\r")
    assert said(engine, b"\r").startswith(b"\r\x1b[K(")
    assert said(engine, b"q") == b"\r\x1b[K" + PROMPT
    assert said(engine, b"\r") == b"\r\n" + PROMPT


def test_the_lf_of_a_crlf_does_not_turn_the_page() -> None:
    engine = console()
    assert b"-- 24 of" in said(engine, b"view all\r")
    assert said(engine, b"\n") == b""
    assert b"-- 48 of" in said(engine, b"\n")


def test_bytes_typed_ahead_turn_pages() -> None:
    assert said(console(), b"view all\r" + b" " * 20).endswith(b"(15 tables)\r\n" + PROMPT + b" " * 15)


def test_a_reply_that_fits_is_not_paged() -> None:
    assert b"press a key" not in said(console(), b"badge\r")


def test_all_tables_come_in_order_each_with_an_empty_line_after_it() -> None:
    assert list(tables("brindle-hd53")) == [
        "frame", "ear", "sticks", "input", "levers", "wires", "canvas", "widgets", "eye", "cells", "spin", "silence",
        "parts", "held", "store",
    ]  # fmt: skip
    assert "rows)\n\n(15 tables)\n" in console_text("brindle-hd53")


def test_columns_are_at_least_two_blanks_apart_and_no_line_ends_with_a_blank() -> None:
    for line in console_text("brindle-hd53", "view all").split("\n")[2:-1]:
        assert line == line.rstrip()
    text = console_text("brindle-hd53", "view all")
    assert "no  does    ch  from  to\n--  ------  --  ----  ----\n1   ARM     5   1700  2100\n" in text


def test_every_fact_stands_in_its_table() -> None:
    seen = tables("brindle-analog")
    assert items("brindle-analog", "frame") == {"title": "Teal Wren"}
    assert items("brindle-analog", "ear") == {
        "path": "wire", "language": "sbus", "wire": "W1", "mirrored": "y", "single-wire": "n", "reports": "n",
    }  # fmt: skip
    assert items("brindle-analog", "sticks") == {
        "order": "A>E>T>R>1>2>3>4",
        "bottom": "1000",
        "middle": "1500",
        "top": "2000",
    }
    assert seen["input"] == [["1", "1500"], ["2", "1500"], ["3", "1000"], ["4", "1500"]] + [
        [str(channel), "1000"] for channel in range(5, 9)
    ]
    assert [row[1] for row in seen["levers"]] == ["ARM", "LEVEL", "BEEP", "TURTLE"]
    assert seen["wires"] == [
        ["W0", "host", "-"], ["W1", "ear", "100000"], ["W2", "free", "-"], ["W3", "eye", "9600"],
        ["W4", "spin", "115200"], ["W5", "free", "-"],
    ]  # fmt: skip
    assert items("brindle-analog", "canvas") == {"drawn": "y", "signal": "625", "wide": "30", "tall": "16"}
    assert {row[0] for row in seen["widgets"]} == {
        "battery", "timer", "link", "warnings", "name", "horizon", "altitude", "speed",
    }  # fmt: skip
    assert items("brindle-analog", "eye") == {"kind": "analogue", "band": "R", "number": "5", "mhz": "5806", "mw": "25"}
    assert items("brindle-analog", "cells") == {
        "count": "6", "volts": "24.6", "divider": "11.0", "empty": "3.30", "worry": "3.50", "brim": "4.20",
    }  # fmt: skip
    assert items("brindle-analog", "spin") == {
        "signal": "dshot600", "both-ways": "y", "poles": "14", "idle": "5.5", "flipped": "n", "rate": "8",
    }  # fmt: skip
    assert items("brindle-analog", "silence") == {"then": "cut", "after": "1000", "throttle": "1000"}
    assert items("brindle-analog", "parts") == {"gyro": "ok", "accel": "ok", "baro": "none"}
    assert seen["held"] == [["1", "host attached"]]
    assert items("brindle-analog", "store") == {"medium": "flash", "left": "15360"}


@pytest.mark.parametrize(
    ("name", "table", "item", "text"),
    [
        ("brindle-hd53-spi", "ear", "path", "inside"),
        ("brindle-hd53-spi", "ear", "language", "-"),
        ("brindle-hd53-spi", "ear", "wire", "-"),
        ("brindle-hd53+receiver-ppm", "ear", "path", "ppm"),
        ("brindle-hd53+receiver-pwm", "ear", "path", "pwm"),
        ("brindle-hd53+receiver-none", "ear", "path", "none"),
        ("brindle-hd53+receiver-port-missing", "ear", "wire", "W8"),
        ("brindle-hd53", "canvas", "signal", "digital"),
        ("brindle-analog-ntsc", "canvas", "signal", "525"),
        ("brindle-hd53+old-firmware", "canvas", "signal", "auto"),
        ("brindle-hd53+old-firmware", "canvas", "wide", "-"),
        ("brindle-hd53+old-firmware", "canvas", "tall", "-"),
        ("brindle-hd53", "eye", "kind", "digital"),
        ("brindle-hd53", "eye", "mhz", "-"),
        ("brindle-hd53+unnamed", "frame", "title", "-"),
        ("brindle-hd53+two-roles", "wires", "W1", "ear,reports"),
        ("brindle-hd53+failsafe-hold", "silence", "then", "freeze"),
        ("brindle-hd53+failsafe-land", "silence", "then", "descend"),
        ("brindle-hd53+failsafe-return", "silence", "then", "return"),
        ("brindle-hd53+malformed-value", "sticks", "bottom", "10O0us"),
        ("brindle-hd53+value-empty", "silence", "after", "-"),
    ],
)
def test_a_board_is_described_in_the_firmware_s_own_words(name: str, table: str, item: str, text: str) -> None:
    assert items(name, table)[item] == text


def test_every_reason_has_its_words_and_none_is_no_row() -> None:
    assert [row[1] for row in tables("brindle-hd53+blocked-many")["held"]] == [
        "host attached", "ear quiet", "throttle raised", "not flat", "gyro none", "arm lever on",
    ]  # fmt: skip
    assert tables("brindle-hd53+ready-to-arm")["held"] == []


@pytest.mark.parametrize(
    ("line", "table", "row"),
    [
        ("put canvas wide 50", "canvas", ["wide", "50"]),
        ("put sticks order T>A>E>R>1>2>3>4", "sticks", ["order", "T>A>E>R>1>2>3>4"]),
        ("put frame title Grey Heron", "frame", ["title", "Grey Heron"]),
        ("put frame title -", "frame", ["title", "-"]),
        ("put wires W2 duty fix,store", "wires", ["W2", "fix,store", "-"]),
        ("put wires W1 rate 420000", "wires", ["W1", "ear", "420000"]),
        ("put wires W1 duty free", "wires", ["W1", "free", "100000"]),
        ("put levers 1 ch 9", "levers", ["1", "ARM", "9", "1700", "2100"]),
        ("put widgets timer on n", "widgets", ["timer", "45", "18", "6", "n"]),
        ("put ear path inside", "ear", ["path", "inside"]),
        ("put spin rate 4", "spin", ["rate", "4"]),
    ],
)
def test_what_is_put_is_what_is_viewed(line: str, table: str, row: list[str]) -> None:
    engine = console()
    assert said(engine, line.encode() + b"\r").endswith(b"\r\nput done\r\n" + PROMPT)
    text = console_text(engine.state, "view all")
    width = text[text.index(f"= {table} =") :]
    assert row in [line.split(maxsplit=len(row) - 1) for line in width.split("\n\n", 1)[0].split("\n")]


@pytest.mark.parametrize(
    "line",
    ["put", "put canvas", "put canvas wide", "put canvas wide x", "put canvas deep 3", "put moon full y",
     "put sticks order T>A>E>R", "put sticks order T A E R 1 2 3 4",
     "put wires W9 duty ear", "put wires W1 colour red", "put levers 0 ch 5", "put cells volts 25.0",
     "put held 1 reason x", "put wires W1 duty ear now", "put spin idle five", "seal it"],
)  # fmt: skip
def test_what_cannot_be_put_is_refused_and_changes_nothing(line: str) -> None:
    engine = console()
    before = engine.state
    assert said(engine, line.encode() + b"\r").split(b"\r\n")[1] == b"\x1b[31mnot a verb:\x1b[0m " + line.encode()
    assert engine.state == before


def test_old_firmware_cannot_be_told_a_digital_grid() -> None:
    engine = console("brindle-hd53+old-firmware")
    for line in (b"put canvas signal digital\r", b"put canvas wide 53\r"):
        assert b"not a verb" in said(engine, line)


def test_sealed_settings_survive_a_cycle() -> None:
    engine = console("brindle-hd53+small-grid")
    assert b"put done" in said(engine, b"put canvas wide 53\r")
    assert b"seal done" in said(engine, b"seal\r")
    said(engine, b"put canvas wide 99\r")
    assert said(engine, b"cycle\r").endswith(b"\r\ncycle done\r\n")
    said(engine, b"\r")
    assert engine.state.overlay.columns == 53
    assert engine.written == ["put canvas wide 53", "seal", "put canvas wide 99", "cycle"]

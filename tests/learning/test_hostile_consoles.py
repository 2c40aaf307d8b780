"""The bad consoles are as bad as they say. Nothing of the reader is used."""

from __future__ import annotations

import os
import select
import time

import pytest

from tests_support.other_consoles.console import Console
from tests_support.other_consoles.hostile import (
    HOSTILE,
    BinaryListing,
    Flooder,
    LongHelp,
    Noise,
    Rebooter,
    Refuser,
    RepeatedKeys,
)
from tests_support.other_consoles.served import served


def _typed(console: Console, line: str) -> bytes:
    return console.type(line.encode() + b"\r", 1.0)


def test_each_has_a_name_of_its_own() -> None:
    assert len({kind.name for kind in HOSTILE}) == len(HOSTILE) == 7


@pytest.mark.parametrize("kind", HOSTILE, ids=lambda kind: kind.name)
def test_each_speaks_on_a_real_port_and_can_be_unplugged_while_nobody_listens(kind: type[Console]) -> None:
    with served(kind()) as device:
        handle = os.open(device, os.O_RDWR | os.O_NOCTTY)
        try:
            os.write(handle, b"\rhelp\rlist\r")
            heard, deadline = bytearray(), time.monotonic() + 5
            while len(heard) < 40 and select.select([handle], [], [], max(deadline - time.monotonic(), 0))[0]:
                heard += os.read(handle, 64)
        finally:
            os.close(handle)
        unplugged = time.monotonic()
    assert len(heard) >= 40
    assert time.monotonic() - unplugged < 3


def test_the_refuser_refuses_help_too() -> None:
    assert _typed(Refuser(), "help") == b"help\r\nerror 22: help\r\n$ "


def test_the_flooder_prints_on_and_never_prompts() -> None:
    console = Flooder()
    assert console.idle(0.0) == ""
    assert _typed(console, "") == b"\r\n"
    first, second = console.idle(1.0), console.idle(1.1)
    assert first.count("\r\n") == second.count("\r\n") == 20
    assert first != second
    assert console.prompt not in first + second


def test_the_rebooter_starts_again_and_loses_what_else_was_typed() -> None:
    console = Rebooter()
    heard = console.type(b"what\rfacts\r", 1.0)
    assert b"boot 2: clocks ok" in heard
    assert heard.endswith(b"sk> ")
    assert b"Wet Sail" not in heard
    assert b"Wet Sail" in _typed(console, "facts")
    assert console.received == ["what", "facts"]


def test_noise_answers_each_byte_and_speaks_by_itself_the_same_for_the_same_seed() -> None:
    console, again = Noise(7), Noise(7)
    heard = _typed(console, "help")
    assert heard == _typed(again, "help")
    assert len(heard) >= 2 * len("help\r")
    assert console.idle(1.0)
    assert not console.idle(1.1)
    assert console.received == ["help"]


def test_the_help_has_ten_thousand_lines_and_each_word_answers() -> None:
    console = LongHelp()
    assert _typed(console, "help").count(b"   shows cell ") == 10_000
    assert b"cell 9999 holds" in _typed(console, "show09999")
    assert b"no word show10000" in _typed(console, "show10000")
    assert b"firmware Fathom version 2.2.0" in _typed(console, "show00000")


def test_the_binary_in_the_listing_is_no_text_and_the_facts_stand_around_it() -> None:
    heard = _typed(BinaryListing(), "list")
    head, _, rest = heard.partition(b"calibration = ")
    assert b"battery cells = 4" in head
    assert b"\x00\xff\xfe\x1b" in rest
    assert b"motor poles = 14" in rest
    assert heard.endswith(b"mud> ")


def test_the_keys_that_repeat_are_no_part_of_the_truth() -> None:
    console = RepeatedKeys()
    heard = _typed(console, "list")
    assert (
        heard.count(b"battery cells: ") == heard.count(b"channel order: ") == heard.count(b"receiver protocol: ") == 2
    )
    assert not set(console.contradicted) & set(console.truth.stated)

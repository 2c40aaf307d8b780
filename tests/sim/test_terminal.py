"""Devices on real pseudo-terminals, read by a plain reader."""

from __future__ import annotations

import errno
import fcntl
import os
import statistics
import struct
import termios
from collections.abc import AsyncIterator, Callable

import pytest

from propsoff_sim.catalogue import board
from propsoff_sim.personalities import console_for
from propsoff_sim.terminal import Terminal
from propsoff_sim.text import console_bytes
from propsoff_sim.wire import Wire
from sim.reader import Reader, eventually

PROMPT = {"ossel": b"ossel> ", "brindle": b"\x1b[36m[brindle]\x1b[0m % ", "corvane": b":: "}
LISTING = {"ossel": b"recite\r", "brindle": b"view all\r", "corvane": b"tell setup\r"}
TIOCGEXCL = 0x80045440  # linux/asm-generic/ioctls.h

Start = Callable[..., Terminal]


@pytest.fixture
async def start() -> AsyncIterator[Start]:
    """Starts boards on pseudo-terminals; they are closed after the test."""
    started: list[Terminal] = []

    def begin(name: str = "ossel-hd53", *faults: str, pace: int | None = None, seed: int = 0) -> Terminal:
        terminal = Terminal(console_for(board(name)), Wire(faults, pace=pace, seed=seed))
        terminal.start()
        started.append(terminal)
        return terminal

    yield begin
    for terminal in started:
        terminal.close()


async def listing(reader: Reader, firmware: str) -> bytes:
    """The whole listing as it is read: woken, asked, pages turned."""
    reader.write(b"\r")
    text = await reader.until_ends_with(PROMPT[firmware])
    reader.write(LISTING[firmware])
    while True:
        await reader.until(lambda: reader.data.endswith((PROMPT[firmware], b"press a key --\x1b[0m")))
        text, reader.data = text + reader.data, b""
        if text.endswith(PROMPT[firmware]):
            return text
        reader.write(b" ")


@pytest.mark.parametrize("firmware", ["ossel", "brindle", "corvane"])
@pytest.mark.parametrize("faults", [(), ("bytewise",), ("lumps:16",), ("split-prompt:0.01",), ("late-prompt:0.01",)])
async def test_a_board_says_on_a_port_what_its_console_says(
    start: Start, firmware: str, faults: tuple[str, ...]
) -> None:
    terminal = start(f"{firmware}-hd53", *faults)
    word = LISTING[firmware].decode().strip()
    async with Reader(terminal.path) as reader:
        assert await listing(reader, firmware) == console_bytes(f"{firmware}-hd53", word)


async def test_nothing_is_sent_before_the_board_is_spoken_to(start: Start) -> None:
    async with Reader(start().path) as reader:
        assert await reader.stays_silent(0.2)


async def test_a_fresh_port_echoes_until_its_opener_sets_it_up(start: Start) -> None:
    """serial.md: a tty starts in ECHO mode; here the board reads its own early banner back, and answers it."""
    terminal = start("ossel-hd53", "chatter:early")
    async with Reader(terminal.path, raw=False) as reader:
        await eventually(lambda: b"cold start" in bytes(terminal.device.log.received))
        assert termios.tcgetattr(reader.descriptor)[3] & termios.ECHO


async def test_unplugging_gives_an_end_to_a_reader_and_an_error_to_a_writer(start: Start) -> None:
    """serial.md, measured: a read gives b"", then a write gives EIO."""
    terminal = start()
    async with Reader(terminal.path) as reader:
        reader.write(b"\r")
        await reader.until_ends_with(b"ossel> ")
        terminal.close()
        assert await reader.until_ended() == "eof"
        with pytest.raises(OSError, match="Input/output error"):
            os.write(reader.descriptor, b"\r")


@pytest.mark.parametrize("count", [1, 60, 500])
async def test_a_board_is_unplugged_after_exactly_so_many_bytes(start: Start, count: int) -> None:
    terminal = start("ossel-hd53", f"unplug:{count}")
    async with Reader(terminal.path) as reader:
        reader.write(b"\rrecite\r")
        assert await reader.until_ended() == "eof"
        assert len(reader.data) == count
        assert console_bytes("ossel-hd53", "recite").startswith(reader.data)
    assert terminal.closed


async def test_output_is_paced_to_the_rate(start: Start) -> None:
    terminal = start("ossel-hd53", pace=19200)
    async with Reader(terminal.path) as reader:
        reader.write(b"\rrecite\r")
        await reader.until(lambda: reader.data.endswith(b"entries\r\nossel> "))
        took_s = reader.times_s[-1] - reader.times_s[0]
        expected_s = (len(reader.data) - len(reader.pieces[0])) / 1920
        assert expected_s * 0.98 <= took_s <= expected_s * 1.5 + 0.1


async def test_a_byte_at_a_time_comes_in_many_small_pieces(start: Start) -> None:
    async with Reader(start("ossel-hd53", "bytewise").path) as reader:
        await listing(reader, "ossel")
        assert len(reader.pieces) > 100
        assert statistics.median(map(len, reader.pieces)) <= 4


async def test_a_whole_listing_comes_in_few_large_pieces(start: Start) -> None:
    async with Reader(start().path) as reader:
        text = await listing(reader, "ossel")
        assert len(text) > 1500
        assert len(reader.pieces) < 12


async def test_a_reader_that_does_not_read_stops_the_board_and_loses_nothing(start: Start) -> None:
    terminal = start("ossel-hd53+name-4k")
    async with Reader(terminal.path) as reader:
        reader.pause()
        for _ in range(10):
            reader.write(b"recite\r")
        await eventually(lambda: terminal.device.log.received.count(b"\r") == 10)
        assert terminal.sent_bytes < 40_000
        reader.go_on()
        await reader.until(lambda: reader.data.count(b"; end of recital") == 10)
        await reader.until(lambda: reader.data.endswith(b"ossel> "))
        assert reader.data.count(b"craft.label := Teal Wren ") == 10
        assert terminal.sent_bytes == len(reader.data)


async def test_endless_output_goes_on_and_others_are_still_answered(start: Start) -> None:
    endless, sound = start("ossel-hd53", "endless"), start("corvane-hd53")
    async with Reader(endless.path) as reader, Reader(sound.path) as other:
        reader.write(b"\rwho\r")
        await reader.until(lambda: len(reader.data) > 500_000)
        other.write(b"\n")
        await other.until_ends_with(b":: ")
        came = len(reader.data)
        await reader.until(lambda: len(reader.data) > came + 100_000)


async def test_a_muted_board_hears_and_says_nothing(start: Start) -> None:
    terminal = start("ossel-hd53", "mute")
    async with Reader(terminal.path) as reader:
        reader.write(b"\rwho\r")
        await eventually(lambda: terminal.device.log.received == b"\rwho\r")
        assert await reader.stays_silent(0.2)


async def test_a_prompt_never_comes(start: Start) -> None:
    async with Reader(start("ossel-hd53", "no-prompt").path) as reader:
        reader.write(b"\rwho\r")
        await reader.until_ends_with(b"serial := 4F2A00191C\r\n")
        assert await reader.stays_silent(0.2)
        assert b"ossel> " not in b"".join(reader.pieces)


async def test_a_split_prompt_comes_in_two_pieces_with_a_pause(start: Start) -> None:
    async with Reader(start("ossel-hd53", "split-prompt:0.1").path) as reader:
        reader.write(b"\r")
        await reader.until_ends_with(b"el> ")
        assert reader.pieces[-2].endswith(b"\r\noss")
        assert reader.times_s[-1] - reader.times_s[-2] >= 0.09


async def test_the_wrong_rate_gives_garbage_and_the_right_one_the_console(start: Start) -> None:
    terminal = start("ossel-hd53", "baud-mismatch:57600")
    async with Reader(terminal.path, speed=termios.B115200) as reader:
        reader.write(b"who\r")
        await eventually(lambda: len(terminal.device.log.received) > 0)
        assert b"who" not in bytes(terminal.device.log.received)
        assert b"Ossel" not in reader.data
    async with Reader(terminal.path, speed=termios.B57600) as reader:
        reader.write(b"\r")
        assert await reader.until_ends_with(b"ossel> ")


async def test_an_odd_rate_is_known_as_well(start: Start) -> None:
    """420000 baud is not among the rates of termios(3); it is set by TCSETS2."""
    terminal = start("ossel-hd53", "baud-mismatch:420000")
    async with Reader(terminal.path, speed=None) as reader:
        _set_odd_rate(reader.descriptor, 420000)
        reader.write(b"\r")
        assert await reader.until_ends_with(b"ossel> ")


def _set_odd_rate(descriptor: int, baud: int) -> None:
    tcgets2, tcsets2, bother, cbaud = 0x802C542A, 0x402C542B, 0o010000, 0o010017
    settings = bytearray(44)
    fcntl.ioctl(descriptor, tcgets2, settings, True)
    control = struct.unpack_from("=I", settings, 8)[0]
    struct.pack_into("=I", settings, 8, control & ~cbaud | bother)
    struct.pack_into("=II", settings, 36, baud, baud)
    fcntl.ioctl(descriptor, tcsets2, settings)


async def test_characters_typed_fast_are_dropped(start: Start) -> None:
    async with Reader(start("ossel-hd53", "drop-fast:4").path) as reader:
        reader.write(b"recite")
        await reader.until_ends_with(b"reci")
        assert await reader.stays_silent(0.1)


@pytest.mark.parametrize("waits", [True, False])
@pytest.mark.parametrize(("kind", "begins"), [("boot", b"\r\nboot 1.07"), ("nmea", b"$GPRMC,"), ("log", b"log 00001")])
async def test_chatter_comes_to_whoever_opens_the_port_before_the_console(
    start: Start, kind: str, begins: bytes, waits: bool
) -> None:
    terminal = start("ossel-hd53", f"chatter:{kind}")
    async with Reader(terminal.path) as reader:
        if waits:
            await reader.until(lambda: reader.data.startswith(begins))
        reader.write(b"who\r")
        await reader.until(lambda: b"serial := 4F2A00191C\r\nossel> " in reader.data)
        assert reader.data.startswith(begins)


async def test_chatter_does_not_pile_up_while_nobody_listens(start: Start) -> None:
    terminal = start("ossel-hd53", "chatter:log")
    async with Reader(terminal.path) as reader:
        await reader.until(lambda: b"log 00001" in reader.data)
    sent = terminal.sent_bytes
    async with Reader(start("ossel-hd53", "chatter:log").path) as other:  # a clock: it has heard two more by then
        await other.until(lambda: b"log 00003" in other.data)
    assert terminal.sent_bytes <= sent + len(b"log 00002 all quiet\r\n")


async def test_a_port_may_be_opened_again_by_another_after_it_was_held_exclusively(start: Start) -> None:
    """TIOCEXCL outlives its opener on a pseudo-terminal; on a real port it does not."""
    terminal = start()
    async with Reader(terminal.path) as reader:
        fcntl.ioctl(reader.descriptor, termios.TIOCEXCL)
        reader.write(b"\r")
        await reader.until_ends_with(b"ossel> ")
        assert _exclusive(terminal)
    await eventually(lambda: not _exclusive(terminal))


async def test_a_port_that_one_of_two_openers_closes_stays_exclusive(start: Start) -> None:
    terminal = start()
    async with Reader(terminal.path) as reader:
        async with Reader(terminal.path) as other:
            fcntl.ioctl(other.descriptor, termios.TIOCEXCL)
        reader.write(b"\r")
        await reader.until_ends_with(b"ossel> ")
        async with Reader(start("corvane-hd53").path) as clock:  # by now the closing has been noticed
            clock.write(b"\n")
            await clock.until_ends_with(b":: ")
        assert _exclusive(terminal)
        reader.write(b"\r")
        assert await reader.until_ends_with(b"ossel> ") == b"\r\nossel> "


def _exclusive(terminal: Terminal) -> bool:
    try:
        descriptor = os.open(terminal.path, os.O_RDWR | os.O_NOCTTY)
    except OSError as error:  # root may open it whoever holds it, others may not
        if error.errno != errno.EBUSY:
            raise
        return True
    try:
        return bool(struct.unpack("i", fcntl.ioctl(descriptor, TIOCGEXCL, b"\0\0\0\0"))[0])
    finally:
        os.close(descriptor)


async def test_what_one_opener_left_unread_is_not_there_for_the_next(start: Start) -> None:
    terminal = start()
    async with Reader(terminal.path) as reader:
        reader.pause()
        reader.write(b"who\r")
        await eventually(lambda: terminal.sent_bytes > 100)
    await eventually(lambda: not terminal.has_unread())
    async with Reader(terminal.path) as reader:
        reader.write(b"\r")
        assert await reader.until_ends_with(b"ossel> ") == b"\r\nossel> "


async def test_a_restart_without_a_bench_is_a_fresh_power_up(start: Start) -> None:
    terminal = start()
    async with Reader(terminal.path) as reader:
        reader.write(b"\ragain\r")
        await reader.until_ends_with(b"; starting again\r\n")
        reader.write(b"lost")
        await eventually(lambda: not terminal.device.restart_wanted)
        reader.write(b"\r")
        greeting = b"\r\nOssel flight core. 'words' names the words.\r\nossel> "
        assert await reader.until_ends_with(b"ossel> ") == greeting
    assert terminal.device.log.line == b"\ragain\rlost\r"
    assert terminal.device.log.received == b"\ragain\r\r"


async def test_closing_twice_is_closing_once(start: Start) -> None:
    terminal = start()
    terminal.close()
    terminal.close()
    assert terminal.closed

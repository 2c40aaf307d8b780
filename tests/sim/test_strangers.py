"""Devices that are no flight controller."""

from __future__ import annotations

import re
from collections.abc import AsyncIterator
from pathlib import Path

import pytest

from propsoff_sim.bench import SimBench
from propsoff_sim.device import Chunk
from propsoff_sim.nmea import sentence
from propsoff_sim.strangers import STRANGERS
from propsoff_sim.wire_faults import WIRE_FAULTS
from sim.reader import Reader


@pytest.fixture
async def bench(tmp_path: Path) -> AsyncIterator[SimBench]:
    """An empty bench."""
    async with SimBench(tmp_path) as bench:
        yield bench


def checksum_is_right(line: str) -> bool:
    """NMEA 0183: two hexadecimal digits after `*`, the XOR of the characters between `$` and `*`."""
    match = re.fullmatch(r"\$([^$*]+)\*([0-9A-F]{2})", line)
    if match is None:
        return False
    check = 0
    for character in match[1]:
        check ^= ord(character)
    return check == int(match[2], 16)


def test_a_published_sentence_has_its_published_checksum() -> None:
    """The example of the GGA sentence that is printed in many receivers' manuals ends with *47."""
    body = "GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,"
    assert sentence(body) == f"${body}*47\r\n".encode()


async def test_a_positioning_receiver_speaks_sentences_with_right_checksums(bench: SimBench) -> None:
    plugged = bench.plug("gps")
    async with Reader(plugged.path) as reader:
        await reader.until(lambda: reader.data.count(b"\r\n") >= 6)
        lines = reader.data.decode("ascii").split("\r\n")[:6]
        assert all(checksum_is_right(line) for line in lines)
        assert {line[3:6] for line in lines} == {"RMC", "GGA", "GSA"}
        assert max(map(len, lines)) <= 80  # NMEA 0183: at most 82 characters with the line end
        reader.write(b"who\r\n")
        came = reader.data.count(b"\r\n")
        await reader.until(lambda: reader.data.count(b"\r\n") >= came + 3)
        assert b"who" not in reader.data
    assert plugged.received == b"who\r\n"


def test_chatter_has_right_checksums_as_well() -> None:
    pieces = WIRE_FAULTS["chatter"].make("nmea", 0).start()
    text = b"".join(piece.data for piece in pieces if isinstance(piece, Chunk)).decode()
    assert all(checksum_is_right(line) for line in text.splitlines())


@pytest.mark.parametrize(
    ("name", "sends", "answers"),
    [
        ("printer", b"G28 X Y\n", b"ok\n"),
        ("printer", b"M105\r\n", b"ok\n"),
        ("printer", b"who\n", b"passed over: who\nok\n"),
        ("modem", b"AT\r", b"AT\r\r\nOK\r\n"),
        ("modem", b"who\r", b"who\r\r\nERROR\r\n"),
        ("echo-only", b"who\r\n", b"who\r\n"),
    ],
)
async def test_a_stranger_answers_in_its_own_way(bench: SimBench, name: str, sends: bytes, answers: bytes) -> None:
    plugged = bench.plug(name)
    async with Reader(plugged.path) as reader:
        reader.write(sends)
        assert await reader.until_ends_with(answers) == answers
    assert plugged.received == sends


@pytest.mark.parametrize("name", ["printer", "modem"])
async def test_a_bare_line_end_gets_no_answer(bench: SimBench, name: str) -> None:
    async with Reader(bench.plug(name).path) as reader:
        reader.write(b"\n")
        assert await reader.stays_silent(0.1) or reader.data == b"\n"


@pytest.mark.parametrize("name", ["silence", "bootloader"])
async def test_a_silent_device_says_nothing(bench: SimBench, name: str) -> None:
    plugged = bench.plug(name)
    async with Reader(plugged.path) as reader:
        reader.write(b"\rwho\r")
        assert await reader.stays_silent(0.2)
    assert plugged.received == b"\rwho\r"


async def test_an_instrument_streams_the_same_bytes_for_the_same_seed(bench: SimBench) -> None:
    streams = []
    for seed in (4, 4, 5):
        async with Reader(bench.plug("binary", seed=seed).path) as reader:
            await reader.until(lambda reader=reader: len(reader.data) >= 512)  # type: ignore[misc]  # binds the reader
            streams.append(reader.data[:512])
    assert streams[0] == streams[1] != streams[2]
    assert len(set(streams[0])) > 150


async def test_a_stranger_has_no_board(bench: SimBench) -> None:
    plugged = bench.plug("gps")
    assert plugged.written == []
    with pytest.raises(TypeError, match="gps is a stranger"):
        _ = plugged.board


async def test_a_stranger_may_have_a_fault_of_its_line(bench: SimBench) -> None:
    async with Reader(bench.plug("echo-only", faults=["unplug:5"]).path) as reader:
        reader.write(b"0123456789")
        assert await reader.until_ended() == "eof"
        assert reader.data == b"01234"


def test_no_stranger_shows_as_a_board_of_ours_on_the_usb() -> None:
    assert not {entry.usb.product for entry in STRANGERS.values()} & {
        "Ossel Flight Core", "Brindle Console", "Corvane Unit",
    }  # fmt: skip
    assert (STRANGERS["bootloader"].usb.vid, STRANGERS["bootloader"].usb.pid) == ("0483", "df11")  # usb.ids: DFU mode

"""Captures: asciicast v2 (https://docs.asciinema.org/manual/asciicast/v2/), checked with asciinema's own reader."""

from __future__ import annotations

import hashlib
import io
import json
import os
from pathlib import Path
from typing import Any

import pytest
from asciinema import asciicast
from hypothesis import example, given
from hypothesis import strategies as st

from propsoff.console import capture as capture_module
from propsoff.console.capture import Capture, Event, Recorder, bytes_of, load_capture, parse_cast, pasted, text_of
from propsoff.exceptions import CaptureError


class Clock:
    """A clock that the test turns."""

    def __init__(self) -> None:
        self.now = 100.0

    def __call__(self) -> float:
        return self.now


def recorded() -> tuple[Recorder, Clock]:
    clock = Clock()
    return Recorder(
        clock=clock, started=1_700_000_000.25, port={"device": "/dev/x", "vid": "0483"}, tool="tests"
    ), clock


def played(path: Path) -> list[tuple[float, str, str]]:
    """The events as asciinema reads them."""
    with asciicast.open_from_url(str(path)) as cast:
        return [(float(time), code, text) for time, code, text in cast.events()]


def test_a_conversation_plays_in_asciinemas_own_reader(tmp_path: Path) -> None:
    recorder, clock = recorded()
    recorder.mark("listen")
    clock.now += 0.5
    recorder.input(b"\r")
    clock.now += 0.25
    recorder.output(b"\r\n\x1b[36mtoy\x1b[0m> ")
    recorder.mark("end: done")
    path = tmp_path / "one.cast"
    path.write_bytes(recorder.capture().to_bytes())
    assert played(path) == [
        (0.0, "m", "listen"),
        (0.5, "i", "\r"),
        (0.75, "o", "\r\n\x1b[36mtoy\x1b[0m> "),
        (0.75, "m", "end: done"),
    ]
    with asciicast.open_from_url(str(path)) as cast:
        assert cast.version == 2


@given(st.lists(st.tuples(st.sampled_from("io"), st.binary(max_size=12)), max_size=8))
def test_every_byte_of_both_sides_comes_back_through_the_file(steps: list[tuple[str, bytes]]) -> None:
    recorder, clock = recorded()
    for code, data in steps:
        clock.now += 0.01
        (recorder.output if code == "o" else recorder.input)(data)
    loaded = parse_cast(recorder.capture().to_bytes(), "x.cast")
    for code in "io":
        back = b"".join(bytes_of(event.text) for event in loaded.events if event.code == code)
        assert back == b"".join(data for sent, data in steps if sent == code)


def test_a_character_split_between_two_reads_stays_one_character() -> None:
    recorder, clock = recorded()
    recorder.output("ö".encode()[:1])
    clock.now += 1
    recorder.output("ö".encode()[1:])
    assert [event.text for event in recorder.capture().events] == ["ö"]


def test_the_first_half_of_a_character_is_kept_before_an_input() -> None:
    recorder, _ = recorded()
    recorder.output(b"a\xc3")
    recorder.input(b"\r")
    assert [event[1:] for event in recorder.capture().events] == [("o", "a\uefc3"), ("i", "\r")]


def test_bytes_that_come_one_by_one_do_not_cost_an_event_each() -> None:
    recorder, clock = recorded()
    for _ in range(3000):
        recorder.output(b"x")
        clock.now += 0.0001
    events = recorder.capture().events
    assert "".join(event.text for event in events) == "x" * 3000
    assert len(events) < 400


def test_the_listener_hears_exactly_what_is_kept() -> None:
    recorder, _ = recorded()
    heard: list[Event] = []
    recorder.listener = heard.append
    for byte in "grün".encode():
        recorder.output(bytes([byte]))
    recorder.mark("end: done")
    kept = recorder.capture().events
    assert "".join(event.text for event in heard if event.code == "o") == kept[0].text == "grün"
    assert heard[-1] == kept[-1]


def test_output_beyond_the_cap_is_counted_not_kept_and_said_once() -> None:
    clock = Clock()
    recorder = Recorder(clock=clock, started=0.0, cap_bytes=10)
    for _ in range(5):
        recorder.output(b"abcd")
    assert recorder.full
    assert recorder.bytes_in == 20
    events = recorder.capture().events
    assert "".join(event.text for event in events if event.code == "o") == "abcdabcdab"
    assert [event.text for event in events if event.code == "m"] == ["output beyond 10 bytes is not kept"]


def test_counts_and_ending() -> None:
    recorder, _ = recorded()
    recorder.input(b"what\r")
    recorder.output(b"abc")
    assert recorder.capture().ending is None
    recorder.mark("end: the port was lost")
    assert (recorder.bytes_in, recorder.bytes_out) == (3, 5)
    assert recorder.capture().ending == "the port was lost"


def test_the_hash_is_the_files_own_and_survives_a_reload(tmp_path: Path) -> None:
    recorder, _ = recorded()
    recorder.output(b"\xff\x00text\xc3")
    recorder.mark("end: done")
    capture = recorder.capture()
    path = tmp_path / "one.cast"
    path.write_bytes(capture.to_bytes())
    assert capture.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()
    loaded = load_capture(path)
    assert loaded == capture
    assert loaded.sha256 == capture.sha256
    assert loaded.to_bytes() == capture.to_bytes()


@pytest.mark.parametrize("suffix", [".cast", ".CAST", ".Cast"])
def test_a_recording_is_told_by_its_suffix_in_any_case(tmp_path: Path, suffix: str) -> None:
    recorded = Capture((Event(0.0, "o", "toy> "), Event(0.5, "m", "end: done")), 1_800_000_000.0)
    (tmp_path / f"x{suffix}").write_bytes(recorded.to_bytes())
    assert load_capture(tmp_path / f"x{suffix}") == recorded


def test_a_pasted_files_hash_is_that_of_the_file(tmp_path: Path) -> None:
    path = tmp_path / "pasted.txt"
    path.write_bytes(b"\xef\xbb\xbftoy> what\r\n")
    loaded = load_capture(path)
    assert loaded.origin == "pasted"
    assert loaded.events == (Event(0.0, "o", "toy> what\r\n"),)
    assert loaded.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()


def test_a_pasted_capture_stays_pasted_as_a_cast() -> None:
    again = parse_cast(pasted(b"toy> what\n").to_bytes(), "x.cast")
    assert again.origin == "pasted"
    assert again.started is None


def test_a_torn_last_line_is_left_out() -> None:
    recorder, _ = recorded()
    recorder.output(b"abc")
    recorder.mark("end: done")
    whole = recorder.capture().to_bytes()
    for cut in range(1, len(whole.splitlines(keepends=True)[-1])):
        assert [event.text for event in parse_cast(whole[:-cut], "x").events][:1] == ["abc"]


@pytest.mark.parametrize(
    ("data", "where"),
    [
        (b"", "line 1"),
        (b"\n", "line 1"),
        (b"{}\n", "line 1"),
        (b'{"version": 1}\n', "line 1"),
        (b"\xff\xfe\n", "line 1"),
        (b'{"version": 2}\nnonsense\n[1, "o", "x"]\n', "line 2"),
        (b'{"version": 2}\n[1, "o"]\n[1, "o", "x"]\n', "line 2"),
        (b'{"version": 2}\n[true, "o", "x"]\n', "line 2"),
        (b'{"version": 2}\n[NaN, "o", "x"]\n', "line 2"),
        (b'{"version": 2}\n[1e999, "o", "x"]\n', "line 2"),
        (b'{"version": 2}\n[1' + b"0" * 400 + b', "o", "x"]\n', "line 2"),
        (b'{"version": 2}\n' + b"[" * 100_000 + b"\n", "line 2"),
        (b'{"version": 2}\n[1, "o", 5]\n', "line 2"),
    ],
)
def test_a_wrong_file_is_refused_with_its_name_and_line(data: bytes, where: str) -> None:
    with pytest.raises(CaptureError, match=f"x.cast, {where}"):
        parse_cast(data, "x.cast")


@given(st.binary(max_size=200))
def test_no_file_gives_anything_but_a_capture_or_a_capture_error(data: bytes) -> None:
    for content in (data, b'{"version": 2}\n' + data, b'{"version": 2, "propsoff": ' + data):
        try:
            parse_cast(content, "x.cast")
        except CaptureError as error:
            told = str(error)
            assert "x.cast, line " in told


header_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=2) | st.dictionaries(st.text(max_size=5), inner, max_size=2),
    max_leaves=4,
)


@given(header_values, header_values, header_values)
def test_any_header_of_somebody_elses_is_taken(timestamp: Any, started: Any, port: Any) -> None:
    header = {"version": 2, "timestamp": timestamp, "propsoff": {"started": started, "port": port, "tool": port}}
    loaded = parse_cast((json.dumps(header) + '\n[1, "o", "x"]\n').encode(), "x.cast")
    assert loaded.events == (Event(1, "o", "x"),)
    assert parse_cast(loaded.to_bytes(), "x.cast") == loaded


def test_the_neighbours_are_in_the_header_and_come_back() -> None:
    recorder = Recorder(clock=Clock(), started=0.0, neighbours={"Grey Heron, serial number 7": 5658, "Wren": 5732})
    capture = recorder.capture()
    header = json.loads(capture.to_bytes().splitlines()[0])
    assert header["propsoff"]["neighbours"] == {"Grey Heron, serial number 7": 5658, "Wren": 5732}
    loaded = parse_cast(capture.to_bytes(), "x.cast")
    assert loaded == capture
    assert loaded.neighbours == capture.neighbours == {"Grey Heron, serial number 7": 5658, "Wren": 5732}


def test_a_capture_without_neighbours_says_nothing_of_them() -> None:
    recorder, _ = recorded()
    assert b"neighbours" not in recorder.capture().to_bytes()


@given(st.dictionaries(st.text(max_size=300), header_values, max_size=50) | header_values)
@example({"a": 5800, "b": True, "c": 0, "d": -5, "e": 10**7, "f": 5800.0, "g": "5800", "h": None, "i": [5800]})
def test_whatever_stands_in_the_place_of_the_neighbours_is_taken_as_far_as_it_can_be(stated: Any) -> None:
    header = {"version": 2, "propsoff": {"neighbours": stated}}
    loaded = parse_cast((json.dumps(header) + "\n").encode(), "x.cast")
    assert all(type(mhz) is int and 0 < mhz <= 1_000_000 for mhz in loaded.neighbours.values())
    assert all(len(name) <= 200 for name in loaded.neighbours)
    assert parse_cast(loaded.to_bytes(), "x.cast") == loaded
    if isinstance(stated, dict) and stated.get("a") == 5800 and len(stated) < 20:
        assert loaded.neighbours["a"] == 5800


def test_of_many_neighbours_the_last_are_kept() -> None:
    many = {f"craft {number}": 5700 + number for number in range(100)}
    recorder = Recorder(clock=Clock(), started=0.0, neighbours=many)
    assert list(recorder.capture().neighbours) == [f"craft {number}" for number in range(68, 100)]
    header = {"version": 2, "propsoff": {"neighbours": many}}
    assert len(parse_cast(json.dumps(header).encode(), "x.cast").neighbours) == capture_module.MAX_NEIGHBOURS


def test_events_of_other_kinds_are_left_out() -> None:
    loaded = parse_cast(b'{"version": 2, "width": 80, "height": 24}\n[0.1, "r", "90x20"]\n[0.2, "o", "x"]\n', "x.cast")
    assert loaded.events == (Event(0.2, "o", "x"),)


@pytest.mark.parametrize("name", ["missing.cast", "folder.cast"])
def test_what_cannot_be_read_is_named(name: str, tmp_path: Path) -> None:
    (tmp_path / "folder.cast").mkdir()
    with pytest.raises(CaptureError, match=name):
        load_capture(tmp_path / name)


def test_a_pipe_is_refused_at_once_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.txt")
    with pytest.raises(CaptureError, match="not a file"):
        load_capture(tmp_path / "pipe.txt")


def test_a_file_too_large_for_a_capture_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(capture_module, "MAX_CAPTURE_BYTES", 1 << 20)
    (tmp_path / "large.txt").write_bytes(b"x" * ((1 << 20) + 1))
    with pytest.raises(CaptureError, match=r"large\.txt: larger than 1 MiB"):
        load_capture(tmp_path / "large.txt")


def test_text_of_and_bytes_of_are_reached_from_here() -> None:
    assert bytes_of(text_of(b"\x80")) == b"\x80"


def test_an_empty_paste_is_an_empty_capture() -> None:
    assert pasted(b"") == Capture((), None, "pasted")


def test_the_file_is_pure_ascii_json_lines() -> None:
    recorder, _ = recorded()
    recorder.output("Zaunkönig \u2028 \xff".encode())
    for line in io.BytesIO(recorder.capture().to_bytes()):
        assert line.isascii()
        json.loads(line)

"""A capture: the recorded conversation with a board, in asciicast v2.

The format is open (https://docs.asciinema.org/manual/asciicast/v2/): a JSON header line, then one JSON array
``[seconds, code, text]`` per event; `o` is what the board sent, `i` what was sent to it, `m` a marker. Our markers
name the steps of the conversation and how it ended. Bytes that are not UTF-8 are kept as the private-use characters
U+EF80..U+EFFF, so that a capture loses nothing and still plays; `text_of` and `bytes_of` convert.

A capture pasted from a terminal is one `o` event without time.
"""

from __future__ import annotations

import hashlib
import json
import math
import stat
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path
from typing import Any, Literal, NamedTuple, cast

from propsoff.console.octets import bytes_of, partial_tail, text_of
from propsoff.console.printed import as_printed
from propsoff.exceptions import CaptureError

__all__ = [
    "MAX_CAPTURE_BYTES",
    "MAX_NEIGHBOURS",
    "STOPPED",
    "UNREADABLE",
    "Capture",
    "Code",
    "Event",
    "Recorder",
    "bytes_of",
    "load_capture",
    "parse_cast",
    "pasted",
    "text_of",
]

Code = Literal["o", "i", "m"]
STOPPED = "it was stopped"
"""How a conversation ended that was cancelled."""
UNREADABLE = "the capture cannot be read: "
"""Begins the ending of what stands for a file that is no capture; the reason follows."""
MAX_CAPTURE_BYTES = 16 << 20
MAX_NEIGHBOURS = 32
"""How many other craft a capture names."""
_MAX_NAME, _MAX_MHZ = 200, 1_000_000
_MERGE_S, _MERGE_CHARS = 0.001, 4096


class Event(NamedTuple):
    """One event: seconds since the start, code, text."""

    time_s: float
    code: Code
    text: str


@dataclass(frozen=True)
class Capture:
    """A conversation. `started` is Unix time in seconds or None (pasted text). `origin` says how it came to be.

    `port` are the port's facts as recorded in the header (device, vid, pid, serial_number, product, path), texts only.
    `neighbours` are the other craft that the bench had seen on that day when it recorded this, and the frequency in MHz
    that each sends its picture on: findings that rest on them must be the same when the capture is inspected again.
    `digest` is the SHA-256 of the file that it was read from; empty for one that was not read from a file.
    """

    events: tuple[Event, ...]
    started: float | None = None
    origin: Literal["recorded", "pasted"] = "recorded"
    port: Mapping[str, str] = field(default_factory=dict)
    tool: str = ""
    neighbours: Mapping[str, int] = field(default_factory=dict)
    digest: str = field(default="", compare=False)

    def to_bytes(self) -> bytes:
        """The asciicast v2 file."""
        header: dict[str, Any] = {"version": 2, "width": 100, "height": 30}
        if self.started is not None:
            header["timestamp"] = int(self.started)
        header["title"] = "conversation with a flight controller"
        own: dict[str, Any] = {
            "tool": self.tool,
            "started": self.started,
            "origin": self.origin,
            "port": dict(self.port),
        }
        if self.neighbours:
            own["neighbours"] = dict(self.neighbours)
        header["propsoff"] = own
        lines = [json.dumps(header, ensure_ascii=True)]
        lines += [json.dumps([event.time_s, event.code, event.text], ensure_ascii=True) for event in self.events]
        return ("\n".join(lines) + "\n").encode()

    @cached_property
    def sha256(self) -> str:
        """SHA-256 in hexadecimal: of the file that it was read from, else of its own asciicast file."""
        return self.digest or hashlib.sha256(self.to_bytes()).hexdigest()

    @property
    def ending(self) -> str | None:
        """How it ended by its own `end` marker: `done` or the reason it broke off; None where not recorded."""
        for event in reversed(self.events):
            if event.code == "m" and event.text.startswith("end: "):
                return event.text.removeprefix("end: ")
        return None


class Recorder:
    """Records a conversation as it happens. `clock` gives monotonic seconds; times are kept in microseconds.

    `cap_bytes` bounds what is kept of the board's output; the rest is counted, not kept, and a marker says so.
    `neighbours` go into the capture as they are known now; of many the last 32. `listener`, when set, is given each
    event as it is recorded, so that what is judged is exactly what is kept; `onlooker` sees the same, for a display.
    """

    def __init__(
        self,
        *,
        clock: Callable[[], float],
        started: float,
        port: Mapping[str, str] | None = None,
        tool: str = "",
        cap_bytes: int = MAX_CAPTURE_BYTES // 4,
        neighbours: Mapping[str, int] | None = None,
        onlooker: Callable[[Event], None] | None = None,
    ) -> None:
        self._clock, self._zero = clock, clock()
        self._started, self._port, self._tool, self._cap = started, dict(port or {}), tool, cap_bytes
        self._neighbours = _neighbours(dict(neighbours or {}))
        self._events: list[Event] = []
        self._held = b""
        self.bytes_in = 0
        self.bytes_out = 0
        self.listener: Callable[[Event], None] | None = None
        self._onlooker = onlooker

    @property
    def full(self) -> bool:
        """Whether the board has sent more than is kept."""
        return self.bytes_in > self._cap

    def output(self, data: bytes) -> None:
        """What the board sent."""
        room = max(0, self._cap - self.bytes_in)
        was_full = self.full
        self.bytes_in += len(data)
        data = self._held + data[:room]
        cut = partial_tail(data)
        self._held = data[len(data) - cut :] if cut else b""
        if text := text_of(data[: len(data) - cut]):
            self._add("o", text)
        if self.full and not was_full:
            self.mark(f"output beyond {self._cap} bytes is not kept")

    def input(self, data: bytes) -> None:
        """What was sent to the board."""
        self.flush()
        self.bytes_out += len(data)
        self._add("i", text_of(data))

    def mark(self, text: str) -> None:
        """A step of the conversation; `end: done` or `end: REASON` is the last."""
        self.flush()
        self._add("m", text)

    def flush(self) -> None:
        """Record the first bytes of a character whose rest has not come; otherwise they wait for it."""
        if self._held:
            held, self._held = self._held, b""
            self._add("o", text_of(held))

    def capture(self) -> Capture:
        """The conversation so far."""
        self.flush()
        return Capture(tuple(self._events), self._started, "recorded", self._port, self._tool, self._neighbours)

    def _add(self, code: Code, text: str) -> None:
        event = Event(round(self._clock() - self._zero, 6), code, text)
        last = self._events[-1] if self._events else None
        # A board that sends byte by byte would otherwise cost an event, and its memory, for each byte.
        if (
            code == "o"
            and last is not None
            and last.code == "o"
            and event.time_s - last.time_s < _MERGE_S
            and len(last.text) < _MERGE_CHARS
        ):
            self._events[-1] = Event(last.time_s, "o", last.text + text)
        else:
            self._events.append(event)
        if self.listener is not None:
            self.listener(event)
        if self._onlooker is not None:
            self._onlooker(event)


def load_capture(path: Path) -> Capture:
    """Read a saved capture: `.cast` (asciicast v2) or text pasted from a terminal (anything else).

    Raises CaptureError, naming file and line, when it cannot be read, is too large, or is not what its name says.
    """
    try:
        about = path.stat()
        if not stat.S_ISREG(about.st_mode):
            raise CaptureError(f"{path}: not a file; name a saved capture")
        if about.st_size > MAX_CAPTURE_BYTES:
            raise CaptureError(
                f"{path}: larger than {MAX_CAPTURE_BYTES >> 20} MiB; this is no capture of a settings listing"
            )
        data = path.read_bytes()
    except OSError as error:
        raise CaptureError(f"{path}: {error.strerror or error}") from error
    capture = parse_cast(data, str(path)) if path.suffix.lower() == ".cast" else pasted(data)
    return replace(capture, digest=hashlib.sha256(data).hexdigest())


def pasted(data: bytes) -> Capture:
    """Text that a person copied from a terminal, as one output event; as the console printed it (see `as_printed`)."""
    text = text_of(as_printed(data.removeprefix(b"\xef\xbb\xbf")))
    return Capture((Event(0.0, "o", text),) if text else (), None, "pasted")


def parse_cast(data: bytes, name: str) -> Capture:
    """Parse asciicast v2. Raises CaptureError with `name` and the line. A torn last line is left out, not an error."""
    lines = data.decode("utf-8-sig", "replace").split("\n")
    header = _json_line(lines[0], name, 1)
    if not isinstance(header, dict) or header.get("version") != 2:
        raise CaptureError(f"{name}, line 1: not an asciicast version 2 header")
    events: list[Event] = []
    last = len(lines) if lines[-1] else len(lines) - 1
    for number, line in enumerate(lines[1:last], 2):
        if not line.strip():
            continue
        try:
            event = _event(_json_line(line, name, number), name, number)
        except CaptureError:
            if number == len(lines):  # the last line has no line end: the recording was cut while it was written
                break
            raise
        if event is not None:
            events.append(event)
    return _from_header(header, tuple(events))


def _from_header(header: dict[str, Any], events: tuple[Event, ...]) -> Capture:
    own = header.get("propsoff")
    own = own if isinstance(own, dict) else {}
    port = own.get("port")
    return Capture(
        events,
        _seconds(own.get("started", header.get("timestamp"))),
        "pasted" if own.get("origin") == "pasted" else "recorded",
        {str(key): str(value) for key, value in port.items()} if isinstance(port, dict) else {},
        str(own.get("tool", "")),
        _neighbours(own.get("neighbours")),
    )


def _neighbours(value: Any) -> dict[str, int]:
    """What can be taken of the neighbours in a header; anything may stand in their place."""
    taken = value.items() if isinstance(value, dict) else ()
    fits = {
        str(name)[:_MAX_NAME]: mhz
        for name, mhz in taken
        if isinstance(mhz, int) and not isinstance(mhz, bool) and 0 < mhz <= _MAX_MHZ
    }
    return dict(list(fits.items())[-MAX_NEIGHBOURS:])


def _seconds(value: Any) -> float | None:
    """A finite number of seconds, or None for anything else that stands in its place."""
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return None
    try:
        seconds = float(value)
    except OverflowError:
        return None
    return seconds if math.isfinite(seconds) else None


def _json_line(line: str, name: str, number: int) -> Any:
    try:
        return json.loads(line)
    except (ValueError, RecursionError) as error:
        raise CaptureError(f"{name}, line {number}: not JSON ({error})") from None


def _event(value: Any, name: str, number: int) -> Event | None:
    match value:
        case [time, str(code), str(text)] if (time_s := _seconds(time)) is not None:
            return Event(time_s, cast(Code, code), text) if code in ("o", "i", "m") else None
    raise CaptureError(f"{name}, line {number}: not an event of the form [seconds, code, text]")

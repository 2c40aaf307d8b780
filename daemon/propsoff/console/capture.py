"""A capture: the recorded conversation with a board, in asciicast v2.

The format is open (https://docs.asciinema.org/manual/asciicast/v2/): a JSON header line, then one JSON array
``[seconds, code, text]`` per event; `o` is what the board sent, `i` what was sent to it, `m` a marker. Our markers name the
steps of the conversation and how it ended. Bytes that are not UTF-8 are kept as the private-use characters U+EF80..U+EFFF,
so that a capture loses nothing and still plays; `text_of` and `bytes_of` convert.

A capture pasted from a terminal is one `o` event without time.
"""

from __future__ import annotations

import codecs
import hashlib
import json
import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal, NamedTuple, cast

from propsoff.exceptions import CaptureError

Code = Literal["o", "i", "m"]
MAX_CAPTURE_BYTES = 16 << 20
_BASE = 0xEF00
_HELD = "propsoff-private"


def _keep_byte(error: UnicodeError) -> tuple[str, int]:
    assert isinstance(error, UnicodeDecodeError)
    wrong = error.object[error.start : error.end]
    return "".join(chr(_BASE + byte) for byte in wrong), error.end


codecs.register_error(_HELD, _keep_byte)


def text_of(data: bytes) -> str:
    """Bytes as text; what is not UTF-8 (or would collide with how that is kept) becomes U+EF80..U+EFFF."""
    return _protect(data.decode("utf-8", _HELD), data)


def _protect(text: str, data: bytes) -> str:
    # A board may really send U+EF80..U+EFFF: its three bytes are kept one by one, so that bytes_of stays exact.
    if b"\xee\xbe" not in data and b"\xee\xbf" not in data:
        return text
    safe: list[str] = []
    for chunk in _split_private(data):
        safe.append("".join(chr(_BASE + byte) for byte in chunk[1]) if chunk[0] else chunk[1].decode("utf-8", _HELD))
    return "".join(safe)


def _split_private(data: bytes) -> Iterator[tuple[bool, bytes]]:
    start = at = 0
    while at < len(data):
        if data[at] == 0xEE and data[at + 1 : at + 2] in (b"\xbe", b"\xbf") and 0x80 <= (data[at + 2 : at + 3] or b"\0")[0] < 0xC0:
            yield False, data[start:at]
            yield True, data[at : at + 3]
            at += 3
            start = at
        else:
            at += 1
    yield False, data[start:]


def bytes_of(text: str) -> bytes:
    """The exact bytes behind `text_of`."""
    out = bytearray()
    for char in text:
        point = ord(char)
        if 0xEF80 <= point <= 0xEFFF:
            out.append(point - _BASE)
        else:
            out += char.encode("utf-8", "replace")
    return bytes(out)


class Event(NamedTuple):
    """One event: seconds since the start, code, text."""

    time_s: float
    code: Code
    text: str


@dataclass(frozen=True)
class Capture:
    """A conversation. `started` is Unix time in seconds or None (pasted text). `origin` says how it came to be.

    `port` are the port's facts as recorded in the header (device, vid, pid, serial_number, product, path), texts only.
    """

    events: tuple[Event, ...]
    started: float | None = None
    origin: Literal["recorded", "pasted"] = "recorded"
    port: Mapping[str, str] = field(default_factory=dict)
    tool: str = ""

    def to_bytes(self) -> bytes:
        """The asciicast v2 file."""
        header: dict[str, Any] = {"version": 2, "width": 100, "height": 30}
        if self.started is not None:
            header["timestamp"] = int(self.started)
        header["title"] = "conversation with a flight controller"
        header["propsoff"] = {"tool": self.tool, "started": self.started, "origin": self.origin, "port": dict(self.port)}
        lines = [json.dumps(header, ensure_ascii=True)]
        lines += [json.dumps([event.time_s, event.code, event.text], ensure_ascii=True) for event in self.events]
        return ("\n".join(lines) + "\n").encode()

    @property
    def sha256(self) -> str:
        """SHA-256 of the asciicast file, in hexadecimal."""
        return hashlib.sha256(self.to_bytes()).hexdigest()

    @property
    def ending(self) -> str | None:
        """How the conversation ended by its own `end` marker: `done` or the reason it broke off; None where not recorded."""
        for event in reversed(self.events):
            if event.code == "m" and event.text.startswith("end: "):
                return event.text.removeprefix("end: ")
        return None


class Recorder:
    """Records a conversation as it happens. `clock` gives monotonic seconds; times are kept in microseconds.

    `cap_bytes` bounds what is kept of the board's output; beyond it the rest is counted, not kept, and a marker says so.
    """

    def __init__(
        self,
        *,
        clock: Callable[[], float],
        started: float,
        port: Mapping[str, str] | None = None,
        tool: str = "",
        cap_bytes: int = MAX_CAPTURE_BYTES // 4,
    ) -> None:
        self._clock, self._zero = clock, clock()
        self._started, self._port, self._tool, self._cap = started, dict(port or {}), tool, cap_bytes
        self._events: list[Event] = []
        self._held = b""
        self.bytes_in = 0
        self.bytes_out = 0

    def output(self, data: bytes) -> None:
        """What the board sent."""
        kept_before = min(self.bytes_in, self._cap)
        self.bytes_in += len(data)
        data = data[: self._cap - kept_before]
        data = self._held + data
        cut = _partial_tail(data)
        self._held = data[len(data) - cut :] if cut else b""
        if text := text_of(data[: len(data) - cut]):
            self._add("o", text)

    def input(self, data: bytes) -> None:
        """What was sent to the board."""
        self._flush()
        self.bytes_out += len(data)
        self._add("i", text_of(data))

    def mark(self, text: str) -> None:
        """A step of the conversation; `end: done` or `end: REASON` is the last."""
        self._flush()
        self._add("m", text)

    def capture(self) -> Capture:
        """The conversation so far."""
        self._flush()
        return Capture(tuple(self._events), self._started, "recorded", self._port, self._tool)

    def _flush(self) -> None:
        if self._held:
            held, self._held = self._held, b""
            self._add("o", text_of(held))

    def _add(self, code: Code, text: str) -> None:
        self._events.append(Event(round(self._clock() - self._zero, 6), code, text))


def _partial_tail(data: bytes) -> int:
    """How many bytes at the end begin a UTF-8 character that may still be completed (0..3)."""
    for back in range(1, min(3, len(data)) + 1):
        byte = data[-back]
        if byte & 0xC0 == 0x80:
            continue
        need = 2 if 0xC2 <= byte <= 0xDF else 3 if 0xE0 <= byte <= 0xEF else 4 if 0xF0 <= byte <= 0xF4 else 1
        return back if need > back else 0
    return 0


def load_capture(path: Path) -> Capture:
    """Read a saved capture: `.cast` (asciicast v2) or text pasted from a terminal (anything else).

    Raises CaptureError, naming file and line, when it cannot be read, is too large, or is not what its name says.
    """
    try:
        if path.stat().st_size > MAX_CAPTURE_BYTES:
            raise CaptureError(f"{path}: larger than {MAX_CAPTURE_BYTES >> 20} MiB; this is no capture of a settings listing")
        data = path.read_bytes()
    except OSError as error:
        raise CaptureError(f"{path}: {error.strerror or error}") from error
    if path.suffix == ".cast":
        return parse_cast(data, str(path))
    return pasted(data)


def pasted(data: bytes) -> Capture:
    """Text that a person copied from a terminal, as one output event."""
    return Capture((Event(0.0, "o", text_of(data)),) if data else (), None, "pasted")


def parse_cast(data: bytes, name: str) -> Capture:
    """Parse asciicast v2. Raises CaptureError with `name` and the line. A torn last line is left out, not an error."""
    lines = data.decode("utf-8", "replace").split("\n")
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
    started = own.get("started", header.get("timestamp"))
    return Capture(
        events,
        float(started) if isinstance(started, (int, float)) and not isinstance(started, bool) and math.isfinite(started) else None,
        "pasted" if own.get("origin") == "pasted" else "recorded",
        {str(key): str(value) for key, value in port.items()} if isinstance(port, dict) else {},
        str(own.get("tool", "")),
    )


def _json_line(line: str, name: str, number: int) -> Any:
    try:
        return json.loads(line)
    except (ValueError, RecursionError) as error:
        raise CaptureError(f"{name}, line {number}: not JSON ({error})") from None


def _event(value: Any, name: str, number: int) -> Event | None:
    match value:
        case [bool(), *_]:
            pass
        case [(int() | float()) as time_s, str(code), str(text)] if math.isfinite(time_s):
            return Event(time_s, cast(Code, code), text) if code in ("o", "i", "m") else None
    raise CaptureError(f"{name}, line {number}: not an event of the form [seconds, code, text]")

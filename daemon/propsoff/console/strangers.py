"""What is it, when it is no flight controller that we know? Said in words, from what was heard; pure."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import reduce
from operator import xor
from typing import Literal

from propsoff.console.octets import bytes_of
from propsoff.console.screen import Screen

StrangerKind = Literal[
    "silence", "echo", "positioning receiver", "g-code machine", "modem", "other console", "binary", "unknown text"
]

NEVER_WRITTEN_TO: tuple[StrangerKind, ...] = ("positioning receiver", "g-code machine", "modem")
"""What makes itself known as something else than a craft, and may act on what it is sent."""

# NMEA 0183: `$`, the sentence, `*`, then the exclusive or of all characters between the two, in hexadecimal.
_SENTENCE = re.compile(rb"\$([A-Z0-9]{5}[^*$\r\n]{0,73})\*([0-9A-Fa-f]{2})")
# Common practice of G-code machines: `ok` acknowledges a line, reports name temperatures as `T:`.
_ACKNOWLEDGED = re.compile(r"ok(?: .*)?|(?:ok )?T:-?[0-9.]+ .*|Resend: ?[0-9]+")
# ITU-T V.250, result codes in their verbose form (from memory).
_RESULT_CODES = frozenset(
    ["OK", "CONNECT", "RING", "NO CARRIER", "ERROR", "NO DIALTONE", "BUSY", "NO ANSWER"],
)
_PROMPT = re.compile(r".{0,79}[>#$%:?\])]\s?")
_BINARY_SHARE = 0.1
_SHOWN = 60


@dataclass(frozen=True, slots=True)
class Stranger:
    """Something that is not one of the consoles that we know: of which kind, and what was heard, in plain words."""

    kind: StrangerKind
    words: str


def classify(heard: str, sent: str = "") -> Stranger:
    """What a port is, by all that was heard from it (text of a capture) and all that was sent to it."""
    if not heard:
        return Stranger("silence", "nothing was heard" + (", not even an echo" if sent else ""))
    if stranger := _positioning(bytes_of(heard)):
        return stranger
    if sent and _bare(heard) == _bare(sent):
        return Stranger(
            "echo", "only the echo of what was sent came back: a loop of wire, or a console without a prompt"
        )
    wrong = sum(map(_is_no_text, heard))
    if wrong > _BINARY_SHARE * len(heard):
        data = bytes_of(heard)
        count = f"{len(data)} bytes that are" if len(data) > 1 else "a byte that is"
        return Stranger("binary", f"{count} no text: another protocol, or another baud rate")
    return _by_lines(heard)


def _positioning(data: bytes) -> Stranger | None:
    right = [body for body, check in _SENTENCE.findall(data) if reduce(xor, body, 0) == int(check, 16)]
    if not right:
        return None
    names = ", ".join(sorted({body[:5].decode() for body in right})[:4])
    words = f"{len(right)} NMEA 0183 sentences with right checksums ({names}): a positioning receiver"
    return Stranger("positioning receiver", words)


def _by_lines(heard: str) -> Stranger:
    screen = Screen()
    screen.feed(heard)
    lines = [line.strip() for line in (*screen.lines, screen.tail) if line.strip()]
    if answers := [line for line in lines if _ACKNOWLEDGED.fullmatch(line)]:
        return Stranger("g-code machine", f"it acknowledges lines with {_shown(answers[0])}, as a G-code machine does")
    if codes := [line for line in lines if line in _RESULT_CODES]:
        return Stranger("modem", f"it answers with the result code {_shown(codes[0])}, as a modem does")
    if screen.tail.strip() and _PROMPT.fullmatch(screen.tail):
        return Stranger("other console", f"a console with the prompt {_shown(screen.tail)}, which no dialect knows")
    last = lines[-1] if lines else ""
    return Stranger("unknown text", f"text of an unknown kind; its last line is {_shown(last)}")


def _bare(text: str) -> str:
    return text.replace("\r", "").replace("\n", "")


def _is_no_text(char: str) -> bool:
    return 0xEF80 <= ord(char) <= 0xEFFF or (char < " " and char not in "\r\n\t\b\a\x1b") or "\x7f" <= char < "\xa0"


def _shown(text: str) -> str:
    return repr(text if len(text) <= _SHOWN else text[:_SHOWN] + "…")

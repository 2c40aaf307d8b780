"""What else may hang on a serial port, told by what was heard."""

from __future__ import annotations

import pytest

from propsoff.console.capture import text_of
from propsoff.console.strangers import classify

# NMEA 0183: the example sentence printed in most introductions to the format; its checksum is part of it.
FIX = "$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47\r\n"


@pytest.mark.parametrize(
    ("heard", "sent", "kind"),
    [
        ("", "", "silence"),
        ("", "\r", "silence"),
        (FIX, "", "positioning receiver"),
        ("9,M,,*47\r\n" + FIX + "$GPG", "\r", "positioning receiver"),
        ("\r\n", "\r", "echo"),
        ("\r", "\r", "echo"),
        ("what\r\n", "\rwhat\r", "echo"),
        ("start\nok\n", "\r", "g-code machine"),  # common practice of G-code machines
        ("ok T:21.4 /0.0 B:20.9 /0.0\n", "\r", "g-code machine"),
        ("T:21.4 /0.0 B:20.9 /0.0\n", "", "g-code machine"),
        ("\r\nOK\r\n", "\r", "modem"),  # ITU-T V.250, result codes (from memory)
        ("\r\nNO CARRIER\r\n", "", "modem"),
        ("\r\nRING\r\n\r\nRING\r\n", "", "modem"),
        ("\r\nlogin: ", "\r", "other console"),
        ("\r\n\x1b[32muser@host\x1b[0m:~$ ", "\r", "other console"),
        (text_of(bytes(range(128, 256))), "\r", "binary"),
        ("\x00\x01\x02abc\x03\x04", "", "binary"),
        ("[12.3] gyro ok\r\n[12.9] waiting\r\n", "\r", "unknown text"),
        ("ok then\r\nan OK word\r\n", "\r", "g-code machine"),
        ("\x1b[0m\r\n\x1b[0m", "\rx\r", "unknown text"),
    ],
)
def test_what_was_heard_tells_what_it_is(heard: str, sent: str, kind: str) -> None:
    stranger = classify(heard, sent)
    assert stranger.kind == kind
    assert stranger.words


def test_a_sentence_with_a_wrong_checksum_is_no_sentence() -> None:
    assert classify(FIX.replace("*47", "*48")).kind != "positioning receiver"


def test_the_words_name_what_was_seen() -> None:
    assert "GPGGA" in classify(FIX).words
    assert "'login: '" in classify("\r\nlogin: ", "\r").words
    assert "not even an echo" in classify("", "\r").words
    assert "'[12.9] waiting'" in classify("[12.3] gyro ok\r\n[12.9] waiting\r\n").words


def test_one_byte_is_one_byte() -> None:
    assert classify("\uefff").words.startswith("a byte that is no text")
    assert classify("\uefff\uef80").words.startswith("2 bytes that are no text")


def test_long_lines_are_shown_short() -> None:
    assert len(classify("x" * 10_000).words) < 200

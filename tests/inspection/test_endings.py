"""What a conversation sent, whether it reached its end, and consoles that nobody knows."""

from __future__ import annotations

import pytest

from propsoff import inspect_capture
from propsoff.console.capture import Capture, Event, parse_cast, pasted
from propsoff.sheets.catalogue import built_in_sheets
from propsoff_sim.text import console_text
from tests_support.conversations import CHECKS, WHEN_S, broken_off, dialects, inspected, pasted_text, recorded


@pytest.mark.parametrize("firmware", ["ossel", "brindle", "corvane"])
def test_what_a_stranger_was_sent_is_counted(firmware: str) -> None:
    capture = recorded(f"{firmware}-hd53")
    talk = inspected(capture).conversation
    manner = next(dialect.manner for dialect in dialects() if dialect.id == firmware)
    first = len(manner.wake) + len(manner.identify.command.encode() + manner.line_end)
    assert (talk.writes_before_identification, talk.bytes_before_identification) == (2, first)
    assert first <= 32
    assert talk.bytes_sent >= first + sum(len(query.command) for query in manner.reads)
    assert talk.bytes_received == sum(len(event.text.encode()) for event in capture.events if event.code == "o")
    assert [phase.phase.split(" ")[0] for phase in talk.phases] == ["listen", "wake", "identify", "read"]
    assert all(phase.seconds > 0 for phase in talk.phases)
    assert [one.state for one in talk.exchanges] == ["complete"] * len(talk.exchanges)


def test_what_a_stranger_was_sent_is_counted_without_markers_too() -> None:
    capture = recorded("ossel-hd53")
    bare = Capture(tuple(event for event in capture.events if event.code != "m"), WHEN_S)
    with_marks, without = inspected(capture).conversation, inspected(bare).conversation
    assert without.writes_before_identification == with_marks.writes_before_identification == 2
    assert without.bytes_before_identification == with_marks.bytes_before_identification


def test_everything_sent_to_a_board_that_nobody_recognised_went_to_a_stranger() -> None:
    events = (Event(0.0, "m", "wake"), Event(0.1, "i", "\r"), Event(0.2, "o", "?\r\n"), Event(0.3, "m", "end: done"))
    talk = inspected(Capture(events, WHEN_S)).conversation
    assert (talk.writes_before_identification, talk.bytes_before_identification) == (1, 1)


def test_of_pasted_text_nothing_is_claimed_to_have_been_sent() -> None:
    talk = inspected(pasted_text("ossel-hd53")).conversation
    assert (talk.bytes_sent, talk.bytes_before_identification, talk.writes_before_identification) == (0, None, None)


# Conversations that broke off, and consoles that nobody knows.


@pytest.mark.parametrize("firmware", ["ossel", "brindle", "corvane"])
@pytest.mark.parametrize("reason", [None, "the port was lost: unplugged"])
def test_no_conversation_that_broke_off_anywhere_counts_as_complete(firmware: str, reason: str | None) -> None:
    capture = recorded(f"{firmware}-hd53")
    for percent in range(0, 96, 5):
        report = inspected(broken_off(capture, percent / 100, reason))
        assert report.verdict == "incomplete", f"{percent} %: {report.ended}"
        assert not report.complete
        assert report.next_steps
        assert report.ended.endswith(".")
        if reason:
            assert "unplugged" in report.ended


def test_a_reply_that_stops_short_is_named() -> None:
    report = inspected(broken_off(recorded("ossel-hd53"), 0.6, "done"))
    assert report.ended.startswith("The conversation broke off: the reply to 'recite' stops short: ")


def test_a_read_that_was_never_sent_is_named() -> None:
    events = list(recorded("ossel-hd53").events)
    asked = next(at for at, event in enumerate(events) if event.text == "read recite")
    capture = Capture((*events[:asked], Event(9.0, "m", "end: done")), WHEN_S)
    report = inspected(capture)
    assert report.verdict == "incomplete"
    assert report.ended == "The conversation broke off: the conversation ended before 'recite' was asked."


def test_an_incomplete_report_still_tells_what_was_read() -> None:
    report = inspected(broken_off(recorded("corvane-hd53"), 0.99, "unplugged"))
    assert report.board == "PLOVER 8"
    assert report.firmware == "Corvane 0.19.2"


@pytest.mark.parametrize(
    ("capture", "says", "step"),
    [
        (pasted(b""), "The file holds no text.", "Copy the whole console text"),
        (pasted(b"hello\nworld\n"), "no known dialect fits", "propsoff learn"),
        (pasted(bytes(range(256)) * 8), "no text from a console", "Copy the whole console text"),
        (
            Capture((Event(0.0, "m", "end: the capture cannot be read: x.cast, line 2: no list"),)),
            "x.cast, line 2",
            ".txt",
        ),
        (Capture((Event(0.0, "m", "listen"), Event(0.1, "m", "end: it was stopped"))), "was stopped", "Inspect"),
        (Capture((Event(0.0, "m", "end: /dev/ttyACM0: held by cat (pid 8)"),), WHEN_S), "held by cat (pid 8)", "cable"),
        (
            Capture(
                (Event(0.0, "o", "$GPGGA\r\n"), Event(1.0, "m", "end: not recognised: a positioning receiver")), WHEN_S
            ),
            "The console was not recognised: a positioning receiver.",
            "propsoff learn",
        ),
    ],
)
def test_a_console_that_nobody_knows_says_why_and_what_to_do(capture: Capture, says: str, step: str) -> None:
    report = inspected(capture)
    assert (report.verdict, report.complete) == ("incomplete", False)
    assert says in report.ended
    assert any(step in each for each in report.next_steps)
    assert (report.findings, report.facts, report.sheet, report.dialect) == ((), (), None, None)


REFUSED = Event(0.1, "m", "end: socket://bench-2:4000: cannot be opened: nothing answers there")
HOST = "Check the host name and port, and that the bridge there runs."


@pytest.mark.parametrize(
    ("device", "events", "hint"),
    [
        ("socket://bench-2:4000", (REFUSED,), HOST),
        ("socket://bench-2:4000", (Event(0.0, "m", "listen"), REFUSED), HOST),
        ("/dev/ttyACM0", (REFUSED,), "Check cable and plug, then plug the board in again."),
        (
            "socket://bench-2:4000",
            (Event(0.0, "o", "x"), REFUSED),
            "Check cable and plug, then plug the board in again.",
        ),
        (
            "socket://bench-2:4000",
            (Event(0.0, "i", "x"), REFUSED),
            "Check cable and plug, then plug the board in again.",
        ),
    ],
)
def test_a_network_port_that_nobody_answers_at_has_no_cable_to_check_also_when_replayed(
    device: str, events: tuple[Event, ...], hint: str
) -> None:
    capture = Capture(events, WHEN_S, port={"device": device})
    report = inspected(capture)
    assert report.next_steps[0] == hint
    assert inspected(parse_cast(capture.to_bytes(), "x.cast")).next_steps == report.next_steps


def several(*texts: str) -> Capture:
    return pasted("".join(texts).encode())


@pytest.mark.parametrize(
    ("texts", "says"),
    [
        (("ossel-hd53", "brindle-hd53"), "listings of different consoles (brindle and ossel)"),
        (("ossel-hd53", "ossel-analog"), "2 different replies to 'recite'"),
        (("corvane-hd53", "corvane-hd53+order-eatr"), "2 different replies to 'tell setup'"),
    ],
)
def test_a_text_about_several_boards_is_about_none(texts: tuple[str, ...], says: str) -> None:
    whole = [console_text(text) for text in texts]
    report = inspected(several(*whole))
    assert report.verdict == "incomplete"
    assert says in report.ended
    assert "a file of its own" in report.next_steps[0]
    # The second one without its identity is no less a second one.
    assert inspected(several(whole[0], whole[1][len(whole[1]) // 2 :])).verdict != "pass"


@pytest.mark.parametrize("board", ["ossel-hd53", "brindle-hd53", "corvane-hd53"])
def test_the_same_text_twice_is_about_one_board(board: str) -> None:
    text = console_text(board)
    assert inspected(several(text, text)).verdict == inspected(several(text)).verdict == "pass"


def test_without_any_dialect_nothing_is_recognised() -> None:
    report = inspect_capture(recorded("ossel-hd53"), dialects=(), sheets=built_in_sheets(), checks=CHECKS)
    assert report.verdict == "incomplete"

"""Whole conversations with toy consoles on real pseudo-terminals, and whatever may break them off.

Captures are played with asciinema's own reader (asciicast v2).
"""

from __future__ import annotations

import asyncio
import os
import select
import signal
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from asciinema import asciicast

from console.conftest import MakeBoard, eventually
from console.toys import MANNERS, MUTE, PAGED, PLAIN, QUICK, ROWS, Board, Faults, Toy, mute, paged, plain
from propsoff.console import session as session_module
from propsoff.console.capture import Capture, Recorder, load_capture
from propsoff.console.conversation import Conversation, converse
from propsoff.console.link import Link
from propsoff.console.manner import Manner
from propsoff.console.timings import Timings
from propsoff.console.transcript import exchanges

TOYS = [
    pytest.param(plain, PLAIN, id="plain"),
    pytest.param(paged, PAGED, id="paged"),
    pytest.param(mute, MUTE, id="mute"),
]


async def talk(board: Board, recorder: Recorder, timings: Timings = QUICK, known: str | None = None) -> Conversation:
    async with await Link.open(board.device, timings=timings) as link:
        return await converse(link, MANNERS, recorder, known=known, timings=timings)


def play(capture: Capture, folder: Path) -> list[str]:
    """The markers of a capture, by asciinema's own reader, after checking that nothing was lost on the way."""
    path = folder / "one.cast"
    path.write_bytes(capture.to_bytes())
    assert load_capture(path) == capture
    with asciicast.open_from_url(str(path)) as cast:
        events = [(code, text) for _, code, text in cast.events()]
    assert events == [(event.code, event.text) for event in capture.events]
    return [text for code, text in events if code == "m"]


@pytest.mark.parametrize(("toy", "manner"), TOYS)
async def test_each_console_is_recognised_and_read(
    toy: type[Toy], manner: Manner, board: MakeBoard, recorder: Recorder, tmp_path: Path
) -> None:
    done = await talk(board(toy()), recorder)
    assert (done.ending, done.dialect, done.stranger) == ("done", manner.dialect, None)
    assert [exchange.command for exchange in done.exchanges] == ["what", *(query.command for query in manner.reads)]
    assert [exchange.state for exchange in done.exchanges][:2] == ["complete", "complete"]
    assert tuple(line.text for line in done.exchanges[1].lines if line.text.startswith("row")) == ROWS
    assert exchanges(done.capture, manner) == done.exchanges
    name = manner.dialect
    assert play(done.capture, tmp_path)[:7] == [
        "listen",
        "wake",
        f"identify {name}",
        "reply complete what",
        f"identified {name}",
        "read list",
        "reply complete list",
    ]
    assert play(done.capture, tmp_path)[-1] == "end: done"


async def test_the_numbers_of_a_conversation(board: MakeBoard, recorder: Recorder) -> None:
    toy = board(mute())
    done = await talk(toy, recorder)
    assert (done.writes_before_identification, done.bytes_before_identification) == (2, 6)
    assert (done.bytes_in, done.bytes_out) == (toy.sent, len(toy.received))
    assert list(done.seconds) == ["listen", "wake", "identify", "read list"]
    assert all(0 <= seconds < 5 for seconds in done.seconds.values())
    first, last = done.capture.events[0].time_s, done.capture.events[-1].time_s
    assert sum(done.seconds.values()) == pytest.approx(last - first)


async def test_nothing_but_the_manners_words_is_ever_sent(board: MakeBoard, recorder: Recorder) -> None:
    toy = board(paged())
    await talk(toy, recorder)
    assert toy.received == b"\r" + b"what\r" + b"list\r" + b"  "


async def test_a_stranger_ends_the_conversation_with_what_was_heard(
    board: MakeBoard, recorder: Recorder, tmp_path: Path
) -> None:
    done = await talk(board(Toy(prompt=b"login: ")), recorder, replace(QUICK, wake_s=0.1))
    assert done.dialect is None
    assert done.stranger is not None
    assert done.stranger.kind == "other console"
    assert done.ending == f"not recognised: {done.stranger.words}"
    assert play(done.capture, tmp_path) == ["listen", "wake", f"end: {done.ending}"]


@pytest.mark.parametrize(("toy", "manner"), TOYS)
async def test_unplugged_after_any_number_of_bytes(
    toy: type[Toy], manner: Manner, board: MakeBoard, tmp_path: Path
) -> None:
    whole = board(toy())
    await talk(whole, Recorder(clock=time.perf_counter, started=0.0))
    for after in [*range(0, 40, 3), *range(40, whole.sent - 10, 97), whole.sent - 10]:
        recorder = Recorder(clock=time.perf_counter, started=0.0)
        async with asyncio.timeout(5):
            done = await talk(board(toy(), Faults(unplug_after=after)), recorder)
        assert "unplugged" in done.ending, after
        assert play(done.capture, tmp_path)[-1] == f"end: {done.ending}"
        for one, other in zip(exchanges(done.capture, manner), done.exchanges, strict=False):
            assert one == other
        assert all(exchange.state != "complete" for exchange in exchanges(done.capture, manner)[len(done.exchanges) :])


STEPS = ["listen", "wake", "identify plain", "identified plain", "read list", "read extra"]


def when_marked(recorder: Recorder, step: str, act: Callable[[], object]) -> None:
    """Do something as soon as a step is marked in the capture."""
    mark = recorder.mark

    def marked(text: str) -> None:
        mark(text)
        if text == step:
            act()

    recorder.mark = marked  # type: ignore[method-assign]  # the moment between two steps has no other handle


@pytest.mark.parametrize("step", STEPS)
async def test_unplugged_at_every_step(step: str, board: MakeBoard, recorder: Recorder, tmp_path: Path) -> None:
    gone = board(plain())
    when_marked(recorder, step, gone.unplug)
    async with asyncio.timeout(5):
        done = await talk(gone, recorder, replace(QUICK, listen_s=0.05))
    assert "unplugged" in done.ending
    assert play(done.capture, tmp_path)[-1] == f"end: {done.ending}"


@pytest.mark.parametrize("step", STEPS)
async def test_cancelled_at_every_step_leaves_a_capture_that_plays(
    step: str, board: MakeBoard, recorder: Recorder, tmp_path: Path
) -> None:
    talking = asyncio.create_task(talk(board(plain()), recorder, replace(QUICK, listen_s=0.05)))
    when_marked(recorder, step, talking.cancel)
    with pytest.raises(asyncio.CancelledError):
        await talking
    marks = play(recorder.capture(), tmp_path)
    assert step in marks
    assert marks[-1] == "end: it was stopped"


async def test_terminated_in_the_middle_of_a_reply_leaves_a_capture_that_plays(
    board: MakeBoard, recorder: Recorder, tmp_path: Path
) -> None:
    toy = plain()
    slow = board(toy, Faults(baud=2400, piece=1))
    talking = asyncio.create_task(talk(slow, recorder))
    loop = asyncio.get_running_loop()
    loop.add_signal_handler(signal.SIGTERM, talking.cancel)
    try:
        await eventually(lambda: "list" in toy.commands and recorder.bytes_in > 70)
        os.kill(os.getpid(), signal.SIGTERM)
        with pytest.raises(asyncio.CancelledError):
            await talking
    finally:
        loop.remove_signal_handler(signal.SIGTERM)
    assert play(recorder.capture(), tmp_path)[-1] == "end: it was stopped"
    assert exchanges(recorder.capture(), PLAIN)[-1].state == "cut"


async def test_a_reply_that_stops_short_is_the_ending_and_the_others_are_read(
    board: MakeBoard, recorder: Recorder
) -> None:
    toy = plain(extra={"extra": ("more",)})

    class Breaks(Toy):
        def take(self, data: bytes) -> bytes:
            answer = toy.take(data)
            return answer[:300] if len(answer) > 300 else answer

    done = await talk(board(Breaks()), recorder, replace(QUICK, identify_s=1.0))
    assert done.dialect == "plain"
    assert [exchange.state for exchange in done.exchanges] == ["complete", "cut", "cut", "complete"]
    assert done.ending.startswith("the reply to 'list' stops short: ")


async def test_a_reply_that_lost_a_line_is_asked_for_again(board: MakeBoard, recorder: Recorder) -> None:
    class Glitch(Toy):
        def take(self, data: bytes) -> bytes:
            answer = super().take(data)
            return answer.replace(b"row31 = 217\r\n", b"") if self.commands.count("list") == 1 else answer

    done = await talk(board(Glitch()), recorder)
    assert done.ending == "done"
    assert [(exchange.command, exchange.state) for exchange in done.exchanges[1:3]] == [
        ("list", "unsure"),
        ("list", "complete"),
    ]
    assert exchanges(done.capture, PLAIN) == done.exchanges


async def test_a_board_that_loses_what_is_typed_fast_is_asked_again_slowly(
    board: MakeBoard, recorder: Recorder
) -> None:
    class Slow(Toy):
        def take(self, data: bytes) -> bytes:
            return super().take(data if data == b"what\r" else data[:4])

    toy = Slow()
    async with asyncio.timeout(3):
        done = await talk(board(toy), recorder)
    assert done.ending == "done"
    assert [(exchange.command, exchange.state) for exchange in done.exchanges[1:3]] == [
        ("list", "cut"),
        ("list", "complete"),
    ]
    assert exchanges(done.capture, PLAIN) == done.exchanges


async def test_a_refusal_is_not_asked_for_again(board: MakeBoard, recorder: Recorder) -> None:
    toy = plain(extra={"list": ("? list",)})
    done = await talk(board(toy), recorder)
    assert toy.commands.count("list") == 1
    assert done.exchanges[1].state == "unsure"


async def test_a_word_that_arrived_garbled_and_was_refused_is_asked_again(board: MakeBoard, recorder: Recorder) -> None:
    class Hasty(Toy):
        def take(self, data: bytes) -> bytes:
            return super().take(data.replace(b"list", b"lis"))  # typed slowly, it never comes in one piece

    toy = Hasty()
    done = await talk(board(toy), recorder)
    assert (toy.commands.count("lis"), toy.commands.count("list")) == (1, 1)
    assert done.ending == "done"
    assert [(exchange.command, exchange.state) for exchange in done.exchanges[1:3]] == [
        ("list", "unsure"),
        ("list", "complete"),
    ]
    assert exchanges(done.capture, PLAIN) == done.exchanges


async def test_a_word_that_never_arrives_whole_leaves_the_conversation_unfinished(
    board: MakeBoard, recorder: Recorder
) -> None:
    class Deaf(Toy):
        def take(self, data: bytes) -> bytes:
            return super().take(data if self.commands == [] else data.replace(b"t", b""))

    toy = Deaf()
    done = await talk(board(toy), recorder)
    assert toy.commands[1:3] == ["lis", "lis"]
    assert "'list' did not arrive as it was typed" in done.ending
    assert [exchange.state for exchange in done.exchanges if exchange.command == "list"] == ["unsure", "unsure"]


async def test_a_slow_console_that_is_kept_from_its_work_loses_nothing(board: MakeBoard, recorder: Recorder) -> None:
    class Busy(Toy):
        """Looks at its line now and then, and finds but one character there: those that came meanwhile are lost."""

        def take(self, data: bytes) -> bytes:
            select.select([], [], [], 0.02)
            return super().take(data[:1])

    slow = replace(PLAIN, typing_s=0.002)
    async with await Link.open(board(Busy()).device, timings=QUICK) as link:
        done = await converse(link, (slow,), recorder, timings=QUICK)
    assert done.ending == "done"
    assert [(exchange.command, exchange.state) for exchange in done.exchanges[:2]] == [
        ("what", "complete"),
        ("list", "complete"),
    ]


async def test_a_reply_that_is_not_required_may_stop_short(board: MakeBoard, recorder: Recorder) -> None:
    toy = plain(extra={"extra": ("more",)})

    class Breaks(Toy):
        def take(self, data: bytes) -> bytes:
            return toy.take(data).removesuffix(b"more\r\ntoy> ")

    quick = tuple(replace(query, deadline_s=0.3) for query in PLAIN.reads)
    async with await Link.open(board(Breaks()).device, timings=QUICK) as link:
        done = await converse(link, (replace(PLAIN, reads=quick),), recorder, timings=QUICK)
    assert (done.exchanges[2].state, done.ending) == ("cut", "done")


async def test_a_prompt_that_never_comes(board: MakeBoard, recorder: Recorder) -> None:
    done = await talk(board(plain(shows_prompt=False)), recorder, replace(QUICK, wake_s=0.2))
    assert done.stranger is not None
    assert done.stranger.kind == "echo"


async def test_a_conversation_that_takes_too_long_is_ended(
    board: MakeBoard, recorder: Recorder, tmp_path: Path
) -> None:
    done = await talk(board(plain(), Faults(baud=1200, piece=1)), recorder, replace(QUICK, talk_s=0.5))
    assert done.ending == "the conversation took longer than 0.5 s"
    assert play(done.capture, tmp_path)[-1] == f"end: {done.ending}"


async def test_endless_output_ends_the_conversation(board: MakeBoard, recorder: Recorder) -> None:
    endless = board(plain(), Faults(endless=b"noise without end\r\n", baud=1_000_000))
    async with asyncio.timeout(10):
        done = await talk(endless, recorder, replace(QUICK, wake_s=0.3))
    assert done.dialect is None or done.ending != "done"
    assert done.capture.ending == done.ending


async def test_a_board_that_stops_taking_bytes_ends_the_conversation(board: MakeBoard, recorder: Recorder) -> None:
    toy = board(plain())

    when_marked(recorder, "read list", toy.deafen)
    async with asyncio.timeout(10):
        done = await talk(toy, recorder, replace(QUICK, write_s=0.2))
    assert "did not take 5 bytes within 0.2 s" in done.ending


async def test_a_fault_of_ours_is_marked_and_raised(
    board: MakeBoard, recorder: Recorder, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError("on purpose")

    monkeypatch.setattr(session_module, "judge", broken)
    with pytest.raises(ZeroDivisionError):
        await talk(board(plain()), recorder)
    assert recorder.capture().ending == "a fault in propsoff: ZeroDivisionError: on purpose"


async def test_the_link_is_left_open_for_its_owner_to_close(board: MakeBoard, recorder: Recorder) -> None:
    async with await Link.open(board(plain()).device, timings=QUICK) as link:
        await converse(link, MANNERS, recorder, timings=QUICK)
        assert not link.closed
    assert link.closed


async def test_ten_boards_at_once_do_not_get_into_each_others_way(board: MakeBoard) -> None:
    makers = [plain, paged, mute] * 3 + [plain]
    recorders = [Recorder(clock=time.perf_counter, started=0.0) for _ in makers]
    boards = [board(maker(), Faults(piece=5)) for maker in makers]
    done = await asyncio.gather(*map(talk, boards, recorders))
    assert [one.ending for one in done] == ["done"] * 10
    assert [one.dialect for one in done] == ["plain", "paged", "mute"] * 3 + ["plain"]


@pytest.mark.parametrize(("toy", "manner"), TOYS)
async def test_one_reading_costs_well_below_40_ms_on_an_unpaced_line(
    toy: type[Toy], manner: Manner, board: MakeBoard
) -> None:
    reads = (manner.reads[0], manner.reads[0])
    best = float("inf")
    for _ in range(5):
        async with await Link.open(board(toy()).device, timings=Timings(listen_s=0)) as link:
            began = time.perf_counter()
            recorder = Recorder(clock=time.perf_counter, started=0.0)
            done = await converse(link, (replace(manner, reads=reads),), recorder, timings=Timings(listen_s=0))
            best = min(best, time.perf_counter() - began)
        assert done.ending == "done"
    assert best < 0.04, f"{best * 1000:.1f} ms"


async def test_on_a_line_of_115200_baud_it_costs_less_than_a_twentieth_more(board: MakeBoard) -> None:
    """8N1 is 10 bits a byte: 11,520 bytes a second (termios(3) rates; 10 = start + 8 + stop)."""
    toy = plain(rows=tuple(f"row{at % 100:02} = some value or other" for at in range(400)))
    manner = replace(PLAIN, reads=PLAIN.reads[:1])
    best = float("inf")
    for _ in range(2):
        paced = board(toy, Faults(baud=115_200, piece=16))
        async with await Link.open(paced.device, timings=Timings(listen_s=0)) as link:
            began = time.perf_counter()
            recorder = Recorder(clock=time.perf_counter, started=0.0)
            done = await converse(link, (manner,), recorder, timings=Timings(listen_s=0))
            best = min(best, (time.perf_counter() - began) / (done.bytes_in * 10 / 115_200))
        assert done.ending == "done"
    assert best < 1.05, f"{(best - 1) * 100:.1f} % more"

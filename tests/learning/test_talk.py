"""Conversations with consoles that nobody knows, on real pseudo-terminals."""

from __future__ import annotations

import asyncio
import threading
import time
from collections.abc import Callable, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, replace
from functools import reduce
from operator import xor
from typing import ClassVar

import pytest

from propsoff.console.capture import Capture, Recorder
from propsoff.console.link import Link
from propsoff.console.timings import Timings
from propsoff.learning.habits import NONSENSE
from propsoff.learning.model import Heard, HelpWord, LeftOut
from propsoff.learning.talk import MOST_COMMANDS, NoConsoleError, Pace, hear
from tests_support.closing_consoles import CLOSING
from tests_support.other_consoles.console import Console, Truth
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
from tests_support.other_consoles.pellow import Pellow
from tests_support.other_consoles.seen import SEEN
from tests_support.other_consoles.served import served
from tests_support.other_consoles.stating import StatingConsole
from tests_support.unseen_consoles import UNSEEN

PACE = Pace(listen_s=0.2, prompt_s=0.05, silence_s=0.3, answer_s=3.0, regain_s=1.0, talk_s=20.0)
_CAP = 1 << 20


@dataclass
class Talked:
    """How a conversation came out."""

    heard: Heard | None
    trouble: str
    capture: Capture
    took_s: float
    approved: list[str]
    shown: list[str]


async def _allow(chosen: Sequence[HelpWord], _left_out: Sequence[LeftOut]) -> Sequence[HelpWord]:
    return chosen


async def _talk(
    console: Console,
    *,
    pace: Pace = PACE,
    allow: Callable[..., object] | None = None,
    unplug: threading.Event | None = None,
) -> Talked:
    """A whole conversation; with `unplug` the port goes as soon as that is set."""
    shown: list[str] = []
    approved: list[str] = []

    async def approve(chosen: Sequence[HelpWord], left_out: Sequence[LeftOut]) -> Sequence[HelpWord]:
        shown.extend(one.word.word for one in left_out)
        words = await _allow(chosen, left_out) if allow is None else allow(chosen)
        assert isinstance(words, Sequence)
        approved.extend(word.word for word in words)
        return words

    recorder = Recorder(clock=time.perf_counter, started=0.0, cap_bytes=_CAP)
    with ExitStack() as plugged:
        link = await Link.open(str(plugged.enter_context(served(console))))
        begun = time.monotonic()
        heard, trouble = None, ""
        async with link:
            talk = asyncio.create_task(hear(link, recorder, approve, pace=pace, timings=Timings()))
            if unplug is not None:
                await asyncio.to_thread(unplug.wait, 20)
                await asyncio.to_thread(plugged.close)
            try:
                heard = await talk
            except NoConsoleError as error:
                trouble = str(error)
        took_s = time.monotonic() - begun
    return Talked(heard, trouble, recorder.capture(), took_s, approved, shown)


def _sent(capture: Capture) -> str:
    return "".join(event.text for event in capture.events if event.code == "i")


@pytest.mark.parametrize("kind", SEEN, ids=lambda kind: kind.name)
async def test_the_habits_of_a_console_are_found_and_nothing_harmful_is_sent(kind: type[StatingConsole]) -> None:
    console = kind()
    talked = await _talk(console)
    assert talked.heard is not None
    habits = talked.heard.habits
    assert console.harm_done == []
    assert console.done == []
    assert len(console.received) <= MOST_COMMANDS
    assert talked.took_s < 20
    assert habits.wake == (kind.wakes_by or b"\r")
    assert habits.line_end in (bytes([end]) for end in kind.ends)
    assert habits.echo is kind.echo
    assert habits.prompt == kind.prompt.rstrip(" ")
    assert habits.pager == (kind.pager[0] if kind.pager else None)
    assert habits.pager_key.encode() == (kind.pager[1] if kind.pager else b" ")
    assert (habits.typing_s > kind.slowest_s) if kind.slowest_s else (habits.typing_s == 0)
    assert bool(habits.unsure) is bool(kind.slowest_s)
    assert talked.heard.troubles == ()
    reads = {answer.command for answer in talked.heard.answers if answer.whole}
    assert len(reads & set(kind.pages)) >= (2 if kind.help_word else 1)
    assert not reads & kind.harmful
    assert not set(talked.approved) & kind.harmful
    assert talked.capture.ending == "done"


@pytest.mark.parametrize("kind", SEEN, ids=lambda kind: kind.name)
async def test_what_nobody_approves_is_not_sent(kind: type[StatingConsole]) -> None:
    console = kind()
    before: list[int] = []

    def nothing(_chosen: Sequence[HelpWord]) -> Sequence[HelpWord]:
        before.extend(console.sent)
        return ()

    talked = await _talk(console, allow=nothing)
    assert talked.heard is not None
    assert list(console.sent) == before
    assert len(before) > 0


async def test_what_was_left_out_is_not_sent_even_if_somebody_approves_it() -> None:
    console = Pellow()
    talked = await _talk(
        console, allow=lambda chosen: [*chosen, HelpWord("blank", "", 1), HelpWord("set craft x", "", 1)]
    )
    assert talked.heard is not None
    assert console.harm_done == []
    assert "blank" in talked.shown


def _reads(heard: Heard | None) -> set[str]:
    assert heard is not None
    return {answer.command for answer in heard.answers}


@pytest.mark.parametrize("kind", HOSTILE, ids=lambda kind: kind.name)
async def test_a_bad_console_ends_in_time_and_the_capture_keeps_its_bound(kind: type[Console]) -> None:
    console = kind()
    talked = await _talk(console)
    assert talked.took_s < 20
    assert len(console.received) <= MOST_COMMANDS
    assert sum(len(event.text) for event in talked.capture.events) < 2 * _CAP
    assert (talked.heard is None) is bool(talked.trouble)
    if kind in (Flooder, Noise):
        assert "does not stop sending" in talked.trouble
        assert len(console.received) <= 2
    if kind is Refuser:
        assert _reads(talked.heard) == set()
    if kind is LongHelp:
        assert "show00000" in _reads(talked.heard)
    if kind in (BinaryListing, RepeatedKeys):
        assert _reads(talked.heard) == {"list"}


async def test_a_console_that_starts_again_gets_no_further_unknown_word() -> None:
    console = Rebooter()
    talked = await _talk(console)
    assert console.boots == 2
    assert [line for line in console.received if line] == ["qzxv", "facts"]
    assert talked.heard is not None
    assert any("start again" in trouble for trouble in talked.heard.troubles)
    assert talked.heard.habits.error is None
    assert [line.text for line in talked.heard.answers[0].lines] == [
        "firmware: Skerry",
        "version: 0.9.1",
        "craft name: Wet Sail",
    ]


class _Starter(Rebooter):
    """Starts again with the texts that it is given, names nothing else, and knows no other word."""

    name = "starter"
    truth = Truth({})
    texts: tuple[str, ...] = ()

    def plugged_in(self) -> str:
        return self.lines(*self.texts)

    def answer(self, line: str) -> str:
        self.boots += 1
        return self.plugged_in()


@pytest.mark.parametrize(
    "texts",
    [
        ("Skerry 0.9.1",),
        ("Neustart",),
        ("gyro found", "all is well"),
        ("one", "two", "three", "four", "version: 0.9.1", "gyro: found"),
        ("Skerry boots", "type 'facts' for all"),
        ("ready",),
    ],
)
async def test_a_restart_is_told_by_its_text(texts: tuple[str, ...]) -> None:
    console = _Starter()
    console.texts = texts
    talked = await _talk(console)
    assert [line for line in console.received if line] in (["qzxv"], ["qzxv", "facts"])
    assert console.boots <= 3
    assert talked.heard is not None
    assert talked.heard.troubles


class _Speaker(Console):
    """Says a text by itself, for as long as it is plugged in, and never answers."""

    name = "speaker"
    truth = Truth({})
    prompt = ""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.text, self._due = text, 0.0

    def answer(self, line: str) -> str:
        return ""

    def type(self, data: bytes, now: float) -> bytes:
        super().type(data, now)
        return b""

    def idle(self, now: float) -> str:
        if now < self._due:
            return ""
        self._due = now + 0.1
        return self.text


def _sentence(body: str) -> str:
    # NMEA 0183: the exclusive or of the characters between `$` and `*`.
    return f"${body}*{reduce(xor, body.encode(), 0):02X}\r\n"


@pytest.mark.parametrize(
    ("text", "named"),
    [
        (_sentence("GPGGA,120000.00,,,,,0,00,99.9,,,,,,"), "positioning receiver"),
        (_sentence("GNRMC,120000.00,V,,,,,,,,,,N"), "positioning receiver"),
        ("ok\r\nT:21.0 /0.0 B:20.5 /0.0\r\n", "G-code machine"),
        ("\r\nRING\r\n", "modem"),
    ],
)
async def test_what_is_no_flight_controller_is_sent_nothing(text: str, named: str) -> None:
    console = _Speaker(text)
    talked = await _talk(console, pace=replace(PACE, listen_s=0.5))
    assert talked.heard is None
    assert named in talked.trouble
    assert bytes(console.sent) == b""
    assert _sent(talked.capture) == ""


class _Acknowledger(Console):
    """Answers each line with `ok`, has no prompt: only after the first line end does it show what it is."""

    name = "acknowledger"
    truth = Truth({})
    prompt = ""
    echo = False

    def answer(self, line: str) -> str:
        return ""

    def entered(self, line: str) -> str:
        self.received.append(line)
        return "ok\r\n"


async def test_what_turns_out_to_be_a_machine_is_sent_one_line_end_only() -> None:
    console = _Acknowledger()
    talked = await _talk(console)
    assert "G-code machine" in talked.trouble
    assert bytes(console.sent) == b"\r"


class _Silent(Console):
    """Says nothing, ever."""

    name = "silent"
    truth = Truth({})

    def answer(self, line: str) -> str:
        return ""

    def type(self, data: bytes, now: float) -> bytes:
        super().type(data, now)
        return b""


async def test_a_silent_port_is_given_up() -> None:
    console = _Silent()
    talked = await _talk(console)
    assert "nothing was heard" in talked.trouble
    assert len(console.sent) <= MOST_COMMANDS
    assert not any(chr(byte).isalnum() for byte in console.sent)


class _Pulled(Pellow):
    """Pulled out as soon as a line of this number is entered, before it is answered."""

    def __init__(self, after: int) -> None:
        super().__init__()
        self.after, self.pulled = after, threading.Event()

    def entered(self, line: str) -> str:
        said = super().entered(line)
        if len(self.received) > self.after:
            self.pulled.set()
            return ""
        return said


@pytest.mark.parametrize(
    ("after", "phase"), [(0, "wake"), (1, "wake"), (3, "nonsense"), (4, "help"), (5, "read"), (6, "read")]
)
async def test_a_port_that_is_pulled_out_leaves_what_was_heard(after: int, phase: str) -> None:
    console = _Pulled(after)
    talked = await _talk(console, unplug=console.pulled)
    assert talked.took_s < 20
    assert _sent(talked.capture).startswith("\r")
    assert talked.capture.ending
    if phase == "wake":
        assert talked.heard is None
        assert talked.trouble
        return
    assert talked.heard is not None
    assert len(talked.heard.troubles) == 1
    assert talked.heard.habits.prompt == "pw#"
    assert bool(talked.heard.words) is (phase == "read")
    assert len(talked.heard.answers) == max(0, after - 5)
    assert talked.heard.capture == talked.capture


async def test_a_port_that_is_pulled_out_while_it_is_listened_to() -> None:
    console, pulled = Pellow(), threading.Event()
    pulled.set()
    talked = await _talk(console, pace=replace(PACE, listen_s=15.0), unplug=pulled)
    assert talked.heard is None
    assert talked.trouble
    assert talked.capture.ending == talked.trouble
    assert bytes(console.sent) == b""


async def test_a_conversation_that_takes_too_long_leaves_what_was_heard() -> None:
    talked = await _talk(LongHelp(), pace=replace(PACE, talk_s=2.0))
    assert talked.heard is not None
    assert talked.heard.habits.prompt == "fathom>"
    assert "took longer than 2 s" in talked.heard.troubles[-1]
    assert talked.took_s < 5
    short = await _talk(_Silent(), pace=replace(PACE, talk_s=0.5))
    assert "took longer than 0.5 s" in short.trouble


class _Teller(Console):
    """Says to any word that it does not know which words it knows."""

    name = "teller"
    truth = Truth({})

    def answer(self, line: str) -> str:
        if line in ("tally", "state"):
            return self.lines(f"{line}: 4")
        return self.lines(
            "no such word; these are known:", "tally   shows all values", "state   shows the sensors", "go   restarts"
        )


async def test_an_answer_that_names_the_words_is_no_restart() -> None:
    console = _Teller()
    talked = await _talk(console)
    assert talked.heard is not None
    assert talked.heard.troubles == ()
    assert {"tally", "state"} <= set(console.received)
    assert "go" not in console.received


async def test_a_person_may_take_longer_than_the_conversation() -> None:
    console = Pellow()
    recorder = Recorder(clock=time.perf_counter, started=0.0)
    loop = asyncio.get_running_loop()

    async def approve(chosen: Sequence[HelpWord], _: Sequence[LeftOut]) -> Sequence[HelpWord]:
        late = asyncio.Event()
        loop.call_later(6.5, late.set)
        await late.wait()
        return chosen

    with served(console) as device:
        async with await Link.open(str(device)) as link:
            heard = await hear(link, recorder, approve, pace=replace(PACE, talk_s=6.0), timings=Timings())
    assert heard.troubles == ()
    assert heard.answers


class _Boxed(Console):
    """Two menus by number, each with a prompt of its own and a way back."""

    name = "boxed"
    truth = Truth({})
    prompt = "main> "

    def answer(self, line: str) -> str:
        if self.prompt == "main> ":
            if line == "1":
                self.prompt = "radio> "
                return self.lines("1  receiver protocol", "2  serial ports", "0  back")
            if line == "help":
                return self.lines("1  radio", "2  battery", "3  video")
            return self.lines("cells = 4") if line in "23" else self.lines(f"no: {line}")
        if line == "0":
            self.prompt = "main> "
            return ""
        return self.lines(f"no: {line}")


async def test_a_menu_that_a_word_opens_is_left_by_the_way_that_it_names() -> None:
    console = _Boxed()
    talked = await _talk(console)
    assert talked.heard is not None
    assert talked.heard.troubles == ()
    assert {answer.command: answer.back for answer in talked.heard.answers} == {"1": "0", "2": "", "3": ""}
    assert talked.heard.habits.prompt == "{_:words}>"
    assert console.prompt == "main> "


async def test_the_values_of_an_opened_page_are_never_typed_as_if_they_were_keys_of_a_menu() -> None:
    (kind,) = (one for one in CLOSING if one.name == "ousterby")  # pages by number, of `SMOOTHING [30] HZ` and so on
    console = kind()
    talked = await _talk(console)
    assert talked.heard is not None
    sent = [line.strip() for line in console.received]
    assert {*map(str, range(11))} <= {*sent}
    assert {line for line in sent if line.isdigit()} == {*map(str, range(11))}
    assert {*(one.word.word for one in talked.heard.left_out)} == {*map(str, range(20, 27))}


async def test_what_an_opened_menu_offers_is_approved_before_it_is_sent() -> None:
    (kind,) = (one for one in UNSEEN if one.name == "orrin")
    talked = await _talk(kind())
    assert talked.heard is not None
    inner = {answer.command for answer in talked.heard.answers if answer.way}
    assert inner == {"41", "42"}
    assert inner <= {*talked.approved}

    console = kind()
    lists: list[list[str]] = []

    def allow_the_first(chosen: Sequence[HelpWord]) -> Sequence[HelpWord]:
        lists.append([word.word for word in chosen])
        return chosen if len(lists) == 1 else ()

    talked = await _talk(console, allow=allow_the_first)
    assert len(lists) > 1
    assert talked.heard is not None
    assert not inner & {*console.received}
    assert {answer.command for answer in talked.heard.answers} & {*lists[0]}


class _Deaf(Console):
    """Hears some words without their last characters the first time, and says which word it does not know."""

    name = "deaf"
    truth = Truth({})
    prompt = "elm> "
    pages: ClassVar[dict[str, tuple[str, ...]]] = {
        "help": ("tally   shows all values", "ports   shows the ports"),
        "tally": ("a = 1",),
        "ports": ("b = 2",),
    }

    def __init__(self, *, always: bool = False) -> None:
        super().__init__()
        self._always, self._heard = always, set[str]()

    def answer(self, line: str) -> str:
        lost = line in self.pages and (self._always or line not in self._heard)
        self._heard.add(line)
        page = None if lost else self.pages.get(line)
        return self.lines(*page) if page else self.lines(f'no word "{line[:-2] if lost else line}" here')


async def test_a_word_that_arrived_without_some_characters_is_asked_again() -> None:
    talked = await _talk(_Deaf())
    assert talked.heard is not None
    told = {answer.command: [line.text for line in answer.lines if line.text] for answer in talked.heard.answers}
    assert told == {"tally": ["a = 1"], "ports": ["b = 2"]}
    assert talked.heard.troubles == ()


async def test_what_never_arrives_is_asked_twice_and_its_refusal_is_no_answer() -> None:
    console = _Deaf(always=True)
    talked = await _talk(console)
    assert talked.heard is not None
    assert not {answer.command for answer in talked.heard.answers} & {*_Deaf.pages}
    assert any("'help' did not arrive as it was typed" in trouble for trouble in talked.heard.troubles)
    assert console.received.count("help") == 2


class _Quoter(Console):
    """Says `bad command WORD` of a word that it does not know, and helps nobody."""

    name = "quoter"
    truth = Truth({})
    prompt = ": "

    def answer(self, line: str) -> str:
        return self.lines(f"bad command {line}")


async def test_the_nonsense_word_that_a_refusal_quotes_is_never_proposed() -> None:
    talked = await _talk(_Quoter())
    assert talked.heard is not None
    assert NONSENSE not in {*talked.approved, *talked.shown, *(word.word for word in talked.heard.words)}


class _Paged(Console):
    """Stops its listing every two lines until Enter is pressed; any other key only rings."""

    name = "paged"
    truth = Truth({})
    prompt = "elm> "
    stop = "-- more {} --"

    def __init__(self) -> None:
        super().__init__()
        self._left: list[str] = []
        self._page = 0

    def answer(self, line: str) -> str:
        if line == "help":
            return self.lines("help   these words", "tally   shows all values")
        if line == "tally":
            self._left, self._page = [f"value {chr(97 + at)} = {at}" for at in range(7)], 0
            return ""
        return self.lines(f"no word {line}")

    def entered(self, line: str) -> str:
        said = super().entered(line)
        return said.removesuffix(self.prompt) + self._some() if self._left else said

    def _some(self) -> str:
        now, self._left = self._left[:2], self._left[2:]
        self._page += 1
        return self.lines(*now) + (self.stop.format(self._page) if self._left else self.prompt)

    def _key(self, byte: int) -> bytes:
        if not self._left:
            return super()._key(byte)
        return ("\r\n" + self._some()).encode() if byte == ord("\r") else b"\a"


async def test_the_key_that_turns_the_page_is_found_and_the_stops_are_no_part_of_the_reply() -> None:
    console = _Paged()
    talked = await _talk(console)
    assert talked.heard is not None
    assert (talked.heard.habits.pager, talked.heard.habits.pager_key) == ("-- more {_:int} --", "\r")
    (answer,) = talked.heard.answers
    assert answer.whole
    assert [line.text for line in answer.lines if line.text] == [f"value {chr(97 + at)} = {at}" for at in range(7)]

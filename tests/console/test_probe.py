"""Who is there? Recognising a board with two writes and 32 bytes at most, and leaving strangers alone."""

from __future__ import annotations

import asyncio
import time
from collections.abc import AsyncIterator, Sequence
from contextlib import asynccontextmanager
from dataclasses import replace

import pytest

from console.conftest import MakeBoard, eventually
from console.toys import MANNERS, MUTE, PAGED, PLAIN, QUICK, Board, Faults, Pattern, Toy, mute, paged, plain
from propsoff.console.budget import Budget
from propsoff.console.capture import Recorder
from propsoff.console.link import Link
from propsoff.console.manner import Manner, Query
from propsoff.console.probe import Identified, identify
from propsoff.console.session import Session
from propsoff.console.strangers import Stranger
from propsoff.console.timings import Timings
from propsoff.exceptions import BudgetError, DeadlineError, LinkLostError

# NMEA 0183: the example sentence printed in most introductions to the format.
FIX = b"$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47\r\n"


class Probe:
    """One probing of one board, and what it cost."""

    def __init__(self, session: Session, budget: Budget) -> None:
        self.session, self.budget = session, budget

    async def __call__(
        self, manners: Sequence[Manner] = MANNERS, *, hinted: Sequence[str] = (), known: str | None = None
    ) -> Identified | Stranger:
        return await identify(self.session, manners, hinted=hinted, known=known)

    @property
    def sent(self) -> list[str]:
        """What was sent, write by write."""
        return [event.text for event in self.session.recorder.capture().events if event.code == "i"]


@asynccontextmanager
async def probing(board: Board, timings: Timings = QUICK) -> AsyncIterator[Probe]:
    recorder, budget = Recorder(clock=time.perf_counter, started=0.0), Budget()
    async with await Link.open(board.device, timings=timings) as link:
        probe = Probe(Session(link, recorder, timings, budget), budget)
        yield probe
    assert budget.writes == len(probe.sent) <= 2
    assert budget.bytes_sent == sum(map(len, probe.sent)) == len(board.received) <= 32 or board.faults.deaf


def dialect(found: Identified | Stranger) -> str:
    assert isinstance(found, Identified), found
    return found.manner.dialect


@pytest.mark.parametrize(("toy", "name"), [(plain, "plain"), (paged, "paged"), (mute, "mute")])
async def test_without_a_hint_a_bare_line_end_goes_out_and_the_prompt_tells_the_rest(
    toy: type[Toy], name: str, board: MakeBoard
) -> None:
    async with probing(board(toy())) as probe:
        assert dialect(await probe()) == name
        assert probe.sent[0] == "\r"
        assert len(probe.sent) == 2


async def test_the_best_hints_wake_goes_out(board: MakeBoard) -> None:
    async with probing(board(mute())) as probe:
        assert dialect(await probe(hinted=("mute", "plain"))) == "mute"
        assert probe.sent == ["\n", "what\n"]


async def test_a_hint_that_is_wrong_does_not_stand_in_the_way(board: MakeBoard) -> None:
    async with probing(board(paged())) as probe:
        assert dialect(await probe(hinted=("mute", "no-such-dialect"))) == "paged"


async def test_a_known_board_is_not_listened_to_first(board: MakeBoard) -> None:
    async with probing(board(plain()), replace(QUICK, listen_s=30.0)) as probe:
        async with asyncio.timeout(5):
            assert dialect(await probe(known="plain")) == "plain"
        marks = [event.text for event in probe.session.recorder.capture().events if event.code == "m"]
    assert marks == ["wake plain", "identify plain", "reply complete what", "identified plain"]


async def test_a_known_board_that_was_given_another_firmware_is_recognised_anew(board: MakeBoard) -> None:
    async with probing(board(mute())) as probe:
        assert dialect(await probe(known="plain")) == "mute"


async def test_a_dialect_that_is_not_there_any_more_does_not_count_as_known(board: MakeBoard) -> None:
    async with probing(board(plain()), replace(QUICK, listen_s=0.05)) as probe:
        assert dialect(await probe(known="gone")) == "plain"
        assert probe.session.recorder.capture().events[0].text == "listen"


async def test_what_is_heard_while_listening_is_recorded(board: MakeBoard) -> None:
    talker = board(plain())
    async with probing(talker, replace(QUICK, listen_s=0.2)) as probe:
        probing_now = asyncio.create_task(probe())
        await asyncio.sleep(0)
        talker.say(b"[0.1] starting\r\n[0.2] gyro ok\r\ntoy> ")
        assert dialect(await probing_now) == "plain"
        codes = [event.code for event in probe.session.recorder.capture().events]
        assert codes[:4] == ["m", "o", "m", "i"]


async def test_a_greeting_before_the_first_prompt(board: MakeBoard) -> None:
    async with probing(board(plain(greeting=b"Toy flight core.\r\ntoy> is the prompt\r\n"))) as probe:
        assert dialect(await probe()) == "plain"


async def test_the_boards_own_banner_in_its_line_editor(board: MakeBoard) -> None:
    """A fresh terminal echoes: the board reads its own banner back before the port is opened (and set raw)."""
    toy = plain()
    echoed = board(toy)
    echoed.say(b"boot 1.0, press a key")
    await eventually(lambda: bool(toy.line))
    async with await Link.open(echoed.device, timings=QUICK) as link:
        recorder = Recorder(clock=time.perf_counter, started=0.0)
        session = Session(link, recorder, QUICK, Budget())
        assert dialect(await identify(session, MANNERS)) == "plain"
    assert toy.commands[0].startswith("boot 1.0")
    assert toy.commands[1] == "what"


async def test_a_prompt_from_before_the_line_end_does_not_count(board: MakeBoard) -> None:
    silent = board()
    async with probing(silent, replace(QUICK, listen_s=0.1, wake_s=0.2)) as probe:
        silent.say(b"boot\r\ntoy> ")
        assert isinstance(await probe(), Stranger)
        assert probe.sent == ["\r"]


async def test_a_board_that_writes_on_behind_its_prompt(board: MakeBoard) -> None:
    class Chatterer(Toy):
        def take(self, data: bytes) -> bytes:
            return super().take(data).replace(b"toy> ", b"toy> [12.3] a log line\r\n")

    async with probing(board(Chatterer()), replace(QUICK, wake_s=0.2, identify_s=0.2)) as probe:
        assert dialect(await probe()) == "plain"


async def test_of_two_dialects_with_one_prompt_the_one_that_the_identity_fits(board: MakeBoard) -> None:
    other = replace(PLAIN, dialect="other", identity=Pattern("Other four, .*"))
    async with probing(board(plain())) as probe:
        assert dialect(await probe((other, PLAIN))) == "plain"


async def test_the_right_prompt_with_the_wrong_identity_is_a_stranger(board: MakeBoard) -> None:
    async with probing(board(plain(name="Toy nine"))) as probe:
        found = await probe()
    assert isinstance(found, Stranger)
    assert found.kind == "other console"
    assert "answered 'what' with 'Toy nine, serial A1'" in found.words


async def test_a_positioning_receiver_is_not_written_to(board: MakeBoard) -> None:
    receiver = board()
    async with probing(receiver, replace(QUICK, listen_s=0.1)) as probe:
        receiver.say(FIX * 3)
        found = await probe()
        assert probe.sent == []
    assert isinstance(found, Stranger)
    assert found.kind == "positioning receiver"


async def test_a_hinted_board_that_passes_such_sentences_on_is_asked_all_the_same(board: MakeBoard) -> None:
    talker = board(plain())
    async with probing(talker, replace(QUICK, listen_s=0.1)) as probe:
        talker.say(FIX)
        assert dialect(await probe(hinted=("plain",))) == "plain"


@pytest.mark.parametrize(
    ("toy", "kind"),
    [
        (None, "silence"),
        (Toy(shows_prompt=False), "echo"),
        (Toy(prompt=b"login: "), "other console"),
        (Toy(prompt=b"\xff\xfe\x80\x81"), "binary"),
        (Toy(prompt=b"ok\r\n", newline=b""), "g-code machine"),
        (Toy(prompt=b"OK\r\n"), "modem"),
        (Toy(prompt=b"hello there\r\n"), "unknown text"),
    ],
)
async def test_a_stranger_gets_one_byte_and_is_named(toy: Toy | None, kind: str, board: MakeBoard) -> None:
    async with probing(board(toy), replace(QUICK, wake_s=0.1)) as probe:
        found = await probe()
        assert probe.sent == ["\r"]
    assert isinstance(found, Stranger)
    assert found.kind == kind


async def test_a_prompt_that_no_dialect_knows_is_not_asked_anything(board: MakeBoard) -> None:
    async with probing(board(plain()), replace(QUICK, wake_s=0.1)) as probe:
        found = await probe((MUTE, PAGED))
        assert probe.sent == ["\r"]
    assert isinstance(found, Stranger)
    assert found.words == "a console with the prompt 'toy> ', which no dialect knows"


async def test_no_dialect_at_all_still_tells_what_was_heard(board: MakeBoard) -> None:
    async with probing(board(plain()), replace(QUICK, wake_s=0.1)) as probe:
        assert isinstance(await probe(()), Stranger)


async def test_an_identity_command_that_is_too_long_is_never_sent(board: MakeBoard) -> None:
    wordy = replace(PLAIN, identify=Query("describe thyself at greater length"))
    async with probing(board(plain())) as probe:
        with pytest.raises(BudgetError):
            await probe((wordy,))
        assert probe.sent == ["\r"]


async def test_a_pager_in_the_identity_reply_is_not_answered_by_a_third_write(board: MakeBoard) -> None:
    long = paged(extra={"what": tuple(f"line {at}" for at in range(30))})
    async with probing(board(long)) as probe:
        with pytest.raises(BudgetError):
            await probe()
        assert len(probe.sent) == 2


async def test_a_board_that_takes_no_bytes(board: MakeBoard) -> None:
    deaf = board(None, Faults(deaf=True))
    long = replace(PLAIN, wake=b"\r" * 30)
    async with probing(deaf, replace(QUICK, wake_s=0.1)) as probe:
        found = await probe((long,), hinted=("plain",))
    # The terminal holds what the board does not take: that is silence, not an error.
    assert isinstance(found, Stranger)
    assert found.kind == "silence"


class Sleepy(Toy):
    """Loses everything up to its first line end."""

    asleep = True

    def take(self, data: bytes) -> bytes:
        if self.asleep:
            self.asleep = not any(end in data for end in b"\r\n")
            data = data.replace(b"\n", b"\r").partition(b"\r")[2]
        return super().take(data)


@pytest.mark.parametrize(("hinted", "known"), [(("plain",), None), ((), "plain")])
async def test_a_board_that_its_first_line_end_only_wakes_is_asked_once_more(
    hinted: tuple[str, ...], known: str | None, board: MakeBoard
) -> None:
    async with probing(board(Sleepy()), replace(QUICK, wake_s=0.1)) as probe:
        assert dialect(await probe(hinted=hinted, known=known)) == "plain"
        assert probe.sent == ["\r", "\rwhat\r"]


async def test_a_silent_board_that_nothing_speaks_for_gets_the_line_end_and_no_more(board: MakeBoard) -> None:
    async with probing(board(Sleepy()), replace(QUICK, wake_s=0.1)) as probe:
        assert isinstance(await probe(), Stranger)
        assert probe.sent == ["\r"]


async def test_a_hinted_board_that_stays_silent_is_called_silent(board: MakeBoard) -> None:
    async with probing(board(), replace(QUICK, wake_s=0.1)) as probe:
        found = await probe(hinted=("mute", "plain"))
    assert isinstance(found, Stranger)
    assert found.kind == "silence"


async def test_unplugged_while_it_is_listened_to(board: MakeBoard) -> None:
    gone = board()
    async with await Link.open(gone.device, timings=replace(QUICK, listen_s=20.0)) as link:
        recorder = Recorder(clock=time.perf_counter, started=0.0)
        session = Session(link, recorder, replace(QUICK, listen_s=20.0), Budget())
        probing_now = asyncio.create_task(identify(session, MANNERS))
        await asyncio.sleep(0)
        gone.unplug()
        with pytest.raises((LinkLostError, DeadlineError)):
            async with asyncio.timeout(2):
                await probing_now

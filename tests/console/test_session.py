"""One command, one reply, over a real pseudo-terminal, with everything that can be wrong with the line."""

from __future__ import annotations

import asyncio
import time
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import replace

import pytest

from console.conftest import MakeBoard, eventually
from console.toys import MUTE, PAGED, PLAIN, QUICK, ROWS, Board, Faults, Pattern, Toy, mute, paged, plain
from propsoff.console.budget import Budget
from propsoff.console.capture import Recorder
from propsoff.console.link import Link
from propsoff.console.manner import Exchange, Manner, Query
from propsoff.console.session import Session
from propsoff.console.timings import Timings
from propsoff.console.transcript import exchanges
from propsoff.exceptions import BudgetError, DeadlineError, LinkLostError, OverflowedError

LIST = PLAIN.reads[0]


@asynccontextmanager
async def talking(board: Board, manner: Manner, timings: Timings = QUICK) -> AsyncIterator[Session]:
    """A session with a board that shows its prompt; at the end, replay must agree with what was judged live."""
    recorder = Recorder(clock=time.perf_counter, started=1_700_000_000.0, tool="tests")
    async with await Link.open(board.device, timings=timings) as link:
        session = Session(link, recorder, timings)
        await session.send(manner.wake)
        assert await session.await_tail(lambda: session.shows_prompt(manner), asyncio.get_running_loop().time() + 5)
        yield session


async def asked(session: Session, query: Query, manner: Manner) -> Exchange:
    """Ask, and hold the live verdict against the replayed one."""
    exchange = await session.ask(query, manner)
    assert exchanges(session.recorder.capture(), manner)[-1] == exchange
    return exchange


def body(exchange: Exchange) -> tuple[str, ...]:
    return tuple(line.text for line in exchange.lines)


@pytest.mark.parametrize(
    "faults",
    [
        Faults(),
        Faults(piece=1),
        Faults(piece=7),
        Faults(baud=115_200),
        Faults(baud=57_600, piece=1),
    ],
    ids=["plain", "byte-at-a-time", "seven-at-a-time", "slow", "slow-byte-at-a-time"],
)
@pytest.mark.parametrize(("toy", "manner"), [(plain, PLAIN), (paged, PAGED), (mute, MUTE)])
async def test_the_same_reply_comes_over_every_line(
    toy: type[Toy], manner: Manner, faults: Faults, board: MakeBoard
) -> None:
    async with talking(board(toy(), faults), manner) as session:
        exchange = await asked(session, manner.reads[0], manner)
    assert (exchange.state, exchange.why) == ("complete", "")
    assert tuple(text for text in body(exchange) if text.startswith("row")) == ROWS


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize(("toy", "manner"), [(plain, PLAIN), (mute, MUTE)])
async def test_a_reply_with_a_line_missing_is_never_taken_for_a_good_one(
    seed: int, toy: type[Toy], manner: Manner, board: MakeBoard
) -> None:
    lossy = board(toy(), Faults(seed=seed))
    async with talking(lossy, manner) as session:
        lossy.faults = Faults(loss=0.02, seed=seed)
        query = replace(manner.reads[0], deadline_s=0.5)
        exchange = await asked(session, query, replace(manner, reads=(query,)))
    # A byte lost within a line is for the dialect to find; a line that is lost is found here.
    lines = [text for text in body(exchange) if not text.startswith(("@", "#"))]
    assert exchange.state != "complete" or len(lines) == len(ROWS), f"seed {seed}"


async def test_a_reply_broken_in_the_middle_is_cut_at_its_deadline(board: MakeBoard) -> None:
    toy = plain(shows_prompt=True)
    async with talking(board(toy), PLAIN) as session:
        toy.shows_prompt = False
        began = time.monotonic()
        exchange = await asked(session, Query("what", deadline_s=0.3), PLAIN)
        took_s = time.monotonic() - began
    assert (exchange.state, exchange.signs) == ("cut", ("echo",))
    assert body(exchange) == ("Toy one, serial A1",)
    assert 0.3 <= took_s < 1.0


async def test_a_board_that_falls_silent_in_the_middle_of_its_answer_is_not_waited_for_to_the_end(
    board: MakeBoard,
) -> None:
    class Breaks(Toy):
        def take(self, data: bytes) -> bytes:
            return super().take(data)[:200]

    async with talking(board(Breaks()), PLAIN) as session:
        query = replace(LIST, deadline_s=20.0)
        async with asyncio.timeout(5):
            exchange = await asked(session, query, replace(PLAIN, reads=(query,)))
    assert exchange.state == "cut"
    assert body(exchange)[:2] == ROWS[:2]


async def test_a_board_that_thinks_before_it_answers_is_waited_for(board: MakeBoard) -> None:
    toy = mute(rows=())
    thinking = board(toy)
    async with talking(thinking, MUTE, replace(QUICK, stall_s=0.05)) as session:
        toy.extra = {"list": ()}
        toy.shows_prompt = False
        asking = asyncio.create_task(asked(session, MUTE.reads[0], MUTE))
        await eventually(lambda: "list" in toy.commands)
        assert not (await asyncio.wait({asking}, timeout=0.4))[0]
        thinking.say(b"@list 1\na\n@end list\n:: ")
        assert (await asking).state == "complete"


async def test_an_end_mark_without_a_prompt_ends_the_reply_after_a_silence(board: MakeBoard) -> None:
    toy = plain()
    async with talking(board(toy), PLAIN) as session:
        toy.shows_prompt = False
        began = time.monotonic()
        exchange = await asked(session, LIST, PLAIN)
        took_s = time.monotonic() - began
    assert (exchange.state, exchange.why) == ("unsure", "no prompt after it")
    assert QUICK.stall_s <= took_s < QUICK.stall_s * 2.5


async def test_a_value_line_that_is_the_prompt_does_not_end_the_read(board: MakeBoard) -> None:
    """Byte by byte, with a pause behind each, so that the line under way really is the prompt for a while."""
    rows = ("row00 = 0", "toy> ", "row01 = 7")
    toy = plain(extra={"list": (*rows, "# end, 2 rows")})
    async with talking(board(toy, Faults(piece=1, baud=2400)), PLAIN) as session:
        exchange = await asked(session, LIST, PLAIN)
    assert exchange.state == "complete"
    assert body(exchange) == (*rows, "# end, 2 rows")


async def test_nor_does_it_when_the_board_pauses_behind_it(board: MakeBoard) -> None:
    toy = plain(extra={"list": ("row00 = 0",)})
    pausing = board(toy)
    async with talking(pausing, PLAIN, replace(QUICK, stall_s=1.0)) as session:
        asking = asyncio.create_task(asked(session, LIST, PLAIN))
        await eventually(lambda: session.transcript.line > 2 and session.shows_prompt(PLAIN))
        assert not (await asyncio.wait({asking}, timeout=QUICK.quiet_s * 4))[0]
        pausing.say(b"\r\nrow01 = 7\r\n# end, 2 rows\r\ntoy> ")
        exchange = await asking
    assert (exchange.state, body(exchange)) == ("complete", ("row00 = 0", "toy> ", "row01 = 7", "# end, 2 rows"))


async def test_a_prompt_inside_a_value_does_not_end_the_read(board: MakeBoard) -> None:
    rows = ("row00 = toy> ", "toy> row01 = 7")
    toy = plain(extra={"show": rows})
    async with talking(board(toy, Faults(piece=1)), PLAIN) as session:
        exchange = await asked(session, Query("show"), replace(PLAIN, reads=(Query("show"),)))
    assert body(exchange) == rows


async def test_an_endless_reply_is_cut_at_its_cap(board: MakeBoard) -> None:
    endless = board(plain())
    async with talking(endless, PLAIN) as session:
        endless.faults = Faults(endless=b"row00 = 1\r\n" * 50, baud=1_000_000)
        query = Query("list", 30.0, cap_bytes=20_000)
        async with asyncio.timeout(3):
            exchange = await asked(session, query, replace(PLAIN, reads=(query,)))
        assert exchange.state == "cut"
        assert "20000 bytes" in exchange.why
        with pytest.raises(DeadlineError, match="does not stop sending"):
            await session.ask(LIST, PLAIN)


async def test_an_endless_reply_without_a_cap_is_cut_at_its_deadline(board: MakeBoard) -> None:
    endless = board(plain())
    async with talking(endless, PLAIN) as session:
        endless.faults = Faults(endless=b"row00 = 1\r\n", baud=115_200)
        query = Query("list", deadline_s=0.3, cap_bytes=1 << 30)
        exchange = await asked(session, query, replace(PLAIN, reads=(query,)))
    assert exchange.state == "cut"


async def test_more_than_a_capture_holds_ends_the_conversation(board: MakeBoard) -> None:
    endless = board(plain(), Faults())
    recorder = Recorder(clock=time.perf_counter, started=0.0, cap_bytes=5000)
    async with await Link.open(endless.device, timings=QUICK) as link:
        session = Session(link, recorder, QUICK)
        endless.faults = Faults(endless=b"row00 = 1\r\n" * 50)
        with pytest.raises(OverflowedError, match="more than a capture holds"):
            await session.ask(LIST, PLAIN)
    kept = sum(len(event.text) for event in recorder.capture().events if event.code == "o")
    assert kept == 5000


async def test_losing_the_port_ends_the_wait_at_once(board: MakeBoard) -> None:
    toy = plain(shows_prompt=True)
    gone = board(toy)
    async with talking(gone, PLAIN) as session:
        toy.shows_prompt = False
        asking = asyncio.create_task(session.ask(Query("what", deadline_s=20.0), PLAIN))
        await eventually(lambda: gone.sent > 30)
        gone.unplug()
        with pytest.raises(LinkLostError, match="unplugged"):
            async with asyncio.timeout(2):
                await asking
    (cut,) = exchanges(session.recorder.capture(), PLAIN)
    assert cut.state == "cut"


async def test_a_cancellation_reaches_the_reader_and_the_link_lives_on(board: MakeBoard) -> None:
    toy = plain()
    async with talking(board(toy), PLAIN) as session:
        toy.shows_prompt = False
        asking = asyncio.create_task(session.ask(Query("what", deadline_s=20.0), PLAIN))
        await eventually(lambda: bool(toy.commands))
        asking.cancel()
        with pytest.raises(asyncio.CancelledError):
            await asking
        toy.shows_prompt = True
        assert (await asked(session, LIST, PLAIN)).state == "complete"


async def test_after_a_cut_reply_the_prompt_is_fetched_back_before_the_next_command(board: MakeBoard) -> None:
    toy = plain()
    async with talking(board(toy), PLAIN) as session:
        toy.shows_prompt = False
        assert (await asked(session, Query("what", deadline_s=0.2), PLAIN)).state == "cut"
        toy.shows_prompt = True
        assert (await asked(session, LIST, PLAIN)).state == "complete"
    assert toy.commands == ["what", "list"]


async def test_after_a_reply_that_hangs_in_the_pager_the_pager_is_left_first(board: MakeBoard) -> None:
    toy = paged(rows=tuple(f"row{at % 100:02} = {at}" for at in range(24 * 40)), page_key=b" ")
    blind = replace(PAGED, pager=None)
    async with talking(board(toy), PAGED) as session:
        assert (await session.ask(replace(PAGED.reads[0], deadline_s=0.2), blind)).state == "cut"
        assert (await asked(session, PAGED.reads[0], PAGED)).state == "complete"
    assert toy.commands == ["list", "list"]


async def test_a_prompt_that_never_comes_back_ends_the_conversation(board: MakeBoard) -> None:
    toy = plain()
    async with talking(board(toy), PLAIN, replace(QUICK, wake_s=0.3)) as session:
        toy.shows_prompt = False
        await session.ask(Query("what", deadline_s=0.1), PLAIN)
        with pytest.raises(DeadlineError, match="no longer shows its prompt"):
            await session.ask(LIST, PLAIN)


async def test_late_output_of_the_last_reply_is_not_taken_for_the_next(board: MakeBoard) -> None:
    toy = plain()
    late = board(toy)
    async with talking(late, PLAIN) as session:
        toy.shows_prompt = False
        assert (await asked(session, Query("what", deadline_s=0.1), PLAIN)).state == "cut"
        toy.shows_prompt = True
        late.say(b"row99 = late\r\ntoy> ")
        exchange = await asked(session, LIST, PLAIN)
    assert exchange.state == "complete"
    assert body(exchange)[0] == ROWS[0]


@pytest.mark.parametrize("echo", [True, False])
async def test_an_echo_where_none_is_expected_and_none_where_one_is(echo: bool, board: MakeBoard) -> None:
    manner = replace(PLAIN, echo=not echo)
    async with talking(board(plain(echo=echo)), manner) as session:
        exchange = await asked(session, LIST, manner)
    assert tuple(text for text in body(exchange) if text.startswith("row")) == ROWS
    if not echo:
        assert (exchange.state, exchange.why) == ("unsure", "the echo of 'list' did not come back")


async def test_a_refusal_does_not_wait_for_the_end_mark(board: MakeBoard) -> None:
    toy = plain(extra={"list": ("? list",)})
    async with talking(board(toy), PLAIN, replace(QUICK, stall_s=5.0)) as session:
        async with asyncio.timeout(2):
            exchange = await asked(session, LIST, PLAIN)
    assert exchange.state == "unsure"
    assert "refused" in exchange.signs


async def test_a_name_of_four_kibibytes_comes_whole(board: MakeBoard) -> None:
    name = "Zaunkönig 藍 " * 300
    toy = plain(extra={"show": (f"name = {name}",)})
    assert len(name.encode()) > 4096
    for faults in (Faults(), Faults(piece=3)):
        async with talking(board(toy, faults), PLAIN) as session:
            exchange = await asked(session, Query("show"), replace(PLAIN, reads=(Query("show"),)))
        assert body(exchange) == (f"name = {name}",)


async def test_bytes_that_are_no_utf_8_come_through(board: MakeBoard) -> None:
    class Odd(Toy):
        def take(self, data: bytes) -> bytes:
            return super().take(data).replace(b"row03", b"row03\xff\xc3")

    async with talking(board(Odd(), Faults(piece=1)), PLAIN) as session:
        query = replace(LIST, counted=Pattern("row.*"))
        exchange = await asked(session, query, replace(PLAIN, reads=(query,)))
    assert exchange.state == "complete"
    assert body(exchange)[3] == "row03\uefff\uefc3 = 21"


async def test_a_reply_that_ends_in_half_a_character_is_judged_as_it_is_replayed(board: MakeBoard) -> None:
    class Odd(Toy):
        def take(self, data: bytes) -> bytes:
            answer = super().take(data)
            return answer + b"\xc3" if b"A1" in answer else answer

    async with talking(board(Odd()), PLAIN) as session:
        exchange = await asked(session, Query("what", deadline_s=0.3), PLAIN)
    assert "prompt" not in exchange.signs


async def test_nothing_is_sent_that_the_budget_does_not_allow(board: MakeBoard) -> None:
    toy = plain()
    silent = board(toy)
    recorder = Recorder(clock=time.perf_counter, started=0.0)
    async with await Link.open(silent.device, timings=QUICK) as link:
        session = Session(link, recorder, QUICK, Budget(max_writes=1, max_bytes=8))
        with pytest.raises(BudgetError):
            await session.ask(Query("a command too long"), PLAIN)
        await session.ask(PLAIN.identify, PLAIN)
        with pytest.raises(BudgetError):
            await session.send(b"\r")
    assert toy.commands == ["what"]
    assert silent.received == b"what\r"
    assert [event.text for event in recorder.capture().events if event.code == "i"] == ["what\r"]


async def test_a_short_deadline_of_the_caller_stands_in_for_the_querys(board: MakeBoard) -> None:
    toy = plain()
    async with talking(board(toy), PLAIN) as session:
        toy.shows_prompt = False
        began = time.monotonic()
        await session.ask(Query("what", deadline_s=20.0), PLAIN, deadline_s=0.2)
    assert time.monotonic() - began < 1.0

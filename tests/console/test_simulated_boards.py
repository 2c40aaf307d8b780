"""Conversations with the simulator's boards, in their own dialects: consoles that the console room was not written for.

The simulator shares no code with the reader. Its faults are listed in fixtures/propsoff_sim/CONSOLES.md and in
`python -m propsoff_sim`.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

import pytest

from propsoff.console.capture import Recorder, pasted
from propsoff.console.conversation import Conversation, converse
from propsoff.console.link import Link
from propsoff.console.manner import Exchange, Manner
from propsoff.console.timings import Timings
from propsoff.console.transcript import exchanges
from propsoff.dialects.catalogue import catalogue

PATIENT = Timings(listen_s=0.0, stall_s=0.4)
BOARDS = {"ossel-hd53": "ossel", "brindle-hd53": "brindle", "corvane-hd53": "corvane"}
PlugIn = Callable[..., Any]


def manners() -> list[Manner]:
    return [dialect.manner for dialect in catalogue().dialects]


async def talk(path: str, hinted: Sequence[str], timings: Timings = PATIENT) -> Conversation:
    recorder = Recorder(clock=time.perf_counter, started=1_700_000_000.0)
    async with await Link.open(path, timings=timings) as link:
        return await converse(link, manners(), recorder, hinted=hinted, timings=timings)


def manner_of(dialect: str) -> Manner:
    return next(manner for manner in manners() if manner.dialect == dialect)


def best(done: Conversation, command: str) -> Exchange:
    return max((one for one in done.exchanges if one.command == command), key=lambda one: one.state == "complete")


@pytest.mark.parametrize("hint", [True, False], ids=["hinted", "unhinted"])
@pytest.mark.parametrize(
    "fault", [None, "bytewise", "lumps:200", "split-prompt", "nul", "chatter:boot", "chatter:early", "chatter:log"]
)
@pytest.mark.parametrize("board", BOARDS)
async def test_every_board_is_read_whole_over_every_line(
    board: str, fault: str | None, hint: bool, sim_board: PlugIn
) -> None:
    plugged = sim_board(board, faults=(fault,) if fault else ())
    done = await talk(str(plugged.path), (BOARDS[board],) if hint else ())
    assert (done.ending, done.dialect) == ("done", BOARDS[board])
    manner = manner_of(BOARDS[board])
    for query in manner.reads:
        assert best(done, query.command).state == "complete", best(done, query.command).why
    assert exchanges(done.capture, manner) == done.exchanges
    assert done.writes_before_identification <= 2
    assert done.bytes_before_identification <= 32


@pytest.mark.parametrize("board", BOARDS)
async def test_a_live_reading_and_a_persons_paste_give_the_same_lines(
    board: str, sim_board: PlugIn, sim_text: Callable[..., str]
) -> None:
    manner = manner_of(BOARDS[board])
    live = await talk(str(sim_board(board).path), ())
    text = sim_text(board)
    for exchange in exchanges(pasted(text.encode()), manner):
        assert exchange.state in ("complete", "unsure"), exchange.why
        one = best(live, exchange.command)
        assert [line.text.rstrip() for line in one.lines] == [line.text.rstrip() for line in exchange.lines]


@pytest.mark.parametrize("board", ["ossel-hd53", "brindle-hd53"])
async def test_a_board_that_loses_what_is_typed_fast_is_read_all_the_same(board: str, sim_board: PlugIn) -> None:
    done = await talk(str(sim_board(board, faults=("drop-fast:8",)).path), (BOARDS[board],))
    assert done.ending == "done"
    assert {best(done, query.command).state for query in manner_of(BOARDS[board]).reads} == {"complete"}


@pytest.mark.parametrize("board", BOARDS)
async def test_a_board_that_sleeps_until_its_first_line_end_is_read(board: str, sim_board: PlugIn) -> None:
    done = await talk(str(sim_board(board, faults=("sleepy",)).path), (BOARDS[board],), replace(PATIENT, wake_s=0.2))
    assert (done.ending, done.dialect) == ("done", BOARDS[board])
    assert done.writes_before_identification == 2


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("board", BOARDS)
async def test_a_line_that_loses_bytes_gives_no_whole_reply_with_a_line_missing(
    board: str, seed: int, sim_board: PlugIn
) -> None:
    clean = await talk(str(sim_board(board).path), ())
    lossy = sim_board(board, link_name="lossy", faults=("lose:0.002",), seed=seed)
    done = await talk(str(lossy.path), (BOARDS[board],), replace(PATIENT, talk_s=15.0, wake_s=0.5))
    for exchange in done.exchanges:
        if exchange.state == "complete" and exchange.command != manner_of(BOARDS[board]).identify.command:
            assert len(exchange.lines) == len(best(clean, exchange.command).lines), f"seed {seed}"


@pytest.mark.parametrize(("fault", "words"), [("unplug:300", "unplugged"), ("reboot:300", "unplugged")])
@pytest.mark.parametrize("board", BOARDS)
async def test_a_board_that_goes_away_ends_the_conversation_with_the_reason(
    board: str, fault: str, words: str, sim_board: PlugIn
) -> None:
    done = await talk(str(sim_board(board, faults=(fault,)).path), (BOARDS[board],))
    assert words in done.ending
    assert done.capture.ending == done.ending


@pytest.mark.parametrize("board", BOARDS)
async def test_nothing_that_changes_stores_or_restarts_is_ever_sent(board: str, sim_board: PlugIn) -> None:
    plugged = sim_board(board)
    done = await talk(str(plugged.path), ())
    assert done.ending == "done"
    assert plugged.written == []

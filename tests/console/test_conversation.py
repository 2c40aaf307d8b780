"""Whole conversations with toy consoles on real pseudo-terminals."""

from __future__ import annotations

import pytest

from console.conftest import MakeBoard
from console.toys import MANNERS, QUICK, Toy, mute, paged, plain
from propsoff.console.capture import Recorder
from propsoff.console.conversation import converse
from propsoff.console.link import Link
from propsoff.console.transcript import exchanges


@pytest.mark.parametrize(("toy", "dialect"), [(plain(), "plain"), (paged(), "paged"), (mute(), "mute")])
async def test_each_console_is_recognised_and_read(
    toy: Toy, dialect: str, board: MakeBoard, recorder: Recorder
) -> None:
    async with await Link.open(board(toy).device, timings=QUICK) as link:
        conversation = await converse(link, MANNERS, recorder, timings=QUICK)
    assert conversation.ending == "done"
    assert conversation.dialect == dialect
    manner = next(manner for manner in MANNERS if manner.dialect == dialect)
    assert exchanges(conversation.capture, manner) == conversation.exchanges

"""Commands that are known in a menu only: what is typed before and after them, and prompts that stand in a row."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import pytest

from console.conftest import MakeBoard
from console.toys import PLAIN, QUICK, Board, Pattern, Toy
from propsoff.console.capture import Recorder
from propsoff.console.conversation import Conversation, converse
from propsoff.console.link import Link
from propsoff.console.manner import Line, Manner, Query
from propsoff.console.reply import Heard, judge, said_once, shows_prompt

LIST = replace(PLAIN.reads[0], before=("m", "2"), after=("up", "up"))
MENUS = replace(PLAIN, reads=(LIST, Query("extra", 5.0, required=False)))


@dataclass
class Menus(Toy):
    """`plain` with menus: `list` is known in menu `2` of menu `m`, all else at the top."""

    at: list[str] = field(default_factory=list)

    def _lines(self, command: str) -> tuple[str, ...]:
        if command in ("m", "2"):
            self.at.append(command)
            return (f"menu {command}",)
        if command == "up" and self.at:
            self.at.pop()
            return ()
        here = ["m", "2"] if command == "list" else []
        return super()._lines(command) if self.at == here else ("? not here",)


async def talk(board: Board, manner: Manner, recorder: Recorder) -> Conversation:
    async with await Link.open(board.device, timings=QUICK) as link:
        return await converse(link, [manner], recorder, timings=QUICK)


async def test_a_menu_is_opened_before_its_command_and_left_behind_it(board: MakeBoard, recorder: Recorder) -> None:
    menus = board(Menus(extra={"extra": ("more",)}))
    done = await talk(menus, MENUS, recorder)
    assert menus.received == b"\rwhat\rm\r2\rlist\rup\rup\rextra\r"
    assert (done.ending, [one.command for one in done.exchanges]) == ("done", ["what", "list", "extra"])
    assert [one.state for one in done.exchanges] == ["complete"] * 3
    assert [line.text for line in done.exchanges[2].lines] == ["more"]


async def test_what_the_menus_answer_is_no_part_of_the_reply(board: MakeBoard, recorder: Recorder) -> None:
    done = await talk(board(Menus()), MENUS, recorder)
    assert not any("menu" in line.text for one in done.exchanges for line in one.lines)


async def test_without_the_way_in_the_command_is_refused(board: MakeBoard, recorder: Recorder) -> None:
    manner = replace(MENUS, reads=(replace(LIST, before=(), after=()),))
    done = await talk(board(Menus()), manner, recorder)
    assert [one.state for one in done.exchanges] == ["complete", "unsure"]
    assert "refused" in done.exchanges[1].signs


async def test_the_menu_of_the_identity_command_is_left_too(board: MakeBoard, recorder: Recorder) -> None:
    menus = board(Menus())
    await talk(menus, replace(MENUS, identify=replace(PLAIN.identify, after=("up",))), recorder)
    assert menus.received.startswith(b"\rwhat\rup\rm\r2\rlist\r")


async def test_nothing_is_typed_after_a_reply_that_is_cut(board: MakeBoard, recorder: Recorder) -> None:
    silent = board(Menus(extra={"list": ()}))
    done = await talk(silent, replace(MENUS, reads=(LIST,)), recorder)
    assert {one.state for one in done.exchanges if one.command == "list"} == {"cut"}
    assert b"up" not in silent.received
    assert b"m\r2\rlist\r" in silent.received


@pytest.mark.parametrize(
    ("text", "once"),
    [
        ("> > > ", "> "),
        ("> > >", "> > >"),  # the last is not whole
        ("toy> toy> ", "toy> "),
        (">>>", ">"),
        ("toy> ", "toy> "),
        ("toy> 1toy> 2", "toy> 1toy> 2"),
        ("abab ", "abab "),
        ("", ""),
        ("    ", "    "),  # blanks are no prompt
        ("> " * 200, "> "),
        ("> " * 201, "> " * 201),  # so many are no prompts
    ],
)
def test_a_text_that_repeats_itself_is_said_once(text: str, once: str) -> None:
    assert said_once(text) == once


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("toy> toy> toy> ", True),
        ("toy> ", True),
        ("toy> list", False),
        ("toy> listtoy> list", False),
        ("toy> toy> x", False),
        ("", False),
    ],
)
def test_prompts_in_a_row_are_a_prompt_and_nothing_else_is(text: str, shown: bool) -> None:
    assert shows_prompt(PLAIN, text) is shown


def test_a_prompt_that_repeats_in_itself_is_taken_as_it_is() -> None:
    manner = replace(PLAIN, prompt=Pattern(">>"))
    assert [shows_prompt(manner, text) for text in (">>", ">", ">>>>")] == [True, False, False]


@pytest.mark.parametrize(("tail", "state"), [("toy> toy> toy> ", "complete"), ("toy> toy", "cut")])
def test_a_reply_ends_with_prompts_in_a_row(tail: str, state: str) -> None:
    lines = (Line(1, "toy> extra"), Line(2, "one"), Line(3, "two"))
    exchange = judge(PLAIN, Query("extra", 5.0), Heard(lines, tail, "toy> "))
    assert (exchange.state, [line.text for line in exchange.lines]) == (state, ["one", "two"])

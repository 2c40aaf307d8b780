"""What a running bench can be asked from outside: real boards on pseudo-terminals, in sockets with physical paths."""

from __future__ import annotations

import asyncio
import threading
from pathlib import Path
from typing import Any

import pytest

from propsoff import load_notes
from propsoff.bench.asks import AnswerError
from propsoff.console.capture import load_capture
from propsoff.exceptions import (
    BeingReadError,
    ConfigError,
    NotAllowedError,
    NothingThereError,
    RequestError,
    SettingsError,
    StaleError,
)
from propsoff.inspection.report import Report
from propsoff.library import Toolbox
from propsoff_sim.bench import SimBench
from tests_support.asking_sheet import asking_sheet
from tests_support.served import Asked, Sockets, asked

STRANGER = {"vid": 0x10C4, "pid": 0xEA60, "product": None}
"""A bridge chip without a product string: no dialect's hint names it."""


async def test_a_place_that_is_not_there_or_empty_is_told_apart(tmp_path: Path) -> None:
    async with asked(tmp_path, served=False, bench={"places": {"bay-1": "left"}}) as bench:
        with pytest.raises(NothingThereError, match="no place 'bay-9'; there are: bay-1"):
            await bench.control.inspect("bay-9")
        with pytest.raises(NothingThereError, match="left: nothing is plugged in there"):
            await bench.control.inspect("bay-1")


async def test_a_board_that_is_being_read_is_not_read_twice(tmp_path: Path) -> None:
    async with SimBench(tmp_path / "sockets") as sockets, asked(tmp_path, served=False) as bench:
        sockets.plug("ossel-hd53", "bay", pace=9600)
        await bench.until_place("bay", lambda now: now.state == "reading")
        with pytest.raises(BeingReadError, match="its report comes by itself"):
            await bench.control.inspect("bay")
        sockets.unplug("bay")


async def test_an_unknown_port_stays_shut_until_it_is_allowed_and_is_then_read_at_once(tmp_path: Path) -> None:
    source = Sockets()
    async with (
        SimBench(tmp_path / "side") as side,
        asked(tmp_path, served=False, extra=[("sockets", source)]) as bench,
    ):
        port = source.plug(side.plug("ossel-hd53"), "1-1.2:1.0", **STRANGER)
        shut = await bench.until_place("1-1.2", lambda now: now.state == "shut")
        assert (shut.plugged[0].device, shut.plugged[0].scopes) == (port.device, ("socket", "board"))
        with pytest.raises(NotAllowedError, match="nobody has allowed this port"):
            await bench.control.inspect("1-1.2")
        with pytest.raises(SettingsError, match="no product string"):
            await bench.control.consent("1-1.2", "kind", "allow")
        consent = await bench.control.consent("1-1.2", "socket", "allow", note="the left arm")
        assert (await bench.control.consents()) == (consent,)
        now = await bench.until_place("1-1.2", lambda now: now.state == "report")
        assert (now.plugged[0].shut, (await bench.report()).verdict.value) == ("", "pass")
        assert await bench.control.revoke(consent.id) == consent
        with pytest.raises(NothingThereError, match="no consent"):
            await bench.control.revoke(consent.id)
        with pytest.raises(NotAllowedError, match="nobody has allowed"):
            await bench.control.inspect("1-1.2")
        now = await bench.until_place("1-1.2", lambda now: bool(now.plugged[0].shut))
        assert (now.state, now.plugged[0].scopes) == ("report", ("socket", "board"))


async def test_naming_a_port_is_consent_for_this_once(tmp_path: Path) -> None:
    source = Sockets()
    async with (
        SimBench(tmp_path / "side") as side,
        asked(tmp_path, served=False, extra=[("sockets", source)]) as bench,
    ):
        source.plug(side.plug("ossel-hd53"), "1-1.2:1.0", **STRANGER)
        await bench.until_place("1-1.2", lambda now: now.state == "shut")
        await bench.control.inspect("1-1.2", named=True)
        assert (await bench.report()).verdict.value == "pass"
        assert await bench.control.consents() == ()
        with pytest.raises(NotAllowedError):
            await bench.control.inspect("1-1.2")


async def test_a_denied_port_says_so_on_its_tile_and_not_even_naming_it_opens_it(tmp_path: Path) -> None:
    source = Sockets()
    async with (
        SimBench(tmp_path / "side") as side,
        asked(tmp_path, served=False, extra=[("sockets", source)]) as bench,
    ):
        board = side.plug("ossel-hd53")
        source.plug(board, "1-1.2:1.0", **STRANGER)
        await bench.until_place("1-1.2", lambda now: now.state == "shut")
        denied = await bench.control.consent("1-1.2", "board", "deny")
        now = await bench.until_place("1-1.2", lambda now: "denied by the operator" in now.note)
        assert (now.state, now.plugged[0].scopes) == ("shut", ())
        with pytest.raises(NotAllowedError, match="denied by the operator"):
            await bench.control.inspect("1-1.2", named=True)
        await bench.control.revoke(denied.id)
        now = await bench.until_place("1-1.2", lambda now: "nobody has allowed" in now.note)
        assert now.plugged[0].scopes == ("socket", "board")
        assert board.received == b""


async def test_of_two_ports_in_one_socket_the_one_to_inspect_is_named(tmp_path: Path) -> None:
    source = Sockets()
    async with (
        SimBench(tmp_path / "side") as side,
        asked(tmp_path, served=False, extra=[("sockets", source)]) as bench,
    ):
        board, beside = side.plug("ossel-hd53"), side.plug("silence")
        first = source.plug(board, "1-1.2:1.0")
        second = source.plug(beside, "1-1.2:1.2", **STRANGER)
        now = await bench.until_place("1-1.2", lambda now: now.state == "report" and len(now.plugged) == 2)
        assert [each.device for each in now.plugged] == [first.device, second.device]
        report = await bench.report()
        with pytest.raises(RequestError, match=f"several ports are there; name one of {first.device}, {second.device}"):
            await bench.control.inspect("1-1.2")
        with pytest.raises(NothingThereError, match="'/dev/other' is not plugged in there"):
            await bench.control.inspect("1-1.2", device="/dev/other")
        await bench.control.inspect("1-1.2", device=second.device, named=True)
        silent = await bench.report(2)
        now = await bench.until_place("1-1.2", lambda now: now.state == "report" and len(now.past) == 2)
        assert silent.verdict.value == "incomplete"
        assert [past.report for past in now.past] == [report.id, silent.id]
        source.unplug(first)
        now = await bench.until_place("1-1.2", lambda now: len(now.plugged) == 1)
        assert (now.state, now.report) == ("shut", None)
        source.unplug(second)
        await bench.until_place("1-1.2", lambda now: now.state == "empty")


async def put_questions(bench: Asked, place: str, after: str = "") -> str:
    """The id of the questions that wait about a place, as soon as there are others than `after`."""
    now = await bench.until_place(place, lambda now: now.ask is not None and now.ask != after)
    assert now.ask is not None
    return now.ask


async def test_the_same_board_is_asked_with_its_answers_of_before_also_by_the_bench_of_the_next_day(
    tmp_path: Path,
) -> None:
    sheet = asking_sheet(tmp_path)
    async with SimBench(tmp_path / "sockets") as sockets:
        sockets.plug("ossel-hd53", "bay")
        async with asked(tmp_path, served=False, checks={"sheets": [sheet]}) as bench:
            ask = await put_questions(bench, "bay")
            assert bench.control.asks.get(ask).before is None
            await bench.control.answer(ask, {"box": "a spare"})
        async with asked(tmp_path, served=False, checks={"sheets": [sheet]}) as bench:
            before = bench.control.asks.get(await put_questions(bench, "bay")).before
            assert before is not None
            assert before.answers["box"].value == "a spare"


async def test_answers_make_the_report_anew_and_are_kept_beside_the_capture(tmp_path: Path) -> None:
    sheet = asking_sheet(tmp_path)
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        asked(tmp_path, served=False, checks={"sheets": [sheet]}) as bench,
    ):
        sockets.plug("ossel-hd53", "bay")
        ask = await put_questions(bench, "bay")
        old = await bench.report()
        with pytest.raises(AnswerError, match="propellers-off: y or n, please"):
            await bench.control.answer(ask, {"propellers-off": "soon"})
        assert bench.place("bay").ask == ask
        new = await bench.control.answer(ask, {"propellers-off": True, "battery-connector": "1", "box": "a spare"})
        now = await bench.until_place("bay", lambda now: now.report == new.id and now.ask is None)
        assert [past.report for past in now.past] == [new.id]
        files = await bench.files(2)
        assert old.capture.file is not None
        capture = tmp_path / "reports" / old.capture.file
    assert {each["id"] for each in files} == {old.id, new.id}
    answered = {fact.name: fact.value for fact in new.facts if fact.origin == "hand"}
    assert answered == {"hand.propellers-off": True, "hand.battery-connector": "small", "hand.box": "a spare"}
    notes = load_notes(capture.with_suffix(".notes.toml"), ("propellers-off", "battery-connector", "box"))
    assert notes.answers["box"].value == "a spare"
    saved = bench.tools.inspect(load_capture(capture), file=capture.name, hand=notes)
    assert saved.findings == new.findings
    assert new.capture.sha256 == old.capture.sha256


async def test_of_two_people_who_answer_the_second_is_told_that_it_is_done(tmp_path: Path) -> None:
    sheet = asking_sheet(tmp_path)
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        asked(tmp_path, served=False, checks={"sheets": [sheet]}) as bench,
    ):
        sockets.plug("ossel-hd53", "bay")
        ask = await put_questions(bench, "bay")
        answers = await asyncio.gather(
            bench.control.answer(ask, {"propellers-off": True}),
            bench.control.answer(ask, {"propellers-off": False}),
            return_exceptions=True,
        )
        assert sorted(type(each).__name__ for each in answers) == ["Report", "StaleError"]
        await bench.files(2)


async def test_questions_about_a_craft_that_was_changed_for_another_are_stale(tmp_path: Path) -> None:
    sheet = asking_sheet(tmp_path)
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        asked(tmp_path, served=False, checks={"sheets": [sheet]}) as bench,
    ):
        sockets.plug("ossel-hd53", "bay")
        first = await put_questions(bench, "bay")
        sockets.unplug("bay")
        sockets.plug("brindle-hd53", "bay")
        second = await put_questions(bench, "bay", after=first)
        with pytest.raises(StaleError):
            await bench.control.answer(first, {"propellers-off": True})
        bench.control.put_off(second)
        await bench.until_place("bay", lambda now: now.ask is None)
        with pytest.raises(StaleError):
            bench.control.put_off(second)
        assert len(bench.reports) == 2


async def test_answers_that_cannot_be_written_are_in_the_report_all_the_same(tmp_path: Path) -> None:
    sheet = asking_sheet(tmp_path)
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        asked(tmp_path, served=False, checks={"sheets": [sheet]}) as bench,
    ):
        sockets.plug("ossel-hd53", "bay")
        ask = await put_questions(bench, "bay")
        old = await bench.report()
        await bench.files(1)
        assert old.capture.file is not None
        (tmp_path / "reports" / Path(old.capture.file).with_suffix(".notes.toml")).mkdir()
        new = await bench.control.answer(ask, {"propellers-off": True})
        assert any("the answers could not be written" in text for text in bench.troubles)
        assert {fact.name for fact in new.facts if fact.origin == "hand"} == {"hand.propellers-off"}


async def test_consents_that_cannot_be_read_allow_nothing_and_the_reason_is_given(tmp_path: Path) -> None:
    async with SimBench(tmp_path / "sockets") as sockets, asked(tmp_path, served=False) as bench:
        sockets.plug("ossel-hd53", "bay")
        await bench.until_place("bay", lambda now: now.state == "report")
        (bench.state / "consents.json").write_text("{ not ours")
        with pytest.raises(ConfigError, match="consents"):
            await bench.control.consents()
        with pytest.raises(NotAllowedError, match="could not be read"):
            await bench.control.inspect("bay")


async def test_a_bench_that_stops_says_so_to_who_asks(tmp_path: Path) -> None:
    async with asked(tmp_path, served=False) as bench:
        assert not bench.control.stopping
        bench.stopping.set()
        assert bench.control.stopping


@pytest.fixture
def held_back(monkeypatch: pytest.MonkeyPatch) -> threading.Event:
    """Inspections with a person's answers last until this is set."""
    go_on, inspect = threading.Event(), Toolbox.inspect

    def held(tools: Toolbox, *values: Any, **more: Any) -> Report:
        if more.get("hand") is not None:
            assert go_on.wait(30)
        return inspect(tools, *values, **more)

    monkeypatch.setattr(Toolbox, "inspect", held)
    return go_on


async def test_answers_given_just_before_the_stop_come_to_their_report(
    tmp_path: Path, held_back: threading.Event
) -> None:
    sheet = asking_sheet(tmp_path)
    async with SimBench(tmp_path / "sockets") as sockets:
        async with asked(tmp_path, served=False, checks={"sheets": [sheet]}) as bench:
            sockets.plug("ossel-hd53", "bay")
            ask = await put_questions(bench, "bay")
            answering = asyncio.create_task(bench.control.answer(ask, {"propellers-off": True}))
            await bench.until_place("bay", lambda now: now.ask is None)
            bench.stopping.set()
            answering.cancel()  # who answered is gone: the page's server ends, the terminal is closed
            held_back.set()
        assert bench.lost == 0
        files = await bench.files(2)
    answered = [each for each in files if any(fact["origin"] == "hand" for fact in each["facts"])]
    assert [each["id"] for each in answered] == [bench.reports[1].id]


async def test_answers_that_come_to_no_report_within_the_grace_are_told_and_count(
    tmp_path: Path, held_back: threading.Event
) -> None:
    sheet = asking_sheet(tmp_path)
    async with SimBench(tmp_path / "sockets") as sockets:
        async with asked(
            tmp_path, served=False, checks={"sheets": [sheet]}, bench={"state": str(tmp_path / "state"), "grace_s": 0}
        ) as bench:
            sockets.plug("ossel-hd53", "bay")
            ask = await put_questions(bench, "bay")
            answering = asyncio.create_task(bench.control.answer(ask, {"propellers-off": True}))
            await bench.until_place("bay", lambda now: now.ask is None)
            bench.stopping.set()
        held_back.set()
        await asyncio.gather(answering, return_exceptions=True)
    assert bench.lost == 1
    assert any("the answers came to no report before the bench stopped" in text for text in bench.troubles)


async def test_a_bench_that_stops_takes_no_answers_and_begins_no_visit(tmp_path: Path) -> None:
    sheet = asking_sheet(tmp_path)
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        asked(tmp_path, served=False, checks={"sheets": [sheet]}) as bench,
    ):
        sockets.plug("ossel-hd53", "bay")
        ask = await put_questions(bench, "bay")
        await bench.files(1)
        bench.stopping.set()
        with pytest.raises(StaleError, match="the bench is stopping"):
            await bench.control.answer(ask, {"propellers-off": True})
        with pytest.raises(NotAllowedError, match="the bench is stopping"):
            await bench.control.inspect("bay")
        assert [each.id for each in bench.control.asks.waiting] == [ask]
    assert len(bench.reports) == 1

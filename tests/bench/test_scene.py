"""The bench as one picture: what a place shows, whatever is plugged in, pulled out, read twice or answered late."""

from __future__ import annotations

import asyncio
import itertools
import random
from pathlib import Path
from typing import Any

import pytest

from propsoff.bench.events import Asked, Kept, Left, NotKept, Reading, Reported, Seen, Settled, Trouble
from propsoff.bench.places import MOST_PLACES, PlaceMemory
from propsoff.bench.scene import PlaceNow, Scene
from propsoff.console.capture import Event
from propsoff.inspection.report import DialectUsed, Report
from propsoff.ports.facts import Port, UsbIdentity
from propsoff.ports.policy import Decision
from propsoff.store.model import Wanted
from propsoff_sim.bench import SimBench
from tests_support.reports import a_report
from tests_support.served import asked

OPEN = Decision(True, "hinted", "a dialect names it")
SHUT = Decision(False, "not-allowed", "nobody has allowed this port yet")


def a_port(device: str = "/dev/ttyACM0", path: str = "1-1.2:1.0", **usb: Any) -> Port:
    return Port(device, UsbIdentity(0x0483, 0x5740, usb.pop("serial_number", "A1"), path=path, **usb), "udev")


def report_of(name: str, **changes: Any) -> Report:
    report = a_report(name)[0]
    return report.model_copy(update={"id": f"20270115T080000Z-{name}-0123456789ab", **changes})


def started(report: Report, when: str) -> Report:
    return report.model_copy(update={"capture": report.capture.model_copy(update={"started": when})})


def place(scene: Scene, name: str = "1-1.2") -> PlaceNow:
    now = scene.place(name)
    assert now is not None
    return now


def read(scene: Scene, port: Port, report: Report) -> None:
    for event in (Seen(port, OPEN), Reading(port), Reported(port, report)):
        scene(event)


def test_places_of_the_settings_stand_first_in_their_order_and_under_their_names() -> None:
    scene = Scene({"1-9": "left end", "1-1": "right end"})
    scene(Seen(a_port(path="1-1.2:1.0"), OPEN))
    scene(Seen(a_port("/dev/b", path="1-1:1.0"), OPEN))
    assert [(now.place, now.name) for now in scene.places] == [
        ("1-9", "left end"),
        ("1-1", "right end"),
        ("1-1.2", "1-1.2"),
    ]


def test_a_visit_goes_from_plugged_over_reading_to_its_report_and_numbers_only_rise() -> None:
    scene, port, report = Scene(), a_port(), report_of("one")
    seen = []
    for event in (Seen(port, OPEN), Reading(port), Asked(port, "q1"), Reported(port, report), Settled("1-1.2")):
        scene(event)
        now = place(scene)
        seen.append((now.state, now.report, now.ask))
        assert now.changed == scene.changed
    assert seen == [
        ("empty", None, None),
        ("reading", None, None),
        ("reading", None, "q1"),
        ("report", report.id, "q1"),
        ("report", report.id, None),
    ]
    scene(Left(port))
    assert (place(scene).state, place(scene).plugged, scene.report("1-1.2")) == ("empty", (), report)


def test_a_port_that_stays_shut_shows_why_and_how_it_could_be_allowed() -> None:
    scene = Scene()
    scene(Seen(a_port(product="Some Board"), SHUT))
    now = place(scene)
    assert (now.state, now.note) == ("shut", SHUT.reason)
    assert now.plugged[0].scopes == ("socket", "board", "kind")
    scene(Seen(a_port(), Decision(False, "bootloader", "board is in its bootloader")))
    assert place(scene).plugged[0].scopes == ()


def test_of_two_ports_in_one_socket_the_shut_one_remains_when_the_read_one_leaves() -> None:
    scene, first, second = Scene(), a_port(), a_port("/dev/ttyACM1", "1-1.2:1.2")
    read(scene, first, report_of("one"))
    scene(Seen(second, SHUT))
    assert (place(scene).state, len(place(scene).plugged)) == ("report", 2)
    scene(Left(first))
    now = place(scene)
    assert (now.state, now.report, now.note, [each.device for each in now.plugged]) == (
        "shut",
        None,
        SHUT.reason,
        [second.device],
    )


def test_a_second_port_where_nobody_answers_does_not_hide_the_report_of_the_first() -> None:
    scene, first, second = Scene(), a_port(), a_port("/dev/ttyACM1", "1-1.2:1.2")
    good, silent = report_of("good"), report_of("silent")
    good = good.model_copy(update={"dialect": DialectUsed(id="ossel")})
    read(scene, first, good)
    scene(Seen(second, OPEN))
    # Both are read at once: the one that answered was first to end.
    scene(Reading(second))
    scene(Reported(second, silent))
    assert place(scene).report == silent.id  # read by itself, it is the newest
    scene(Reading(first))
    scene(Reading(second))
    scene(Reported(first, good))
    assert (place(scene).state, place(scene).report) == ("reading", good.id)
    scene(Reported(second, silent))
    now = place(scene)
    assert (now.state, now.report) == ("report", good.id)
    assert silent.ended in now.note
    assert silent.id in [past.report for past in now.past]


def test_a_board_pulled_while_it_is_read_leaves_an_empty_place_and_a_report_in_its_strip() -> None:
    scene, port, report = Scene(), a_port(), report_of("one")
    scene(Seen(port, OPEN))
    scene(Reading(port))
    scene(Left(port))
    assert place(scene).state == "empty"
    scene(Reported(port, report))
    now = place(scene)
    assert (now.state, [past.report for past in now.past]) == ("empty", [report.id])


def test_new_answers_replace_the_report_they_are_about_and_its_mark_in_the_strip() -> None:
    scene, port, report = Scene(), a_port(), report_of("one")
    read(scene, port, report)
    answered = report.model_copy(update={"id": "20270115T080001Z-one-0123456789ab"})
    scene(Reported(port, answered))
    assert (place(scene).report, [past.report for past in place(scene).past]) == (answered.id, [answered.id])


def test_answers_about_a_craft_that_left_do_not_cover_the_one_that_is_read_now() -> None:
    scene, port = Scene(), a_port()
    old = started(report_of("old"), "2027-01-15T08:00:00.000Z")
    new = started(report_of("new"), "2027-01-15T08:05:00.000Z")
    read(scene, port, old)
    scene(Left(port))
    scene(Seen(port, OPEN))
    scene(Reading(port))
    answered = old.model_copy(update={"id": "20270115T080001Z-old-0123456789ab"})
    scene(Reported(port, answered))
    assert (place(scene).state, place(scene).report) == ("reading", None)
    scene(Reported(port, new))
    late = old.model_copy(update={"id": "20270115T080002Z-old-0123456789ab"})
    scene(Reported(port, late))
    assert (place(scene).state, place(scene).report) == ("report", new.id)


def test_what_went_wrong_is_told_with_its_place_and_the_oldest_is_forgotten() -> None:
    scene, port = Scene(), a_port()
    scene(Seen(port, OPEN))
    for number in range(150):
        scene(Trouble(f"trouble {number}", port if number % 2 else None))
    scene(NotKept(report_of("one"), "files", "the disk is full"))
    assert (len(scene.troubles), scene.told) == (100, 151)
    assert "the disk is full" in scene.troubles[-1].text
    assert {told.place for told in scene.troubles} == {None, "1-1.2"}
    assert place(scene).note == "trouble 149"
    scene(Trouble("x" * 100_000))
    assert len(scene.troubles[-1].text) < 2100
    numbers = [told.changed for told in scene.troubles]
    assert numbers == sorted(set(numbers))


def test_where_a_report_was_written_is_known() -> None:
    scene, report = Scene(), report_of("one")
    scene(Kept(report, Path("reports/one.json")))
    assert (scene.file_of(report.id), scene.file_of("another")) == (Path("reports/one.json"), None)


def test_of_places_without_end_the_longest_empty_one_is_forgotten() -> None:
    scene = Scene({"always": "always there"})
    for number in range(MOST_PLACES + 50):
        port = a_port(f"/dev/{number}", f"9-{number}:1.0")
        scene(Seen(port, OPEN))
        if number:
            scene(Left(port))
    assert len(scene.places) == MOST_PLACES
    assert scene.place("always") is not None
    assert scene.place("9-0") is not None  # something is plugged in there
    assert scene.place("9-1") is None


async def test_who_waits_for_a_change_gets_its_number_and_at_the_time_out_the_old_one() -> None:
    scene = Scene()
    before = scene.changed
    assert await scene.after(before, 0.01) == before
    waiting = asyncio.create_task(scene.after(before, 20))
    await asyncio.sleep(0)
    scene(Trouble("something"))
    assert await waiting == scene.changed > before


async def test_words_on_a_console_wake_who_listens_and_not_who_looks_at_places() -> None:
    scene, port = Scene(), a_port()
    scene(Seen(port, OPEN))
    scene(Reading(port))
    began = scene.talk("1-1.2")
    assert began is not None
    looks = asyncio.create_task(scene.after(scene.changed, 20))
    listens = asyncio.create_task(scene.said("1-1.2", 0, began.began, 20))
    await asyncio.sleep(0)
    number = scene.changed
    scene.overhear(port)(Event(0.1, "o", "hello"))
    talk = await listens
    assert talk is not None
    assert [piece.text for piece in talk.since(0)] == ["hello"]
    assert (scene.changed, looks.done()) == (number, False)
    looks.cancel()


async def test_another_conversation_wakes_who_listens_to_the_old_one() -> None:
    scene, port = Scene(), a_port()
    scene(Reading(port))
    first = scene.talk("1-1.2")
    assert first is not None
    scene.overhear(port)(Event(0.1, "o", "hello"))
    listens = asyncio.create_task(scene.said("1-1.2", 1, first.began, 20))
    await asyncio.sleep(0)
    scene(Reading(port))
    second = await listens
    assert second is not None
    assert (second.began > first.began, second.count) == (True, 0)
    assert await scene.said("nowhere", 0, None, 0.01) is None


async def test_the_next_report_is_waited_for_and_the_one_of_before_is_not_taken_for_it() -> None:
    scene, port, old, new = Scene(), a_port(), report_of("old"), report_of("new")
    assert await scene.next_report("1-1.2", None, 0.01) is None
    read(scene, port, old)
    assert await scene.next_report("1-1.2", None, 0.01) == old
    assert await scene.next_report("1-1.2", old.id, 0.01) is None
    scene(Left(port))
    waiting = asyncio.create_task(scene.next_report("1-1.2", None, 20))
    await asyncio.sleep(0)
    read(scene, port, new)
    assert await waiting == new


async def test_the_end_of_the_bench_ends_every_wait() -> None:
    scene = Scene({"1-1": "one"})
    waits = [
        asyncio.create_task(scene.after(scene.changed, None)),
        asyncio.create_task(scene.next_report("1-1", None, 600)),
        asyncio.create_task(scene.said("1-1", 5, None, 600)),
    ]
    await asyncio.sleep(0)
    scene.end()
    async with asyncio.timeout(5):
        await asyncio.gather(*waits)
    assert scene.ended


async def test_a_board_unplugged_in_the_middle_of_reading_leaves_its_place_empty(tmp_path: Path) -> None:
    async with SimBench(tmp_path / "sockets") as sockets, asked(tmp_path, served=False) as bench:
        board = sockets.plug("ossel-hd53", "pulled", pace=9600)
        await bench.until_place("pulled", lambda now: now.state == "reading")
        async with asyncio.timeout(20):
            while board.sent_bytes < 100:
                await asyncio.sleep(0.005)
        sockets.unplug("pulled")
        report = await bench.report()
        now = await bench.until_place("pulled", lambda now: now.state == "empty" and bool(now.past))
    assert (report.verdict.value, now.past[-1].report, now.plugged) == ("incomplete", report.id, ())


async def test_a_craft_inspected_again_has_two_marks_and_the_newest_report(tmp_path: Path) -> None:
    async with SimBench(tmp_path / "sockets") as sockets, asked(tmp_path, served=False) as bench:
        sockets.plug("ossel-hd53", "bay")
        first = await bench.report()
        await bench.until_place("bay", lambda now: now.state == "report")
        await bench.control.inspect("bay")
        second = await bench.report(2)
        now = await bench.until_place("bay", lambda now: now.report == second.id)
    assert [past.report for past in now.past] == [first.id, second.id]
    assert [(visit.id, visit.replaces) for visit in bench.control.scene.visits.find(Wanted())] in (
        [(second.id, first.id), (first.id, None)],
    )


@pytest.mark.parametrize("seed", range(3))
def test_whatever_happens_in_whatever_order_a_place_shows_only_what_is_there(seed: int) -> None:
    chance = random.Random(seed)
    scene, ports = Scene(), [a_port(f"/dev/{n}", f"1-1.2:1.{n}", serial_number=str(n)) for n in range(3)]
    numbers = itertools.count()
    plugged: set[Port] = set()
    for _ in range(2000):
        port = chance.choice(ports)
        match chance.randrange(5):
            case 0:
                scene(Seen(port, chance.choice([OPEN, SHUT])))
                plugged.add(port)
            case 1:
                scene(Reading(port))
            case 2:
                scene(Reported(port, report_of(f"n{next(numbers)}")))
            case 3:
                scene(Left(port))
                plugged.discard(port)
            case _:
                scene(Trouble("hm", port))
        now = place(scene)
        assert {each.device for each in now.plugged} == {each.device for each in plugged}
        assert now.state in ("empty", "shut", "reading", "report")
        if not plugged and now.state != "empty":
            assert now.state == "reading"  # a visit that began before the board left is at work still
        assert now.changed <= scene.changed
        assert len(now.past) <= 12


def test_a_place_is_called_after_a_restart_as_it_was_before(tmp_path: Path) -> None:
    file, port = tmp_path / "places.json", Port("/bench/sockets/left+odd", origin="folder")
    memory = PlaceMemory(file)
    scene = Scene(memory=memory)
    read(scene, port, report_of("one"))
    [before] = scene.places
    memory.keep()
    [after] = Scene(memory=PlaceMemory(file)).places
    assert (after.place, after.name) == (before.place, before.name)
    assert after.name == "left+odd"

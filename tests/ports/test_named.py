"""Ports named by the operator: at once, and what then happens to their paths."""

from __future__ import annotations

import asyncio
import json
import os
from contextlib import aclosing
from pathlib import Path

import pytest

from propsoff.exceptions import TargetError
from propsoff.ports.facts import Arrival, Departure, Port, UsbIdentity
from propsoff.ports.named import NamedSource, identity_at

DEADLINE_S = 10.0
USB = UsbIdentity(0x0483, 0x5740, "4F2A00191C")


async def test_every_name_arrives_at_once_in_order_whether_it_is_there_or_not(tmp_path: Path) -> None:
    there = tmp_path / "there"
    there.touch()
    names = [str(tmp_path / "missing"), str(there), "socket://bench:2000", str(there)]
    async with aclosing(NamedSource(names, 0.001, lambda _: USB).movements()) as movements, asyncio.timeout(DEADLINE_S):
        seen = [await anext(movements) for _ in range(3)]
        there.unlink()
        assert await anext(movements) == Departure(Port(names[1], USB), 4)
    assert seen == [
        Arrival(Port(names[0]), 1),
        Arrival(Port(names[1], USB), 2),
        Arrival(Port("socket://bench:2000"), 3),
    ]


async def test_a_path_that_vanishes_departs_and_arrives_again_when_it_is_back(tmp_path: Path) -> None:
    path = tmp_path / "ttyACM0"
    path.touch()
    async with (
        aclosing(NamedSource([str(path)], 0.001, lambda _: USB).movements()) as movements,
        asyncio.timeout(DEADLINE_S),
    ):
        assert await anext(movements) == Arrival(Port(str(path), USB), 1)
        path.unlink()
        assert await anext(movements) == Departure(Port(str(path), USB), 2)
        path.touch()
        assert await anext(movements) == Arrival(Port(str(path), USB), 3)


async def test_a_missing_path_that_appears_later_arrives_anew(tmp_path: Path) -> None:
    path = tmp_path / "ttyACM0"
    async with (
        aclosing(NamedSource([str(path)], 0.001, lambda _: UsbIdentity()).movements()) as movements,
        asyncio.timeout(DEADLINE_S),
    ):
        assert isinstance(await anext(movements), Arrival)
        path.touch()
        assert isinstance(await anext(movements), Departure)
        assert isinstance(await anext(movements), Arrival)


async def test_another_device_behind_the_same_link_departs_and_arrives(tmp_path: Path) -> None:
    terminals = [os.openpty() for _ in range(2)]
    link = tmp_path / "board"
    link.symlink_to(os.ttyname(terminals[0][1]))
    try:
        async with (
            aclosing(NamedSource([str(link)], 0.001, lambda _: UsbIdentity()).movements()) as movements,
            asyncio.timeout(DEADLINE_S),
        ):
            assert isinstance(await anext(movements), Arrival)
            (tmp_path / ".new").symlink_to(os.ttyname(terminals[1][1]))
            (tmp_path / ".new").replace(link)
            assert isinstance(await anext(movements), Departure)
            assert isinstance(await anext(movements), Arrival)
    finally:
        for pair in terminals:
            for descriptor in pair:
                os.close(descriptor)


async def test_the_identity_is_asked_for_once_per_stay_and_never_for_a_url(tmp_path: Path) -> None:
    path = tmp_path / "ttyACM0"
    path.touch()
    asked: list[str] = []

    def identify(device: str) -> UsbIdentity:
        asked.append(device)
        return USB

    movements = NamedSource([str(path), "loop://"], 0.001, identify).movements()
    async with aclosing(movements), asyncio.timeout(DEADLINE_S):
        await anext(movements)
        await anext(movements)
        path.unlink()
        await anext(movements)
    assert asked == [str(path)]


def test_an_empty_name_is_refused() -> None:
    with pytest.raises(TargetError, match="empty name"):
        NamedSource(["/dev/ttyACM0", " "])


def beside(link: Path, **usb: str) -> None:
    """What a bench writes beside a link."""
    link.with_name(f"{link.name}.usb.json").write_text(json.dumps(usb))


def test_the_identity_beside_a_link_is_that_of_the_port_that_is_named(tmp_path: Path) -> None:
    link = tmp_path / "socket-1"
    assert identity_at(str(link)) == UsbIdentity()
    beside(link, vid="0483", pid="5740", serial_number="4F2A00191C", path="1-4")
    assert identity_at(str(link)) == UsbIdentity(0x0483, 0x5740, "4F2A00191C", path="1-4")
    beside(link, product="half a word")
    assert identity_at(str(link)) == UsbIdentity()
    assert identity_at("/") == UsbIdentity()


def test_a_bootloader_that_the_system_sees_is_one_whatever_stands_beside_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bootloader = UsbIdentity(0x0483, 0xDF11)
    monkeypatch.setattr("propsoff.ports.sources.identity_at", lambda device: bootloader)
    beside(tmp_path / "socket-1", vid="0483", pid="5740")
    assert identity_at(str(tmp_path / "socket-1")) == bootloader

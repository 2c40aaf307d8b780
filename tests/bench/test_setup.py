"""A bench put together from settings: its sources, what plug-ins add, and which ports are there now."""

from __future__ import annotations

import asyncio
import threading
from pathlib import Path
from typing import Any

import pytest

from propsoff import hookimpl, pasted
from propsoff.bench import setup
from propsoff.bench.setup import attached_ports, plugin_extras, port_sources
from propsoff.ports.facts import Arrival, Port
from propsoff.ports.listing import ListingSource
from propsoff.ports.sources import PortSource
from propsoff.settings import Settings
from tests_support.benches import tools_for


class Attached:
    """A port as pyserial's list describes it."""

    device = "/dev/ttyACM7"
    vid, pid, serial_number = 0x1209, 0x0001, "S"
    manufacturer = product = "P"
    location = "1-1"


async def attached(monkeypatch: pytest.MonkeyPatch, *sources: PortSource) -> tuple[list[str], list[str]]:
    """The devices that are there by these sources, and the troubles."""
    monkeypatch.setattr(setup, "port_sources", lambda settings: list(sources))
    troubles: list[str] = []
    ports = await attached_ports(Settings(), on_trouble=troubles.append)
    return [port.device for port in ports], troubles


async def test_a_list_of_ports_that_takes_its_time_is_waited_for(monkeypatch: pytest.MonkeyPatch) -> None:
    def slow() -> Any:
        threading.Event().wait(0.6)
        return [Attached()]

    assert await attached(monkeypatch, ListingSource(60.0, slow)) == (["/dev/ttyACM7"], [])


async def test_a_slow_source_beside_a_quick_one_is_waited_for(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    from propsoff.ports.named import NamedSource

    def slow() -> Any:
        threading.Event().wait(0.6)
        return [Attached()]

    devices, _ = await attached(monkeypatch, NamedSource([str(tmp_path / "x")]), ListingSource(60.0, slow))
    assert devices == [str(tmp_path / "x"), "/dev/ttyACM7"]


async def test_a_source_that_never_tells_is_not_waited_for_for_ever(monkeypatch: pytest.MonkeyPatch) -> None:
    class Silent:
        name = "silent"
        settled = asyncio.Event()

        async def movements(self) -> Any:
            yield Arrival(Port("/dev/early"))
            await asyncio.Event().wait()

    monkeypatch.setattr(setup, "_SNAPSHOT_S", 0.1)
    devices, troubles = await attached(monkeypatch, Silent())
    assert devices == ["/dev/early"]
    assert "ports may be missing" in troubles[0]


async def test_a_source_that_breaks_at_once_is_told_and_not_waited_for(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    from propsoff.ports.folder import FolderSource

    def some() -> Any:
        return [Attached()]

    monkeypatch.setattr(setup, "_SNAPSHOT_S", 60.0)
    async with asyncio.timeout(20):
        devices, troubles = await attached(monkeypatch, ListingSource(60.0, some), FolderSource(tmp_path / "absent"))
    assert devices == ["/dev/ttyACM7"]
    assert "absent" in troubles[0]


def test_the_list_of_ports_is_polled_as_often_as_the_settings_say(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("propsoff.ports.sources.why_no_udev", lambda: "not in this test")
    for source in ("auto", "listing"):
        [found] = port_sources(Settings.model_validate({"ports": {"source": source, "poll_s": 7}}))
        assert isinstance(found, ListingSource)
        assert found._interval_s == 7


class Nonsense:
    """A plug-in whose ports and outputs are none."""

    @hookimpl
    def propsoff_outputs(self, settings: Any) -> Any:
        return "nonsense"

    @hookimpl
    def propsoff_port_sources(self, settings: Any) -> Any:
        raise asyncio.CancelledError


@pytest.mark.parametrize(
    ("hook", "kind", "words"),
    [
        ("propsoff_outputs", "output", "where a list was asked for"),
        ("propsoff_port_sources", "source of ports", "raised RuntimeError: CancelledError"),
    ],
)
async def test_outputs_and_ports_that_are_none_are_told_and_spoil_no_report(
    tmp_path: Path, hook: str, kind: str, words: str
) -> None:
    tools = await asyncio.to_thread(tools_for, tmp_path, extra=[("nonsense", Nonsense())])
    assert await plugin_extras(tools.plugins, hook, kind, tools.settings) == []
    [failure] = tools.failures
    assert failure.plugin == "nonsense"
    assert words in failure.problem
    report = await asyncio.to_thread(tools.inspect, pasted(b"hello"))
    assert not [finding for finding in report.findings if finding.outcome == "error"]


class Hangs:
    """A plug-in that does not come back at any of the questions asked at start."""

    @hookimpl
    async def propsoff_checks(self) -> Any:
        await asyncio.Event().wait()

    @hookimpl
    async def propsoff_sheets(self) -> Any:
        await asyncio.Event().wait()

    @hookimpl
    async def propsoff_outputs(self, settings: Any) -> Any:
        await asyncio.Event().wait()


async def test_the_deadline_of_plugins_holds_at_start_too(tmp_path: Path) -> None:
    tools = await asyncio.to_thread(tools_for, tmp_path, extra=[("hangs", Hangs())], plugins={"deadline_s": 0.05})
    await plugin_extras(tools.plugins, "propsoff_outputs", "output", tools.settings)
    assert [failure.problem.partition(";")[0] for failure in tools.failures] == [
        "propsoff_checks did not come back within 0.05 s",
        "propsoff_sheets did not come back within 0.05 s",
        "propsoff_outputs did not come back within 0.05 s",
    ]

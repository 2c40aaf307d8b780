"""A bench with its page, over simulated boards, and a real browser that looks at it."""

from __future__ import annotations

import asyncio
import contextlib
import functools
import json
import os
from collections.abc import AsyncIterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from axe_playwright_python.async_playwright import Axe
from playwright.async_api import Browser, BrowserContext, ConsoleMessage, Locator, Page, Request, expect

from propsoff import hookimpl
from propsoff.bench.running import run_bench
from propsoff.library import Toolbox
from propsoff.page.service import service
from propsoff.ports.facts import Arrival, Departure, Movement, Port
from tests_support.benches import WAIT_S, Watched, tools_for

# Taken out of the environment, where propsoff refuses a setting that it does not know.
PICTURES = os.environ.pop("PROPSOFF_SCREENSHOTS", "")
WIDE, TABLET, UPRIGHT = (1920, 1080), (1280, 800), (800, 1280)
ALL_SIZES = (WIDE, TABLET, UPRIGHT)
# WCAG 2.2 A and AA, as axe-core tags its rules.
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
WAIT_MS = 20_000
SHEET = """\
format = 1
name = "{name}"
title = "Wren series, as the house builds it"

[match]
board = ["*"]
"""
QUESTIONS = """
[[questions]]
id = "propellers-off"
ask = "Are all propellers off?"
kind = "yes-no"
expected = "yes"
why = "They cut."
remedy = "Take them off."

[[questions]]
id = "goggles-firmware"
ask = "Which firmware do the goggles run?"
kind = "version"
expected = { from = "4.2.0" }
why = "Both ends of a video link should run matching versions."
remedy = "Update the goggles, then the video transmitter."

[[questions]]
id = "battery-connector"
ask = "Which connector does the battery have?"
kind = "choice"
choices = ["small", "large"]

[[questions]]
id = "remark"
ask = "What else did you notice?"
kind = "text"
"""


def asking(folder: Path, questions: str = QUESTIONS) -> dict[str, Any]:
    """Options of a bench whose sheet asks these questions about every board."""
    sheet = folder / "asks.toml"
    sheet.write_text(SHEET.format(name="wren-asks") + questions)
    return {"checks": {"sheets": [str(sheet)]}}


class Lobby:
    """A source of ports that nobody has chosen: what it brings needs a person's word first."""

    name = "lobby"

    def __init__(self) -> None:
        self._moves: asyncio.Queue[Movement] = asyncio.Queue()

    async def movements(self) -> AsyncIterator[Movement]:
        """What comes and goes, until the bench ends."""
        while True:
            yield await self._moves.get()

    def come(self, port: Port) -> None:
        """It is plugged in."""
        self._moves.put_nowait(Arrival(port))

    def go(self, port: Port) -> None:
        """It is unplugged."""
        self._moves.put_nowait(Departure(port))

    @hookimpl
    def propsoff_port_sources(self) -> list[Any]:
        """The plug-in's word: this source."""
        return [self]


@dataclass
class Served(Watched):
    """A running bench with its page at `url`."""

    url: str = ""

    def place_names(self) -> list[str]:
        """The links in its folder."""
        return sorted(path.name for path in (self.folder / "sockets").iterdir() if path.is_symlink())


@contextlib.asynccontextmanager
async def served(
    folder: Path, *, extra: Sequence[tuple[str, object]] = (), port: int = 0, **options: Any
) -> AsyncIterator[Served]:
    """A bench that runs and is served until the end of the block."""
    page = {"enabled": True, "port": port, "socket": False, **options.pop("page", {})}
    store = {"url": f"sqlite:///{folder / 'history.sqlite'}", **options.pop("store", {})}
    make = functools.partial(tools_for, folder, extra=extra, page=page, store=store, **options)
    tools: Toolbox = await asyncio.to_thread(make)
    bench = Served(tools, folder, asyncio.Event())
    serve = service(tools.settings, bench.log.info)
    running = asyncio.create_task(
        run_bench(tools, watcher=bench, log=bench.log, stopping=bench.stopping, serve=[serve])
    )
    try:
        bench.url = await url_of(folder / "state")
        yield bench
    finally:
        bench.stopping.set()
        bench.lost = await running


async def url_of(state: Path) -> str:
    """Where a bench is served, once it is."""
    async with asyncio.timeout(WAIT_S):
        while True:
            with contextlib.suppress(OSError, ValueError):
                if url := json.loads((state / "service.json").read_bytes())["url"]:
                    return str(url)
            await asyncio.sleep(0.01)


@dataclass
class Screen:
    """A page in a browser, and everything that it complained of or asked for. `url` is the bench's."""

    page: Page
    url: str
    complaints: list[str] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.page.on("console", self._console)
        self.page.on("pageerror", lambda error: self.complaints.append(f"error: {error}"))
        self.page.on("request", self._request)

    def _console(self, message: ConsoleMessage) -> None:
        # A call that the bench refuses is noted too: where that is meant, the test looks at it and clears it.
        if message.type in ("error", "warning"):
            self.complaints.append(f"console: {message.text}")

    def _request(self, request: Request) -> None:
        self.asked.append(request.url)

    @property
    def strangers(self) -> list[str]:
        """What was asked for from elsewhere."""
        return [url for url in self.asked if not url.startswith((f"{self.url}/", "data:"))]

    async def goto(self, path: str = "/") -> Screen:
        """Open a page of the bench."""
        await self.page.goto(self.url + path)
        return self

    def tile(self, name: str) -> Locator:
        """The tile of a place."""
        return self.page.get_by_role("article", name=name, exact=True)

    async def shows(self, name: str, word: str) -> Locator:
        """The tile of a place, once its large word is this one."""
        tile = self.tile(name)
        await expect(tile.locator(".word")).to_have_text(word, timeout=WAIT_MS)
        return tile

    async def resize(self, width: int, height: int) -> None:
        """Another screen; the page has been drawn on it when this returns."""
        await self.page.set_viewport_size({"width": width, "height": height})
        here = "([wide, high]) => innerWidth === wide && innerHeight === high"
        await self.page.wait_for_function(here, arg=[width, height])
        await self.page.evaluate("new Promise(go => requestAnimationFrame(() => requestAnimationFrame(go)))")

    async def violations(self) -> list[tuple[str, str]]:
        """What axe finds against the accessibility rules in the page as it is: (rule, element)."""
        found = await Axe().run(self.page, options={"runOnly": {"type": "tag", "values": RULES}})
        assert found.response["passes"]
        return [(each["id"], each["nodes"][0]["html"]) for each in found.response["violations"]]

    async def too_wide(self) -> bool:
        """Whether something makes the page wider than the screen."""
        return bool(await self.page.evaluate("document.documentElement.scrollWidth > innerWidth"))

    async def picture(
        self, name: str, sizes: Sequence[tuple[int, int]] = (WIDE, TABLET), *, whole: bool = False
    ) -> None:
        """Keep it as it looks at these sizes, in the folder PROPSOFF_SCREENSHOTS where that is given."""
        if not PICTURES:
            return
        folder = Path(PICTURES)
        folder.mkdir(parents=True, exist_ok=True)
        before = self.page.viewport_size
        for width, height in sizes:
            await self.resize(width, height)
            await self.page.screenshot(path=folder / f"{name}-{width}x{height}.png", full_page=whole)
        if before:
            await self.resize(before["width"], before["height"])


@contextlib.asynccontextmanager
async def screen(browser: Browser, url: str, size: tuple[int, int] = WIDE, **options: Any) -> AsyncIterator[Screen]:
    """A screen of its own, without anything remembered; what it complained of fails the test at the end."""
    width, height = size
    context: BrowserContext = await browser.new_context(viewport={"width": width, "height": height}, **options)
    context.set_default_timeout(WAIT_MS)
    shown = Screen(await context.new_page(), url)
    try:
        yield shown
        assert shown.complaints == [], "\n".join(shown.complaints)
        assert shown.strangers == []
    finally:
        await context.close()

"""What a page shows when its bench dies under it, and when the bench is back."""

from __future__ import annotations

import asyncio
import json
import os
import re
import signal
import socket
import sys
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

import pytest
from playwright.async_api import Browser, expect

from page.browser.driven import TABLET, WAIT_MS, WIDE, asking, screen, served, url_of
from propsoff_sim.bench import SimBench
from tests_support.benches import WAIT_S

pytestmark = pytest.mark.asyncio(loop_scope="module")


def a_free_port() -> int:
    """A TCP port that nobody listens on."""
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


@asynccontextmanager
async def a_daemon(folder: Path, port: int) -> AsyncIterator[asyncio.subprocess.Process]:
    """`propsoff watch` as a process of its own, killed at the end of the block."""
    (folder / "state" / "service.json").unlink(missing_ok=True)
    settings = {
        "PROPSOFF_PAGE__PORT": str(port),
        "PROPSOFF_BENCH__STATE": str(folder / "state"),
        "PROPSOFF_PAGE__SOCKET": "false",
        "PROPSOFF_TIMINGS__LISTEN_S": "0.05",
    }
    told = (folder / "daemon.txt").open("ab")
    with told:
        daemon = await asyncio.create_subprocess_exec(
            *(sys.executable, "-m", "propsoff", "watch", "--page", "--no-history", "--source", "none"),
            *("--folder", str(folder / "sockets"), "--out", str(folder / "reports")),
            env={**os.environ, **settings},
            stdout=told,
            stderr=told,
        )
    try:
        await url_of(folder / "state")
        yield daemon
    finally:
        if daemon.returncode is None:
            daemon.send_signal(signal.SIGKILL)
        await daemon.wait()


async def kept(memory: Path, results: int) -> None:
    """Wait until so many past results are written down: a daemon that is killed loses those of its last half second."""
    async with asyncio.timeout(WAIT_S):
        while not memory.exists() or sum(map(len, json.loads(memory.read_bytes())["places"].values())) < results:
            await asyncio.sleep(0.01)


async def test_a_daemon_that_is_killed_is_told_and_its_page_goes_on_when_it_is_back(
    browser: Browser, tmp_path: Path
) -> None:
    port = a_free_port()
    url = f"http://127.0.0.1:{port}"
    async with SimBench(tmp_path / "sockets") as sockets, screen(browser, url) as shown:
        gone = shown.page.locator("#gone")
        async with a_daemon(tmp_path, port):
            await shown.goto()
            sockets.plug("brindle-hd50+small-grid", "left")
            sockets.plug("ossel-hd53", "right")
            await shown.shows("left", "FAIL")
            await shown.shows("right", "PASS")
            await shown.page.evaluate("window.same = true")
            await expect(gone).to_be_hidden()
            await kept(tmp_path / "state" / "places.json", 2)
        await expect(gone).to_have_text(re.compile(r"The bench does not answer, since \d\d:\d\d:\d\d\. "))
        await expect(shown.page.locator("#line-word")).to_have_text("gone")
        await expect(shown.tile("left").locator(".word")).to_have_text("FAIL")
        await shown.tile("left").get_by_role("button", name="Inspect again").click()
        await expect(shown.tile("left").get_by_role("alert")).to_contain_text("The bench does not answer.")
        await shown.picture("gone", [WIDE, TABLET])
        assert await shown.violations() == []
        assert shown.complaints
        assert all("ERR_" in text for text in shown.complaints), shown.complaints
        sockets.unplug("right")
        async with a_daemon(tmp_path, port):
            await expect(gone).to_be_hidden(timeout=WAIT_MS)
            await expect(shown.page.locator("#said")).to_contain_text("The bench is back.")
            await shown.shows("left", "FAIL")
            await shown.shows("right", "EMPTY")
            await expect(shown.tile("left").locator(".past li")).to_have_count(2)
            assert await shown.page.evaluate("window.same")
            shown.complaints.clear()
        await expect(gone).to_be_visible()
        shown.complaints.clear()


async def test_a_bench_that_is_stopped_says_so_itself(browser: Browser, tmp_path: Path) -> None:
    async with screen(browser, "") as shown:
        async with SimBench(tmp_path / "sockets") as sockets, served(tmp_path, **asking(tmp_path)) as bench:
            shown.url = bench.url
            await shown.goto()
            sockets.plug("ossel-hd53", "left")
            await shown.tile("left").get_by_role("button", name="Answer 4 questions").click()
            remark = shown.tile("left").get_by_label("What else did you notice?")
            await remark.fill("half a word")
        await expect(shown.page.locator("#gone")).to_have_text(re.compile(r"The bench was stopped, since "))
        await expect(remark).to_have_value("half a word")
        shown.complaints.clear()


async def test_a_link_that_says_nothing_at_all_is_taken_for_gone(browser: Browser, tmp_path: Path) -> None:
    async with served(tmp_path) as bench, screen(browser, bench.url) as shown:
        await shown.page.clock.install()
        await shown.goto()
        await expect(shown.page.get_by_text("connected")).to_be_visible()
        async with shown.page.expect_response("**/api/1/health") as answered:
            await shown.page.clock.fast_forward(21_000)
        assert (await answered.value).ok
        await expect(shown.page.locator("#gone")).to_be_hidden()
        # Nothing comes and nothing is refused, as when the cable of the other machine is pulled.
        async with shown.page.expect_request("**/api/1/health"):
            await shown.page.route("**/api/1/health", lambda route: asyncio.sleep(0))
            await shown.page.clock.fast_forward(21_000)
        await shown.page.clock.fast_forward(6_000)
        await expect(shown.page.locator("#gone")).to_contain_text("The bench does not answer", timeout=WAIT_MS)
        shown.complaints.clear()

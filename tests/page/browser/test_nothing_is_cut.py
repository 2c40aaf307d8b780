"""What a tile tells to do is never shown cut: a command, and the caution with it, on screens of many sizes."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from playwright.async_api import Browser, expect

from page.browser.driven import TABLET, WAIT_MS, WIDE, Screen, asking, screen, served
from propsoff_sim.bench import SimBench

pytestmark = pytest.mark.asyncio(loop_scope="module")

SIZES = ((1024, 768), (1280, 720), (1280, 800), (1366, 768), (800, 1280), (1920, 1080))
COLOURS: tuple[dict[str, Any], ...] = ({}, {"forced_colors": "active"})
# One that only asks, two with lines to type, one of them long, and what answers nothing.
KINDS = ("ossel-hd53", "ossel-hd53+layout-cramped", "brindle-hd53+layout-cramped", "gps")
CUT = """() => {
  const said = [];
  for (const tile of document.querySelectorAll('.tile')) {
    for (const one of tile.querySelectorAll('.todo, .todo .lead, .typed, .rest')) {
      if (!one.checkVisibility()) continue;
      const style = getComputedStyle(one);
      const inline = style.display === 'inline';
      const over = one.scrollHeight > one.clientHeight + 1 || one.scrollWidth > one.clientWidth + 1;
      if (!inline && style.overflow !== 'visible' && over) said.push(['hides', tile.innerText, one.innerText]);
      const within = [one.closest('.todo'), tile].map((each) => each.getBoundingClientRect());
      for (const box of one.getClientRects()) {
        if (box.width && within.some((edge) => box.bottom > edge.bottom + 1 || box.right > edge.right + 1))
          said.push(['sticks out', tile.innerText, one.innerText]);
      }
    }
  }
  return said;
}"""


async def cut(shown: Screen) -> list[Any]:
    """What stands under 'Do now' and is cut, or sticks out of its tile."""
    found: list[Any] = await shown.page.evaluate(CUT)
    return found


async def scrolls(shown: Screen) -> bool:
    """Whether the page is longer than its screen."""
    return bool(await shown.page.evaluate("document.documentElement.scrollHeight > innerHeight + 1"))


@pytest.mark.parametrize("options", COLOURS, ids=["colours", "forced"])
async def test_with_three_places_no_command_and_no_caution_is_cut_and_nothing_scrolls(
    browser: Browser, tmp_path: Path, options: dict[str, Any]
) -> None:
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        served(tmp_path, **asking(tmp_path)) as bench,
        screen(browser, bench.url, **options) as shown,
    ):
        await shown.goto()
        for number, kind in enumerate(KINDS[:3]):
            sockets.plug(kind, f"place-{number}")
        await expect(shown.page.get_by_role("button", name="Answer 4 questions")).to_have_count(3, timeout=WAIT_MS)
        await expect(shown.page.locator(".lead", has_text="Type at its console:")).to_have_count(2)
        whole = {f"Caution: {one.caution}" for report in bench.reports for one in report.findings if one.caution}
        for width, height in SIZES:
            await shown.resize(width, height)
            assert await cut(shown) == [], (width, height)
            assert not await scrolls(shown), (width, height)
            cautions = await shown.page.locator(".todo .warned").all_inner_texts()
            assert len(cautions) == 2, (width, height)
            for text in cautions:
                assert text in whole or text.endswith(". There is more in the report."), (width, height, text)
        await shown.picture("three-to-type" + "".join(options.values()), SIZES)
        await shown.resize(*WIDE)
        assert set(await shown.page.locator(".todo .warned").all_inner_texts()) <= whole
        await shown.resize(*TABLET)
        assert set(await shown.page.locator(".todo .warned").all_inner_texts()) <= whole


@pytest.mark.parametrize("options", COLOURS, ids=["colours", "forced"])
async def test_with_thirty_two_places_a_command_that_does_not_fit_is_told_in_words(
    browser: Browser, tmp_path: Path, options: dict[str, Any]
) -> None:
    places = {f"place-{number:02}": f"Place {number:02}" for number in range(1, 33)}
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        served(tmp_path, bench={"places": places}) as bench,
        screen(browser, bench.url, **options) as shown,
    ):
        await shown.goto()
        for number, place in enumerate(places):
            sockets.plug(KINDS[number % 4], place)
        await expect(shown.page.locator(".tile[data-state=report]")).to_have_count(32, timeout=40_000)
        await expect(shown.page.locator(".lead", has_text="Open the report.")).to_have_count(0, timeout=WAIT_MS)
        for width, height in SIZES:
            await shown.resize(width, height)
            await expect(shown.page.locator(".tiles")).to_have_attribute("data-way", "dense")
            assert await cut(shown) == [], (width, height)
            assert not await scrolls(shown), (width, height)
            told = await shown.tile("Place 02").locator(".todo").inner_text()
            assert "shown" in told or "lines to type" in told, (width, height, told)
        await shown.picture("thirty-two-to-type" + "".join(options.values()), SIZES)
        await shown.tile("Place 02").get_by_role("button", name="Place 02: ").click()
        await expect(shown.tile("Place 02").locator(".typed")).to_contain_text("shown")
        assert await cut(shown) == []

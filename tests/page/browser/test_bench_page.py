"""The page of the bench in a real browser, over a real bench with simulated boards."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from playwright.async_api import Browser, expect

from page.browser.driven import ALL_SIZES, TABLET, WAIT_MS, WIDE, Screen, asking, screen, served
from propsoff import hookimpl
from propsoff.outputs.escape import visible
from propsoff_sim.bench import SimBench
from propsoff_sim.catalogue import board

pytestmark = pytest.mark.asyncio(loop_scope="module")

MOST_FIRST_PAINT_MS = 1000
LEAST_TARGET = 44
LEAST_LETTER_MM = 35
# CSS Values and Units 4: 1in is 96px, and 25.4mm.
PX_PER_MM = 96 / 25.4
HOSTILE = {
    "markup": '<img src="//elsewhere.example/x" onerror="document.title=1"><script>document.title=2</script>',
    "turned": "\u202ednuorg eht no\u202c \u2066left\u2069",
    "long": "W" * 300,
}
# What a screen reader is told, in the order of telling.
LISTEN = """
window.told = [];
new MutationObserver(() => told.push(document.getElementById('said').textContent))
  .observe(document.getElementById('said'), { childList: true, characterData: true, subtree: true });
"""


async def fits(shown: Screen) -> dict[str, Any]:
    """How the page as it is stands on its screen."""
    found: dict[str, Any] = await shown.page.evaluate(
        """() => {
          const all = [...document.querySelectorAll('.tile')];
          const inside = all.filter((one) => one.getBoundingClientRect().bottom <= innerHeight);
          const spills = (one) => {
            const parts = [...one.querySelectorAll('.word, .craft, .name, .lead, button, .button')];
            const edge = one.getBoundingClientRect();
            return parts.some((part) => {
              const box = part.getBoundingClientRect();
              return box.width && (box.right > edge.right + 1 || box.bottom > edge.bottom + 1);
            });
          };
          return {
            tiles: all.length, inside: inside.length, spilling: all.filter(spills).map((one) => one.innerText),
            scrolls: document.documentElement.scrollHeight > innerHeight + 1,
            wide: document.documentElement.scrollWidth > innerWidth,
          };
        }"""
    )
    return found


def all_inside(count: int) -> dict[str, Any]:
    """How so many tiles stand on a screen that they fit."""
    return {"tiles": count, "inside": count, "spilling": [], "scrolls": False, "wide": False}


async def letter_mm(shown: Screen, word: str) -> float:
    """How high a capital of a tile's word is, in CSS millimetres, as the face draws it."""
    px: float = await shown.page.locator(f".word.{word} span").first.evaluate(
        """(one) => {
          const pen = document.createElement('canvas').getContext('2d');
          const style = getComputedStyle(one);
          pen.font = `${style.fontWeight} ${style.fontSize} ${style.fontFamily}`;
          return pen.measureText('F').actualBoundingBoxAscent;
        }"""
    )
    return px / PX_PER_MM


async def test_good_and_faulty_boards_change_their_tiles_without_a_reload(browser: Browser, tmp_path: Path) -> None:
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        served(tmp_path) as bench,
        screen(browser, bench.url) as shown,
    ):
        await shown.goto()
        await expect(shown.page.get_by_text("Nothing has been plugged in yet.")).to_be_visible()
        assert await shown.violations() == []
        await shown.picture("nothing")
        await shown.page.evaluate(f"window.same = true; {LISTEN}")
        sockets.plug("ossel-hd53", "left")
        left = await shown.shows("left", "PASS")
        await expect(left.locator(".craft")).to_have_text("Teal Wren")
        await expect(left.locator(".lead")).to_have_text("Plug in the next craft.")
        await shown.picture("one", ALL_SIZES)
        sockets.plug("brindle-hd50+small-grid", "middle")
        middle = await shown.shows("middle", "FAIL")
        await expect(middle.locator(".todo")).to_contain_text("Type at its console:")
        await expect(middle.locator(".typed")).to_have_text(re.compile("put canvas "))
        sockets.plug("gps", "right")
        await shown.shows("right", "INCOMPLETE")
        await shown.picture("three", ALL_SIZES)
        assert await shown.violations() == []
        sockets.unplug("left")
        left = await shown.shows("left", "EMPTY")
        await expect(left.locator(".craft")).to_have_text("Last: pass, Teal Wren")
        await expect(left.locator(".past .hidden")).to_have_text(re.compile(r"pass, Teal Wren, "))
        assert await shown.page.evaluate("window.same")
        told = await shown.page.evaluate("told.join(' ')")
        assert "left: pass, Teal Wren. Plug in the next craft." in told
        assert "middle: fail, Teal Wren. Type at its console: put canvas" in told


async def test_a_reading_is_shown_as_it_goes_on_and_its_console_can_be_followed(
    browser: Browser, tmp_path: Path
) -> None:
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        served(tmp_path) as bench,
        screen(browser, bench.url, TABLET) as shown,
    ):
        await shown.goto()
        sockets.plug("brindle-hd53", "slow", pace=4800)
        tile = await shown.shows("slow", "READING")
        await expect(tile.locator(".steps .is-now")).to_contain_text("reading its settings", timeout=WAIT_MS)
        await expect(tile.locator(".so-far")).to_have_text(re.compile(r"[1-9][\d,]* lines, [\d,]{3,} bytes so far"))
        so_far = await tile.locator(".so-far").inner_text()
        await expect(tile.locator(".so-far")).not_to_have_text(so_far)
        await tile.get_by_role("button", name="Console").click()
        drawer = shown.page.get_by_role("complementary", name="Console of slow")
        await expect(drawer.get_by_text("As it is being recorded.")).to_be_visible()
        rows = drawer.get_by_role("list", name="What was said")
        await expect(rows.locator(".by-propsoff").first).to_contain_text("▶ propsoff")
        await expect(rows.locator(".by-board").first).to_contain_text("◀ board")
        await expect(rows.locator(".ctl").get_by_text("\\e").first).to_be_attached()
        table = rows.locator("li", has_text="= frame =")
        await expect(table.locator(".said")).to_have_text("\\e[1m= frame =\\e[0m")
        assert await shown.violations() == []
        await shown.picture("reading")
        await shown.shows("slow", "PASS")
        # The two characters of a line end come apart at this pace, and are a line end all the same.
        assert await rows.locator(".by-board .said").filter(has_text=re.compile(r"\\r$")).count() == 0
        at_end = "(one) => one.scrollHeight - one.scrollTop - one.clientHeight < 24"
        await expect(rows.locator("li").last).to_contain_text("end: done")
        assert await rows.evaluate(at_end)
        await rows.evaluate("(one) => { one.scrollTop = 0; }")
        back = drawer.get_by_role("button", name="To the end")
        await back.click()
        assert await rows.evaluate(at_end)
        await expect(back).to_be_hidden()
        await shown.page.keyboard.press("Escape")
        await expect(drawer).to_be_hidden()
        await expect(tile.get_by_role("button", name="Console")).to_be_focused()


async def test_what_a_board_calls_itself_stays_text_and_stays_in_its_tile(browser: Browser, tmp_path: Path) -> None:
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        served(tmp_path) as bench,
        screen(browser, bench.url, TABLET) as shown,
    ):
        await shown.goto()
        for kind, (place, name) in zip(("ossel-hd53", "brindle-hd53", "corvane-hd53"), HOSTILE.items(), strict=True):
            sockets.plug(replace(board(kind), label=name), place)
        await bench.report(3)
        called = {str(report.port and report.port.device).rpartition("/")[2]: report for report in bench.reports}
        for place, name in HOSTILE.items():
            tile = await shown.shows(place, "PASS")
            shown_as = visible(called[place].craft or "")
            assert shown_as[:80] == visible(name)[:80]
            await expect(tile.locator(".craft")).to_have_text(shown_as)
        assert await shown.page.locator(".tile img, .tile script").count() == 0
        found = await fits(shown)
        assert (found["spilling"], found["wide"], found["scrolls"]) == ([], False, False)
        await shown.picture("hostile", ALL_SIZES)
        assert await shown.violations() == []
        for place in HOSTILE:
            await shown.goto(f"/reports/{called[place].id}")
            await expect(shown.page.get_by_role("heading", level=1)).to_have_text(visible(called[place].craft or ""))
            assert await shown.page.locator("#report h1 img, #report script").count() == 0
            assert not await shown.too_wide()
            assert (await shown.page.title()).startswith("PASS: ")
        await shown.picture("hostile-report", [TABLET])


async def test_one_three_eight_and_thirty_two_places_fit_their_screens(browser: Browser, tmp_path: Path) -> None:
    kinds = ("ossel-hd53", "brindle-hd50+small-grid", "corvane-hd53", "gps")
    places = {f"place-{number:02}": f"Place {number:02}" for number in range(1, 33)}
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        served(tmp_path, bench={"name": "line 2", "places": places}) as bench,
        screen(browser, bench.url) as shown,
    ):
        await shown.goto()
        for number, place in enumerate(places):
            if number % 8 != 7:
                sockets.plug(kinds[number % 4], place)
        await expect(shown.page.locator(".tile[data-state=report]")).to_have_count(28, timeout=40_000)
        for width, height in ALL_SIZES:
            await shown.resize(width, height)
            await expect(shown.page.locator(".tiles")).to_have_attribute("data-way", "dense")
            assert await fits(shown) == all_inside(32), (width, height)
        assert await shown.violations() == []
        await shown.picture("thirty-two", ALL_SIZES)
        await shown.resize(*TABLET)
        await shown.page.get_by_role("button", name="Place 02: ").click()
        await expect(shown.tile("Place 02").get_by_role("link", name="Report")).to_be_focused()
        await shown.picture("thirty-two-unfolded", [TABLET])
        await shown.page.keyboard.press("Escape")
        await expect(shown.page.get_by_role("button", name="Place 02: ")).to_be_focused()


async def test_few_places_fit_with_all_that_is_in_them_and_are_read_from_afar(browser: Browser, tmp_path: Path) -> None:
    kinds = ("brindle-hd50+small-grid", "ossel-hd53", "gps", "corvane-hd53")
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        served(tmp_path) as bench,
        screen(browser, bench.url) as shown,
    ):
        await shown.goto()
        for count in (1, 3, 8):
            for number in range(len(sockets.plugged), count):
                sockets.plug(kinds[number % 4], f"place-{number}")
            await expect(shown.page.locator(".tile[data-state=report]")).to_have_count(count, timeout=WAIT_MS)
            await expect(shown.page.locator(".lead", has_text="Open the report.")).to_have_count(0)
            for width, height in ALL_SIZES:
                await shown.resize(width, height)
                assert await fits(shown) == all_inside(count), (count, width, height)
            await shown.picture(f"{count}-places", ALL_SIZES)
            await shown.resize(*WIDE)
            if count < 8:
                assert await letter_mm(shown, "fail") >= LEAST_LETTER_MM


async def test_everything_that_is_pressed_is_large_enough_for_gloves(browser: Browser, tmp_path: Path) -> None:
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        served(tmp_path, **asking(tmp_path)) as bench,
        screen(browser, bench.url, TABLET) as shown,
    ):
        await shown.goto()
        sockets.plug("ossel-hd53", "left")
        await shown.page.get_by_role("button", name="Answer 4 questions").click()
        small = await shown.page.evaluate(
            """(least) => [...document.querySelectorAll('a, button, summary, select, .choice, input:not([type=radio])')]
              .filter((one) => one.checkVisibility() && !one.matches('.skip'))
              .map((one) => [one.outerHTML.slice(0, 80), one.getBoundingClientRect()])
              .filter(([, box]) => box.height < least || box.width < least).map(([html]) => html)""",
            LEAST_TARGET,
        )
        assert small == []


async def test_the_whole_bench_can_be_worked_from_the_keyboard(browser: Browser, tmp_path: Path) -> None:
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        served(tmp_path) as bench,
        screen(browser, bench.url) as shown,
    ):
        await shown.goto()
        sockets.plug("ossel-hd53", "left")
        sockets.plug("brindle-hd50+small-grid", "right")
        left, right = await shown.shows("left", "PASS"), await shown.shows("right", "FAIL")
        keys = shown.page.keyboard
        await keys.press("Tab")
        skip = shown.page.get_by_role("link", name="To the places")
        await expect(skip).to_be_focused()
        await expect(skip).to_be_in_viewport()
        await keys.press("Enter")
        await keys.press("Tab")
        await expect(left.get_by_role("link", name="Report")).to_be_focused()
        ring = await left.get_by_role("link", name="Report").evaluate("(one) => getComputedStyle(one).outlineWidth")
        assert float(ring.removesuffix("px")) >= 3
        await keys.press("ArrowRight")
        await expect(right.get_by_role("link", name="Report")).to_be_focused()
        await keys.press("Tab")
        await expect(right.get_by_role("button", name="Console")).to_be_focused()
        await keys.press("Enter")
        await expect(shown.page.get_by_role("button", name="Close")).to_be_focused()
        await keys.press("Escape")
        await expect(right.get_by_role("button", name="Console")).to_be_focused()
        await keys.press("Tab")
        await keys.press("Enter")
        await shown.shows("right", "READING")
        await shown.shows("right", "FAIL")
        assert len(bench.reports) == 3
        await right.get_by_role("link", name="Report").focus()
        await keys.press("Enter")
        await expect(shown.page.get_by_role("heading", name="Findings", exact=True)).to_be_visible()


async def test_a_sound_tells_good_from_bad_once_it_is_switched_on(browser: Browser, tmp_path: Path) -> None:
    count = """
    window.tones = [];
    const make = AudioContext.prototype.createOscillator;
    AudioContext.prototype.createOscillator = function () {
      const tone = make.call(this);
      const start = tone.start;
      tone.start = (...when) => { tones.push(tone.frequency.value); start.apply(tone, when); };
      return tone;
    };
    """
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        served(tmp_path) as bench,
        screen(browser, bench.url) as shown,
    ):
        await shown.page.add_init_script(count)
        await shown.goto()
        sockets.plug("ossel-hd53", "left")
        await shown.shows("left", "PASS")
        assert await shown.page.evaluate("tones") == []
        switch = shown.page.get_by_role("button", name="Sound")
        await expect(switch).to_have_attribute("aria-pressed", "false")
        await switch.click()
        await expect(switch).to_have_attribute("aria-pressed", "true")
        await shown.page.wait_for_function("() => tones.length === 2")
        good = await shown.page.evaluate("tones.splice(0)")
        sockets.plug("brindle-hd50+small-grid", "right")
        await shown.page.wait_for_function("() => tones.length === 3")
        bad = await shown.page.evaluate("tones")
        assert good == sorted(good)
        assert bad == sorted(bad, reverse=True)
        await shown.page.reload()
        await expect(switch).to_have_attribute("aria-pressed", "true")
        await shown.shows("right", "FAIL")
        assert await shown.page.evaluate("tones") == []


@pytest.mark.parametrize("how", ["switch", "wish", "forced"])
async def test_in_high_contrast_everything_can_still_be_told_apart(browser: Browser, tmp_path: Path, how: str) -> None:
    options: dict[str, Any] = {"wish": {"contrast": "more"}, "forced": {"forced_colors": "active"}}.get(how, {})
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        served(tmp_path) as bench,
        screen(browser, bench.url, **options) as shown,
    ):
        await shown.goto()
        for name, kind in (("good", "ossel-hd53"), ("bad", "brindle-hd50+small-grid"), ("odd", "bootloader")):
            sockets.plug(kind, name)
        await shown.shows("good", "PASS")
        bad = await shown.shows("bad", "FAIL")
        await shown.shows("odd", "SHUT")
        if how == "switch":
            button = shown.page.get_by_role("button", name="High contrast")
            await button.click()
            await expect(button).to_have_attribute("aria-pressed", "true")
            await shown.page.reload()
            await expect(button).to_have_attribute("aria-pressed", "true")
            await shown.shows("bad", "FAIL")
        if how != "forced":
            assert await shown.page.evaluate("getComputedStyle(document.body).color") == "rgb(0, 0, 0)"
        await shown.picture(f"contrast-{how}")
        assert await shown.violations() == []
        if how == "wish":
            return
        await bad.get_by_role("link", name="Report").click()
        await expect(shown.page.get_by_role("heading", name="Findings", exact=True)).to_be_visible()
        await shown.picture(f"contrast-{how}-report")
        assert await shown.violations() == []


class Grumbler:
    """A plug-in that fails at each arrival, so that the bench has something to tell."""

    @hookimpl
    def propsoff_arrived(self, arrival: Any) -> None:
        """Fail."""
        raise RuntimeError("<b>the lamp</b> is not there")


async def test_troubles_are_listed_only_when_there_are_some_and_can_be_put_away(
    browser: Browser, tmp_path: Path
) -> None:
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        served(tmp_path, extra=[("grumbler", Grumbler())]) as bench,
        screen(browser, bench.url) as shown,
    ):
        await shown.goto()
        troubles = shown.page.get_by_role("region", name="Troubles")
        await expect(shown.page.get_by_text("connected")).to_be_visible()
        await expect(troubles).to_be_hidden()
        sockets.plug("ossel-hd53", "left")
        await expect(troubles).to_contain_text("1 trouble")
        await expect(troubles).to_contain_text("<b>the lamp</b> is not there")
        await shown.shows("left", "PASS")
        await troubles.locator("summary").click()
        await shown.picture("troubles")
        assert await shown.violations() == []
        await troubles.get_by_role("button", name="Put away").click()
        await expect(troubles).to_be_hidden()
        await shown.page.reload()
        await shown.shows("left", "PASS")
        await expect(troubles).to_be_hidden()


async def test_the_page_is_there_within_a_second(browser: Browser, tmp_path: Path) -> None:
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        served(tmp_path) as bench,
        screen(browser, bench.url) as shown,
    ):
        sockets.plug("ossel-hd53", "left")
        await bench.report()
        took = []
        for _ in range(3):
            await shown.goto()
            await shown.shows("left", "PASS")
            took.append(
                await shown.page.evaluate("performance.getEntriesByName('first-contentful-paint')[0].startTime")
            )
        assert 0 < min(took) <= MOST_FIRST_PAINT_MS

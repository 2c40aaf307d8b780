"""The page of a report, history, and signing in, in a real browser."""

from __future__ import annotations

import asyncio
import json
import re
from dataclasses import replace
from pathlib import Path
from urllib.parse import quote

import pytest
from playwright.async_api import Browser, Route, expect

from page.browser.driven import ALL_SIZES, TABLET, WAIT_MS, screen, served
from propsoff.console.capture import load_capture
from propsoff_sim.bench import SimBench
from propsoff_sim.catalogue import board
from tests_support.benches import WAIT_S

pytestmark = pytest.mark.asyncio(loop_scope="module")

# Ways to write another site that begin as a path may, or do not look like one.
ELSEWHERE = (
    "//elsewhere.example/",
    "https://elsewhere.example/",
    "/\\elsewhere.example/",
    "/.//elsewhere.example/",
    "https://elsewhere.example//elsewhere.example/",
    "javascript:document.title=1",
)
TOKEN = "a-token-of-this-test-that-is-long-enough-0123456789"


async def test_a_report_tells_what_to_do_shows_the_overlay_and_can_be_taken_away(
    browser: Browser, tmp_path: Path
) -> None:
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        served(tmp_path) as bench,
        screen(browser, bench.url) as shown,
    ):
        await shown.goto()
        sockets.plug("brindle-hd50+small-grid", "left")
        tile = await shown.shows("left", "FAIL")
        await tile.get_by_role("link", name="Report").click()
        page = shown.page
        report = await bench.report()
        fault = next(one for one in report.findings if one.outcome.value == "fail")
        await expect(page.get_by_role("heading", level=1)).to_have_text("Teal Wren")
        await expect(page.locator(".verdict")).to_have_text("FAIL")
        first = page.get_by_role("region", name="What to do first")
        await expect(first.locator(".typed").first).to_have_text(fault.remedy.console[0])
        finding = page.get_by_role("article").filter(has_text=fault.summary)
        for text in (fault.expected, fault.actual, fault.why, fault.caution, fault.evidence[0].text.strip()):
            assert text
            await expect(finding).to_contain_text(" ".join(text.split()))
        for line in fault.remedy.console:
            await expect(finding.get_by_text(line, exact=True)).to_be_visible()
        overlay = page.get_by_role("img", name="Drawing of the overlay")
        await expect(overlay).to_be_visible()
        assert await overlay.evaluate("(one) => one.decode().then(() => one.naturalWidth)") > 300
        assert await shown.violations() == []
        assert not await shown.too_wide()
        await shown.picture("report", ALL_SIZES)
        await shown.picture("report-whole", [TABLET], whole=True)
        async with page.expect_download() as begun:
            await page.get_by_role("link", name="Download report (JSON)").click()
        file = await (await begun.value).path()
        assert json.loads(Path(file).read_bytes())["id"] == report.id
        async with page.expect_download() as begun:
            await page.get_by_role("link", name="Download conversation").click()
        saved = tmp_path / "saved.cast"
        await (await begun.value).save_as(saved)
        assert load_capture(saved).sha256 == report.capture.sha256
        async with page.expect_download() as begun:
            await page.get_by_role("link", name="Download card").click()
        assert (await begun.value).suggested_filename == f"{report.id}.html"
        await page.get_by_role("button", name="Console").click()
        rows = page.get_by_role("list", name="What was said")
        await expect(rows.locator("li").last).to_contain_text("end: done")
        await expect(rows.locator(".by-board", has_text="Brindle 2.6.1").first).to_be_attached()
        assert await shown.violations() == []
        await page.keyboard.press("Escape")
        await expect(page.get_by_role("button", name="Console")).to_be_focused()
        await page.get_by_role("link", name="Card to print").click()
        await expect(page.get_by_text("Inspection card")).to_be_visible()


async def test_a_craft_that_comes_back_makes_its_report_old_and_the_two_are_compared(
    browser: Browser, tmp_path: Path
) -> None:
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        served(tmp_path) as bench,
        screen(browser, bench.url) as shown,
    ):
        sockets.plug("ossel-hd53+order-taer", "left")
        first = await bench.report()
        await bench.files(1)
        await shown.goto(f"/reports/{first.id}")
        page = shown.page
        await expect(page.get_by_text("There is no other visit of this craft to compare with.")).to_be_visible()
        await expect(page.get_by_text("OLD", exact=True)).to_be_hidden()
        sockets.unplug("left")
        await page.evaluate("window.same = true")
        sockets.plug("ossel-hd53", "left")
        await expect(page.get_by_text("OLD", exact=True)).to_be_visible(timeout=WAIT_MS)
        assert await page.evaluate("window.same")
        assert (await page.title()).startswith("OLD: FAIL")
        assert await shown.violations() == []
        await shown.picture("old")
        await page.get_by_role("link", name="Open the newer report").click()
        await expect(page.locator(".verdict")).to_have_text("PASS")
        order = page.get_by_role("row").filter(has=page.get_by_role("rowheader", name="channels.order", exact=True))
        compared = page.get_by_role("region", name="Compared with an earlier visit")
        await expect(compared).to_contain_text("1 of ")
        await expect(order.first).to_contain_text("TAER")
        await expect(order.first).to_contain_text("AETR")
        await expect(compared.get_by_role("region", name="Findings that came")).to_contain_text("channel-order")
        history = page.get_by_role("region", name="History of this craft")
        await expect(history.get_by_role("row")).to_have_count(3)
        await expect(history.get_by_text("(this report)")).to_be_visible()
        await shown.picture("compared", [TABLET], whole=True)
        assert await shown.violations() == []
        await history.get_by_role("link").click()
        await expect(page.locator(".verdict")).to_have_text("FAIL")


async def test_a_report_that_does_not_exist_is_told_with_a_way_back(browser: Browser, tmp_path: Path) -> None:
    async with served(tmp_path) as bench, screen(browser, bench.url) as shown:
        await shown.goto("/reports/20260101T000000Z-nobody-000000000000")
        await expect(shown.page.get_by_text("there is no report")).to_be_visible(timeout=WAIT_MS)
        await expect(shown.page.get_by_role("link", name="Bench")).to_be_visible()
        assert await shown.violations() == []
        assert all("404" in text for text in shown.complaints)
        shown.complaints.clear()


@pytest.mark.parametrize("kept", [True, False], ids=["history", "this run"])
async def test_visits_are_listed_and_filtered_and_the_list_can_be_passed_on(
    browser: Browser, tmp_path: Path, kept: bool
) -> None:
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        served(tmp_path, store={"enabled": kept}) as bench,
        screen(browser, bench.url, TABLET) as shown,
    ):
        for name in ("ossel-hd53", "brindle-hd50+small-grid", "gps"):
            sockets.plug(name, name.partition("+")[0])
        await bench.report(3)
        await bench.files(3)
        page = shown.page
        await shown.goto("/history")
        found, rows = page.locator("#found"), page.get_by_role("region", name="Visits").get_by_role("row")
        # History takes a report in a moment after its file is written.
        async with asyncio.timeout(WAIT_S):
            while "3 visits" not in await found.inner_text():
                await page.get_by_role("button", name="Show all").click()
                await expect(found).to_have_text(re.compile("visit"))
        told = "" if kept else " History is not kept here: these are the visits since the bench was started."
        await expect(found).to_have_text(f"3 visits.{told}")
        await expect(rows).to_have_count(4)
        assert await shown.violations() == []
        await shown.picture("history", ALL_SIZES)
        await page.get_by_label("Verdict").select_option("fail")
        await page.get_by_label("From").fill("2020-01-01")
        await page.get_by_role("button", name="Show", exact=True).click()
        await expect(rows).to_have_count(2)
        await expect(rows.last).to_contain_text("fail")
        await page.goto(page.url)
        await expect(page.get_by_label("Verdict")).to_have_value("fail")
        await expect(rows).to_have_count(2)
        await page.get_by_label("Craft, or serial number").fill("<b>nobody</b>")
        await page.keyboard.press("Enter")
        await expect(found).to_have_text(re.compile("No visit is like that"))
        await page.get_by_role("button", name="Show all").click()
        await expect(rows).to_have_count(4)
        await rows.filter(has_text="pass").get_by_role("link").click()
        await expect(page.locator(".verdict")).to_have_text("PASS")


async def test_a_bench_with_a_token_asks_for_it_once_and_leads_back(browser: Browser, tmp_path: Path) -> None:
    file = tmp_path / "token"
    file.write_text(TOKEN)
    file.chmod(0o600)
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        served(tmp_path, page={"token_file": str(file)}) as bench,
        screen(browser, bench.url, TABLET) as shown,
    ):
        sockets.plug("ossel-hd53", "left")
        page = shown.page
        await shown.goto("/history")
        await expect(page.get_by_label("Token")).to_be_focused()
        assert await shown.violations() == []
        await shown.picture("sign-in", [TABLET])
        await page.keyboard.type("not this one")
        await page.keyboard.press("Enter")
        await expect(page.get_by_role("alert")).to_have_text("That is not the token of this bench.")
        await page.get_by_label("Token").fill(TOKEN)
        await page.keyboard.press("Enter")
        await expect(page.get_by_role("heading", name="History")).to_be_visible()
        assert page.url == f"{bench.url}/history"
        await shown.goto()
        await shown.shows("left", "PASS")
        assert await page.evaluate("document.cookie") == ""
        assert all("401" in text for text in shown.complaints)
        shown.complaints.clear()
        await page.context.clear_cookies()
        await page.reload()
        await expect(page.get_by_label("Token")).to_be_focused()


async def test_signing_in_never_leads_to_another_site(browser: Browser, tmp_path: Path) -> None:
    file = tmp_path / "token"
    file.write_text(TOKEN)
    file.chmod(0o600)
    async with served(tmp_path, page={"token_file": str(file)}) as bench, screen(browser, bench.url) as shown:
        for leads in ELSEWHERE:
            await shown.goto(f"/sign-in?next={quote(leads, safe='')}")
            await shown.page.get_by_label("Token").fill(TOKEN)
            async with shown.page.expect_navigation():
                await shown.page.keyboard.press("Enter")
            assert shown.page.url.startswith(f"{bench.url}/"), leads
        shown.complaints.clear()


async def test_visits_of_one_minute_can_be_told_apart_where_one_is_chosen_to_compare_with(
    browser: Browser, tmp_path: Path
) -> None:
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        served(tmp_path) as bench,
        screen(browser, bench.url) as shown,
    ):
        sockets.plug("ossel-hd53", "left")
        for number in (1, 2, 3, 4):
            await bench.report(number)
            await bench.files(number)
            if number < 4:
                assert (await shown.page.request.post(f"{bench.url}/api/1/places/left/inspect", data={})).ok
        visits = [{"id": one.id, "created": "2026-03-14T10:00:00Z", "verdict": "pass"} for one in bench.reports]
        told = {"visits": visits, "from": "history"}

        async def of_one_second(route: Route) -> None:
            await route.fulfill(json=told)

        for same_second in (False, True):
            if same_second:
                await shown.page.route("**/api/1/reports?craft=*", of_one_second)
            await shown.goto(f"/reports/{bench.reports[-1].id}")
            options = shown.page.get_by_label("Compare with the visit of").locator("option")
            await expect(options).to_have_count(3, timeout=WAIT_MS)
            called = await options.all_inner_texts()
            assert len(set(called)) == 3, called
            assert all(re.search(r"\d\d:\d\d:\d\d, pass", text) for text in called), called


async def test_no_word_is_broken_in_the_list_of_visits(browser: Browser, tmp_path: Path) -> None:
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        served(tmp_path) as bench,
        screen(browser, bench.url, TABLET) as shown,
    ):
        for place, name in {"one": "Teal Wren with a name of very many words " * 3, "two": "W" * 110}.items():
            sockets.plug(replace(board("ossel-hd53"), label=name, serial=f"4F2A{place}"), place)
        await bench.report(2)
        await bench.files(2)
        await shown.goto("/history")
        rows = shown.page.get_by_role("region", name="Visits").get_by_role("row")
        async with asyncio.timeout(WAIT_S):
            while await rows.count() < 3:
                await shown.page.get_by_role("button", name="Show all").click()
                await expect(shown.page.locator("#found")).to_have_text(re.compile("visit"))
        for width, height in (*ALL_SIZES, (640, 400)):
            await shown.resize(width, height)
            broken = await shown.page.evaluate(
                """() => [...document.querySelectorAll('.visits td bdi')].flatMap((one) => {
                  const range = document.createRange(), text = one.firstChild;
                  return [...text.data.matchAll(/[^\\s-]+/g)].filter(({ 0: word, index }) => {
                    range.setStart(text, index);
                    range.setEnd(text, index + word.length);
                    return word.length < 25 && new Set([...range.getClientRects()].map((box) => box.top)).size > 1;
                  }).map(({ 0: word }) => word);
                })"""
            )
            assert broken == [], (width, height)
            assert not await shown.too_wide()
        await shown.picture("history-long", [TABLET, (640, 400)])

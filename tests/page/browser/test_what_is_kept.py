"""What a person wrote or pointed at is not lost: unsent words stay until they are read, the focus in its tile."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.async_api import Browser, Locator, expect

from page.browser.driven import TABLET, WAIT_MS, Screen, asking, screen, served
from page.browser.test_a_persons_word import PLACE, a_craft_with_questions, an_unlisted_port, answer_form, decide
from page.browser.test_the_bench_is_gone import a_free_port
from propsoff_sim.bench import SimBench

pytestmark = pytest.mark.asyncio(loop_scope="module")

REMARK = "What else did you notice?"
UNSENT = f"was not sent: {REMARK} loose antenna."
ZOOMED = (640, 400)  # 1280x800 at 200 %


async def asks_again(shown: Screen) -> Locator:
    """The tile, once the questions wait anew."""
    tile = shown.tile("left")
    await expect(tile.get_by_role("button", name="Answer 4 questions")).to_be_visible(timeout=WAIT_MS)
    return tile


async def in_view(shown: Screen) -> bool:
    """Whether what has the focus can be seen whole, and no drawer lies over it."""
    return bool(
        await shown.page.evaluate(
            """() => {
              const box = document.activeElement.getBoundingClientRect();
              const drawer = document.getElementById('drawer');
              const end = drawer && !drawer.hidden && !drawer.contains(document.activeElement)
                ? drawer.getBoundingClientRect().top : innerHeight;
              return document.activeElement !== document.body && box.top >= 0 && box.bottom <= end + 1;
            }"""
        )
    )


async def test_what_was_not_sent_stays_when_somebody_inspects_again_until_it_is_understood(
    browser: Browser, tmp_path: Path
) -> None:
    async with a_craft_with_questions(browser, tmp_path) as (shown, bench, _):
        form = await answer_form(shown)
        await form.get_by_label(REMARK).fill("loose antenna")
        answered = await shown.page.request.post(f"{bench.url}/api/1/places/left/inspect", data={})
        assert answered.ok
        await bench.report(2)
        tile = await asks_again(shown)
        await expect(tile).to_contain_text(UNSENT)
        await answer_form(shown)
        await expect(tile).to_contain_text(UNSENT)
        await shown.picture("unsent", [TABLET])
        assert await shown.violations() == []
        await tile.get_by_role("button", name="Understood").click()
        await expect(tile).not_to_contain_text(UNSENT)


async def test_what_was_not_sent_stays_over_a_restart_of_the_daemon(browser: Browser, tmp_path: Path) -> None:
    port, options = a_free_port(), asking(tmp_path)
    async with SimBench(tmp_path / "sockets") as sockets, screen(browser, f"http://127.0.0.1:{port}") as shown:
        sockets.plug("ossel-hd53", "left")
        async with served(tmp_path, port=port, **options):
            await shown.goto()
            await asks_again(shown)
            await (await answer_form(shown)).get_by_label(REMARK).fill("loose antenna")
        await expect(shown.page.locator("#gone")).to_be_visible(timeout=WAIT_MS)
        async with served(tmp_path, port=port, **options) as bench:
            await expect(shown.page.locator("#gone")).to_be_hidden(timeout=WAIT_MS)
            await bench.report(1)
            tile = await asks_again(shown)
            await expect(tile).to_contain_text(UNSENT)
            shown.complaints.clear()
            await tile.get_by_role("button", name="Understood").click()
            await expect(tile).not_to_contain_text(UNSENT)
        shown.complaints.clear()


async def test_what_was_not_sent_stays_although_its_place_is_gone(browser: Browser, tmp_path: Path) -> None:
    port, options = a_free_port(), {**asking(tmp_path), "store": {"enabled": False}}
    async with SimBench(tmp_path / "sockets") as sockets, screen(browser, f"http://127.0.0.1:{port}") as shown:
        sockets.plug("ossel-hd53", "left")
        async with served(tmp_path, port=port, **options):
            await shown.goto()
            await asks_again(shown)
            await (await answer_form(shown)).get_by_label(REMARK).fill("loose antenna")
        sockets.unplug("left")
        for memory in (tmp_path / "state").glob("places*"):
            memory.unlink()
        await expect(shown.page.locator("#gone")).to_be_visible(timeout=WAIT_MS)
        async with served(tmp_path, port=port, **options):
            await expect(shown.page.locator("#gone")).to_be_hidden(timeout=WAIT_MS)
            tile = await shown.shows("left", "EMPTY")
            await expect(tile).to_contain_text(UNSENT)
            await tile.get_by_role("button", name="Understood").click()
            await expect(tile).to_have_count(0)
            await expect(shown.page.get_by_text("Nothing has been plugged in yet.")).to_be_visible()
            shown.complaints.clear()
        shown.complaints.clear()


async def test_the_report_page_keeps_what_was_not_sent_until_it_is_understood(browser: Browser, tmp_path: Path) -> None:
    async with a_craft_with_questions(browser, tmp_path) as (shown, bench, _):
        await shown.goto(f"/reports/{bench.reports[0].id}")
        await shown.page.get_by_label(REMARK).fill("loose antenna")
        assert (await shown.page.request.post(f"{bench.url}/api/1/places/left/inspect", data={})).ok
        notice = shown.page.locator(".notice")
        await expect(notice).to_contain_text(UNSENT)
        await expect(shown.page.get_by_text("OLD", exact=True)).to_be_visible(timeout=WAIT_MS)
        await expect(notice).to_contain_text(UNSENT)
        await notice.get_by_role("button", name="Understood").click()
        await expect(notice).to_have_count(0)


async def test_the_report_page_sends_to_its_own_form_for_what_is_seen_by_hand(browser: Browser, tmp_path: Path) -> None:
    async with a_craft_with_questions(browser, tmp_path) as (shown, bench, _):
        await shown.goto(f"/reports/{bench.reports[0].id}")
        await expect(shown.page.locator("form.questions")).to_be_visible(timeout=WAIT_MS)
        findings = shown.page.get_by_role("region", name="Findings", exact=True)
        await expect(findings.get_by_text("answer it in the form above").first).to_be_visible()
        await expect(shown.page.locator("#report")).not_to_contain_text("propsoff inspect --ask")
        await shown.page.get_by_role("button", name="Not now").click()
        await expect(findings.get_by_text("propsoff inspect --ask").first).to_be_visible()


async def test_answers_that_were_given_are_told_apart_from_those_left_open_and_the_focus_stays(
    browser: Browser, tmp_path: Path
) -> None:
    async with a_craft_with_questions(browser, tmp_path) as (shown, _, _):
        form = await answer_form(shown)
        await form.get_by_role("group", name="Are all propellers off?").get_by_label("Yes").check()
        await form.get_by_label("Which firmware do the goggles run?").fill("4.3.0")
        await form.get_by_label("small").check()
        await form.get_by_role("button", name="Give these answers").focus()
        await shown.page.keyboard.press("Enter")
        tile = shown.tile("left")
        await expect(tile).to_contain_text("3 questions answered, 1 left open; the report is made anew.")
        await expect(tile.get_by_role("button", name="Understood")).to_be_focused()
        await shown.picture("answered", [TABLET])
        await shown.page.keyboard.press("Enter")
        await expect(tile.get_by_role("link", name="Report")).to_be_focused()
        await tile.get_by_role("button", name="Inspect again").focus()
        await shown.page.keyboard.press("Enter")
        await expect(tile.get_by_role("button", name="Answer")).to_be_visible(timeout=WAIT_MS)
        assert await tile.evaluate("(one) => one.contains(document.activeElement)")
        form = tile.locator("form.questions")
        await tile.get_by_role("button", name="Answer").focus()
        await shown.page.keyboard.press("Enter")
        await form.get_by_role("button", name="Not now").focus()
        await shown.page.keyboard.press("Enter")
        await expect(tile.get_by_role("button", name="Understood")).to_be_focused()


async def test_the_focus_stays_in_the_tile_whatever_is_said_about_a_port(browser: Browser, tmp_path: Path) -> None:
    async with an_unlisted_port(browser, tmp_path) as (shown, _, _, _, _):
        keys, tile = shown.page.keyboard, shown.tile(PLACE)
        understood = tile.get_by_role("button", name="Understood")
        for press in ("Keep shut for now", "Allow, and read it"):
            panel = await decide(shown)
            await panel.get_by_role("button", name=press).focus()
            await keys.press("Enter")
            await expect(understood).to_be_focused()
            if press.startswith("Keep"):
                await keys.press("Enter")
                await expect(tile.get_by_role("button", name="Decide about this port")).to_be_focused()
        await shown.shows(PLACE, "PASS")
        await expect(understood).to_be_focused()
        await keys.press("Enter")
        await expect(tile.get_by_role("link", name="Report")).to_be_focused()


async def test_a_denied_port_says_which_button_takes_it_back(browser: Browser, tmp_path: Path) -> None:
    async with an_unlisted_port(browser, tmp_path) as (shown, _, _, _, _):
        panel = await decide(shown)
        await panel.get_by_role("button", name="Never open it").focus()
        await shown.page.keyboard.press("Enter")
        lead = shown.tile(PLACE).locator(".lead")
        await expect(lead).to_contain_text("press “Take it back” under “Allowed and denied ports” below")
        await expect(shown.tile(PLACE)).not_to_contain_text("propsoff revoke")
        await expect(shown.tile(PLACE).get_by_role("button", name="Understood")).to_be_focused()
        await shown.picture("denied", [TABLET])


async def test_at_twice_the_size_the_focus_can_be_seen_and_the_drawer_leaves_half(
    browser: Browser, tmp_path: Path
) -> None:
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        served(tmp_path, **asking(tmp_path)) as bench,
        screen(browser, bench.url, ZOOMED, device_scale_factor=2) as shown,
    ):
        await shown.goto()
        for place in ("left", "middle", "right"):
            sockets.plug("ossel-hd53+layout-cramped", place)
        await expect(shown.page.locator(".tile[data-state=report]")).to_have_count(3, timeout=WAIT_MS)
        tile, keys = shown.tile("right"), shown.page.keyboard
        await shown.shows("right", "UNKNOWN")
        if await tile.get_by_role("button", name="right: show all of it").count():
            await tile.get_by_role("button", name="right: show all of it").focus()
            await keys.press("Enter")
        await expect(tile.get_by_role("button", name="Console")).to_be_visible()
        assert await in_view(shown)
        await shown.picture("zoomed-unfolded", [ZOOMED])
        await tile.get_by_role("button", name="Console").focus()
        await keys.press("Enter")
        drawer = shown.page.get_by_role("complementary", name="Console of right")
        rows = drawer.get_by_role("list", name="What was said")
        await expect(rows.locator("li").last).to_contain_text("end: done")
        high = await drawer.evaluate("(one) => one.getBoundingClientRect().height")
        assert high <= ZOOMED[1] / 2
        assert await rows.evaluate("(one) => one.clientHeight") >= high / 2
        await shown.picture("zoomed-drawer", [ZOOMED])
        answer, asked = tile.get_by_role("button", name="Answer 4 questions"), tile.locator("form.questions h3")
        await answer.focus()
        assert await in_view(shown)
        await keys.press("Enter")
        if await answer.get_attribute("aria-expanded") == "false":  # it was unfolded with the tile
            await keys.press("Enter")
        await expect(asked).to_be_focused()
        assert await in_view(shown)
        await shown.picture("zoomed-questions", [ZOOMED])
        assert await shown.violations() == []

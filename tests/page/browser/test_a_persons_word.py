"""What a person says on the page: whether a port may be opened, and what no console can tell."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

import pytest
from playwright.async_api import Browser, Locator, Route, expect

from page.browser.driven import ALL_SIZES, TABLET, WAIT_MS, WIDE, Lobby, Screen, Served, asking, screen, served
from propsoff.ports.facts import Port, UsbIdentity
from propsoff_sim.bench import PluggedBoard, SimBench

pytestmark = pytest.mark.asyncio(loop_scope="module")

PLACE = "1-9"


@asynccontextmanager
async def an_unlisted_port(
    browser: Browser, folder: Path
) -> AsyncIterator[tuple[Screen, Served, PluggedBoard, Lobby, Port]]:
    """A board behind a bridge that nobody has allowed, and a page that shows it."""
    lobby = Lobby()
    async with (
        SimBench(folder / "real") as sockets,
        served(folder, extra=[("lobby", lobby)]) as bench,
        screen(browser, bench.url) as shown,
    ):
        plugged = sockets.plug("ossel-hd53", socket="1-9:1.0")
        usb = UsbIdentity(0x0403, 0x6001, "B1", product="Serial <i>Bridge</i>", path="1-9:1.0")
        port = Port(str(plugged.path), usb, "listing")
        await shown.goto()
        lobby.come(port)
        await shown.shows(PLACE, "SHUT")
        yield shown, bench, plugged, lobby, port


async def decide(shown: Screen) -> Locator:
    """The panel of the port, unfolded."""
    await shown.tile(PLACE).get_by_role("button", name="Decide about this port").click()
    panel = shown.tile(PLACE).locator("form.consent")
    await expect(panel.get_by_role("heading")).to_be_focused()
    return panel


async def test_a_port_that_is_allowed_is_read_and_what_is_sent_was_said_before(
    browser: Browser, tmp_path: Path
) -> None:
    async with an_unlisted_port(browser, tmp_path) as (shown, bench, plugged, _, _):
        panel = await decide(shown)
        for told in ("0403:6001", "Serial <i>Bridge</i>", "B1", "at most two lines, 32 bytes", "words that read"):
            await expect(panel).to_contain_text(told)
        for scope in ("This place of the bench", "This one board", "Every board of this kind", "Only this once"):
            await expect(panel.get_by_role("radio", name=scope)).to_be_visible()
        assert await shown.violations() == []
        await shown.picture("consent", ALL_SIZES)
        assert plugged.received == b""
        await panel.get_by_role("radio", name="This one board").check()
        await panel.get_by_role("button", name="Allow, and read it").click()
        tile = await shown.shows(PLACE, "PASS")
        await expect(tile).to_contain_text("Allowed: this one board.")
        report = await bench.report()
        assert report.conversation.bytes_before_identification is not None
        assert report.conversation.bytes_before_identification <= 32
        await shown.page.locator("#consents summary").click()
        listed = shown.page.locator("#consents-list li")
        await expect(listed).to_contain_text("this one board: 0403:6001, serial number B1")
        await listed.get_by_role("button", name="Take it back").click()
        await expect(shown.page.locator("#consents-said")).to_contain_text("Taken back")
        await expect(listed).to_have_count(0)


async def test_a_port_can_be_kept_shut_for_now_read_once_or_denied_for_good(browser: Browser, tmp_path: Path) -> None:
    async with an_unlisted_port(browser, tmp_path) as (shown, _, plugged, lobby, port):
        panel = await decide(shown)
        await panel.get_by_role("button", name="Keep shut for now").click()
        tile = shown.tile(PLACE)
        await expect(tile).to_contain_text("It stays shut. Nothing was sent to it.")
        await expect(panel).to_be_hidden()
        assert plugged.received == b""
        panel = await decide(shown)
        await panel.get_by_role("radio", name="Only this once").check()
        await expect(panel.get_by_role("button", name="Never open it")).to_be_disabled()
        await panel.get_by_role("button", name="Allow, and read it").click()
        await shown.shows(PLACE, "PASS")
        heard = plugged.received
        lobby.go(port)
        await shown.shows(PLACE, "EMPTY")
        lobby.come(port)
        await shown.shows(PLACE, "SHUT")
        panel = await decide(shown)
        await panel.get_by_role("button", name="Never open it").click()
        await expect(tile.locator(".lead")).to_contain_text("Denied by the operator")
        await expect(tile.get_by_role("button", name="Decide about this port")).to_be_hidden()
        assert plugged.received == heard


async def test_a_refusal_of_the_bench_stands_beside_what_was_asked(browser: Browser, tmp_path: Path) -> None:
    async with an_unlisted_port(browser, tmp_path) as (shown, bench, _, _, _):
        panel = await decide(shown)
        (bench.folder / "state" / "consents.json").mkdir()
        await panel.get_by_role("button", name="Allow, and read it").click()
        await expect(panel.get_by_role("alert")).to_contain_text("consents.json")
        await expect(shown.tile(PLACE).locator(".word")).to_have_text("SHUT")
        assert shown.complaints
        shown.complaints.clear()


@asynccontextmanager
async def a_craft_with_questions(browser: Browser, folder: Path) -> AsyncIterator[tuple[Screen, Served, SimBench]]:
    """A craft on the bench about which the sheet asks, and a page that shows it."""
    async with (
        SimBench(folder / "sockets") as sockets,
        served(folder, **asking(folder)) as bench,
        screen(browser, bench.url) as shown,
    ):
        await shown.goto()
        sockets.plug("ossel-hd53", "left")
        tile = await shown.shows("left", "UNKNOWN")
        await expect(tile.locator(".lead")).to_have_text("Answer 4 questions about it.")
        yield shown, bench, sockets


async def answer_form(shown: Screen) -> Locator:
    """The questions of the craft, unfolded."""
    await shown.tile("left").get_by_role("button", name="Answer 4 questions").click()
    return shown.tile("left").locator("form.questions")


async def the_ask(shown: Screen) -> str:
    """The address of the questions that wait."""
    asks: list[dict[str, Any]] = await (await shown.page.request.get(f"{shown.url}/api/1/asks")).json()
    return f"{shown.url}/api/1/asks/{asks[0]['id']}"


async def test_answers_make_the_report_anew_and_a_wrong_one_is_told_at_its_question(
    browser: Browser, tmp_path: Path
) -> None:
    async with a_craft_with_questions(browser, tmp_path) as (shown, bench, sockets):
        form = await answer_form(shown)
        await shown.picture("questions", [WIDE, TABLET])
        assert await shown.violations() == []
        give = form.get_by_role("button", name="Give these answers")
        await give.click()
        await expect(form.get_by_text("Nothing is answered yet.")).to_be_visible()
        await form.get_by_role("group", name="Are all propellers off?").get_by_label("Yes").check()
        version = form.get_by_label("Which firmware do the goggles run?")
        await version.fill("the newest one")
        await form.get_by_label("small").check()
        await form.get_by_label("What else did you notice?").fill("a <b>scratch</b>")
        await give.click()
        await expect(version).to_be_focused()
        await expect(version).to_have_attribute("aria-invalid", "true")
        await expect(form.get_by_text("Wanted here: a version that begins with a digit")).to_be_visible()
        await shown.picture("questions-refused", [TABLET])
        assert await shown.violations() == []
        assert all("422" in text for text in shown.complaints)
        shown.complaints.clear()
        await version.fill("4.3.0")
        await give.click()
        tile = await shown.shows("left", "PASS")
        await expect(form).to_have_count(0)
        await expect(tile).to_contain_text("4 questions answered; the report is made anew")
        facts = {fact.name: fact.value for fact in bench.reports[-1].facts}
        assert facts["hand.propellers-off"] is True
        assert facts["hand.goggles-firmware"] == "4.3.0"
        assert facts["hand.battery-connector"] == "small"
        assert facts["hand.remark"] == "a <b>scratch</b>"
        sockets.unplug("left")
        await shown.shows("left", "EMPTY")
        sockets.plug("ossel-hd53", "left")
        form = await answer_form(shown)
        before = form.get_by_label("Which firmware do the goggles run?")
        await expect(before).to_have_accessible_description("A version, such as 1.10.0 " + await earlier(form))


async def earlier(form: Locator) -> str:
    """What is said of the answer that was given before to the question of the version."""
    told = await form.locator(".field", has_text="goggles").locator(".earlier").inner_text()
    assert told.startswith("Answered earlier: 4.3.0 (")
    return told


async def test_what_is_being_typed_outlives_everything_that_the_bench_tells(browser: Browser, tmp_path: Path) -> None:
    async with a_craft_with_questions(browser, tmp_path) as (shown, bench, sockets):
        form = await answer_form(shown)
        remark = form.get_by_label("What else did you notice?")
        await remark.press_sequentially("half a w")
        sockets.plug("corvane-hd53", "right")
        await shown.shows("right", "UNKNOWN")
        sockets.unplug("right")
        await shown.shows("right", "EMPTY")
        await expect(remark).to_be_focused()
        # A page that was out of sight is told everything anew.
        async with shown.page.expect_request("**/api/1/events"):
            await shown.page.evaluate("window.dispatchEvent(new Event('pagehide'))")
            await shown.page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
        sockets.plug("brindle-hd53", "right")
        await shown.shows("right", "UNKNOWN")
        await expect(remark).to_be_focused()
        await remark.press_sequentially("ord")
        await expect(remark).to_have_value("half a word")
        await shown.page.keyboard.press("Escape")
        await expect(form).to_be_hidden()
        await answer_form(shown)
        await expect(remark).to_have_value("half a word")
        assert len(bench.reports) == 3


async def test_answered_elsewhere_the_form_goes_away_says_so_and_keeps_what_was_typed(
    browser: Browser, tmp_path: Path
) -> None:
    async with a_craft_with_questions(browser, tmp_path) as (shown, _, _):
        form = await answer_form(shown)
        await form.get_by_label("What else did you notice?").fill("loose antenna")
        answered = await shown.page.request.post(await the_ask(shown), data={"answers": {"remark": "from a rig"}})
        assert answered.ok
        tile = shown.tile("left")
        await expect(form).to_have_count(0)
        await expect(tile).to_contain_text("These questions are closed. They were answered elsewhere")
        await expect(tile).to_contain_text("was not sent: What else did you notice? loose antenna.")
        await shown.picture("questions-closed", [TABLET])
        assert await shown.violations() == []
        await tile.get_by_role("button", name="Understood").click()
        await expect(tile).not_to_contain_text("These questions are closed")


async def test_an_answer_that_comes_too_late_is_refused_and_told_plainly(browser: Browser, tmp_path: Path) -> None:
    async with a_craft_with_questions(browser, tmp_path) as (shown, bench, _):
        form = await answer_form(shown)
        ask = await the_ask(shown)

        async def another_was_faster(route: Route) -> None:
            await shown.page.request.post(ask, data={"answers": {"remark": "from a rig"}})
            await route.continue_()

        await shown.page.route("**/api/1/asks/*", another_was_faster)
        await form.get_by_label("What else did you notice?").fill("loose antenna")
        await form.get_by_role("button", name="Give these answers").click()
        tile = shown.tile("left")
        await expect(tile).to_contain_text("These questions are closed.")
        await expect(tile).to_contain_text("answered meanwhile")
        await expect(tile).to_contain_text("was not sent: What else did you notice? loose antenna.")
        assert all("410" in text for text in shown.complaints)
        shown.complaints.clear()
        facts = {fact.name: fact.value for fact in bench.reports[-1].facts}
        assert facts["hand.remark"] == "from a rig"


async def test_questions_can_be_left_for_now(browser: Browser, tmp_path: Path) -> None:
    async with a_craft_with_questions(browser, tmp_path) as (shown, bench, _):
        form = await answer_form(shown)
        await form.get_by_role("button", name="Not now").click()
        await expect(shown.tile("left")).to_contain_text("Not now: the report stays as it is.")
        await expect(shown.tile("left").get_by_role("button", name="Answer")).to_be_hidden()
        assert len(bench.reports) == 1
        await expect(shown.tile("left").locator(".lead")).to_contain_text("its 4 open questions can be answered here")
        await shown.tile("left").get_by_role("button", name="Inspect again").click()
        await expect(shown.tile("left").get_by_role("button", name="Answer 4 questions")).to_be_visible(timeout=WAIT_MS)


async def test_two_pages_ask_and_the_first_answer_counts_for_both(browser: Browser, tmp_path: Path) -> None:
    async with a_craft_with_questions(browser, tmp_path) as (shown, bench, _), screen(browser, bench.url) as other:
        await other.goto()
        report = bench.reports[0].id
        await other.goto(f"/reports/{report}")
        form = other.page.locator("form.questions")
        await expect(form).to_be_visible(timeout=WAIT_MS)
        await other.picture("report-asks", [TABLET])
        assert await other.violations() == []
        mine = await answer_form(shown)
        await asyncio.gather(
            mine.get_by_label("What else did you notice?").fill("from the bench"),
            form.get_by_label("What else did you notice?").fill("from the report"),
        )
        await mine.get_by_role("button", name="Give these answers").click()
        notice = other.page.locator(".notice")
        await expect(notice).to_contain_text("These questions are closed.")
        await expect(notice).to_contain_text("was not sent: What else did you notice? from the report.")
        await expect(other.page.get_by_text("OLD", exact=True)).to_be_visible()
        await other.page.get_by_role("link", name="Open the newer report").click()
        await expect(other.page.get_by_text("from the bench").first).to_be_visible()

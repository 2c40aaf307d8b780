"""The page in a real browser: from a file, on a screen, by WCAG's rules, and on paper."""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import AsyncIterator
from pathlib import Path

import pytest
from axe_playwright_python.async_playwright import Axe
from playwright.async_api import Browser, Page
from pypdf import PdfReader

from propsoff.console.capture import load_capture
from propsoff.inspection.report import Report
from propsoff.outputs.page import html_page
from tests_support.findings import CAUSE, EFFECT, LET_BE, PASSED, report_of
from tests_support.pages import a_browser

RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
MOST_BYTES, MOST_S = 300_000, 0.050
A4_POINTS = (595, 842)


@pytest.fixture(scope="module")
def cards(tmp_path_factory: pytest.TempPathFactory) -> dict[Path, Report]:
    """The page of each board of the demonstration, and an old one with everything on it."""
    folder = tmp_path_factory.mktemp("cards")
    demo = [sys.executable, "-m", "propsoff", "demo", "--once", "--out", str(folder / "demo")]
    subprocess.run(demo, check=True, capture_output=True, timeout=50)
    made: dict[Path, Report] = {}
    for file in sorted((folder / "demo").rglob("*.json")):
        report = Report.from_json(file.read_bytes())
        page = folder / f"{report.verdict.value}-{file.stem}.html"
        page.write_text(html_page(report, load_capture(file.with_suffix(".cast"))), encoding="utf-8")
        made[page] = report
    every = report_of(CAUSE, EFFECT, LET_BE, PASSED)
    old = folder / "old.html"
    old.write_text(html_page(every, None, replaced_by=every.id), encoding="utf-8")
    made[old] = every
    assert len(made) >= 10
    return made


@pytest.fixture
async def browser() -> AsyncIterator[Browser]:
    async with a_browser() as one:
        yield one


def one_of_each(cards: dict[Path, Report]) -> set[Path]:
    """A page of each verdict, and the old one."""
    by_verdict = {report.verdict: file for file, report in cards.items()}
    return {*by_verdict.values(), *(file for file in cards if file.name == "old.html")}


async def opened(browser: Browser, file: Path, width: int = 1280) -> tuple[Page, list[str]]:
    """The page, and everything that the browser complained of or asked for while it opened it."""
    page = await browser.new_page(viewport={"width": width, "height": 900})
    heard: list[str] = []
    page.on("console", lambda message: heard.append(f"console: {message.text}"))
    page.on("pageerror", lambda error: heard.append(f"error: {error}"))
    page.on("request", lambda request: heard.append(f"request: {request.url}"))
    await page.goto(file.as_uri())
    return page, heard


async def test_it_opens_from_a_file_asks_for_nothing_else_and_is_in_its_own_clothes(
    browser: Browser, cards: dict[Path, Report]
) -> None:
    for file in cards:
        page, heard = await opened(browser, file)
        assert heard == [f"request: {file.as_uri()}"]
        # The policy lets the style through only by its hash: without it the letters would be the browser's own size.
        size = await page.locator(".verdict").evaluate("each => parseFloat(getComputedStyle(each).fontSize)")
        assert size > 30
        await page.close()


@pytest.mark.parametrize("width", [1280, 800, 320])
async def test_nothing_is_wider_than_the_screen(browser: Browser, cards: dict[Path, Report], width: int) -> None:
    # WCAG 2.2, 1.4.10: content reflows at 320 CSS pixels without scrolling in two dimensions.
    for file in one_of_each(cards):
        page, _ = await opened(browser, file, width)
        assert await page.evaluate("document.documentElement.scrollWidth") <= width, file.name
        await page.close()


async def test_axe_finds_nothing_against_the_accessibility_rules(browser: Browser, cards: dict[Path, Report]) -> None:
    for file in one_of_each(cards):
        page, _ = await opened(browser, file)
        await page.evaluate("for (const each of document.querySelectorAll('details')) each.open = true")
        found = await Axe().run(page, options={"runOnly": {"type": "tag", "values": RULES}})
        assert found.response["passes"]
        assert [(each["id"], each["nodes"][0]["html"]) for each in found.response["violations"]] == [], file.name
        await page.close()


async def test_an_ordinary_craft_prints_on_at_most_two_sheets_of_a4(
    browser: Browser, cards: dict[Path, Report], tmp_path: Path
) -> None:
    for file in cards:
        page, _ = await opened(browser, file)
        await page.pdf(path=tmp_path / "card.pdf", prefer_css_page_size=True, print_background=True)
        sheets = PdfReader(tmp_path / "card.pdf").pages
        assert len(sheets) <= 2, file.name
        assert tuple(round(float(side)) for side in sheets[0].mediabox[2:]) == A4_POINTS
        told = sheets[-1].extract_text()
        assert "Signature" in told
        assert "Propellers off" in sheets[0].extract_text()
        await page.close()


async def test_paper_leaves_out_what_is_long_even_where_a_person_had_unfolded_it(
    browser: Browser, cards: dict[Path, Report], tmp_path: Path
) -> None:
    file = next(file for file in cards if file.name.startswith("pass"))
    page, _ = await opened(browser, file)
    await page.evaluate("for (const each of document.querySelectorAll('details')) each.open = true")
    assert await page.get_by_text("switches[0].from_us").is_visible()
    await page.pdf(path=tmp_path / "card.pdf", prefer_css_page_size=True)
    sheets = PdfReader(tmp_path / "card.pdf").pages
    assert len(sheets) == 2
    told = " ".join(sheet.extract_text() for sheet in sheets)
    assert "switches[0].from_us" not in told
    assert "facts that were read stand on the page and in the report file" in " ".join(told.split())


def test_a_page_is_small_and_quickly_made(cards: dict[Path, Report]) -> None:
    for file, report in cards.items():
        assert file.stat().st_size <= MOST_BYTES
        cast = next(file.parent.rglob(report.capture.file or ""), None)
        capture = None if cast is None else load_capture(cast)
        took = []
        for _ in range(3):
            started = time.perf_counter()
            html_page(report, capture)
            took.append(time.perf_counter() - started)
        assert min(took) <= MOST_S


async def test_each_printed_sheet_says_whose_it_is(browser: Browser, cards: dict[Path, Report], tmp_path: Path) -> None:
    for file in one_of_each(cards):
        page, _ = await opened(browser, file)
        await page.pdf(path=tmp_path / "card.pdf", prefer_css_page_size=True, print_background=True)
        sheets, report = PdfReader(tmp_path / "card.pdf").pages, cards[file]
        for number, sheet in enumerate(sheets, start=1):
            told = " ".join(sheet.extract_text().split())
            named = report.craft or report.board or "a board that did not say what it is"
            serial = f" · serial number {report.board_serial}" if report.board_serial else ""
            old = "OLD · " if file.name == "old.html" else ""
            foot = f"sheet {number} of {len(sheets)}{old}{named}{serial} · report {report.id}"
            assert foot in told, file.name
        await page.close()


async def test_what_a_board_typed_stays_text_in_the_foot_of_a_sheet(browser: Browser, tmp_path: Path) -> None:
    typed = '";}</style><p>a\\b'
    file = tmp_path / "hostile.html"
    file.write_text(html_page(report_of(CAUSE, craft=typed), None), encoding="utf-8")
    page, heard = await opened(browser, file)
    assert heard == [f"request: {file.as_uri()}"]
    await page.pdf(path=tmp_path / "card.pdf", prefer_css_page_size=True)
    assert f"{typed} · report 2027" in " ".join(PdfReader(tmp_path / "card.pdf").pages[-1].extract_text().split())


@pytest.mark.parametrize("width", [800, 500, 320])
async def test_the_heading_stays_on_its_line(browser: Browser, cards: dict[Path, Report], width: int) -> None:
    file = next(file for file in cards if file.name == "old.html")
    replaced = file.with_name("replaced.html")
    report = cards[file]
    replaced.write_text(html_page(report, None, replaces=report.id), encoding="utf-8")
    page, _ = await opened(browser, replaced, width)
    heading = page.get_by_text("Inspection card", exact=True)
    assert await heading.evaluate("each => each.getClientRects().length") == 1
    height, line = await heading.evaluate("each => [each.offsetHeight, parseFloat(getComputedStyle(each).lineHeight)]")
    assert height < 1.5 * line
    assert await page.evaluate("document.documentElement.scrollWidth") <= width

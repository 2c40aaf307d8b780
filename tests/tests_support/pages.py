"""The HTML page as a browser's parser understands it, and a real browser to open it with."""

from __future__ import annotations

from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager
from xml.etree.ElementTree import Element

import html5lib
from playwright.async_api import Browser, async_playwright

HTML = "{http://www.w3.org/1999/xhtml}"
SVG = "{http://www.w3.org/2000/svg}"
# Debian's own; the flags keep it from asking for anything by itself.
BROWSER = "/usr/bin/chromium"
FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


def parsed(page: str) -> Element:
    """The page by the HTML standard's parsing rules. Raises html5lib's ParseError on any parse error."""
    found = html5lib.HTMLParser(strict=True).parse(page)
    assert isinstance(found, Element)
    return found


def text_of(element: Element) -> str:
    """Its text with single blanks."""
    return " ".join("".join(element.itertext()).split())


def named(root: Element, name: str, class_name: str | None = None) -> Iterator[Element]:
    """The HTML elements of this name, of this class if one is given."""
    for each in root.iter(f"{HTML}{name}"):
        if class_name is None or class_name in each.get("class", "").split():
            yield each


def section(root: Element, heading_id: str) -> Element:
    """The section under a heading. Fails when there is none."""
    return next(each for each in named(root, "section") if each.get("aria-labelledby") == heading_id)


@asynccontextmanager
async def a_browser() -> AsyncIterator[Browser]:
    """A real one, started for this and ended after it."""
    async with async_playwright() as player:
        browser = await player.chromium.launch(executable_path=BROWSER, args=list(FLAGS))
        try:
            yield browser
        finally:
            await browser.close()

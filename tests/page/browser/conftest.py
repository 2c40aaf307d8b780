"""One browser for the tests of a module; each test has a screen of its own in it."""

from __future__ import annotations

from collections.abc import AsyncIterator

import pytest_asyncio
from playwright.async_api import Browser

from tests_support.pages import a_browser


@pytest_asyncio.fixture(scope="module", loop_scope="module")
async def browser() -> AsyncIterator[Browser]:
    """Debian's own Chromium."""
    async with a_browser() as one:
        yield one

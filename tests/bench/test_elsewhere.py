"""A capture inspected in another process gives the report that it gives here, or says why it does not."""

from __future__ import annotations

import asyncio
from pathlib import Path

import pytest

from propsoff.bench.elsewhere import TooLongError, inspected, inspected_elsewhere
from propsoff.exceptions import CaptureError
from propsoff.inspection.report import Report
from propsoff_sim.text import console_text
from tests_support.benches import tools_for

LARGE = b'{"version": 2, "width": 80, "height": 24}\n' + b'[0, "o", "abc = 1\\r\\n"]\n' * 30_000


def test_it_is_the_same_report_as_here(tmp_path: Path) -> None:
    tools = tools_for(tmp_path, bench={"name": "north"})
    text = console_text("ossel-hd53+order-taer").encode()
    here = Report.from_json(inspected(tools, text, cast=False))
    there = Report.from_json(asyncio.run(inspected_elsewhere(tools.settings, text, cast=False, deadline_s=50)))
    assert (there.findings, there.facts, there.bench) == (here.findings, here.facts, "north")
    assert there.capture == here.capture


async def test_what_is_no_capture_and_what_takes_too_long_is_told(tmp_path: Path) -> None:
    tools = await asyncio.to_thread(tools_for, tmp_path)
    with pytest.raises(CaptureError, match="the capture, line 1: not an asciicast"):
        await inspected_elsewhere(tools.settings, b"[]\n", cast=True, deadline_s=50)
    with pytest.raises(TooLongError, match=r"within 0.05 s"):
        await inspected_elsewhere(tools.settings, LARGE, cast=True, deadline_s=0.05)

"""A capture inspected in another process gives the report that it gives here, or says why it does not."""

from __future__ import annotations

import asyncio
import json
import subprocess
import sys
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


def test_where_the_system_forbids_a_process_to_be_modest_it_inspects_all_the_same(tmp_path: Path) -> None:
    # systemd.exec(5), SystemCallFilter= with SystemCallErrorNumber=EPERM: nice(2) and setrlimit(2) are refused so.
    code = """
import os, resource, sys
def refused(*_): raise PermissionError(1, "Operation not permitted")
os.nice = resource.setrlimit = refused
from propsoff.bench.elsewhere import main
sys.exit(main())
"""
    tools = tools_for(tmp_path)
    text = console_text("ossel-hd53").encode()
    task = json.dumps({"settings": tools.settings.model_dump_json(), "cast": False}).encode()
    done = subprocess.run(
        [sys.executable, "-c", code], input=task + b"\n" + text, capture_output=True, timeout=50, check=False
    )
    assert (done.returncode, done.stderr) == (0, b"")
    assert Report.from_json(done.stdout).findings == Report.from_json(inspected(tools, text, cast=False)).findings

"""The demonstration, as a newcomer runs it: every verdict is seen, every report is valid by the published schema."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import asciinema.asciicast as player
import jsonschema
import pytest

VERDICTS = {"pass", "warn", "fail", "unknown", "error", "incomplete"}


@pytest.fixture(scope="module")
def reports(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("demo")
    done = subprocess.run(
        [sys.executable, "-m", "propsoff", "demo", "--once", "--out", str(out)],
        capture_output=True,
        text=True,
        timeout=55,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")
    return out


def test_every_verdict_is_shown_once_at_least(reports: Path) -> None:
    seen = {json.loads(path.read_text())["verdict"] for path in reports.glob("*.json")}
    assert seen == VERDICTS


def test_every_report_is_valid_by_the_published_schema(reports: Path) -> None:
    printed = subprocess.run(
        [sys.executable, "-m", "propsoff", "schema", "report"], capture_output=True, text=True, timeout=50, check=True
    )
    validator = jsonschema.Draft202012Validator(
        json.loads(printed.stdout), format_checker=jsonschema.Draft202012Validator.FORMAT_CHECKER
    )
    paths = list(reports.glob("*.json"))
    assert len(paths) >= 10
    for path in paths:
        validator.validate(json.loads(path.read_text()))


def test_each_report_has_its_conversation_beside_it_and_it_plays(reports: Path) -> None:
    for path in reports.glob("*.json"):
        capture = path.with_suffix(".cast")
        with player.open_from_url(str(capture)) as recording:
            assert list(recording.events("o")), capture.name

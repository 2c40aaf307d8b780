"""The demonstration, as a newcomer runs it: every verdict is seen, every report is valid by the published schema."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import asciinema.asciicast as player
import jsonschema
import pytest

from propsoff.cli.demo import Show
from propsoff.cli.demo_ports import Unlisted
from propsoff.cli.demo_scenario import BOX, OTHERS, DemoPlugin
from propsoff.library import toolbox
from propsoff.plugins import build_plugins
from propsoff.settings import Settings

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
    (out / "printed.out").write_text(done.stdout)
    return out


def test_every_verdict_is_shown_once_at_least(reports: Path) -> None:
    seen = {json.loads(path.read_text())["verdict"] for path in reports.glob("*.json")}
    assert seen == VERDICTS


def test_the_two_of_the_box_that_share_a_fault_are_named_with_the_same_cause(reports: Path) -> None:
    printed = (reports / "printed.out").read_text()
    said = printed.index("the same on 2 craft: overlay-layout/small-layout")
    assert "on: Teal Wren D50, Teal Wren D53" in printed[said : said + 400]
    crafts = {path: json.loads(path.read_text()) for path in reports.glob("*.json")}
    box = {each["craft"]: each for each in crafts.values() if (each["craft"] or "").startswith("Teal Wren ")}
    causes = {
        craft: [
            f"{finding['check']}/{finding['code']}"
            for finding in report["findings"]
            if finding["outcome"] not in ("pass", "skipped") and finding["because"] is None
        ]
        for craft, report in box.items()
    }
    assert causes == {
        "Teal Wren A": [],
        "Teal Wren D50": ["overlay-layout/small-layout"],
        "Teal Wren D53": ["overlay-layout/small-layout"],
    }
    assert {report["sheet"]["name"] for report in box.values()} == {"teal-wren-analog", "teal-wren-50", "teal-wren-53"}


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


async def test_each_round_shows_what_its_words_say(tmp_path: Path) -> None:
    (tmp_path / "sockets").mkdir()
    settings = Settings(
        ports={"source": "none", "folder": tmp_path / "sockets"},
        bench={"state": tmp_path / "state"},
        output={"folder": tmp_path / "reports"},
        store={"enabled": False},
        timings={"listen_s": 0.05},
    )
    plugins = build_plugins(third_party=False, extra=[("demo", DemoPlugin(tmp_path, Unlisted()))])
    show = Show(toolbox(settings, plugins=plugins), tmp_path / "sockets", rounds=2, files=False)
    assert (await show.run(), show.missed) == (0, 0)
    acts = [*BOX, *OTHERS]
    verdicts = [report.verdict.value for report in show.reports]
    assert verdicts[: len(acts)] == verdicts[len(acts) :]
    assert [verdict for act, verdict in zip(acts, verdicts, strict=False) if "as it should be" in act.shows] == [
        "pass"
    ] * sum("as it should be" in act.shows for act in acts)


async def test_boards_that_cannot_be_plugged_in_are_no_demonstration_that_went_well(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    settings = Settings(
        ports={"source": "none"},
        bench={"state": tmp_path / "state"},
        output={"folder": tmp_path},
        timings={"listen_s": 0},
    )
    show = Show(toolbox(settings), tmp_path / "file" / "sockets", rounds=1, files=False)
    with pytest.raises(NotADirectoryError):
        await show.run()

"""When the inspection itself breaks: there is a report, it says whose fault it was, and no pass."""

from __future__ import annotations

import pytest

from propsoff import hookimpl, pasted
from propsoff.cli.common import exit_code
from propsoff.console.capture import Capture
from propsoff.inspection.report import Report
from propsoff.library import Toolbox, toolbox
from propsoff.plugins import build_plugins
from propsoff.settings import Settings
from tests_support.conversations import pasted_text


def tools(*extra: tuple[str, object]) -> Toolbox:
    return toolbox(Settings(), plugins=build_plugins(third_party=False, extra=extra))


@pytest.mark.parametrize(
    "place", ["propsoff.inspection.inspect.Transcript", "propsoff.inspection.inspect.explain", "both"]
)
@pytest.mark.parametrize(
    "capture", [pasted_text("ossel-hd53"), pasted(b""), pasted(b"hello")], ids=["board", "empty", "stranger"]
)
def test_a_fault_of_propsoff_itself_says_so_and_blames_neither_board_nor_dialect(
    monkeypatch: pytest.MonkeyPatch, place: str, capture: Capture
) -> None:
    def fault(*given: object) -> None:
        raise RuntimeError("lone \udcff surrogate")

    places = ["propsoff.inspection.inspect.Transcript", "propsoff.unexamined.conversation_of"]
    for each in places if place == "both" else [place]:
        monkeypatch.setattr(each, fault)
    report = tools().inspect(capture, file="x.txt")
    assert (report.verdict, report.complete, exit_code([report])) == ("error", False, 4)
    assert report.ended.startswith("A fault in propsoff itself")
    assert "dialect" not in " ".join([report.ended, *report.next_steps])
    assert [finding.check for finding in report.findings] == ["propsoff"]
    assert "RuntimeError: lone \\udcff surrogate" in report.findings[0].summary
    assert Report.from_json(report.to_json()) == report


def test_a_plugin_whose_error_cannot_be_written_loses_no_report() -> None:
    class Bad:
        @hookimpl
        def propsoff_sheets(self) -> None:
            raise RuntimeError("bad \udcff name\nof a file")

    report = tools(("bad", Bad())).inspect(pasted_text("ossel-hd53"))
    assert report.verdict == "error"
    [finding] = [each for each in report.findings if each.outcome == "error"]
    assert "bad \\udcff name of a file" in finding.summary
    assert Report.from_json(report.to_json()) == report


def test_what_was_not_waited_for_is_incomplete_and_can_be_inspected_later() -> None:
    report = tools().unexamined(pasted_text("ossel-hd53"))
    assert (report.verdict, report.complete, exit_code([report])) == ("incomplete", False, 3)
    assert "not examined" in report.ended
    assert report.capture.sha256 == pasted_text("ossel-hd53").sha256

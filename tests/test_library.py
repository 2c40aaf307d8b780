"""The toolbox: what could not be gathered is in every report."""

from __future__ import annotations

from pathlib import Path

import pytest

from propsoff import pasted
from propsoff.inspection.check import RESERVED
from propsoff.library import Toolbox, toolbox
from propsoff.plugins import build_plugins
from propsoff.settings_sources import load_settings
from tests_support.conversations import pasted_text


def tools(folder: Path, **checks: object) -> Toolbox:
    settings = load_settings({"checks": checks}, folder=folder).settings
    return toolbox(settings, plugins=build_plugins(third_party=False))


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The configuration folder of a user of this test's own."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    return tmp_path / "config" / "propsoff"


def test_default_folders_that_are_not_there_are_no_fault(tmp_path: Path) -> None:
    found = tools(tmp_path)
    assert (found.dialect_errors, found.sheet_errors) == ((), ())
    assert found.inspect(pasted_text("ossel-hd53")).verdict == "pass"


@pytest.mark.parametrize("where", ["named and absent", "named and broken", "the user's own and broken"])
@pytest.mark.parametrize(("kind", "check"), [("dialects", "dialect"), ("sheets", "build-sheet")])
def test_what_cannot_be_used_never_lets_a_report_pass(
    tmp_path: Path, home: Path, kind: str, check: str, where: str
) -> None:
    path = tmp_path / "named" / "mine.toml" if where.startswith("named") else home / kind / "mine.toml"
    if where.endswith("broken"):
        path.parent.mkdir(parents=True)
        path.write_text("format = 1\nnonsense = 1\n")
    settings = {kind: (path,)} if where.startswith("named") else {}
    found = tools(tmp_path, **settings)
    for capture in (pasted_text("ossel-hd53"), pasted(b"hello")):
        report = found.inspect(capture)
        found_wrong = [each for each in report.findings if each.outcome == "error"]
        assert {each.check for each in found_wrong} == {check}
        assert all(str(path) in each.summary and each.remedy.steps for each in found_wrong)
        assert report.verdict in ("error", "incomplete")


def test_no_check_may_take_the_id_under_which_dialects_are_reported() -> None:
    assert "dialect" in RESERVED

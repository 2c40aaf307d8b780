"""What an inspection goes by, as one fingerprint: every part of it counts, and in doubt there is none."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

import propsoff
import propsoff_checks
from propsoff import Check, hookimpl
from propsoff.console.capture import load_capture
from propsoff.dialects.catalogue import BUILTIN
from propsoff.inspection.finding import Finding, Outcome
from propsoff.library import Toolbox, toolbox
from propsoff.plugins import build_plugins
from propsoff.rules import PACKAGES
from propsoff.settings_sources import load_settings
from tests_support.captures import SOUND

OWN = Path(propsoff.__file__).parent
SHEET = 'format = 1\nname = "ours"\nextends = "house-default"\n[match]\ncraft = "*"\n'
PRINT_RULES = "from propsoff.library import toolbox; print(toolbox().rules.base)"
PLUGIN = """
import propsoff

@propsoff.check("spare", title="t", why="w", reads=("ports",))
def spare(case):
    return [case.passed("1")]

@propsoff.hookimpl
def propsoff_checks():
    return [spare]
"""


def tools(folder: Path, extra: tuple[tuple[str, object], ...] = (), /, **checks: object) -> Toolbox:
    settings = load_settings({"checks": checks}, folder=folder).settings
    return toolbox(settings, plugins=build_plugins(third_party=False, extra=extra))


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The configuration folder of a user of this test's own."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    return tmp_path / "config" / "propsoff"


def by_a_process(folder: Path, *places: Path) -> str:
    """The fingerprint that a new process takes, which finds modules in these places first."""
    path = os.pathsep.join([*map(str, places), os.environ.get("PYTHONPATH", "")]).rstrip(os.pathsep)
    done = subprocess.run(
        [sys.executable, "-c", PRINT_RULES],
        env={**os.environ, "PYTHONPATH": path},
        cwd=folder,
        check=True,
        capture_output=True,
        text=True,
        timeout=50,
    )
    return done.stdout.strip()


def with_another_octet(file: Path) -> None:
    file.write_bytes(file.read_bytes() + b"\n")


def test_the_same_rules_have_one_fingerprint_wherever_their_files_lie(tmp_path: Path) -> None:
    for name in ("a", "b"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "ours.toml").write_text(SHEET)
    first, second = (tools(tmp_path, sheets=[str(tmp_path / name)]).rules.base for name in ("a", "b"))
    assert first is not None
    assert first == second


@pytest.mark.parametrize("kind", ["sheets", "dialects"])
def test_one_octet_of_a_sheet_or_a_dialect_counts(tmp_path: Path, kind: str) -> None:
    file = tmp_path / "ours.toml"
    file.write_text(SHEET if kind == "sheets" else (BUILTIN / "ossel.toml").read_text())
    before = tools(tmp_path, **{kind: [str(file)]}).rules.base
    assert before is not None
    with_another_octet(file)
    after = tools(tmp_path, **{kind: [str(file)]}).rules.base
    assert after not in (before, None)


def test_a_check_that_is_left_out_and_the_version_of_propsoff_count(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen = [tools(tmp_path).rules.base, tools(tmp_path, skip=["sensors"]).rules.base]
    seen.append(tools(tmp_path, skip=["failsafe"]).rules.base)
    monkeypatch.setattr("propsoff.__version__", "99.0")
    seen.append(tools(tmp_path).rules.base)
    assert None not in seen
    assert len(set(seen)) == 4
    assert tools(tmp_path, deadline_s=9).rules.base == seen[-1]


@pytest.mark.parametrize(
    "changed", ["propsoff/library.py", "propsoff/inspection/waivers.py", "propsoff_checks/words.py"]
)
def test_one_octet_of_what_inspects_counts(tmp_path: Path, changed: str) -> None:
    place = tmp_path / "code"
    for source in (OWN, Path(propsoff_checks.__file__).parent):
        shutil.copytree(source, place / source.name, ignore=shutil.ignore_patterns("__pycache__"))
    before = by_a_process(tmp_path, place)
    assert before == by_a_process(tmp_path), "a copy is the same, wherever it lies"
    with_another_octet(place / changed)
    assert by_a_process(tmp_path, place) not in (before, "None")


def test_every_module_that_an_inspection_loads_is_among_those_that_count(tmp_path: Path) -> None:
    code = (
        "import sys; from propsoff import inspect_file; inspect_file(sys.argv[1]);"
        "found = [module.__file__ for name, module in sys.modules.items() if name.startswith('propsoff.')];"
        "print(*found, sep='\\n')"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(SOUND)], cwd=tmp_path, check=True, capture_output=True, text=True, timeout=50
    )
    own = Path(propsoff.__file__).parent
    loaded = [Path(line).relative_to(own) for line in done.stdout.splitlines()]
    assert Path("inspection/waivers.py") in loaded
    # The settings know the tables of what leaves a bench; of these nothing gets to a report.
    others = {path for path in loaded if len(path.parts) > 1 and path.parts[0] not in PACKAGES}
    assert {path.parts[0] for path in others} <= {"outgoing"}


def test_a_plug_ins_code_and_version_count(tmp_path: Path) -> None:
    lib = tmp_path / "lib"
    info = lib / "shop_rules-1.2.dist-info"
    info.mkdir(parents=True)
    (lib / "shop_rules.py").write_text(PLUGIN)
    (info / "METADATA").write_text("Metadata-Version: 2.1\nName: shop_rules\nVersion: 1.2\n")
    (info / "entry_points.txt").write_text("[propsoff]\nshop_rules = shop_rules\n")
    seen = [by_a_process(tmp_path), by_a_process(tmp_path, lib)]
    assert by_a_process(tmp_path, lib) == seen[-1]
    (lib / "shop_rules.py").write_text(PLUGIN.replace('passed("1")', 'passed("2")'))
    seen.append(by_a_process(tmp_path, lib))
    (info / "METADATA").write_text("Metadata-Version: 2.1\nName: shop_rules\nVersion: 1.3\n")
    seen.append(by_a_process(tmp_path, lib))
    assert "None" not in seen
    assert len(set(seen)) == 4


def _passes(case: Any) -> list[Finding]:
    return [case.passed("it is there")]


class _Object:
    def __call__(self, case: Any) -> list[Finding]:
        return _passes(case)


class _Given:
    def __init__(self, examine: Callable[[Any], list[Finding]]) -> None:
        self._check = Check("given", "t", "w", ("ports",), examine)

    @hookimpl
    def propsoff_checks(self) -> list[Check]:
        return [self._check]


class _Broken:
    @hookimpl
    def propsoff_checks(self) -> list[Check]:
        raise ValueError("not today")


@pytest.mark.parametrize("plugin", [_Given(_passes), _Given(_Object()), _Broken()])
def test_what_a_program_gives_or_what_fails_leaves_doubt(tmp_path: Path, plugin: object) -> None:
    assert tools(tmp_path, (("other", plugin),)).rules.base is None


@pytest.mark.parametrize("kind", ["sheets", "dialects"])
def test_a_sheet_or_a_dialect_that_is_wrong_leaves_doubt(tmp_path: Path, kind: str) -> None:
    (tmp_path / "wrong.toml").write_text("format = 1\n")
    assert tools(tmp_path, **{kind: [str(tmp_path / "wrong.toml")]}).rules.base is None


def test_a_file_that_was_changed_or_went_after_it_was_read_leaves_doubt(tmp_path: Path) -> None:
    file = tmp_path / "ours.toml"
    file.write_text(SHEET)
    changed, gone = tools(tmp_path, sheets=[str(file)]), tools(tmp_path, sheets=[str(file)])
    with_another_octet(file)
    assert changed.rules.base is None
    file.unlink()
    assert gone.rules.base is None
    assert replace(tools(tmp_path), begun_ns=0).rules.base is None, "when it was gathered is not known"


def test_code_that_was_changed_after_it_was_loaded_leaves_doubt(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    newest = max(path.stat().st_ctime_ns for path in (OWN / "inspection").glob("*.py"))
    monkeypatch.setattr("propsoff.LOADED_NS", newest - 1)
    assert tools(tmp_path).rules.base is None


def test_of_a_report_that_another_inspection_might_not_repeat_nothing_is_kept(tmp_path: Path) -> None:
    gathered = tools(tmp_path)
    capture = load_capture(SOUND)
    report = gathered.inspect(capture)
    assert gathered.rules_of(report) == gathered.rules.today()
    assert gathered.rules_of(gathered.unexamined(capture)) is None
    for check, outcome in (("failsafe", Outcome.ERROR), ("notes-file", Outcome.UNKNOWN)):
        finding = Finding(check=check, outcome=outcome, summary="it took too long, or was left out")
        assert gathered.rules_of(report.model_copy(update={"findings": (*report.findings, finding)})) is None

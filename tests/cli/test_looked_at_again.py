"""What commands that look back inspect again, and what they need not, from the first command to the last."""

from __future__ import annotations

import json
import os
import sqlite3
from collections.abc import Mapping
from pathlib import Path

import pytest

from propsoff_sim.board import with_facts
from propsoff_sim.catalogue import board, with_serial
from tests_support.conversations import recorded
from tests_support.processes import Run

PLUGIN = """
import propsoff

@propsoff.check("spare", title="t", why="w", reads=("ports",))
def spare(case):
    return [case.passed("there is one", facts=("ports",))]

@propsoff.hookimpl
def propsoff_checks():
    return [spare]
"""


@pytest.fixture
def captures(tmp_path: Path) -> Path:
    """A folder with what two simulated craft say."""
    folder = tmp_path / "captures"
    folder.mkdir()
    for at in range(2):
        state = with_facts(with_serial(board("ossel-hd53+order-taer"), f"4F2A00190{at}"), {"label": f"Wren {at}"})
        (folder / f"{at}.cast").write_bytes(recorded(state).to_bytes())
    return folder


def by_siblings(run: Run, *words: str, **more: str) -> int:
    done = run("siblings", "fenwick f7", "--json", *words, **more)
    assert done.returncode == 0, done.stderr
    [family] = json.loads(done.stdout)
    assert len(family["craft"]) == 2
    found: int = family["looked_at_again"]
    return found


def by_recheck(run: Run, *words: str, changes: bool = False, more: Mapping[str, str] | None = None) -> int:
    done = run("recheck", "--json", *words, **(more or {}))
    assert done.returncode == int(changes), done.stderr
    return sum(one["looked_at_again"] for one in json.loads(done.stdout))


def test_what_was_just_inspected_is_not_inspected_again_unless_told(run: Run, captures: Path) -> None:
    run("inspect", *captures.iterdir())
    assert (by_siblings(run), by_siblings(run, "--anew")) == (0, 2)
    assert (by_recheck(run), by_recheck(run, "--anew")) == (0, 2)
    assert (
        "looked at again: 0; need not be, as they were inspected by the same rules: 2"
        in run("siblings", "fenwick f7").stdout
    )
    assert (
        "looked at again: 2; need not be, as they were inspected by the same rules: 0\n"
        in run("recheck", "--anew").stdout
    )
    assert "looked at again" not in run("siblings", "fenwick f7", "--no-recompute").stdout
    first, second = (run("siblings", "--json", *words) for words in ((), ("--anew",)))
    assert first.stdout.replace('"looked_at_again": 0', '"looked_at_again": 2') == second.stdout


def test_of_a_batch_it_is_known_too_and_goes_with_an_export(run: Run, captures: Path, tmp_path: Path) -> None:
    run("batch", captures, "--out", tmp_path / "out", "--jobs", "2")
    assert by_siblings(run) == 0
    run("export", tmp_path / "all.jsonl")
    other = {"PROPSOFF_STORE__URL": f"sqlite:///{tmp_path}/other.sqlite"}
    assert run("import", tmp_path / "all.jsonl", **other).returncode == 0
    assert by_siblings(run, **other) == 0


def test_what_waited_for_history_is_not_inspected_again(run: Run, captures: Path, home: dict[str, str]) -> None:
    place = Path(home["XDG_DATA_HOME"]) / "propsoff" / "history.sqlite"
    place.parent.mkdir(parents=True)
    place.write_text("a letter, and no database at all")
    run("inspect", *captures.iterdir())
    place.unlink()
    assert by_siblings(run) == 0


@pytest.mark.parametrize("change", ["sheet", "skip", "plug-in"])
def test_a_change_has_both_inspected_again(
    run: Run, captures: Path, tmp_path: Path, home: dict[str, str], change: str
) -> None:
    sheet = Path(home["XDG_CONFIG_HOME"]) / "propsoff" / "sheets" / "ours.toml"
    sheet.parent.mkdir(parents=True)
    sheet.write_text('format = 1\nname = "ours"\nextends = "house-default"\n[match]\ncraft = "*"\n')
    lib = tmp_path / "lib"
    info = lib / "shop_rules-1.2.dist-info"
    info.mkdir(parents=True)
    (lib / "shop_rules.py").write_text(PLUGIN)
    (info / "METADATA").write_text("Metadata-Version: 2.1\nName: shop_rules\nVersion: 1.2\n")
    (info / "entry_points.txt").write_text("[propsoff]\nshop_rules = shop_rules\n")
    more = {"PYTHONPATH": os.pathsep.join(filter(None, (str(lib), os.environ.get("PYTHONPATH"))))}
    run("inspect", *captures.iterdir(), **more)
    assert (by_siblings(run, **more), by_recheck(run, more=more)) == (0, 0)
    if change == "sheet":
        sheet.write_text(sheet.read_text() + "\n")
    elif change == "plug-in":
        (lib / "shop_rules.py").write_text(PLUGIN.replace("one", "two"))
    else:
        more["PROPSOFF_CHECKS__SKIP"] = '["sensors"]'
    assert by_siblings(run, **more) == 2
    assert by_recheck(run, more=more) == 2


def test_recheck_notes_by_what_it_looked_at_only_when_told_to_write(
    run: Run, captures: Path, tmp_path: Path, home: dict[str, str]
) -> None:
    run("inspect", *captures.iterdir())
    database = Path(home["XDG_DATA_HOME"]) / "propsoff" / "history.sqlite"

    def forget() -> None:
        with sqlite3.connect(database) as connection:
            connection.execute("UPDATE visits SET rules = NULL")
        connection.close()

    forget()
    before = run("history", "--json").stdout
    assert (by_recheck(run), by_recheck(run), by_recheck(run, "--write")) == (2, 2, 2)
    assert (by_recheck(run), by_siblings(run)) == (0, 0)
    forget()
    assert run("history", "--json").stdout == before, "nothing else was written"


def test_a_new_report_of_recheck_is_known_to_be_by_todays_rules(run: Run, captures: Path) -> None:
    run("--set", 'checks.skip=["channel-order"]', "inspect", *captures.iterdir())
    assert by_siblings(run) == 2
    assert by_recheck(run, "--write", changes=True) == 2
    assert (by_siblings(run), by_recheck(run)) == (0, 0)


def test_a_craft_that_came_later_is_looked_at_among_those_that_need_not_be(run: Run, captures: Path) -> None:
    run("--set", 'checks.skip=["failsafe"]', "inspect", captures / "0.cast")
    run("inspect", captures / "1.cast")
    assert by_siblings(run) == 1
    assert "looked at again: 1; need not be, as they were inspected by the same rules: 1" in run("recheck").stdout

"""Documents beside the reports: several in one run, each written whole or said, and nothing else lost by it."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable
from pathlib import Path
from xml.etree import ElementTree

import pytest

from tests_support.captures import CAPTURES
from tests_support.processes import Run

BAD = CAPTURES / "brindle-hd53-order-taer.cast"
GOOD = CAPTURES / "brindle-hd53-sound.cast"

PLUGIN = """
import propsoff

class Kind:
    name, suffix, single = "labels", ".txt", False
    def make(self, told, strict):
        return "\\n".join(each.label for each in told).encode()

class Breaks(Kind):
    name = "breaks"
    def make(self, told, strict):
        raise ZeroDivisionError("by design")

@propsoff.hookimpl
def propsoff_documents():
    return [Kind(), Breaks()]
"""


@pytest.fixture
def plugin(tmp_path: Path) -> dict[str, str]:
    """The environment in which a plug-in is installed as pip would leave it (PEP 376)."""
    place = tmp_path / "site"
    info = place / "shop_kinds-1.2.dist-info"
    info.mkdir(parents=True)
    (place / "shop_kinds.py").write_text(PLUGIN)
    (info / "METADATA").write_text("Metadata-Version: 2.1\nName: shop_kinds\nVersion: 1.2\n")
    (info / "entry_points.txt").write_text("[propsoff]\nshop_kinds = shop_kinds\n")
    return {"PYTHONPATH": str(place)}


def verdicts(xml: str) -> list[tuple[str | None, str | None]]:
    root = ElementTree.fromstring(xml)
    return [
        (suite.get("name"), each.get("value"))
        for suite in root
        for each in suite.iter("property")
        if each.get("name") == "verdict"
    ]


def test_several_documents_of_one_run_are_all_written(run: Run, tmp_path: Path) -> None:
    done = run("inspect", BAD, "--html", "a.html", "--junit", "new/a.xml", "--markdown", "a.md", "--csv", "a.csv")
    assert done.returncode == 1
    assert "fail" in done.stdout
    assert verdicts((tmp_path / "new" / "a.xml").read_text()) == [(str(BAD), "fail")]
    assert (tmp_path / "a.html").read_text().lower().startswith("<!doctype html>")
    assert (tmp_path / "a.md").read_text().startswith("## fail: Teal Wren")
    rows = list(csv.DictReader(io.StringIO((tmp_path / "a.csv").read_text(), newline="")))
    assert {row["outcome"] for row in rows} == {"fail", "pass", "skipped"}


def test_what_is_there_is_replaced_whole(run: Run, tmp_path: Path) -> None:
    (tmp_path / "a.xml").write_text("old " * 100_000)
    assert run("inspect", GOOD, "--junit", "a.xml").returncode == 0
    assert verdicts((tmp_path / "a.xml").read_text()) == [(str(GOOD), "pass")]
    assert "replaced" in run("inspect", "--help").stdout


def test_standard_output_has_one_document_and_people_read_standard_error(run: Run) -> None:
    done = run("inspect", BAD, GOOD, "--junit", "-")
    assert verdicts(done.stdout) == [(str(BAD), "fail"), (str(GOOD), "pass")]
    assert "Teal Wren" in done.stderr
    assert done.returncode == 1


def test_strict_makes_a_warning_a_failure_of_the_document_too(run: Run) -> None:
    warned = CAPTURES / "ossel-hd53-small-grid.cast"
    counts = [
        ElementTree.fromstring(run("inspect", warned, "--junit", "-", *more).stdout).get("failures")
        for more in ((), ("--strict",))
    ]
    assert counts == ["0", "1"]


def test_a_file_that_cannot_be_written_costs_itself_alone(run: Run, tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    done = run("inspect", GOOD, "--json", "--csv", "file/a.csv", "--junit", "a.xml")
    assert done.returncode == 2
    assert json.loads(done.stdout)["verdict"] == "pass"
    assert "--csv" in done.stderr
    assert "could not be written" in done.stderr
    assert verdicts((tmp_path / "a.xml").read_text()) == [(str(GOOD), "pass")]
    assert run("inspect", BAD, "--csv", "file/a.csv").returncode == 1


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--junit", "-", "--csv", "-"), "two things would go there"),
        (("--junit", "-", "--json"), "two things would go there"),
        (("--junit", "a", "--csv", "./a"), "two things would go there"),
        (("--junit", "."), "is no ordinary file"),
        (("--junit", "/dev/null"), "is no ordinary file"),
        (("--junit", ""), "names no file"),
        (("--output", "junit"), "is not of the form KIND=FILE"),
        (("--output", "jnuit=a"), "there are: csv, html, junit, markdown"),
    ],
)
def test_what_cannot_be_meant_is_refused_before_anything_is_inspected(
    run: Run, words: tuple[str, ...], said: str
) -> None:
    done = run("inspect", GOOD, *words)
    assert (done.returncode, done.stdout) == (2, "")
    assert said in done.stderr


def test_what_is_read_is_never_written_over(run: Run, tmp_path: Path) -> None:
    (tmp_path / "a.cast").write_bytes(GOOD.read_bytes())
    (tmp_path / "link.html").symlink_to("a.cast")
    for name in ("a.cast", "link.html"):
        done = run("inspect", "a.cast", "--html", name)
        assert (done.returncode, done.stdout) == (2, "")
        assert "stays as it is" in done.stderr
    assert (tmp_path / "a.cast").read_bytes() == GOOD.read_bytes()


def test_pages_of_several_go_into_a_folder_and_one_name_does_not_hide_another(run: Run, tmp_path: Path) -> None:
    for folder in ("x", "y"):
        (tmp_path / folder).mkdir()
        (tmp_path / folder / "a.cast").write_bytes(GOOD.read_bytes())
    assert run("inspect", "x/a.cast", "y/a.cast", "--html", "pages").returncode == 0
    assert sorted(path.name for path in (tmp_path / "pages").iterdir()) == ["001-a.html", "002-a.html"]
    done = run("inspect", "x/a.cast", "y/a.cast", "--html", "-")
    assert (done.returncode, "name a folder" in done.stderr) == (2, True)


def test_a_batch_writes_documents_of_all_and_a_page_of_each(
    run: Run, tmp_path: Path, sim_text: Callable[..., str]
) -> None:
    tree = tmp_path / "captures"
    (tree / "monday").mkdir(parents=True)
    (tree / "good.txt").write_text(sim_text("ossel-hd53"))
    (tree / "monday" / "taer.txt").write_text(sim_text("brindle-hd53+order-taer"))
    (tree / "broken.cast").write_text("[1, 2")
    words = ("batch", tree, "--out", "out", "--html", "pages", "--csv", "all.csv", "--markdown", "all.md")
    done = run(*words, "--junit", "-")
    assert done.returncode == 1
    labels = [("broken.cast", "incomplete"), ("good.txt", "pass"), ("monday/taer.txt", "fail")]
    assert verdicts(done.stdout) == labels
    assert "3 captures: 1 pass, 1 fail, 1 incomplete" in done.stderr
    pages = tmp_path / "pages"
    assert sorted(str(path.relative_to(pages)) for path in pages.rglob("*.html")) == [
        f"{label}.html" for label, _ in labels
    ]
    rows = csv.DictReader(io.StringIO((tmp_path / "all.csv").read_text(), newline=""))
    assert sorted({(row["label"], row["verdict"]) for row in rows}) == labels
    assert (tmp_path / "all.md").read_text().startswith("# 3 inspections")
    for place, said in ((tree / "all.xml", "stays as it is"), ("out/good.txt.json", "nothing was written over it")):
        refused = run("batch", tree, "--out", "out", "--junit", place)
        assert said in refused.stderr
    assert json.loads((tmp_path / "out" / "good.txt.json").read_text())["verdict"] == "pass"


def test_a_plugin_brings_a_kind_and_one_that_breaks_costs_itself_alone(
    run: Run, tmp_path: Path, plugin: dict[str, str]
) -> None:
    done = run("inspect", GOOD, "--output", "breaks=b.txt", "--output", "labels=a.txt", "--json", **plugin)
    assert done.returncode == 2
    assert json.loads(done.stdout)["verdict"] == "pass"
    assert (tmp_path / "a.txt").read_text() == str(GOOD)
    assert not (tmp_path / "b.txt").exists()
    assert "plug-in shop_kinds: output breaks raised ZeroDivisionError: by design" in done.stderr
    listed = json.loads(run("plugins", "--json", **plugin).stdout)
    assert {row["name"]: row["documents"] for row in listed} == {
        "propsoff_checks": [],
        "propsoff.documents": ["html", "junit", "markdown", "csv"],
        "shop_kinds": ["labels", "breaks"],
    }
    assert "FILE.txt" in run("plugins", **plugin).stdout

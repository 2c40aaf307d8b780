"""`propsoff show`: a report that was made before, once more."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests_support.captures import CAPTURES
from tests_support.pages import named, parsed, text_of
from tests_support.processes import Run

BOARD = "ossel-hd53-small-grid.cast"


@pytest.fixture
def visits(run: Run, tmp_path: Path) -> tuple[str, str]:
    """Ids of two visits of one craft, the older first; their report files lie in `tmp_path / first` and `second`."""
    ids = []
    for folder in ("first", "second"):
        done = run("inspect", "--out", tmp_path / folder, "--json", CAPTURES / BOARD)
        ids.append(json.loads(done.stdout)["id"])
    return ids[0], ids[1]


def test_a_report_is_shown_as_it_was_and_its_exit_code_is_that_of_the_inspection(
    run: Run, visits: tuple[str, str]
) -> None:
    done = run("show", visits[1])
    assert done.returncode == 0  # a warning
    assert run("show", visits[1], "--strict").returncode == 1
    assert "overlay-layout" in done.stdout
    assert "OLD" not in done.stdout


def test_an_old_report_is_marked_as_old_and_names_the_newer_one(run: Run, visits: tuple[str, str]) -> None:
    done = run("show", visits[0])
    assert f"OLD: this craft was inspected again, report {visits[1]}" in done.stdout


def test_a_newer_report_names_the_one_that_it_replaces_in_every_document(
    run: Run, visits: tuple[str, str], tmp_path: Path
) -> None:
    files = {kind: tmp_path / f"card.{kind}" for kind in ("html", "markdown", "junit")}
    old, new = visits
    run("show", new, *(word for kind, file in files.items() for word in (f"--{kind}", file)))
    page = parsed(files["html"].read_text("utf-8"))
    [kind] = named(page, "p", "card-kind")
    assert f"in the place of {old}" in text_of(kind)
    assert f"in the place of: `{old}`" in files["markdown"].read_text()
    assert f'name="replaces" value="{old}"' in files["junit"].read_text()


def test_the_card_of_an_old_report_says_so_in_large_letters(run: Run, visits: tuple[str, str], tmp_path: Path) -> None:
    run("show", visits[0], "--html", tmp_path / "card.html", "--markdown", tmp_path / "card.md")
    [mark] = named(parsed((tmp_path / "card.html").read_text("utf-8")), "p", "old")
    assert visits[1] in text_of(mark)
    assert "**OLD**" in (tmp_path / "card.md").read_text()


def test_evidence_has_its_surroundings_from_history_when_the_capture_is_gone(
    run: Run, visits: tuple[str, str], tmp_path: Path
) -> None:
    run("show", visits[1], "--html", tmp_path / "card.html")
    assert "not at hand" not in (tmp_path / "card.html").read_text("utf-8")


def test_a_report_file_is_shown_and_keeps_what_it_says(run: Run, visits: tuple[str, str], tmp_path: Path) -> None:
    [file] = (tmp_path / "second").glob("*.json")
    done = run("show", file, "--json")
    assert json.loads(done.stdout) == json.loads(file.read_text())


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("talk.cast", "x", "is a conversation, not a report"),
        ("edited.json", "{}", "was edited by hand"),
        ("edited.json", "{", "was edited by hand: it is no JSON (EOF while parsing an object at line 1 column 1)"),
    ],
)
def test_what_is_no_report_is_refused_with_words(run: Run, tmp_path: Path, name: str, content: str, said: str) -> None:
    (tmp_path / name).write_text(content)
    done = run("show", tmp_path / name)
    assert done.returncode == 2
    assert said in done.stderr
    assert "pydantic" not in done.stderr


def test_a_report_that_was_edited_to_pass_does_not(run: Run, tmp_path: Path) -> None:
    made = run("inspect", "--no-history", "--json", CAPTURES / "ossel-hd53-sound.cast")
    report = json.loads(made.stdout)
    report["findings"][-1]["outcome"] = "fail"
    (tmp_path / "edited.json").write_text(json.dumps(report))
    for words in (("show",), ("compare", CAPTURES / BOARD)):
        done = run(*words, tmp_path / "edited.json")
        assert done.returncode == 2
        assert done.stdout == ""
        assert f"its verdict is {report['verdict']}, but what it found makes it fail" in done.stderr


def test_a_file_that_history_has_otherwise_is_refused_and_the_one_that_was_made_is_named(
    run: Run, visits: tuple[str, str], tmp_path: Path
) -> None:
    [file] = (tmp_path / "second").glob("*.json")
    assert run("show", file).returncode == 0
    file.write_text(file.read_text().replace("Teal Wren", "Grey Wren"))
    done = run("show", file)
    assert (done.returncode, done.stdout) == (2, "")
    assert f"was changed after it was written: history has report {visits[1]} otherwise" in done.stderr
    assert f"propsoff show {visits[1]}" in done.stderr
    assert run("--set", "store.enabled=false", "show", file).returncode == 0


@pytest.mark.parametrize(("name", "said"), [("reports", "is a folder; name a report file"), (" ", "an empty name")])
def test_a_folder_and_an_empty_name_are_said_to_be_that(run: Run, tmp_path: Path, name: str, said: str) -> None:
    (tmp_path / "reports").mkdir()
    done = run("show", name)
    assert (done.returncode, done.stdout) == (2, "")
    assert said in done.stderr


def test_a_name_that_nobody_has_says_where_to_look(run: Run) -> None:
    done = run("show", "nobody at all")
    assert done.returncode == 2
    assert "propsoff history" in done.stderr

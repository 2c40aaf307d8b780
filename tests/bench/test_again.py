"""Kept visits are inspected again where that may come out otherwise, and only there."""

from __future__ import annotations

import time
from collections.abc import Iterator
from concurrent.futures import Executor, ThreadPoolExecutor
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from propsoff.bench import batch
from propsoff.bench.again import Again, inspected_again
from propsoff.console.capture import load_capture
from propsoff.craft.model import HandNote
from propsoff.dialects.catalogue import BUILTIN
from propsoff.exceptions import NotesError
from propsoff.inspection.report import Report
from propsoff.library import Toolbox, toolbox
from propsoff.notes.model import HandNotes
from propsoff.plugins import build_plugins
from propsoff.settings_sources import load_settings
from propsoff.store.model import Wanted
from propsoff.store.packing import packed
from propsoff.store.store import Store, open_store
from tests_support.captures import SOUND

DAY_S = 86_400.0
SHEET = """\
format = 1
name = "ours"
extends = "house-default"

[match]
craft = "*"

[[questions]]
id = "bound"
ask = "Is it bound?"
kind = "yes-no"

[[waivers]]
finding = "failsafe"
reason = "parts are ordered"
until = {until}
"""
NOTES = HandNotes({"bound": HandNote(True, "2026-11-25T10:00:00Z")})


def day(days: int) -> str:
    return (datetime.now(UTC) + timedelta(days=days)).date().isoformat()


@dataclass
class Place:
    """A folder with a sheet and a dialect that the settings name, and a history."""

    folder: Path
    store: Store
    calls: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        (self.folder / "ours.toml").write_text(SHEET.format(until=day(9)))
        (self.folder / "spoken.toml").write_bytes((BUILTIN / "ossel.toml").read_bytes())

    def tools(self, **checks: object) -> Toolbox:
        named = {"sheets": [str(self.folder / "ours.toml")], "dialects": [str(self.folder / "spoken.toml")], **checks}
        settings = load_settings({"checks": named, "plugins": {"third_party": False}}, folder=self.folder).settings
        return toolbox(settings, plugins=build_plugins(third_party=False))

    def enter(self, *, days: int = 0, hand: HandNotes | NotesError | None = None) -> Report:
        """A visit that was inspected so many days ago."""
        tools = self.tools()
        report = tools.inspect(load_capture(SOUND), file="a.cast", clock=lambda: time.time() - days * DAY_S, hand=hand)
        self.store.enter(report, SOUND.read_bytes(), rules=tools.rules_of(report))
        return report

    def again(self, tools: Toolbox | None = None, **options: Any) -> list[Again]:
        """Every visit, oldest first; `calls` has the file of each inspection that was made for it."""
        self.calls.clear()
        batch._tools.cache_clear()
        return list(inspected_again(self.store, self.visits(), tools or self.tools(), self.pool, width=2, **options))

    def visits(self) -> list[Any]:
        return self.store.visits(Wanted())[::-1]

    def pool(self, captures: int) -> Executor:
        assert captures > 0
        return ThreadPoolExecutor(1)


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Place]:
    """Counts the inspections: with a thread as the pool they are made in this process."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    whole = Toolbox.inspect
    with open_store(f"sqlite:///{tmp_path}/history.sqlite") as store:
        made = Place(tmp_path, store)

        def counted(self: Toolbox, *words: Any, **options: Any) -> Report:
            made.calls.append(str(options.get("file")))
            return whole(self, *words, **options)

        monkeypatch.setattr(Toolbox, "inspect", counted)
        yield made
        batch._tools.cache_clear()


def said(report: Report | None) -> dict[str, Any]:
    assert report is not None
    return report.model_dump(exclude={"id", "created"})


def test_a_visit_that_was_inspected_by_todays_rules_is_not_inspected_and_is_the_same_as_if(place: Place) -> None:
    reports = [place.enter(), place.enter(days=2), place.enter(hand=NOTES)]
    kept = place.again()
    assert place.calls == []
    assert [again.as_kept for again in kept] == [True] * 3
    anew = place.again(anew=True)
    assert len(place.calls) == 3
    assert [again.looked_at for again in anew] == [True] * 3
    assert [said(again.new) for again in kept] == [said(again.new) for again in anew]
    assert {again.new.id for again in kept if again.new} == {report.id for report in reports}
    assert [again.rules for again in anew] == [visit.rules for visit in place.visits()]


def test_one_octet_of_a_sheet_or_a_dialect_has_it_inspected_again(place: Place) -> None:
    place.enter()
    for name in ("ours.toml", "spoken.toml"):
        whole = (place.folder / name).read_bytes()
        (place.folder / name).write_bytes(whole + b"\n")
        assert [again.looked_at for again in place.again()] == [True]
        assert len(place.calls) == 1
        (place.folder / name).write_bytes(whole)
        assert [again.looked_at for again in place.again()] == [False]


def test_a_check_that_is_left_out_and_a_new_version_have_it_inspected_again(
    place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    place.enter()
    place.again(place.tools(skip=["sensors"]))
    assert len(place.calls) == 1
    monkeypatch.setattr("propsoff.__version__", "99.0")
    place.again()
    assert len(place.calls) == 1


@pytest.mark.parametrize(("until", "inspected", "again"), [(-1, 3, 1), (-1, 0, 0), (1, 3, 0), (-5, 3, 0), (0, 1, 0)])
def test_a_waiver_that_ended_between_then_and_now_has_it_inspected_again(
    place: Place, until: int, inspected: int, again: int
) -> None:
    (place.folder / "ours.toml").write_text(SHEET.format(until=day(until)))
    place.enter(days=inspected)
    place.again()
    assert len(place.calls) == again


def test_hand_notes_that_are_others_than_those_of_that_day_have_it_inspected_again(place: Place) -> None:
    report = place.enter(hand=NOTES)
    place.enter(days=1, hand=HandNotes({"bound": HandNote(False, None)}, serial="another"))
    place.enter(days=2, hand=NotesError("cannot be read"))
    assert [again.looked_at for again in place.again()] == [True, True, False], "notes that were left out"
    facts = tuple(
        fact if fact.origin != "hand" else type(fact)(fact.name, False, origin="hand", at=fact.at)
        for fact in report.facts
    )
    edited = report.model_copy(update={"facts": facts})
    with place.store._database.writing() as connection:
        changed = "UPDATE bodies SET report = ? WHERE seq = (SELECT seq FROM visits WHERE id = ?)"
        connection.exec_driver_sql(changed, (packed(edited.to_json(indent=None).encode()), report.id))
    found = place.again()
    assert found[-1].looked_at
    assert len(place.calls) == 3


def test_what_nobody_knows_and_what_is_in_doubt_is_inspected_again(place: Place) -> None:
    report = place.tools().inspect(load_capture(SOUND), file="a.cast")
    place.store.enter(report, SOUND.read_bytes())
    place.enter()
    assert sorted(again.looked_at for again in place.again()) == [False, True]
    (place.folder / "wrong.toml").write_text("format = 1\n")
    sheets = [str(place.folder / name) for name in ("ours.toml", "wrong.toml")]
    found = place.again(place.tools(sheets=sheets))
    assert [again.looked_at for again in found] == [True, True]
    assert [again.rules for again in found] == [None, None], "nor is it known of what was inspected now"


def test_a_report_that_is_damaged_is_said_and_the_others_are_as_kept(place: Place) -> None:
    damaged = place.enter(days=1)
    for days in (0, 2):
        place.enter(days=days)
    with place.store._database.writing() as connection:
        connection.exec_driver_sql(
            "UPDATE bodies SET report = x'00' WHERE seq = (SELECT seq FROM visits WHERE id = ?)", (damaged.id,)
        )
    found = place.again()
    assert [again.as_kept for again in found] == [True, False, True]
    assert "damaged" in found[1].why_not
    assert place.calls == []

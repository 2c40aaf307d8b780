"""All of history leaves as JSON lines and comes back the same."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from propsoff.exceptions import StoreError
from propsoff.inspection.finding import Finding, Outcome
from propsoff.store.exchange import Counts, exported, imported
from propsoff.store.model import KeptVisit, Wanted
from propsoff.store.packing import prepared
from propsoff.store.store import Store, open_store
from propsoff.store.waiting import enter_waiting, put_waiting, waiting_files
from tests_support.visits import a_visit


def lines_of(store: Store) -> list[str]:
    said: list[str] = []
    lines = list(exported(store, Counts(), said.append))
    assert said == []
    return lines


def everything(store: Store) -> tuple[list[KeptVisit], list[str], dict[str, bytes | None]]:
    visits = list(store.in_order_of_entry())
    return (
        visits,
        [store.report(visit.id).to_json() for visit in visits],
        {each: store.capture(each) for each in store.captures()},
    )


RULES = "0123456789abcdef" * 4
"""A fingerprint of what visits were inspected by."""
texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
visit = st.builds(
    lambda *drawn: drawn,
    texts,
    st.integers(0, 5),
    st.sampled_from([None, "1", "2"]) | texts,
    texts.map(lambda text: text or "-"),
    st.none() | texts,
    st.booleans(),
    st.sampled_from([None, RULES, f"{RULES}-{RULES[:16]}"]),
)


@settings(max_examples=40, deadline=None)
@given(st.lists(visit, max_size=6), st.integers(0, 63), texts)
def test_what_is_exported_and_imported_is_the_same(visits: list[tuple], going: int, orphan: str) -> None:  # type: ignore[type-arg]  # drawn above
    with TemporaryDirectory() as folder, open_store(f"sqlite:///{folder}/a.sqlite") as first:
        ids = []
        for name, at_s, serial, summary, bench, with_capture, rules in visits:
            found = (Finding(check="failsafe", outcome=Outcome.WARN, summary=summary),)
            report, capture = a_visit(name, at_s=at_s, serial=serial, findings=found, bench=bench)
            first.enter(report, capture if with_capture else None, rules=rules)
            ids.append(report.id)
        first.remove(name for at, name in enumerate(ids) if going >> at & 1)
        first.keep_capture(orphan.encode())
        with open_store(f"sqlite:///{folder}/b.sqlite") as second:
            imported(second, [line.encode() for line in lines_of(first)], pytest.fail)
            assert everything(second) == everything(first)
            assert lines_of(second) == lines_of(first)


def test_history_moves_between_databases_and_a_second_import_changes_nothing(new_url: Callable[[], str]) -> None:
    with open_store(new_url()) as first, open_store(new_url()) as second:
        for number in range(250):
            first.enter(*a_visit(f"craft {number}", at_s=-number, serial=str(number % 7)))
        lines = [line.encode() for line in lines_of(first)]
        assert imported(second, lines, pytest.fail) == Counts(reports=250, captures=250)
        assert everything(second) == everything(first)
        assert imported(second, lines, pytest.fail).known == 250
        assert everything(second) == everything(first)


def test_bad_lines_are_said_with_their_number_and_the_others_are_entered(store: Store, tmp_path: Path) -> None:
    with open_store(f"sqlite:///{tmp_path}/other.sqlite") as other:
        for name in ("one", "two"):
            other.enter(*a_visit(name))
        lines = lines_of(other)
    capture = json.loads(lines[1])
    capture["base64"] = "AAAA"
    bad = ["{", "[]", "{}", '{"visit":{}}', "null", json.dumps(capture), lines[2].replace('"warn"', '"fine"')]
    said: list[str] = []
    counts = imported(store, [line.encode() for line in (lines[0], *bad, *lines[3:])], said.append)
    assert [line.split(":")[0] for line in said] == [f"line {number}" for number in range(2, 9)]
    assert counts == Counts(reports=1, captures=1, bad=7)
    assert [kept.craft for kept in store.visits(Wanted())] == ["two"]


def test_an_edited_report_in_an_import_overwrites_nothing(store: Store) -> None:
    report, capture = a_visit("one")
    store.enter(report, capture)
    lines = [line.replace("of one", "of none").encode() for line in lines_of(store)]
    said: list[str] = []
    assert imported(store, lines, said.append).bad == 1
    assert report.id in said[0]
    assert store.report(report.id) == report


@pytest.mark.parametrize(
    ("head", "words"), [(b"", "no exported"), (b"[]\n", "no exported"), (b'{"propsoff_history":2}\n', "newer")]
)
def test_what_is_no_export_is_refused_whole(store: Store, head: bytes, words: str) -> None:
    with pytest.raises(StoreError, match=words):
        imported(store, [head, b"{}"], pytest.fail)
    assert store.visits(Wanted()) == []


def test_an_export_from_before_fingerprints_is_entered_and_what_is_none_is_said(store: Store, tmp_path: Path) -> None:
    with open_store(f"sqlite:///{tmp_path}/other.sqlite") as other:
        other.enter(*a_visit("one"), rules=RULES)
        other.enter(*a_visit("two"), rules=RULES)
        head, _, one, _, two = lines_of(other)
    told = f', "rules": "{RULES}"'
    assert told in one
    said: list[str] = []
    wrong = [two.replace(RULES, "mine").encode(), two.replace(f'"{RULES}"', "7").encode()]
    imported(store, [head.encode(), one.replace(told, "").encode(), *wrong], said.append)
    assert [line.split(":")[0] for line in said] == ["line 3", "line 4"]
    assert [(visit.craft, visit.rules) for visit in store.visits(Wanted())] == [("one", None)]


def test_what_a_report_was_inspected_by_waits_on_disk_with_it(store: Store, tmp_path: Path) -> None:
    for name, rules in (("one", RULES), ("two", None), ("three", RULES)):
        report, capture = a_visit(name, serial=name)
        put_waiting(tmp_path, prepared(report, capture, rules))
    older = next(path for path in waiting_files(tmp_path) if '"craft":"three"' in path.read_text())
    older.write_text(older.read_text().replace(f'"rules":"{RULES}",', ""))
    assert enter_waiting(tmp_path, store, str) == 3
    assert {visit.craft: visit.rules for visit in store.visits(Wanted())} == {"one": RULES, "two": None, "three": None}


def test_what_visits_would_be_inspected_by_is_noted_and_nothing_else(store: Store) -> None:
    for name in ("one", "two"):
        store.enter(*a_visit(name, serial=name))
    two, one = sorted(store.visits(Wanted()), key=lambda visit: visit.craft != "two")
    store.note_rules({two.id: RULES, "nobody": RULES})
    assert {visit.craft: visit for visit in store.visits(Wanted())} == {"one": one, "two": replace(two, rules=RULES)}

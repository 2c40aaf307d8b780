"""What history promises, on SQLite and on PostgreSQL."""

from __future__ import annotations

import hashlib
import threading
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
import sqlalchemy as sa

from propsoff.exceptions import StoreError
from propsoff.inspection.finding import Finding, Outcome, Verdict
from propsoff.inspection.report import Report, instant
from propsoff.store.model import Wanted
from propsoff.store.store import Store, open_store
from tests_support.reports import WHEN_S
from tests_support.visits import a_visit


def names(store: Store, **wanted: Any) -> list[str | None]:
    return [visit.craft for visit in store.visits(Wanted(**wanted))]


def changed(url: str, statement: str) -> None:
    """What somebody else does to the database."""
    engine = sa.create_engine(url.replace("postgresql://", "postgresql+psycopg://"))
    with engine.begin() as connection:
        connection.execute(sa.text(statement))
    engine.dispose()


def test_a_report_and_its_capture_come_back_as_they_went_in(store: Store) -> None:
    report, capture = a_visit("Merrow", serial="00A1")
    assert store.enter(report, capture) == "new"
    assert store.report(report.id) == report
    assert store.capture(report.capture.sha256) == capture
    [visit] = store.visits(Wanted())
    assert visit.as_dict() == {
        "id": report.id,
        "created": "2027-01-15T08:00:00.000Z",
        "bench": "bench one",
        "verdict": "warn",
        "complete": True,
        "board": "Draycot H7",
        "board_serial": "00A1",
        "craft": "Merrow",
        "firmware": None,
        "sheet": None if report.sheet is None else report.sheet.name,
        "dialect": None,
        "socket": None,
        "capture_sha256": hashlib.sha256(capture).hexdigest(),
        "replaces": None,
        "entered": "2027-01-15T08:01:40.000Z",
        "key": "serial:00a1",
        "clock_back": False,
        "rules": None,
        "held": "2027-01-15T08:00:00.000Z",
    }


def test_a_report_is_entered_once_and_another_of_its_id_overwrites_nothing(store: Store) -> None:
    report, capture = a_visit("Merrow")
    assert store.enter(report, None) == "new"
    assert store.capture(report.capture.sha256) is None
    assert store.enter(report, capture) == "known"
    assert store.capture(report.capture.sha256) == capture, "a capture that comes later is kept"
    assert store.enter(report.model_copy(update={"ended": "edited by hand"}), capture) == "differs"
    assert store.report(report.id) == report
    assert len(store.visits(Wanted())) == 1


def test_a_capture_that_the_report_was_not_read_from_is_refused_whole(store: Store) -> None:
    report, capture = a_visit("Merrow")
    with pytest.raises(StoreError, match="not the capture"):
        store.enter(report, capture + b" ")
    assert store.visits(Wanted()) == []


def test_visits_come_newest_first_and_each_filter_leaves_what_it_says(store: Store) -> None:
    several: list[tuple[str, dict[str, Any]]] = [
        ("Alder", {"bench": "Ost", "verdict": Verdict.PASS}),
        ("birch", {"bench": "West", "board": "Wexcombe"}),
        ("Cedar", {"serial": "Ab9", "verdict": Verdict.FAIL}),
    ]
    for at, (name, more) in enumerate(several):
        store.enter(*a_visit(name, at_s=at * 60, **more))
    assert names(store) == ["Cedar", "birch", "Alder"]
    assert names(store, limit=2) == ["Cedar", "birch"]
    assert names(store, bench="OST") == ["Alder"]
    assert names(store, board=" wexcombe ") == ["birch"]
    assert names(store, verdict="fail") == ["Cedar"]
    assert names(store, craft="BIRCH") == ["birch"]
    assert names(store, craft="aB9") == ["Cedar"]
    assert names(store, craft="serial:ab9") == ["Cedar"]
    assert names(store, craft="Ced") == [], "texts match whole"
    start = datetime.fromtimestamp(WHEN_S, UTC)
    assert names(store, since=start + timedelta(seconds=60)) == ["Cedar", "birch"]
    assert names(store, until=start + timedelta(seconds=60)) == ["birch", "Alder"]
    assert names(store, since=(start + timedelta(seconds=1)).replace(tzinfo=None), bench="bench one") == ["Cedar"]
    identity = store.visits(Wanted(craft="Alder"))[0].id
    assert names(store, craft=identity) == ["Alder"]
    assert names(store, craft=identity[:-3]) == ["Alder"]
    assert names(store, craft=identity[:9].lower()) == ["Cedar", "birch", "Alder"]
    assert names(store, craft=identity[:7]) == [], "a year and a month name half of history"
    assert names(store, craft="%") == names(store, craft="_____") == []


def test_visits_of_one_craft_replace_one_another_in_order_of_time_whatever_the_order_of_entry(store: Store) -> None:
    for name, at_s in (("b", 60), ("d", 180), ("a", 0), ("c", 120)):
        store.enter(*a_visit(name, at_s=at_s, serial="77"), late=True)
    store.enter(*a_visit("other", at_s=90, serial="78"))
    ids = {visit.craft: visit.id for visit in store.visits(Wanted())}
    chain = {visit.craft: visit.replaces for visit in store.visits(Wanted())}
    assert chain == {"a": None, "b": ids["a"], "c": ids["b"], "d": ids["c"], "other": None}
    assert store.newest(["serial:77", "serial:78", "serial:79", ""]) == {
        "serial:77": ids["d"],
        "serial:78": ids["other"],
    }
    assert [visit.craft for visit in store.latest(Wanted())] == ["d", "other"]
    until = datetime.fromtimestamp(WHEN_S + 60, UTC)
    assert [visit.craft for visit in store.latest(Wanted(until=until))] == ["b"]


def held(name: str, *, held_s: float | None, made_s: float) -> tuple[Report, None]:
    """A visit whose conversation was held at another time than its report was made; both after a fixed time."""
    report, _ = a_visit(name, at_s=made_s, serial="77")
    started = None if held_s is None else instant(WHEN_S + held_s)
    return report.model_copy(update={"capture": report.capture.model_copy(update={"started": started})}), None


def test_an_old_conversation_that_is_inspected_now_makes_no_newer_one_old(store: Store) -> None:
    store.enter(*held("live", held_s=9000, made_s=9010))
    store.enter(*held("of March", held_s=0, made_s=99000))
    store.enter(*held("of February", held_s=-5000, made_s=99500))
    ids = {visit.craft: visit.id for visit in store.visits(Wanted())}
    assert list(ids) == ["live", "of March", "of February"]
    assert store.newest(["serial:77"]) == {"serial:77": ids["live"]}
    assert [visit.craft for visit in store.latest(Wanted())] == ["live"]
    chain = {visit.craft: visit.replaces for visit in store.visits(Wanted())}
    assert chain == {"live": ids["of March"], "of March": ids["of February"], "of February": None}
    assert not any(visit.clock_back for visit in store.visits(Wanted())), "no clock jumped"


def test_what_is_made_anew_of_one_conversation_replaces_by_its_own_time(store: Store) -> None:
    for name, made_s in (("recheck", 500), ("first", 10), ("with notes", 90)):
        store.enter(*held(name, held_s=0, made_s=made_s), late=True)
    assert [visit.craft for visit in store.visits(Wanted())] == ["recheck", "with notes", "first"]


def test_a_conversation_counts_as_held_before_its_report_was_made_and_with_it_where_nobody_knows(store: Store) -> None:
    store.enter(*held("of a wrong clock", held_s=10_000_000, made_s=0))
    store.enter(*held("pasted", held_s=None, made_s=30))
    found = store.visits(Wanted())
    assert [visit.craft for visit in found] == ["pasted", "of a wrong clock"]
    assert [instant(visit.when.timestamp()) for visit in found] == [visit.created for visit in found]


def test_without_a_serial_number_a_craft_is_known_by_board_and_name_and_nobody_is_not_one_craft(store: Store) -> None:
    store.enter(*a_visit("Alder", at_s=0))
    report, _ = a_visit("second", at_s=60)
    store.enter(report.model_copy(update={"craft": "ALDER"}), None)
    for at, name in enumerate(("x", "y")):
        store.enter(*a_visit(name, at_s=at, craft=None, board=None))
    visits = store.visits(Wanted())
    assert [visit.key for visit in visits] == ["name:draycot h7/alder", "", "name:draycot h7/alder", ""]
    assert [visit.replaces is None for visit in visits] == [False, True, True, True]
    assert len(store.latest(Wanted())) == 3


def test_a_clock_that_jumped_back_is_marked_and_a_late_entry_is_not(store: Store) -> None:
    store.enter(*a_visit("now", at_s=7200, serial="1"))
    store.enter(*a_visit("jumped", at_s=0, serial="1"))
    store.enter(*a_visit("waited", at_s=60, serial="1"), late=True)
    store.enter(*a_visit("side by side", at_s=7199, serial="1"))
    assert {visit.craft: visit.clock_back for visit in store.visits(Wanted())} == {
        "now": False,
        "jumped": True,
        "waited": False,
        "side by side": False,
    }


def test_facts_and_causes_come_without_the_report(store: Store, url: str) -> None:
    under = Finding(check="ports", outcome=Outcome.FAIL, summary="an effect", because="failsafe/drop")
    well = Finding(check="sensors", outcome=Outcome.PASS, summary="well")
    cause = Finding(check="failsafe", outcome=Outcome.FAIL, code="drop", summary="drops")
    report, _ = a_visit("Merrow", serial="5", findings=(under, well, cause))
    store.enter(report, None)
    changed(url, "UPDATE bodies SET report = ''")
    assert list(store.facts([report.id, "absent"])) == [
        (
            report.id,
            {"board.serial": "5", "channels.live": (1500, 988), "motors.bidirectional": True, "battery.volts": 16.25},
        )
    ]
    assert list(store.causes([report.id])) == [(report.id, [("failsafe/drop", "fail", "drops")])]


def test_reports_come_in_the_order_that_they_are_asked_for_in_however_many(store: Store) -> None:
    from propsoff.store.packing import prepared

    several = [a_visit(f"craft {number}", at_s=number) for number in range(620)]
    came = list(store.enter_many((prepared(report, None), None) for report, _ in several))
    assert [how for _, how in came] == ["new"] * 620
    ids = [report.id for report, _ in reversed(several)]
    assert [name for name, _ in store.reports(ids)] == ids


def test_a_damaged_report_or_capture_is_named_and_the_others_come(store: Store, url: str) -> None:
    (one, octets), (two, _) = a_visit("one"), a_visit("two")
    store.enter(one, octets)
    store.enter(two, None)
    changed(url, f"UPDATE bodies SET report = 'xx' WHERE seq = (SELECT seq FROM visits WHERE id = '{one.id}')")
    found = dict(store.reports([one.id, two.id]))
    assert isinstance(found[one.id], StoreError)
    assert one.id in str(found[one.id])
    assert found[two.id] == two
    with pytest.raises(StoreError, match=one.id):
        store.report(one.id)
    with pytest.raises(StoreError, match="is not in history"):
        store.report("20270115T080000Z-absent-000000000000")
    changed(url, "UPDATE captures SET data = 'xx'")
    with pytest.raises(StoreError, match="damaged"):
        store.capture(one.capture.sha256)


def test_a_capture_of_another_hash_is_refused(store: Store, url: str) -> None:
    (one, octets), (two, other) = a_visit("one"), a_visit("two")
    store.enter(one, octets)
    store.enter(two, other)
    low, high = sorted((one.capture.sha256, two.capture.sha256))
    changed(url, f"UPDATE captures SET data = (SELECT data FROM captures WHERE sha256 = '{high}')")
    with pytest.raises(StoreError, match="SHA-256"):
        store.capture(low)


def test_removed_visits_take_only_their_own_captures_along(store: Store) -> None:
    (one, octets), (two, other) = a_visit("one"), a_visit("two", at_s=5)
    again = one.model_copy(update={"id": one.id[:-12] + "0" * 12})
    for report, capture in ((one, octets), (two, other), (again, octets)):
        assert store.enter(report, capture) == "new"
    assert store.remove([one.id, two.id, "absent"]) == 2
    assert [visit.id for visit in store.visits(Wanted())] == [again.id]
    assert list(store.captures()) == [one.capture.sha256]
    assert store.report(again.id) == again


def test_hostile_texts_come_back_and_are_found(store: Store) -> None:
    name = "a\0b'; DROP TABLE visits; --\u202e%_\\"
    report, _ = a_visit("hostile", craft=name, serial="\u0130\0")
    store.enter(report, None)
    assert store.report(report.id).craft == name
    assert names(store, craft=name) == [name.replace("\0", "\u2400")]
    assert store.visits(Wanted(craft="\0\ud800")) == []


def test_a_history_is_the_same_when_it_is_opened_again(new_url: Callable[[], str]) -> None:
    place = new_url()
    report, capture = a_visit("Merrow")
    with open_store(place) as first, open_store(place) as beside:
        first.enter(report, capture)
        assert beside.report(report.id) == report
    with open_store(place) as again:
        assert again.capture(report.capture.sha256) == capture


def test_benches_that_enter_at_the_same_time_lose_nothing_and_keep_one_chain(new_url: Callable[[], str]) -> None:
    place = new_url()
    wrong: list[BaseException] = []

    def bench(number: int) -> None:
        try:
            with open_store(place, lock_s=20.0) as store:
                start.wait(20)
                for at in range(number, 60, 3):
                    store.enter(*a_visit(f"{at}", at_s=at, serial="1"), late=True)
        except BaseException as error:  # noqa: BLE001  a thread's fault is this test's
            wrong.append(error)

    start = threading.Barrier(3)
    threads = [threading.Thread(target=bench, args=(number,)) for number in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(50)
    assert wrong == []
    with open_store(place) as store:
        visits = store.visits(Wanted())
    assert [visit.craft for visit in visits] == [str(at) for at in reversed(range(60))]
    assert [visit.replaces for visit in visits] == [*(visit.id for visit in visits[1:]), None]

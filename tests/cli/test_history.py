"""History on the command line: what the commands that inspect leave in it, and what the others make of it."""

from __future__ import annotations

import base64
import csv
import hashlib
import io
import json
import sqlite3
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from propsoff.cli.history import remarks, shared_serials
from propsoff.cli.prune import to_go
from propsoff.store.model import KeptVisit, Wanted
from propsoff.store.store import open_store
from tests_support.processes import Run
from tests_support.visits import a_visit

CAPTURES = Path(__file__).parent.parent.parent / "fixtures" / "captures"


@pytest.fixture
def database(home: dict[str, str]) -> Path:
    """Where the history of this test's user is."""
    return Path(home["XDG_DATA_HOME"]) / "propsoff" / "history.sqlite"


def a_capture() -> Path:
    return sorted(CAPTURES.rglob("*.cast"))[0]


def listed(run: Run, *words: str) -> list[dict[str, Any]]:
    done = run("history", "--json", *words)
    assert done.returncode == 0, done.stderr
    found: list[dict[str, Any]] = json.loads(done.stdout)
    return found


def kept(visit: str, **columns: Any) -> KeptVisit:
    whole: dict[str, Any] = dict.fromkeys(KeptVisit.__dataclass_fields__) | {
        "id": visit,
        "created": "2027-01-15T08:00:00.000Z",
        "verdict": "pass",
        "complete": True,
        "capture_sha256": "",
        "entered": "",
        "key": "",
        "clock_back": False,
    }
    return KeptVisit(**(whole | columns))


def test_inspect_enters_its_report_and_capture_and_the_second_replaces_the_first(run: Run, database: Path) -> None:
    for _ in range(2):
        assert run("inspect", a_capture()).returncode in (0, 1, 3)
    new, old = listed(run)
    assert new["replaces"] == old["id"]
    assert old["old_since"] == new["id"]
    assert new["old_since"] is None
    with open_store(f"sqlite:///{database}") as store:
        assert store.capture(new["capture_sha256"]) == a_capture().read_bytes()
    shown = run("history").stdout
    assert new["id"] in shown
    assert "old: " not in shown  # the newer one is in the list itself
    until = run("history", "--until", old["created"]).stdout
    assert f"was inspected again, report {new['id']}, which is not in this list" in until
    assert old["board_serial"] in until.splitlines()[-1]  # several craft have one name


def test_no_history_and_the_setting_leave_it_as_it_is(run: Run, database: Path, tmp_path: Path) -> None:
    run("inspect", a_capture(), "--no-history")
    run("--set", "store.enabled=false", "inspect", a_capture())
    run("batch", CAPTURES, "--out", tmp_path / "out", "--no-history")
    assert not database.exists()


def test_batch_enters_every_capture(run: Run, database: Path, tmp_path: Path) -> None:
    done = run("batch", CAPTURES, "--out", tmp_path / "out")
    summary = json.loads((tmp_path / "out" / "summary.json").read_text())
    written = [json.loads(path.read_text())["id"] for path in (tmp_path / "out").rglob("*.cast.json")]
    assert sorted(visit["id"] for visit in listed(run, "--limit", "0")) == sorted(
        {*written, *(json.loads(path.read_text())["id"] for path in (tmp_path / "out").rglob("*.txt.json"))}
    ), done.stderr
    assert "history" not in summary["rows"][0]
    with open_store(f"sqlite:///{database}") as store:
        assert all(store.capture(visit.capture_sha256) for visit in store.visits(Wanted()))


def test_a_history_that_cannot_be_opened_costs_no_report(run: Run, database: Path) -> None:
    database.parent.mkdir(parents=True)
    database.write_text("a letter that somebody left in this place")
    done = run("inspect", a_capture(), "--json")
    report = json.loads(done.stdout)
    assert "waits in" in done.stderr
    assert database.read_text().startswith("a letter")
    looked = run("history")
    assert looked.returncode == 2
    assert "Traceback" not in looked.stderr
    assert "damaged" in looked.stderr
    database.unlink()
    after = run("history", "--json")
    assert [visit["id"] for visit in json.loads(after.stdout)] == [report["id"]]
    assert "1 is in history now" in after.stderr


def test_csv_has_no_cell_that_a_spreadsheet_would_compute(run: Run, database: Path) -> None:
    with open_store(f"sqlite:///{database}") as store:
        typed = ("=1+1", "+1", "-1", "@x", "\uff1d1", "'=1", "\t=1", " =1", 'a "b", c', "a\r\nb")
        for at, name in enumerate(typed):
            store.enter(*a_visit(f"craft {at}", at_s=-at, craft=name, board=None))
    done = run("history", "--csv")
    rows = list(csv.DictReader(io.StringIO(done.stdout, newline="")))
    cells = [row["craft"] for row in rows]
    assert cells == ["'=1+1", "'+1", "'-1", "'@x", "'\uff1d1", "''=1", "\\t=1", "' =1", 'a "b", c', "a\\r\\nb"]


def test_limit_and_wrong_words_are_said(run: Run, database: Path) -> None:
    with open_store(f"sqlite:///{database}") as store:
        for at in range(3):
            store.enter(*a_visit(f"craft {at}", at_s=at))
    done = run("history", "--limit", "2", "--json")
    assert len(json.loads(done.stdout)) == 2
    assert "--limit 0 shows all" in done.stderr
    assert len(listed(run, "craft 1")) == 1
    assert listed(run, "--since", "2027-01-15T08:00:02+00:00")[0]["craft"] == "craft 2"
    assert run("history", "nobody").stdout.startswith("No such visit is in history. Names are looked for whole")
    assert "leave ~ and the number out" in run("history", "craft 1~1").stdout
    for words in (("--since", "soon"), ("--verdict", "good"), ("--json", "--csv"), ("--limit", "-1")):
        wrong = run("history", *words)
        assert wrong.returncode == 2
        assert wrong.stdout == ""


def test_export_and_import_carry_all_of_it_and_overwrite_no_file(run: Run, database: Path, tmp_path: Path) -> None:
    run("inspect", a_capture())
    before = listed(run)
    assert run("export", tmp_path / "all.jsonl").returncode == 0
    again = run("export", tmp_path / "all.jsonl")
    assert again.returncode == 2
    assert "is there already" in again.stderr
    assert run("export", "-").stdout == (tmp_path / "all.jsonl").read_text()
    database.unlink()
    for path in database.parent.glob("history.sqlite-*"):
        path.unlink()
    done = run("import", tmp_path / "all.jsonl")
    assert done.returncode == 0
    assert done.stdout.startswith("entered: 1 report and 1 capture; there already: 0 reports and 0 captures; ")
    assert listed(run) == before
    assert run("import", tmp_path / "absent.jsonl").returncode == 2
    (tmp_path / "bad.jsonl").write_text('{"propsoff_history":1}\n{\n')
    assert run("import", tmp_path / "bad.jsonl").returncode == 3


def test_prune_removes_nothing_unless_told(run: Run, database: Path) -> None:
    for _ in range(3):
        run("inspect", a_capture())
    assert run("prune").returncode == 2
    for words in ((), ("--dry-run",), ("--dry-run", "--yes")):
        assert "2 visits would go." in run("prune", "--keep", "1", *words).stdout
        assert len(listed(run)) == 3
    newest = listed(run)[0]["id"]
    assert "2 visits went." in run("prune", "--keep", "1", "--yes").stdout
    assert [visit["id"] for visit in listed(run)] == [newest]
    assert "0 visits would go." in run("prune", "--older-than", "0", "--yes").stdout
    with sqlite3.connect(database) as raw:
        assert raw.execute("SELECT count(*) FROM captures").fetchone() == (1,)
    raw.close()


def test_a_name_that_is_far_too_long_leaves_room_for_the_rest(run: Run, database: Path) -> None:
    with open_store(f"sqlite:///{database}") as store:
        store.enter(*a_visit("long", craft="\u202e" + "W" * 300))
        store.enter(*a_visit("short", at_s=-5))
    shown = run("history").stdout
    assert "… (301 characters)" in shown
    assert "\\u202e" in shown
    assert max(map(len, shown.splitlines())) < 200
    assert "W" * 300 in run("history", "--csv").stdout
    assert "… (301 characters)" in run("prune", "--bench", "bench one", "--all").stdout


def test_an_empty_history_says_how_it_fills(run: Run) -> None:
    assert run("history").stdout.startswith("No visit is in history yet")
    assert json.loads(run("history", "--json").stdout) == []


def test_what_a_bench_left_goes_as_a_whole_and_that_of_others_stays(run: Run, database: Path) -> None:
    with open_store(f"sqlite:///{database}") as store:
        for at, bench in enumerate(("demo", "Demo", "house")):
            store.enter(*a_visit(f"craft {at}", at_s=at, serial=str(at), bench=bench))
    for words in (("--all",), ("--all", "--bench", "demo", "--keep", "1"), ("--all", "--older-than", "1")):
        assert run("prune", *words, "--yes").returncode == 2
    assert "2 visits would go." in run("prune", "--bench", "demo", "--all").stdout
    assert len(listed(run)) == 3
    assert "2 visits went." in run("prune", "--bench", "demo", "--all", "--yes").stdout
    assert [visit["bench"] for visit in listed(run)] == ["house"]


def test_what_goes_is_older_and_beyond_those_that_stay() -> None:
    now = datetime(2027, 1, 15, tzinfo=UTC)
    visits = [
        kept(f"{key}{day}", key=key, created=(now - timedelta(days=day)).isoformat())
        for day in (1, 5, 9)
        for key in ("serial:a", "serial:b", "")
    ]

    def going(days: int | None, keep: int) -> list[str]:
        return [visit.id for visit in to_go(visits, None if days is None else now - timedelta(days=days), keep)]

    assert going(None, 2) == ["serial:a9", "serial:b9"]
    assert going(4, 1) == ["serial:a5", "serial:b5", "5", "serial:a9", "serial:b9", "9"]
    assert going(4, 2) == ["5", "serial:a9", "serial:b9", "9"]
    assert going(30, 1) == []


def test_two_craft_of_one_serial_number_are_told_from_one_that_was_renamed() -> None:
    def of(*names: str, board: str = "Draycot") -> list[KeptVisit]:
        return [
            kept(str(at), key="serial:0", board_serial="0", board=board, craft=name) for at, name in enumerate(names)
        ]

    assert shared_serials(of("new", "new", "old")) == {}
    assert shared_serials(of("one", "two", "one")) == {"0": ["one", "two"]}
    assert shared_serials([*of("one"), *of("one", board="Wexcombe")]) == {"0": ["Draycot", "Wexcombe"]}
    assert "several craft" in remarks(of("one", "two", "one"), {})[0]


def test_a_clock_that_jumped_back_is_said() -> None:
    [said] = remarks([kept("report-1", key="serial:1", clock_back=True)], {"serial:1": "report-1"})
    assert said.startswith("clock: report report-1")


def test_what_was_made_with_a_wrong_clock_is_not_called_old_and_stays(run: Run, database: Path, tmp_path: Path) -> None:
    with open_store(f"sqlite:///{database}") as store:
        store.enter(*a_visit("ahead", at_s=9e6, serial="7"))
        made, capture = a_visit("now", at_s=0, serial="7")
        store.enter(made, capture)
    shown = run("history").stdout
    assert [line.split()[-2] for line in shown.splitlines()[1:3]] == ["newest", "unsure"]
    assert "which visit is the newer cannot be told" in shown
    done = run("show", made.id, "--html", tmp_path / "card.html")
    assert "OLD" not in done.stdout
    assert 'class="old"' not in (tmp_path / "card.html").read_text("utf-8")
    for words in (("show", "7"), ("compare", "7~1", "7")):
        done = run(*words)
        assert "which visit is the newer cannot be told" in done.stderr
        assert "old: " not in done.stdout
    for words in (("--keep", "1"), ("--older-than", "0")):
        done = run("prune", *words, "--yes")
        assert "0 visits would go." in done.stdout
        assert "their age cannot be told, and kept: 1" in done.stderr
    assert len(listed(run)) == 2
    assert "2 visits went." in run("prune", "--bench", "bench one", "--all", "--yes").stdout


def test_an_old_capture_that_is_inspected_later_makes_no_newer_visit_old(run: Run, tmp_path: Path) -> None:
    live, march = (tmp_path / f"{name}.cast" for name in ("live", "march"))
    conversation = (CAPTURES / "ossel-hd53-sound.cast").read_text()
    live.write_text(conversation)
    head, events = conversation.split("\n", 1)
    told = json.loads(head)
    told["propsoff"]["started"] = datetime(2026, 3, 2, 10, 20, tzinfo=UTC).timestamp()
    march.write_text(f"{json.dumps(told)}\n{events}")
    run("inspect", live)
    assert "Conversation held" not in card_of(run, "4F2A00191C", tmp_path) or live_is_of_another_day(run)
    run("inspect", march, "--html", "march.html")
    newest, old = listed(run)
    assert (newest["old_since"], old["old_since"]) == (None, newest["id"])
    assert old["held"] == "2026-03-02T10:20:00.000Z"
    assert old["created"] > newest["created"]
    assert newest["replaces"] == old["id"]
    page = (tmp_path / "march.html").read_text()
    assert ">OLD</strong>" in page
    assert newest["id"] in page
    assert f"Conversation held</dt><dd><bdi>2026-03-02 10:20 UTC; inspected {old['created'][:10]}" in page
    shown = run("show", old["id"]).stdout
    assert f"OLD: this craft was inspected again, report {newest['id']}" in shown
    assert f"held: 2026-03-02 10:20 UTC; this report of it was made {old['created'][:10]}" in shown
    table = run("history", TZ="UTC").stdout.splitlines()
    assert table[0].split()[:3] == ["when", "report", "made"]
    assert table[2].startswith(f"2026-03-02 10:20  {old['created'][:10]}")
    assert "OLD" not in run("show", "4F2A00191C").stdout
    compared = json.loads(run("compare", "--json", "4F2A00191C~1", "4F2A00191C").stdout)
    assert (compared["a"]["report"], compared["b"]["report"]) == (old["id"], newest["id"])
    run("prune", "--keep", "1", "--yes")
    assert [visit["id"] for visit in listed(run)] == [newest["id"]]


def card_of(run: Run, name: str, folder: Path) -> str:
    assert run("show", name, "--html", "card.html").returncode == 0
    return (folder / "card.html").read_text()


def live_is_of_another_day(run: Run) -> bool:
    """The fixture was recorded on a day of its own."""
    [visit] = listed(run)
    return str(visit["held"])[:10] != str(visit["created"])[:10]


def test_what_is_there_already_is_counted_as_there(run: Run, tmp_path: Path) -> None:
    run("inspect", *sorted(CAPTURES.glob("ossel-hd53-s*.cast")))
    assert run("export", "new/folder/all.jsonl").returncode == 0, "missing folders are made"
    with (tmp_path / "new/folder/all.jsonl").open("a") as more:
        data = b"a conversation of which there is no report"
        sha256 = hashlib.sha256(data).hexdigest()
        more.write(json.dumps({"capture": sha256, "base64": base64.b64encode(data).decode()}) + "\n")
    for url, entered, there in (
        ("sqlite:///other.sqlite", "3 reports and 4 captures", "0 reports and 0 captures"),
        ("sqlite:///other.sqlite", "0 reports and 0 captures", "3 reports and 4 captures"),
    ):
        done = run("import", "new/folder/all.jsonl", PROPSOFF_STORE__URL=url)
        assert done.stdout == f"entered: {entered}; there already: {there}; could not be taken: 0 parts\n"


def test_an_empty_list_speaks_of_names_only_where_one_was_given(run: Run) -> None:
    run("inspect", a_capture())
    for words in (("--board", "nosuch"), ("--verdict", "error"), ("--since", "2099-01-01")):
        shown = run("history", *words).stdout
        assert shown == (
            "No visit in history meets all of these options; `propsoff history` without them lists what is there.\n"
        )
    assert "Names are looked for whole" in run("history", "nosuch").stdout


@pytest.mark.parametrize("words", [("history", ""), ("history", " "), ("recheck", ""), ("siblings", "")])
def test_an_empty_name_is_refused(run: Run, words: tuple[str, ...]) -> None:
    done = run(*words)
    assert (done.returncode, done.stdout) == (2, "")
    assert "it is empty; leave it out to mean all" in done.stderr


@pytest.mark.parametrize("days", ["x", "-1", "nan", "inf", ""])
def test_an_age_that_is_none_is_said_in_plain_words(run: Run, days: str) -> None:
    done = run("prune", f"--older-than={days}")
    assert (done.returncode, done.stdout) == (2, "")
    assert f"{days!r} is no number of days; write it as 365" in done.stderr

"""`propsoff compare`, `siblings` and `recheck`, on what simulated craft say of themselves before and after a change."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Mapping
from importlib import resources
from pathlib import Path
from typing import Any

import pytest

from propsoff.console.capture import load_capture
from propsoff.library import toolbox
from propsoff.store.model import Wanted
from propsoff.store.store import open_store
from propsoff_sim.board import with_facts
from propsoff_sim.catalogue import board, with_serial
from tests_support.captures import CAPTURES
from tests_support.conversations import recorded
from tests_support.processes import Run

SERIAL = "4F2A001901"
Kept = Callable[..., Path]


@pytest.fixture
def kept(tmp_path: Path) -> Kept:
    """Saves what a simulated craft says, with these facts of it changed."""

    def kept(
        name: str, changes: Mapping[str, object] | None = None, *, craft: str = "ossel-hd53", serial: str = SERIAL
    ) -> Path:
        path = tmp_path / f"{name}.cast"
        path.write_bytes(recorded(with_facts(with_serial(board(craft), serial), changes or {})).to_bytes())
        return path

    return kept


@pytest.fixture
def database(home: dict[str, str]) -> Path:
    return Path(home["XDG_DATA_HOME"]) / "propsoff" / "history.sqlite"


def compared(run: Run, *words: str | Path, code: int) -> dict[str, Any]:
    done = run("compare", "--json", *words)
    assert done.returncode == code, done.stdout + done.stderr
    found: dict[str, Any] = json.loads(done.stdout)
    return found


def forget_captures(database: Path) -> None:
    with sqlite3.connect(database) as connection:
        connection.execute("DELETE FROM captures")
    connection.close()


@pytest.mark.parametrize(
    ("path", "value", "name", "before", "after"),
    [
        ("failsafe.delay_ms", 400, "failsafe.delay_s", 1.0, 0.4),
        ("motors.poles", 12, "motors.poles", 14, 12),
        ("overlay.elements.1.row", 10, "overlay.elements[timer].row", 18, 10),
        ("label", "Teal Tern", "craft.name", "Teal Wren", "Teal Tern"),
    ],
)
def test_before_and_after_a_changed_setting_that_setting_differs_and_nothing_else(
    run: Run, kept: Kept, path: str, value: object, name: str, before: object, after: object
) -> None:
    found = compared(run, kept("before"), kept("after", {path: value}), code=1)
    assert [(one["name"], one["a"], one["b"]) for one in found["differs"]] == [(name, before, after)]
    for part in ("only_a", "only_b", "unreadable", "readings", "identity", "findings"):
        assert found[part] == [], part


def test_readings_alone_are_no_difference(run: Run, kept: Kept) -> None:
    found = compared(
        run,
        kept("a"),
        kept("b", {"battery.volts_mv": 23100, "logger.free_bytes": 1024, "channels.live.5": 1200}),
        code=0,
    )
    assert found["same"]
    assert {one["name"] for one in found["readings"]} == {"battery.volts", "logger.free_bytes", "channels.live"}


def test_what_cannot_be_read_is_not_the_same_and_has_an_exit_code_of_its_own(run: Run, kept: Kept) -> None:
    whole = kept("whole")
    text = whole.read_text().splitlines(keepends=True)
    broken = whole.with_name("broken.cast")
    broken.write_text("".join(text[: len(text) // 2]))
    done = run("compare", "--json", whole, broken)
    found = json.loads(done.stdout)
    assert found["unreadable"]
    assert not found["same"]
    assert found["differs"] == found["only_a"] == found["only_b"] == []
    assert found["findings"] == []
    assert done.returncode == 3


def test_a_fault_is_not_gone_after_a_conversation_that_broke_off_or_was_not_recognised(
    run: Run, kept: Kept, tmp_path: Path
) -> None:
    whole = kept("whole", craft="ossel-hd53+order-taer")
    lines = whole.read_text().splitlines(keepends=True)
    (tmp_path / "broken.cast").write_text("".join(lines[: len(lines) // 2]))
    (tmp_path / "stranger.cast").write_bytes((CAPTURES / "stranger-silence.cast").read_bytes())
    for other in ("broken.cast", "stranger.cast"):
        for words, side in (((whole, other), "a"), ((other, whole), "b")):
            found = compared(run, *words, code=3)
            assert found["findings"] == []
            unknown = {one["name"]: one for one in found["findings_unknown"]}
            order = unknown["channel-order/order"]
            assert {side: order[side], "other": order["ab".replace(side, "")]} == {side: "fail", "other": "not known"}
    shown = run("compare", whole, "stranger.cast").stdout
    assert "not known on one of them at least" in shown
    assert "came, went or changed" not in shown


def test_a_report_file_that_history_has_otherwise_is_not_compared(run: Run, kept: Kept, tmp_path: Path) -> None:
    run("inspect", kept("a", craft="ossel-hd53+order-taer"), "--out", tmp_path / "out")
    run("inspect", kept("b", serial="4F2A001902"))
    [file] = (tmp_path / "out").glob("*.json")
    (tmp_path / "copy.json").write_text(file.read_text())
    edited = json.loads(file.read_text())
    edited["board_serial"] = "4F2A001999"
    (tmp_path / "edited.json").write_text(json.dumps(edited))
    for words in (("edited.json", "4F2A001902"), ("4F2A001902", "edited.json")):
        done = run("compare", *words)
        assert (done.returncode, done.stdout) == (2, ""), words
        assert f"edited.json: was changed after it was written: history has report {edited['id']}" in done.stderr
    assert run("compare", file, "4F2A001902").returncode == 1
    for other in ("copy.json", SERIAL):
        done = run("compare", file, other)
        assert done.returncode == 2
        assert "one and the same report" in done.stderr
    without = run("compare", file, "edited.json", PROPSOFF_STORE__ENABLED="false")
    assert without.returncode == 2
    assert f"both say that they are report {edited['id']}, but do not say the same" in without.stderr


def test_visits_are_named_by_serial_number_name_id_and_how_many_ago(run: Run, kept: Kept) -> None:
    run("inspect", kept("before"))
    run("inspect", kept("after", {"motors.poles": 12}))
    new, old = json.loads(run("history", "--json").stdout)
    for a, b in (
        (f"{SERIAL}~1", SERIAL),
        ("teal wren~1", "Teal Wren"),
        (old["id"], new["id"]),
        (old["id"][:-2], SERIAL),
    ):
        found = compared(run, a, b, code=1)
        assert [one["name"] for one in found["differs"]] == ["motors.poles"], (a, b)
        assert (found["a"]["old_since"], found["b"]["old_since"]) == (new["id"], None)
    shown = run("compare", f"{SERIAL}~1", SERIAL).stdout
    assert f"old: this craft was inspected again, report {new['id']}" in shown
    assert "motors.poles  14  12" in shown


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("nobody", SERIAL), "no visit in history"),
        ((f"{SERIAL}~7", SERIAL), f"{SERIAL}~7: there is only one visit of {SERIAL} in history"),
        (("Teal Wren", SERIAL), "2 craft are called so; name one by its board's serial number"),
        (("edited.json", SERIAL), "was edited by hand"),
        (("", SERIAL), "an empty name is no report"),
        (("folder", SERIAL), "folder: is a folder; name a report file (.json) in it"),
    ],
)
def test_a_name_of_nobody_or_of_several_is_said(
    run: Run, kept: Kept, tmp_path: Path, words: tuple[str, str], said: str
) -> None:
    for serial in (SERIAL, "4F2A001902"):
        run("inspect", kept(serial, serial=serial))
    (tmp_path / "edited.json").write_text('{"id": "mine"}')
    (tmp_path / "folder").mkdir()
    done = run("compare", *words)
    assert done.returncode == 2
    assert said in done.stderr
    assert "Traceback" not in done.stderr


def test_siblings_name_the_odd_one_out_and_who_shares_a_fault(run: Run, kept: Kept) -> None:
    crafts = {"A": {}, "B": {}, "C": {"motors.poles": 12, "channels.order": ("T", "A", "E", "R", "1", "2", "3", "4")}}
    for at, (name, changes) in enumerate(crafts.items()):
        run("inspect", kept(name, {"label": f"Wren {name}", **changes}, serial=f"4F2A00190{at}"))
    done = run("siblings", "fenwick f7", "--json")
    assert done.returncode == 0, done.stderr
    [family] = json.loads(done.stdout)
    odd = {one["name"]: one for one in family["odd"]}
    assert odd.keys() == {"motors.poles", "channels.order"}
    assert (odd["motors.poles"]["usual"], odd["motors.poles"]["odd_ones"]) == ("14", ["Wren C"])
    [order] = [one for one in family["faults"] if one["name"] == "channel-order/order"]
    assert (order["has"], sorted(order["has_not"]), order["shared"]) == (["Wren C"], ["Wren A", "Wren B"], False)
    kept_ids = {one["id"] for one in json.loads(run("history", "--json").stdout)}
    assert {one["report"] for one in family["craft"]} == kept_ids


def test_a_fault_that_a_new_check_knows_is_found_on_craft_that_left_before(
    run: Run, kept: Kept, database: Path
) -> None:
    for at in range(2):
        capture = kept(str(at), {"label": f"Wren {at}"}, craft="ossel-hd53+order-taer", serial=f"4F2A00190{at}")
        run("--set", 'checks.skip=["channel-order"]', "inspect", capture)

    def having(*words: str) -> list[list[str]]:
        [family] = json.loads(run("siblings", "--json", *words).stdout)
        return [sorted(one["has"]) for one in family["faults"] if one["name"] == "channel-order/order"]

    assert having() == [["Wren 0", "Wren 1"]]
    assert having("--no-recompute") == []
    assert "shared by 2 of 2: channel-order/order" in run("siblings").stdout
    forget_captures(database)
    done = run("siblings")
    assert done.stderr.count("not looked at again: its capture is not kept (any more)") == 2
    assert done.stdout.count("findings are old") == 2


def test_siblings_of_nobody_says_so(run: Run) -> None:
    for words in ((), ("Draycot",)):
        done = run("siblings", *words)
        assert done.returncode == 2
        assert "history has no two craft" in done.stderr


def test_recheck_shows_what_changes_and_writes_only_when_told(run: Run, kept: Kept, database: Path) -> None:
    capture = kept("a", craft="ossel-hd53+order-taer")
    for _ in range(2):
        run("--set", 'checks.skip=["channel-order"]', "inspect", capture)
    before = json.loads(run("history", "--json").stdout)
    done = run("recheck", "--json")
    assert done.returncode == 1, done.stderr
    [one] = json.loads(done.stdout)
    assert (one["report"], one["changed"]) == (before[0]["id"], True)
    assert [(each["name"], each["a"], each["b"]) for each in one["findings"]] == [
        ("channel-order/order", "not known", "fail")
    ]
    assert json.loads(run("history", "--json").stdout) == before

    done = run("recheck", "--all-visits", "--write")
    assert "new in history: 1; not entered, since they are of old visits: 1" in done.stderr
    new, *old = json.loads(run("history", "--json").stdout)
    assert [visit["id"] for visit in old] == [visit["id"] for visit in before]
    assert (new["replaces"], new["verdict"], new["bench"]) == (before[0]["id"], "fail", before[0]["bench"])
    assert new["capture_sha256"] == before[0]["capture_sha256"]
    with open_store(f"sqlite:///{database}") as store:
        assert len(store.visits(Wanted())) == 3
        assert store.report(new["id"]).capture.file == "a.cast"
    assert run("recheck").returncode == 0


@pytest.fixture
def own_dialect(home: dict[str, str]) -> Path:
    """A dialect of the user's own, of boards that no other dialect knows, or reads less of."""
    folder = Path(home["XDG_CONFIG_HOME"]) / "propsoff" / "dialects"
    folder.mkdir(parents=True)
    text = (resources.files("propsoff.dialects") / "builtin" / "ossel.toml").read_text()
    (folder / "quern.toml").write_text(in_quern(text))
    return folder / "quern.toml"


def in_quern(text: str) -> str:
    return text.replace("Ossel", "Quern").replace("ossel", "quern")


def test_without_the_dialect_of_that_day_no_fault_is_gone_and_nothing_is_written(
    run: Run, kept: Kept, own_dialect: Path
) -> None:
    for at in range(2):
        capture = kept(str(at), {"label": f"Wren {at}"}, craft="ossel-hd53+order-taer", serial=f"4F2A00190{at}")
        capture.write_text(in_quern(capture.read_text()))
        done = run("inspect", capture)
        assert (done.returncode, "read by: dialect quern" in done.stdout) == (1, True), done.stdout
    before = json.loads(run("history", "--json").stdout)
    own_dialect.unlink()
    done = run("recheck", "--write")
    assert done.returncode == 3, done.stdout + done.stderr
    assert done.stdout.count("cannot be looked at again: dialect quern is not here") == 2
    assert "not found" not in done.stdout
    assert json.loads(run("history", "--json").stdout) == before
    done = run("siblings", "FENWICK F7")
    assert done.stderr.count("not looked at again: dialect quern is not here") == 2
    [family] = json.loads(run("siblings", "FENWICK F7", "--json").stdout)
    [fault] = [one for one in family["faults"] if one["name"] == "channel-order/order"]
    assert sorted(fault["has"]) == ["Wren 0", "Wren 1"]
    assert {one["old_findings"] for one in family["craft"]} == {"dialect quern is not here"}


def test_a_dialect_that_knows_the_console_no_more_takes_no_fault_away(run: Run, kept: Kept, own_dialect: Path) -> None:
    capture = kept("a", craft="ossel-hd53+order-taer")
    capture.write_text(in_quern(capture.read_text()))
    run("inspect", capture)
    own_dialect.write_text(own_dialect.read_text().replace("firmware := Quern", "firmware := Querl"))
    done = run("recheck", "--write")
    assert done.returncode == 3
    assert "cannot be looked at again: dialect quern does not know the console any more" in done.stdout
    assert len(json.loads(run("history", "--json").stdout)) == 1


def test_recheck_judges_with_the_answers_that_people_gave(run: Run, kept: Kept) -> None:
    capture = kept("a")
    capture.with_suffix(".notes.toml").write_text("format = 1\nat = 2026-11-25T10:00:00Z\n[answers]\nbound = true\n")
    run("inspect", capture)
    done = run("recheck", "--json")
    assert (done.returncode, done.stderr) == (0, "")
    assert [one["changed"] for one in json.loads(done.stdout)] == [False]


def test_recheck_says_which_it_cannot_look_at_again(run: Run, kept: Kept, database: Path) -> None:
    for at in range(2):
        run("inspect", kept(str(at), serial=f"4F2A00190{at}"))
    forget_captures(database)
    done = run("recheck", "--anew")
    assert done.returncode == 3
    assert done.stdout.count("cannot be looked at again: its capture is not kept (any more)") == 2
    assert "2 visits: 0 change, 2 cannot be looked at again" in done.stdout
    for visit in json.loads(run("history", "--json").stdout):  # both have one name
        assert f"serial number {visit['board_serial']}  {visit['id']}  cannot" in done.stdout


def test_a_recheck_of_nothing_is_no_recheck_of_which_nothing_changes(run: Run, kept: Kept) -> None:
    run("inspect", kept("a"))
    for words in (("nobody",), ("--sheet", "mistyped"), ("--board", "none", "--all-visits")):
        done = run("recheck", *words)
        assert done.returncode == 2
        assert "no such visit is in history" in done.stderr


def test_a_report_is_not_compared_with_itself(run: Run, kept: Kept) -> None:
    run("inspect", kept("a"))
    done = run("compare", SERIAL, "Teal Wren")
    assert (done.returncode, done.stdout) == (2, "")
    assert "one and the same report" in done.stderr


def test_of_two_craft_with_one_serial_number_each_name_is_that_of_its_own_visits(run: Run, kept: Kept) -> None:
    for at, (name, poles) in enumerate((("Wren A", 12), ("Wren B", 14), ("Wren A", 12))):
        run("inspect", kept(str(at), {"label": name, "motors.poles": poles}))
    found = compared(run, "Wren A", "Wren B", code=1)
    assert (found["a"]["craft"], found["b"]["craft"]) == ("Wren A", "Wren B")
    assert [one["name"] for one in found["differs"] if one["name"] != "craft.name"] == ["motors.poles"]
    assert found["b"]["old_since"] is None
    assert "motors.poles" not in {one["name"] for one in compared(run, "Wren A~1", "Wren A", code=0)["differs"]}
    for words in (("compare", "Wren A", "Wren B"), ("show", SERIAL)):
        assert run(*words).stderr.count("one serial number, several craft") == 1


def test_a_conversation_that_broke_off_is_no_fault_of_each_check(run: Run, kept: Kept) -> None:
    run("inspect", kept("whole", {"label": "Whole"}, craft="ossel-hd53+order-taer"))
    cut = kept("cut", {"label": "Cut"}, craft="ossel-hd53+order-taer", serial="4F2A001902")
    lines = cut.read_text().splitlines(keepends=True)
    cut.write_text("".join(lines[: len(lines) * 2 // 3]))
    run("inspect", cut)
    shown = run("siblings", "FENWICK F7").stdout
    [family] = json.loads(run("siblings", "FENWICK F7", "--json").stdout)
    assert family["faults"]
    assert all(not one["has"] or set(one["has"]) <= {"Whole"} for one in family["faults"]), family["faults"]
    assert "4F2A001902: The conversation broke off" in shown


def test_more_craft_than_a_task_takes_keep_their_own_reports(run: Run, kept: Kept, database: Path) -> None:
    with open_store(f"sqlite:///{database}") as store:
        tools = toolbox()
        for at in range(40):
            path = kept(f"c{at}", {"label": f"Wren {at}"}, serial=f"4F2A0019{at:02}")
            report = tools.inspect(load_capture(path), file=path.name)
            store.enter(report, None if at in (0, 17, 39) else path.read_bytes())
    done = run("recheck", "--json", "--jobs", "2")
    found = {one["label"].partition(",")[0]: one for one in json.loads(done.stdout)}
    assert len(found) == 40
    assert {label for label, one in found.items() if one["after"] is None} == {"Wren 0", "Wren 17", "Wren 39"}
    assert not any(one["changed"] for one in found.values())


def test_the_box_of_the_demonstration_shares_a_fault_and_siblings_say_which_have_it(run: Run) -> None:
    done = run("demo", "--once")
    assert done.returncode == 0
    assert "propsoff prune --bench demo --all --yes takes them out" in done.stdout
    found = json.loads(run("siblings", "FENWICK F7", "--json").stdout)[0]
    [shared] = [one for one in found["faults"] if one["name"] == "overlay-layout/small-layout"]
    assert sorted(shared["has"]) == ["Teal Wren D50", "Teal Wren D53"]
    assert "Teal Wren A" in shared["has_not"]
    without = {one["label"]: one["judged_without"] for one in found["craft"]}
    assert without["Teal Wren D53"] == ["sheet teal-wren-53", "check demo-initials"]
    shown = run("siblings").stdout
    said = "made with sheet teal-wren-53, check demo-initials, which are not here: judged without"
    assert f"Teal Wren D53: {said}" in shown
    done = run("recheck")
    assert done.returncode == 1
    [one] = [one for one in json.loads(run("recheck", "--json").stdout) if one["label"].startswith("Teal Wren D53")]
    assert one["without"] == ["sheet teal-wren-53", "check demo-initials"]
    assert f"  {said}\n" in done.stdout
    assert "shared by 2 of 7: overlay-layout/small-layout: Teal Wren D53, Teal Wren D50" in shown
    assert "14 visits went." in run("prune", "--bench", "demo", "--all", "--yes").stdout
    assert json.loads(run("history", "--json").stdout) == []

"""The craft that a bench saw today: what a visit knows of them, what the capture keeps, what a replay finds."""

from __future__ import annotations

import json
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from propsoff import Case, Finding, Neighbour, check
from propsoff.bench.neighbours import Neighbours
from propsoff.console.capture import MAX_NEIGHBOURS, Capture, load_capture
from propsoff.inspection.report import Report
from propsoff.ports.facts import Port, UsbIdentity
from propsoff_sim.bench import SimBench
from propsoff_sim.board import BoardState, with_facts
from propsoff_sim.catalogue import board
from tests_support.benches import watched
from tests_support.conversations import WHEN_S, inspected, recorded

NOON = datetime(2026, 7, 1, 12).timestamp()


def analogue(serial: str, mhz: int, name: str = "Teal Wren") -> BoardState:
    return with_facts(board("ossel-analog", serial), {"video.frequency_mhz": mhz, "label": name})


def report_of(state: BoardState, **header: Any) -> Report:
    capture = recorded(state)
    return inspected(Capture(capture.events, WHEN_S, "recorded", {}, "", **header), checks=(says_neighbours,))


def port_of(state: BoardState, serial: str | None = None) -> Port:
    return Port("/dev/ttyACM0", UsbIdentity(0x0483, 0x5740, serial or state.usb.serial_number))


def noted(bench: Neighbours, state: BoardState, now_s: float = NOON, port: Port | None = None) -> None:
    bench.note(port or port_of(state), report_of(state), now_s)


@check("says-neighbours", title="Says its neighbours", why="For the test.", reads=("video",))
def says_neighbours(case: Case) -> list[Finding]:
    return [case.passed(f"neighbours: {case.neighbours!r}")]


def said(report: Report) -> str:
    return report.findings[0].summary


WREN, HERON, SERIN = analogue("W-1", 5658), analogue("H-1", 5732, "Grey Heron"), analogue("S-1", 5806)
STRANGER = Port("/dev/ttyACM1", UsbIdentity(0x0483, 0x5740, "X-1"))


def test_a_bench_remembers_the_analogue_craft_of_the_day_by_name_and_serial_number() -> None:
    bench = Neighbours()
    noted(bench, WREN)
    noted(bench, HERON)
    assert bench.of(STRANGER, NOON) == {
        "Teal Wren, serial number W-1": 5658,
        "Grey Heron, serial number H-1": 5732,
    }


def test_a_digital_craft_is_no_neighbour() -> None:
    bench = Neighbours()
    noted(bench, board("ossel-hd53"))
    assert bench.of(STRANGER, NOON) == {}


def test_no_craft_is_its_own_neighbour() -> None:
    bench = Neighbours()
    noted(bench, WREN)
    assert bench.of(port_of(WREN), NOON) == {}
    assert len(bench.of(port_of(HERON), NOON)) == 1


def test_a_craft_that_is_inspected_again_replaces_itself_whatever_it_is_called_now() -> None:
    bench = Neighbours()
    noted(bench, WREN)
    noted(bench, analogue("W-1", 5880, "Teal Wren, renamed"))
    assert bench.of(STRANGER, NOON) == {"Teal Wren, renamed, serial number W-1": 5880}
    noted(bench, board("ossel-hd53", "W-1"))
    assert bench.of(STRANGER, NOON) == {}


def test_yesterdays_craft_are_forgotten_at_midnight_of_the_local_day() -> None:
    bench = Neighbours()
    late = datetime(2026, 7, 1, 23, 59).timestamp()
    noted(bench, WREN, late)
    assert bench.of(STRANGER, late)
    assert bench.of(STRANGER, (datetime(2026, 7, 1, 23, 59) + timedelta(minutes=1)).timestamp()) == {}


def test_of_many_craft_the_latest_are_remembered() -> None:
    bench = Neighbours()
    report = report_of(WREN)
    for number in range(MAX_NEIGHBOURS + 3):
        one = report.model_copy(update={"board_serial": f"N-{number}", "craft": f"craft {number}"})
        bench.note(Port("/dev/ttyACM0"), one, NOON)
    names = list(bench.of(STRANGER, NOON))
    assert len(names) == MAX_NEIGHBOURS
    assert names[-1] == f"craft {MAX_NEIGHBOURS + 2}, serial number N-{MAX_NEIGHBOURS + 2}"


def test_checks_are_given_the_neighbours_of_the_captures_header() -> None:
    report = report_of(WREN, neighbours={"Grey Heron, serial number H-1": 5732})
    assert said(report) == f"neighbours: {(Neighbour('Grey Heron, serial number H-1', 5732),)!r}"
    assert said(report_of(WREN)) == "neighbours: ()"


def test_a_capture_that_names_the_craft_itself_gives_it_no_neighbour() -> None:
    own = {"Teal Wren, serial number W-1": 5732, "renamed since, serial number W-1": 5658}
    assert said(report_of(WREN, neighbours=own)) == "neighbours: ()"
    nameless = with_facts(WREN, {"serial": ""})
    assert said(report_of(nameless, neighbours={"Teal Wren": 5732})) == "neighbours: ()"
    assert "Grey Heron" in said(report_of(nameless, neighbours={"Grey Heron": 5732}))


async def test_what_the_bench_knew_is_in_the_capture_and_live_and_replay_find_the_same(tmp_path: Path) -> None:
    async with SimBench(tmp_path / "sockets") as sockets, watched(tmp_path) as bench:
        sockets.plug("ossel-analog", "first")
        await bench.report(1)
        sockets.plug("corvane-analog", "second")
        live = await bench.report(2)
        written = await bench.files(2)
    [second] = [report for report in written if report["id"] == live.id]
    saved = tmp_path / "reports" / second["capture"]["file"]
    assert load_capture(saved).neighbours == {"Teal Wren, serial number 4F2A00191C": 5806}
    again = bench.tools.inspect(load_capture(saved), file=saved.name)
    assert json.dumps(second["findings"]) == json.dumps(json.loads(again.to_json())["findings"])
    assert again.capture.sha256 == live.capture.sha256
    disturbed = [finding for finding in again.findings if finding.name == "video-link/same-channel"]
    assert ["Teal Wren, serial number 4F2A00191C" in finding.summary for finding in disturbed] == [True]

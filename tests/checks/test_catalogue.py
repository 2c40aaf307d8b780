"""The catalogue of single faults, from captures and live: each gives the findings that it must, and nothing else.

The simulator shares no code with the reader. Boards, faults and their firmwares are inventions for the demonstration.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from propsoff import BuildSheet, Capture, Report
from propsoff.console.capture import Recorder
from propsoff.console.conversation import converse
from propsoff.console.link import Link
from propsoff.console.timings import Timings
from propsoff.sheets.catalogue import built_in_sheets
from propsoff.sheets.load import load_sheet
from propsoff.sheets.model import GRIDS
from propsoff_sim.board_faults import BOARD_FAULTS
from propsoff_sim.catalogue import board, board_names, boards_for
from tests_support.conversations import EVERY_CHECK, dialects, inspected, recorded
from tests_support.fault_catalogue import FULL, HOUSE, SHEET

SOUND_ALL_THE_SAME = ("unnamed", "crsf", "sbus", "ibus", "ready-to-arm", "no-link", "pack-absent")
AT_ONCE = Timings(listen_s=0.0)


def house(name: str) -> BuildSheet:
    """A sheet that says no more than what this variant's goggles draw."""
    sheet = built_in_sheets()[0]
    goggles = "hd-50x18" if "hd50" in name else "hd-53x20"
    return replace(sheet, built_in=False, grids={**sheet.grids, "digital": (GRIDS[goggles],)})


def told(report: Report) -> tuple[str, ...]:
    return tuple(
        f"{one.outcome.value} {one.name}" + (f" <{one.because}>" if one.because else "")
        for one in report.findings
        if one.outcome not in ("pass", "skipped")
    )


def examined(capture: Capture, sheet: BuildSheet) -> tuple[str, ...]:
    report = inspected(capture, sheets=(sheet,), checks=EVERY_CHECK)
    assert report.complete, report.ended
    return told(report)


def test_the_catalogue_has_at_least_forty_faults_that_exist() -> None:
    faults = {*HOUSE, *FULL}
    assert len(faults) >= 40
    assert faults <= {*BOARD_FAULTS}


@pytest.mark.parametrize("name", board_names())
def test_a_sound_board_passes_every_check(name: str) -> None:
    assert examined(recorded(board(name)), house(name)) == ()


@pytest.mark.parametrize("fault", sorted({*HOUSE, *SOUND_ALL_THE_SAME}))
def test_a_fault_gives_its_findings_and_no_other_on_every_board(fault: str) -> None:
    for name in boards_for(BOARD_FAULTS[fault]):
        assert (name, examined(recorded(board(f"{name}+{fault}")), house(name))) == (name, HOUSE.get(fault, ()))


@pytest.fixture(scope="module")
def full(tmp_path_factory: pytest.TempPathFactory) -> BuildSheet:
    file = tmp_path_factory.mktemp("sheets") / "full.toml"
    file.write_text(SHEET, encoding="utf-8")
    return load_sheet(file)


@pytest.mark.parametrize("name", ["ossel-analog", "ossel-hd53", "ossel-hd53-spi"])
def test_a_sound_board_passes_a_sheet_that_asks_for_everything(name: str, full: BuildSheet) -> None:
    assert examined(recorded(board(name)), full) == ()


@pytest.mark.parametrize("fault", sorted(FULL))
def test_what_only_a_sheet_can_ask_for_is_found_by_it(fault: str, full: BuildSheet) -> None:
    names = [
        each for each in boards_for(BOARD_FAULTS[fault]) if each in ("ossel-analog", "ossel-hd53", "ossel-hd53-spi")
    ]
    assert names
    for name in names:
        assert (name, examined(recorded(board(f"{name}+{fault}")), full)) == (name, FULL[fault])


async def conversation(path: Path) -> Capture:
    recorder = Recorder(clock=time.perf_counter, started=1_700_000_000.0)
    async with await Link.open(str(path), timings=AT_ONCE) as link:
        manners = [dialect.manner for dialect in dialects()]
        return (await converse(link, manners, recorder, timings=AT_ONCE)).capture


@pytest.mark.parametrize("fault", sorted(HOUSE))
async def test_a_live_board_gives_the_same_findings(fault: str, sim_board: Callable[..., Any]) -> None:
    """One board for each fault, the three firmwares in turn, over a pseudo-terminal."""
    names = boards_for(BOARD_FAULTS[fault])
    name = names[len(fault) % len(names)]
    capture = await conversation(sim_board(f"{name}+{fault}").path)
    assert (name, examined(capture, house(name))) == (name, HOUSE[fault])

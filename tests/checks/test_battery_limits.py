"""Battery: cells, limits, divider and what is measured, with the values of data sheets and of PyBaMM."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from propsoff import Finding
from propsoff.craft.build import CraftBuilder
from propsoff.inspection.case import Case
from propsoff.inspection.causes import under_their_causes
from propsoff.sheets.catalogue import built_in_sheets
from propsoff_checks.battery_limits import battery_limits
from propsoff_checks.cells import CHEMISTRIES, divider, full_scale_v, possible_counts
from tests_support.crafts import Bench, codes, told

PACK: dict[str, object] = {
    "battery.cells": 6,
    "battery.volts": 24.6,
    "battery.scale": 11.0,
    "battery.cell_low": 3.3,
    "battery.cell_warn": 3.5,
    "battery.cell_full": 4.2,
}


def run(bench: Bench, chemistry: str | None = None, expect: dict[str, Any] | None = None, **pack: Any) -> list[Finding]:
    changes = {**PACK, **{f"battery.{name}": value for name, value in pack.items()}}
    return bench.run(battery_limits, changes, sheet=bench.sheet(chemistry=chemistry, expect=expect or {}))


PASS = [("pass", None)]


@pytest.mark.parametrize(
    ("chemistry", "low_v", "high_v"),
    [
        ("lipo", 3.0, 4.2),  # PyBaMM 26.10, parameter set Ai2020
        ("li-ion", 2.5, 4.2),  # PyBaMM 26.10, parameter set Chen2020
        ("life", 2.0, 3.6),  # PyBaMM 26.10, parameter set Prada2013
    ],
)
def test_the_cells_have_the_limits_of_pybamms_parameter_sets(chemistry: str, low_v: float, high_v: float) -> None:
    assert (CHEMISTRIES[chemistry].floor, CHEMISTRIES[chemistry].full) == (low_v, high_v)


def test_the_nominal_voltage_and_the_charge_ends_are_those_of_the_data_sheets() -> None:
    assert CHEMISTRIES["lipo"].nominal == 3.7  # pouch cell sheet 721235
    assert CHEMISTRIES["lipo"].highest == max(4.20, 4.35, 4.40, 4.50)  # MCP73831 DS20001984
    assert CHEMISTRIES["lipo"].warning == (3.3, 3.5)  # common practice


def test_the_page_has_the_limits_of_the_code() -> None:
    page = (Path(__file__).parents[2] / "contrib" / "guide" / "checks" / "battery-limits.md").read_text(
        encoding="utf-8"
    )
    for name, kind in CHEMISTRIES.items():
        warning = "{} to {} ".format(*kind.warning) if kind.warning else ""
        assert f"| `{name}` | {kind.floor} | {kind.full:.2f} | {kind.highest:.2f} | {warning}|" in page


def test_a_divider_of_10k_and_1k_measures_up_to_36_3_volts() -> None:
    assert divider(10_000, 1_000) == 11  # (R1 + R2) / R2
    assert full_scale_v(11) == pytest.approx(36.3)  # at 3.3 V, computed


def test_16_8_volts_are_four_cells_or_five() -> None:
    assert pytest.approx(16.8) == 4 * 4.20
    assert pytest.approx(16.8) == 5 * 3.36
    assert possible_counts(16.8, 3.3, 4.2) == (4, 5)
    assert possible_counts(4.2, 3.3, 4.2) == (1,)
    assert possible_counts(5.0, 3.3, 4.2) == ()
    assert possible_counts(24.6, 3.3, 4.2) == (6, 7)


@given(st.integers(1, 24), st.floats(2.0, 3.5), st.floats(0.2, 1.0), st.floats(0, 1))
def test_the_number_of_cells_that_made_the_voltage_is_always_possible(
    cells: int, low: float, span: float, charge: float
) -> None:
    assert cells in possible_counts(cells * (low + charge * span), low, low + span)


def test_a_sound_pack_passes_and_says_that_volts_alone_do_not_tell_the_cells(bench: Bench) -> None:
    findings = run(bench, volts=16.8, cells=4)
    assert codes(findings) == PASS
    assert "4 cells" in findings[0].summary
    assert "4.20 V a cell (by itself that may be 4 or 5 cells)" in findings[0].summary


@pytest.mark.parametrize(
    ("pack", "found"),
    [
        ({"cells": 0}, [("fail", "absurd-cells")]),
        ({"cells": -3}, [("fail", "absurd-cells")]),
        ({"cells": 99}, [("fail", "absurd-cells")]),
        ({"cells": 25}, [("fail", "absurd-cells")]),
        ({"cells": 2**62}, [("fail", "absurd-cells")]),
        ({"cells": 15, "volts": 0.0, "scale": 21.0}, [("warn", "many-cells")]),
        ({"cells": 14, "volts": 0.0, "scale": 21.0}, PASS),
        ({"cells": 24, "volts": 0.0, "scale": 40.0}, [("warn", "many-cells")]),
        ({"cell_warn": 3.3}, [("fail", "limits-crossed")]),
        ({"cell_warn": 3.2}, [("fail", "limits-crossed")]),
        ({"cell_warn": 4.2}, [("fail", "limits-crossed")]),
        ({"cell_low": 4.3, "cell_warn": None}, [("unknown", "unread"), ("fail", "limits-crossed")]),
        ({"cell_low": 0.0}, [("fail", "below-floor")]),
        ({"cell_low": -1.0}, [("fail", "below-floor")]),
        ({"cell_low": 1.99}, [("fail", "below-floor")]),
        ({"cell_low": 2.0}, [("warn", "below-floor")]),
        ({"cell_low": 2.99}, [("warn", "below-floor")]),
        ({"cell_low": 3.0}, PASS),
        ({"cell_full": 4.35}, [("warn", "high-full")]),  # MCP73831: such cells exist
        ({"cell_full": 4.5}, [("warn", "high-full")]),
        ({"cell_full": 4.51}, [("fail", "absurd-full")]),
        ({"cell_full": 42.0}, [("fail", "absurd-full")]),
        ({"scale": 0.0}, [("fail", "absurd-scale")]),
        ({"scale": 1.0, "cells": 1, "volts": 0.0}, [("warn", "full-scale")]),  # no divider at all
        ({"scale": 1.3, "cells": 1, "volts": 0.0}, PASS),
        ({"scale": 0.9}, [("fail", "absurd-scale")]),
        ({"scale": -11.0}, [("fail", "absurd-scale")]),
        ({"scale": 110.0}, [("fail", "absurd-scale")]),
        ({"scale": 100.5}, [("fail", "absurd-scale")]),
        ({"scale": 100.0}, PASS),
        ({"scale": 7.0}, [("warn", "full-scale")]),  # 23.1 V for 25.2 V
        ({"scale": 8.0}, PASS),  # 26.4 V
        ({"scale": None}, PASS),
        ({"volts": None}, PASS),
        ({"volts": 25.2}, PASS),
        ({"volts": 25.6}, PASS),  # a measurement has its own error
        ({"volts": 25.8}, [("fail", "above-full")]),
        ({"volts": 20.9}, [("warn", "below-warning")]),
        ({"volts": 21.0}, PASS),
        ({"volts": 19.8}, [("warn", "below-warning")]),
        ({"volts": 19.7}, [("fail", "below-low")]),
        ({"volts": 17.1}, [("fail", "below-low")]),
        ({"volts": -5.0}, [("fail", "below-low")]),
        ({"volts": 1e6}, [("fail", "above-full")]),
        ({"volts": 24.6, "cells": 4}, [("fail", "above-full")]),
        ({"volts": 16.8, "cells": 6}, [("fail", "below-low")]),
        ({"cells": None}, [("unknown", "unread")]),
        ({"cell_low": None}, [("unknown", "unread")]),
        ({"cell_full": None}, [("unknown", "unread")]),
        # What was read is judged all the same.
        ({"cell_low": None, "volts": 25.8}, [("unknown", "unread"), ("fail", "above-full")]),
        ({"cell_full": None, "volts": 19.7}, [("unknown", "unread"), ("fail", "below-low")]),
        ({"cell_full": None, "volts": 30.0}, [("unknown", "unread")]),
        ({"cell_low": None, "volts": 18.0}, [("unknown", "unread"), ("warn", "below-warning")]),
        ({"cell_warn": None, "volts": 20.9}, [("unknown", "unread")]),
        ({"cells": 1, "volts": 4.4}, [("fail", "above-full")]),
        ({"cells": 2, "volts": 1.5}, [("fail", "below-low")]),  # no USB power: the pack is empty
        ({"cells": 2, "volts": 5.25}, [("fail", "below-low")]),  # two cells may be drained so far
    ],
)
def test_what_a_board_states_of_its_pack(bench: Bench, pack: dict[str, Any], found: list[tuple[str, str]]) -> None:
    assert codes(run(bench, **pack)) == found


@pytest.mark.parametrize(
    ("chemistry", "pack", "found"),
    [
        ("lipo", {"cell_low": 2.99}, [("fail", "below-floor")]),
        ("lipo", {"cell_low": 3.0}, PASS),
        ("li-ion", {"cell_low": 2.5}, PASS),  # charger manual 1209050, p. 44
        ("li-ion", {"cell_low": 2.49}, [("fail", "below-floor")]),
        ("life", {"cell_low": 2.0, "cell_warn": 2.8, "cell_full": 3.6, "volts": 19.2}, PASS),
        ("life", {"cell_low": 1.9, "cell_warn": 2.8, "cell_full": 3.6, "volts": 19.2}, [("fail", "below-floor")]),
        ("life", {"cell_low": 2.0, "cell_warn": 2.8, "cell_full": 3.65, "volts": 19.2}, [("warn", "high-full")]),
        ("life", {}, [("fail", "absurd-full")]),
        ("lipo", {"cell_low": 3.1, "cell_warn": 3.29}, [("warn", "late-warning")]),
        ("lipo", {"cell_low": 3.1, "cell_warn": 3.3}, PASS),
        ("lipo", {"cell_warn": 3.7}, PASS),
        ("lipo", {"cell_warn": 3.75}, [("warn", "early-warning")]),
        ("lipo", {"cell_warn": 3.4, "cell_full": 3.6, "volts": 21.0}, [("warn", "low-full")]),
        ("li-ion", {"cell_low": 2.8, "cell_warn": 3.0}, PASS),
        ("li-ion", {"cell_warn": 3.9}, PASS),  # no source names what is usual for these
        ("li-ion", {"cell_full": 3.6, "volts": 21.3}, PASS),
        ("life", {"cell_low": 2.0, "cell_warn": 3.5, "cell_full": 3.6, "volts": 21.3}, PASS),
        (None, {"cell_full": 3.6, "volts": 21.3}, PASS),
        (None, {"cell_low": 3.1, "cell_warn": 3.2}, PASS),  # gross errors only, where nobody names the cells
    ],
)
def test_limits_are_judged_by_the_chemistry_that_the_sheet_names(
    bench: Bench, chemistry: str | None, pack: dict[str, Any], found: list[tuple[str, str]]
) -> None:
    assert codes(run(bench, chemistry, **pack)) == found


@pytest.mark.parametrize(
    ("fact", "value", "found"),
    [
        ("cells", 4, [("fail", "cells")]),
        ("scale", 10.5, [("fail", "scale")]),
        ("cell_low", 3.2, [("fail", "low")]),
        ("cell_warn", 3.6, [("fail", "warning")]),
        ("cell_full", 4.35, [("fail", "full")]),
        ("cell_full", 4.2, PASS),
        ("volts", 24.0, [("fail", "volts")]),
    ],
)
def test_each_fact_against_the_sheet(bench: Bench, fact: str, value: object, found: list[tuple[str, str]]) -> None:
    assert codes(run(bench, expect={f"battery.{fact}": value})) == found


def test_what_the_sheet_names_is_right_where_custom_would_warn(bench: Bench) -> None:
    expect = {"battery.cell_full": 4.35, "battery.cell_low": 2.8, "battery.cell_warn": 3.2, "battery.cells": 15}
    pack = {"cell_full": 4.35, "cell_low": 2.8, "cell_warn": 3.2, "cells": 15, "volts": 0.0, "scale": 21.0}
    assert codes(run(bench, "lipo", expect, **pack)) == PASS


def test_what_the_sheet_names_and_the_board_does_not_say_is_unknown_once(bench: Bench) -> None:
    assert codes(run(bench, expect={"battery.scale": 11.0}, scale=None)) == [("unknown", "unread")]
    assert codes(run(bench, expect={"battery.cells": 6}, cells=None)) == [("unknown", "unread")]


def test_a_wrong_number_of_cells_is_the_cause_of_what_the_voltage_shows(bench: Bench) -> None:
    findings = under_their_causes(run(bench, expect={"battery.cells": 6}, cells=4))
    assert codes(findings) == [("fail", "cells")]  # the voltage is not judged by cells that are wrong
    findings = under_their_causes(run(bench, expect={"battery.cell_warn": 3.5}, cell_warn=3.2))
    assert [one.because for one in findings] == [None, "battery-limits/warning"]


def test_what_differs_from_the_sheet_is_settled_at_the_pack_or_with_a_meter(bench: Bench) -> None:
    for fact, value, begins in (("cells", 4, "See on the pack"), ("cell_low", 3.2, "See on the pack")):
        [one] = run(bench, expect={f"battery.{fact}": value})
        assert one.remedy.steps[0].startswith(begins)
    for fact in ("scale", "volts"):
        [one] = run(bench, expect={f"battery.{fact}": 10.5})
        assert one.remedy.steps[0].startswith("Measure the pack with a meter")


def test_a_pass_says_what_was_measured_and_doubts_it_only_where_volts_may_be_another_pack(bench: Bench) -> None:
    [one] = run(bench, volts=None)
    assert one.summary == "6 cells, low 3.30, warn 3.50, full 4.20 V a cell; the voltage is not stated"
    [one] = run(bench, cells=1, volts=4.2)
    assert one.summary == "1 cell, low 3.30, warn 3.50, full 4.20 V a cell; 4.2 V measured, 4.20 V a cell"
    [one] = run(bench, cells=1, volts=4.25)  # above full for the measurement's own error alone
    assert one.summary.endswith("4.25 V measured, 4.25 V a cell")


@pytest.mark.parametrize(("cells", "volts"), [(3, 5.25), (6, 0.0), (6, 0.4), (6, 5.0), (6, 5.25), (1, 0.9), (2, 1.0)])
def test_a_board_on_usb_power_alone_is_not_judged_by_its_voltage(bench: Bench, cells: int, volts: float) -> None:
    findings = run(bench, cells=cells, volts=volts)
    assert codes(findings) == PASS
    assert "no pack is connected" in findings[0].summary


def test_one_cell_of_an_ordinary_voltage_is_no_usb_power(bench: Bench) -> None:
    findings = run(bench, cells=1, volts=4.1)
    assert codes(findings) == PASS
    assert "4.10 V a cell" in findings[0].summary
    assert codes(run(bench, cells=6, volts=5.3)) == [("fail", "below-low")]


def test_a_voltage_against_the_cells_names_what_it_may_be_instead(bench: Bench) -> None:
    [one] = run(bench, cells=4, volts=24.6)
    assert "6.15 V a cell" in one.summary
    assert "6 or 7 cells" in one.summary
    [one] = run(bench, cells=4, volts=1e5)
    assert "may be a pack of" not in one.summary  # no pack has it
    [one] = run(bench, volts=17.1)
    assert "17.1 V may be a pack of 5 cells" in one.summary
    assert "Do not charge or fly this pack" in told([one])


def test_a_value_that_nobody_could_read_is_unknown(bench: Bench) -> None:
    builder = CraftBuilder()
    for name, value in {**PACK, "battery.volts": None}.items():
        builder.put(name, value, lines=[1])
    builder.put("battery.volts", "24,6 V?", lines=[2])
    case = Case(battery_limits, builder.craft(), built_in_sheets()[0])
    assert codes(list(battery_limits.examine(case))) == [("unknown", "unread")]  # type: ignore[arg-type]  # it is no coroutine


def test_remedies_are_said_to_the_board_where_one_value_will_do(bench: Bench) -> None:
    [one] = run(bench, "lipo", cell_low=2.5)
    assert one.remedy.console == ("set battery.cell_low 3.3", "store")
    [one] = run(bench, cell_low=2.5)
    assert one.remedy.console == ()  # for other cells it may be right
    assert "[battery] chemistry = " in told([one])
    assert one.expected == "at least 3.00 V; lower for other cells"
    [one] = run(bench, cell_low=1.9)  # below every cell's floor
    assert one.remedy.console == ("set battery.cell_low 3.3", "store")
    assert "[battery] chemistry = " not in told([one])
    [one] = run(bench, "li-ion", cell_low=2.4)
    assert one.remedy.console == ()  # 3.3 V is a polymer cell's
    assert one.expected == "at least 2.50 V"
    [_, one] = run(bench, "lipo", cell_low=2.5, cell_warn=None)
    assert one.remedy.console == ()  # whether 3.3 V would cross the warning nobody knows
    [one] = run(bench, cell_warn=3.2)
    assert one.remedy.console == ("set battery.cell_warn 3.5", "store")
    one, _ = run(bench, "lipo", cell_warn=3.2)
    assert one.remedy.console == ("set battery.cell_warn 3.5", "store")
    [one] = run(bench, "li-ion", cell_warn=3.2)
    assert one.remedy.console == ()  # 3.5 V is a polymer cell's warning
    [one] = run(bench, cell_warn=3.6, cell_full=3.45)
    assert one.remedy.console == ()  # 3.5 V would be above full
    [_, one] = run(bench, cell_low=None, cell_warn=4.3)
    assert (one.code, one.remedy.console) == ("limits-crossed", ())
    [_, one] = run(bench, cell_full=None, cell_warn=3.2)
    assert (one.code, one.remedy.console) == ("limits-crossed", ())
    [one] = run(bench, cell_low=3.6, cell_warn=3.2)
    assert one.remedy.console == ()
    [one] = run(bench, "lipo", cell_low=2.5, cell_warn=3.3)
    assert one.remedy.console == ()  # 3.3 V would cross the warning
    [one] = run(bench, "lipo", cell_warn=3.75)
    assert one.remedy.console == ("set battery.cell_warn 3.5", "store")
    assert one.expected == "3.30 to 3.50 V"
    [one] = run(bench, "lipo", cell_low=3.1, cell_warn=3.2)
    assert one.remedy.console == ("set battery.cell_warn 3.5", "store")
    assert one.expected == "3.30 to 3.50 V"
    [one] = run(bench, expect={"battery.cells": 4})
    assert one.remedy.console == ("set battery.cells 4", "store")


def test_the_caution_names_fire_and_propellers(bench: Bench) -> None:
    [one] = run(bench, cell_low=2.5)
    assert "between 0 and 40 C, never unattended, in a fireproof container" in (one.caution or "")
    assert "Propellers off" in (one.caution or "")
    assert one.evidence

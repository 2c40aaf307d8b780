"""Whether the limits of the flight battery are those of its cells, and what is measured fits the cells that are set."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from propsoff import Case, Finding, check
from propsoff_checks.against_sheet import against_sheet, by_sheet, figure, garbled
from propsoff_checks.cells import (
    CHEMISTRIES,
    LOWEST_FLOOR,
    MOST_CELLS,
    USB_V,
    USUAL_CELLS,
    Chemistry,
    full_scale_v,
    over,
    possible_counts,
)
from propsoff_checks.words import PROPELLERS_OFF, SAFETY_SOURCES, either, typed

_LIMITS = ("battery.cell_low", "battery.cell_warn", "battery.cell_full")
_FACTS = (
    ("battery.cells", "the number of cells", "cells", ""),
    ("battery.scale", "the divider of the voltage measurement", "scale", ""),
    ("battery.volts", "the voltage of the pack", "volts", "V"),
    ("battery.cell_low", "the lowest voltage of a cell", "low", "V"),
    ("battery.cell_warn", "the warning voltage of a cell", "warning", "V"),
    ("battery.cell_full", "the full voltage of a cell", "full", "V"),
)
_EFFECTS = {
    "cells": ("absurd-cells", "many-cells", "full-scale", "above-full", "below-low", "below-warning"),
    "scale": ("absurd-scale", "full-scale", "above-full", "below-low", "below-warning"),
    "volts": ("above-full", "below-low", "below-warning"),
    "low": ("below-floor", "limits-crossed", "below-low"),
    "warning": ("limits-crossed", "late-warning", "early-warning", "below-warning"),
    "full": ("absurd-full", "high-full", "low-full", "limits-crossed", "full-scale", "above-full"),
}
"""What else is wrong only because a fact is not the sheet's."""
_LARGEST_SCALE = 100.0
_WARNING = 3.5
_HIGHEST = CHEMISTRIES["lipo"].highest
_MEASURED = 1.02
"""How far a measured voltage may be above full for the measurement's own error; from memory."""
_LOOK = "See on the pack how many cells it has and of which kind they are, and set the board to it."
_METER = "Measure the pack with a meter and compare with what the board shows; then correct the divider or the cells."


@check(
    "battery-limits",
    title="Battery: cells, limits and measurement",
    why="The warning that comes too late lands the craft wherever it is, and ruins the pack.",
    reads=("battery",),
    sources=(
        "pouch cell sheet 721235: lithium-polymer 3.7 V nominal, 4.2 V limit, 3.0 V cut-off",
        "charger manual 1209050, p. 44: floors of 3.0 V (LiPo), 2.5 V (Li-ion) and 2.0 V (LiFe) a cell",
        "MCP73831 data sheet DS20001984: charge ends of 4.20, 4.35, 4.40 and 4.50 V exist",
        "PyBaMM 26.10: Ai2020 3.0 to 4.2 V, Chen2020 2.5 to 4.2 V, Prada2013 2.0 to 3.6 V",
        "a warning at 3.3 to 3.5 V a cell: common practice",
        "measured against 3.3 V, and the number of cells in use: from memory",
        "US Fire Administration citing NFPA; Model Aviation 2004/08: charging lithium cells",
        *SAFETY_SOURCES,
    ),
    caution=(
        f"{PROPELLERS_OFF} Charge lithium cells between 0 and 40 C, never unattended, in a fireproof container; do not "
        "charge or fly a pack that is swollen or was drained below its floor."
    ),
)
def battery_limits(case: Case) -> Iterator[Finding]:
    """Cells, then limits, then the divider; what is measured only when these are in order."""
    wrong = [found for fact, what, code, unit in _FACTS for found in _by_the_sheet(case, fact, what, code, unit)]
    missing = [fact for fact in ("battery.cells", *_LIMITS) if case.craft.value(fact) is None]
    missing += garbled(case, "battery.volts", "battery.scale")
    missing = [fact for fact in missing if case.sheet.expected(fact) is None]
    wrong += [case.unread(*missing)] if missing else []
    chemistry = CHEMISTRIES.get(case.sheet.chemistry or "")
    wrong += [*_cells(case), *_order(case), *_low(case, chemistry), *_warning(case, chemistry)]
    wrong += [*_full(case, chemistry), *_scale(case)]
    if not any(finding.outcome == "fail" for finding in wrong):
        wrong += _volts(case)
    yield from wrong
    if not wrong:
        yield case.passed(_well(case), facts=("battery",))


def _by_the_sheet(case: Case, fact: str, what: str, code: str, unit: str) -> list[Finding]:
    steps = (_METER,) if code in ("scale", "volts") else (_LOOK,)
    explains = tuple(f"battery-limits/{effect}" for effect in _EFFECTS[code])
    return against_sheet(case, fact, what, code=code, unit=unit, steps=steps, explains=explains)


def _well(case: Case) -> str:
    battery = case.craft.battery
    limits = ", ".join(
        f"{word} {value:.2f}"
        for word, value in (("low", battery.cell_low), ("warn", battery.cell_warn), ("full", battery.cell_full))
        if value is not None
    )
    volts, cells = battery.volts, battery.cells or 0
    if volts is None:
        measured = "the voltage is not stated"
    elif _no_pack(case):
        measured = "no pack is connected, so that its voltage was not judged"
    else:
        counts = _counts(case)
        doubt = f" (by itself that may be {either(map(str, counts))} cells)" if len(counts) > 1 else ""
        measured = f"{figure(volts, 'V')} measured, {volts / cells:.2f} V a cell{doubt}"
    return f"{cells} {'cell' if cells == 1 else 'cells'}, {limits} V a cell; {measured}"


def _cells(case: Case) -> Iterator[Finding]:
    cells = case.craft.battery.cells
    if cells is None:
        return
    if not 0 < cells <= MOST_CELLS:
        yield case.fail(
            f"a pack of {figure(cells)} cells cannot be",
            code="absurd-cells",
            facts=("battery.cells",),
            expected=f"1 to {MOST_CELLS} cells",
            actual=figure(cells),
            why="What the board shows for a cell, and every warning made from it, is wrong.",
            steps=(_look(case),),
        )
    elif cells > USUAL_CELLS and not by_sheet(case, "battery.cells"):
        yield case.warn(
            f"{cells} cells are more than multirotors have",
            code="many-cells",
            facts=("battery.cells",),
            expected=f"1 to {USUAL_CELLS} cells, or what the build sheet names",
            actual=str(cells),
            steps=(_look(case), f"If it is right, say so in the build sheet: [battery] cells = {cells}."),
        )


def _look(case: Case) -> str:
    """What to do about cells that nobody counted."""
    cells = next(iter(_counts(case)), 4)
    lines = typed(case.say([("battery.cells", cells)]), f"for {cells} cells type")
    return f"{_LOOK.removesuffix('.')}{lines}."


def _order(case: Case) -> Iterator[Finding]:
    """The three limits must rise: low, warning, full."""
    battery = case.craft.battery
    named = (("low", battery.cell_low), ("warning", battery.cell_warn), ("full", battery.cell_full))
    known = [(word, value) for word, value in named if value is not None]
    for (word, value), (above, higher) in pairwise(known):
        if not over(higher, value):
            yield case.fail(
                f"the {word} limit of {value:.2f} V is not below the {above} limit of {higher:.2f} V a cell",
                code="limits-crossed",
                facts=_LIMITS,
                expected="low below warning below full",
                actual=", ".join(f"{one} {volts:.2f} V" for one, volts in known),
                why="The warning comes after the limit that it should warn of, or all the time.",
                settings=_crossed_settings(battery.cell_low, battery.cell_full, case.sheet.chemistry),
                steps=("Set the three so that they rise: for lithium-polymer 3.30, 3.50 and 4.20 V are common.",),
            )
            return


def _crossed_settings(low: float | None, full: float | None, chemistry: str | None) -> list[tuple[str, object]]:
    """The usual warning of a polymer cell, where that alone puts the order right."""
    rises = low is not None and full is not None and over(_WARNING, low) and over(full, _WARNING)
    return [("battery.cell_warn", _WARNING)] if rises and chemistry in (None, "lipo") else []


def _low(case: Case, chemistry: Chemistry | None) -> Iterator[Finding]:
    low = case.craft.battery.cell_low
    if low is None or by_sheet(case, "battery.cell_low"):
        return
    floor = chemistry.floor if chemistry else CHEMISTRIES["lipo"].floor
    if not over(floor, low):
        return
    # Which cells these are nobody said: between two floors it may be right.
    guess = chemistry is None and not over(LOWEST_FLOOR, low)
    kind = chemistry.name if chemistry else "lithium-polymer"
    judge = case.warn if guess else case.fail
    yield judge(
        f"the low limit of {low:.2f} V a cell is below what a {kind} cell stands, {floor:.2f} V",
        code="below-floor",
        facts=("battery.cell_low",),
        expected=f"at least {floor:.2f} V" + ("" if chemistry else "; lower for other cells"),
        actual=f"{low:.2f} V",
        why="A cell that is drained below its floor is damaged, and may catch fire when it is charged again.",
        settings=[("battery.cell_low", 3.3)] if not guess and kind == "lithium-polymer" and _below_warn(case) else (),
        steps=("See on the pack of which kind its cells are.", *(_other_cells(case, floor) if guess else ())),
    )


def _other_cells(case: Case, floor_v: float) -> tuple[str, ...]:
    return (
        f"For lithium-polymer set at least {floor_v:.2f} V{_usual_low(case)}.",
        'If these are other cells, name them in the build sheet: [battery] chemistry = "li-ion", or "life".',
    )


def _usual_low(case: Case) -> str:
    return typed(case.say([("battery.cell_low", 3.3)]), "for 3.30 V type") if _below_warn(case) else ""


def _below_warn(case: Case) -> bool:
    """Whether 3.3 V, a common low limit, would be below the warning that is set."""
    return over(case.craft.battery.cell_warn or 0.0, 3.3)


def _warning(case: Case, chemistry: Chemistry | None) -> Iterator[Finding]:
    warning = case.craft.battery.cell_warn
    if warning is None or by_sheet(case, "battery.cell_warn"):
        return
    if chemistry is None or chemistry.warning is None:
        return
    usual = "{:.2f} to {:.2f} V".format(*chemistry.warning)
    if over(chemistry.warning[0], warning):
        yield case.warn(
            f"the warning comes at {warning:.2f} V a cell, later than is usual for {chemistry.name} cells",
            code="late-warning",
            facts=("battery.cell_warn",),
            expected=usual,
            actual=f"{warning:.2f} V",
            why="Under load little is left at that voltage: the pilot may not get home.",
            settings=[("battery.cell_warn", chemistry.warning[1])],
        )
    elif chemistry.nominal is not None and over(warning, chemistry.nominal):
        yield case.warn(
            f"the warning comes at {warning:.2f} V a cell, above the {chemistry.nominal:.2f} V of a half-full cell",
            code="early-warning",
            facts=("battery.cell_warn",),
            expected=usual,
            actual=f"{warning:.2f} V",
            why="A warning that is on for half of the flight is not heeded when it matters.",
            settings=[("battery.cell_warn", chemistry.warning[1])],
        )


def _full(case: Case, chemistry: Chemistry | None) -> Iterator[Finding]:
    full = case.craft.battery.cell_full
    if full is None or by_sheet(case, "battery.cell_full"):
        return
    kind = chemistry or CHEMISTRIES["lipo"]
    if over(full, kind.highest):
        yield case.fail(
            f"a full cell of {full:.2f} V cannot be: {kind.name} cells end at {kind.highest:.2f} V at the most",
            code="absurd-full",
            facts=("battery.cell_full",),
            expected=f"{kind.full:.2f} V",
            actual=f"{full:.2f} V",
            why="Cells are counted and charge is shown by it; a cell that is charged so far burns.",
            settings=[("battery.cell_full", kind.full)],
            steps=(_LOOK,),
        )
    elif over(full, kind.full):
        yield case.warn(
            f"a full cell is set to {full:.2f} V; that of most {kind.name} cells is {kind.full:.2f} V",
            code="high-full",
            facts=("battery.cell_full",),
            expected=f"{kind.full:.2f} V, or what the build sheet names",
            actual=f"{full:.2f} V",
            why="Cells for higher voltages exist; an ordinary one that is charged so far may burn.",
            steps=(
                "See on the pack what its cells may be charged to.",
                f"If that is {kind.full:.2f} V, set it{typed(case.say([('battery.cell_full', kind.full)]))}.",
                f"If they are made for {full:.2f} V, say so in the build sheet: [battery] cell_full = {full:.2f}.",
            ),
        )
    elif chemistry is not None and chemistry.nominal is not None and over(chemistry.nominal, full):
        yield case.warn(
            f"a full cell is set to {full:.2f} V, below the {chemistry.nominal:.2f} V of a half-full cell",
            code="low-full",
            facts=("battery.cell_full",),
            expected=f"{kind.full:.2f} V",
            actual=f"{full:.2f} V",
            why="Cells are counted by it: a full pack is taken for one with more cells.",
            settings=[("battery.cell_full", kind.full)],
        )


def _scale(case: Case) -> Iterator[Finding]:
    battery = case.craft.battery
    scale, cells, full = battery.scale, battery.cells, battery.cell_full
    if scale is None:
        return
    if not 1.0 <= scale <= _LARGEST_SCALE:
        yield case.fail(
            f"a divider of {figure(scale)} cannot be: (R1 + R2) / R2 is at least 1, and not {_LARGEST_SCALE:g} or more",
            code="absurd-scale",
            facts=("battery.scale",),
            expected="the ratio of the board's two resistors: 11 for 10 kOhm and 1 kOhm",
            actual=figure(scale),
            why="The voltage in the goggles has nothing to do with the pack's.",
            steps=(_METER,),
        )
    elif cells and full and 0 < cells <= MOST_CELLS and full_scale_v(scale) < cells * full <= cells * _HIGHEST:
        yield case.warn(
            f"with a divider of {figure(scale)} a board that measures against 3.3 V tells at most "
            f"{full_scale_v(scale):.1f} V; {cells} full cells have {cells * full:.1f} V",
            code="full-scale",
            facts=("battery.scale", "battery.cells", "battery.cell_full"),
            expected=f"a divider of at least {cells * full / 3.3:.1f}",
            actual=figure(scale),
            why="A full pack reads the same as one that is half empty.",
            steps=(_METER,),
        )


def _no_pack(case: Case) -> bool:
    """Whether the board runs from USB alone: no voltage, or no more than a USB socket supplies on several cells."""
    volts, cells = case.craft.battery.volts, case.craft.battery.cells or 0
    return volts is not None and 0 <= volts <= (USB_V if cells >= 3 else 1.0)


def _counts(case: Case) -> tuple[int, ...]:
    battery = case.craft.battery
    if battery.volts is None or battery.cell_low is None or battery.cell_full is None:
        return ()
    return possible_counts(battery.volts, battery.cell_low, battery.cell_full)


def _volts(case: Case) -> Iterator[Finding]:
    """What is measured, against the cells that are set."""
    battery = case.craft.battery
    volts, cells = battery.volts, battery.cells
    if volts is None or cells is None or cells < 1 or _no_pack(case):
        return
    counts = either(map(str, _counts(case)))
    fits = f"; {figure(volts, 'V')} may be a pack of {counts} cells" if counts else ""
    a_cell, facts = volts / cells, ("battery.volts", "battery.cells", "battery.scale")
    if battery.cell_full is not None and over(a_cell, battery.cell_full * _MEASURED):
        yield case.fail(
            f"{figure(volts, 'V')} on {cells} cells would be {a_cell:.2f} V a cell, above full charge{fits}",
            code="above-full",
            facts=facts,
            expected=f"at most {battery.cell_full:.2f} V a cell",
            actual=f"{a_cell:.2f} V a cell",
            why="Cells or divider are wrong: the warning comes when the pack is long empty, or never.",
            steps=(_look(case), _METER),
        )
    elif battery.cell_low is not None and over(battery.cell_low, a_cell):
        yield case.fail(
            f"{figure(volts, 'V')} on {cells} cells would be {a_cell:.2f} V a cell, below the low limit{fits}",
            code="below-low",
            facts=facts,
            expected=f"at least {battery.cell_low:.2f} V a cell",
            actual=f"{a_cell:.2f} V a cell",
            why="The pack is drained, or cells or divider are wrong: then the voltage in the goggles is wrong too.",
            steps=("Do not charge or fly this pack before it was measured.", _LOOK, _METER),
        )
    elif battery.cell_warn is not None and over(battery.cell_warn, a_cell):
        yield case.warn(
            f"{figure(volts, 'V')} on {cells} cells is {a_cell:.2f} V a cell, below the warning limit{fits}",
            code="below-warning",
            facts=facts,
            expected=f"at least {battery.cell_warn:.2f} V a cell",
            actual=f"{a_cell:.2f} V a cell",
            why="The pack is nearly empty, or the divider does not fit the board.",
            steps=(_METER, "If the pack is low, charge it before the craft flies."),
        )

"""The built-in dialects read their consoles whole: facts written by hand from CONSOLES.md, and where they stand."""

from __future__ import annotations

from dataclasses import astuple
from typing import Any

import pytest

from dialects.conversations import CAPTURES, brindle, corvane, corvane_document, ossel
from dialects.samples import BRINDLE_VIEW, CORVANE_SETUP, EXPECTED, OSSEL_RECITE
from propsoff.console.capture import Capture
from propsoff.console.transcript import Transcript
from propsoff.craft.model import Craft
from propsoff.craft.names import facts
from propsoff.dialects.model import Dialect
from propsoff.dialects.read import read_craft

Dialects = dict[str, Dialect]
GROUPS = ("switches", "ports", "overlay.elements")


def value(craft: Craft, name: str) -> Any:
    found = craft.value(name)
    return [astuple(row) for row in found] if name in GROUPS and found is not None else found


@pytest.mark.parametrize("name", list(CAPTURES))
def test_every_fact_of_the_console_is_read(name: str, dialects: Dialects) -> None:
    reading = read_craft(CAPTURES[name](), dialects[name])
    craft = reading.craft
    assert {fact: value(craft, fact) for fact in EXPECTED[name]} == EXPECTED[name]
    assert {fact.partition("[]")[0] for fact in facts()} == set(EXPECTED[name]), "a fact is not in the expectation"
    assert (craft.problems, craft.unread) == ((), ())
    assert [exchange.state for exchange in reading.exchanges] == ["complete", "complete"]
    assert reading.dialect is dialects[name]


@pytest.mark.parametrize("name", list(CAPTURES))
def test_every_fact_names_the_lines_that_state_it(name: str, dialects: Dialects) -> None:
    capture = CAPTURES[name]()
    craft = read_craft(capture, dialects[name]).craft
    lines = {line.number: line.text for line in Transcript(capture).lines}
    for record in craft.facts():
        assert record.lines, record.name
        assert all(number in lines for number in record.lines), record.name
    shown = {"overlay.columns": "53", "battery.cells": "6", "motors.poles": "14", "channels.low": "1001"}
    for fact, text in shown.items():
        assert text in lines[craft.provenance[fact][-1]], fact


def test_a_value_in_a_document_is_shown_where_it_stands(dialects: Dialects) -> None:
    capture = corvane()
    craft = read_craft(capture, dialects["corvane"]).craft
    texts = {line.number: line.text.strip() for line in Transcript(capture).lines}

    def stated(name: str) -> list[str]:
        return [texts[number] for number in craft.provenance[name]]

    assert stated("receiver.protocol") == ['"tongue": "crsf",']
    assert stated("overlay.columns") == ['"grid": [', "53,"]
    assert stated("overlay.rows") == ['"grid": [', "20"]
    assert stated("channels.live") == ['"present": [']
    assert stated("ports[1].baud") == ['"bps": 420000']
    assert stated("overlay.elements[1].row") == ['"at": [', "0"]
    assert texts[craft.provenance["ports[1]"][0]] == "{"
    assert texts[craft.provenance["ports[1]"][0] + 1] == '"at": "S2",'


UNNAMED: dict[str, tuple[Any, str]] = {
    "ossel": (lambda: ossel(OSSEL_RECITE.replace("craft.label := Teal Wren", "craft.label := ")), ""),
    "brindle": (lambda: brindle(BRINDLE_VIEW.replace("title  Teal Wren", "title  -")), ""),
    "corvane": (lambda: corvane(corvane_document("setup", {**CORVANE_SETUP, "label": ""})), ""),
}


@pytest.mark.parametrize("name", list(UNNAMED))
def test_an_unnamed_craft_has_an_empty_name_and_not_an_unread_one(name: str, dialects: Dialects) -> None:
    make, expected = UNNAMED[name]
    craft = read_craft(make(), dialects[name]).craft
    assert craft.craft.name == expected
    assert craft.problems == ()


def _ossel_before_the_grid() -> Capture:
    recite = OSSEL_RECITE.replace("glass.cols := 53\nglass.rows := 20\n", "").replace("digital", "pal")
    return ossel(recite.replace("50 entries", "48 entries"))


def _brindle_before_the_grid() -> Capture:
    return brindle(BRINDLE_VIEW.replace("wide    53", "wide    -").replace("tall    20", "tall    -"))


def _corvane_before_the_grid() -> Capture:
    return corvane(corvane_document("setup", {**CORVANE_SETUP, "picture": {**CORVANE_SETUP["picture"], "grid": None}}))


@pytest.mark.parametrize(
    ("name", "make"),
    [
        ("ossel", _ossel_before_the_grid),
        ("brindle", _brindle_before_the_grid),
        ("corvane", _corvane_before_the_grid),
    ],
)
def test_a_firmware_without_a_grid_leaves_it_unread(name: str, make: Any, dialects: Dialects) -> None:
    craft = read_craft(make(), dialects[name]).craft
    assert (craft.overlay.columns, craft.overlay.rows) == (None, None)
    assert craft.overlay.enabled is True
    assert (craft.problems, craft.unread) == ((), ())
    assert dialects[name].since("digital-grid") in {"4.1.0", "2.5.0", "0.18.0"}


def test_lists_that_are_empty_are_empty_and_not_unread(dialects: Dialects) -> None:
    recite = [line for line in OSSEL_RECITE.split("\n") if not line.startswith(("lever.", "grounded.", "glass.item."))]
    crafts = [
        read_craft(ossel("\n".join(recite).replace("50 entries", "44 entries")), dialects["ossel"]).craft,
        read_craft(
            corvane(
                corvane_document(
                    "setup",
                    {**CORVANE_SETUP, "toggles": [], "stops": [], "picture": {**CORVANE_SETUP["picture"], "marks": []}},
                )
            ),
            dialects["corvane"],
        ).craft,
        read_craft(brindle(_emptied(BRINDLE_VIEW, "levers", "held", "widgets")), dialects["brindle"]).craft,
    ]
    for craft in crafts:
        assert (craft.switches, craft.arming.blocks, craft.overlay.elements) == ((), (), ())
        assert craft.lines("switches") or craft.firmware.name == "Ossel"
        assert craft.problems == ()


def _emptied(view: str, *tables: str) -> str:
    """The listing with no rows in these tables."""
    out: list[str] = []
    for block in view.split("\n\n"):
        lines = block.split("\n")
        named = lines[0].strip("= ") in tables
        out.append("\n".join([*lines[:3], "(0 rows)"]) if named else block)
    return "\n\n".join(out)

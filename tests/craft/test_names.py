"""The canonical fact names: derived from the model, resolved on a craft."""

from __future__ import annotations

import pytest

from propsoff.craft.model import Craft, Overlay, OverlayElement, PortRole, Uart
from propsoff.craft.names import facts, resolve, row_facts, row_types

CRAFT = Craft(
    ports=(Uart("U1", ("console",), 115200), Uart("U2")),
    switches=(),
    overlay=Overlay(columns=53, elements=(OverlayElement("battery", 2, 18, 5, True),)),
    provenance={"ports[0]": (4,), "overlay.columns": (9,), "overlay.elements[0]": (12,), "switches": (3,)},
)


# The canonical facts as the design names them.
DESIGN = {
    "board": "name serial",
    "craft": "name",
    "firmware": "name version built",
    "receiver": "kind protocol port inverted half_duplex telemetry",
    "channels": "order low centre high live",
    "switches[]": "function channel from_us to_us",
    "ports[]": "id roles baud",
    "overlay": "enabled system columns rows",
    "overlay.elements[]": "name column row width shown",
    "video": "link band channel frequency_mhz power_mw",
    "battery": "cells volts scale cell_low cell_warn cell_full",
    "motors": "protocol bidirectional poles idle_percent reversed loop_hz",
    "failsafe": "action delay_s throttle_us",
    "sensors": "gyro accelerometer barometer",
    "arming": "blocks",
    "logger": "device free_bytes",
}


def test_every_name_of_the_design_is_there_with_its_type_and_unit() -> None:
    known = facts()
    assert list(known) == [f"{group}.{name}" for group, names in DESIGN.items() for name in names.split()]
    assert (known["channels.low"].type, known["channels.low"].unit) == (int, "us")
    assert (known["battery.cell_low"].type, known["battery.cell_low"].unit) == (float, "V")
    assert known["receiver.kind"].choices == ("serial", "spi", "ppm", "pwm", "none")
    assert known["overlay.enabled"].type is bool
    assert (known["channels.live"].many, known["channels.live"].type) == (True, int)
    roles = known["ports[].roles"]
    assert (roles.many, roles.repeated) == (True, "ports")
    assert roles.choices == PortRole.__args__  # type: ignore[attr-defined]  # a Literal's own words
    assert known["video.power_mw"].unit == "mW"
    assert all(spec.doc for spec in known.values())


def test_the_facts_of_a_row_go_by_their_own_names() -> None:
    assert list(row_facts("ports")) == ["id", "roles", "baud"]
    assert set(row_types()) == {"switches", "ports", "overlay.elements"}
    with pytest.raises(KeyError):
        row_facts("motors")


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("overlay.columns", 53),
        ("overlay.rows", None),
        ("ports", CRAFT.ports),
        ("ports[0].roles", ("console",)),
        ("ports[1].baud", None),
        ("ports[9].baud", None),
        ("overlay.elements[0].column", 2),
        ("switches", ()),
        ("switches[0].channel", None),
    ],
)
def test_a_dotted_name_resolves_to_the_value_or_none(name: str, value: object) -> None:
    assert resolve(CRAFT, name) == value == CRAFT.value(name)


@pytest.mark.parametrize(
    "name", ["", "nothing", "overlay.nothing", "ports[0].nothing", "ports[x]", "problems", "provenance", "Overlay"]
)
def test_a_name_that_does_not_exist_is_a_key_error(name: str) -> None:
    with pytest.raises(KeyError):
        resolve(CRAFT, name)


def test_the_facts_of_a_craft_are_listed_in_the_order_of_the_model_with_lines_and_units() -> None:
    records = {record.name: record for record in CRAFT.facts()}
    assert list(records) == [
        "switches", "ports[0].id", "ports[0].roles", "ports[0].baud", "ports[1].id", "overlay.columns",
        "overlay.elements[0].name", "overlay.elements[0].column", "overlay.elements[0].row",
        "overlay.elements[0].width", "overlay.elements[0].shown",
    ]  # fmt: skip
    assert (records["switches"].value, records["switches"].lines) == ((), (3,))  # listed, and none there
    assert (records["ports[0].baud"].unit, records["ports[0].baud"].lines) == ("baud", (4,))
    assert records["ports[1].id"].lines == ()
    assert records["overlay.columns"].lines == (9,)
    assert CRAFT.lines("ports") == (4,)
    assert CRAFT.lines("overlay") == (9, 12)
    assert CRAFT.lines("switches", "ports[0].baud") == (3,)

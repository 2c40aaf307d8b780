"""One cause for several findings."""

from __future__ import annotations

from typing import Any

import pytest

from propsoff import Finding
from propsoff.inspection.causes import under_their_causes
from propsoff_checks.cross_checks import cross_checks
from propsoff_checks.overlay_canvas import overlay_canvas
from propsoff_checks.port_roles import port_roles
from propsoff_checks.receiver_type import receiver_type
from tests_support.crafts import PORTS, Bench

REST = (1500, 1500, 1000, 1500, 1000, 1000, 1000, 1000)
"""Sticks at rest on AETR: throttle at its low end, the others at their centre (common practice)."""
SOUND: dict[str, object] = {"channels.live": REST, "arming.blocks": ("usb-connected",)}


def rows(**changes: dict[str, object]) -> list[dict[str, object]]:
    return [{**row, **changes.get(str(row["id"]), {})} for row in PORTS]


def names(found: list[Finding]) -> list[str]:
    return [one.name for one in found if one.outcome == "fail"]


def laid(bench: Bench, *checks: Any, changes: dict[str, object] | None = None, **more: Any) -> dict[str, str | None]:
    """Every finding that is no pass, and what it is laid under."""
    found = [one for check in checks for one in bench.run(check, changes, **more)]
    return {one.name: one.because for one in under_their_causes(found) if one.outcome != "pass"}


def test_a_sound_craft_passes(bench: Bench) -> None:
    (found,) = bench.run(cross_checks, SOUND)
    assert found.outcome == "pass"


def test_a_receiver_on_a_uart_that_another_role_took_is_one_thing_to_do(bench: Bench) -> None:
    taken = rows(U2={"roles": ("positioning",)})
    assert laid(bench, receiver_type, port_roles, cross_checks, ports=taken) == {
        "receiver-type/role-missing": "cross-checks/receiver-port-taken",
        "cross-checks/receiver-port-taken": None,
    }
    (found,) = [one for one in bench.run(cross_checks, ports=taken) if one.outcome == "fail"]
    assert "U2 was given to positioning" in found.summary
    assert found.remedy.console == (
        "set ports[].roles ('receiver',) {'id': 'U2', 'roles': ('receiver',), 'baud': 420000}",
        "store",
    )


@pytest.mark.parametrize(
    ("changes", "ports"),
    [
        ({}, rows(U2={"roles": ("unused",)})),  # not taken: only free
        ({}, rows(U2={"roles": ("positioning",)}, U3={"roles": ("receiver",)})),  # the role is elsewhere
        ({}, rows(U2={"roles": ("receiver", "positioning")})),  # shared: port-roles has it
        ({"receiver.kind": "spi"}, rows(U2={"roles": ("positioning",)})),
        ({"receiver.port": "U9"}, rows(U2={"roles": ("positioning",)})),
        ({"receiver.port": None}, rows(U2={"roles": ("positioning",)})),
    ],
)
def test_other_trouble_with_the_receivers_uart_is_left_to_other_checks(
    bench: Bench, changes: dict[str, object], ports: list[dict[str, object]]
) -> None:
    assert names(bench.run(cross_checks, changes, ports=ports)) == []


ANALOG = {"video.link": "analog", "overlay.system": "pal", "overlay.columns": 30, "overlay.rows": 16}


def test_a_board_set_up_for_the_other_link_is_one_thing_to_do(bench: Bench) -> None:
    sheet = bench.sheet(expect={"video.link": "digital"})
    freed = rows(U4={"roles": ("unused",)})
    under = laid(bench, overlay_canvas, port_roles, cross_checks, changes=ANALOG, ports=freed, sheet=sheet)
    assert under.pop("cross-checks/other-video-link") is None
    assert under
    assert set(under.values()) == {"cross-checks/other-video-link"}


@pytest.mark.parametrize(
    ("wanted", "changes", "carried", "fails"),
    [
        ("digital", {}, True, False),
        ("digital", {"video.link": "analog"}, True, False),  # one sign is a slip, not another setup
        ("digital", {"video.link": "analog", "overlay.system": "pal"}, True, True),
        ("digital", {"overlay.system": "ntsc"}, False, True),
        ("analog", ANALOG, False, False),
        ("analog", {**ANALOG, "overlay.system": "digital"}, True, True),
        ("analog", {}, True, True),
        (("analog", "digital"), {"overlay.system": "ntsc"}, False, False),  # the sheet does not decide
        (None, {"overlay.system": "ntsc"}, False, False),
    ],
)
def test_two_signs_of_three_make_another_setup(
    bench: Bench, wanted: object, changes: dict[str, object], carried: bool, fails: bool
) -> None:
    sheet = bench.sheet(expect={} if wanted is None else {"video.link": wanted})
    ports = rows() if carried else rows(U4={"roles": ("unused",)})
    found = names(bench.run(cross_checks, {**SOUND, **changes}, ports=ports, sheet=sheet))
    assert found == (["cross-checks/other-video-link"] if fails else [])


@pytest.mark.parametrize("channel", [1, 2, 4])
def test_a_throttle_stick_that_arrives_elsewhere_is_the_transmitters_order(bench: Bench, channel: int) -> None:
    live = [1500, 1500, 1500, 1500, 1000, 1000, 1000, 1000]
    live[channel - 1] = 1004
    (found,) = bench.run(cross_checks, {**SOUND, "channels.live": tuple(live)})
    assert (found.name, found.outcome) == ("cross-checks/transmitter-order", "fail")
    assert f"channel {channel} stands at 1004 us" in found.summary
    assert "from channel 3" in found.summary
    assert found.caution
    assert found.remedy.console == ()  # the board is right


@pytest.mark.parametrize(
    "changes",
    [
        {"channels.live": (1500, 1500, 1500, 1500, 1000, 1000, 1000, 1000)},  # throttle held at its middle
        {"channels.live": (1000, 1000, 1500, 1500, 1000, 1000, 1000, 1000)},  # two sticks held
        {"channels.live": (1000, 1700, 1500, 1500, 1000, 1000, 1000, 1000)},
        {"channels.live": (1000, 1500, 1500, 1500), "arming.blocks": ("no-receiver-link",)},
        {"channels.live": (1000, 1500, 1500)},
        {"channels.live": (1000, 1500, 1500, 1500), "channels.order": "TAER"},  # channel-order has it
        {"channels.live": (1000, 1500, 1500, 1500), "channels.order": "AAER"},
    ],
)
def test_sticks_that_say_nothing_certain_are_left_alone(bench: Bench, changes: dict[str, object]) -> None:
    assert names(bench.run(cross_checks, {**SOUND, **changes})) == []


def test_where_nothing_was_read_nothing_passes(bench: Bench) -> None:
    nothing = {"receiver.kind": None, "video.link": None, "channels.order": None}
    (found,) = bench.run(cross_checks, nothing, ports=None)
    assert (found.outcome, found.name) == ("unknown", "cross-checks/unread")

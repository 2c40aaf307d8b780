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
from tests_support.crafts import PORTS, Bench, outcomes, told

REST = (1500, 1500, 1000, 1500, 1000, 1000, 1000, 1000)
"""Sticks at rest on AETR: throttle at its low end, the others at their centre (common practice)."""
SOUND: dict[str, object] = {"channels.live": REST, "arming.blocks": ("usb-connected",)}


def rows(**changes: dict[str, object]) -> list[dict[str, object]]:
    return [{**row, **changes.get(str(row["id"]), {})} for row in PORTS]


def names(found: list[Finding]) -> list[str]:
    assert "error" not in outcomes(found), told(found)
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
        ({"receiver.port": None}, rows(U2={"id": None, "roles": ("positioning",)})),  # neither is named
        ({}, rows(U2={"roles": None})),  # what it carries was not read
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
        ("analog", {}, False, True),
        ("analog", {"video.link": "analog"}, False, False),
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


def test_the_link_is_set_where_the_board_has_the_other_and_hands_do_the_rest(bench: Bench) -> None:
    sheet = bench.sheet(expect={"video.link": "digital"})
    freed = rows(U4={"roles": ("unused",)})
    (found,) = bench.run(cross_checks, {**SOUND, **ANALOG}, ports=freed, sheet=sheet)
    assert found.remedy.console == ("set video.link digital", "store")
    assert found.actual == "link analog, overlay pal, no UART for the overlay"
    (found,) = bench.run(cross_checks, {**SOUND, "overlay.system": "ntsc"}, ports=freed, sheet=sheet)
    assert found.remedy.console == ()  # the link is right as it is
    (found,) = bench.run(cross_checks, SOUND, sheet=bench.sheet(expect={"video.link": "analog"}))
    assert found.actual == "link digital, overlay digital, a UART for the overlay"


@pytest.mark.parametrize("unread", ["video.link", "overlay.system", "roles"])
def test_what_was_not_read_is_no_sign_of_another_setup(bench: Bench, unread: str) -> None:
    ports = rows(U4={"roles": ("unused",)}, U3={"roles": None if unread == "roles" else ("unused",)})
    sheet = bench.sheet(expect={"video.link": "digital"})
    changes: dict[str, object] = {**SOUND, **ANALOG}
    changes |= {unread: None} if unread != "roles" else {}
    assert names(bench.run(cross_checks, changes, ports=ports, sheet=sheet)) == []


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


ELSEWHERE = (1000, 1500, 1500, 1500)
"""The throttle stick at its low end on channel 1, where the board takes roll."""


@pytest.mark.parametrize(
    ("changes", "fails"),
    [
        ({"channels.live": ELSEWHERE}, True),  # four channels are enough
        ({"channels.live": (*ELSEWHERE, 1500, 1000)}, True),  # a switch in its middle is no stick
        ({"channels.live": (*ELSEWHERE, 1000, 1000)}, True),
        ({"channels.live": (1060, 1600, 1400, 1500)}, True),
        ({"channels.live": (940, 1500, 1500, 1500)}, True),
        ({"channels.live": (1061, 1500, 1500, 1500)}, False),
        ({"channels.live": (1000, 1601, 1500, 1500)}, False),
        ({"channels.live": (1000, 1399, 1500, 1500)}, False),
        ({"channels.live": (1160, 1500, 1500, 1500), "channels.low": 1100}, True),  # the board's own end
        ({"channels.live": (1000, 1500, 1500, 1500), "channels.low": 1100}, False),
        ({"channels.live": (1000, 1620, 1620, 1620), "channels.centre": 1520}, True),  # and its own centre
        ({"channels.live": (1000, 1400, 1400, 1400), "channels.centre": 1520}, False),
    ],
)
def test_how_near_a_stick_must_be_to_rest(bench: Bench, changes: dict[str, object], fails: bool) -> None:
    found = names(bench.run(cross_checks, {**SOUND, **changes}, sheet=bench.sheet()))
    assert found == (["cross-checks/transmitter-order"] if fails else [])


@pytest.mark.parametrize(("order", "fails"), [("AETR", True), ("TAER", False)])
def test_an_order_that_is_not_the_sheets_is_left_to_channel_order(bench: Bench, order: str, fails: bool) -> None:
    sheet = bench.sheet(expect={"channels.order": order})
    found = names(bench.run(cross_checks, {**SOUND, "channels.live": ELSEWHERE}, sheet=sheet))
    assert found == (["cross-checks/transmitter-order"] if fails else [])


SERIAL = {"receiver.kind": "serial"}
VIDEO = {"video.link": "digital", "overlay.system": "digital"}
STICKS = {"channels.order": "AETR", "channels.live": REST, "arming.blocks": ()}


@pytest.mark.parametrize(
    ("changes", "ports", "outcome"),
    [
        (SERIAL, PORTS, "pass"),
        (SERIAL, None, "unknown"),
        ({}, PORTS, "unknown"),
        (VIDEO, PORTS, "pass"),
        (VIDEO, None, "unknown"),
        *(({**VIDEO, fact: None}, PORTS, "unknown") for fact in VIDEO),
        (STICKS, None, "pass"),
        ({**STICKS, "arming.blocks": ("no-receiver-link",)}, None, "unknown"),  # nothing arrives to compare with
        *(({**STICKS, fact: None}, None, "unknown") for fact in STICKS),
    ],
)
def test_one_comparison_that_could_be_made_is_enough_and_half_of_one_is_none(
    bench: Bench, changes: dict[str, object], ports: Any, outcome: str
) -> None:
    nothing = {"receiver.kind": None, "video.link": None, "overlay.system": None, "channels.order": None}
    sheet = bench.sheet(expect={"video.link": "digital", "channels.order": "AETR"})
    (found,) = bench.run(cross_checks, {**nothing, **changes}, ports=ports, sheet=sheet)
    assert found.outcome == outcome


def test_a_link_that_no_sheet_names_is_no_reason_not_to_pass(bench: Bench) -> None:
    changes = {"receiver.kind": None, "channels.order": None, **VIDEO}
    assert outcomes(bench.run(cross_checks, changes, sheet=bench.sheet())) == ["pass"]


def test_where_nothing_was_read_nothing_passes(bench: Bench) -> None:
    nothing = {"receiver.kind": None, "video.link": None, "channels.order": None}
    (found,) = bench.run(cross_checks, nothing, ports=None)
    assert (found.outcome, found.name) == ("unknown", "cross-checks/unread")

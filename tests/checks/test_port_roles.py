"""port-roles: users, what is missing, what is kept in vain, and rates."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest

from propsoff_checks.overlay_canvas import overlay_canvas
from propsoff_checks.port_roles import port_roles
from tests_support.crafts import PORTS, Bench, outcomes, told

SPI = {"receiver.kind": "spi", "receiver.port": None, "receiver.protocol": None}
ANALOG = {"video.link": "analog"}


def ports(**changes: Mapping[str, object]) -> list[dict[str, object]]:
    """The sound ports, some of them changed by id; an unknown id is added."""
    known = {str(port["id"]) for port in PORTS}
    changed = [{**port, **changes.get(str(port["id"]), {})} for port in PORTS]
    return [*changed, *({"id": name, **change} for name, change in changes.items() if name not in known)]


def test_one_user_for_each_uart_passes_and_names_the_free_ones(bench: Bench) -> None:
    [finding] = bench.run(port_roles)
    assert finding.outcome == "pass"
    assert finding.summary == "one user for each UART: U1 console, U2 receiver and U4 overlay-link; free: U3"


@pytest.mark.parametrize(
    ("rows", "changes", "outcome", "says"),
    [
        (None, {}, "unknown", "not read from this board: ports"),
        ([], {}, "fail", "lists no UART at all"),
        (ports(U2={"roles": ("receiver", "telemetry")}), {}, "fail", "U2 has 2 users: the receiver and telemetry"),
        (ports(U1={"roles": ("console", "receiver")}, U2={"roles": ("unused",)}), {}, "fail", "U1 has 2 users"),
        (ports(U3={"roles": ("unused", "telemetry")}), {}, "fail", "both unused and telemetry"),
        (ports(U3={"roles": ("receiver",)}), {}, "fail", "the receiver has 2 UARTs: U2 and U3"),
        (ports(U3={"roles": ("overlay-link",), "baud": 115200}), {}, "fail", "the overlay link has 2 UARTs"),
        (ports(U4={"roles": ("unused",)}), {}, "fail", "no UART carries the overlay link; a digital link needs it"),
        (ports(U4={"roles": ("unused",)}), ANALOG, "pass", ""),
        (ports(U1={"roles": ("unused",)}), {}, "fail", "no UART carries the console"),
        (ports(U2={"roles": ("unused",)}), {"receiver.port": None}, "fail", "no UART carries the receiver"),
        (ports(), SPI, "warn", "U2 is kept for the receiver, but the receiver is spi"),
        (
            ports(),
            {**ANALOG, "overlay.system": "pal"},
            "warn",
            "U4 is kept for the overlay link, but the video link is analogue",
        ),
        (ports(U3={"roles": None}), {}, "unknown", "what it carries was not read of U3"),
        (ports(U3={"id": None}), {}, "unknown", "the name was not read of port 3 of the listing"),
        ([*ports(), {"id": "U1", "roles": ("unused",)}], {}, "fail", "listed more than once: U1"),
        (ports(**{f"X{n}": {"roles": ("unused",)} for n in range(100)}), {}, "fail", "104 UARTs"),
    ],
)
def test_each_fault_is_found_once(bench: Bench, rows: Any, changes: dict[str, object], outcome: str, says: str) -> None:
    findings = bench.run(port_roles, changes, ports=rows)
    assert outcomes(findings) == [outcome]
    assert says in told(findings)


def test_the_missing_role_of_the_receivers_own_uart_is_left_to_receiver_type(bench: Bench) -> None:
    assert outcomes(bench.run(port_roles, ports=ports(U2={"roles": ("unused",)}))) == ["pass"]


def test_a_role_that_may_stand_on_an_unread_uart_is_not_called_missing(bench: Bench) -> None:
    assert outcomes(bench.run(port_roles, ports=ports(U4={"roles": None}))) == ["unknown"]


@pytest.mark.parametrize(
    ("protocol", "baud", "outcome"),
    [
        ("crsf", 416666, "pass"),  # CRSF protocol specification
        ("crsf", 420000, "pass"),  # common practice
        ("crsf", 400000, "pass"),  # common practice
        ("crsf", 115200, "pass"),  # a rate of another protocol: one finding, of receiver-type
        ("crsf", 9600, "fail"),
        ("crsf", 0, "fail"),
        ("sbus", 100000, "pass"),  # Zephyr input_sbus.c
        ("sbus", 57600, "fail"),
        ("ibus", 115200, "pass"),  # common practice
        ("ibus", 1200, "fail"),
        ("crsf", None, "unknown"),  # this firmware states rates
        ("morse", 50, "fail"),
        ("morse", 9600, "pass"),
    ],
)
def test_the_receivers_rate_is_that_of_its_protocol(
    bench: Bench, protocol: str, baud: int | None, outcome: str
) -> None:
    found = bench.run(port_roles, {"receiver.protocol": protocol}, ports=ports(U2={"baud": baud}))
    assert outcomes(found) == [outcome]


def test_the_remedy_for_a_rate_sets_the_published_one(bench: Bench) -> None:
    [finding] = bench.run(port_roles, ports=ports(U2={"baud": 1200}))
    assert finding.remedy.console == (
        "set ports[].baud 416666 {'id': 'U2', 'roles': ('receiver',), 'baud': 416666}",
        "store",
    )


def test_a_rate_is_not_judged_by_a_protocol_that_is_wrong_itself(bench: Bench) -> None:
    sheet = bench.sheet(expect={"receiver.protocol": "sbus"})
    assert outcomes(bench.run(port_roles, ports=ports(U2={"baud": 100000}), sheet=sheet)) == ["pass"]


@pytest.mark.parametrize("baud", [-1, 0, 300, 2**31, 2**53])
@pytest.mark.parametrize("port", ["U1", "U4"])
def test_an_absurd_rate_fails_and_says_so(bench: Bench, port: str, baud: int) -> None:
    [finding] = bench.run(port_roles, ports=ports(**{port: {"baud": baud}}))
    assert finding.outcome == "fail"
    assert f"{port} runs at {baud} baud, which cannot work" in finding.summary


def test_a_slow_overlay_link_is_worth_a_look(bench: Bench) -> None:
    [finding] = bench.run(port_roles, ports=ports(U4={"baud": 2400}))
    assert finding.outcome == "warn"
    assert finding.expected == "115200 baud or more (common practice)"


def test_the_rate_of_a_free_uart_does_not_matter(bench: Bench) -> None:
    assert outcomes(bench.run(port_roles, ports=ports(U3={"baud": -7}))) == ["pass"]


def test_a_rate_that_was_not_understood_is_unknown() -> None:
    bench = Bench()
    found = bench.run(port_roles, ports=ports(U1={"baud": "fast"}))
    assert outcomes(found) == ["unknown"]
    assert "ports[0].baud" in found[0].summary
    assert "fast" in found[0].summary


def test_the_second_uart_of_a_role_is_freed_only_when_the_first_is_known(bench: Bench) -> None:
    [finding] = bench.run(port_roles, ports=ports(U3={"roles": ("receiver",)}))
    assert finding.remedy.console == (
        "set ports[].roles ('unused',) {'id': 'U3', 'roles': ('unused',), 'baud': None}",
        "store",
    )
    [finding] = bench.run(port_roles, {"receiver.port": None}, ports=ports(U3={"roles": ("receiver",)}))
    assert finding.remedy.console == ()


@pytest.mark.parametrize(
    ("details", "outcome", "says"),
    [
        ({"roles_required": ("positioning",)}, "fail", "no UART carries positioning; the build sheet asks for it"),
        ({"roles_required": ("receiver", "overlay-link")}, "pass", ""),
        ({"roles_allowed": ("console", "receiver")}, "fail", "U4 carries overlay-link, which the build sheet does not"),
        ({"roles_allowed": ("console", "receiver", "overlay-link")}, "pass", ""),
        ({"roles_allowed": ()}, "fail", "does not allow"),
    ],
)
def test_the_sheet_says_which_roles_must_and_may_be_there(
    bench: Bench, details: dict[str, Any], outcome: str, says: str
) -> None:
    findings = bench.run(port_roles, sheet=bench.sheet(**details))
    assert set(outcomes(findings)) == {outcome}
    assert says in told(findings)


def test_the_evidence_is_the_line_of_the_port(bench: Bench) -> None:
    [finding] = bench.run(port_roles, ports=ports(U2={"baud": 1200}))
    assert len(finding.evidence) == 1
    assert "'U2'" in finding.evidence[0].text


def test_a_role_on_a_shared_uart_that_another_has_alone_is_taken_away(bench: Bench) -> None:
    [finding] = bench.run(port_roles, ports=ports(U1={"roles": ("console", "receiver")}))
    assert "the receiver is on U2 already" in finding.remedy.steps[0]
    assert finding.remedy.console == (
        "set ports[].roles ('console',) {'id': 'U1', 'roles': ['console'], 'baud': 115200}",
        "store",
    )


def test_a_second_user_is_moved_to_a_free_uart_or_taken_away(bench: Bench) -> None:
    shared = {"roles": ("receiver", "telemetry")}
    [finding] = bench.run(port_roles, ports=ports(U2=shared))
    assert "Move one of them to U3, which is free." in finding.remedy.steps[0]
    assert finding.remedy.console == ()
    [finding] = bench.run(port_roles, ports=ports(U2=shared, U3={"roles": ("logger",)}))
    assert "No UART is free" in finding.remedy.steps[0]


@pytest.mark.parametrize(
    ("changes", "rows"),
    [
        (ANALOG, ports()),  # a digital overlay and its link, but an analogue video link
        ({"overlay.system": "pal"}, ports(U4={"roles": ("unused",)})),
    ],
)
def test_a_link_in_doubt_is_left_to_overlay_canvas(
    bench: Bench, changes: dict[str, object], rows: list[dict[str, object]]
) -> None:
    assert outcomes(bench.run(port_roles, changes, ports=rows)) == ["pass"]
    [finding] = bench.run(overlay_canvas, changes, ports=rows)
    assert finding.outcome == "fail"
    assert "but overlay and UARTs are set up as for" in finding.summary
    link = str(changes.get("video.link", "digital"))
    sure = bench.sheet(expect={"video.link": link})
    assert outcomes(bench.run(port_roles, changes, ports=rows, sheet=sure)) != ["pass"]
    assert "set up as for" not in told(bench.run(overlay_canvas, changes, ports=rows, sheet=sure))


def test_a_firmware_that_states_no_rates_is_not_asked_for_the_receivers(bench: Bench) -> None:
    """A protocol fixes its rate, so not every firmware lists it."""
    bare = [{**row, "baud": None} for row in PORTS]
    assert outcomes(bench.run(port_roles, ports=bare)) == ["pass"]

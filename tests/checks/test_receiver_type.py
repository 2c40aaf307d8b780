"""receiver-type: kinds, protocols, line settings, and the UART behind them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest

from propsoff_checks.port_roles import port_roles
from propsoff_checks.protocols import LINES
from propsoff_checks.receiver_type import receiver_type
from tests_support.crafts import PORTS, Bench, outcomes, told

SBUS = {"receiver.protocol": "sbus", "receiver.inverted": True}
IBUS = {"receiver.protocol": "ibus"}
ON_BOARD = {"receiver.kind": "spi", "receiver.protocol": None, "receiver.port": None}


def with_port(index: int, **changes: Any) -> tuple[dict[str, object], ...]:
    return tuple({**port, **changes} if at == index else port for at, port in enumerate(PORTS))


def rate_of(changes: Mapping[str, object]) -> tuple[dict[str, object], ...]:
    """The sound UARTs, the receiver's at the rate of the protocol."""
    line = LINES.get(str(changes.get("receiver.protocol", "crsf")), LINES["crsf"])
    return with_port(1, baud=line.bauds[0])


def test_protocol_lines_are_those_of_their_sources() -> None:
    # CRSF protocol specification: 416666 baud 8N1, not inverted.
    assert not LINES["crsf"].inverted
    assert LINES["crsf"].bauds[0] == 416666
    # Zephyr input_sbus.c: 100000 baud 8E2, inverted; 25 bytes of 12 bits at 100000 baud are 3.000 ms (computed).
    assert LINES["sbus"].inverted
    assert LINES["sbus"].bauds == (100000,)
    assert 25 * 12 / LINES["sbus"].bauds[0] == 0.003
    assert "common practice" in LINES["ibus"].source


@pytest.mark.parametrize("changes", [{}, SBUS, IBUS, ON_BOARD], ids=["crsf", "sbus", "ibus", "spi"])
def test_a_sound_receiver_passes(bench: Bench, changes: dict[str, object]) -> None:
    assert outcomes(bench.run(receiver_type, changes, ports=rate_of(changes))) == ["pass"]


def test_an_spi_receiver_is_explained(bench: Bench) -> None:
    [finding] = bench.run(receiver_type, ON_BOARD)
    assert "firmware is updated with the flight controller's" in finding.summary


@pytest.mark.parametrize(
    ("changes", "outcome", "says"),
    [
        ({"receiver.kind": None}, "unknown", "receiver.kind"),
        ({"receiver.protocol": None}, "unknown", "receiver.protocol"),
        ({"receiver.port": None}, "unknown", "receiver.port"),
        ({"receiver.inverted": None}, "unknown", "receiver.inverted"),
        ({"receiver.half_duplex": None}, "unknown", "receiver.half_duplex"),
        ({"receiver.kind": "none"}, "fail", "no receiver is set up"),
        ({"receiver.kind": "ppm"}, "fail", "22.5 ms"),  # mftech.de
        ({"receiver.kind": "pwm"}, "fail", "PWM"),
        ({"receiver.inverted": True}, "fail", "crsf is not inverted"),  # CRSF specification
        ({**SBUS, "receiver.inverted": False}, "fail", "sbus is inverted"),  # Zephyr input_sbus.c
        ({**IBUS, "receiver.inverted": True}, "fail", "ibus is not inverted"),  # common practice
        ({"receiver.half_duplex": True}, "warn", "one wire"),  # common practice
        ({"receiver.protocol": "morse"}, "warn", "morse is no protocol that this check knows"),
        ({"receiver.port": "U9"}, "fail", "U9, which this board does not have"),
        ({"receiver.port": "U3"}, "fail", "does not have the receiver role; U2 has it instead"),
    ],
)
def test_each_fault_is_found_once(bench: Bench, changes: dict[str, object], outcome: str, says: str) -> None:
    findings = bench.run(receiver_type, changes, ports=rate_of(changes))
    assert outcomes(findings) == [outcome]
    assert says in told(findings)


@pytest.mark.parametrize(
    ("changes", "remedy"),
    [
        ({"receiver.inverted": True}, "set receiver.inverted False"),
        ({**SBUS, "receiver.inverted": False}, "set receiver.inverted True"),
        ({"receiver.half_duplex": True}, "set receiver.half_duplex False"),
    ],
)
def test_applying_the_remedy_makes_it_pass(bench: Bench, changes: dict[str, object], remedy: str) -> None:
    ports = rate_of(changes)
    [finding] = bench.run(receiver_type, changes, ports=ports)
    assert finding.remedy.console == (remedy, "store")
    assert outcomes(bench.run(receiver_type, {**changes, **dict(bench.tongue.asked)}, ports=ports)) == ["pass"]


def test_the_role_is_given_to_a_free_uart_at_the_rate_of_the_protocol(bench: Bench) -> None:
    [finding] = bench.run(receiver_type, ports=with_port(1, roles=("unused",), baud=None))
    assert finding.outcome == "fail"
    assert finding.remedy.console == (
        "set ports[].roles ('receiver',) {'id': 'U2', 'roles': ('receiver',), 'baud': 416666}",
        "set ports[].baud 416666 {'id': 'U2', 'roles': ('receiver',), 'baud': 416666}",
        "store",
    )


def test_a_role_that_another_uart_has_is_not_moved_blindly(bench: Bench) -> None:
    [finding] = bench.run(receiver_type, {"receiver.port": "U3"})
    assert finding.remedy.console == ()
    assert "soldered" in finding.remedy.steps[0]


@pytest.mark.parametrize("ports", [None, ()])
def test_ports_that_nobody_read_are_left_to_port_roles(bench: Bench, ports: Any) -> None:
    assert outcomes(bench.run(receiver_type, ports=ports)) == ["pass"]
    [finding] = bench.run(receiver_type, ports=ports)
    assert ("receiver role" in finding.summary) is (ports == ())


@pytest.mark.parametrize(
    ("expect", "changes", "outcome"),
    [
        ({"receiver.kind": "spi"}, {}, "fail"),
        ({"receiver.kind": "spi"}, ON_BOARD, "pass"),
        ({"receiver.kind": "none"}, {"receiver.kind": "none"}, "pass"),
        ({}, {"receiver.kind": "none"}, "fail"),
        ({}, {"receiver.kind": "ppm"}, "pass"),
        ({"receiver.protocol": "sbus"}, {}, "fail"),
        ({"receiver.protocol": ("sbus", "crsf")}, {}, "pass"),
        ({"receiver.protocol": "CRSF"}, {}, "pass"),
        ({"receiver.protocol": "morse"}, {"receiver.protocol": "morse"}, "pass"),
        ({"receiver.protocol": "crsf"}, ON_BOARD, "unknown"),
        ({"receiver.inverted": True}, {"receiver.inverted": True}, "pass"),
        ({"receiver.inverted": True}, {}, "fail"),
        ({"receiver.half_duplex": True}, {"receiver.half_duplex": True}, "pass"),
        ({"receiver.half_duplex": True}, {}, "fail"),
        ({"receiver.port": "u2"}, {}, "pass"),
        ({"receiver.port": "U3"}, {}, "fail"),
        ({"receiver.telemetry": True}, {}, "pass"),
        ({"receiver.telemetry": True}, {"receiver.telemetry": False}, "fail"),
        ({"receiver.telemetry": True}, {"receiver.telemetry": None}, "unknown"),
    ],
)
def test_the_sheet_has_the_last_word(
    bench: Bench, expect: dict[str, object], changes: dict[str, object], outcome: str
) -> None:
    assert outcomes(bench.run(receiver_type, changes, sheet=bench.sheet(expect=expect))) == [outcome]


def test_the_only_kind_that_is_allowed_is_what_the_remedy_sets(bench: Bench) -> None:
    [finding] = bench.run(receiver_type, sheet=bench.sheet(expect={"receiver.kind": "spi"}))
    assert finding.remedy.console == ("set receiver.kind spi", "store")
    [finding] = bench.run(receiver_type, {"receiver.kind": "ppm"})
    assert finding.remedy.console == ()  # serial or spi: only hands can tell which is fitted


def test_several_faults_are_all_told(bench: Bench) -> None:
    findings = bench.run(
        receiver_type, {"receiver.inverted": True, "receiver.half_duplex": True, "receiver.port": "U9"}
    )
    assert outcomes(findings) == ["fail", "warn", "fail"]


@pytest.mark.parametrize(
    ("protocol", "inverted", "baud", "other"),
    [
        ("crsf", True, 100000, "SBUS"),
        ("crsf", False, 115200, "IBUS"),
        ("sbus", False, 420000, "CRSF"),
        ("ibus", False, 416666, "CRSF"),
        ("ibus", True, 100000, "SBUS"),
    ],
)
def test_a_line_set_up_for_another_protocol_is_one_cause_and_one_finding(
    bench: Bench, protocol: str, inverted: bool, baud: int, other: str
) -> None:
    changes = {"receiver.protocol": protocol, "receiver.inverted": inverted}
    ports = with_port(1, baud=baud)
    [finding] = bench.run(receiver_type, changes, ports=ports)
    assert finding.outcome == "fail"
    assert f"is set to {protocol.upper()}, but its line is set up as for {other}" in finding.summary
    assert finding.remedy.console == ()
    assert outcomes(bench.run(port_roles, changes, ports=ports)) == ["pass"]


def test_where_the_sheet_names_the_protocol_the_line_is_what_is_wrong(bench: Bench) -> None:
    sheet = bench.sheet(expect={"receiver.protocol": "crsf"})
    ports = with_port(1, baud=100000)
    [finding] = bench.run(receiver_type, {"receiver.inverted": True}, sheet=sheet, ports=ports)
    assert finding.remedy.console == ("set receiver.inverted False", "store")
    [finding] = bench.run(port_roles, {"receiver.inverted": True}, sheet=sheet, ports=ports)
    assert finding.outcome == "fail"
    assert finding.remedy.console[-1] == "store"


def test_a_uart_whose_role_was_not_read_is_not_said_to_have_one(bench: Bench) -> None:
    hidden = [{**row, "roles": None} if row["id"] == "U2" else row for row in PORTS]
    (found,) = bench.run(receiver_type, ports=hidden)
    assert (found.outcome, found.name) == ("unknown", "receiver-type/unread")
    assert "ports[1].roles" in found.summary


@pytest.mark.parametrize("kind", ["spi", "ppm", "pwm"])
def test_a_sheet_that_wants_a_uart_is_not_met_by_a_receiver_without_one(bench: Bench, kind: str) -> None:
    sheet = bench.sheet(expect={"receiver.port": "U2"})
    found = bench.run(receiver_type, {"receiver.kind": kind, "receiver.port": None}, sheet=sheet)
    assert [(one.name, one.outcome) for one in found] == [("receiver-type/port", "fail")]
    assert "U2" in found[0].summary


def test_a_kind_that_nobody_asked_for_is_not_said_to_be_as_the_sheet_has_it(bench: Bench) -> None:
    (found,) = bench.run(receiver_type, {"receiver.kind": "ppm", "receiver.port": None}, sheet=bench.sheet())
    assert (found.outcome, "asks for no kind" in found.summary) == ("pass", True)
    sheet = bench.sheet(expect={"receiver.kind": "ppm"})
    (found,) = bench.run(receiver_type, {"receiver.kind": "ppm", "receiver.port": None}, sheet=sheet)
    assert "as the build sheet has it" in found.summary


def test_of_a_receiver_of_the_wrong_kind_nothing_else_is_said(bench: Bench) -> None:
    """The settings of a receiver that is to go need no mending."""
    sheet = bench.sheet(expect={"receiver.kind": "spi", "receiver.telemetry": True})
    [found] = bench.run(receiver_type, {"receiver.inverted": True, "receiver.telemetry": False}, sheet=sheet)
    assert (found.code, found.expected, found.actual) == ("kind", "spi", "serial")
    [found] = bench.run(receiver_type, {"receiver.kind": "none"}, sheet=bench.sheet())
    assert (found.code, found.actual) == ("kind", "none")
    assert "None" not in told([found])


def test_a_sound_receiver_is_named_with_its_protocol_and_its_uart(bench: Bench) -> None:
    [found] = bench.run(receiver_type, SBUS, ports=rate_of(SBUS))
    assert "sbus on U2" in found.summary
    [found] = bench.run(receiver_type, {**ON_BOARD, "receiver.protocol": "crsf"})
    assert "crsf" in found.summary


@pytest.mark.parametrize(
    ("fact", "allowed", "other", "code", "words"),
    [
        ("receiver.protocol", "sbus", "crsf", "protocol", ("sbus", "crsf")),
        ("receiver.telemetry", True, False, "telemetry", ("on", "off")),
        ("receiver.telemetry", False, True, "telemetry", ("off", "on")),
        ("receiver.half_duplex", True, False, "half-duplex", ("one wire", "two wires")),
        ("receiver.half_duplex", False, True, "half-duplex", ("two wires", "one wire")),
        ("receiver.port", "U1", "U2", "port", ("U1", "U2")),
    ],
)
def test_what_the_sheet_wants_is_what_is_expected_and_what_the_remedy_sets(
    bench: Bench, fact: str, allowed: object, other: object, code: str, words: tuple[str, str]
) -> None:
    [found] = bench.run(receiver_type, {fact: other}, sheet=bench.sheet(expect={fact: allowed}))
    assert (found.outcome, found.code, (found.expected, found.actual)) == ("fail", code, words)
    assert bench.tongue.asked == [(fact, allowed)]


@pytest.mark.parametrize(
    ("fact", "allowed"), [("receiver.protocol", ("sbus", "ibus")), ("receiver.port", ("U1", "U3"))]
)
def test_where_the_sheet_leaves_a_choice_no_line_is_given(bench: Bench, fact: str, allowed: tuple[str, ...]) -> None:
    [found] = bench.run(receiver_type, sheet=bench.sheet(expect={fact: allowed}))
    assert (found.outcome, found.remedy.console) == ("fail", ())


def test_a_receiver_without_a_line_is_not_asked_for_the_settings_of_one(bench: Bench) -> None:
    unread: dict[str, object] = {"receiver.inverted": None, "receiver.half_duplex": None}
    assert outcomes(bench.run(receiver_type, {**ON_BOARD, **unread})) == ["pass"]
    morse = bench.run(receiver_type, {**unread, "receiver.protocol": "morse"})
    assert [one.code for one in morse] == ["unfamiliar-protocol"]
    sheet = bench.sheet(expect={"receiver.inverted": True, "receiver.half_duplex": True})
    assert outcomes(bench.run(receiver_type, {**ON_BOARD, **unread}, sheet=sheet)) == ["unknown", "unknown"]


def test_a_line_set_up_for_another_protocol_is_told_with_its_rate(bench: Bench) -> None:
    [found] = bench.run(receiver_type, {"receiver.inverted": True}, ports=with_port(1, baud=100000))
    assert found.code == "set-up-for-another"
    assert "100000 baud" in (found.actual or "")


@pytest.mark.parametrize(("roles", "actual"), [(("unused",), "U2: unused"), ((), "U2: no role")])
def test_a_missing_role_is_told_with_what_the_uart_carries(bench: Bench, roles: tuple[str, ...], actual: str) -> None:
    [found] = bench.run(receiver_type, ports=with_port(1, roles=roles))
    assert (found.code, found.expected, found.actual) == ("role-missing", "U2: receiver", actual)
    assert "U3" not in found.summary  # no other UART has the role
    assert "instead" not in found.summary
    assert ["'U2'" in seen.text for seen in found.evidence if "ports" in seen.text] == [True]


def test_the_role_is_given_without_a_rate_where_the_protocol_has_no_known_one(bench: Bench) -> None:
    sheet = bench.sheet(expect={"receiver.protocol": "morse"})
    [found] = bench.run(
        receiver_type, {"receiver.protocol": "morse"}, sheet=sheet, ports=with_port(1, roles=("unused",))
    )
    assert found.code == "role-missing"
    assert bench.tongue.asked == [("ports[].roles", ("receiver",))]

"""port-roles: users, what is missing, what is kept in vain, and rates."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

import pytest

from propsoff import Case, Finding
from propsoff.craft.model import Problem
from propsoff.inspection.runner import run_checks
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
        (ports(), SPI, "warn", "U2 is kept for the receiver, but the receiver is on the board (spi)"),
        (
            ports(),
            {**ANALOG, "overlay.system": "pal"},
            "warn",
            "U4 is kept for the overlay link, but the video link is analogue",
        ),
        (ports(U3={"roles": None}), {}, "unknown", "not read: what U3 carries"),
        (ports(U3={"id": None}), {}, "unknown", "not read: the name of port 3 of the listing"),
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
    assert "The receiver is on U2 already" in finding.remedy.steps[0]
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


def codes(findings: Iterable[Finding]) -> list[str | None]:
    return [finding.code for finding in findings]


def test_without_a_free_uart_it_says_so(bench: Bench) -> None:
    [found] = bench.run(port_roles, ports=ports(U3={"roles": ("logger",)}))
    assert found.outcome == "pass"
    assert found.summary.endswith("free: none")


@pytest.mark.parametrize(("count", "outcome"), [(32, "pass"), (33, "fail")])
def test_more_uarts_than_any_board_has_are_a_listing_that_cannot_be_right(
    bench: Bench, count: int, outcome: str
) -> None:
    rows = ports(**{f"X{n}": {"roles": ("unused",)} for n in range(count - len(PORTS))})
    [found] = bench.run(port_roles, ports=rows)
    assert found.outcome == outcome
    assert len(found.summary) <= 400


def test_two_uarts_without_a_name_are_unread_and_not_listed_twice(bench: Bench) -> None:
    [found] = bench.run(port_roles, ports=[*ports(U3={"id": None}), {"id": None, "roles": ("unused",)}])
    assert (found.outcome, found.code) == ("unknown", "unread")


def test_a_role_that_nobody_understood_is_one_thing_unread(bench: Bench) -> None:
    assert codes(bench.run(port_roles, ports=ports(U3={"roles": 7}))) == ["unread"]


def test_what_the_board_said_garbled_elsewhere_is_no_matter_of_the_uarts(bench: Bench) -> None:
    craft, lines = bench.craft()
    hurt = replace(
        craft, problems=(Problem("a line that nobody understood", gap=True), Problem("?", fact="board.name"))
    )
    assert outcomes(run_checks([port_roles], lambda one: Case(one, hurt, bench.sheet(), None, lines))) == ["pass"]


def test_of_a_role_on_an_unused_uart_no_line_is_given(bench: Bench) -> None:
    [found] = bench.run(port_roles, ports=ports(U3={"roles": ("unused", "telemetry")}))
    assert (found.code, found.actual) == ("shared", "unused and telemetry")
    assert found.remedy.console == ()


@pytest.mark.parametrize(
    ("rows", "changes", "says", "line"),
    [
        # An SPI receiver sits on no UART: its role does nothing there, and whoever else is there stays.
        (
            ports(U1={"roles": ("console", "receiver")}, U2={"roles": ("unused",)}),
            SPI,
            "The receiver is not needed",
            ("console",),
        ),
        # Telemetry may be on several UARTs at once: neither is idle.
        (ports(U2={"roles": ("receiver", "telemetry")}, U3={"roles": ("telemetry",)}), {}, "No UART is free", None),
        # Two would stay: only hands can tell which.
        (ports(U1={"roles": ("console", "receiver", "logger")}), {}, "The receiver is on U2 already", None),
        # What an unread UART carries is not known: it is offered to nobody.
        (ports(U2={"roles": ("receiver", "telemetry")}, U3={"roles": None}), {}, "No UART is free", None),
    ],
)
def test_who_leaves_a_shared_uart(
    bench: Bench, rows: Any, changes: dict[str, object], says: str, line: tuple[str, ...] | None
) -> None:
    [found] = [one for one in bench.run(port_roles, changes, ports=rows) if one.code == "shared"]
    assert says in found.remedy.steps[0]
    assert bench.tongue.asked == ([("ports[].roles", line)] if line else [])


@pytest.mark.parametrize(
    ("rows", "where"),
    [
        (ports(U3={"roles": ("receiver",), "baud": 420000}, U5={"roles": ("receiver",)}), ["U2", "U3", "U5"]),
        (ports(U3={"roles": ("overlay-link",), "baud": 115200}), ["U3", "U4"]),
        ([*ports(U3={"roles": ("receiver",)}), {"id": "U2", "roles": ("receiver",)}], ["U2", "U3", "U2"]),
    ],
)
def test_of_several_uarts_with_one_role_none_is_freed_where_it_is_not_clear_which(
    bench: Bench, rows: Any, where: list[str]
) -> None:
    [found] = [one for one in bench.run(port_roles, ports=rows) if one.code == "double"]
    assert [name for seen in found.evidence for name in ("U2", "U3", "U4", "U5") if f"'{name}'" in seen.text] == where
    assert found.remedy.console == ()


def test_a_role_shared_in_one_place_and_alone_in_another_is_said_once(bench: Bench) -> None:
    assert codes(bench.run(port_roles, ports=ports(U1={"roles": ("console", "receiver")}))) == ["shared"]


@pytest.mark.parametrize(
    ("rows", "changes", "required", "expected"),
    [
        (ports(U2={"roles": ("unused",)}), SPI, ("receiver",), ["missing-receiver"]),
        (ports(U2={"roles": ("unused",)}), {**SPI, "receiver.port": "U2"}, ("receiver",), ["missing-receiver"]),
        (ports(U2={"roles": ("unused",)}), SPI, (), [None]),
        (ports(), SPI, ("receiver",), [None]),  # the sheet wants it kept
        (ports(), {"receiver.kind": None}, (), [None]),  # nobody knows whether it is needed
        (ports(U1={"roles": ("unused",)}), {}, ("overlay-link",), [None]),  # a sheet may do without a console
        (ports(U4={"roles": ("unused",)}), {**ANALOG, "overlay.system": "pal"}, (), [None]),
        (ports(), {**ANALOG, "overlay.system": "pal"}, ("overlay-link",), [None]),
        (ports(U2={"roles": ("receiver", "telemetry")}), SPI, (), ["shared"]),  # not also kept in vain
    ],
)
def test_which_roles_a_craft_needs(
    bench: Bench, rows: Any, changes: dict[str, object], required: tuple[str, ...], expected: list[str | None]
) -> None:
    found = bench.run(port_roles, changes, ports=rows, sheet=bench.sheet(roles_required=required))
    assert codes(found) == expected


def test_a_missing_role_is_told_with_the_free_uarts_and_the_link_that_needs_it(bench: Bench) -> None:
    [found] = bench.run(port_roles, ports=ports(U4={"roles": ("unused",)}))
    assert (found.code, found.actual) == ("missing-overlay-link", "none; free: U3 and U4")
    assert "video.link = digital" in [seen.text for seen in found.evidence]
    [found] = bench.run(port_roles, ports=ports(U1={"roles": ("logger",)}))
    assert (found.code, found.actual) == ("missing-console", "none; free: U3")
    assert "video.link = digital" not in [seen.text for seen in found.evidence]


@pytest.mark.parametrize(
    ("changes", "port", "says"),
    [(SPI, "U2", "receiver.kind = spi"), ({**ANALOG, "overlay.system": "pal"}, "U4", "video.link = analog")],
)
def test_a_uart_kept_in_vain_is_freed_and_shown_with_the_setting_that_makes_it_so(
    bench: Bench, changes: dict[str, object], port: str, says: str
) -> None:
    [found] = bench.run(port_roles, changes)
    role = {"U2": "receiver", "U4": "overlay-link"}[port]
    assert (found.code, found.expected, found.actual) == ("kept-in-vain", "unused", role)
    texts = [seen.text for seen in found.evidence]
    assert says in texts
    assert [f"'{port}'" in text for text in texts if text.startswith("ports")] == [True]
    assert bench.tongue.asked == [("ports[].roles", ("unused",))]


def test_a_role_that_the_sheet_does_not_allow_is_taken_away_only_where_it_is_alone(bench: Bench) -> None:
    sheet = bench.sheet(roles_allowed=("console", "receiver"))
    [alone] = bench.run(port_roles, sheet=sheet)
    assert (alone.code, alone.expected, alone.actual) == ("not-allowed", "any of console and receiver", "overlay-link")
    assert bench.tongue.asked == [("ports[].roles", ("unused",))]
    bench.tongue.asked.clear()
    found = bench.run(port_roles, ports=ports(U4={"roles": ("overlay-link", "logger")}), sheet=sheet)
    assert codes(found) == ["shared", "not-allowed"]
    assert bench.tongue.asked == []
    [*_, found_none] = bench.run(port_roles, sheet=bench.sheet(roles_allowed=()))
    assert found_none.expected == "unused"


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({"U3": {"roles": ("positioning",), "baud": 1199}}, ["rate"]),
        ({"U3": {"roles": ("positioning",), "baud": 1200}}, [None]),
        ({"U3": {"roles": ("positioning",), "baud": 12_000_000}}, [None]),
        ({"U3": {"roles": ("positioning",), "baud": 12_000_001}}, ["rate"]),
        ({"U1": {"baud": 9600}}, [None]),
        ({"U1": {"baud": 9599}}, ["slow"]),
        ({"U4": {"baud": 115199}}, ["slow"]),
        ({"U4": {"baud": 230400}}, [None]),
        ({"U4": {"baud": None}}, [None]),  # only the receiver's rate is fixed by its protocol
        ({"U1": {"baud": None}, "U2": {"baud": 9600}, "U4": {"baud": 9600}}, ["rate", "slow"]),  # each for itself
        # Whose rate it should be depends on who stays.
        ({"U2": {"roles": ("receiver", "telemetry"), "baud": 9600}, "U4": {"baud": 9600}}, ["shared", "slow"]),
    ],
)
def test_the_bounds_of_the_rates(
    bench: Bench, change: dict[str, dict[str, object]], expected: list[str | None]
) -> None:
    assert codes(bench.run(port_roles, ports=ports(**change))) == expected


def test_a_slow_line_is_brought_to_the_least_rate_and_an_absurd_one_is_left_to_hands(bench: Bench) -> None:
    [slow] = bench.run(port_roles, ports=ports(U4={"baud": 9600}))
    assert slow.actual == "9600 baud"
    assert bench.tongue.asked == [("ports[].baud", 115200)]
    bench.tongue.asked.clear()
    [absurd] = bench.run(port_roles, ports=ports(U4={"baud": 0}))
    assert (absurd.code, absurd.expected, absurd.remedy.console) == ("rate", "1200 to 12000000 baud", ())
    assert absurd.remedy.steps
    for baud in (0, 9600):  # CRSF protocol specification; what it is rounded to is common practice
        [receiver] = bench.run(port_roles, ports=ports(U2={"baud": baud}))
        assert (receiver.expected or "").startswith("416666, 420000 or 400000 baud")
        assert receiver.remedy.console
        assert receiver.remedy.steps == ()


def test_the_rate_of_a_uart_that_waits_in_vain_for_a_receiver_is_not_judged(bench: Bench) -> None:
    changes: dict[str, object] = {**SPI, "receiver.protocol": "crsf"}
    assert codes(bench.run(port_roles, changes, ports=ports(U2={"baud": 9600}))) == ["kept-in-vain"]


@pytest.mark.parametrize(
    ("changes", "row", "expected"),
    [
        ({"receiver.protocol": "morse"}, {"baud": None}, [None]),  # no rate is known for it
        ({"receiver.port": "U1"}, {"baud": None}, [None]),  # it is not this UART that the receiver is set to
        ({"receiver.port": None}, {"baud": None, "id": None}, ["unread"]),  # the name; whose rate it is nobody knows
    ],
)
def test_the_receivers_rate_is_asked_for_only_where_the_protocol_fixes_it(
    bench: Bench, changes: dict[str, object], row: dict[str, object], expected: list[str | None]
) -> None:
    assert codes(bench.run(port_roles, changes, ports=ports(U2=row))) == expected


def test_the_uart_that_the_receiver_is_set_to_says_nothing_of_who_else_is_wired_there(bench: Bench) -> None:
    rows = ports(U3={"roles": ("overlay-link",), "baud": 115200})
    [found] = [one for one in bench.run(port_roles, {"receiver.port": "U3"}, ports=rows) if one.code == "double"]
    assert found.remedy.console == ()

"""Who may be opened: a table of decisions, and what holds for every port."""

from __future__ import annotations

from dataclasses import replace

import hypothesis.strategies as st
import pytest
from hypothesis import given

from propsoff.ports.consent import Consent, Scope, Verdict
from propsoff.ports.facts import Origin, Port, UsbHint, UsbIdentity
from propsoff.ports.identity import KNOWN_IDENTITIES, kind_of
from propsoff.ports.policy import Policy, Rule, hint_covers

WHEN = "2026-03-14T09:30:00+00:00"
SOCKET = "pci-0000:00:14.0-usb-0:4.2"
OSSEL = UsbIdentity(
    0x0483, 0x5740, "4F2A00191C", "Fenwick", "Ossel Flight Core", f"{SOCKET}:1.0", 0, ("02/02", "0a/00")
)
METER = UsbIdentity(0x0483, 0x5740, "M-17", "Somebody", "Bench Meter", "pci-0000:00:14.0-usb-0:9:1.0", 0)
BRIDGE = UsbIdentity(0x10C4, 0xEA60, None, None, None, "pci-0000:00:14.0-usb-0:5:1.0")
LOADER = UsbIdentity(0x0483, 0xDF11, "4F2A00191C", "Fenwick", "Ossel Flight Core", f"{SOCKET}:1.0")

HINT = UsbHint(0x0483, 0x5740, "Ossel*", "ossel")


def consent(verdict: Verdict, scope: Scope, usb: UsbIdentity) -> Consent:
    if scope == "socket":
        return Consent("aa", verdict, scope, WHEN, path=usb.socket)
    number, product = (usb.serial_number, None) if scope == "board" else (None, usb.product)
    return Consent("bb", verdict, scope, WHEN, usb.vid, usb.pid, number, product)


def seen(usb: UsbIdentity, origin: Origin = "udev") -> Port:
    return Port("/dev/ttyACM0", usb, origin)


@pytest.mark.parametrize(
    ("port", "consents", "hints", "opened", "rule"),
    [
        pytest.param(seen(OSSEL), [], [], False, "not-allowed", id="a-stranger"),
        pytest.param(seen(UsbIdentity()), [], [], False, "not-allowed", id="nothing-known"),
        pytest.param(seen(OSSEL), [], [HINT], True, "hinted", id="hint-with-product"),
        pytest.param(seen(METER), [], [HINT], False, "not-allowed", id="same-numbers-other-product"),
        pytest.param(seen(OSSEL), [], [replace(HINT, product=None)], False, "not-allowed", id="hint-without-product"),
        pytest.param(seen(OSSEL), [], [replace(HINT, product="*")], False, "not-allowed", id="hint-of-wild-cards"),
        pytest.param(
            seen(replace(OSSEL, product=None)), [], [HINT], False, "not-allowed", id="board-without-product-string"
        ),
        pytest.param(seen(OSSEL), [], [replace(HINT, pid=0x5741)], False, "not-allowed", id="hint-for-another-pid"),
        pytest.param(seen(OSSEL), [], [replace(HINT, vid=0x2E3C)], False, "not-allowed", id="hint-for-another-vid"),
        pytest.param(seen(OSSEL), [consent("allow", "board", OSSEL)], [], True, "consented", id="this-board"),
        pytest.param(
            seen(replace(OSSEL, serial_number="other")),
            [consent("allow", "board", OSSEL)],
            [],
            False,
            "not-allowed",
            id="another-board-of-that-kind",
        ),
        pytest.param(
            seen(replace(OSSEL, serial_number="other")),
            [consent("allow", "kind", OSSEL)],
            [],
            True,
            "consented",
            id="this-kind",
        ),
        pytest.param(seen(METER), [consent("allow", "kind", OSSEL)], [], False, "not-allowed", id="not-this-kind"),
        pytest.param(
            seen(replace(METER, path=f"{SOCKET}:1.2")),
            [consent("allow", "socket", OSSEL)],
            [],
            True,
            "consented",
            id="another-interface-in-this-socket",
        ),
        pytest.param(seen(METER), [consent("allow", "socket", OSSEL)], [], False, "not-allowed", id="another-socket"),
        pytest.param(
            seen(replace(OSSEL, path=f"{SOCKET}.1:1.0")),
            [consent("allow", "socket", OSSEL)],
            [],
            False,
            "not-allowed",
            id="a-socket-of-a-hub-in-this-socket",
        ),
        pytest.param(
            seen(BRIDGE), [consent("allow", "kind", BRIDGE)], [], False, "not-allowed", id="bridge-without-product"
        ),
        pytest.param(
            seen(replace(BRIDGE, product="Bridge")),
            [consent("allow", "kind", replace(BRIDGE, product="Bridge"))],
            [],
            True,
            "consented",
            id="bridge-with-product",
        ),
        pytest.param(seen(BRIDGE), [consent("allow", "socket", BRIDGE)], [], True, "consented", id="bridge-by-socket"),
        pytest.param(seen(BRIDGE, "named"), [], [], True, "named", id="named"),
        pytest.param(seen(OSSEL, "folder"), [], [], True, "named", id="in-a-named-folder"),
        pytest.param(seen(OSSEL, "listing"), [], [], False, "not-allowed", id="seen-in-the-list"),
        pytest.param(
            seen(OSSEL),
            [consent("deny", "board", OSSEL), consent("allow", "socket", OSSEL)],
            [HINT],
            False,
            "denied",
            id="deny-beats-consent-and-hint",
        ),
        pytest.param(
            seen(OSSEL, "named"), [consent("deny", "kind", OSSEL)], [], False, "denied", id="deny-beats-named"
        ),
        pytest.param(
            seen(OSSEL, "folder"), [consent("deny", "socket", OSSEL)], [], False, "denied", id="deny-beats-folder"
        ),
        pytest.param(seen(METER), [consent("deny", "kind", OSSEL)], [], False, "not-allowed", id="deny-for-another"),
        pytest.param(
            seen(LOADER, "named"), [consent("allow", "socket", LOADER)], [], False, "bootloader", id="bootloader"
        ),
        pytest.param(
            seen(replace(OSSEL, classes=("02/02", "fe/01")), "named"), [], [], False, "bootloader", id="dfu-interface"
        ),
    ],
)
def test_decisions(port: Port, consents: list[Consent], hints: list[UsbHint], opened: bool, rule: Rule) -> None:
    decision = Policy(consents, hints).decide(port)
    assert (decision.open, decision.rule) == (opened, rule)
    assert decision.reason


def test_a_board_in_its_bootloader_is_called_that() -> None:
    assert "board is in its bootloader" in Policy().decide(seen(LOADER, "named")).reason


def test_a_refusal_says_what_to_do() -> None:
    reason = Policy().decide(seen(OSSEL)).reason
    assert "propsoff allow /dev/ttyACM0 --scope socket" in reason
    assert "'Ossel Flight Core'" in reason


def test_a_refusal_suggests_only_scopes_that_can_be_given() -> None:
    assert "--scope socket" in Policy().decide(seen(BRIDGE)).reason
    assert "kind" not in Policy().decide(seen(BRIDGE)).reason
    assert "propsoff inspect /dev/ttyACM0" in Policy().decide(seen(UsbIdentity())).reason


def test_a_deny_names_its_id_and_how_to_take_it_back() -> None:
    reason = Policy([consent("deny", "board", OSSEL)]).decide(seen(OSSEL, "named")).reason
    assert "propsoff revoke bb" in reason
    assert WHEN in reason


def test_a_refusal_passes_on_what_could_not_be_read() -> None:
    port = Port("/dev/ttyACM0", UsbIdentity(), "udev", "x.usb.json, line 3: is not JSON")
    assert "x.usb.json, line 3" in Policy().decide(port).reason


def test_a_serial_number_on_two_attached_boards_names_neither() -> None:
    twin = Port("/dev/ttyACM1", replace(OSSEL, path="pci-0000:00:14.0-usb-0:7:1.0"), "udev")
    policy = Policy([consent("allow", "board", OSSEL)])
    decision = policy.decide(seen(OSSEL), attached=[seen(OSSEL), twin])
    assert (decision.open, decision.rule) == (False, "ambiguous")
    assert "--scope socket" in decision.reason
    assert policy.decide(seen(OSSEL), attached=[seen(OSSEL)]).open


def test_a_consent_for_the_socket_is_not_troubled_by_a_twin() -> None:
    twin = Port("/dev/ttyACM1", replace(OSSEL, path="pci-0000:00:14.0-usb-0:7:1.0"), "udev")
    consents = [consent("allow", "board", OSSEL), consent("allow", "socket", OSSEL)]
    assert Policy(consents).decide(seen(OSSEL), attached=[seen(OSSEL), twin]).rule == "consented"


def test_two_interfaces_of_one_board_are_no_twins() -> None:
    second = Port("/dev/ttyACM1", replace(OSSEL, path=f"{SOCKET}:1.2", interface=2), "udev")
    policy = Policy([consent("allow", "board", OSSEL)])
    assert policy.decide(seen(OSSEL), attached=[seen(OSSEL), second]).open


# What holds for every port. Small alphabets, so that matches happen.
texts = st.sampled_from([None, "", " ", "A", "B", "Ossel Flight Core"])
known = st.sampled_from([(row.vid, row.pid if row.pid is not None else 0x0001) for row in KNOWN_IDENTITIES])
numbers = st.one_of(known, st.just((None, None)), st.just((0x1209, 0x0001)))
classes = st.lists(st.sampled_from(["02/02", "0a/00", "fe/01", "ff/00"]), max_size=3).map(tuple)
identities = st.builds(
    lambda pair, number, product, path, names: UsbIdentity(pair[0], pair[1], number, None, product, path, 0, names),
    numbers,
    texts,
    texts,
    st.sampled_from([None, "1-1:1.0", "1-2:1.0"]),
    classes,
)
origins: st.SearchStrategy[Origin] = st.sampled_from(["udev", "listing", "folder", "named"])
ports = st.builds(lambda usb, origin: Port("/dev/ttyACM0", usb, origin), identities, origins)
consents = st.builds(
    lambda verdict, scope, pair, number, product, path: Consent(
        "id", verdict, scope, WHEN, pair[0], pair[1], number, product, path
    ),
    st.sampled_from(["allow", "deny"]),
    st.sampled_from(["board", "kind", "socket"]),
    numbers,
    texts,
    texts,
    st.sampled_from([None, "", "1-1", "1-2"]),
)
hints = st.builds(
    lambda pair, product: UsbHint(pair[0], pair[1], product, "d"),
    known,
    st.sampled_from([None, "", "*", "?*", "A", "Oss*", "[A-B]"]),
)
policies = st.tuples(st.lists(consents, max_size=4), st.lists(hints, max_size=3))


@given(ports, policies)
def test_a_deny_that_covers_the_port_always_beats_everything(
    port: Port, words: tuple[list[Consent], list[UsbHint]]
) -> None:
    deny = Consent("no", "deny", "socket", WHEN, path=port.usb.socket)
    decision = Policy([*words[0], deny], words[1]).decide(port)
    if port.usb.socket:
        assert not decision.open
    if any(word.verdict == "deny" and word.covers(port) for word in words[0]):
        assert not decision.open


@given(ports, policies)
def test_a_bootloader_is_never_opened(port: Port, words: tuple[list[Consent], list[UsbHint]]) -> None:
    decision = Policy(*words).decide(port)
    if kind_of(port.usb) == "bootloader":
        assert (decision.open, decision.rule) == (False, "bootloader")
    else:
        assert decision.rule != "bootloader"


@given(ports, st.lists(consents.filter(lambda word: word.scope == "kind"), max_size=4), st.lists(hints, max_size=3))
def test_nothing_without_a_product_string_is_opened_by_kind_or_hint(
    port: Port, kinds: list[Consent], hinted: list[UsbHint]
) -> None:
    bare = replace(port, usb=replace(port.usb, product=None), origin="udev")
    assert not Policy(kinds, hinted).decide(bare).open


@given(identities, policies)
def test_nothing_is_opened_automatically_without_a_word_that_covers_it(
    usb: UsbIdentity, words: tuple[list[Consent], list[UsbHint]]
) -> None:
    port = seen(usb)
    decision = Policy(*words).decide(port)
    if decision.open:
        allowed = any(word.verdict == "allow" and word.covers(port) for word in words[0])
        assert allowed or any(hint_covers(hint, port) for hint in words[1])


@given(ports, policies)
def test_taking_words_away_never_opens_a_port_that_was_not_denied(
    port: Port, words: tuple[list[Consent], list[UsbHint]]
) -> None:
    allows = [word for word in words[0] if word.verdict == "allow"]
    if not Policy(allows, words[1]).decide(port).open:
        assert not Policy(allows[1:], words[1][1:]).decide(port).open

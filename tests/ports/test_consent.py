"""Giving a consent: what each scope needs, and what it then covers."""

from __future__ import annotations

from dataclasses import replace

import pytest

from propsoff.exceptions import SettingsError
from propsoff.ports.consent import Scope, consent_for, scopes_for, twins
from propsoff.ports.facts import Port, UsbIdentity

WHEN = "2026-03-14T09:30:00+00:00"
USB = UsbIdentity(0x0483, 0x5740, "4F2A00191C", "Fenwick", "Ossel Flight Core", "pci-0000:00:14.0-usb-0:4.2:1.0", 0)
PORT = Port("/dev/ttyACM0", USB, "udev")


def with_usb(**changes: object) -> Port:
    return replace(PORT, usb=replace(USB, **changes))  # type: ignore[arg-type]  # field names vary with the test


@pytest.mark.parametrize("scope", ["board", "kind", "socket"])
def test_a_consent_covers_the_port_that_it_was_given_for(scope: Scope) -> None:
    assert consent_for(PORT, scope, "allow", WHEN).covers(PORT)


def test_a_consent_keeps_only_what_its_scope_is_matched_by() -> None:
    board = consent_for(PORT, "board", "allow", WHEN)
    kind = consent_for(PORT, "kind", "allow", WHEN)
    socket = consent_for(PORT, "socket", "deny", WHEN, note="bench 2")
    assert (board.serial_number, board.product, board.path) == ("4F2A00191C", None, None)
    assert (kind.serial_number, kind.product, kind.path) == (None, "Ossel Flight Core", None)
    assert (socket.vid, socket.pid, socket.path, socket.note) == (None, None, USB.socket, "bench 2")


@pytest.mark.parametrize(
    ("port", "scope", "missing", "instead"),
    [
        (with_usb(serial_number=None), "board", "no serial number", "--scope socket or --scope kind"),
        (with_usb(serial_number="  "), "board", "no serial number", "--scope socket or --scope kind"),
        (with_usb(vid=None), "board", "no USB identity", "--scope socket"),
        (with_usb(product=None), "kind", "no product string", "--scope socket or --scope board"),
        (with_usb(pid=None, product=""), "kind", "no USB identity (vid:pid) and no product string", "--scope socket"),
        (with_usb(path=None), "socket", "physical path is not known", "--scope board or --scope kind"),
        (Port("/dev/ttyS0"), "socket", "physical path is not known", "name its path on the command line"),
    ],
)
def test_a_refusal_says_what_is_missing_and_what_to_use_instead(
    port: Port, scope: Scope, missing: str, instead: str
) -> None:
    with pytest.raises(SettingsError) as caught:
        consent_for(port, scope, "allow", WHEN)
    assert missing in str(caught.value)
    assert instead in str(caught.value)
    assert port.device in str(caught.value)


def test_the_usual_scope_on_a_bench_is_suggested_first() -> None:
    assert scopes_for(PORT) == ("socket", "board", "kind")
    assert scopes_for(with_usb(serial_number=None)) == ("socket", "kind")
    assert scopes_for(Port("/dev/ttyS0")) == ()


def test_a_board_whose_serial_number_stands_on_another_attached_board_is_refused() -> None:
    twin = replace(PORT, device="/dev/ttyACM1", usb=replace(USB, path="pci-0000:00:14.0-usb-0:7:1.0"))
    with pytest.raises(SettingsError, match=r"two attached boards .*'4F2A00191C'.*/dev/ttyACM1") as caught:
        consent_for(PORT, "board", "allow", WHEN, attached=[PORT, twin])
    assert "--scope socket" in str(caught.value)
    assert consent_for(PORT, "kind", "allow", WHEN, attached=[PORT, twin]).covers(twin)


def test_twins_share_vid_pid_and_serial_number_in_different_sockets() -> None:
    twin = replace(PORT, device="/dev/ttyACM1", usb=replace(USB, path="pci-0000:00:14.0-usb-0:7:1.0"))
    second_interface = replace(PORT, device="/dev/ttyACM2", usb=replace(USB, interface=2, path=f"{USB.socket}:1.2"))
    other_kind = replace(twin, device="/dev/ttyACM3", usb=replace(twin.usb, pid=0x5741))
    numberless = [Port(f"/dev/ttyUSB{n}", UsbIdentity(0x10C4, 0xEA60, path=f"1-{n}:1.0")) for n in (1, 2)]
    assert twins([PORT, second_interface, other_kind, *numberless]) == frozenset()
    assert twins([PORT, twin, other_kind, *numberless]) == {PORT, twin}
    assert twins([PORT, twin, second_interface]) == {PORT, twin, second_interface}


def test_twins_are_found_where_the_physical_path_is_not_known() -> None:
    pair = [Port(f"/dev/ttyACM{n}", replace(USB, path=None)) for n in (0, 1)]
    assert twins(pair) == set(pair)


def test_one_word_on_a_thing_has_one_id_whatever_it_says() -> None:
    allow, deny = (consent_for(PORT, "board", verdict, WHEN) for verdict in ("allow", "deny"))
    assert allow.id == deny.id
    ids = {consent_for(PORT, scope, "allow", WHEN).id for scope in ("board", "kind", "socket")}
    assert len(ids) == 3


def test_a_serial_number_and_a_product_string_of_the_same_text_are_two_things() -> None:
    port = with_usb(serial_number="A", product="A")
    assert consent_for(port, "board", "allow", WHEN).id != consent_for(port, "kind", "allow", WHEN).id


@pytest.mark.parametrize("scope", ["board", "kind", "socket"])
def test_a_consent_reads_as_a_sentence(scope: Scope) -> None:
    text = str(consent_for(PORT, scope, "deny", WHEN))
    assert text.startswith(f"deny {scope}")
    assert WHEN in text

"""The table of USB identities against usb.ids (Debian package usb.ids), and how it is read."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from propsoff.ports.facts import UsbIdentity
from propsoff.ports.identity import (
    CDC_ACM_CLASS,
    DFU_CLASS,
    FROM_MEMORY,
    KNOWN_IDENTITIES,
    USB_IDS,
    VENDOR_LIBRARY,
    VENDOR_LIST,
    Kind,
    KnownIdentity,
    classify,
    kind_of,
    wants_dtr,
)

USB_IDS_FILE = Path("/usr/share/misc/usb.ids")
FROM_USB_IDS = [row for row in KNOWN_IDENTITIES if row.source == USB_IDS]


@pytest.fixture(scope="module")
def usb_ids() -> dict[str, str]:
    """``"0483"``, ``"0483:5740"`` and ``"C fe/01"`` to the names in usb.ids. The package usb.ids must be installed."""
    names: dict[str, str] = {}
    parent = ""
    for line in USB_IDS_FILE.read_text(encoding="utf-8", errors="replace").splitlines():
        if top := re.fullmatch(r"(?:(C) )?([0-9a-f]{2,4})  (.+)", line):
            parent = f"C {top[2]}" if top[1] else top[2]
            names[parent] = top[3]
        elif child := re.fullmatch(r"\t([0-9a-f]{2,4})  (.+)", line):
            names[f"{parent}{'/' if parent.startswith('C ') else ':'}{child[1]}"] = child[2]
        elif line and not line.startswith(("#", "\t")):
            parent = "other"
    return names


def test_usb_ids_is_at_least_the_release_that_the_table_names() -> None:
    version = re.search(r"^# Version: ([\d.]+)$", USB_IDS_FILE.read_text(encoding="utf-8", errors="replace"), re.M)
    assert version is not None
    assert version[1] >= USB_IDS.removeprefix("usb.ids ")


@pytest.mark.parametrize("row", [row for row in FROM_USB_IDS if row.pid is not None], ids=str)
def test_each_product_said_to_be_in_usb_ids_is_there(row: KnownIdentity, usb_ids: dict[str, str]) -> None:
    name = usb_ids[f"{row.vid:04x}:{row.pid:04x}"]
    sign = r"\bDFU\b|[Bb]ootloader" if row.kind == "bootloader" else r"\bCOM Port\b"
    assert re.search(sign, name), name


@pytest.mark.parametrize("row", [row for row in FROM_USB_IDS if row.pid is None], ids=str)
def test_each_bridge_vendor_is_in_usb_ids_with_serial_products(row: KnownIdentity, usb_ids: dict[str, str]) -> None:
    assert f"{row.vid:04x}" in usb_ids
    products = [name for key, name in usb_ids.items() if key.startswith(f"{row.vid:04x}:")]
    assert any(re.search(r"serial|UART|RS232", name, re.I) for name in products), products[:5]


@pytest.mark.parametrize("row", [row for row in KNOWN_IDENTITIES if row.source != USB_IDS], ids=str)
def test_no_product_of_usb_ids_is_credited_to_another_source(row: KnownIdentity, usb_ids: dict[str, str]) -> None:
    assert f"{row.vid:04x}:{row.pid:04x}" not in usb_ids


def test_the_classes_are_those_of_usb_ids(usb_ids: dict[str, str]) -> None:
    assert usb_ids[f"C {DFU_CLASS}"] == "Device Firmware Update"
    assert usb_ids[f"C {CDC_ACM_CLASS}"] == "Abstract (modem)"


def test_every_row_names_a_source_and_stands_once() -> None:
    assert {row.source for row in KNOWN_IDENTITIES} == {USB_IDS, VENDOR_LIBRARY, VENDOR_LIST, FROM_MEMORY}
    assert len({(row.vid, row.pid) for row in KNOWN_IDENTITIES}) == len(KNOWN_IDENTITIES)


@pytest.mark.parametrize(
    ("usb", "kind"),
    [
        (UsbIdentity(0x0483, 0x5740), "native"),
        (UsbIdentity(0x2E8A, 0x000A), "native"),
        (UsbIdentity(0x0483, 0xDF11), "bootloader"),
        (UsbIdentity(0x28E9, 0x0189), "bootloader"),
        (UsbIdentity(0x2E8A, 0x0003), "bootloader"),
        (UsbIdentity(0x0403, 0x6001), "bridge"),
        (UsbIdentity(0x1A86, 0x55D4, classes=("02/02", "0a/00")), "bridge"),
        (UsbIdentity(0x0483, 0x1234), "unknown"),
        (UsbIdentity(0x1209, 0x0001), "unknown"),
        (UsbIdentity(), "unknown"),
        (UsbIdentity(vid=0x0483), "unknown"),
    ],
)
def test_an_identity_is_of_one_kind_and_says_why(usb: UsbIdentity, kind: Kind) -> None:
    assert kind_of(usb) == kind
    assert classify(usb).reason


@pytest.mark.parametrize("vid_pid", [(0x0483, 0x5740), (0x0403, 0x6001), (0x1209, 0x0001), (None, None)])
@pytest.mark.parametrize("dfu", ["fe/01", "FE/01"])
def test_an_interface_of_the_dfu_class_makes_any_device_a_bootloader(
    vid_pid: tuple[int | None, int | None], dfu: str
) -> None:
    usb = UsbIdentity(*vid_pid, classes=("02/02", "0a/00", dfu))
    assert kind_of(usb) == "bootloader"
    assert "FE/01" in classify(usb).reason


@pytest.mark.parametrize(
    ("usb", "dtr"),
    [
        (UsbIdentity(0x0483, 0x5740), True),
        (UsbIdentity(0x1209, 0x0001, classes=("02/02", "0a/00")), True),
        (UsbIdentity(0x1A86, 0x55D4, classes=("02/02", "0a/00")), False),
        (UsbIdentity(0x10C4, 0xEA60), False),
        (UsbIdentity(), False),
        (UsbIdentity(0x0483, 0xDF11), False),
    ],
)
def test_only_native_ports_are_opened_with_dtr_raised(usb: UsbIdentity, dtr: bool) -> None:
    assert wants_dtr(usb) is dtr

"""Reading attributes: layout of Linux Documentation/ABI/testing/sysfs-bus-usb, in a folder of our own."""

from __future__ import annotations

from pathlib import Path

import pytest

from propsoff.ports.sysfs import hex_or_none, interface_classes, read_hex, read_text


def interface(device: Path, name: str, cls: str, sub: str) -> None:
    (device / name).mkdir(parents=True)
    (device / name / "bInterfaceClass").write_text(f"{cls}\n", encoding="ascii")
    (device / name / "bInterfaceSubClass").write_text(f"{sub}\n", encoding="ascii")


def test_the_classes_of_all_interfaces_are_read_in_order(tmp_path: Path) -> None:
    interface(tmp_path, "1-4:1.1", "0a", "00")
    interface(tmp_path, "1-4:1.0", "02", "02")
    interface(tmp_path, "1-4:1.2", "FE", "01")
    (tmp_path / "power").mkdir()
    assert interface_classes(tmp_path) == ("02/02", "0a/00", "fe/01")


def test_an_interface_that_vanishes_while_it_is_read_is_left_out(tmp_path: Path) -> None:
    interface(tmp_path, "1-4:1.0", "02", "02")
    (tmp_path / "1-4:1.1").mkdir()
    assert interface_classes(tmp_path) == ("02/02",)


def test_a_device_that_is_gone_has_no_classes(tmp_path: Path) -> None:
    assert interface_classes(tmp_path / "gone") == ()


def test_texts_are_stripped_and_empty_ones_are_none(tmp_path: Path) -> None:
    (tmp_path / "product").write_bytes(b"Ossel Flight Core\n")
    (tmp_path / "serial").write_bytes(b" \n")
    (tmp_path / "manufacturer").write_bytes(b"Fenwick \xff\n")
    assert read_text(tmp_path / "product") == "Ossel Flight Core"
    assert read_text(tmp_path / "serial") is None
    assert read_text(tmp_path / "manufacturer") == "Fenwick �"
    assert read_text(tmp_path / "gone") is None


@pytest.mark.parametrize(
    ("text", "number"), [("00", 0), ("0a", 10), ("0483", 0x483), ("x", None), ("", None), (None, None)]
)
def test_hexadecimal_attributes(text: str | None, number: int | None, tmp_path: Path) -> None:
    assert hex_or_none(text) == number
    if text is not None:
        (tmp_path / "bInterfaceNumber").write_text(text, encoding="ascii")
    assert read_hex(tmp_path / "bInterfaceNumber") == number

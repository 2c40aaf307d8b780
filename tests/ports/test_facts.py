"""What a port is: keys that survive re-enumeration, and sockets without the numbers of what is plugged in."""

from __future__ import annotations

import pytest

from propsoff.ports.facts import Port, UsbIdentity

BOARD = UsbIdentity(0x0483, 0x5740, "4F2A00191C", "Fenwick", "Ossel Flight Core", "1-4.2:1.0", 0)


def test_a_port_keeps_its_key_under_another_device_name() -> None:
    assert Port("/dev/ttyACM0", BOARD).key == Port("/dev/ttyACM1", BOARD).key


def test_two_boards_with_one_serial_number_in_two_sockets_have_two_keys() -> None:
    other = UsbIdentity(0x0483, 0x5740, "4F2A00191C", "Fenwick", "Ossel Flight Core", "1-4.3:1.0", 0)
    assert Port("/dev/ttyACM0", BOARD).key != Port("/dev/ttyACM1", other).key


def test_two_boards_without_serial_number_and_path_have_two_keys() -> None:
    bare = UsbIdentity(0x0483, 0x5740)
    assert Port("/dev/ttyACM0", bare).key != Port("/dev/ttyACM1", bare).key


def test_a_port_without_usb_identity_is_its_device() -> None:
    assert Port("socket://bench:2000").key == "socket://bench:2000"


def test_a_problem_in_the_description_is_no_part_of_what_the_port_is() -> None:
    assert Port("/dev/ttyACM0", BOARD, problem="line 3: is not JSON") == Port("/dev/ttyACM0", BOARD)


@pytest.mark.parametrize(
    ("path", "socket"),
    [
        # The forms of systemd's path_id builtin and of 60-serial.rules (Debian 12, systemd 252).
        ("pci-0000:00:14.0-usb-0:4.2:1.0", "pci-0000:00:14.0-usb-0:4.2"),
        ("pci-0000:00:14.0-usb-0:4.2", "pci-0000:00:14.0-usb-0:4.2"),
        ("pci-0000:00:14.0-usb-0:4:1.0-port0", "pci-0000:00:14.0-usb-0:4"),
        ("platform-fd500000.pcie-pci-0000:01:00.0-usb-0:1.3:1.2", "platform-fd500000.pcie-pci-0000:01:00.0-usb-0:1.3"),
        ("pci-0000:00:14.0-usbv2-0:4.2:1.0", "pci-0000:00:14.0-usbv2-0:4.2"),
        # Names of interfaces and devices in sysfs (Linux Documentation/ABI/testing/sysfs-bus-usb).
        ("1-4.2:1.0", "1-4.2"),
        ("1-4.2", "1-4.2"),
        ("20-1", "20-1"),
        # A folder's own word for it.
        ("socket-1", "socket-1"),
        ("left shelf, 3", "left shelf, 3"),
        ("", None),
        (None, None),
    ],
)
def test_the_socket_is_the_path_without_interface_and_port_number(path: str | None, socket: str | None) -> None:
    assert UsbIdentity(path=path).socket == socket

"""The shipped rules, read and applied by systemd's own udev (`udevadm test`) to made-up devices.

Needs umockdev and python3-gi as test_udev.py does, and `unshare` (util-linux): the rules are laid into a /run that only
the test sees. `udevadm verify` does not exist in systemd 252.
"""

from __future__ import annotations

import grp
import json
import os
import re
import subprocess
from dataclasses import dataclass
from pathlib import Path

import pytest

from propsoff.ports.identity import KNOWN_IDENTITIES, KnownIdentity

pytestmark = pytest.mark.integration

HERE = Path(__file__).parent
RULES = HERE.parents[1] / "contrib" / "udev" / "60-propsoff.rules"
SHELL = """
set -e
mount -t tmpfs none /run
mkdir -p /run/udev/rules.d
cp "$1" /run/udev/rules.d/60-propsoff.rules
for device in 1-4.2 1-4.2/1-4.2:1.0/ttyACM0; do
    echo "DEVICE $device"
    udevadm test --action=add "/sys/devices/$device" 2>&1
done
"""


@dataclass(frozen=True)
class Applied:
    """What udev did with a USB device and with its port: all that was said, by device."""

    device: str
    port: str

    def set_by_us(self, key: str) -> list[str]:
        """The values that our rules gave the port for GROUP or MODE."""
        return re.findall(rf"60-propsoff\.rules:\d+ {key} (\S+)", self.port)


def applied(vid: int, pid: int) -> Applied:
    plug = {"do": "plug", "tty": "ttyACM0", "socket": "4.2", "usb": {"vid": f"{vid:04x}", "pid": f"{pid:04x}"}}
    commands = "".join(json.dumps(command) + "\n" for command in (plug, {"do": "start"}))
    private = ["unshare", "--mount"] if os.geteuid() == 0 else ["unshare", "--mount", "--map-root-user"]
    run = subprocess.run(
        [
            *private,
            "umockdev-wrapper",
            "/usr/bin/python3",
            str(HERE / "udev_testbed.py"),
            "sh",
            "-c",
            SHELL,
            "sh",
            str(RULES),
        ],
        input=commands,
        capture_output=True,
        text=True,
        timeout=50,
        check=False,
    )
    assert run.returncode == 0, run.stderr + run.stdout
    _, device, port = re.split(r"^DEVICE .*$", run.stdout, flags=re.M)
    return Applied(device, port)


COVERED = [row for row in KNOWN_IDENTITIES if row.kind in ("native", "bridge")]


@pytest.mark.parametrize("row", COVERED, ids=lambda row: f"{row.vid:04x}")
def test_the_modem_service_is_kept_away_and_the_group_may_open_it(row: KnownIdentity) -> None:
    done = applied(row.vid, row.pid if row.pid is not None else 0x6001)
    assert "ID_MM_DEVICE_IGNORE=1" in done.device.splitlines()
    assert "ID_MM_DEVICE_IGNORE=1" in done.port.splitlines()
    assert done.set_by_us("GROUP") == [str(grp.getgrnam("dialout").gr_gid)]
    assert done.set_by_us("MODE") == ["0660"]


@pytest.mark.parametrize(
    ("vid", "pid"), [(0x1209, 0x0001), (0x0483, 0x5741), (0x2E8A, 0x0003), (0x0483, 0xDF11)], ids=lambda n: f"{n:04x}"
)
def test_other_devices_and_bootloaders_are_left_alone(vid: int, pid: int) -> None:
    done = applied(vid, pid)
    assert "ID_MM_DEVICE_IGNORE" not in done.device + done.port
    assert done.set_by_us("GROUP") == done.set_by_us("MODE") == []


def test_udev_has_nothing_to_say_against_the_file() -> None:
    done = applied(0x0483, 0x5740)
    said = [line for line in done.device.splitlines() if "60-propsoff.rules" in line]
    assert said == ["Reading rules file: /run/udev/rules.d/60-propsoff.rules"]

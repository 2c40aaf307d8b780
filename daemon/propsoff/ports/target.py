"""Whether what the operator names can be a port at all, told before anything is opened."""

from __future__ import annotations

import contextlib
import os
from pathlib import Path
from urllib.parse import urlsplit

from propsoff.exceptions import TargetError

SYSFS_CHAR = Path("/sys/dev/char")
"""Where Linux describes character devices by number (Documentation/ABI/testing/sysfs-dev)."""
NETWORK = ("socket", "rfc2217")


def check_url(url: str) -> None:
    """Raises TargetError for a URL that names no port: of an unknown kind, without a host, without a port number."""
    scheme = url.partition("://")[0].lower()
    if scheme in NETWORK:
        _check_address(url, scheme)
        return
    import serial

    try:
        with contextlib.suppress(serial.SerialException):  # of a known kind, and not there now
            serial.serial_for_url(url, do_not_open=True)
    except ValueError:
        known = " or ".join(f"{name}://HOST:PORT" for name in NETWORK)
        raise TargetError(f"{url}: {scheme!r} is no kind of port that can be read; give a path, or {known}") from None


def _check_address(url: str, scheme: str) -> None:
    try:
        parts = urlsplit(url)
        host, number = parts.hostname, parts.port
    except ValueError:  # a number that is none, or beyond 65535
        host = number = None
    if not host or not number:
        raise TargetError(f"{url}: host and port number are needed; give a port: {scheme}://HOST:PORT")


def is_serial(device: int, sysfs: Path = SYSFS_CHAR) -> bool:
    """Whether a character device (`st_rdev`) may be a serial port: False only where the system says that it is none.

    It is not opened for it: that would raise the modem lines. Pseudo-terminals are not described, so they may be.
    """
    subsystem = sysfs / f"{os.major(device)}:{os.minor(device)}" / "subsystem"
    try:
        return subsystem.resolve(strict=True).name == "tty"
    except OSError:
        return True

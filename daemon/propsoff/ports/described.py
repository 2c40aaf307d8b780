"""The USB identity of a port as written beside its link: ``NAME.usb.json``, an object with the keys below.

``vid``, ``pid`` (four hexadecimal digits), ``serial_number``, ``manufacturer``, ``product``, ``path`` (texts); each may
be null or missing. Other keys are ignored.
"""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

from propsoff.ports.facts import UsbIdentity

LONGEST_DESCRIPTION_BYTES = 64 * 1024
_HEX = re.compile(r"[0-9a-fA-F]{4}")


def described(link: Path) -> tuple[UsbIdentity, str | None]:
    """The identity beside a link, and what is wrong with it in plain words. Wrong or missing: an empty identity.

    Without a ``path`` the link's name stands for the socket: two boards with the same serial number must stay two.
    """
    description = link.with_name(f"{link.name}.usb.json")
    try:
        with description.open("rb") as file:
            raw = file.read(LONGEST_DESCRIPTION_BYTES + 1)
    except FileNotFoundError:
        return UsbIdentity(), None
    except OSError as error:
        return UsbIdentity(), f"{description}: cannot be read: {error.strerror}"
    try:
        return _identity(raw, link.name), None
    except json.JSONDecodeError as error:
        return UsbIdentity(), f"{description}, line {error.lineno}: is not JSON: {error.msg}"
    except UnicodeDecodeError as error:
        return UsbIdentity(), f"{description}: is not UTF-8 text (byte {error.start})"
    except RecursionError:
        return UsbIdentity(), f"{description}: is nested too deep"
    except ValueError as error:
        return UsbIdentity(), f"{description}: {error}"


def _identity(raw: bytes, name: str) -> UsbIdentity:
    """Raises ValueError (with text for people) or RecursionError."""
    if len(raw) > LONGEST_DESCRIPTION_BYTES:
        raise ValueError(f"is longer than {LONGEST_DESCRIPTION_BYTES} bytes")
    table = json.loads(raw.decode("utf-8"))
    if not isinstance(table, dict):
        raise ValueError("must be an object with the keys vid, pid, serial_number, manufacturer, product, path")
    return UsbIdentity(
        vid=_number(table, "vid"),
        pid=_number(table, "pid"),
        serial_number=_text(table, "serial_number"),
        manufacturer=_text(table, "manufacturer"),
        product=_text(table, "product"),
        path=_text(table, "path") or name,
    )


def _text(table: dict[str, Any], key: str) -> str | None:
    value = table.get(key)
    if value is None:
        return None
    if not isinstance(value, str):
        raise ValueError(f"{key}: must be text or null, is {value!r:.40}")
    # JSON can say half a surrogate pair, which no file or terminal takes.
    return value.encode("utf-8", errors="replace").decode("utf-8").strip() or None


def _number(table: dict[str, Any], key: str) -> int | None:
    value = table.get(key)
    if value is None:
        return None
    if not isinstance(value, str) or not _HEX.fullmatch(value):
        raise ValueError(f"{key}: must be four hexadecimal digits, is {value!r:.40}")
    return int(value, 16)

"""What the operator allowed or denied: one consent, what it covers, and what each scope needs to be given. Pure."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from propsoff.exceptions import SettingsError
from propsoff.ports.facts import Port

Verdict = Literal["allow", "deny"]
Scope = Literal["board", "kind", "socket"]
"""This board (vid:pid + serial number), this kind (vid:pid + product string), this socket (physical path)."""


@dataclass(frozen=True, slots=True)
class Consent:
    """One word of the operator's. Of the match fields only those of the scope are set; `when` is RFC 3339.

    `id` follows from scope and match fields alone, so a second word on the same thing replaces the first.
    """

    id: str
    verdict: Verdict
    scope: Scope
    when: str
    vid: int | None = None
    pid: int | None = None
    serial_number: str | None = None
    product: str | None = None
    path: str | None = None
    note: str = ""

    def covers(self, port: Port) -> bool:
        """True if this consent is about `port`. A missing or empty field never matches, on either side."""
        if self.scope == "socket":
            return _same(self.path, port.usb.socket)
        if self.vid is None or self.pid is None or (self.vid, self.pid) != (port.usb.vid, port.usb.pid):
            return False
        if self.scope == "board":
            return _same(self.serial_number, port.usb.serial_number)
        return _same(self.product, port.usb.product)

    def __str__(self) -> str:
        what = {
            "board": f"board {self.vid or 0:04x}:{self.pid or 0:04x} with serial number {self.serial_number!r}",
            "kind": f"kind {self.vid or 0:04x}:{self.pid or 0:04x} {self.product!r}",
            "socket": f"socket {self.path}",
        }[self.scope]
        return f"{self.verdict} {what} ({self.id}, {self.when})"


def _same(mine: str | None, theirs: str | None) -> bool:
    return mine is not None and bool(mine.strip()) and mine == theirs


def scopes_for(port: Port) -> tuple[Scope, ...]:
    """The scopes in which a consent for `port` can be given, the usual choice on a bench first."""
    known = port.usb.vid_pid is not None
    scopes: list[Scope] = ["socket"] if port.usb.socket else []
    if known and _filled(port.usb.serial_number):
        scopes.append("board")
    if known and _filled(port.usb.product):
        scopes.append("kind")
    return tuple(scopes)


def _filled(text: str | None) -> bool:
    return text is not None and bool(text.strip())


def twins(ports: Iterable[Port]) -> frozenset[Port]:
    """The ports whose board shares vid:pid and serial number with a board in another socket.

    A serial number that two boards carry names neither. Two interfaces of one board, in one socket, are no twins.
    """
    boards: dict[tuple[str, str], list[Port]] = {}
    for port in ports:
        if port.usb.vid_pid is not None and port.usb.serial_number:
            boards.setdefault((port.usb.vid_pid, port.usb.serial_number), []).append(port)
    shared = (group for group in boards.values() if len({port.usb.socket or port.device for port in group}) > 1)
    return frozenset(port for group in shared for port in group)


def consent_for(
    port: Port, scope: Scope, verdict: Verdict, when: str, *, note: str = "", attached: Iterable[Port] = ()
) -> Consent:
    """The consent that covers `port` in `scope`; `attached` are the ports that are plugged in now.

    Raises SettingsError when the port lacks what the scope needs, or when its serial number names two attached boards.
    """
    if scope not in scopes_for(port):
        raise SettingsError(f"{port.device}: {_missing(port, scope)}", key="scope", hint=_instead(port, scope))
    usb = port.usb
    if scope == "board" and port in (group := twins([port, *attached])):
        same = sorted(other.device for other in group if other != port and _board(other) == _board(port))
        raise SettingsError(
            f"{port.device}: two attached boards have serial number {usb.serial_number!r} (also {', '.join(same)})",
            key="scope",
            hint=_instead(port, scope),
        )
    if scope == "socket":
        return Consent(_consent_id(scope, usb.socket), verdict, scope, when, path=usb.socket, note=note)
    serial_number = usb.serial_number if scope == "board" else None
    product = usb.product if scope == "kind" else None
    made = _consent_id(scope, usb.vid_pid, serial_number, product)
    return Consent(made, verdict, scope, when, usb.vid, usb.pid, serial_number, product, note=note)


def _board(port: Port) -> tuple[str | None, str | None]:
    return port.usb.vid_pid, port.usb.serial_number


def _consent_id(*parts: str | None) -> str:
    text = "\x00".join(part or "" for part in parts)
    return hashlib.sha256(text.encode("utf-8", errors="surrogatepass")).hexdigest()[:10]


def _missing(port: Port, scope: Scope) -> str:
    if scope == "socket":
        return "its physical path is not known, so the scope socket cannot be used"
    lacking = [] if port.usb.vid_pid is not None else ["USB identity (vid:pid)"]
    if scope == "board" and not _filled(port.usb.serial_number):
        lacking.append("serial number")
    if scope == "kind" and not _filled(port.usb.product):
        lacking.append("product string")
    return f"it has no {' and no '.join(lacking)}, so the scope {scope} cannot be used"


def _instead(port: Port, refused: Scope) -> str:
    others = [scope for scope in scopes_for(port) if scope != refused]
    if not others:
        return "name its path on the command line each time instead"
    return "use " + " or ".join(f"--scope {scope}" for scope in others) + " instead"

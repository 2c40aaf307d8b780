"""Which ports may be opened, and by whose word. Pure: the same port, consents and hints give the same decision."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fnmatch import fnmatchcase
from typing import Literal

from propsoff.ports.consent import Consent, scopes_for, twins
from propsoff.ports.facts import Port, UsbHint
from propsoff.ports.identity import classify

Rule = Literal["bootloader", "denied", "named", "consented", "hinted", "ambiguous", "not-allowed"]
"""Which rule decided, in the order in which they are asked; `ambiguous`: the serial number is that of two boards."""


@dataclass(frozen=True, slots=True)
class Decision:
    """Whether a port may be opened, by which rule, and why in plain words with what the operator can do."""

    open: bool
    rule: Rule
    reason: str


def hint_covers(hint: UsbHint, port: Port) -> bool:
    """True if vid, pid and product string all match. A hint with no product pattern, or only wild cards, never does."""
    pattern, product = hint.product, port.usb.product
    if not pattern or not any(character.isalnum() for character in pattern) or not product:
        return False
    return (hint.vid, hint.pid) == (port.usb.vid, port.usb.pid) and fnmatchcase(product, pattern)


class Policy:
    """Decides by the operator's `consents` and the dialects' `hints`."""

    def __init__(self, consents: Iterable[Consent] = (), hints: Iterable[UsbHint] = ()) -> None:
        self._consents: Sequence[Consent] = tuple(consents)
        self._hints: Sequence[UsbHint] = tuple(hints)

    def decide(self, port: Port, attached: Iterable[Port] = ()) -> Decision:
        """The decision for `port`; `attached` are the ports plugged in now: a serial number may stand twice among them.

        A bootloader is never opened, and a deny beats everything else, also that the operator named the port: a deny is
        written down with a date and an id, and taken back by one command.
        """
        kind = classify(port.usb)
        if kind.kind == "bootloader":
            restart = "unplug it and plug it in again without its boot button held; it is never opened like this"
            return Decision(False, "bootloader", f"board is in its bootloader: {kind.reason}; {restart}")
        covering = [consent for consent in self._consents if consent.covers(port)]
        denied = next((consent for consent in covering if consent.verdict == "deny"), None)
        if denied is not None:
            remedy = f"take it back with: propsoff revoke {denied.id}"
            return Decision(False, "denied", f"denied by the operator: {denied}; {remedy}")
        if port.origin in ("named", "folder"):
            by = "the operator named it" if port.origin == "named" else "the operator named the folder that it is in"
            return Decision(True, "named", by)
        return self._by_consent(port, covering, attached) or self._by_hint(port) or _refusal(port, kind.reason)

    def _by_consent(self, port: Port, covering: Sequence[Consent], attached: Iterable[Port]) -> Decision | None:
        if not covering:
            return None
        others = [other for other in attached if other != port]
        if all(consent.scope == "board" for consent in covering) and port in twins([port, *others]):
            reason = (
                f"allowed by its serial number {port.usb.serial_number!r}, but two attached boards have that number; "
                f"unplug the other, or allow the socket: propsoff allow {port.device} --scope socket"
            )
            return Decision(False, "ambiguous", reason)
        return Decision(True, "consented", f"allowed by the operator: {covering[0]}")

    def _by_hint(self, port: Port) -> Decision | None:
        hint = next((hint for hint in self._hints if hint_covers(hint, port)), None)
        if hint is None:
            return None
        what = f"{port.usb.vid_pid} {port.usb.product!r}"
        return Decision(True, "hinted", f"{what} is named by the dialect {hint.dialect}")


def _refusal(port: Port, why: str) -> Decision:
    scopes = scopes_for(port)
    if scopes:
        what = " (or " + ", ".join(scopes[1:]) + ")" if len(scopes) > 1 else ""
        remedy = f"allow it with: propsoff allow {port.device} --scope {scopes[0]}{what}"
    else:
        remedy = f"to inspect it once, name it: propsoff inspect {port.device}"
    described = f", product {port.usb.product!r}" if port.usb.product else ""
    problem = f"; {port.problem}" if port.problem else ""
    return Decision(False, "not-allowed", f"nobody has allowed this port yet ({why}{described}{problem}); {remedy}")

"""Faults that no group of settings shows by itself: one cause, named once, with what it brings about laid under it."""

from __future__ import annotations

from collections.abc import Iterator

from propsoff import Case, Finding, check
from propsoff_checks.channel_order import CONTROLS, parts_of
from propsoff_checks.words import PROPELLERS_OFF, SAFETY_SOURCES, cut, listed, port_name, say_port

_AT_END_US = 60
_AT_REST_US = 100
_OTHER = {"analog": "a digital", "digital": "an analogue"}
_SET_UP = {
    "digital": "set the link first, then give the overlay the UART that it is wired to, then set the grid",
    "analog": "set the link first, then set the overlay to the camera's standard, and free the overlay's UART",
}
_NAMED = {"analog": "an analogue", "digital": "a digital"}


@check(
    "cross-checks",
    title="Settings that contradict each other",
    why="Several findings may have one cause: to mend the effects one by one wastes an hour and mends nothing.",
    reads=(
        "receiver.kind",
        "receiver.port",
        "ports",
        "video.link",
        "overlay.system",
        "channels.order",
        "channels.live",
        "arming.blocks",
    ),
    sources=(
        "one user for each UART; a digital overlay travels over a UART: common practice",
        "with the sticks at rest throttle is at its low end and the others at their centre: common practice",
        *SAFETY_SOURCES,
    ),
    caution=PROPELLERS_OFF,
)
def cross_checks(case: Case) -> Iterator[Finding]:
    """The receiver's UART, the kind of video link, and the sticks as they arrive."""
    looked = [_receiver_uart(case), _video_kind(case), _sticks(case)]
    if all(found is None for found in looked):
        yield case.unread("ports", "video.link", "channels.order")
        return
    found = [one for part in looked if part for one in part]
    yield from found
    if not found:
        yield case.passed("receiver and UARTs, video link and overlay, channel order and sticks agree")


def _receiver_uart(case: Case) -> list[Finding] | None:
    """A receiver on a UART that was given to something else."""
    receiver, ports = case.craft.receiver, case.craft.ports
    if receiver.kind is None or ports is None:
        return None
    having = [port for port in ports if "receiver" in (port.roles or ())]
    there = [(at, port) for at, port in enumerate(ports) if port.id is not None and port.id == receiver.port]
    if receiver.kind != "serial" or having or not there:
        return []
    at, port = there[0]
    taken = [role for role in port.roles or () if role != "unused"]
    if not taken:
        return []
    name, user = port_name(port, at), listed(taken)
    return [
        case.fail(
            f"the receiver is on {name}, and {name} was given to {user}: nobody reads the receiver",
            code="receiver-port-taken",
            facts=("receiver.port", f"ports[{at}]"),
            expected=f"{name}: receiver",
            actual=f"{name}: {user}",
            why="The craft hears no transmitter: it does not arm, or cannot be stopped.",
            console=say_port(case, port, roles=("receiver",)),
            steps=(
                f"If the receiver is soldered to {name}, give {name} back to it and {user} a UART of its own. "
                f"If {user} is soldered there, set the receiver to the UART where it is.",
            ),
            explains=("receiver-type/role-missing", "port-roles/missing-receiver", "port-roles/rate"),
        )
    ]


def _video_kind(case: Case) -> list[Finding] | None:
    """A board that is set up throughout for another video link than the build sheet's."""
    link, system, ports = case.craft.video.link, case.craft.overlay.system, case.craft.ports
    expected = case.sheet.expected("video.link")
    if link is None or system is None or ports is None:
        return None
    wanted = expected.only if expected is not None else None
    if wanted not in ("analog", "digital") or any(port.roles is None for port in ports):
        return []
    carried = any("overlay-link" in (port.roles or ()) for port in ports)
    if wanted == "digital":
        signs = [link == "analog", system != "digital", not carried]
    else:
        signs = [link == "digital", system == "digital", carried]
    if sum(signs) < 2:
        return []
    return [
        case.fail(
            f"the board is set up for {_OTHER[str(wanted)]} video link, where {_NAMED[str(wanted)]} one is expected",
            code="other-video-link",
            facts=("video.link", "overlay.system", "ports"),
            expected=f"{wanted}: link, overlay and UARTs",
            actual=f"link {link}, overlay {system}, {'a' if carried else 'no'} UART for the overlay",
            why="The pilot sees no overlay, or one in a corner: no voltage, no warnings.",
            settings=[("video.link", wanted)] if link != wanted else (),
            steps=(
                "See which video transmitter is fitted.",
                f"If it is the one that the sheet names: {_SET_UP[str(wanted)]}; then inspect again.",
                "If another one is fitted, this is another variant: use its build sheet.",
            ),
            explains=("overlay-canvas", "overlay-layout", "video-link", "port-roles/missing-overlay-link"),
        )
    ]


def _sticks(case: Case) -> list[Finding] | None:
    """The throttle stick arrives on another channel than the one that the board takes for it."""
    order, live, expected = (
        case.craft.channels.order,
        case.craft.channels.live,
        case.sheet.expected("channels.order"),
    )
    if order is None or live is None or case.craft.arming.blocks is None:
        return None
    parts = parts_of(order)[:4]
    if sorted(parts) != sorted(CONTROLS) or (expected is not None and not expected.allows(order)):
        return None  # channel-order has it
    if "no-receiver-link" in case.craft.arming.blocks or len(live) < len(parts):
        return None  # nothing arrives
    channels = case.craft.channels
    low, centre = channels.low or 1000, channels.centre or 1500
    down = [at for at in range(4) if abs(live[at] - low) <= _AT_END_US]
    rest = [at for at in range(4) if abs(live[at] - centre) <= _AT_REST_US]
    taken = parts.index("T")
    if len(down) != 1 or len(rest) != 3 or down[0] == taken:
        return []
    return [
        case.fail(
            f"channel {down[0] + 1} stands at {live[down[0]]} us as a throttle stick at rest does, but the board takes "
            f"throttle from channel {taken + 1}",
            code="transmitter-order",
            facts=("channels.order", "channels.live"),
            expected=f"the throttle stick on channel {taken + 1}",
            actual=f"on channel {down[0] + 1}; the board has {cut(order)}",
            why="The motors would run at half throttle with the stick at its low end.",
            steps=(
                f"Set the channel order in the transmitter to {cut(order)}, and look again while moving one stick at a "
                "time.",
            ),
            explains=("channel-range", "arming-blocks/throttle-not-low"),
        )
    ]

"""Which UART does what: one user each, and everyone who needs one has one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping

from propsoff import Case, Finding, Uart, check
from propsoff_checks.links import link_in_doubt
from propsoff_checks.protocols import LINES, Line, other_protocol
from propsoff_checks.words import PROPELLERS_OFF, SAFETY_SOURCES, cut, either, listed, port_name, say_port, typed

ONE_UART = ("receiver", "overlay-link", "video-control", "positioning", "esc-telemetry", "rangefinder")
"""Roles that a craft has once: common practice."""

_BY_DEFAULT = ("console",)
_MOST_PORTS = 32
_NAMES = {
    "console": "the console",
    "receiver": "the receiver",
    "overlay-link": "the overlay link",
    "video-control": "the control of the video transmitter",
    "telemetry": "telemetry",
    "positioning": "positioning",
    "esc-telemetry": "the speed controllers' telemetry",
    "logger": "the flight recorder",
    "rangefinder": "the rangefinder",
}
_ELSEWHERE = {"spi": "the receiver is on the board (spi)", "none": "no receiver is set up"}
_WITHOUT = {
    "console": "Without a console the board cannot be inspected or set up again over this port.",
    "overlay-link": "Over a digital link the overlay travels on a UART: without one only the picture is seen.",
    "receiver": "Nobody reads the receiver: the craft hears no transmitter.",
}

# 8N1 is 10 bits a character: 53 * 20 = 1,060 characters at 115200 baud (11,520 a second) take 92 ms. Computed.
_SLOWEST = {"overlay-link": 115200, "console": 9600}
_LEAST_BAUD, _MOST_BAUD, _USUAL_BAUD = 1200, 12_000_000, 115200


@check(
    "port-roles",
    title="UARTs: one user each, and none missing",
    why="Two users of one UART disturb each other, and a device without a UART is silent.",
    reads=("ports", "receiver.kind", "receiver.port", "receiver.protocol", "video.link", "overlay.system"),
    sources=(
        *(line.source for line in LINES.values()),
        "one user for each UART; a digital overlay travels over a UART at 115200 baud or more: common practice",
        "8N1 is 10 bits a character: 115200 baud carry 11,520 characters a second (computed)",
        *SAFETY_SOURCES,
    ),
    caution=PROPELLERS_OFF,
)
def port_roles(case: Case) -> Iterator[Finding]:
    """Users, then what is missing, then rates."""
    ports = case.craft.ports
    if ports is None:
        yield case.unread("ports")
        return
    if not ports:
        yield case.fail(
            "the board lists no UART at all",
            code="no-uart",
            facts=("ports",),
            expected="its UARTs with their roles",
            actual="an empty list",
            why="Nothing is known of who is connected where.",
            steps=("Read the board again; when the list stays empty, its settings are damaged: set it up anew.",),
        )
        return
    found = [*_listing(case, ports), *_unread(case, ports), *_shared(case, ports), *_twice(case, ports)]
    found += [*_missing(case, ports), *_in_vain(case, ports), *_not_allowed(case, ports), *_rates(case, ports)]
    yield from found
    if not found:
        yield case.passed(_well(ports), facts=("ports",))


def _used(port: Uart) -> list[str]:
    return [role for role in port.roles or () if role != "unused"]


def _having(ports: tuple[Uart, ...], role: str) -> list[int]:
    return [index for index, port in enumerate(ports) if role in (port.roles or ())]


def _well(ports: tuple[Uart, ...]) -> str:
    users = [f"{port_name(port, at)} {_used(port)[0]}" for at, port in enumerate(ports) if _used(port)]
    free = [port_name(port, at) for at, port in enumerate(ports) if not _used(port)]
    return f"one user for each UART: {listed(users)}; free: {listed(free) or 'none'}"


def _listing(case: Case, ports: tuple[Uart, ...]) -> Iterator[Finding]:
    twice = [name for name, count in Counter(port.id for port in ports if port.id).items() if count > 1]
    if twice:
        yield case.fail(
            f"listed more than once: {listed(twice)}",
            code="listed-twice",
            facts=("ports",),
            expected="each UART once",
            actual=listed(f"{cut(name)} several times" for name in twice),
            steps=("Read the board again: the listing contradicts itself.",),
        )
    if len(ports) > _MOST_PORTS:
        yield case.fail(
            f"the board lists {len(ports)} UARTs, more than any flight controller has",
            code="too-many",
            facts=("ports[0]",),
            expected=f"at most {_MOST_PORTS}",
            actual=str(len(ports)),
            steps=("Read the board again: the listing cannot be right.",),
        )


def _unread(case: Case, ports: tuple[Uart, ...]) -> Iterator[Finding]:
    nameless = [port_name(port, at) for at, port in enumerate(ports) if port.id is None]
    places = [at for at, port in enumerate(ports) if port.roles is None]
    roleless = [port_name(ports[at], at) for at in places]
    if nameless:
        yield case.unknown(f"not read: the name of {listed(nameless)}", code="unread", facts=("ports",))
    if roleless:
        verb = "carries" if len(roleless) == 1 else "carry"
        yield case.unknown(
            f"not read: what {listed(roleless)} {verb}",
            code="unread",
            facts=tuple(f"ports[{at}]" for at in places),
            steps=(
                "See what is connected there, and give it a role that the board knows. If the word that stands there "
                "is right, it is one that the board's dialect does not know.",
            ),
        )
    doubtful = sorted({one.fact for one in case.craft.problems if one.fact and one.fact.startswith("ports[")})
    rates = [fact for fact in doubtful if fact.endswith(".baud")]
    if rates:
        yield case.unread(*rates[:8])


def _shared(case: Case, ports: tuple[Uart, ...]) -> Iterator[Finding]:
    for index, port in enumerate(ports):
        used = _used(port)
        if len(used) < 2 and not (used and "unused" in (port.roles or ())):
            continue
        name = port_name(port, index)
        who = listed(_NAMES.get(role, role) for role in used)
        idle = _idle_here(case, ports, index)
        left = [role for role in used if role not in idle]
        yield case.fail(
            f"{name} has {len(used)} users: {who}" if len(used) > 1 else f"{name} is said to be both unused and {who}",
            code="shared",
            facts=(f"ports[{index}]",),
            expected="one user",
            actual=listed(port.roles or ()),
            why="Two users of one UART talk into each other's frames: both fail, now and then or always.",
            console=say_port(case, port, roles=left) if idle and len(left) == 1 else (),
            steps=(f"See what is soldered to {name}. {_take_away(idle) if idle else _free(ports)}",),
        )


def _idle_here(case: Case, ports: tuple[Uart, ...], index: int) -> dict[str, str]:
    """Roles of a shared UART that do nothing there, and why: not needed, or carried by another UART alone."""
    idle: dict[str, str] = {}
    for role in _used(ports[index]):
        others = [port_name(one, at) for at, one in enumerate(ports) if at != index and _used(one) == [role]]
        if role in (vain := _vain(case)):
            idle[role] = f"{_NAMES[role]} is not needed, as {vain[role]}"
        elif role in ONE_UART and others:
            idle[role] = f"{_NAMES[role]} is on {listed(others)} already"
    return idle


def _take_away(idle: Mapping[str, str]) -> str:
    said = "; ".join(idle.values())
    return f"{said[:1].upper()}{said[1:]}: take it away here, unless it is this one that is wired."


def _free(ports: tuple[Uart, ...]) -> str:
    free = [port_name(one, at) for at, one in enumerate(ports) if one.roles is not None and not _used(one)]
    return (
        f"Move one of them to {either(free)}, which {'is' if len(free) == 1 else 'are'} free."
        if free
        else "No UART is free: take one of them away."
    )


def _twice(case: Case, ports: tuple[Uart, ...]) -> Iterator[Finding]:
    for role in ONE_UART:
        places = [
            at for at in _having(ports, role) if len(_used(ports[at])) == 1
        ]  # the others are shared: said already
        if len(places) < 2:
            continue
        where = [port_name(ports[at], at) for at in places]
        meant = case.craft.receiver.port if role == "receiver" else None
        extra = [at for at in places if ports[at].id != meant]
        known = len(extra) == 1 and len(places) == 2
        yield case.fail(
            f"{_NAMES[role]} has {len(places)} UARTs: {listed(where)}",
            code="double",
            facts=tuple(f"ports[{at}]" for at in places),
            expected="one UART",
            actual=listed(where),
            why="The board serves one of them, and it may not be the one that is wired.",
            console=say_port(case, ports[extra[0]], roles=("unused",)) if known else (),
            steps=(f"See which of {listed(where)} is wired, and free the {_others(case, ports, places, known)}.",),
        )


def _others(case: Case, ports: tuple[Uart, ...], places: list[int], known: bool) -> str:
    """The UARTs to be freed; of two of which nobody knows the right one, what frees each."""
    if known or len(places) > 2:
        return "other" if known else "others"
    told = [
        typed(say_port(case, ports[at], roles=("unused",)), f"to free {port_name(ports[at], at)} type") for at in places
    ]
    return f"other{''.join(told)}"


def _missing(case: Case, ports: tuple[Uart, ...]) -> Iterator[Finding]:
    said = case.sheet.roles_required or _BY_DEFAULT
    wanted = dict.fromkeys(said, "the build sheet asks for it")
    if case.craft.video.link == "digital" and not link_in_doubt(case):
        wanted.setdefault("overlay-link", "a digital link needs it")
    receiver = case.craft.receiver
    if receiver.kind == "serial":
        wanted.setdefault("receiver", "a serial receiver needs it")
    if receiver.kind == "serial" and receiver.port is not None:
        wanted.pop("receiver", None)  # receiver-type follows the receiver to its UART and reports that
    hidden = any(port.roles is None for port in ports)
    for role, reason in wanted.items():
        if not _having(ports, role) and not hidden:
            name = _NAMES.get(role, f"a UART with the role {role}")
            free = [port_name(port, at) for at, port in enumerate(ports) if not _used(port)]
            yield case.fail(
                f"no UART carries {name}; {reason}",
                code=f"missing-{role}",
                facts=("ports", "video.link") if role == "overlay-link" else ("ports",),
                expected=f"one UART with the role {role}",
                actual=f"none; free: {listed(free) or 'none'}",
                why=_WITHOUT.get(role, f"What the house standard connects there is silent: {name}."),
                steps=(
                    f"See to which UART it is wired, and give that the role {role}{_for_example(case, ports, role)}.",
                ),
            )


def _for_example(case: Case, ports: tuple[Uart, ...], role: str) -> str:
    """What to type if it is wired to the first UART that is free."""
    for at, port in enumerate(ports):
        if port.roles is not None and not _used(port):
            rate = _USUAL_BAUD if role in _SLOWEST and (port.baud or 0) < _USUAL_BAUD else None
            return typed(say_port(case, port, roles=(role,), baud=rate), f"for {port_name(port, at)} type")
    return ""


def _vain(case: Case) -> dict[str, str]:
    """Roles that this craft has no use for, and why."""
    vain: dict[str, str] = {}
    if (kind := case.craft.receiver.kind) not in (None, "serial"):
        vain["receiver"] = _ELSEWHERE.get(kind, f"the receiver is {kind}, not serial")
    if case.craft.video.link == "analog" and not link_in_doubt(case):
        vain["overlay-link"] = "the video link is analogue"
    return {role: why for role, why in vain.items() if role not in case.sheet.roles_required}


def _in_vain(case: Case, ports: tuple[Uart, ...]) -> Iterator[Finding]:
    """UARTs that are reserved for something that this craft does not have there."""
    for role, because in _vain(case).items():
        for at in (at for at in _having(ports, role) if len(_used(ports[at])) == 1):
            yield case.warn(
                f"{port_name(ports[at], at)} is kept for {_NAMES[role]}, but {because}",
                code="kept-in-vain",
                facts=(f"ports[{at}]", "receiver.kind" if role == "receiver" else "video.link"),
                expected="unused",
                actual=listed(ports[at].roles or ()),
                why="The UART is lost to others, or one of the two settings is wrong.",
                console=say_port(case, ports[at], roles=("unused",)),
                steps=("See what is fitted before the role is taken away.",),
            )


def _not_allowed(case: Case, ports: tuple[Uart, ...]) -> Iterator[Finding]:
    allowed = case.sheet.roles_allowed
    if allowed is None:
        return
    for at, port in enumerate(ports):
        strange = [role for role in _used(port) if role not in allowed]
        if strange:
            yield case.fail(
                f"{port_name(port, at)} carries {listed(strange)}, which the build sheet does not allow",
                code="not-allowed",
                facts=(f"ports[{at}]",),
                expected=f"any of {listed(allowed)}" if allowed else "unused",
                actual=listed(strange),
                console=say_port(case, port, roles=("unused",)) if len(_used(port)) == 1 else (),
                steps=("See what is connected there.",),
            )


def _rates(case: Case, ports: tuple[Uart, ...]) -> Iterator[Finding]:
    line = _receiver_line(case)
    stated = any(port.baud for port in ports)  # not every firmware states rates at all
    for at, port in enumerate(ports):
        roles = _used(port)
        meant = roles == ["receiver"] and port.id is not None and port.id == case.craft.receiver.port
        if port.baud is None and meant and line is not None and stated:
            yield case.unread(f"ports[{at}].baud")
        if port.baud is None or not roles:
            continue
        if not _LEAST_BAUD <= port.baud <= _MOST_BAUD and not ("receiver" in roles and line):
            yield _rate(case, at, port, f"{_LEAST_BAUD} to {_MOST_BAUD} baud", "Nothing answers at such a rate.")
        elif len(roles) > 1:  # whose rate it should be depends on who stays
            continue
        elif "receiver" in roles and line is not None and port.baud not in line.bauds:
            yield _receiver_rate(case, at, port)
        elif port.baud < (least := _SLOWEST.get(roles[0], _LEAST_BAUD)):
            yield case.warn(
                f"{port_name(port, at)} runs at {port.baud} baud, slow for {_NAMES[roles[0]]}",
                code="slow",
                facts=(f"ports[{at}]",),
                expected=f"{least} baud or more (common practice)",
                actual=f"{port.baud} baud",
                why="The line is slower than what is sent over it: the display lags or stays empty.",
                console=say_port(case, port, baud=least),
                steps=("Set both ends of the line to the same rate.",),
            )


def _receiver_line(case: Case) -> Line | None:
    """The line settings of the receiver's protocol; None where receiver-type finds the protocol itself wrong."""
    receiver, expected = case.craft.receiver, case.sheet.expected("receiver.protocol")
    if receiver.kind != "serial" or (expected is not None and not expected.allows(receiver.protocol)):
        return None
    if other_protocol(case) is not None:
        return None
    return LINES.get(receiver.protocol or "")


def _receiver_rate(case: Case, at: int, port: Uart) -> Finding:
    line = LINES[case.craft.receiver.protocol or ""]
    rates = either(str(baud) for baud in line.bauds)
    why = f"At another rate not one {line.name} frame is read."
    return _rate(case, at, port, f"{rates} baud ({line.source})", why, line.bauds[0])


def _rate(case: Case, at: int, port: Uart, expected: str, why: str, baud: int | None = None) -> Finding:
    users = listed(_NAMES.get(role, role) for role in _used(port))
    return case.fail(
        f"{port_name(port, at)} runs at {port.baud} baud, which cannot work for {users}",
        code="rate",
        facts=(f"ports[{at}]",),
        expected=expected,
        actual=f"{port.baud} baud",
        why=why,
        console=say_port(case, port, baud=baud),
        steps=("Set the rate that the device at the other end uses.",) if baud is None else (),
    )

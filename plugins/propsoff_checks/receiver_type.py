"""How the radio link reaches the flight controller, and whether its UART is set for it."""

from __future__ import annotations

from collections.abc import Iterator

from propsoff import Case, Finding, Uart, check
from propsoff_checks.protocols import LINES, Line, other_protocol, receiver_uart
from propsoff_checks.words import PROPELLERS_OFF, SAFETY_SOURCES, cut, either, listed, port_name, say_port, typed

_KINDS = {
    "serial": "a serial receiver on a UART of its own",
    "spi": "an SPI receiver on the board itself",
    "ppm": "a receiver that sends a pulse train (PPM)",
    "pwm": "a receiver with one pulse line for each channel (PWM)",
    "none": "no receiver",
}
_SPI = "an SPI receiver is part of the flight controller, and its firmware is updated with the flight controller's"
_WHY_KIND = {
    "none": "Without a receiver the craft hears no transmitter: it will not arm, or cannot be stopped by radio.",
    "ppm": "A pulse train carries eight channels each 22.5 ms and nothing back: no link quality in the goggles.",
    "pwm": "One line for each channel carries nothing back, and each line is one more that can break.",
    "spi": f"{_SPI[0].upper()}{_SPI[1:]}: it cannot be brought to the version of the transmitter by itself.",
    "serial": "A serial receiver is updated by itself: its version must be kept in step with the transmitter's.",
}


@check(
    "receiver-type",
    title="Receiver: its kind, protocol and UART",
    why="A receiver that the flight controller does not read leaves the craft deaf: no arming, or no way to stop it.",
    reads=("receiver", "ports"),
    sources=(
        *(line.source for line in LINES.values()),
        "mftech.de: a PPM frame is 22.5 ms with eight channels",
        "an SPI receiver's firmware is tied to the flight controller's: common practice",
        *SAFETY_SOURCES,
    ),
    caution=PROPELLERS_OFF,
)
def receiver_type(case: Case) -> Iterator[Finding]:
    """Kind against the sheet; for a serial receiver protocol, line settings and UART."""
    kind = case.craft.receiver.kind
    if kind is None:
        yield case.unread("receiver.kind")
        return
    wrong = [*_kind(case, kind)]
    if not wrong:
        wrong += _protocol(case, kind)
        wrong += _telemetry(case)
        wrong += [*_line(case), *_uart(case)] if kind == "serial" else _unlike_serial(case, kind)
    yield from wrong
    if not wrong:
        yield case.passed(_well(case, kind), facts=("receiver",), actual=_KINDS[kind])


def _well(case: Case, kind: str) -> str:
    receiver = case.craft.receiver
    if kind == "spi":
        speaks = f", {cut(receiver.protocol)}" if receiver.protocol else ""
        return f"SPI receiver{speaks}: {_SPI}"
    if kind == "serial":
        port = cut(receiver.port or "?")
        role = f"on {port}, which has the receiver role" if case.craft.ports is not None else f"on {port}"
        return f"serial receiver, {cut(receiver.protocol or '?')} {role}"
    asked = "as the build sheet has it" if case.sheet.expected("receiver.kind") else "the build sheet asks for no kind"
    return f"{_KINDS[kind]}; {asked}"


def _kind(case: Case, kind: str) -> Iterator[Finding]:
    expected = case.sheet.expected("receiver.kind")
    if expected is None and kind != "none":
        return
    if expected is not None and expected.allows(kind):
        return
    wanted = cut(str(expected)) if expected else "a receiver"
    only = expected.only if expected else None
    found = "no receiver is set up on this board"
    yield case.fail(
        found if kind == "none" else f"{_KINDS[kind]} is set up, where {wanted} is expected",
        code="kind",
        facts=("receiver.kind",),
        expected=wanted,
        actual=kind,
        why=_WHY_KIND[kind],
        settings=[("receiver.kind", only)] if only else (),
        steps=("See which receiver is fitted and on which pads it is soldered; then set the board to it.",),
    )


def _protocol(case: Case, kind: str) -> Iterator[Finding]:
    receiver = case.craft.receiver
    expected = case.sheet.expected("receiver.protocol")
    if receiver.protocol is None:
        if kind == "serial" or expected is not None:
            yield case.unread("receiver.protocol")
    elif expected is not None and not expected.allows(receiver.protocol):
        yield case.fail(
            f"the receiver is set to {cut(receiver.protocol)}, where {cut(str(expected))} is expected",
            code="protocol",
            facts=("receiver.protocol",),
            expected=str(expected),
            actual=cut(receiver.protocol),
            why="A flight controller that listens for another protocol than the receiver speaks hears nothing.",
            settings=[("receiver.protocol", expected.only)] if expected.only else (),
            steps=("Make sure that the receiver which is fitted really speaks it.",),
        )
    elif kind == "serial" and receiver.protocol not in LINES and expected is None:
        yield case.warn(
            f"{cut(receiver.protocol)} is no protocol that this check knows: its line settings were not examined",
            code="unfamiliar-protocol",
            facts=("receiver.protocol",),
            expected=f"{either(LINES)}, or what the build sheet names",
            actual=cut(receiver.protocol),
            steps=(
                "See in its papers what the receiver speaks, and set the board to that.",
                f"If it is {cut(receiver.protocol)}, say so in the build sheet: [receiver] protocol = "
                f'"{cut(receiver.protocol)}".',
            ),
        )


def _telemetry(case: Case) -> Iterator[Finding]:
    expected, found = case.sheet.expected("receiver.telemetry"), case.craft.receiver.telemetry
    if expected is None:
        return
    if found is None:
        yield case.unread("receiver.telemetry")
    elif not expected.allows(found):
        yield case.fail(
            f"telemetry over the radio link is {_on(found)}, where {_on(not found)} is expected",
            code="telemetry",
            facts=("receiver.telemetry",),
            expected=_on(not found),
            actual=_on(found),
            why="Without telemetry the transmitter can warn of neither an empty battery nor a weak link.",
            settings=[("receiver.telemetry", not found)],
        )


def _on(value: bool) -> str:
    return "on" if value else "off"


def _unlike_serial(case: Case, kind: str) -> Iterator[Finding]:
    """What the sheet says of a line and a UART, for a receiver that has neither."""
    yield from _inversion(case, None)
    yield from _duplex(case, None)
    expected, named = case.sheet.expected("receiver.port"), case.craft.receiver.port
    if expected is not None and not expected.allows(named):
        yield case.fail(
            f"the build sheet wants the receiver on {cut(str(expected))}, but {_KINDS[kind]} is set up",
            code="port",
            facts=("receiver.kind",),
            expected=str(expected),
            actual=cut(named or "on no UART"),
            why="The sheet was written for another receiver: this is not the craft that was meant, or not as built.",
            steps=("See which receiver is fitted; then mend the board's settings or the sheet.",),
        )


def _line(case: Case) -> Iterator[Finding]:
    """Inversion and half duplex: the sheet's word where it has one, else the protocol's."""
    line = LINES.get(case.craft.receiver.protocol or "")
    other = other_protocol(case)
    if other is None or line is None:
        yield from _inversion(case, line)
    else:
        yield _set_up_for(case, line, other)
    yield from _duplex(case, line)


def _set_up_for(case: Case, line: Line, other: Line) -> Finding:
    """One cause for a rate, and perhaps an inversion, that are those of another protocol."""
    port = receiver_uart(case)
    rate = port.baud if port else None
    return case.fail(
        f"the receiver is set to {line.name}, but its line is set up as for {other.name}: one of the two is wrong",
        code="set-up-for-another",
        facts=("receiver.protocol", "receiver.inverted", "receiver.port", "ports"),
        expected=f"a line as {line.name} needs it ({line.source}), or {other.name} as the protocol",
        actual=f"{line.name} at {rate} baud",
        why="Protocol and line do not agree, so not one frame is read: the craft hears no transmitter.",
        steps=(
            "See in the transmitter's or the receiver's papers which of the two this receiver speaks.",
            f"If {other.name}: set the protocol to it{typed(case.say([('receiver.protocol', other.name.lower())]))}.",
            f"If {line.name}: set its UART to {line.bauds[0]} baud, {'inverted' if line.inverted else 'not inverted'}.",
        ),
    )


def _duplex(case: Case, line: Line | None) -> Iterator[Finding]:
    found, by_sheet = case.craft.receiver.half_duplex, case.sheet.expected("receiver.half_duplex")
    if by_sheet is None and line is None:
        return
    if found is None:
        yield case.unread("receiver.half_duplex")
    elif by_sheet is not None and not by_sheet.allows(found):
        yield case.fail(
            f"the receiver's line is set to {_wires(found)}, where {_wires(not found)} is expected",
            code="half-duplex",
            facts=("receiver.half_duplex",),
            expected=_wires(not found),
            actual=_wires(found),
            settings=[("receiver.half_duplex", not found)],
        )
    elif by_sheet is None and found and line is not None:
        yield case.warn(
            f"the receiver's line is set to one wire for both directions; {line.name} is wired with one for each",
            code="half-duplex",
            facts=("receiver.half_duplex",),
            expected="one wire for each direction (common practice)",
            actual="one wire",
            why="A receiver on the receive pad is not heard when the board listens on its transmit pad.",
            settings=[("receiver.half_duplex", False)],
            steps=("If it is wired to one pad on purpose, say so in the build sheet: [receiver] half_duplex = true.",),
        )


def _wires(half_duplex: bool) -> str:
    return "one wire" if half_duplex else "two wires"


def _inversion(case: Case, line: Line | None) -> Iterator[Finding]:
    found, by_sheet = case.craft.receiver.inverted, case.sheet.expected("receiver.inverted")
    if by_sheet is None and line is None:
        return
    if found is None:
        yield case.unread("receiver.inverted")
    elif by_sheet is not None and not by_sheet.allows(found):
        yield _inverted_wrongly(case, found, "the build sheet")
    elif by_sheet is None and line is not None and found != line.inverted:
        yield _inverted_wrongly(case, found, line.source)


def _inverted_wrongly(case: Case, found: bool, source: str) -> Finding:
    said = {True: "inverted", False: "not inverted"}
    protocol = cut(case.craft.receiver.protocol or "the receiver")
    return case.fail(
        f"the receiver's line is set to {said[found]}, where {protocol} is {said[not found]}",
        code="inversion",
        facts=("receiver.inverted", "receiver.protocol"),
        expected=f"{said[not found]} ({source})",
        actual=said[found],
        why="With the wrong inversion not one frame is read: the craft hears no transmitter.",
        settings=[("receiver.inverted", not found)],
        steps=(
            "If the board or the receiver inverts in hardware, say so in the build sheet: [receiver] inverted = "
            f"{'true' if found else 'false'}.",
        ),
    )


def _uart(case: Case) -> Iterator[Finding]:
    """The UART that the receiver is set to is there and has the receiver role."""
    named, ports = case.craft.receiver.port, case.craft.ports
    expected = case.sheet.expected("receiver.port")
    if named is None:
        yield case.unread("receiver.port")
    elif expected is not None and not expected.allows(named):
        yield case.fail(
            f"the receiver is set to {cut(named)}, where {cut(str(expected))} is expected",
            code="port",
            facts=("receiver.port",),
            expected=str(expected),
            actual=cut(named),
            why="The house wires each receiver to the same UART; on another one nobody hears it.",
            settings=[("receiver.port", expected.only)] if expected.only else (),
            steps=("See on which UART the receiver is soldered.",),
        )
    elif ports:  # an unread or empty list is the finding of port-roles
        there = [(index, port) for index, port in enumerate(ports) if port.id == named]
        if not there:
            yield _no_such_uart(case, named, ports)
        elif there[0][1].roles is None:
            yield case.unread(f"ports[{there[0][0]}].roles")
        elif "receiver" not in there[0][1].roles:
            yield _no_role(case, there[0][0], there[0][1], ports)


def _no_such_uart(case: Case, named: str, ports: tuple[Uart, ...]) -> Finding:
    has = either(port_name(port, index) for index, port in enumerate(ports))
    meant = [port.id for port in ports if port.id and "receiver" in (port.roles or ())]
    known = f": {meant[0]} has its role{typed(case.say([('receiver.port', meant[0])]))}" if len(meant) == 1 else ""
    return case.fail(
        f"the receiver is set to {cut(named)}, which this board does not have",
        code="no-such-port",
        facts=("receiver.port", "ports"),
        expected=f"{has}",
        actual=cut(named),
        why="The flight controller listens nowhere: the craft hears no transmitter.",
        steps=(f"See on which UART the receiver is soldered, and set the receiver to it{known}.",),
    )


def _no_role(case: Case, index: int, port: Uart, ports: tuple[Uart, ...]) -> Finding:
    others = [port_name(one, at) for at, one in enumerate(ports) if one.roles and "receiver" in one.roles]
    elsewhere = f"; {listed(others)} has it instead" if others else ""
    has = listed(port.roles or ()) or "no role"
    free = not others and port.roles in ((), ("unused",))
    return case.fail(
        f"the receiver is set to {port_name(port, index)}, but that UART does not have the receiver role{elsewhere}",
        code="role-missing",
        facts=("receiver.port", f"ports[{index}]"),
        expected=f"{port_name(port, index)}: receiver",
        actual=f"{port_name(port, index)}: {has}",
        why="Nobody reads that UART: the craft hears no transmitter.",
        console=say_port(case, port, roles=("receiver",), baud=_rate(case)) if free else (),
        steps=(
            f"If the receiver is not soldered to {port_name(port, index)}, set it to the UART where it is instead.",
        ),
    )


def _rate(case: Case) -> int | None:
    line = LINES.get(case.craft.receiver.protocol or "")
    return line.bauds[0] if line else None

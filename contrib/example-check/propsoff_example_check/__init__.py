"""An example of a check by somebody else: is a UART left free?"""

from __future__ import annotations

from collections.abc import Iterator

from propsoff import Case, Check, Finding, check, hookimpl


@check(
    "spare-port",
    title="A spare UART",
    why="Without a free UART the next device, a positioning receiver say, means unsoldering another.",
    reads=("ports",),
    sources=("a rule of our own workshop",),
    caution="Propellers off, battery unplugged before anything is soldered.",
)
def spare_port(case: Case) -> Iterator[Finding]:
    """Warn when every UART is taken. Facts that were not read give `unknown`, never a pass."""
    ports = case.craft.ports
    if ports is None or any(port.roles is None for port in ports):
        yield case.unread("ports")
        return
    free = [port.id or "a nameless one" for port in ports if port.roles in ((), ("unused",))]
    if free:
        yield case.passed(f"free: {', '.join(free)}", facts=("ports",))
    else:
        yield case.warn(
            "no UART is free",
            facts=("ports",),
            expected="at least one free UART",
            actual=f"all {len(ports)} are taken",
            steps=("See which device this craft can do without.",),
        )


@hookimpl
def propsoff_checks() -> tuple[Check, ...]:
    """What propsoff asks each plug-in for, once, at start."""
    return (spare_port,)

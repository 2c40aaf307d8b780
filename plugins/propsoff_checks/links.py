"""Whether the board contradicts itself about its video link, and how that is told."""

from __future__ import annotations

from collections.abc import Sequence

from propsoff import Case, Finding, at_least
from propsoff_checks.words import typed

NAMED = {"analog": "analogue", "digital": "digital"}
"""The kinds of video link in words."""


def link_in_doubt(case: Case) -> bool:
    """Whether overlay and UARTs agree with each other and not with the video link that is set.

    Where the build sheet names the link and the board agrees, there is no doubt about it.
    """
    link, system, ports = case.craft.video.link, case.craft.overlay.system, case.craft.ports
    expected = case.sheet.expected("video.link")
    if ports is None or system is None or (expected is not None and expected.allows(link)):
        return False
    carried = any("overlay-link" in (port.roles or ()) for port in ports)
    hidden = any(port.roles is None for port in ports)
    if link == "analog":
        return system == "digital" and carried
    return link == "digital" and system != "digital" and not carried and not hidden


def digital_floor(case: Case) -> str | None:
    """The oldest firmware that knows the digital grid, where the dialect says which."""
    return case.tongue.since("digital-grid") if case.tongue is not None else None


def before_digital(case: Case) -> bool:
    """Whether the firmware is known to be older than the digital grid; that explains an analogue overlay."""
    version, floor = case.craft.firmware.version, digital_floor(case)
    return version is not None and floor is not None and at_least(version, floor) is False


def doubted(case: Case, link: str, explains: Sequence[str] = ()) -> Finding:
    """The finding that the link is in doubt."""
    other = NAMED["analog" if link == "digital" else "digital"]
    return case.fail(
        f"the video link is set to {NAMED[link]}, but overlay and UARTs are set up as for a link that is {other}",
        code="link-in-doubt",
        facts=("video.link", "overlay.system", "ports"),
        expected="link, overlay and UARTs that agree",
        actual=f"link {link}, overlay {case.craft.overlay.system}",
        why="One of them is wrong; until it is known which, the overlay may not be drawn at all.",
        steps=(
            f"See which video transmitter is fitted. If it is {other}: set the video link to that"
            f"{typed(case.say([('video.link', 'analog' if link == 'digital' else 'digital')]))}. "
            f"If it is {NAMED[link]}: set up overlay and UARTs for that. Then inspect the craft again.",
        ),
        explains=explains,
    )

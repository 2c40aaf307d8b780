"""Whether the board contradicts itself about its video link."""

from __future__ import annotations

from propsoff import Case


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

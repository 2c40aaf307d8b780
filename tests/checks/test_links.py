"""When overlay and UARTs speak against the video link that is set."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import pytest

from propsoff import Case
from propsoff_checks.links import link_in_doubt
from propsoff_checks.port_roles import port_roles
from tests_support.crafts import PORTS, Bench

CARRIED = PORTS
FREE = tuple(port for port in PORTS if "overlay-link" not in port["roles"])  # type: ignore[operator]  # all are tuples
HIDDEN: dict[str, object] = {"id": "U5", "roles": None}


def doubt(
    bench: Bench,
    link: str | None,
    system: str | None,
    ports: Iterable[Mapping[str, object]] | None,
    expect: Mapping[str, object] | None = None,
) -> bool:
    craft, lines = bench.craft({"video.link": link, "overlay.system": system}, ports=ports)
    return link_in_doubt(Case(port_roles, craft, bench.sheet(expect=expect or {}), None, lines))


@pytest.mark.parametrize(
    ("link", "system", "ports", "expected"),
    [
        # A digital overlay travels over a UART to the video transmitter, an analogue one does not: common practice.
        ("analog", "digital", CARRIED, True),
        ("analog", "digital", (*CARRIED, HIDDEN), True),
        ("analog", "digital", FREE, False),
        ("analog", "pal", CARRIED, False),
        ("analog", "pal", FREE, False),
        ("digital", "pal", FREE, True),
        ("digital", "auto", FREE, True),
        ("digital", "pal", (*FREE, HIDDEN), False),  # it may stand on the UART that was not read
        ("digital", "pal", CARRIED, False),
        ("digital", "digital", FREE, False),
        ("digital", "digital", CARRIED, False),
        ("digital", None, FREE, False),
        ("analog", None, CARRIED, False),
        ("digital", "pal", None, False),
        ("analog", "digital", None, False),
        (None, "digital", CARRIED, False),
        (None, "pal", FREE, False),
    ],
)
def test_the_link_is_in_doubt_where_overlay_and_uarts_agree_against_it(
    bench: Bench, link: str | None, system: str | None, ports: Iterable[Mapping[str, object]] | None, expected: bool
) -> None:
    assert doubt(bench, link, system, ports) is expected


@pytest.mark.parametrize(("link", "system", "ports"), [("analog", "digital", CARRIED), ("digital", "pal", FREE)])
def test_a_sheet_that_names_the_link_settles_it(
    bench: Bench, link: str, system: str, ports: Iterable[Mapping[str, object]]
) -> None:
    other = {"analog": "digital", "digital": "analog"}[link]
    assert not doubt(bench, link, system, ports, {"video.link": link})
    assert doubt(bench, link, system, ports, {"video.link": other})

"""Craft on one bench on one day: which of their video transmitters disturb each other."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from propsoff import Case, Finding, Neighbour
from propsoff_checks.video_channels import NARROWEST_MHZ, channels_at, hit_triples, is_near
from propsoff_checks.words import listed

_APART = (
    "Power one video transmitter at a time on the bench, or give one of the craft another channel.",
    "Before they fly together, choose the channels of all of them together.",
)
_MOST_TRIPLES = 3


def named(mhz: int) -> str:
    """A frequency, with the channels that mean it."""
    channels = channels_at(mhz)
    return f"{mhz} MHz ({'/'.join(channels)})" if channels else f"{mhz} MHz"


def neighbours(case: Case, own_mhz: int) -> Iterator[Finding]:
    """Craft on the same channel, on one that is too near, and third-order products; each a warning of its own."""
    same = [one for one in case.neighbours if one.frequency_mhz == own_mhz]
    near = [one for one in case.neighbours if one.frequency_mhz != own_mhz and is_near(one.frequency_mhz, own_mhz)]
    if same:
        yield _warned(
            case,
            f"this craft sends on {named(own_mhz)}, as others seen on this bench today do: {_crafts(same)}",
            code="same-channel",
            expected="a channel of its own, where craft are powered together",
            actual=named(own_mhz),
        )
    if near:
        others = listed(named(mhz) for mhz in sorted({one.frequency_mhz for one in near}))
        yield _warned(
            case,
            f"this craft sends on {named(own_mhz)}, too near to {others} of others seen on this bench today: "
            f"{_crafts(near)}",
            code="near-channel",
            expected=f"at least {NARROWEST_MHZ} MHz apart, as the bands have their channels",
            actual=f"{min(abs(one.frequency_mhz - own_mhz) for one in near)} MHz apart",
        )
    yield from _products(case, own_mhz)


def _products(case: Case, own_mhz: int) -> Iterator[Finding]:
    triples = list(hit_triples(own_mhz, {one.frequency_mhz for one in case.neighbours}))
    if not triples:
        return
    concerned = {mhz for triple in triples for mhz in triple} - {own_mhz}
    shown = [f"{first} and {second} MHz on {hit} MHz" for first, second, hit in triples[:_MOST_TRIPLES]]
    yield _warned(
        case,
        f"third-order products of craft seen on this bench today fall on a channel in use: {listed(shown)}",
        code="third-order",
        expected="no 2 f1 - f2 of two channels on a third",
        actual=f"own {named(own_mhz)}; {_crafts(one for one in case.neighbours if one.frequency_mhz in concerned)}",
    )


def _crafts(crafts: Iterable[Neighbour]) -> str:
    return listed(dict.fromkeys(one.craft for one in crafts))


def _warned(case: Case, summary: str, *, code: str, expected: str, actual: str) -> Finding:
    return case.warn(
        summary[:400],
        code=code,
        facts=("video.frequency_mhz", "video.band", "video.channel"),
        expected=expected,
        actual=actual,
        why="Powered together, each puts stripes or a stranger's picture into the goggles of the other.",
        steps=_APART,
    )

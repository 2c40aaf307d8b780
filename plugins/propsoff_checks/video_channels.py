"""The channels of analogue video at 5.8 GHz: which frequency a band and a number mean, and what disturbs what."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from types import MappingProxyType

BANDS: Mapping[str, tuple[int, ...]] = MappingProxyType(
    {
        # A wiki table (wiki.courat.fr); no standard defines them. n is the number of the channel.
        "A": (5865, 5845, 5825, 5805, 5785, 5765, 5745, 5725),  # 5885 - 20 n
        "B": (5733, 5752, 5771, 5790, 5809, 5828, 5847, 5866),  # 5714 + 19 n
        "E": (5705, 5685, 5665, 5645, 5885, 5905, 5925, 5945),  # no formula
        "F": (5740, 5760, 5780, 5800, 5820, 5840, 5860, 5880),  # 5720 + 20 n
        "R": (5658, 5695, 5732, 5769, 5806, 5843, 5880, 5917),  # 5621 + 37 n
    }
)
"""Centres in MHz by band; the first is channel 1."""

NARROWEST_MHZ = 19
"""The least distance of two channels that one band gives (band B): nearer ones no band means to be used together."""


def centre_mhz(band: str, channel: int) -> int | None:
    """The centre of a channel; None where the table has no such band or number."""
    row = BANDS.get(band.upper(), ())
    return row[channel - 1] if 1 <= channel <= len(row) else None


def channels_at(mhz: int) -> list[str]:
    """The channels with this centre: 5880 is F8 and R7."""
    return [f"{band}{number}" for band, row in BANDS.items() for number, centre in enumerate(row, 1) if centre == mhz]


def third_order(first_mhz: int, second_mhz: int) -> tuple[int, int]:
    """What two transmitters make together beside themselves: 2 f1 - f2 and 2 f2 - f1."""
    return 2 * first_mhz - second_mhz, 2 * second_mhz - first_mhz


def is_near(first_mhz: int, second_mhz: int) -> bool:
    """Whether two centres are nearer than any band puts two channels of its own."""
    return abs(first_mhz - second_mhz) < NARROWEST_MHZ


def falls_on(product_mhz: int, centre: int) -> bool:
    """Whether a product is nearer to this centre than half-way to the next channel of the narrowest band (9.5 MHz)."""
    return 2 * abs(product_mhz - centre) < NARROWEST_MHZ


def hit_triples(own_mhz: int, others_mhz: Iterable[int]) -> Iterator[tuple[int, int, int]]:
    """(f1, f2, hit): a third-order product of two of these frequencies falls on a third, the craft's own among them.

    Frequencies that are too near to each other for that to matter are left out: they disturb each other anyway.
    """
    others = sorted({mhz for mhz in others_mhz if not is_near(mhz, own_mhz)})
    for at, one in enumerate(others):
        for two in others[at + 1 :]:
            if is_near(one, two):
                continue
            for first, second, hit in ((one, two, own_mhz), (own_mhz, one, two), (own_mhz, two, one)):
                low, high = third_order(first, second)
                if falls_on(low, hit) or falls_on(high, hit):
                    yield first, second, hit

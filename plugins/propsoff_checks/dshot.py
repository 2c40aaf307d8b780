"""DShot: how long a frame takes on the wire, and whether one fits into a turn of the control loop."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

FRAME_BITS = 16
"""An 11-bit value, the telemetry bit and 4 bits of check: ESP-IDF, dshot_esc_encoder.c."""

KBIT_PER_S: Mapping[str, int] = MappingProxyType({f"dshot{rate}": rate for rate in (150, 300, 600, 1200)})
"""Bit rates by protocol; the number in the name is the rate."""


def frame_us(protocol: str) -> float:
    """How long one frame takes, in us. Raises KeyError for a protocol that is no DShot."""
    return FRAME_BITS * 1000 / KBIT_PER_S[protocol]


def period_us(loop_hz: int) -> float:
    """How long one turn of the control loop takes, in us. Raises ZeroDivisionError for 0 Hz."""
    return 1_000_000 / loop_hz


def fits(protocol: str, loop_hz: int) -> bool:
    """Whether a frame is over before the next is due. Raises as `frame_us` and `period_us` do."""
    return frame_us(protocol) <= period_us(loop_hz)


def slowest_that_fits(protocols: Mapping[str, int], loop_hz: int) -> str | None:
    """The slowest of these DShot rates whose frame fits; None when none does."""
    return next((name for name in sorted(protocols, key=protocols.__getitem__) if fits(name, loop_hz)), None)


def rates_in_doubt(loop_hz: int) -> tuple[float, float]:
    """The lowest and highest rate in Hz that a console may mean which counts the loop in whole microseconds.

    62 us reads as 16129 Hz and may be 16 kHz. Where the rate is no whole number of microseconds both are the rate.
    """
    whole = round(period_us(loop_hz))
    if whole < 1 or round(1_000_000 / whole) != loop_hz:
        return float(loop_hz), float(loop_hz)
    return 1_000_000 / (whole + 0.5), 1_000_000 / (whole - 0.5)


def rpm(electrical_hz: float, poles: int) -> float:
    """Turns a minute of a motor whose windings change at this frequency: 60 f / pole pairs (TI SPRUHJ1I)."""
    return 60 * electrical_hz / (poles / 2)

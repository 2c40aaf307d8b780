"""The questions that checks know by their ids: a sheet that asks one of them lets these checks judge more."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from propsoff.sheets.model import AnswerKind

VIDEO_TRANSMITTER_FIRMWARE = "video-transmitter-firmware"
GOGGLES_FIRMWARE = "goggles-firmware"
RECEIVER_FIRMWARE = "receiver-firmware"
RECEIVER_BOUND = "receiver-bound"
ANTENNA_FITTED = "antenna-fitted"
PROPELLERS_OFF = "propellers-off"
UPDATE_ADAPTER = "update-adapter"
BATTERY_CONNECTOR = "battery-connector"
FRAME_GEOMETRY = "frame-geometry"


@dataclass(frozen=True, slots=True)
class WellKnown:
    """A question that checks know by its id: the kinds that its answer may be, and what it is about."""

    id: str
    kinds: tuple[AnswerKind, ...]
    about: str


WELL_KNOWN: Mapping[str, WellKnown] = MappingProxyType(
    {
        each.id: each
        for each in (
            WellKnown(VIDEO_TRANSMITTER_FIRMWARE, ("version",), "firmware of the video transmitter on the craft"),
            WellKnown(GOGGLES_FIRMWARE, ("version",), "firmware of the goggles that the craft is flown with"),
            WellKnown(RECEIVER_FIRMWARE, ("version",), "firmware of the radio receiver"),
            WellKnown(RECEIVER_BOUND, ("yes-no",), "the receiver is bound to the transmitter"),
            WellKnown(ANTENNA_FITTED, ("yes-no",), "the antenna of the video transmitter is fitted"),
            WellKnown(PROPELLERS_OFF, ("yes-no",), "all propellers are off"),
            WellKnown(
                UPDATE_ADAPTER,
                ("yes-no",),
                "the adapter without which the video transmitter cannot be updated is in the box",
            ),
            WellKnown(BATTERY_CONNECTOR, ("choice", "text"), "connector of the flight battery"),
            WellKnown(FRAME_GEOMETRY, ("choice", "text"), "shape of the frame, as the motors stand"),
        )
    }
)
"""The questions by their ids."""

"""What a drafted sheet says in comments."""

from __future__ import annotations

from collections.abc import Mapping

OPENING = """\
Drafted from a craft: {source}.
It says what was read from that craft, so it is right only if that craft is. Take out what does not matter, loosen what
may differ, and look at every value once. Then: propsoff sheet check FILE"""

SAID_OF: Mapping[str, str] = {
    "board.name": "chooses this sheet already",
    "board.serial": "each board has its own",
    "craft.name": "each craft may have its own",
    "firmware.name": "seldom needs saying",
    "firmware.built": "goes with the version",
    "video.band": "each craft on the air needs its own",
    "video.channel": "each craft on the air needs its own",
    "video.frequency_mhz": "each craft on the air needs its own",
    "battery.volts": "measured now, no setting",
    "logger.free_bytes": "measured now, no setting",
}
"""Facts that are read and are no part of a house standard, and why."""

ENDING = """\
# [tolerances]
# "channels.centre" = 5
#
# [arming]
# normal = ["usb-connected"]
#
# [checks.skip]
# failsafe = "why it does not apply to these craft"
#
# [[waivers]]
# finding = "overlay-canvas/cramped"
# reason = "why it may be so"
# until = 2099-12-31
#
# [[questions]]
# id = "propellers-off"
# ask = "Are all propellers off?"
# kind = "yes-no"
# expected = "yes"
"""
"""What else a sheet can say; each is a sheet's part when the marks are taken away."""

"""The catalogue of single faults: what each must produce on a simulated board, and nothing else.

A finding is written as OUTCOME CHECK/CODE, an effect with its cause behind it. `HOUSE` is against a sheet that says no
more than which grid the goggles draw, `FULL` against one that asks for everything. Boards and faults are inventions for
the demonstration.
"""

from __future__ import annotations

from collections.abc import Mapping

HOUSE: Mapping[str, tuple[str, ...]] = {
    "receiver-port-unused": ("fail receiver-type/role-missing",),
    "receiver-inverted": ("fail receiver-type/inversion",),
    "receiver-half-duplex": ("warn receiver-type/half-duplex",),
    "receiver-none": ("fail receiver-type/kind",),
    "receiver-ppm": ("fail receiver-type/kind",),
    "receiver-pwm": ("fail receiver-type/kind",),
    "receiver-port-missing": ("fail receiver-type/no-such-port",),
    "receiver-no-port": ("unknown receiver-type/unread",),
    "no-protocol": ("unknown receiver-type/unread",),
    "receiver-other-protocol": ("fail receiver-type/set-up-for-another",),
    "receiver-odd-protocol": ("warn receiver-type/unfamiliar-protocol",),
    "receiver-odd-kind": ("unknown receiver-type/unread",),
    "order-taer": ("fail channel-order/order",),
    "order-eatr": ("fail channel-order/order",),
    "order-aert": ("fail channel-order/order",),
    "order-repeated": ("fail channel-order/incomplete",),
    "order-missing": ("fail channel-order/incomplete",),
    "order-empty": (
        "unknown channel-order/unread",
        "unknown channel-range/unread <channel-order/unread>",
    ),
    "endpoints-short": (
        "warn channel-range/low-end",
        "warn channel-range/high-end",
    ),
    "endpoints-reversed": ("fail channel-range/reversed",),
    "centre-off": ("fail channel-range/centre",),
    "sticks-off-centre": (
        "fail channel-range/centre-trim",
        "fail channel-range/centre-trim",
    ),
    "sticks-dead": ("fail channel-range/no-pulse",),
    "throttle-raised": (
        "fail channel-range/throttle-raised",
        "warn arming-blocks/throttle-not-low <channel-range/throttle-raised>",
    ),
    "sticks-few": ("fail switch-plan/channel-missing",),
    "no-arm-switch": ("fail switch-plan/missing-arm",),
    "no-switches": ("fail switch-plan/missing-arm",),
    "arm-span-turned": ("fail switch-plan/range-turned",),
    "arm-span-narrow": ("fail switch-plan/range-narrow",),
    "arm-always": ("fail switch-plan/arm-always",),
    "arm-on-stick": ("fail switch-plan/arm-on-stick",),
    "arm-channel-missing": ("fail switch-plan/channel-missing",),
    "arm-switch-on": (
        "fail switch-plan/arm-on",
        "warn arming-blocks/arm-switch-on <switch-plan/arm-on>",
    ),
    "switches-overlap": ("fail switch-plan/overlap",),
    "small-grid": ("fail overlay-canvas/grid",),
    "analog-grid-on-digital": ("fail overlay-canvas/system",),
    "auto-grid-on-digital": ("fail overlay-canvas/system",),
    "digital-on-analog": ("fail overlay-canvas/system",),
    "wrong-standard": ("fail overlay-canvas/rows",),
    "odd-grid": ("fail overlay-canvas/grid",),
    "large-grid": ("fail overlay-canvas/grid",),
    "old-firmware": (
        "fail firmware-level/below-digital-grid",
        "fail overlay-canvas/firmware-too-old <firmware-level/below-digital-grid>",
    ),
    "overlay-off": ("warn overlay-canvas/switched-off",),
    "layout-cramped": ("warn overlay-layout/small-layout",),
    "element-off-grid": ("fail overlay-layout/outside",),
    "layout-for-50x18": ("warn overlay-layout/small-layout",),
    "layout-for-53x20": ("fail overlay-layout/outside",),
    "element-left-of-grid": ("fail overlay-layout/outside",),
    "element-below-grid": ("fail overlay-layout/outside",),
    "element-flat": ("fail overlay-layout/no-width",),
    "element-wider-than-grid": ("fail overlay-layout/outside",),
    "elements-collide": ("fail overlay-layout/overlap",),
    "elements-stacked": ("fail overlay-layout/overlap",),
    "elements-crowded": (
        "warn overlay-layout/many-elements",
        "fail overlay-layout/overlap",
    ),
    "elements-hidden": ("warn overlay-layout/none-shown",),
    "grid-zero": (
        "fail overlay-canvas/absurd-size",
        "unknown overlay-layout/no-grid <overlay-canvas/absurd-size>",
    ),
    "grid-huge": (
        "fail overlay-canvas/absurd-size",
        "unknown overlay-layout/no-grid <overlay-canvas/absurd-size>",
    ),
    "battery-hidden": ("warn overlay-layout/required-hidden",),
    "battery-element-missing": ("warn overlay-layout/required-missing",),
    "warnings-hidden": ("warn overlay-layout/required-hidden",),
    "link-quality-hidden": ("warn overlay-layout/required-hidden",),
    "timer-element-missing": ("warn overlay-layout/required-missing",),
    "no-elements": ("warn overlay-layout/none-shown",),
    "frequency-off": ("fail video-link/other-frequency",),
    "band-unknown": ("warn video-link/unknown-band",),
    "power-high": ("warn video-link/bench-power",),
    "link-other": (
        "fail video-link/link-in-doubt",
        "fail overlay-canvas/link-in-doubt <video-link/link-in-doubt>",
    ),
    "two-roles": ("fail port-roles/shared",),
    "receiver-and-overlay": ("fail port-roles/shared",),
    "two-receivers": ("fail port-roles/double",),
    "two-overlay-links": ("fail port-roles/double",),
    "overlay-link-missing": ("fail port-roles/missing-overlay-link",),
    "bad-baud": ("fail port-roles/rate",),
    "bad-baud-overlay": ("warn port-roles/slow",),
    "zero-baud": ("fail port-roles/rate",),
    "console-lost": ("fail port-roles/missing-console",),
    "console-shared": ("fail port-roles/shared",),
    "odd-duty": ("unknown port-roles/unread",),
    "no-ports": ("fail port-roles/no-uart",),
    "cells-wrong": ("fail battery-limits/above-full",),
    "cells-zero": ("fail battery-limits/absurd-cells",),
    "pack-flat": ("fail battery-limits/below-low",),
    "scale-off": ("warn battery-limits/below-warning",),
    "cell-low-deep": ("warn battery-limits/below-floor",),
    "cell-limits-crossed": ("fail battery-limits/limits-crossed",),
    "cell-full-high": ("warn battery-limits/high-full",),
    "motors-analog": ("warn motor-output/pulses",),
    "dshot-too-slow": ("fail motor-output/frame-too-long",),
    "two-way-on-pwm": (
        "warn motor-output/pulses <motor-output/two-way-without-dshot>",
        "fail motor-output/two-way-without-dshot",
    ),
    "poles-odd": ("fail motor-output/odd-poles",),
    "idle-zero": ("fail motor-output/no-idle",),
    "idle-high": ("warn motor-output/high-idle",),
    "failsafe-hold": ("fail failsafe/hold",),
    "failsafe-return": ("fail failsafe/return-without-positioning",),
    "failsafe-late": ("fail failsafe/late",),
    "failsafe-throttle": ("fail failsafe/throttle",),
    "gyro-missing": (
        "fail sensors/gyro-missing",
        "fail arming-blocks/gyro-missing <sensors/gyro-missing>",
    ),
    "accelerometer-missing": ("fail sensors/accelerometer-missing",),
    "tilted": ("warn arming-blocks/not-level",),
    "blocked-many": (
        "warn arming-blocks/throttle-not-low",
        "warn arming-blocks/not-level",
        "fail arming-blocks/gyro-missing",
        "warn arming-blocks/arm-switch-on",
    ),
    "odd-block": ("warn arming-blocks/unfamiliar",),
    "malformed-value": ("unknown channel-range/unread",),
    "malformed-volts": ("unknown battery-limits/unread",),
    "malformed-baud": ("unknown port-roles/unread",),
    "malformed-grid": ("unknown overlay-layout/place-unread",),
    "value-empty": ("unknown failsafe/unread",),
    "value-huge": ("unknown motor-output/unread",),
    "value-negative": ("fail failsafe/delay-absurd",),
}

SHEET = """
format = 1
name = "full"
title = "Everything that a bench can ask of the simulated craft"

[match]
craft = "*"

[craft]
name = "Teal Wren"

[ports]
required = ["console", "esc-telemetry"]

[receiver]
telemetry = true

[overlay]
required = ["battery", "timer", "link-quality", "warnings"]

[switches]
required = ["arm", "beeper"]

[video]
region = "us-amateur"

[battery]
chemistry = "lipo"
cells = 6

[motors]
protocol = { pattern = "dshot*" }
bidirectional = true
poles = 14
reversed = false
loop_hz = { from = 3900 }

[failsafe]
action = "drop"

[sensors]
gyro = "found"
accelerometer = "found"
barometer = "missing"

[logger]
device = "flash"
free_bytes = { from = 1048576 }
"""
"""For boards whose receiver reports back."""

FULL: Mapping[str, tuple[str, ...]] = {
    "no-telemetry": ("fail receiver-type/telemetry",),
    "no-beeper-switch": ("fail switch-plan/missing-beeper",),
    "channel-outside": ("fail video-link/outside-region",),
    "esc-telemetry-missing": ("fail port-roles/missing-esc-telemetry",),
    "no-two-way": ("fail motor-output/two-way",),
    "poles-other": ("fail motor-output/poles",),
    "motors-reversed": ("fail motor-output/direction",),
    "loop-slow": ("fail motor-output/loop",),
    "failsafe-land": ("fail failsafe/action",),
    "barometer-fitted": ("fail sensors/barometer-unexpected",),
    "no-logger": ("fail build-facts/recorder", "fail build-facts/recorder-room <build-facts/recorder>"),
    "logger-full": ("fail build-facts/recorder-room",),
    "logger-card": ("fail build-facts/recorder", "fail build-facts/recorder-room <build-facts/recorder>"),
    "unnamed": ("fail build-facts/name",),
    "battery-hidden": ("fail overlay-layout/required-hidden",),
    "cell-low-deep": ("fail battery-limits/below-floor",),
}

"""The checks that ship with propsoff: a plug-in like any other, made of the public names of `propsoff` alone."""

from __future__ import annotations

from propsoff import Check, hookimpl


@hookimpl
def propsoff_checks() -> tuple[Check, ...]:
    """The built-in checks, in the order in which a person would look."""
    from propsoff_checks.arming_blocks import arming_blocks
    from propsoff_checks.battery_limits import battery_limits
    from propsoff_checks.build_facts import build_facts
    from propsoff_checks.channel_order import channel_order
    from propsoff_checks.channel_range import channel_range
    from propsoff_checks.cross_checks import cross_checks
    from propsoff_checks.failsafe import failsafe
    from propsoff_checks.firmware_level import firmware_level
    from propsoff_checks.hand_notes import hand_notes
    from propsoff_checks.motor_output import motor_output
    from propsoff_checks.overlay_canvas import overlay_canvas
    from propsoff_checks.overlay_layout import overlay_layout
    from propsoff_checks.port_roles import port_roles
    from propsoff_checks.receiver_type import receiver_type
    from propsoff_checks.sensors import sensors
    from propsoff_checks.switch_plan import switch_plan
    from propsoff_checks.video_link import video_link

    return (
        firmware_level,
        receiver_type,
        channel_order,
        channel_range,
        switch_plan,
        failsafe,
        port_roles,
        video_link,
        overlay_canvas,
        overlay_layout,
        battery_limits,
        motor_output,
        sensors,
        arming_blocks,
        build_facts,
        hand_notes,
        cross_checks,
    )

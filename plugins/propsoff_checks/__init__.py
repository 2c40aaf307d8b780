"""The checks that ship with propsoff: a plug-in like any other, made of the public names of `propsoff` alone."""

from __future__ import annotations

from propsoff import Check, hookimpl


@hookimpl
def propsoff_checks() -> tuple[Check, ...]:
    """The built-in checks, in the order in which a person would look."""
    from propsoff_checks.channel_order import channel_order
    from propsoff_checks.overlay_canvas import overlay_canvas
    from propsoff_checks.port_roles import port_roles
    from propsoff_checks.receiver_type import receiver_type

    return (receiver_type, channel_order, port_roles, overlay_canvas)

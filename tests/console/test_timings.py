"""The waits of a conversation."""

from __future__ import annotations

import pytest

from propsoff.console.timings import Timings


def test_scaling_changes_waits_and_leaves_caps() -> None:
    scaled = Timings().scaled(0.5)
    assert scaled.wake_s == Timings().wake_s / 2
    assert scaled.inbox_bytes == Timings().inbox_bytes


@pytest.mark.parametrize("value", [-1.0, float("nan")])
def test_a_wait_that_is_no_wait_is_refused_by_name(value: float) -> None:
    with pytest.raises(ValueError, match="wake_s"):
        Timings(wake_s=value)


def test_quiet_is_the_longer_the_fewer_signs_there_are() -> None:
    timings = Timings()
    assert timings.quiet_marked_s < timings.quiet_s < timings.stall_s

"""The arithmetic of pulses against the CRSF specification, gpiozero's servo, and what must hold for all of them."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from propsoff_checks.pulses import (
    CENTRE_US,
    HIGH_US,
    LEAST_US,
    LOW_US,
    MOST_US,
    NARROW_US,
    Travel,
    correction_percent,
    covers,
    crsf_us,
    is_pulse,
    meets,
    off_by,
    overlapping,
    shared_us,
    throttle_bound_us,
    within_reach,
)

US = st.integers(0, 3000)
RANGES = st.lists(st.tuples(US, US), max_size=12)


def test_a_servo_goes_from_1000_to_2000_and_rests_at_1500() -> None:
    # gpiozero 2.0.1: Servo(min_pulse_width=1/1000, max_pulse_width=2/1000), frame 20 ms. Read by running it.
    assert (LOW_US, CENTRE_US, HIGH_US) == (1000, 1500, 2000)
    assert Travel().positions == (("low", 1000), ("middle", 1500), ("high", 2000))


# CRSF protocol specification (crsf.md): us = (ticks - 992) * 5/8 + 1500. 172 and 1811 as ends: from memory, computed.
@pytest.mark.parametrize(
    ("ticks", "us"),
    [(192, 1000), (992, 1500), (1792, 2000), (172, 987.5), (1811, 2011.875), (0, 880), (2047, 2159.375)],
)
def test_crsf_ticks_are_pulses_as_the_specification_says(ticks: int, us: float) -> None:
    assert crsf_us(ticks) == us


def test_every_value_that_crsf_can_send_is_a_pulse_and_what_no_channel_sends_is_none() -> None:
    assert all(is_pulse(round(crsf_us(ticks))) for ticks in range(2**11))  # 11 bits a channel
    assert [is_pulse(us) for us in (799, 800, 2200, 2201)] == [False, True, True, False]
    assert (LEAST_US, MOST_US) == (800, 2200)
    assert not any(map(is_pulse, (0, 65535, -1500, 1)))


# Half-range wanted / half-range measured: CRSF's common ends read 988 and 2012, 500/512 = 97.65625 % (computed).
@pytest.mark.parametrize(
    ("reading", "centre", "wanted", "percent"),
    [
        (988, 1500, 1000, 97.65625),
        (2012, 1500, 2000, 97.65625),
        (1012, 1500, 1000, 50000 / 488),
        (1100, 1500, 1000, 125.0),
        (1900, 1500, 2000, 125.0),
        (1000, 1500, 1000, 100.0),
        (1010, 1510, 1000, 102.0),
    ],
)
def test_an_end_is_corrected_by_half_range_wanted_over_half_range_measured(
    reading: int, centre: int, wanted: int, percent: float
) -> None:
    assert correction_percent(reading, centre, wanted) == pytest.approx(percent, abs=1e-9)


@pytest.mark.parametrize("reading", [1500, 1501, 2000, 9000])
def test_a_reading_that_is_not_on_that_side_of_the_centre_has_no_correction(reading: int) -> None:
    assert correction_percent(reading, 1500, 1000) is None


@given(st.integers(800, 1490), st.integers(1495, 1505), st.integers(900, 1100))
def test_the_corrected_end_is_the_wanted_one(reading: int, centre: int, wanted: int) -> None:
    percent = correction_percent(reading, centre, wanted)
    assert percent is not None
    assert centre + (reading - centre) * percent / 100 == pytest.approx(wanted)


@pytest.mark.parametrize(
    ("reading", "tolerance", "off"),
    [(1505, 5, 0), (1495, 5, 0), (1506, 5, 6), (1494, 5, -6), (1501, 0, 1), (1500, 0, 0)],
)
def test_what_is_within_the_tolerance_is_not_off(reading: int, tolerance: float, off: int) -> None:
    assert off_by(reading, 1500, tolerance) == off


@pytest.mark.parametrize(
    ("travel", "sound"),
    [
        (Travel(), True),
        (Travel(988, 1500, 2012), True),
        (Travel(2000, 1500, 1000), False),
        (Travel(1500, 1500, 2000), False),
        (Travel(1000, 2000, 2000), False),
        (Travel(0, 1500, 2000), False),
        (Travel(1000, 1500, 65535), False),
    ],
)
def test_a_travel_is_sound_when_its_points_are_pulses_in_order(travel: Travel, sound: bool) -> None:
    assert travel.sound is sound


@pytest.mark.parametrize(
    ("low", "high", "reach"),
    [(1700, 2100, 300), (900, 2100, 1000), (1990, 2100, 10), (2000, 2100, 0), (2050, 2100, -50), (800, 950, -50)],
)
def test_what_a_switch_can_reach_of_a_range(low: int, high: int, reach: int) -> None:
    assert within_reach(low, high, Travel()) == reach


def test_a_range_meets_a_position_at_both_of_its_ends_and_within_the_tolerance() -> None:
    assert [meets(1700, 2100, at) for at in (1699, 1700, 2100, 2101)] == [False, True, True, False]
    assert [meets(1700, 2100, at, 5) for at in (1694, 1695, 2105, 2106)] == [False, True, True, False]


def test_a_range_covers_the_travel_when_it_holds_at_both_ends() -> None:
    assert covers(1000, 2000, Travel())
    assert not covers(1001, 2000, Travel())
    assert covers(1005, 1995, Travel(), 5)
    assert not covers(1006, 2000, Travel(), 5)
    assert not covers(1000, 1994, Travel(), 5)


@pytest.mark.parametrize(
    ("one", "other", "shared"),
    [
        ((1000, 1300), (1300, 1700), 0),  # they touch
        ((1000, 1301), (1300, 1700), 1),
        ((1000, 2000), (1300, 1700), 400),
        ((1000, 1200), (1300, 1700), 0),
    ],
)
def test_ranges_share_what_lies_in_both(one: tuple[int, int], other: tuple[int, int], shared: int) -> None:
    assert shared_us(one, other) == shared_us(other, one) == shared


@given(RANGES)
def test_the_overlapping_pairs_are_those_that_share_more_than_a_point(ranges: list[tuple[int, int]]) -> None:
    found = list(overlapping(ranges))
    assert len(found) == len(set(found))
    assert set(found) == {
        (one, other) for one, other in combinations(range(len(ranges)), 2) if shared_us(ranges[one], ranges[other]) > 0
    }


@pytest.mark.parametrize(
    ("percent", "bound"), [(None, 1050), (0.0, 1050), (5.5, 1055), (10.0, 1100), (25.0, 1100), (-3.0, 1050)]
)
def test_up_to_the_idle_output_the_throttle_only_idles(percent: float | None, bound: int) -> None:
    assert throttle_bound_us(Travel(), percent) == bound


def test_a_range_that_is_hit_is_at_least_a_fortieth_of_the_travel() -> None:
    assert (HIGH_US - LOW_US) / 40 == NARROW_US

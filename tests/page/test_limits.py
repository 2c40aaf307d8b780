"""Bounds on what callers ask: pure, with a clock of the test's own."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from propsoff.page.limits import Bucket, Seats
from propsoff.page.problems import ProblemError
from propsoff.page.sessions import Sessions


class Clock:
    """Seconds that pass when told to."""

    def __init__(self) -> None:
        self.now = 1000.0

    def __call__(self) -> float:
        return self.now


@given(st.lists(st.floats(0, 3), max_size=200), st.integers(1, 20), st.floats(0.1, 20))
def test_a_bucket_never_gives_more_than_its_burst_and_what_time_brings(
    pauses: list[float], burst: int, per_second: float
) -> None:
    clock = Clock()
    bucket, given_out = Bucket(per_second, burst, clock), 0
    for pause in pauses:
        clock.now += pause
        wait_s = bucket.wait_s("a")
        assert bucket.take("a") == wait_s
        given_out += wait_s == 0
        assert given_out <= burst + (clock.now - 1000.0) * per_second + 1e-6


def test_who_waits_as_long_as_told_gets_one() -> None:
    clock = Clock()
    bucket = Bucket(0.5, 2, clock)
    assert [bucket.take("a") for _ in range(3)] == [0, 0, 2.0]
    assert bucket.take("b") == 0  # another caller has its own
    clock.now += 2.0
    assert bucket.take("a") == 0


def test_callers_without_end_are_forgotten_those_first_that_came_longest_ago() -> None:
    bucket = Bucket(1.0, 1, Clock())
    bucket.take("first")
    bucket.take("busy")
    for number in range(1022):
        bucket.take(f"caller {number}")
    assert bucket.take("busy") > 0
    bucket.take("one more")
    assert bucket.wait_s("first") == 0
    assert bucket.wait_s("one more") > 0


def test_seats_are_given_back_whatever_happens() -> None:
    seats = Seats(2, "streams")
    with seats.seat(), seats.seat():
        with pytest.raises(ProblemError, match="2 streams already") as refused, seats.seat():
            raise AssertionError
        assert refused.value.headers["Retry-After"] == "5"
    with pytest.raises(ZeroDivisionError), seats.seat():
        raise ZeroDivisionError
    assert seats.taken == 0


def test_a_session_ends_by_time_by_word_and_by_newer_ones() -> None:
    clock = Clock()
    sessions = Sessions(60.0, 2, clock)
    first = sessions.begin()
    assert sessions.holds(first)
    clock.now += 30
    second = sessions.begin()
    clock.now += 30
    assert (sessions.holds(first), sessions.holds(second)) == (False, True)
    third, fourth = sessions.begin(), sessions.begin()
    assert [sessions.holds(each) for each in (second, third, fourth)] == [False, True, True]
    sessions.end(fourth)
    assert not sessions.holds(fourth)
    assert not sessions.holds("")
    assert len({first, second, third, fourth}) == 4

"""Comparing versions, against PEP 440 as packaging reads it; dates against datetime."""

from __future__ import annotations

import re
from datetime import date

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from packaging.version import VERSION_PATTERN, Version

from propsoff.versions import at_least, compare_versions

PEP440 = st.from_regex(re.compile(VERSION_PATTERN, re.VERBOSE | re.IGNORECASE | re.ASCII), fullmatch=True)
NUMBERS = st.integers(0, 30).map(str)
PLAIN = st.lists(NUMBERS, min_size=1, max_size=4).map(".".join)
CANDIDATE = st.builds("{}{}{}".format, PLAIN, st.sampled_from(["", "a", "b", "rc", "-rc.", ".dev", ".post"]), NUMBERS)
LIKE_A_DATE = re.compile(r"\s*(\d{4}[-/.]\d{1,2}[-/.]\d{1,2}|\d{1,2}[-/.]\d{1,2}[-/.]\d{4})", re.ASCII)
DATES = st.dates(date(1970, 1, 1), date(2999, 12, 31))
WRITTEN = ("{0:%Y-%m-%d}", "{0:%Y/%m/%d}", "{0:%Y.%m.%d}", "{0:%d.%m.%Y}", "{0:%b %d %Y}", "{0:%Y-%m-%dT12:30:05Z}")
WORDS = st.one_of(
    st.text(max_size=20),
    CANDIDATE,
    st.builds("{}{}".format, PLAIN, st.sampled_from(["-field7", "x", "_", " custom", "-", "\u0663", "/2"])),
    st.builds(lambda day, form: form.format(day), DATES, st.sampled_from(WRITTEN)),
    st.builds("{}/{}/{}".format, st.integers(0, 40), st.integers(0, 40), st.integers(0, 3000)),
)


@pytest.mark.parametrize(
    ("version", "floor", "answer"),
    [
        ("1.9.2", "1.10.0", False),  # by number, not by letter
        ("1.10.0", "1.9.2", True),
        ("1.10", "1.10.0", True),
        ("4.1.0", "4.1.0", True),
        ("4.1.0-rc1", "4.1.0", False),  # PEP 440: a candidate comes before its release
        ("4.1.0rc2", "4.1.0rc1", True),
        ("4.1.0rc2", "4.1.0rc10", False),
        ("4.1.0 RC1", "4.1.0", False),
        ("4.1.0 rc.2", "4.1.0-rc1", True),
        ("4.1.0", "4.1.0rc1", True),
        ("V4.1.0", "4.0", True),
        ("4.1.0.dev3", "4.1.0", False),
        ("4.1.0+build.7", "4.1.0", True),
        ("4.2.0-field7", "4.1.0", True),  # not PEP 440: the leading number decides where it can
        ("4.0.9-field7", "4.1.0", False),
        ("4.2.1-field7", "4.2", True),
        ("4.1.0-field7", "4.1.0", None),
        ("4.1-field7", "4.1.0", None),
        ("4.1-field7", "4.1.3", None),
        ("4-field7", "4.1", None),
        ("4.1.0-field7", "4.1.0-FIELD7", True),  # the same, whatever it means
        ("4.1.0-field7", "4.1.0-field8", None),
        ("4f2a001", "4.1.0", None),  # the hash of a commit is no number
        ("9e12ab7", "4.1.0", None),
        ("summer", "4.1.0", None),
        ("summer", "summer", None),
        ("", "4.1.0", None),
        ("", "", None),
        ("4.1.0", "unknown", None),
        ("9" * 5000, "4.1.0", None),
        ("\u0664.1.0", "4.1.0", None),  # a digit, but none of ASCII
        ("1!1.0", "2.0-field7", True),  # an epoch goes before everything
    ],
)
def test_versions_compare_as_numbers(version: str, floor: str, answer: bool | None) -> None:
    assert at_least(version, floor) is answer


@pytest.mark.parametrize(
    ("first", "second", "order"),
    [
        ("2026-03-14", "2026-01-30", 1),
        ("2025-11-08", "2026-01-30", -1),
        ("2026-03-14", "14.03.2026", 0),
        ("13.04.2026", "14.03.2026", 1),  # by year, month and day, not as the version 13.4
        ("2026/3/4", "2026-03-04", 0),
        ("2026.03.14", "14.03.2026", 0),
        ("Mar 14 2026", "2026-03-14", 0),
        ("Mar  4 2026", "2026-03-14", -1),
        ("2026-03-14 08:15", "2026-03-14T23:59:59Z", 0),
        ("2026-03-14", "4.2.0", None),  # dates with dates only
        ("14.03.2026", "4.2.0", None),
        ("4.2.0", "14.03.2026", None),
        ("Mar 14 2026", "4.2.0", None),
        ("2026.03.14", "2026.4", -1),  # the calendar as a version
        ("2026-02-30", "2026-03-14", None),  # no such day
        ("30.02.2026", "4.2.0", None),
        ("Foo 14 2026", "2026-03-14", None),
        ("03/04/2026", "2026-03-14", None),  # nobody knows which is the month
        ("03/04/2026", "4.2.0", None),
        ("2026-03-14-field", "4.2.0", None),
        ("2026-03-14-field", "2026-03-14", None),
    ],
)
def test_dates_compare_as_dates_with_dates_only(first: str, second: str, order: int | None) -> None:
    assert compare_versions(first, second) == order
    assert compare_versions(second, first) == (None if order is None else -order)


@settings(max_examples=500, deadline=None)
@given(st.one_of(PEP440, CANDIDATE), st.one_of(PEP440, CANDIDATE))
@example("1.9.2", "1.10.0")
def test_where_the_grammar_of_pep_440_applies_the_order_is_that_of_packaging(first: str, second: str) -> None:
    if LIKE_A_DATE.match(first) or LIKE_A_DATE.match(second) or max(len(first), len(second)) > 100:
        return
    one, other = Version(first), Version(second)
    assert compare_versions(first, second) == (one > other) - (one < other)


@given(DATES, DATES, st.sampled_from(WRITTEN), st.sampled_from(WRITTEN))
def test_two_dates_have_the_order_of_the_calendar_however_they_are_written(
    first: date, second: date, form: str, other: str
) -> None:
    assert compare_versions(form.format(first), other.format(second)) == (first > second) - (first < second)


@settings(max_examples=1000, deadline=None)
@given(WORDS, WORDS)
def test_no_text_breaks_it_and_the_order_turned_round_is_the_opposite(first: str, second: str) -> None:
    order = compare_versions(first, second)
    back = compare_versions(second, first)
    assert back == (None if order is None else -order)
    assert order in (None, -1, 0, 1)
    assert compare_versions(first, first) in (None, 0)

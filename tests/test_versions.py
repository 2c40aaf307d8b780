"""Comparing versions, against PEP 440 as packaging reads it."""

from __future__ import annotations

import pytest

from propsoff.versions import at_least


@pytest.mark.parametrize(
    ("version", "floor", "answer"),
    [
        ("1.9.2", "1.10.0", False),  # by number, not by letter
        ("1.10.0", "1.9.2", True),
        ("1.10", "1.10.0", True),
        ("4.1.0", "4.1.0", True),
        ("4.1.0-rc1", "4.1.0", False),  # PEP 440: a candidate comes before its release
        ("4.1.0rc2", "4.1.0rc1", True),
        ("4.1.0", "4.1.0rc1", True),
        ("V4.1.0", "4.0", True),
        ("4.1.0.dev3", "4.1.0", False),
        ("4.1.0+build.7", "4.1.0", True),
        ("4.2.0-field7", "4.1.0", True),  # not PEP 440: the leading number decides where it can
        ("4.0.9-field7", "4.1.0", False),
        ("4.1.0-field7", "4.1.0", None),
        ("4.1-field7", "4.1.0", None),
        ("summer", "4.1.0", None),
        ("", "4.1.0", None),
        ("4.1.0", "unknown", None),
        ("9" * 5000, "4.1.0", None),
    ],
)
def test_versions_compare_as_numbers(version: str, floor: str, answer: bool | None) -> None:
    assert at_least(version, floor) is answer

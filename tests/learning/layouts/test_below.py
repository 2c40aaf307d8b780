"""Reasons not to arm that stand on lines of their own, below a line that says so (common practice)."""

from __future__ import annotations

import pytest

from propsoff.console.manner import Line
from propsoff.learning.layouts.below import list_below
from propsoff.learning.model import Answer, Layout


def found(*texts: str) -> Layout | None:
    return list_below(Answer("state", tuple(Line(number, text) for number, text in enumerate(texts, 1))))


@pytest.mark.parametrize(
    ("texts", "place"),
    [
        (
            ("Arming blocked by:", "  usb connected", "  no signal"),
            {"below": "Arming blocked by:", "line": "{item:rest}"},
        ),
        (("blocked-by:", "- usb connected", "- no signal"), {"below": "blocked-by:", "line": "- {item:rest}"}),
        (("gyro: ok", "NOT ARMING", "  * USB", "  * NO RX", ""), {"below": "NOT ARMING", "line": "* {item:rest}"}),
    ],
)
def test_they_are_a_list(texts: tuple[str, ...], place: dict[str, str]) -> None:
    layout = found(*texts)
    assert layout is not None
    (rows,) = layout.rows
    assert rows.place == place
    assert len(rows.rows) == 2


@pytest.mark.parametrize(
    "texts",
    [
        ("Arming blocked by:", "usb connected"),  # it might say anything else
        ("Arming blocked by:", "", "  usb connected"),
        ("Arming blocked by:", "  usb connected", "  heavy rain"),
        ("Not ready because   usb connected", "                    no signal"),  # the first stands on the line itself
        ("Arming blocked by: no signal", "  usb connected"),
        ("Last boot reason:", "  usb connected"),
        ("Failsafe causes:", "  no signal"),
        ("Blocked by:", "  usb", "Arming blocked by:", "  usb"),
        ("Arming blocked by:",),
    ],
)
def test_what_is_not_certain_is_none(texts: tuple[str, ...]) -> None:
    assert found(*texts) is None

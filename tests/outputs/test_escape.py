"""What a board sends never reaches a terminal or a file name as it came."""

from __future__ import annotations

import pyte
import pytest
from hypothesis import given
from hypothesis import strategies as st

from propsoff.outputs.escape import file_stem, visible


@given(st.text(max_size=60))
def test_visible_text_moves_no_cursor_and_sets_no_title(text: str) -> None:
    shown = visible(text)
    assert shown.isprintable()
    screen = pyte.Screen(1000, 2)
    pyte.Stream(screen).feed("start " + shown)
    assert screen.title == ""
    assert screen.display[0].startswith("start ")
    assert screen.cursor.y == 0


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("plain äöü 漢", "plain äöü 漢"),
        ("\x1b[31mred", "\\e[31mred"),
        ("a\r\nb\tc", "a\\r\\nb\\tc"),
        ("\x00\x7f\x9b", "\\x00\\x7f\\x9b"),
        ("\u202eright to left", "\\u202eright to left"),
        ("\uefff\uef80", "\\xff\\x80"),
        ("\U000e0001", "\\U000e0001"),
        ("\ud800", "\\ud800"),
    ],
)
def test_what_would_act_is_written_out(text: str, shown: str) -> None:
    assert visible(text) == shown


def test_long_text_is_cut_and_says_so() -> None:
    assert visible("x" * 50, 10) == "x" * 10 + "… (50 characters)"


@given(st.text(max_size=5000))
def test_a_file_stem_is_always_a_plain_short_name(text: str) -> None:
    stem = file_stem(text)
    assert 0 < len(stem) <= 60
    assert set(stem) <= set("abcdefghijklmnopqrstuvwxyz0123456789-")
    assert not stem.startswith("-")


def test_names_stay_readable_and_two_names_stay_two() -> None:
    assert file_stem("Teal Wren") == "teal-wren"
    assert file_stem("../../etc/passwd").startswith("etc-passwd-")
    assert file_stem("a/b") != file_stem("a.b")
    assert file_stem("") == "unnamed"
    assert file_stem("漢") != file_stem("字")

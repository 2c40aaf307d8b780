"""Helps that are no list of one word a line."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import pytest

from learning.layouts.replies import lines
from propsoff.console.manner import Line
from propsoff.learning.help_lists import bracketed, delimited, headed, is_doing
from propsoff.learning.model import HelpWord

Finder = Callable[[Sequence[Line]], list[HelpWord]]


@pytest.mark.parametrize(
    "form", ["{},{},readings as they are", "{};{};readings as they are", "| {} | {} | readings as they are |"]
)
def test_rows_between_marks_are_a_word_and_what_it_does(form: str) -> None:
    rows = (("LIVE", "shows"), ("KEEP", "stores"), ("PORTS", "lists"))
    found = delimited(lines("\n".join(form.format(word, says) for word, says in rows)))
    assert [(one.word, one.says, one.line) for one in found] == [
        (word, f"{says} readings as they are", number) for number, (word, says) in enumerate(rows, 1)
    ]


def test_words_with_brackets_behind_them_stand_under_their_heading() -> None:
    text = "To read:\n  live (readings now), ports (who speaks\n  where), about (this board)\nTo change:\n  keep, spin"
    found = {one.word: (one.says, one.under) for one in bracketed(lines(text))}
    assert found == {
        "live": ("readings now", "To read"),
        "ports": ("who speaks where", "To read"),
        "about": ("this board", "To read"),
        "keep": ("", "To change"),
        "spin": ("", "To change"),
    }


def test_words_behind_headings_are_each_a_word() -> None:
    found = headed(lines("readings: ident state usage\nactions: keep spin"))
    assert [(one.word, one.under) for one in found] == [
        ("ident", "readings"), ("state", "readings"), ("usage", "readings"), ("keep", "actions"), ("spin", "actions"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("finder", "text"),
    [
        (delimited, "about, tally\nferry, keep\njump, spin"),  # a list of words only
        (delimited, "live, shows it\nkeep, stores it"),  # too few
        (delimited, "a, b c\nd; e f\ng | h i"),  # different marks
        (bracketed, "live (readings now), ports (where)"),  # too few
        (bracketed, "live (readings), ports (where) and (here) are the words of this text in full"),
        (headed, "ident: shows this board\nstate: shows the rest of it"),  # each described
        (headed, "readings: ident state usage"),  # one heading
        (headed, "low: 1000 us, here\nhigh: 2000 us, here"),  # values
        (headed, "ident:  red   dim lit\nstate:  tin   wet dry"),  # columns
        (delimited, ""),
        (bracketed, ""),
        (headed, ""),
    ],
)
def test_what_is_not_written_so_gives_no_word(finder: Finder, text: str) -> None:
    assert finder(lines(text)) == []


@pytest.mark.parametrize(
    ("heading", "does"), [("To change:", True), ("Dangerous actions", True), ("Readings", False), ("", False)]
)
def test_a_heading_says_whether_its_words_do_something(heading: str, does: bool) -> None:
    assert is_doing(heading) is does

"""What a menu offers, and the way back out of it."""

from __future__ import annotations

import pytest

from learning.layouts.replies import lines
from propsoff.learning.menus import leads_back, offered, way_back, way_back_in
from propsoff.learning.model import HelpWord


@pytest.mark.parametrize(
    ("text", "back"),
    [
        ("1) radio\n2) ports\n0) back", "0"),
        ("[1] radio\n[b] back to the main menu", "b"),
        ("1. radio\n9. previous screen", "9"),
        ("1) radio\nq = leave", "q"),
        ("1) flip the backup pack\n2) radio", ""),  # a word that only begins so
        ("1) return home action\n2) radio", ""),  # a setting, not the way out
        ("1) radio\n9) return home", ""),  # what a craft does that lost its radio
        ("1) go back to the defaults of all settings\n2) radio", ""),
        ("low = 3\nhigh = 5", ""),
        ("ports   shows ports\nreturn   to the main menu", ""),  # of a help, and nobody says that it counts
        ("", ""),
    ],
)
def test_the_way_back_is_the_entry_that_leads_out(text: str, back: str) -> None:
    assert way_back(lines(text), listed=False) == back


def test_a_word_that_its_description_calls_something_else_leads_nowhere() -> None:
    assert not leads_back(HelpWord("return", "sets what happens at signal loss", 1))
    assert leads_back(HelpWord("return", "", 1))
    assert leads_back(HelpWord("back", "to the main menu", 1))


def test_a_word_of_the_help_counts_where_it_is_asked_for() -> None:
    assert way_back(lines("ports   shows ports\nreturn   to the main menu"), listed=True) == "return"


@pytest.mark.parametrize(
    ("prompt", "key"),
    [
        ("about (q = back)> ", "q"),
        ("[0 to return] ", "0"),
        ("b:back, h:help > ", "b"),
        ("h:help, b:back > ", "b"),
        ("radio> ", ""),
        ("(a = arm)> ", ""),
        ("(long = back)> ", ""),  # a word, not a key
    ],
)
def test_a_prompt_may_name_the_key_that_leads_back(prompt: str, key: str) -> None:
    assert way_back_in(prompt) == key


@pytest.mark.parametrize(
    ("word", "says", "back"),
    [
        ("back", "", True),
        ("q", "leave", True),
        ("0", "back to the main menu", True),
        ("radio", "", False),
        ("b", "backup of the settings", False),
        ("x", "sets what happens on the way back", False),
        ("", "", False),
    ],
)
def test_an_entry_leads_back_when_it_says_nothing_else(word: str, says: str, back: bool) -> None:
    assert leads_back(HelpWord(word, says, 1)) is back


def test_a_menu_offers_its_entries_without_the_way_back() -> None:
    found = offered(lines("1) radio\n2) ports\n0) back"))
    assert [(one.word, one.says) for one in found] == [("1", "radio"), ("2", "ports")]
    assert offered(lines("low = 3")) == ()

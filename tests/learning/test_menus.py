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


@pytest.mark.parametrize(
    "page",
    [
        "RECEIVER\n  SMOOTHING            [30] HZ\n  0 - BACK TO MAIN MENU",  # a value behind a name
        "RECEIVER\n  [30] HZ\n  [31] SATELLITES\n  0 - BACK",  # a unit
        "1) smoothing [30] Hz\n2) radio\n0) back",  # settings, each with its value
        "1) telemetry   on\n2) radio       off\n0) back",
        "1) rate = 30\n2) power = 25\n0) back",
        "1) 30 Hz\n2) 25 mW\n0) back",
        "1) Hz of the filter\n2) radio\n0) back",
        "1) receiver 3\n2) video 4\n0) back",
        "15) radio\n88) video\n0) back",  # they do not count up
        "2) radio\n1) video\n0) back",
        "1) radio\n1) video\n0) back",
        "7) radio\n0) back",
        "1) radio\n2 - video\n0) back",  # other marks
        "1) radio\n      2) video\n0) back",  # another place
        "gyro  [1] radio  [2] video\n[0] back",  # not at the beginning of the line
    ],
)
def test_a_page_of_values_offers_nothing(page: str) -> None:
    assert offered(lines(page)) == ()


@pytest.mark.parametrize(
    ("page", "keys"),
    [
        ("1) radio\n0) back", "1"),
        (" 9 - radio\n10 - video\n 0 - back", "9 10"),
        ("1) radio\n2) video\n3) back", "1 2"),
        ("[1] radio    [3] battery\n[2] video    [4] motors\n[0] back", "1 3 2 4"),
        ("31. radio\n32. video\n0. back", "31 32"),
        ("r) radio\nv) video\nb) back", "r v"),
    ],
)
def test_a_menu_within_another_offers_what_counts_up_or_stands_in_place(page: str, keys: str) -> None:
    assert [one.word for one in offered(lines(page))] == keys.split()

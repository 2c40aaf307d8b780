"""Reading a help in every layout that a console may have; the layouts are common practice, the words invented."""

from __future__ import annotations

import json
import random
import time

import pytest

from propsoff.console.manner import Line
from propsoff.learning.choosing import choose
from propsoff.learning.help_text import MOST_WORDS, help_words, menu_entries, pointed_at
from propsoff.learning.model import HelpWord


def _lines(text: str) -> tuple[Line, ...]:
    return tuple(Line(number, line) for number, line in enumerate(text.strip("\n").split("\n"), 1))


def _told(text: str) -> list[tuple[str, str]]:
    return [(word.word, word.says) for word in help_words(_lines(text))]


@pytest.mark.parametrize(
    "between", ["   ", "\t", " - ", " – ", " — ", ": ", " : ", " = ", " ..... ", "  # ", " | "], ids=repr
)
def test_words_and_what_is_said_of_them_stand_on_a_line(between: str) -> None:
    text = f"Commands:\n  tally{between}shows the values\n  ferry{between}saves them\n"
    assert _told(text) == [("tally", "shows the values"), ("ferry", "saves them")]


@pytest.mark.parametrize("bullet", ["* ", "- ", "• ", "> ", "+ "])
def test_a_bullet_is_no_part_of_the_word(bullet: str) -> None:
    assert _told(f"{bullet}tally - shows\n{bullet}ferry - saves") == [("tally", "shows"), ("ferry", "saves")]


@pytest.mark.parametrize(
    ("head", "word", "takes"),
    [
        ("tally <name>", "tally", "<name>"),
        ("tally [name]", "tally", "[name]"),
        ("tally <a> [b]", "tally", "<a> [b]"),
        ("tally NAME VALUE", "tally", "NAME VALUE"),
        ("tally name", "tally", "name"),
        ("tally wert", "tally", "wert"),
        ("tally key=value", "tally", "key=value"),
        ("tally {on|off}", "tally", "{on|off}"),
        ("tally all", "tally all", ""),
        ("TALLY ALL", "TALLY ALL", ""),
        ("TALLY NAME", "TALLY", "NAME"),
        ("TALLY <NAME>", "TALLY", "<NAME>"),
        ("tally,t", "tally", ""),
        ("tally|ta", "tally", ""),
    ],
)
def test_what_a_word_takes_is_never_part_of_it(head: str, word: str, takes: str) -> None:
    assert help_words(_lines(f"{head}   shows it")) == (HelpWord(word, "shows it", 1, takes),)


def test_a_grid_of_words() -> None:
    words = [word for word, says in _told("about  all    blank  tally\njump   keep   live   ferry\nspin   state")]
    assert words == ["about", "all", "blank", "tally", "jump", "keep", "live", "ferry", "spin", "state"]


@pytest.mark.parametrize("text", ["about, tally, ferry.", "Commands: about, tally, ferry", "about | tally | ferry"])
def test_a_list_of_words_on_one_line(text: str) -> None:
    assert [word for word, _ in _told(text)] == ["about", "tally", "ferry"]


def test_a_heading_of_columns_is_no_word() -> None:
    assert _told("WORD     WHAT IT DOES\nTALLY    SHOWS IT\nFERRY    SAVES IT") == [
        ("TALLY", "SHOWS IT"),
        ("FERRY", "SAVES IT"),
    ]


@pytest.mark.parametrize("form", ["{n}  {t}", "{n}) {t}", "{n}. {t}", "[{n}] {t}", "({n}) {t}", "{n}: {t}"])
def test_a_menu_by_number(form: str) -> None:
    things = ("radio", "battery", "serial ports", "leave and come back")
    text = "\n".join(form.format(n=at, t=thing) for at, thing in enumerate(things, 1))
    assert [(one.word, one.says) for one in menu_entries(_lines(text))] == [
        (str(at), thing) for at, thing in enumerate(things, 1)
    ]


def test_a_table_of_numbers_is_no_menu() -> None:
    assert menu_entries(_lines("3 cells\n17 elements\n5 ports")) == ()
    assert menu_entries(_lines("a sentence\nanother one")) == ()


def test_words_in_a_document() -> None:
    words = {"verbs": {"tally": "shows the values", "ferry": "saves them"}}
    assert _told(json.dumps(words)) == [("tally", "shows the values"), ("ferry", "saves them")]
    assert [word for word, _ in _told(json.dumps({"verbs": ["tally", "ferry"]}))] == ["tally", "ferry"]
    rows = [{"word": "tally", "does": "shows"}, {"word": "ferry", "does": "saves"}]
    assert _told(json.dumps({"verbs": rows})) == [("tally", "shows"), ("ferry", "saves")]


def test_prose_names_the_words_that_it_quotes_and_asks_for() -> None:
    lines = _lines("All is in the 'ledger'. For a list type help, or say \"tally all\".\nPress any key for more.")
    assert [one.word for one in pointed_at(lines)] == ["ledger", "tally all", "help"]


def test_prose_is_no_list_of_words() -> None:
    assert (
        _told("This board has been on the bench for a long while.\nPlease mind the propellers and take them off.") == []
    )


def test_the_first_description_counts() -> None:
    assert _told("tally   shows it\ntally   erases it") == [("tally", "shows it")]


def test_what_is_told_first_and_harmful_later_is_still_read_as_told() -> None:
    words = help_words(_lines("tally   shows it, then erases it"))
    assert choose(words, 40)[0] == ()


def test_ten_thousand_lines_are_read_in_time_and_bounded() -> None:
    lines = tuple(Line(at, f"  word{at}   shows cell {at} of the table <x> [y]") for at in range(1, 10_001))
    prose = tuple(Line(at, "a b c, d e f | " * 20 + "{[(<" * 30) for at in range(1, 10_001))
    begun = time.process_time()
    assert len(help_words(lines)) <= MOST_WORDS
    assert time.process_time() - begun < 1
    assert len(menu_entries(lines)) <= len(lines)
    help_words(prose)
    menu_entries(prose)
    pointed_at(prose)
    assert time.process_time() - begun < 2


def test_one_endless_line_is_read_in_time() -> None:
    begun = time.process_time()
    for char in ("a", " ", ".", "-", "'a", "[", "1 ", "\t", "type "):
        line = (Line(1, char * 50_000),)
        help_words(line), menu_entries(line), pointed_at(line)
    assert time.process_time() - begun < 2


def test_whatever_stands_there_nothing_is_raised_and_no_word_has_a_blank_end() -> None:
    seed = 20261125
    chance = random.Random(seed)
    marks = "ab 1<>[](){}|,;:-=.#\t'\"?*é\u200b\ue000"
    for _ in range(2000):
        text = "\n".join("".join(chance.choices(marks, k=chance.randrange(30))) for _ in range(chance.randrange(6)))
        for word in (*help_words(_lines(text)), *menu_entries(_lines(text)), *pointed_at(_lines(text))):
            assert word.word.strip() == word.word != "", f"seed {seed}: {text!r}"


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("No entry 77. 0 shows the menu.", ["0"]),
        ("eh? m lists the words", ["m"]),
        ("unknown: ? shows help", ["?"]),
        ("version 2 shows the date", []),
        ("it shows the list", []),
    ],
)
def test_what_shows_the_menu_is_pointed_at(line: str, words: list[str]) -> None:
    assert [one.word for one in pointed_at([Line(1, line)])] == words

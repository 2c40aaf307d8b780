"""Words that do harm and words that read. The words are ordinary dictionary words (common practice, from memory)."""

from __future__ import annotations

import pytest

from propsoff.learning.vocabulary import (
    harm_in,
    hidden_harm_in,
    motor_in,
    pieces_of,
    reads_all,
    reads_in,
    unaccented,
    words_of,
)


@pytest.mark.parametrize(
    ("text", "pieces"),
    [
        ("rxPort_2", ("rx", "port", "2")),
        ("rxRSSI", ("rx", "rssi")),
        ("SHOW-ALL", ("show", "all")),
        ("Übersicht", ("übersicht",)),
        ("Écrire", ("écrire",)),
        ("E\u0301crire", ("écrire",)),
        ("wyłącz Odbiornik", ("wyłącz", "odbiornik")),
        ("стереть всё", ("стереть", "всё")),
        ("\u00b5s", ("\u00b5s",)),
        ("?", ("?",)),
        ("", ()),
    ],
)
def test_a_text_comes_apart_into_its_words(text: str, pieces: tuple[str, ...]) -> None:
    assert pieces_of(text) == pieces


@pytest.mark.parametrize(
    "text", ["rewrite", "SaveAll", "effacé", "Gelöscht", "loescht", "ＳＡＶＥ", "unbind", "wylacz"]
)
def test_harm_is_found_however_it_is_written(text: str) -> None:
    assert harm_in(text) is not None


@pytest.mark.parametrize(
    "text", ["cfgsave", "sAVE", "logclr", "rxcal", "gyrotest", "sysreboot", "eepromwr", "motorspin"]
)
def test_harm_is_found_within_a_command_that_is_written_in_one(text: str) -> None:
    assert hidden_harm_in(text) is not None


@pytest.mark.parametrize(
    "text", ["réglages", "information", "configuration", "throttle", "transmitter", "einstellungen"]
)
def test_what_only_begins_like_harm_is_none(text: str) -> None:
    assert harm_in(text) is None
    assert hidden_harm_in(text) is None


def test_no_word_that_reads_does_harm() -> None:
    reading = {*words_of("reading_words"), *words_of("read_all"), *words_of("help"), *words_of("guesses")}
    assert len(reading) > 150
    assert [word for word in sorted(reading) if harm_in(word) or hidden_harm_in(word)] == []


def test_no_word_that_leaves_a_menu_or_asks_for_help_moves_a_motor() -> None:
    assert [word for word in (*words_of("help"), *words_of("ways_back"), *words_of("guesses")) if motor_in(word)] == []


def test_every_word_is_in_lower_case_as_the_pieces_are() -> None:
    for kind in ("harmful_stems", "harmful_words", "motor_stems", "reading_words", "things", "doing", "agreeing"):
        assert [word for word in words_of(kind) if word != word.casefold()] == []


def test_words_are_told_apart() -> None:
    assert motor_in("the MotorOutput") == "motor"
    assert motor_in("receiver") is None
    assert reads_in("please show") == "show"
    assert reads_in("please") is None
    assert reads_all("recite-x")
    assert not reads_all("gyro")
    assert unaccented("Wyłączyć Åtgärd") == "wylaczyc atgard"

"""Words and what they may mean. The words are those of dictionaries and of the trade, from memory."""

from __future__ import annotations

import pytest

from propsoff.craft.names import facts, row_facts, row_types
from propsoff.learning.thesaurus import (
    folded,
    groups,
    has_value_words,
    is_term,
    is_truth_word,
    is_value_word,
    named,
    names_something,
    read_name,
    row_terms,
    terms,
    value_words,
)


@pytest.mark.parametrize(
    ("text", "concepts"),
    [
        ("rxPort_2", {"receiver", "port"}),
        ("UART2", {"port"}),
        ("cellwarn", {"cell", "warn"}),
        ("Zellenzahl", {"cell", "count"}),
        ("Zellenspannung", {"cell", "volt"}),
        ("Empfängerprotokoll", {"receiver", "protocol"}),
        ("empfaenger", {"receiver"}),
        ("l'échelle", {"scale"}),
        ("ÉCHELLE", {"scale"}),
        ("d’alarme", {"warn"}),
        ("mínimos", {"low"}),
        ("massime", {"high"}),
        ("batteries", {"battery"}),
        ("osdcols", {"overlay", "column"}),
        ("motorpoles", {"motor", "pole"}),
        ("failsafe-delay", {"failsafe", "delay"}),
        ("banana", set()),
        ("of the 3", set()),
        ("", set()),
    ],
)
def test_a_name_is_taken_apart_into_what_it_names(text: str, concepts: set[str]) -> None:
    pieces = read_name(text)
    assert named(pieces) == concepts
    assert not any(piece.other for piece in pieces)


@pytest.mark.parametrize("text", ["banana", "bananas", "scarce", "portrait", "lowly", "motorway"])
def test_a_word_that_only_begins_like_a_known_one_names_nothing(text: str) -> None:
    assert named(read_name(text)) == frozenset()


@pytest.mark.parametrize("text", ["bootloader", "gain", "led", "compass", "uptime"])
def test_a_word_of_something_else_is_told_as_such(text: str) -> None:
    assert [piece.other for piece in read_name(text)] == [True]
    assert not names_something(text)


@pytest.mark.parametrize(
    ("text", "unit"), [("vbat_mv", "mV"), ("delay us", "us"), ("loop_khz", "kHz"), ("log_kib", "KiB"), ("rx", None)]
)
def test_the_last_piece_of_a_name_may_be_a_unit(text: str, unit: str | None) -> None:
    assert read_name(text)[-1].unit == unit


@pytest.mark.parametrize("text", ["3", "the", "of", "und", "settings"])
def test_numbers_articles_and_fillers_say_nothing(text: str) -> None:
    assert all(piece.neutral for piece in read_name(text))


@pytest.mark.parametrize(
    ("text", "other"),
    [("Ré-Cepteur_2", "recepteur2"), (" On Board ", "onboard"), ("STRASSE", "straße"), ("e\u0301", "\u00e9")],
)
def test_case_accents_and_blanks_make_no_difference(text: str, other: str) -> None:
    assert folded(text) == folded(other)


@pytest.mark.parametrize("text", ["--", "-", "_", "—"])
def test_a_mark_alone_is_kept(text: str) -> None:
    assert folded(text) == text


def test_words_of_values_yes_and_no_and_terms_are_told_apart() -> None:
    assert is_value_word("Serial")
    assert is_truth_word("JA")
    assert is_term("UART")
    assert not is_truth_word("serial")
    assert not any(ask("banana") for ask in (is_value_word, is_truth_word, is_term, names_something))


def test_every_fact_has_a_term_and_every_term_a_fact() -> None:
    assert {term.fact for term in terms().values()} == {name for name in facts() if "[]" not in name}
    assert set(groups()) == set(row_types())
    for group in groups():
        assert set(row_terms(group)[1]) == set(row_facts(group))


@pytest.mark.parametrize("fact", [name for name, spec in facts().items() if spec.choices and has_value_words(name)])
def test_every_choice_of_a_fact_has_words_and_its_own_is_one_of_them(fact: str) -> None:
    words = value_words(fact)
    assert set(words.values()) == set(facts()[fact].choices)
    for choice in facts()[fact].choices:
        assert words[folded(choice)] == choice


@pytest.mark.parametrize(("table", "fact"), [("sensor", "sensors.gyro"), ("roles", "ports[].roles")])
def test_every_word_of_a_shared_table_is_a_choice_of_its_facts(table: str, fact: str) -> None:
    assert set(value_words(table).values()) == set(facts()[fact].choices)


@pytest.mark.parametrize("table", ["truth", "motors.reversed", "receiver.kind", "failsafe.action", "sensor", "roles"])
def test_no_word_of_a_table_means_two_things(table: str) -> None:
    from propsoff.learning.thesaurus import _tables  # the words as they are written: read, the later would win

    written = [
        (folded(word), meaning) for meaning, words in _tables()["values"][table].items() for word in words.split()
    ]
    assert dict(written) == dict(reversed(written))

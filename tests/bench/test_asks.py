"""Questions that wait for a person: one set for each place, each id used once."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from propsoff.bench.asks import AnswerError, Ask, Asks
from propsoff.craft.model import Board, Craft, Identity
from propsoff.exceptions import StaleError
from propsoff.inspection.meant import Meant
from propsoff.ports.facts import Port
from propsoff.sheets.model import BuildSheet, Question
from tests_support.reports import a_report

NOW = datetime(2027, 1, 15, 8, 0, 0, 123456, tzinfo=UTC)
QUESTIONS = (
    Question("propellers-off", "Are all propellers off?", "yes-no"),
    Question("goggles-firmware", "Which firmware do the goggles run?", "version"),
    Question("battery-connector", "Which connector?", "choice", ("small", "large")),
    Question("box", "What else is in the box?", "text"),
)
SHEET = BuildSheet("ours", "Ours", "a test", questions=QUESTIONS)


def put(asks: Asks, device: str = "/dev/a", serial: str | None = "A1") -> Ask:
    report, capture = a_report("one")
    craft = Craft(craft=Identity("Teal Wren"), board=Board(serial=serial))
    return asks.put(Port(device), report, capture, Meant(craft, SHEET))


def test_a_set_waits_until_it_is_taken_and_is_stale_ever_after() -> None:
    asks = Asks()
    ask = put(asks)
    assert list(asks.waiting) == [ask]
    assert asks.get(ask.id) is ask
    assert asks.take(ask.id) is ask
    assert list(asks.waiting) == []
    for stale in (ask.id, "", "Ω", "x" * 10_000):
        with pytest.raises(StaleError, match="answered meanwhile"):
            asks.get(stale)


def test_a_new_set_at_a_place_makes_the_one_before_stale() -> None:
    asks = Asks()
    first, other, second = put(asks), put(asks, "/dev/b"), put(asks)
    assert list(asks.waiting) == [other, second]
    assert len({first.id, other.id, second.id}) == 3
    with pytest.raises(StaleError):
        asks.take(first.id)
    assert (asks.drop(second.place), asks.drop(second.place)) == (True, False)
    assert list(asks.waiting) == [other]


def test_answers_are_taken_as_at_a_prompt_with_the_second_they_were_given() -> None:
    ask = put(Asks())
    notes = ask.notes(
        {"propellers-off": "YES", "goggles-firmware": "4.2.1", "battery-connector": "2", "box": "a spare"}, NOW
    )
    assert {name: note.value for name, note in notes.answers.items()} == {
        "propellers-off": True,
        "goggles-firmware": "4.2.1",
        "battery-connector": "large",
        "box": "a spare",
    }
    assert {note.at for note in notes.answers.values()} == {"2027-01-15T08:00:00Z"}
    assert (notes.craft, notes.serial) == ("Teal Wren", "A1")


@pytest.mark.parametrize(
    ("question", "value"),
    [
        ("propellers-off", "perhaps"),
        ("propellers-off", 1),
        ("goggles-firmware", "new"),
        ("goggles-firmware", True),
        ("battery-connector", "3"),
        ("battery-connector", "²"),
        ("box", "   "),
        ("box", "line\nline"),
        ("box", "x" * 401),
        ("nobody-asked", "yes"),
    ],
)
def test_what_cannot_be_the_answer_is_named_with_what_could(question: str, value: bool | str) -> None:
    with pytest.raises(AnswerError, match="please") as wrong:
        put(Asks()).notes({question: value}, NOW)
    assert wrong.value.question == question
    assert wrong.value.wanted


def test_the_same_board_is_asked_again_with_its_answers_of_before() -> None:
    asks = Asks()
    first = put(asks)
    asks.remember(first, first.notes({"box": "a spare"}, NOW))
    again, stranger, nameless = put(asks), put(asks, serial="A2"), put(asks, serial=None)
    assert again.before is not None
    assert again.before.answers["box"].value == "a spare"
    assert (stranger.before, nameless.before) == (None, None)
    kept = again.notes({"propellers-off": True}, NOW)
    assert {name: note.value for name, note in kept.answers.items()} == {"box": "a spare", "propellers-off": True}


def test_answers_are_remembered_for_a_bounded_number_of_boards() -> None:
    asks = Asks()
    for number in range(600):
        ask = put(asks, serial=f"S{number}")
        asks.remember(ask, ask.notes({"box": "x"}, NOW))
    assert put(asks, serial="S0").before is None
    assert put(asks, serial="S599").before is not None


def test_a_name_of_blanks_alone_names_no_craft() -> None:
    ask = put(Asks(), serial="  ")
    assert ask.notes({}, NOW).serial is None

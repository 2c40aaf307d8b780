"""A conversation for those who look on: numbered, the newest part of it, bounded."""

from __future__ import annotations

from propsoff.bench.overheard import MOST_CHARS, Overheard
from propsoff.console.capture import Event


def test_pieces_are_numbered_and_those_from_a_number_on_can_be_had() -> None:
    talk = Overheard(7)
    for number in range(5):
        talk.take(Event(number / 10, "o", f"line {number}"))
    assert (talk.began, talk.count) == (7, 5)
    assert [(piece.number, piece.text) for piece in talk.since(3)] == [(3, "line 3"), (4, "line 4")]
    assert talk.since(5) == ()
    assert talk.since(500) == ()


def test_of_a_board_that_never_stops_talking_the_newest_part_is_kept_and_the_gap_shows() -> None:
    talk = Overheard()
    for _ in range(100):
        talk.take(Event(0.0, "o", "x" * 10_000))
    talk.take(Event(0.0, "o", "y" * (2 * MOST_CHARS)))
    kept = talk.since(0)
    assert [(piece.number, len(piece.text)) for piece in kept] == [(100, MOST_CHARS)]
    for _ in range(50_000):
        talk.take(Event(0.0, "o", ""))
    assert len(talk.since(0)) <= 20_000

"""What was answered earlier about a board is there after a restart, whatever happened to the file."""

from __future__ import annotations

from pathlib import Path

import pytest

from propsoff.bench.earlier import EarlierAnswers
from propsoff.craft.model import HandNote
from propsoff.notes.model import HandNotes

AT = "2027-01-15T08:00:00Z"


def notes(value: str) -> HandNotes:
    return HandNotes({"box": HandNote(value, AT), "propellers-off": HandNote(True, AT)}, "Teal Wren", "A1")


def test_answers_are_there_after_a_restart(tmp_path: Path) -> None:
    path = tmp_path / "state" / "answers.json"
    earlier = EarlierAnswers(path)
    earlier.note("A1", notes('a "spare"\n[answers]'))
    earlier.note("Ω2", notes("nothing"))
    earlier.keep()
    again = EarlierAnswers(path)
    for serial in ("A1", "Ω2"):
        kept, was = again.of(serial), earlier.of(serial)
        assert kept is not None
        assert was is not None
        assert (kept.answers, kept.craft, kept.serial) == (was.answers, was.craft, was.serial)
    assert (again.of("B7"), again.of(""), again.of(None)) == (None, None, None)


def test_the_newest_answers_of_a_board_count(tmp_path: Path) -> None:
    earlier = EarlierAnswers(tmp_path / "answers.json")
    for value in ("first", "second"):
        earlier.note("A1", notes(value))
        earlier.keep()
    kept = EarlierAnswers(tmp_path / "answers.json").of("A1")
    assert kept is not None
    assert kept.answers["box"].value == "second"


@pytest.mark.parametrize(
    "data", [b"", b"[" * 100_000, b"{}", b'{"boards": 3}', b'{"boards": {"A1": "format = 9"}}', b"\xff"]
)
def test_a_damaged_file_is_put_aside_and_costs_nothing_else(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "answers.json"
    path.write_bytes(data)
    earlier = EarlierAnswers(path)
    assert earlier.of("A1") is None
    assert (tmp_path / "answers.json.damaged").read_bytes() == data
    earlier.note("A1", notes("again"))
    earlier.keep()
    assert EarlierAnswers(path).of("A1") is not None

"""What is saved is what is loaded again, whatever was answered."""

from __future__ import annotations

import tomllib
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from propsoff import HandNote, HandNotes, load_notes
from propsoff.notes.load import parse_notes
from propsoff.notes.save import notes_text, save_notes

IDS = st.from_regex(r"[a-z0-9][a-z0-9-]{0,20}", fullmatch=True)
VALUES = st.one_of(
    st.booleans(),
    st.integers(-(2**53), 2**53),
    st.floats(-(2.0**53), 2.0**53),
    st.text(max_size=400),
    st.sampled_from(["", '"""', "\\", "\x7f\x1b[2J\r\n", "1.10.0", "true", "\U0001f681", "'"]),
)
ZONES = st.integers(-1439, 1439).map(lambda minutes: timezone(timedelta(minutes=minutes)))


def rfc_3339(when: datetime) -> str:
    return when.isoformat().replace("+00:00", "Z")


TIMES = st.datetimes(timezones=ZONES).map(rfc_3339)
NAMES = st.none() | st.text(min_size=1, max_size=200).filter(str.strip)
NOTES = st.one_of(
    st.builds(HandNotes, st.dictionaries(IDS, st.builds(HandNote, VALUES, st.none() | TIMES)), NAMES, NAMES),
    TIMES.flatmap(
        lambda at: st.builds(HandNotes, st.dictionaries(IDS, st.builds(HandNote, VALUES, st.just(at))), NAMES, NAMES)
    ),
)


@settings(max_examples=300, deadline=None)
@given(NOTES)
def test_what_is_saved_is_loaded_again(notes: HandNotes) -> None:
    again = parse_notes(notes_text(notes), "a.toml")
    assert again == notes
    assert list(again.answers) == list(notes.answers)
    # True == 1 == 1.0 in Python
    assert [type(note.value) for note in again.answers.values()] == [
        type(note.value) for note in notes.answers.values()
    ]


@settings(max_examples=60, deadline=None)
@given(NOTES)
def test_saved_notes_are_toml_that_does_nothing_to_a_terminal(notes: HandNotes) -> None:
    text = notes_text(notes)
    assert tomllib.loads(text)["format"] == 1
    assert all(char.isprintable() or char == "\n" for char in text)


def test_one_time_of_all_answers_is_written_once() -> None:
    at = "2026-11-25T10:00:00Z"
    text = notes_text(
        HandNotes({"a": HandNote(True, at), "b": HandNote("x", at), "c": HandNote(1, "2026-01-01T00:00:00Z")})
    )
    assert text.splitlines()[1:] == [
        "format = 1",
        f"at = {at}",
        "",
        "[answers]",
        "a = true",
        'b = "x"',
        "c = { value = 1, at = 2026-01-01T00:00:00Z }",
    ]


def test_a_file_is_replaced_whole_and_nothing_is_left_beside_it(tmp_path: Path) -> None:
    path = tmp_path / "new" / "a.notes.toml"
    for value in ("first", "second"):
        save_notes(path, HandNotes({"a": HandNote(value)}))
    assert load_notes(path).answers == {"a": HandNote("second")}
    assert [each.name for each in path.parent.iterdir()] == ["a.notes.toml"]


def test_a_time_that_is_none_is_refused_before_anything_is_written(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="yesterday"):
        save_notes(tmp_path / "a.notes.toml", HandNotes({"a": HandNote(True, "yesterday")}))
    assert list(tmp_path.iterdir()) == []

"""Reading notes files: what they say, and where and how each kind of nonsense is told."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from propsoff import HandNote, HandNotes, NotesError, WrittenNote
from propsoff.notes.load import MOST_BYTES, beside, load_notes, notes_beside, parse_notes

HEAD = "format = 1\n"
KNOWN = ("receiver-bound", "goggles-firmware")
WHOLE = """\
format = 1
craft = "Teal Wren"
serial = "4F2A00191C"
at = 2026-11-25T10:00:00Z

[answers]
receiver-bound = true
goggles-firmware = "4.2.0"
cells = 6
weight = { value = 0.25, at = 2026-11-25T10:07:30.5+01:00 }

[answers.plug]
value = "small"
"""


def test_a_whole_file_is_read_with_times_and_places() -> None:
    notes = parse_notes(WHOLE, "a.toml")
    at = "2026-11-25T10:00:00Z"
    assert notes == HandNotes(
        {
            "receiver-bound": HandNote(True, at),
            "goggles-firmware": HandNote("4.2.0", at),
            "cells": HandNote(6, at),
            "weight": HandNote(0.25, "2026-11-25T10:07:30.500000+01:00"),
            "plug": HandNote("small", at),
        },
        craft="Teal Wren",
        serial="4F2A00191C",
    )
    stated = notes.stated()
    assert stated["goggles-firmware"] == WrittenNote("4.2.0", at, "a.toml:8")
    assert [note.place for note in stated.values() if isinstance(note, WrittenNote)] == [
        f"a.toml:{line}" for line in (7, 8, 9, 10, 12)
    ]


def test_all_but_the_format_may_be_left_out() -> None:
    assert parse_notes("format = 1") == HandNotes()
    assert parse_notes(f"{HEAD}[answers]\na = true").answers == {"a": HandNote(True, None)}


def test_a_time_may_be_a_text_as_rfc_3339_writes_it() -> None:
    """RFC 3339, 5.8: examples of timestamps; T and Z may be small letters (5.6)."""
    for text, told in (
        ("1985-04-12T23:20:50.52Z", "1985-04-12T23:20:50.520000Z"),
        ("1996-12-19T16:39:57-08:00", "1996-12-19T16:39:57-08:00"),
        ("1937-01-01t12:00:27.87+00:20", "1937-01-01T12:00:27.870000+00:20"),
    ):
        assert parse_notes(f'{HEAD}at = "{text}"\n[answers]\na = 1').answers["a"].at == told
        assert parse_notes(f"{HEAD}at = {text}\n[answers]\na = 1").answers["a"].at == told


@pytest.mark.parametrize(
    ("text", "line", "key", "problem", "hint"),
    [
        ("", None, "format", "missing", "begins with `format = 1`"),
        ("format = 2", 1, "format", "2 is not a format", "format 1"),
        ("format = true", 1, "format", "True is not a format", "format 1"),
        ("format = '1'", 1, "format", "'1' is not a format", "format 1"),
        (f"{HEAD}crafft = 'x'", 2, "crafft", "no such key", "did you mean craft?"),
        (f"{HEAD}receiver-bound = true", 2, "receiver-bound", "no such key", "answers stand below [answers]"),
        (f"{HEAD}craft = 5", 2, "craft", "a text of 1 to 200", "any craft"),
        (f"{HEAD}craft = ' '", 2, "craft", "a text of 1 to 200", "any craft"),
        (f"{HEAD}serial = '{'x' * 201}'", 2, "serial", "a text of 1 to 200", "any craft"),
        (f"{HEAD}at = 2026-11-25", 2, "at", "2026-11-25 is not a time with its offset", "2026-11-25T10:00:00Z"),
        (f"{HEAD}at = 2026-11-25T10:00:00", 2, "at", "is not a time with its offset", "2026-11-25T10:00:00Z"),
        (f"{HEAD}at = '2026-02-30T10:00:00Z'", 2, "at", "is not a time with its offset", None),
        (f"{HEAD}at = 5", 2, "at", "5 is not a time with its offset", None),
        (f"{HEAD}answers = 3", 2, "answers", "must be a table", "[answers]"),
        (f"{HEAD}[[answers]]", 2, "answers", "must be a table", "[answers]"),
        (f"{HEAD}[answers]\nReceiver-Bound = 1", 3, "answers.Receiver-Bound", "not the id", "receiver-bound?"),
        (f"{HEAD}[answers]\n'' = 1", 3, "answers.", "not the id", "known here: receiver-bound"),
        (f"{HEAD}[answers]\na = [1]", 3, "answers.a", "must be one value", None),
        (f"{HEAD}[answers]\na.b = 1", 3, "answers.a.b", "no such key", "known here: value, at"),
        (f"{HEAD}[answers]\na = {{ valu = 1 }}", 3, "answers.a.valu", "no such key", "did you mean value?"),
        (f"{HEAD}[answers]\na = {{ at = 2026-11-25T10:00:00Z }}", 3, "answers.a", "has no value", "{ value = ..."),
        (f"{HEAD}[answers]\na = {{ value = {{}} }}", 3, "answers.a.value", "must be one value", None),
        (f"{HEAD}[answers]\na = {{ value = 1, at = 2 }}", 3, "answers.a.at", "is not a time", "not in quotation"),
        (f"{HEAD}[answers]\na = 2026-11-25", 3, "answers.a", "is a date or a time", "in quotation marks"),
        (f"{HEAD}[answers]\na = 10:00:00", 3, "answers.a", "is a date or a time", "in quotation marks"),
        (f"{HEAD}[answers]\na = nan", 3, "answers.a", "nan is not a number", None),
        (f"{HEAD}[answers]\na = -inf", 3, "answers.a", "-inf is not a number", None),
        (f"{HEAD}[answers]\na = 0x{'f' * 9000}", 3, "answers.a", "thousands of digits is not a number", None),
        (f"{HEAD}[answers]\na = 9007199254740993", 3, "answers.a", "is not a number", None),
        (f"{HEAD}[answers]\na = '{'x' * 401}'", 3, "answers.a", "at most 400 characters", None),
        (f"{HEAD}[answers\n", 2, None, "is not TOML", None),
        (f"{HEAD}[answers]\na = 1\na = 2", 4, None, "is not TOML", None),
        (f"{HEAD}[answers]\na = {'[' * 2000}", None, None, "is nested too deeply", None),
    ],
)
def test_what_is_wrong_is_told_with_line_key_and_hint(
    tmp_path: Path, text: str, line: int | None, key: str | None, problem: str, hint: str | None
) -> None:
    file = tmp_path / "a.notes.toml"
    file.write_text(text)
    with pytest.raises(NotesError) as caught:
        load_notes(file, KNOWN)
    error = caught.value
    assert (str(error.source), error.line, error.key) == (str(file), line, key)
    assert problem in error.problem
    assert hint is None or hint in (error.hint or "")
    assert "\n" not in str(error)


@pytest.mark.parametrize(
    ("what", "problem"),
    [
        ("absent", "No such file"),
        ("folder", "is a folder"),
        ("pipe", "is no ordinary file"),
        ("device", "is no ordinary file"),
        ("large", "larger than 64 KiB"),
        ("1 MB", "larger than 64 KiB"),
        ("bytes", "is not UTF-8 text"),
        ("null in the name", "null"),
        ("endless link", "Too many levels"),
    ],
)
def test_what_is_no_notes_file_at_all_is_told(tmp_path: Path, what: str, problem: str) -> None:
    path = tmp_path / "a.notes.toml"
    match what:
        case "folder":
            path.mkdir()
        case "pipe":
            os.mkfifo(path)
        case "device":
            path.symlink_to("/dev/zero")
        case "large":
            path.write_text(f"{HEAD}#{'x' * MOST_BYTES}")
        case "1 MB":
            path.write_bytes(b"#" * 1_000_000)
        case "bytes":
            path.write_bytes(b"format = 1\n# \xff\n")
        case "null in the name":
            path = tmp_path / "a\0.toml"
        case "endless link":
            path.symlink_to(path)
    with pytest.raises(NotesError, match=problem):
        load_notes(path)


def test_notes_are_found_beside_a_capture_by_its_name(tmp_path: Path) -> None:
    capture = tmp_path / "two.dots.cast"
    assert beside(capture).name == "two.dots.notes.toml"
    assert notes_beside(capture) is None
    (tmp_path / "two.dots.notes.toml").write_text(f"{HEAD}[answers]\na = true")
    assert notes_beside(capture) == HandNotes({"a": HandNote(True)})
    assert notes_beside(capture.with_suffix(".txt")) == notes_beside(capture)


def test_a_broken_file_beside_a_capture_is_an_error_and_no_file_is_none(tmp_path: Path) -> None:
    capture = tmp_path / "a.cast"
    (tmp_path / "a.notes.toml").symlink_to(tmp_path / "nowhere")
    assert isinstance(notes_beside(capture), NotesError)
    assert notes_beside(tmp_path / f"{'x' * 250}.cast") is None  # no file can have that name
    assert notes_beside(tmp_path / "a.notes.toml" / "b.cast") is None

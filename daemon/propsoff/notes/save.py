"""Writing a notes file, so that the same capture gives the same findings once more."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from propsoff.craft.model import HandNote
from propsoff.notes.answers import instant_of
from propsoff.notes.load import FORMAT
from propsoff.notes.model import HandNotes
from propsoff.safe_write import replace_file
from propsoff.toml_text import toml_key, toml_value

_HEAD = "# What a person saw on this craft. propsoff reads it with the capture of the same name beside it."


def save_notes(path: Path, notes: HandNotes, *, sync: bool = True) -> None:
    """Write the notes, whole or not at all, in the place of what is there.

    Raises OSError; ValueError for a time that is not RFC 3339.
    """
    replace_file(path, notes_text(notes).encode(), sync=sync)


def notes_text(notes: HandNotes) -> str:
    """The notes as `load_notes` reads them. Raises ValueError for a time that is not RFC 3339."""
    return "\n".join((_HEAD, *_lines(notes), ""))


def _lines(notes: HandNotes) -> Iterator[str]:
    yield f"format = {FORMAT}"
    for key, name in (("craft", notes.craft), ("serial", notes.serial)):
        if name is not None:
            yield f"{key} = {toml_value(name)}"
    common = _common(notes)
    if common is not None:
        yield f"at = {common}"
    yield from ("", "[answers]")
    for name, note in notes.answers.items():
        value = toml_value(note.value)
        if note.at != common:
            value = f"{{ value = {value}, at = {_instant(note)} }}"
        yield f"{toml_key(name)} = {value}"


def _common(notes: HandNotes) -> str | None:
    """The time to write once. None as soon as one answer has no time: it must not be given that of the others."""
    times = [note.at for note in notes.answers.values()]
    if not times or None in times:
        return None
    return _instant(next(iter(notes.answers.values())))


def _instant(note: HandNote) -> str:
    at = instant_of(note.at)
    if at is None:
        raise ValueError(f"{note.at!r} is not a time as RFC 3339 writes it")
    return at

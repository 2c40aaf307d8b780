"""Hand notes: answers of a person about one craft, or about every craft that they are given for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from propsoff.craft.model import Craft, HandNote
from propsoff.exceptions import NotesError


@dataclass(frozen=True, slots=True)
class WrittenNote(HandNote):
    """An answer that was read from a file; `place` is `FILE:LINE`."""

    place: str = ""


@dataclass(frozen=True)
class HandNotes:
    """Answers by the ids of their questions.

    `craft` and `serial` say whose they are, by its name and by the board's serial number; None: of whatever craft they
    are given for. `source` is the file that they were read from, empty when there was none; `places` are the answers'
    places in it, `FILE:LINE`.
    """

    answers: Mapping[str, HandNote] = field(default_factory=dict)
    craft: str | None = None
    serial: str | None = None
    source: str = field(default="", compare=False)
    places: Mapping[str, str] = field(default_factory=dict, compare=False, repr=False)

    def stated(self) -> Mapping[str, HandNote]:
        """The answers as facts of a craft; each that stands in a file knows where."""
        return {
            name: WrittenNote(note.value, note.at, self.places[name]) if name in self.places else note
            for name, note in self.answers.items()
        }

    def of_another(self, craft: Craft) -> str | None:
        """Why these notes cannot be taken for this craft's, in words; None when they can."""
        for said, found, what in (
            (self.craft, craft.craft.name, "the craft's name"),
            (self.serial, craft.board.serial, "the board's serial number"),
        ):
            if said is None:
                continue
            if found is None:
                return f"they are of {said!r}, and {what} was not read"
            if _folded(said) != _folded(found):
                return f"they are of {said!r}, and {what} is {found!r}"
        return None


Hand = HandNotes | NotesError
"""What a person said of a craft, or why that cannot be read."""


def _folded(text: str) -> str:
    return text.strip().casefold()

"""Questions that wait for a person: those of a build sheet, about a craft that was read. Whoever answers, it is here.

Each set of questions has an id that is used once: an answer to one that was answered, replaced or put off is refused,
so that nobody's words end up on another craft.
"""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from propsoff.bench.earlier import EarlierAnswers
from propsoff.bench.places import place_of
from propsoff.craft.model import HandNote, Scalar
from propsoff.exceptions import StaleError
from propsoff.notes.answers import answer_of, wanted_answer
from propsoff.notes.load import LONGEST_NAME
from propsoff.notes.model import HandNotes

if TYPE_CHECKING:
    from propsoff.console.capture import Capture
    from propsoff.inspection.meant import Meant
    from propsoff.inspection.report import Report
    from propsoff.ports.facts import Port
    from propsoff.sheets.model import Question


class AnswerError(ValueError):
    """An answer cannot be one; `question` is its id, the text says what it should be."""

    def __init__(self, question: str, wanted: str) -> None:
        self.question, self.wanted = question, wanted
        super().__init__(f"{question}: {wanted}, please")


@dataclass(frozen=True)
class Ask:
    """The questions of one visit. `before` are the answers that were given earlier, to be kept or changed."""

    id: str
    place: str
    port: Port
    report: Report
    capture: Capture
    meant: Meant
    before: HandNotes | None = None

    @property
    def questions(self) -> tuple[Question, ...]:
        """What is asked, in the order of the sheet."""
        return tuple(self.meant.sheet.questions)

    def notes(self, answers: Mapping[str, Scalar | str], now: datetime) -> HandNotes:
        """All answers with the new ones among them; a text is taken as it would be at a prompt.

        Raises AnswerError, with the question and what would be an answer to it.
        """
        known = {question.id: question for question in self.questions}
        at = now.astimezone(UTC).replace(microsecond=0).isoformat().replace("+00:00", "Z")
        given = dict(self.before.answers) if self.before else {}
        for name, value in answers.items():
            question = known.get(name)
            if question is None:
                raise AnswerError(name, f"is not asked here; asked are {', '.join(known)}")
            given[name] = HandNote(_value(question, value), at)
        craft = self.meant.craft
        return HandNotes(given, _fitting(craft.craft.name), _fitting(craft.board.serial))


def _value(question: Question, value: Scalar | str) -> Scalar:
    """Raises AnswerError."""
    if isinstance(value, str):
        try:
            return answer_of(question, value)
        except ValueError as wrong:
            raise AnswerError(question.id, str(wrong)) from None
    if (wanted := wanted_answer(question, value)) is not None:
        raise AnswerError(question.id, wanted)
    return value


def _fitting(text: str | None) -> str | None:
    """A name that notes can carry; a name of blanks alone names nobody."""
    return text if text and text.strip() and len(text) <= LONGEST_NAME else None


class Asks:
    """The questions that wait, at most one set for each place. All of it on the bench's event loop."""

    def __init__(self, earlier: EarlierAnswers | None = None) -> None:
        self.earlier = earlier or EarlierAnswers()
        """What was answered about each board before."""
        self._waiting: dict[str, Ask] = {}

    @property
    def waiting(self) -> tuple[Ask, ...]:
        """Every set that waits, the oldest first."""
        return tuple(self._waiting.values())

    def put(self, port: Port, report: Report, capture: Capture, meant: Meant) -> Ask:
        """Ask about the craft of a port; what was asked at its place before is out of date."""
        place = place_of(port)
        self._waiting.pop(place, None)
        before = self.earlier.of(meant.craft.board.serial)
        ask = Ask(secrets.token_hex(8), place, port, report, capture, meant, before)
        self._waiting[place] = ask
        return ask

    def get(self, ask: str) -> Ask:
        """The set of that id. Raises StaleError when it does not wait any more."""
        for each in self._waiting.values():
            if secrets.compare_digest(each.id.encode(), ask.encode()):
                return each
        raise StaleError(
            f"the questions {ask[:40]!r} were answered meanwhile, or are of an earlier craft; look at the place again"
        )

    def take(self, ask: str) -> Ask:
        """The same, and it waits no longer. Raises StaleError."""
        found = self.get(ask)
        del self._waiting[found.place]
        return found

    def remember(self, ask: Ask, notes: HandNotes) -> None:
        """Show these answers when the same board is asked about again."""
        if serial := ask.meant.craft.board.serial:
            self.earlier.note(serial, notes)

    def drop(self, place: str) -> bool:
        """Nothing waits at a place any more; whether something did."""
        return self._waiting.pop(place, None) is not None

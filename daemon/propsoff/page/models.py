"""What callers send and get: strict, so that a 0 is no consent and a misspelt key is told."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING, Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, StringConstraints, WithJsonSchema

from propsoff.bench.overheard import Piece
from propsoff.bench.scene import PlaceNow, Told
from propsoff.inspection.finding import Verdict
from propsoff.page.shelf import REPORT_ID, Source
from propsoff.ports.consent import Scope
from propsoff.ports.consent import Verdict as Word
from propsoff.records.compare import Comparison
from propsoff.store.model import KeptVisit, Wanted

if TYPE_CHECKING:
    from propsoff.bench.asks import Ask

MOST_WAIT_S = 600.0
_NO_CONTROLS = r"^[^\x00-\x1f\x7f-\x9f]*$"

PlaceId = Annotated[str, StringConstraints(pattern=r"^[A-Za-z0-9._-]{1,80}$")]
ReportId = Annotated[str, StringConstraints(pattern=REPORT_ID)]
Line = Annotated[str, StringConstraints(max_length=400, pattern=_NO_CONTROLS)]
"""One line of text, without control characters."""


def _instant(value: Any) -> Any:
    """RFC 3339, or a date alone; a time without a zone is in UTC."""
    if not isinstance(value, str) or len(value) > 40:
        raise ValueError("a time such as 2026-03-01T12:00:00Z, or a date such as 2026-03-01")
    try:
        when = datetime.fromisoformat(value)
    except ValueError:
        raise ValueError("a time such as 2026-03-01T12:00:00Z, or a date such as 2026-03-01") from None
    return when if when.tzinfo else when.replace(tzinfo=UTC)


Instant = Annotated[
    datetime, BeforeValidator(_instant), WithJsonSchema({"type": "string", "format": "date-time", "maxLength": 40})
]


class Strict(BaseModel):
    """Nothing is made into another type, and nothing unknown is passed over."""

    model_config = ConfigDict(strict=True, extra="forbid", frozen=True)


class InspectBody(Strict):
    """What to inspect once more. `named`: the caller names this very port, which is consent for this once."""

    device: Line | None = Field(default=None, description="Which port, where a board has several.")
    named: bool = Field(default=False, description="Whether naming the port is the consent to open it this once.")
    join: bool = Field(default=False, description="Whether an inspection that is under way already will do.")


class ConsentBody(Strict):
    """The operator's word on what is plugged in."""

    scope: Scope
    verdict: Word
    device: Line | None = Field(default=None, description="Which port, where a board has several.")
    note: Line = ""


class AnswersBody(Strict):
    """Answers by the id of their question."""

    answers: Annotated[dict[str, bool | str], Field(min_length=1, max_length=200)]


class SessionBody(Strict):
    """The token, shown once to get a cookie for it."""

    token: Annotated[str, StringConstraints(max_length=4096)]


class Waiting(BaseModel):
    """How long a caller waits for something new, in seconds."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    wait_s: Annotated[float, Field(ge=0, le=MOST_WAIT_S, allow_inf_nan=False)] = 0.0


class ReportWait(Waiting):
    """Which report is known already."""

    after: ReportId | None = None


class TalkWait(Waiting):
    """Which piece of which conversation is wanted next."""

    since: Annotated[int, Field(ge=0, le=1 << 53)] = 0
    began: Annotated[int, Field(ge=0, le=1 << 53)] | None = None


class VisitFilter(BaseModel):
    """Which visits; texts match whole, without regard to case."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    craft: Annotated[str, StringConstraints(max_length=200)] | None = Field(
        default=None,
        description="A board serial number, a craft's name, or the id of a report: every visit of its craft.",
    )
    verdict: Verdict | None = None
    bench: Annotated[str, StringConstraints(max_length=200)] | None = None
    board: Annotated[str, StringConstraints(max_length=200)] | None = None
    sheet: Annotated[str, StringConstraints(max_length=200)] | None = None
    since: Instant | None = None
    until: Instant | None = None
    limit: Annotated[int, Field(ge=1, le=1000)] = 100

    def wanted(self) -> Wanted:
        """The same as history takes it."""
        return Wanted(
            craft=self.craft,
            since=self.since,
            until=self.until,
            verdict=None if self.verdict is None else self.verdict.value,
            bench=self.bench,
            sheet=self.sheet,
            board=self.board,
            limit=self.limit,
        )


class BenchView(Strict):
    """The whole bench. `changed` is the number of its newest change, `started` (RFC 3339) when serving it began."""

    bench: str
    version: str
    started: str
    changed: int
    places: tuple[PlaceNow, ...]
    troubles: tuple[Told, ...]


class Begun(Strict):
    """An inspection has begun. `before` is the report that is the newest of that place until then."""

    place: str
    before: str | None
    changed: int


class TalkView(Strict):
    """What is said on a console. `began` tells one conversation from the next; ask on with it and with `next`."""

    place: str
    began: int
    reading: bool
    next: int
    pieces: tuple[Piece, ...]


class QuestionView(Strict):
    """One question. `before` was answered when this board was here before, at the time `before_at` (RFC 3339)."""

    id: str
    ask: str
    kind: Literal["yes-no", "text", "version", "choice"]
    choices: tuple[str, ...] = ()
    before: bool | str | int | float | None = None
    before_at: str | None = None


class AskView(Strict):
    """Questions that wait for a person, of one visit; the id is used once."""

    id: str
    place: str
    report: str
    craft: str
    sheet: str
    questions: tuple[QuestionView, ...]

    @classmethod
    def of(cls, ask: Ask) -> AskView:
        """What a caller sees of the questions."""
        before = ask.before.answers if ask.before else {}
        questions = []
        for one in ask.questions:
            note = before.get(one.id)
            questions.append(
                QuestionView(
                    id=one.id,
                    ask=one.ask,
                    kind=one.kind,
                    choices=one.choices,
                    before=None if note is None else note.value,
                    before_at=None if note is None else note.at,
                )
            )
        return cls(
            id=ask.id,
            place=ask.place,
            report=ask.report.id,
            craft=ask.report.called,
            sheet=ask.meant.sheet.name,
            questions=tuple(questions),
        )


class VisitsView(BaseModel):
    """Visits, newest first, and where they are known from."""

    model_config = ConfigDict(populate_by_name=True)

    visits: tuple[KeptVisit, ...]
    source: Source = Field(alias="from")


class ChangesView(Strict):
    """A report (b) beside another one (a), which is `with`, of the time `created` (RFC 3339)."""

    model_config = ConfigDict(populate_by_name=True)

    with_: str = Field(alias="with")
    created: str
    same: bool
    comparison: Comparison


class Alive(Strict):
    """The process answers."""

    status: Literal["alive"] = "alive"


class Ready(Strict):
    """Whether what is plugged in now is inspected, and why not."""

    ready: bool
    bench: str
    why: str

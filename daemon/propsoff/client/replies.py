"""What a bench answers, as types. Reports, places, visits, consents are the project's own; the rest is here.

What a newer bench tells beyond these is left out.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from propsoff.bench.overheard import Piece
from propsoff.bench.scene import PlaceNow, Told
from propsoff.craft.model import Scalar
from propsoff.records.compare import Comparison
from propsoff.store.model import KeptVisit


@dataclass(frozen=True, slots=True)
class BenchNow:
    """The whole bench. `started` is RFC 3339, `changed` the number of its newest change, the newest trouble is last."""

    bench: str
    version: str
    started: str
    changed: int
    places: tuple[PlaceNow, ...] = ()
    troubles: tuple[Told, ...] = ()


Happening = BenchNow | PlaceNow | Told
"""What the stream of events brings: the bench as it is at the start and after a break, then what changes."""


@dataclass(frozen=True, slots=True)
class Begun:
    """An inspection that has begun. `before` is the newest report of the place until now: wait for one after it."""

    place: str
    before: str | None
    changed: int


@dataclass(frozen=True, slots=True)
class AskedQuestion:
    """A question for a person; `kind` is yes-no, version, choice or text. `before` was answered earlier, then."""

    id: str
    ask: str
    kind: str
    choices: tuple[str, ...] = ()
    before: Scalar | None = None
    before_at: str | None = None


@dataclass(frozen=True, slots=True)
class AskView:
    """The questions of one visit. `report` is the id of the report they are about, `sheet` the sheet that asks."""

    id: str
    place: str
    report: str
    craft: str
    sheet: str
    questions: tuple[AskedQuestion, ...] = ()


@dataclass(frozen=True, slots=True)
class Visits:
    """Visits, the newest first, and where they are known from."""

    visits: tuple[KeptVisit, ...]
    source: Literal["history", "this run"] = "history"


@dataclass(frozen=True, slots=True)
class Said:
    """What is said on a console. `began` is the number of the conversation, `next` that of the next piece."""

    place: str
    began: int
    reading: bool
    next: int
    pieces: tuple[Piece, ...] = ()


@dataclass(frozen=True, slots=True)
class Changes:
    """What differs between a report and the one `other` of the time `created` (RFC 3339), which is the side `a`."""

    other: str
    created: str
    same: bool
    comparison: Comparison


@dataclass(frozen=True, slots=True)
class Ready:
    """Whether a bench is at work; `why` says why it is not."""

    ready: bool
    bench: str = ""
    why: str = ""

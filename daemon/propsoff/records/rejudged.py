"""What today's checks and sheets say of conversations that were inspected before."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from propsoff.records.compare import Changed, findings_changed
from propsoff.records.verdicts import NOT_KNOWN

if TYPE_CHECKING:
    from propsoff.inspection.report import Report


@dataclass(frozen=True, slots=True)
class Rejudged:
    """One visit judged again. `why_not` says in words why it could not be; then nothing is known of today.

    `looked_at_again`: it was inspected for this; what was inspected by today's rules before need not be. `without`
    names the build sheet and the checks of that day that are not here (see `propsoff.records.absent`).
    """

    report: str
    label: str
    before: str
    after: str | None
    findings: tuple[Changed, ...] = ()
    why_not: str = ""
    looked_at_again: bool = True
    without: tuple[str, ...] = ()

    @property
    def changed(self) -> bool:
        """Whether today's verdict or findings are other ones than those of that day."""
        return self.after is not None and (self.before != self.after or bool(self.findings))


def rejudged(old: Report, new: Report, *, looked_at: bool = True, without: tuple[str, ...] = ()) -> Rejudged:
    """The same conversation as it was judged, and as it is judged now."""
    was, now = old.verdict.value, new.verdict.value
    found = findings_changed(old, new)
    return Rejudged(old.id, old.called, was, now, found, looked_at_again=looked_at, without=without)


def word_for_word(old: Report, new: Report) -> bool:
    """Whether two reports of one conversation say the same, but for when and by which version they were made."""
    made = ("id", "created", "tool", "plugins")
    return old == new.model_copy(update={name: getattr(old, name) for name in made})


def not_rejudged(old_id: str, label: str, verdict: str, why: str) -> Rejudged:
    """A visit whose conversation is there no more, or cannot be read."""
    return Rejudged(old_id, label, verdict, None, why_not=why, looked_at_again=False)


def by_finding(visits: Sequence[Rejudged]) -> Mapping[str, tuple[int, int, int]]:
    """For each CHECK/CODE that changed: on how many visits it came, went, and has another outcome.

    One that came may have been there before, where no check looked for it; none of which nobody can tell went.
    """
    found: dict[str, list[int]] = {}
    for visit in visits:
        for one in visit.findings:
            counts = found.setdefault(one.name, [0, 0, 0])
            counts[0 if one.a in (None, NOT_KNOWN) else 1 if one.b is None else 2] += 1
    return {name: (came, went, other) for name, (came, went, other) in sorted(found.items())}

"""What a check is given: the craft, the sheet that it should meet, and how to speak to this board in its own words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Protocol

from propsoff.craft.model import Craft, Neighbour
from propsoff.craft.names import CALLED_BY, facts
from propsoff.inspection.check import Check
from propsoff.inspection.finding import Evidence, Finding, Outcome, Remedy

if TYPE_CHECKING:
    from propsoff.sheets.model import BuildSheet

_MAX_EVIDENCE = 12
_MAX_NAME = 40
_UNREAD_STEPS = (
    "Inspect again. If it is not read again: see whether the board's console states it at all; this firmware may use a "
    "word that its dialect does not know.",
)
_GARBLED_STEPS = (
    "Inspect again: a bad cable garbles a line now and then. If it reads the same again, set the value anew on the "
    "board; if the value is right, this firmware writes it in a way that its dialect does not know.",
)


class Tongue(Protocol):
    """What a dialect can say back and what it knows of its firmware; a check uses it for remedies only."""

    @property
    def id(self) -> str:
        """The dialect's id."""

    def say(self, fact: str, value: object, *, row: Mapping[str, object] | None = None) -> tuple[str, ...]:
        """Console lines that set a fact; empty when this dialect cannot say it.

        `fact` is a canonical name; of a repeated group `ports[].roles`, with `row` naming which by the group's fields
        (`{"id": "U3"}`).
        """

    def say_all(self, settings: Sequence[tuple[str, object]]) -> tuple[str, ...]:
        """Console lines that set all these (fact, value) pairs, said together where the board has one word for several.

        Empty when any of them cannot be said.
        """

    def closing(self) -> tuple[str, ...]:
        """Console lines that make settings last (store, restart); they end every remedy that sets something."""

    def since(self, capability: str) -> str | None:
        """The firmware version from which a capability exists (`digital-grid`), None when the dialect does not say."""


@dataclass(frozen=True)
class Case:
    """One craft before one check. `lines` are the transcript's lines, index 0 is line 1.

    `neighbours` are other craft that were on this bench on the same day, as the capture has them.
    """

    check: Check
    craft: Craft
    sheet: BuildSheet
    tongue: Tongue | None = None
    lines: Sequence[str] = field(default=(), repr=False)
    neighbours: tuple[Neighbour, ...] = ()

    def passed(
        self, summary: str, *, code: str | None = None, facts: Sequence[str] = (), actual: str | None = None
    ) -> Finding:
        """It is as it should be."""
        return self._finding(Outcome.PASS, summary, facts, code=code, actual=actual)

    def warn(self, summary: str, **details: object) -> Finding:
        """Worth a look before flight; takes the details of `fail`."""
        return self._finding(Outcome.WARN, summary, **details)  # type: ignore[arg-type]  # same names as fail()

    def fail(
        self,
        summary: str,
        *,
        code: str | None = None,
        facts: Sequence[str] = (),
        expected: str | None = None,
        actual: str | None = None,
        why: str | None = None,
        settings: Sequence[tuple[str, object]] = (),
        console: Sequence[str] = (),
        steps: Sequence[str] = (),
        caution: str | None = None,
        explains: Sequence[str] = (),
    ) -> Finding:
        """It is wrong.

        `code` is a lower-case word that tells it from this check's other findings, for waivers and for comparisons; it
        stays when the texts change. `explains` names findings (CHECK or CHECK/CODE) that are only effects of this one.

        `facts` name the evidence. `settings` are (canonical fact, value) pairs that put it right: said in this board's
        words where its dialect can. `console` are further lines, `steps` what hands must do.
        """
        return self._finding(
            Outcome.FAIL,
            summary,
            facts,
            code=code,
            expected=expected,
            actual=actual,
            why=why,
            settings=settings,
            console=console,
            steps=steps,
            caution=caution,
            explains=explains,
        )

    def unknown(
        self,
        summary: str,
        *,
        code: str | None = None,
        facts: Sequence[str] = (),
        steps: Sequence[str] = (),
        explains: Sequence[str] = (),
    ) -> Finding:
        """It could not be told; `explains` as in `fail`: what else could not be told for the same reason."""
        return self._finding(Outcome.UNKNOWN, summary, facts, code=code, steps=steps, explains=explains)

    def unread(self, *facts: str, explains: Sequence[str] = ()) -> Finding:
        """It could not be told, because these facts were not read; says so, with the problems recorded for them.

        `explains` as in `fail`: what else could not be told for the same reason.
        """
        problems = [problem for problem in self.craft.problems if problem.fact and problem.fact.startswith(facts)]
        because = "; ".join(f"line {problem.line}: {problem.message}" for problem in problems[:3])
        summary = f"not read from this board: {', '.join(map(self._told, facts))}" + (
            f" ({because})" if because else ""
        )
        finding = self._finding(
            Outcome.UNKNOWN,
            summary[:400],
            facts,
            code="unread",
            steps=_GARBLED_STEPS if problems else _UNREAD_STEPS,
            explains=explains,
        )
        seen = tuple(Evidence(line=p.line, text=p.text) for p in problems[:_MAX_EVIDENCE] if p.line)
        return finding.model_copy(update={"evidence": (*finding.evidence, *seen)})

    def skipped(self, summary: str) -> Finding:
        """It does not apply to this craft; the summary says why."""
        return self._finding(Outcome.SKIPPED, summary, ())

    def say(self, settings: Sequence[tuple[str, object]]) -> tuple[str, ...]:
        """Console lines for (canonical fact, value) pairs and the closing lines; () when the dialect cannot say all."""
        if self.tongue is None or not settings:
            return ()
        said = self.tongue.say_all(settings)
        return (*said, *self.tongue.closing()) if said else ()

    def evidence(self, *facts: str) -> tuple[Evidence, ...]:
        """The transcript lines that state these facts (at most 12)."""
        numbers = self.craft.lines(*facts)[:_MAX_EVIDENCE] if facts else ()
        return tuple(Evidence(line=n, text=self.lines[n - 1]) for n in numbers if 0 < n <= len(self.lines))

    def _told(self, fact: str) -> str:
        """A fact's name, and in words what it is; of a row, of which."""
        group, marker, rest = fact.partition("[")
        index, _, _ = rest.partition("]")
        spec = facts().get(f"{group}[]{rest[len(index) + 1 :]}" if marker else fact)
        if spec is None:
            return fact
        named_by = f"{group}[{index}].{CALLED_BY[group]}" if group in CALLED_BY else fact
        row = self.craft.value(named_by) if named_by != fact else None
        return f"{fact} ({spec.doc.partition(';')[0]}{f', of {str(row)[:_MAX_NAME]}' if row else ''})"

    def _finding(
        self,
        outcome: Outcome,
        summary: str,
        facts: Sequence[str] = (),
        *,
        code: str | None = None,
        expected: str | None = None,
        actual: str | None = None,
        why: str | None = None,
        settings: Sequence[tuple[str, object]] = (),
        console: Sequence[str] = (),
        steps: Sequence[str] = (),
        caution: str | None = None,
        explains: Sequence[str] = (),
    ) -> Finding:
        acts = outcome in (Outcome.WARN, Outcome.FAIL)
        return Finding(
            check=self.check.id,
            outcome=outcome,
            code=code,
            summary=summary,
            expected=expected,
            actual=actual,
            why=self.check.why if why is None else why,
            remedy=Remedy(console=(*self.say(settings), *console), steps=tuple(steps)),
            evidence=self.evidence(*facts),
            caution=(caution or self.check.caution) if acts else None,
            sources=self.check.sources,
            explains=tuple(explains) if acts or outcome is Outcome.UNKNOWN else (),
        )

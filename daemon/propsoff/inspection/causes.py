"""One cause, one thing to do: findings that are only effects of another are laid under it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from propsoff.inspection.finding import Finding, Outcome

_ACTS = (Outcome.WARN, Outcome.FAIL)
_EFFECTS = (*_ACTS, Outcome.UNKNOWN)


def under_their_causes(findings: Sequence[Finding]) -> list[Finding]:
    """The findings in the same order; what another one explains names its root cause in `because`.

    What fails or warns explains what fails, warns or is unknown; what is unknown explains only what is unknown. Of
    several that explain the same, the first is the cause, and of two that explain each other the one that stands first;
    an effect of an effect is one of the root.
    """
    parents: dict[int, int] = {}
    causes = [at for at, finding in enumerate(findings) if finding.explains and finding.outcome in _EFFECTS]
    for cause in causes:
        for effect, finding in enumerate(findings):
            if effect not in parents and _explains(findings[cause], finding) and _root(cause, parents) != effect:
                parents[effect] = cause
    return [
        finding.model_copy(update={"because": findings[_root(at, parents)].name}) if at in parents else finding
        for at, finding in enumerate(findings)
    ]


def root_causes(findings: Sequence[Finding]) -> list[Finding]:
    """What wants doing: what is neither well, nor waived, nor an effect of something else."""
    return [one for one in findings if one.because is None and one.counts_as in (*_EFFECTS, Outcome.ERROR)]


def _explains(cause: Finding, effect: Finding) -> bool:
    named = effect.name in cause.explains or effect.check in cause.explains
    reached = _EFFECTS if cause.outcome in _ACTS else (Outcome.UNKNOWN,)
    return named and effect.outcome in reached and cause is not effect


def _root(at: int, parents: Mapping[int, int]) -> int:
    while at in parents:
        at = parents[at]
    return at

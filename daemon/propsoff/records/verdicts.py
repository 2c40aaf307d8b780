"""What each report says of a finding by its name: an outcome, that it is not there, or that nobody can tell."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from propsoff.inspection.check import RESERVED
from propsoff.inspection.finding import Outcome
from propsoff.records.named import NOT_WHOLE

if TYPE_CHECKING:
    from propsoff.inspection.finding import Finding
    from propsoff.inspection.report import Report

NOT_KNOWN = "not known"
"""In place of an outcome: the check did not run, or could not tell."""

_SAYS_NOTHING = (Outcome.PASS, Outcome.SKIPPED)
_CANNOT_TELL = (Outcome.UNKNOWN, Outcome.ERROR)
_TAKEN_OUT = re.compile(
    r"left out by the settings of this bench"
    r"|the sheet .* takes it out: .*|the sheet .* names the checks that apply, and not this one",
    re.DOTALL,
)
"""How a report says that a check did not run (see `propsoff.inspection.examination` and `applicable`)."""


@dataclass(frozen=True, slots=True)
class Verdicts:
    """The findings of one report. `told` is by name the outcome that counts and the summary of what is no pass."""

    told: Mapping[str, tuple[str, str]]
    ran: frozenset[str]
    unsure: frozenset[str]
    whole: bool

    @classmethod
    def of(cls, report: Report) -> Verdicts:
        """Of a report; a finding that is waived is called so."""
        told: dict[str, tuple[str, str]] = {}
        for one in report.findings:
            if one.outcome not in _SAYS_NOTHING:
                outcome = one.outcome.value if one.waived is None else f"{one.outcome.value}, waived"
                told.setdefault(one.name, (outcome, one.summary))
        ran = frozenset(one.check for one in report.findings if not _is_taken_out(one))
        unsure = frozenset(one.check for one in report.findings if one.outcome in _CANNOT_TELL)
        whole = report.complete and not any(one.name == NOT_WHOLE for one in report.findings)
        return cls(told, ran, unsure, whole)

    def outcome(self, name: str) -> str | None:
        """The outcome of a finding; None where it is certain that it was not found, `NOT_KNOWN` where it is not."""
        if name in self.told:
            return self.told[name][0]
        check = name.partition("/")[0]
        could_tell = self.whole and check not in self.unsure and (check in self.ran or check in RESERVED)
        return None if could_tell else NOT_KNOWN


def is_certain(outcome: str | None) -> bool:
    """Whether an outcome says what is so."""
    return outcome is None or outcome.partition(",")[0] not in (NOT_KNOWN, *(one.value for one in _CANNOT_TELL))


def _is_taken_out(finding: Finding) -> bool:
    return finding.outcome is Outcome.SKIPPED and _TAKEN_OUT.fullmatch(finding.summary) is not None

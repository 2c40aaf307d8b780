"""The packages of test consoles, each as it was handed in."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import pytest

from tests_support.closing_consoles import CLOSING
from tests_support.exam_consoles import EXAM
from tests_support.final_consoles import FINAL
from tests_support.judging_consoles_a import JUDGING_A
from tests_support.judging_consoles_b import JUDGING_B
from tests_support.last_consoles import LAST
from tests_support.oath_consoles import OATH
from tests_support.other_consoles.console import Console
from tests_support.other_consoles.seen import SEEN
from tests_support.other_consoles.stating import StatingConsole
from tests_support.parting_consoles_a import PARTING_A
from tests_support.parting_consoles_b import PARTING_B
from tests_support.proof_consoles import PROOF
from tests_support.sealed_consoles_a import SEALED_A
from tests_support.sealed_consoles_b import SEALED_B
from tests_support.sealed_consoles_c import SEALED_C
from tests_support.trial_consoles_a import TRIAL_A
from tests_support.trial_consoles_b import TRIAL_B
from tests_support.trial_consoles_c import TRIAL_C
from tests_support.unseen_consoles import UNSEEN
from tests_support.verdict_consoles_a import VERDICT_A
from tests_support.verdict_consoles_b import VERDICT_B
from tests_support.witness_consoles import WITNESS

TENTHS = (0.1, 0.01)


@dataclass(frozen=True)
class Package:
    """Consoles by one author.

    `kept` is how many facts each states, a repeated group counted once. Where `whole`, a value may stand in any of the
    texts of its fact, else it stands in the last one. `times` scales numbers whose unit stands in no text of the fact;
    `periods` tells that a rate may be written as a period in us. Where `mixed`, a quarter to a half of the lines state
    other things. Where `guessable`, the word for help is a usual one or stands in the refusal. Where `bare`, a flag is
    one word of those for its value, and no word for the other, behind its name.
    """

    name: str
    count: int
    consoles: tuple[type[Console], ...]
    kept: tuple[int, int]
    whole: bool = False
    times: tuple[float, ...] = ()
    periods: bool = False
    mixed: bool = False
    guessable: bool = True
    bare: bool = False

    @property
    def kinds(self) -> tuple[type[StatingConsole], ...]:
        """The consoles with the texts of their facts."""
        return tuple(kind for kind in self.consoles if issubclass(kind, StatingConsole))


PACKAGES = (
    Package("seen", 6, SEEN, (20, 45), whole=True, periods=True, guessable=False),
    Package("unseen", 5, UNSEEN, (20, 45), whole=True, times=(*TENTHS, 1000), periods=True, guessable=False),
    Package("exam", 4, EXAM, (20, 45), whole=True, periods=True, guessable=False),
    Package("trial_a", 5, TRIAL_A, (30, 60), whole=True, times=(*TENTHS, 1024), guessable=False),
    Package("trial_b", 5, TRIAL_B, (30, 60), whole=True, times=TENTHS, guessable=False),
    Package("trial_c", 6, TRIAL_C, (30, 60), whole=True, times=(*TENTHS, 100), guessable=False),
    Package("final", 4, FINAL, (35, 60), whole=True),
    Package("last", 5, LAST, (35, 60)),
    Package("closing", 4, CLOSING, (35, 60), whole=True),
    Package("judging_a", 4, JUDGING_A, (35, 60), mixed=True),
    Package("judging_b", 4, JUDGING_B, (35, 60), whole=True, mixed=True),
    Package("parting_a", 3, PARTING_A, (35, 60), mixed=True),
    Package("parting_b", 3, PARTING_B, (35, 60), mixed=True),
    Package("proof", 4, PROOF, (35, 60), mixed=True, bare=True),
    Package("sealed_a", 4, SEALED_A, (35, 60), mixed=True),
    Package("sealed_b", 4, SEALED_B, (35, 60), mixed=True),
    Package("sealed_c", 4, SEALED_C, (35, 60), mixed=True),
    Package("verdict_a", 4, VERDICT_A, (35, 60), mixed=True),
    Package("verdict_b", 4, VERDICT_B, (35, 60), mixed=True),
    Package("oath", 4, OATH, (30, 60), mixed=True),
    Package("witness", 4, WITNESS, (30, 60), mixed=True, bare=True),
)


def consoles(packages: Iterable[Package] = PACKAGES) -> list[Any]:
    """The parameters `package`, `kind` for every console of the packages."""
    return [pytest.param(one, kind, id=f"{one.name}-{kind.name}") for one in packages for kind in one.kinds]

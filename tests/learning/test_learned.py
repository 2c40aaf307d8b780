"""Consoles that propsoff was not written for, learned from nothing over a real pseudo-terminal, and then inspected.

The sets of consoles were written one after another, by somebody who did not tune the learner; each served as an
examination once, and for tuning after that.
"""

from __future__ import annotations

import asyncio

import pytest

from propsoff.console.transcript import Transcript
from propsoff.dialects.model import Dialect
from propsoff.dialects.read import read_transcript
from tests_support.closing_consoles import CLOSING
from tests_support.exam_consoles import EXAM
from tests_support.final_consoles import FINAL
from tests_support.judging_consoles_a import JUDGING_A
from tests_support.judging_consoles_b import JUDGING_B
from tests_support.last_consoles import LAST
from tests_support.learned import Learned, all_learned, inspected_again, marked
from tests_support.oath_consoles import OATH
from tests_support.other_consoles.console import Console
from tests_support.other_consoles.seen import SEEN
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

LONGEST_S = 20.0
MOST_LINES = 40
HELPLESS = frozenset(["pardoe"])
"""A console whose word for help only its greeting names, which nobody hears who comes later: nothing is learned."""

SETS: dict[str, tuple[tuple[type[Console], ...], float]] = {
    "seen": (SEEN, 0.94),
    "unseen": (UNSEEN, 0.92),
    "exam": (EXAM, 0.80),
    "trial-a": (TRIAL_A, 0.93),
    "trial-b": (TRIAL_B, 0.89),
    "trial-c": (TRIAL_C, 0.53),
    "final": (FINAL, 0.92),
    "closing": (CLOSING, 0.86),
    "last": (LAST, 0.87),
    "judging-a": (JUDGING_A, 0.92),
    "judging-b": (JUDGING_B, 0.95),
    "verdict-a": (VERDICT_A, 0.95),
    "verdict-b": (VERDICT_B, 0.94),
    "parting-a": (PARTING_A, 0.95),
    "parting-b": (PARTING_B, 0.95),
    "sealed-a": (SEALED_A, 0.89),
    "sealed-b": (SEALED_B, 0.96),
    "sealed-c": (SEALED_C, 0.93),
    "proof": (PROOF, 0.95),
    "witness": (WITNESS, 0.94),
    "oath": (OATH, 0.98),
}
"""By name the consoles, and the least share of what they state in words that is bound right."""


GROUPS = [list(SETS)[at : at + 2] for at in range(0, len(SETS), 2)]
"""Sets whose consoles are learned side by side: most of the time is waiting, and more would wait for the processor."""


@pytest.mark.parametrize("names", GROUPS, ids="+".join)
@pytest.mark.timeout(120)
async def test_consoles_are_learned_and_then_read_without_a_harmful_word(names: list[str]) -> None:
    kinds = [kind for name in names for kind in SETS[name][0] if kind.name not in HELPLESS]
    learned = await all_learned(kinds)
    by_kind = {type(one.console): one for one in learned}
    for one in learned:
        assert one.seconds <= LONGEST_S, one.console.name
        assert len(one.console.received) <= MOST_LINES, one.console.name
        assert one.console.harm_done == [], one.console.name
        assert marked(one.craft, one.console.truth).wrong == (), one.console.name
    for name in names:
        kinds, least = list(SETS[name][0]), SETS[name][1]
        marks = [marked(by_kind[kind].craft, kind.truth) for kind in kinds if kind in by_kind]
        right, stated = sum(mark.right for mark in marks), sum(mark.stated for mark in marks)
        assert right >= least * stated, f"{name}: {right} of {stated}"
    await asyncio.gather(*map(_is_read_again, learned))


async def _is_read_again(one: Learned) -> None:
    """A board that is plugged in anew reads with what was learned as it was learned, and is sent nothing else."""
    dialect = one.lesson.dialect
    assert dialect is not None, one.console.name
    again, conversation = await inspected_again(type(one.console), dialect)
    assert (conversation.ending, conversation.dialect) == ("done", dialect.id), one.console.name
    assert again.harm_done == [], one.console.name
    typed = _typed(dialect)
    assert [line for line in again.received if not _came_of(line.strip(), typed)] == [], one.console.name
    craft = read_transcript(Transcript(conversation.capture), dialect).craft
    assert marked(craft, again.truth) == marked(one.craft, one.console.truth), one.console.name


def _came_of(heard: str, typed: set[str]) -> bool:
    """Whether a line is one of those that were typed; a console may have lost characters of it, and adds none."""

    def is_within(line: str) -> bool:
        rest = iter(line)
        return all(char in rest for char in heard)

    return any(map(is_within, typed)) if heard else True


def _typed(dialect: Dialect) -> set[str]:
    queries = (dialect.manner.identify, *dialect.manner.reads)
    return {"", *(line for query in queries for line in (query.command, *query.before, *query.after))}

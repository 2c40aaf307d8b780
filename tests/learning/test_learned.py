"""Consoles that propsoff was not written for, learned from nothing over a real pseudo-terminal, and then inspected."""

from __future__ import annotations

import pytest

from propsoff.console.transcript import Transcript
from propsoff.dialects.read import read_transcript
from tests_support.learned import inspected_again, learned, marked
from tests_support.other_consoles.seen import SEEN
from tests_support.other_consoles.stating import StatingConsole

LONGEST_S = 20.0
MOST_LINES = 40
LEAST_SHARE = 0.9


@pytest.mark.parametrize("kind", SEEN, ids=[one.name for one in SEEN])
async def test_a_console_is_learned_and_then_read_without_a_harmful_word(kind: type[StatingConsole]) -> None:
    first = await learned(kind)
    assert first.seconds <= LONGEST_S
    assert len(first.console.received) <= MOST_LINES
    assert first.console.harm_done == []

    mark = marked(first.craft, first.console.truth)
    assert mark.wrong == ()
    assert mark.share >= LEAST_SHARE, mark.missing

    dialect = first.lesson.dialect
    assert dialect is not None
    again, conversation = await inspected_again(kind, dialect)
    assert conversation.ending == "done"
    assert conversation.dialect == dialect.id
    assert again.harm_done == []
    asked = {query.command for query in (dialect.manner.identify, *dialect.manner.reads)}
    left = {query.after for query in dialect.manner.reads}
    assert {line.strip() for line in again.received} <= {"", *asked, *left}
    assert marked(read_transcript(Transcript(conversation.capture), dialect).craft, again.truth) == mark

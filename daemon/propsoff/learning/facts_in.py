"""Whether an answer states facts: then it is a listing, whatever it was asked as."""

from __future__ import annotations

from propsoff.learning.bind import bind
from propsoff.learning.layouts.find import find_layout
from propsoff.learning.model import Answer

_FEWEST = 4


def states_facts(answer: Answer) -> bool:
    """Whether four and more facts can be told in an answer."""
    layout = find_layout(answer)
    if layout is None:
        return False
    meaning = bind([layout])
    return len(meaning.bound) + sum(len(rows.cells) for rows in meaning.rows) >= _FEWEST

"""Small dialects for one thing each: a console that answers `id` and `all`."""

from __future__ import annotations

import pytest

from propsoff.console.capture import Capture, Event
from propsoff.craft.model import Craft
from propsoff.dialects.load import parse_dialect
from propsoff.dialects.model import Dialect
from propsoff.dialects.read import read_craft
from propsoff.exceptions import DialectError

HEAD = """
format = 1
id = "toy"
title = "Toy"
[console]
line_end = "\\n"
echo = false
prompt = "> "
comments = ["# {_:rest}"]
[identity]
command = "id"
known_by = "Toy"
grammar = "lines"
lines = ["Toy {v:word}"]
words.v = "firmware.version"
[[reads]]
command = "all"
"""
FIRST = 5
"""The line of the transcript on which a reply begins."""
STARTS = HEAD.count("\n")
"""How many lines of the file stand before the read."""


def toy(read: str) -> Dialect:
    """A dialect with this one read."""
    return parse_dialect(HEAD + read, "toy.toml")


def mistake(read: str) -> DialectError:
    """What is wrong with a dialect with this one read."""
    with pytest.raises(DialectError) as caught:
        toy(read)
    return caught.value


def craft_of(read: str, reply: str, *, done: bool = True) -> Craft:
    """What a dialect with this one read makes of this reply, whose first line is `FIRST`.

    `done` is false where the prompt after it is missing.
    """
    dialect = toy(read)
    turns = (("\n", "\n> "), ("id\n", "\nToy 1.0\n> "), ("all\n", f"\n{reply}\n{'> ' if done else ''}"))
    events = [event for sent, got in turns for event in (Event(0.0, "i", sent), Event(0.0, "o", got))]
    return read_craft(Capture(tuple(events), 0.0), dialect).craft

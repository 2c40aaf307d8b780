"""Whole conversations around the samples, as the three consoles hold them."""

from __future__ import annotations

import json
from typing import Any

from dialects.samples import BRINDLE_BADGE, BRINDLE_VIEW, CORVANE_SETUP, CORVANE_UNIT, OSSEL_RECITE, OSSEL_WHO
from propsoff.console.capture import Capture, Event


def recorded(*turns: tuple[str, str]) -> Capture:
    """A recorded capture of (input, output) turns; a line end in the output is CR LF."""
    events: list[Event] = []
    for sent, received in turns:
        events += [Event(0.0, "i", sent), Event(0.0, "o", received.replace("\n", "\r\n"))]
    return Capture((*events, Event(0.0, "m", "end: done")), 0.0)


def ossel(recite: str = OSSEL_RECITE, who: str = OSSEL_WHO) -> Capture:
    """A conversation with an Ossel board."""
    return recorded(
        ("\r", "\nOssel flight core. 'words' names the words.\nossel> "),
        ("who\r", f"who\n{who}ossel> "),
        ("recite\r", f"recite\n{recite}ossel> "),
    )


def brindle(view: str = BRINDLE_VIEW, badge: str = BRINDLE_BADGE) -> Capture:
    """A conversation with a Brindle board: bold titles, a coloured prompt, and the pager's stops after 24 lines."""
    prompt = "\x1b[36m[brindle]\x1b[0m % "
    lines = view.rstrip("\n").split("\n")
    bold = [f"\x1b[1m{line}\x1b[0m" if line.startswith("= ") else line for line in lines]
    turns = [("\r", f"\n{prompt}"), ("badge\r", f"badge\n{badge}{prompt}")]
    sent, shown = "view all\r", "view all\n"
    for first in range(0, len(bold), 24):
        shown += "\n".join(bold[first : first + 24]) + "\n"
        if first + 24 < len(bold):
            shown += f"\x1b[7m-- {first + 24} of {len(bold)} lines, press a key --\x1b[0m"
            turns.append((sent, shown))
            sent, shown = " ", "\r\x1b[K"
    return recorded(*turns, (sent, shown + prompt))


def corvane_document(name: str, document: Any) -> str:
    """A document between its marks, as a Corvane board prints it."""
    text = json.dumps(document, indent=2, ensure_ascii=False)
    return f"@doc {name} lines={len(text.splitlines())}\n{text}\n@done {name}\n"


def corvane(setup: str | None = None, unit: str | None = None) -> Capture:
    """A conversation with a Corvane board; `setup` and `unit` are whole answers with their marks."""
    setup = corvane_document("setup", CORVANE_SETUP) if setup is None else setup
    unit = corvane_document("unit", CORVANE_UNIT) if unit is None else unit
    return recorded(("\n", "\nCorvane ready\n:: "), ("tell unit\n", f"\n{unit}:: "), ("tell setup\n", f"\n{setup}:: "))


CAPTURES = {"ossel": ossel, "brindle": brindle, "corvane": corvane}

"""A reply that says what the keys of another one mean."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from learning.layouts.replies import lines
from propsoff.learning.layouts.meanings import with_meanings
from propsoff.learning.layouts.pairs import as_pairs
from propsoff.learning.model import Layout

VALUES = {"rxk": "1", "lwc": "33", "hic": "42", "pa1": "9", "pa2": "8", "nam": "Wren"}
MEANINGS = {
    "rxk": "kind of receiver: 0 none, 1 serial",
    "lwc": "low cell, in tenths of a volt",
    "hic": "full cell voltage",
    "pa1": "what port one does",
    "pa2": "what port two does",
    "nam": "name of the craft",
}


def made(command: str, form: str, pairs: Mapping[str, str]) -> Layout:
    layout = as_pairs(command, lines("\n".join(form.format(key, text) for key, text in pairs.items())))
    assert layout is not None
    return layout


@pytest.mark.parametrize("turned", [False, True])
def test_meanings_are_noted_with_the_settings_and_state_nothing(turned: bool) -> None:
    layouts = [made("show", "{} = {}", VALUES), made("words", "{}: {}", MEANINGS)]
    (only,) = with_meanings(layouts[::-1] if turned else layouts)
    assert only.command == "show"
    told = {one.word: (one.text, one.called, one.note) for one in only.statements}
    assert told["rxk"] == ("1", "kind of receiver", "0 none, 1 serial")
    assert told["lwc"] == ("33", "low cell", "in tenths of a volt")
    assert told["nam"] == ("Wren", "name of the craft", "")


def test_one_meaning_may_stand_for_all_keys_of_a_number() -> None:
    meanings = {key: text for key, text in MEANINGS.items() if key not in ("pa1", "pa2")}
    values = {"PA1": "9", "PA2": "8", "lbl": "x", "ver": "2"} | {key: VALUES[key] for key in meanings}
    told = meanings | {"PAn": "what a port does", "lbl": "label on the desk", "ver": "version of settings"}
    (only,) = with_meanings([made("show", "{} = {}", values), made("words", "{}: {}", told)])
    assert {one.word: one.called for one in only.statements}["PA2"] == "what a port does"


@pytest.mark.parametrize(
    "others",
    [
        {key: text.partition(" ")[0] for key, text in MEANINGS.items()},  # values, one word each
        {f"{key}x": text for key, text in MEANINGS.items()},  # other keys
        dict(list(MEANINGS.items())[:5]),  # too few to be sure
    ],
)
def test_a_reply_that_only_shares_keys_stays(others: dict[str, str]) -> None:
    layouts = (made("show", "{} = {}", VALUES), made("words", "{}: {}", others))
    assert with_meanings(layouts) == layouts

"""Which sheet is meant: the most specific; a tie is an error; the house defaults serve the rest."""

from __future__ import annotations

from dataclasses import replace

import pytest

from propsoff.craft.model import Board, Craft, Firmware, Identity, Video
from propsoff.exceptions import SheetError
from propsoff.sheets.catalogue import built_in_sheets
from propsoff.sheets.choose import choose
from propsoff.sheets.load import MATCH_KEYS
from propsoff.sheets.model import BuildSheet, MatchRule

CRAFT = Craft(
    board=Board(name="FENWICK F7", serial="4F2A00191C"),
    craft=Identity(name="Teal Wren"),
    firmware=Firmware(name="Ossel"),
    video=Video(link="digital"),
)
HOUSE = built_in_sheets()[0]


def sheet(name: str, **match: str | tuple[str, ...]) -> BuildSheet:
    rules = [
        MatchRule(key, MATCH_KEYS[key], value if isinstance(value, tuple) else (value,)) for key, value in match.items()
    ]
    return BuildSheet(name, name, f"{name}.toml", tuple(rules))


@pytest.mark.parametrize(
    ("sheets", "winner"),
    [
        ([sheet("a", board="FENWICK F7")], "a"),
        ([sheet("a", board="fenwick f7")], "a"),
        ([sheet("a", board="FENWICK*")], "a"),
        ([sheet("a", board="fen?ick [ef]7")], "a"),
        ([sheet("a", board=("MARL-405", "FENWICK F7"))], "a"),
        ([sheet("a", board="MARL-405")], "house-default"),
        ([sheet("a", board="FENWICK")], "house-default"),  # no wildcard, no part match
        ([sheet("a", board="FENWICK F7", craft="Grey *")], "house-default"),  # every rule must be met
        ([sheet("a", board="FENWICK F7"), sheet("b", board="FENWICK F7", craft="Teal*")], "b"),  # more rules
        ([sheet("a", board="FENWICK*"), sheet("b", board="FENWICK F7")], "b"),  # fewer wildcards
        ([sheet("a", board="FEN*"), sheet("b", board="FENWICK*")], "b"),  # longer pattern
        ([sheet("a", firmware="Ossel"), sheet("b", craft="Teal Wre*")], "a"),  # no wildcard goes before long patterns
        ([sheet("a", board=("FEN*", "FENWICK F7")), sheet("b", board="FENWICK*")], "a"),  # the best of a list counts
        ([sheet("a", video="digital"), sheet("b", video="analog")], "a"),
        ([sheet("a", firmware="ossel")], "a"),
        ([sheet("ours")], "ours"),  # a house default of the operator's own
        ([sheet("ours"), sheet("a", board="*")], "a"),
        ([], "house-default"),
    ],
)
def test_the_most_specific_sheet_wins_whatever_the_order(sheets: list[BuildSheet], winner: str) -> None:
    for listed in ([HOUSE, *sheets], [*reversed(sheets), HOUSE]):
        assert choose(listed, CRAFT).sheet.name == winner


def test_the_choice_is_explained() -> None:
    chosen = choose([HOUSE, sheet("a", board="FENWICK F7", craft="teal*")], CRAFT)
    assert chosen.why == "board is FENWICK F7 and craft matches teal*"
    assert choose([HOUSE], CRAFT).why == "no build sheet matches this craft: the house defaults apply"


@pytest.mark.parametrize(
    "pair",
    [
        (sheet("a", board="FENWICK F7"), sheet("b", board="fenwick f7")),
        (sheet("a", board="FENWICK F7"), sheet("b", craft="Teal Wren?"[:-1] + "x"[:0], firmware="Ossel")),
        (sheet("a"), sheet("b")),
    ],
)
def test_a_tie_is_an_error_that_names_both(pair: tuple[BuildSheet, BuildSheet]) -> None:
    first, second = pair
    if len(first.match) != len(second.match):
        assert choose(pair, CRAFT).sheet is second
        return
    with pytest.raises(SheetError) as caught:
        choose([HOUSE, *pair], CRAFT)
    assert "a (a.toml)" in str(caught.value)
    assert "b (b.toml)" in str(caught.value)
    assert "add a rule" in str(caught.value)


def test_a_sheet_that_could_not_be_compared_is_named_as_undecided() -> None:
    nameless = replace(CRAFT, craft=Identity())
    chosen = choose([HOUSE, sheet("a", board="FENWICK F7", craft="Teal*"), sheet("b", board="x", craft="y")], nameless)
    assert chosen.sheet is HOUSE
    assert chosen.undecided == ("a (craft.name not read)",)


def test_an_empty_name_is_a_name_that_was_read() -> None:
    unnamed = replace(CRAFT, craft=Identity(name=""))
    chosen = choose([HOUSE, sheet("a", craft="Teal*")], unnamed)
    assert (chosen.sheet, chosen.undecided) == (HOUSE, ())


def test_without_any_sheet_that_serves_it_is_an_error() -> None:
    with pytest.raises(SheetError, match="house default"):
        choose([sheet("a", board="other")], CRAFT)


SOCKET = ("1-3:1.0", "/dev/ttyACM0")


@pytest.mark.parametrize(
    ("sheets", "winner"),
    [
        ([sheet("a", serial="4f2a00191c"), sheet("b", board="FENWICK F7", craft="Grey*")], "a"),
        ([sheet("a", serial="4F2A*"), sheet("b", board="FENWICK F7")], "b"),
        ([sheet("a", port="1-3:1.0")], "a"),
        ([sheet("a", port="/dev/ttyACM0")], "a"),
        ([sheet("a", port="1-3:*"), sheet("b", port="/dev/tty*")], "b"),
        ([sheet("a", port="1-4:1.0")], "house-default"),
        ([sheet("a", port=("1-4:1.0", "1-3:1.0"), board="FENWICK F7"), sheet("b", board="FENWICK F7")], "a"),
        ([replace(sheet("a", board="FENWICK F7"), abstract=True)], "house-default"),
        ([replace(sheet("a"), abstract=True)], "house-default"),
    ],
)
def test_serial_number_and_socket_choose_a_sheet_and_an_abstract_one_is_never_chosen(
    sheets: list[BuildSheet], winner: str
) -> None:
    assert choose([HOUSE, *sheets], CRAFT, SOCKET).sheet.name == winner


def test_a_sheet_for_a_socket_is_undecided_where_nobody_knows_the_socket() -> None:
    chosen = choose([HOUSE, sheet("a", port="1-3:1.0")], CRAFT)
    assert (chosen.sheet, chosen.undecided) == (HOUSE, ("a (port not read)",))
    assert choose([HOUSE, sheet("a", port="1-3:1.0", board="other")], CRAFT).undecided == ()
    assert choose([HOUSE, sheet("a", port="1-3:1.0")], CRAFT, SOCKET).why == "port is 1-3:1.0"

"""What the checks say in common: lists that fit into a line, and lines for one UART."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import pytest

from propsoff import Case, Uart
from propsoff_checks.cross_checks import cross_checks
from propsoff_checks.words import cut, either, listed, port_name, say_port, typed
from tests_support.crafts import Bench, Parrot

UART = Uart(id="U2", roles=("positioning",), baud=9600)


def case(bench: Bench, tongue: Parrot | None) -> Case:
    craft, lines = bench.craft()
    return Case(cross_checks, craft, bench.sheet(), tongue, lines)


@pytest.mark.parametrize(
    ("words", "told"),
    [((), ""), (("a",), "a"), (("a", "b"), "a and b"), (("a", "b", "c"), "a, b and c")],
)
def test_words_are_listed_as_people_list_them(words: tuple[str, ...], told: str) -> None:
    assert listed(words) == told
    assert either(words) == told.replace("and", "or")


def test_a_word_that_has_an_and_of_its_own_keeps_it() -> None:
    assert either(["black and white"]) == "black and white"
    assert either(["black and white", "red"]) == "black and white or red"


def test_a_long_word_is_cut_and_says_how_long_it_was() -> None:
    assert cut("x" * 40) == "x" * 40
    assert cut("x" * 41) == "x" * 40 + "... (41 characters)"
    assert listed(["x" * 41, "b"]) == "x" * 40 + "... (41 characters) and b"


def test_a_list_ends_where_a_line_is_full_and_says_how_many_more_there_are() -> None:
    long = [letter * 40 for letter in "abc"]
    first = ", ".join(long)
    assert listed([*long, "d" * 24]) == ", ".join(long) + " and " + "d" * 24  # 150 with the commas
    assert listed([*long, "d" * 25]) == f"{first} and 1 more"
    assert listed([*long, "d" * 25, "e", "f"]) == f"{first} and 3 more"  # what follows is not put in its place


def test_a_port_is_called_by_its_name_else_by_its_place_counted_from_one() -> None:
    assert port_name(UART, 5) == "U2"
    assert port_name(Uart(id=None), 0) == "port 1 of the listing"


def test_a_uart_is_given_roles_and_rate_in_the_boards_words(bench: Bench) -> None:
    row = {"id": "U2", "roles": ("receiver",), "baud": 420000}
    both = say_port(case(bench, bench.tongue), UART, roles=("receiver",), baud=420000)
    assert both == (f"set ports[].roles ('receiver',) {row}", f"set ports[].baud 420000 {row}", "store")


def test_what_stays_is_said_along_but_not_set(bench: Bench) -> None:
    here = case(bench, bench.tongue)
    row = {"id": "U2", "roles": ("positioning",), "baud": 38400}
    assert say_port(here, UART, baud=38400) == (f"set ports[].baud 38400 {row}", "store")
    row = {"id": "U2", "roles": ("receiver",), "baud": 9600}
    assert say_port(here, UART, roles=("receiver",), baud=9600) == (f"set ports[].roles ('receiver',) {row}", "store")
    assert say_port(here, UART, roles=("receiver",)) == (f"set ports[].roles ('receiver',) {row}", "store")
    assert say_port(here, UART, baud=9600) == ()  # as it is: nothing to store either
    assert say_port(here, UART) == ()


def test_nothing_is_said_where_not_all_of_it_can_be_said(bench: Bench) -> None:
    @dataclass
    class OnlyRoles(Parrot):
        def say(self, fact: str, value: object, *, row: Mapping[str, object] | None = None) -> tuple[str, ...]:
            return () if fact == "ports[].baud" else super().say(fact, value, row=row)

    assert say_port(case(bench, OnlyRoles()), UART, roles=("receiver",), baud=420000) == ()
    assert say_port(case(bench, None), UART, roles=("receiver",)) == ()
    assert say_port(case(bench, bench.tongue), Uart(id=None, roles=(), baud=9600), roles=("receiver",)) == ()


def test_a_line_that_sets_roles_and_rate_together_is_said_once(bench: Bench) -> None:
    @dataclass
    class AtOnce(Parrot):
        def say(self, fact: str, value: object, *, row: Mapping[str, object] | None = None) -> tuple[str, ...]:
            return (f"port {dict(row or {})}",)

    row = {"id": "U2", "roles": ("receiver",), "baud": 420000}
    assert say_port(case(bench, AtOnce()), UART, roles=("receiver",), baud=420000) == (f"port {row}", "store")


@pytest.mark.parametrize(
    ("lines", "told"),
    [((), ""), (("set a 1",), " (type `set a 1`)"), (("set a 1", "store"), " (type `set a 1`, `store`)")],
)
def test_lines_within_a_step_are_quoted_each_and_nothing_is_said_where_there_are_none(
    lines: tuple[str, ...], told: str
) -> None:
    assert typed(lines) == told


def test_more_lines_than_a_step_can_hold_are_left_out() -> None:
    assert typed(["x"] * 6, "for U1 type").startswith(" (for U1 type `x`, ")
    assert typed(["x"] * 7) == ""

"""What a prompt, an error and a pager are learned from. The forms are common practice, the words invented."""

from __future__ import annotations

import pytest

from propsoff.console.manner import Line
from propsoff.learning.habits import (
    NONSENSE,
    common_prompt,
    error_of,
    escaped,
    is_error,
    looks_like_pager,
    pager_of,
    prompt_of,
)


def _lines(*texts: str) -> tuple[Line, ...]:
    return tuple(Line(number, text) for number, text in enumerate(texts, 1))


@pytest.mark.parametrize(
    ("tails", "template"),
    [
        (["> ", "> "], ">"),
        (["oak> "], "oak>"),
        (["[12] $ ", "[13] $ "], "[{_:int}] $"),
        (["t=5 n=1>", "t=61 n=2>"], "t={_:int} n={_:int}>"),
        (["{x}> ", "{x}> "], "{{x}}>"),
    ],
)
def test_a_prompt_is_learned_with_the_numbers_that_change(tails: list[str], template: str) -> None:
    assert prompt_of(tails) == template


@pytest.mark.parametrize("tails", [[], [""], ["  ", "  "], ["> ", ""], ["a> ", "b> "], ["x" * 65, "x" * 65]])
def test_what_is_no_prompt_is_none(tails: list[str]) -> None:
    assert prompt_of(tails) is None


def test_prompts_that_differ_by_menu_have_their_end_in_common() -> None:
    assert common_prompt(["main> ", "radio> ", "main> "]) == "{_:words}>"
    assert common_prompt(["main/1 $ ", "main/2 $ "]) == "main/{_:int} $"
    assert common_prompt(["main> ", "radio# "]) is None
    assert common_prompt([]) is None
    assert common_prompt(["> ", "radio> "]) is None


@pytest.mark.parametrize(
    ("texts", "template"),
    [
        (("unknown: qzxv",), "unknown: {_:rest}"),
        (("NO SUCH WORD QZXV",), "NO SUCH WORD {_:rest}"),
        (("qzxv: not found",), "{_:word}: not found"),
        (("'qzxv' is no word",), "'{_:word}' is no word"),
        (("", "what?"), "what?"),
        (('{"error":"qzxv"}',), '{{"error":"{_:word}"}}'),
    ],
)
def test_an_error_is_learned_with_the_word_left_open(texts: tuple[str, ...], template: str) -> None:
    assert error_of(_lines(*texts), NONSENSE) == template


def test_without_a_line_there_is_no_error() -> None:
    assert error_of((), NONSENSE) is None
    assert error_of(_lines("", "  "), NONSENSE) is None


@pytest.mark.parametrize(
    ("nonsense", "asked", "got", "error"),
    [
        ("unknown: qzxv", "help", "unknown: help", True),
        ("NO SUCH WORD QZXV", "help", "NO SUCH WORD HELP", True),
        ("unknown: qzxv", "show all", "unknown: show", True),
        ("what?", "help", "what?", True),
        ("error 22 at 100: qzxv", "help", "error 22 at 340: help", True),
        ("unknown: qzxv", "help", "tally   shows the values", False),
        ("unknown: qzxv", "help", "unknown values: none", False),
    ],
)
def test_a_reply_is_told_to_be_the_error(nonsense: str, asked: str, got: str, error: bool) -> None:
    assert is_error(_lines(got), asked, _lines(nonsense)) is error


def test_nothing_is_no_error() -> None:
    assert not is_error((), "help", _lines("unknown: qzxv"))
    assert not is_error(_lines("x"), "help", ())


@pytest.mark.parametrize(
    "tail",
    ["--More--", "(MORE - SPACE, OR Q)", "-- any key --", "[weiter: Taste]", "page 2 of 7", "2/7", "42%", "(END)",
     "suite...", "tecla para seguir", "toets", "-- klawisz --"],
)  # fmt: skip
def test_a_pager_is_told_by_what_it_says(tail: str) -> None:
    assert looks_like_pager(tail)


@pytest.mark.parametrize("tail", ["", "oak> ", "=> ", "number: ", "$ ", "x" * 70 + "more", "cells = 4"])
def test_a_prompt_is_no_pager(tail: str) -> None:
    assert not looks_like_pager(tail)


def test_the_stops_of_a_pager_become_a_template() -> None:
    assert pager_of(["-- more (12%) --", "-- more (24%) --"]) == "-- more ({_:int}%) --"
    assert escaped("{a}") == "{{a}}"

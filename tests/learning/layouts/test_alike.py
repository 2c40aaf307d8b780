"""Neighbouring lines that say the same of several things in words."""

from __future__ import annotations

import pytest

from learning.layouts.replies import COMMAND, cells, lines, only
from propsoff.learning.layouts.alike import alike

TWO = "Port S1 is the console, at 115200 baud.\nPort S2 is the receiver, at 420000 baud."
SAID = [{"id": "S1", "the": "console", "at": "115200"}, {"id": "S2", "the": "receiver", "at": "420000"}]


@pytest.mark.parametrize(
    ("text", "line", "rows"),
    [
        (TWO, "Port {id:word} is the {the:word}, at {at:int} baud.", SAID),
        (f"{TWO}\nPort S3 is free.", "Port {id:word} is the {the:word}, at {at:int} baud.", SAID),
        (f"{TWO}\n\nAll is well.", "Port {id:word} is the {the:word}, at {at:int} baud.", SAID),
        (
            "P1 -> rx at 9600\nP2 -> osd at 1200",
            "{id:word} -> {part2:word} at {at:int}",
            [{"id": "P1", "part2": "rx", "at": "9600"}, {"id": "P2", "part2": "osd", "at": "1200"}],
        ),
        (
            "Port S1 has 9600 baud, it is open.\nPort S2 has 9600 baud, it is shut.",  # the same number by chance
            "Port {id:word} has {has:int} baud, it is {is:word}.",
            [{"id": "S1", "has": "9600", "is": "open"}, {"id": "S2", "has": "9600", "is": "shut"}],
        ),
        (
            "The gyro is working.\nThe pressure gauge is missing.",
            "The {id:words} is {is:word}.",
            [{"id": "gyro", "is": "working"}, {"id": "pressure gauge", "is": "missing"}],
        ),
    ],
)
def test_what_lines_do_not_have_in_common_are_the_cells_of_rows(
    text: str, line: str, rows: list[dict[str, str]]
) -> None:
    found = only(list(alike(COMMAND, lines(text))))
    assert (found.place, cells(found)) == ({"line": line}, rows)


def test_a_short_line_behind_them_may_say_the_first_two_things_of_a_further_one() -> None:
    found = only(list(alike(COMMAND, lines(f"{TWO}\nPort S3 is the spare one."))))
    assert cells(found) == [*SAID, {"id": "S3", "the": "spare one"}]
    assert found.place["line"][1] == "Port {id:word} is the {the:words}."


def test_a_name_and_its_number_stay_together() -> None:
    found = only(list(alike(COMMAND, lines("UART 1 is for the osd\nUART 2 is for the rx"))))
    assert found.before == "UART "
    assert [row["id"].text for row in found.rows] == ["UART 1", "UART 2"]


@pytest.mark.parametrize(
    "text",
    [
        "It is fine.\nSo were they.",
        "Port S1 is the console.",  # one is no repetition
        "Port S1 is the console, at 9600 baud.\nPort S3 is free.",
        "1 2 3\n4 5 6",  # no words in common
        f"Port S1 is the {'very ' * 40}console.\nPort S2 is the {'very ' * 40}receiver.",
        "",
    ],
)
def test_lines_that_say_different_things_are_no_rows(text: str) -> None:
    assert list(alike(COMMAND, lines(text))) == []


def test_runs_of_blanks_part_what_no_word_parts() -> None:
    found = only(list(alike(COMMAND, lines("arm      ch 5   1720..2090 us\nlevel    ch 6   910..1320 us"))))
    assert found.place == {"line": "{id:word} ch {ch:int} {part3:int}..{part4:int} us"}
    assert cells(found) == [
        {"id": "arm", "ch": "5", "part3": "1720", "part4": "2090"},
        {"id": "level", "ch": "6", "part3": "910", "part4": "1320"},
    ]


def test_a_yes_at_the_end_of_lines_is_their_own_though_all_say_so() -> None:
    found = only(list(alike(COMMAND, lines("battery at 2 row 14 yes\ntimer at 22 row 14 yes\nname at 10 row 1 no"))))
    assert [" ".join(row[name].text for name in found.columns[2:]) for row in found.rows] == [
        "14 yes",
        "14 yes",
        "1 no",
    ]

"""When is a reply whole? Each sign missing, garbled or doubled in turn."""

from __future__ import annotations

from dataclasses import replace

import pytest

from console.toys import MUTE, PAGED, PLAIN, Pattern
from propsoff.console.manner import Exchange, Line, Manner, Query
from propsoff.console.reply import Heard, judge, shows_pager, shows_prompt

LIST = PLAIN.reads[0]
BARE = Query("show")
ROWS = ("row00 = 1", "row01 = 2", "row02 = 3")


def heard(*lines: str, tail: str = "toy> ", before: str = "toy> ", size_bytes: int = 100) -> Heard:
    return Heard([Line(number, text) for number, text in enumerate(lines, 7)], tail, before, size_bytes=size_bytes)


def judged(*lines: str, query: Query = LIST, manner: Manner = PLAIN, tail: str = "toy> ") -> Exchange:
    return judge(manner, query, heard(*lines, tail=tail, before=manner_prompt(manner)))


def manner_prompt(manner: Manner) -> str:
    return {"plain": "toy> ", "paged": "<paged> ", "mute": ":: "}[manner.dialect]


def test_every_sign_seen_is_complete() -> None:
    exchange = judged("toy> list", *ROWS, "# end, 3 rows")
    assert exchange.state == "complete"
    assert exchange.why == ""
    assert exchange.signs == ("echo", "prompt", "end mark", "line count")
    assert [line.text for line in exchange.lines] == [*ROWS, "# end, 3 rows"]
    assert [line.number for line in exchange.lines] == [8, 9, 10, 11]


@pytest.mark.parametrize(
    ("lines", "tail", "state", "why"),
    [
        # the end mark was seen, the prompt was lost or garbled
        (("toy> list", *ROWS, "# end, 3 rows"), "", "unsure", "no prompt after it"),
        (("toy> list", *ROWS, "# end, 3 rows"), "ty> ", "unsure", "no prompt after it"),
        # the prompt was seen, the end mark was lost or garbled
        (("toy> list", *ROWS), "toy> ", "unsure", "its end mark is missing"),
        (("toy> list", *ROWS, "# ed, 3 rows"), "toy> ", "unsure", "its end mark is missing"),
        # neither
        (("toy> list", *ROWS), "row03", "cut", "it stops after line 10"),
        (("toy> list", *ROWS), "", "cut", "it stops after line 10"),
        # bytes lost in between
        (("toy> list", *ROWS[1:], "# end, 3 rows"), "toy> ", "unsure", "bytes were lost"),
        (("toy> list", "row00 =1", *ROWS[1:], "# end, 3 rows"), "toy> ", "unsure", "3 lines, 2 were read"),
        # the echo
        (("toy> lst", *ROWS, "# end, 3 rows"), "toy> ", "unsure", "came back as 'lst'"),
        (("toy> ", *ROWS, "# end, 3 rows"), "toy> ", "unsure", "did not come back"),
        # nothing
        ((), "toy> ", "cut", "nothing of it was heard"),
        ((), "toy> list", "cut", "nothing of it was heard"),
        (("toy> list",), "toy> ", "cut", "nothing of it was heard"),
    ],
)
def test_a_sign_that_is_missing_is_named(lines: tuple[str, ...], tail: str, state: str, why: str) -> None:
    exchange = judged(*lines, tail=tail)
    assert exchange.state == state
    assert why in exchange.why


def test_a_prompt_that_was_there_before_the_command_is_no_sign() -> None:
    assert "prompt" not in judged(tail="toy> ").signs


def test_a_value_line_that_is_the_prompt_itself_ends_nothing() -> None:
    exchange = judged("toy> list", ROWS[0], "toy> ", *ROWS[1:], "# end, 3 rows")
    assert exchange.state == "complete"
    assert [line.text for line in exchange.lines][1] == "toy> "


def test_a_reply_that_ends_at_such_a_line_is_not_complete() -> None:
    assert judged("toy> list", ROWS[0], tail="toy> ").state != "complete"


def test_chatter_before_the_echo_is_left_out() -> None:
    exchange = judged("toy> [12.3] a log line", "list", *ROWS, "# end, 3 rows")
    assert exchange.state == "complete"
    assert exchange.lines[0].text == ROWS[0]


def test_chatter_between_the_end_mark_and_the_prompt_is_left_out() -> None:
    exchange = judged("toy> list", *ROWS, "# end, 3 rows", "[12.3] a log line")
    assert exchange.state == "complete"
    assert exchange.lines[-1].text == "# end, 3 rows"


def test_chatter_among_counted_lines_does_not_count() -> None:
    assert judged("toy> list", ROWS[0], "[12.3] a log line", *ROWS[1:], "# end, 3 rows").state == "complete"


def test_data_on_the_line_of_the_command_is_kept_when_the_echo_is_lost() -> None:
    exchange = judged("toy> row00 = 1", *ROWS[1:], "# end, 3 rows")
    assert exchange.state == "unsure"
    assert exchange.lines[0] == Line(7, "row00 = 1")


def test_a_reply_line_equal_to_the_command_is_not_taken_for_its_echo() -> None:
    exchange = judged("toy> show", "first", "show", "last", query=BARE)
    assert exchange.state == "complete"
    assert [line.text for line in exchange.lines] == ["first", "show", "last"]


def test_without_an_end_mark_echo_and_prompt_are_all_the_signs_there_are() -> None:
    assert judged("toy> show", "value", query=BARE).state == "complete"
    assert judged("toy> show", "value", query=BARE, tail="").state == "cut"
    assert judged("toy> show", query=BARE).state == "complete"


def test_a_refusal_is_named_as_such() -> None:
    exchange = judged("toy> list", "? list")
    assert exchange.state == "unsure"
    assert exchange.why.startswith("the console answered with its error line: ? list")
    assert "refused" in exchange.signs


def test_the_console_that_does_not_echo() -> None:
    query = MUTE.reads[0]
    body = (":: ", "@list 2", "a", "", "@end list")
    exchange = judged(*body, query=query, manner=MUTE, tail=":: ")
    assert exchange.state == "complete"
    assert exchange.lines[0].text == "@list 2"
    assert exchange.signs == ("prompt", "opening mark", "end mark", "line count")


@pytest.mark.parametrize(
    ("body", "tail", "state"),
    [
        ((":: ", "@list 3", "a", "@end list"), ":: ", "unsure"),
        ((":: ", "@list 3", "a", "b"), ":: ", "cut"),
        ((":: ", "@list 2", "a", "b"), ":: ", "unsure"),
        ((":: ", "@list 2", "a", "b", "@end list"), "", "unsure"),
        ((":: ", "a", "b", "@end list"), ":: ", "unsure"),
        ((":: ", "@list 2", "a", "b"), "@en", "cut"),
        ((":: ",), ":: ", "cut"),
    ],
)
def test_counted_documents(body: tuple[str, ...], tail: str, state: str) -> None:
    assert judged(*body, query=MUTE.reads[0], manner=MUTE, tail=tail).state == state


def test_pager_lines_are_left_out_whether_the_console_erases_them_or_not() -> None:
    query = PAGED.reads[0]
    lines = ["<paged> list", "row00 = 1", "-- 1 of 3, any key --", "row01 = 2", "-- 2 of 3, any key --row02 = 3"]
    numbered = [Line(number, text) for number, text in enumerate([*lines, "# end, 3 rows"], 1)]
    stops = {5: "-- 2 of 3, any key --"}
    exchange = judge(PAGED, query, Heard(numbered, "<paged> ", "<paged> ", stops))
    assert exchange.state == "complete"
    assert exchange.lines[2] == Line(5, "row02 = 3")


def test_a_reply_larger_than_its_cap_is_cut() -> None:
    query = replace(LIST, cap_bytes=99)
    exchange = judge(PLAIN, query, heard("toy> list", *ROWS, "# end, 3 rows"))
    assert exchange.state == "cut"
    assert "99 bytes" in exchange.why


def test_a_count_that_is_no_number_is_not_believed() -> None:
    query = Query("list", ends=Pattern(r"# end, (?P<count>.*) rows"))
    for count in ("²many", "", "-1", "9" * 5000):
        exchange = judged("toy> list", "a", f"# end, {count} rows", query=query)
        assert exchange.state == "complete"
        assert "line count" not in exchange.signs


def test_a_prompt_must_be_the_whole_line() -> None:
    assert shows_prompt(PLAIN, "toy> ")
    assert not shows_prompt(PLAIN, "toy> x")
    assert not shows_prompt(PLAIN, "a toy> ")
    assert not shows_prompt(PLAIN, "")


def test_only_a_manner_with_a_pager_has_stops() -> None:
    assert shows_pager(PAGED, "-- 24 of 60, any key --")
    assert shows_pager(PAGED, "-- 24 of 60, any key -- ")
    assert not shows_pager(PLAIN, "-- 24 of 60, any key --")

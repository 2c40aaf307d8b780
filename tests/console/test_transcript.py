"""Transcripts and exchanges, of recorded captures and of text that a person pasted."""

from __future__ import annotations

import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from console.toys import MUTE, PAGED, PLAIN
from propsoff.console.capture import Capture, Event, pasted
from propsoff.console.manner import Exchange, Line, Manner, Query
from propsoff.console.transcript import Transcript, exchanges

ROWS = "row00 = 1\r\nrow01 = 2\r\n"
END = "# end, 2 rows\r\n"


def capture(*steps: tuple[str, str]) -> Capture:
    return Capture(tuple(Event(at * 0.1, code, text) for at, (code, text) in enumerate(steps)))  # type: ignore[arg-type]


def texts(exchange: Exchange) -> list[str]:
    return [line.text for line in exchange.lines]


RECORDED = (
    ("m", "listen"),
    ("m", "wake plain"),
    ("i", "\r"),
    ("o", "\r\ntoy> "),
    ("m", "identify plain"),
    ("i", "what\r"),
    ("o", "what\r\nToy one, serial A1\r\ntoy> "),
    ("m", "reply complete what"),
    ("m", "read list"),
    ("i", "list\r"),
    ("o", "list\r\n" + ROWS + END + "toy> "),
    ("m", "reply complete list"),
    ("m", "end: done"),
)


def test_lines_are_numbered_from_one_with_escape_sequences_resolved() -> None:
    transcript = Transcript(capture(("o", "a\r\n\x1b[1mb\x1b[0m\r\nc"), ("i", "x"), ("o", "d")))
    assert transcript.lines == (Line(1, "a"), Line(2, "b"), Line(3, "cd"))
    (step,) = transcript.steps
    assert (step.line, step.before, step.text) == (3, "c", "x")


def test_lines_asked_for_while_they_come_are_the_same_as_those_asked_for_at_the_end() -> None:
    growing = Transcript()
    for at, event in enumerate(capture(*RECORDED).events, 1):
        growing.add(event)
        so_far = Transcript(Capture(capture(*RECORDED).events[:at], 0.0))
        assert growing.lines == so_far.lines
        assert growing.numbered(2, 4) == list(so_far.lines[1 : min(3, so_far.line - 1)])


def test_a_recorded_conversation_is_split_at_its_commands() -> None:
    what, listed = exchanges(capture(*RECORDED), PLAIN)
    assert (what.command, what.state, texts(what)) == ("what", "complete", ["Toy one, serial A1"])
    assert (listed.command, listed.state) == ("list", "complete")
    assert [line.number for line in listed.lines] == [5, 6, 7]


def test_an_exchange_has_the_same_lines_as_the_transcript() -> None:
    source = capture(*RECORDED)
    lines = Transcript(source).lines
    for exchange in exchanges(source, PLAIN):
        for line in exchange.lines:
            assert lines[line.number - 1] == line


def test_what_comes_after_the_reply_marker_belongs_to_nobody() -> None:
    late = [*RECORDED[:-1], ("o", "\r\n[9.1] a log line\r\n"), RECORDED[-1]]
    assert exchanges(capture(*late), PLAIN) == exchanges(capture(*RECORDED), PLAIN)


def test_a_capture_that_breaks_off_leaves_a_cut_reply() -> None:
    *_, last = exchanges(capture(*RECORDED[:10], ("o", "list\r\nrow00 = 1\r\nro")), PLAIN)
    assert (last.command, last.state) == ("list", "cut")


def test_a_reply_ends_where_another_word_is_typed_at_the_prompt_key_by_key() -> None:
    """A word that this manner does not ask for is no part of the reply before it, nor is what it answers."""
    other = [(code, char) for char in "tell" for code in ("i", "o")]
    keyed = [*RECORDED[:7], *other, ("i", "\r"), ("o", "\r\n? tell\r\ntoy> "), RECORDED[-1]]
    assert RECORDED[7] == ("m", "reply complete what")
    assert exchanges(capture(*keyed), PLAIN) == exchanges(capture(*RECORDED), PLAIN)[:1]


def test_how_the_output_is_cut_into_events_makes_no_difference() -> None:
    single = [(code, char) for code, text in RECORDED for char in (text if code == "o" else [text])]
    assert exchanges(capture(*single), PLAIN) == exchanges(capture(*RECORDED), PLAIN)


def test_a_pagers_keys_continue_the_reply() -> None:
    source = capture(
        ("o", "\x1b[36m<paged>\x1b[0m "),
        ("i", "list\r"),
        ("o", "list\r\nrow00 = 1\r\n\x1b[7m-- 1 of 3, any key --\x1b[0m"),
        ("i", " "),
        ("o", "\r\x1b[Krow01 = 2\r\n-- 2 of 3, any key --"),
        ("i", "\r"),
        ("o", "\r\n# end, 2 rows\r\n<paged> "),
    )
    (listed,) = exchanges(source, PAGED)
    assert listed.state == "complete"
    assert texts(listed) == ["row00 = 1", "row01 = 2", "# end, 2 rows"]


def test_a_session_typed_by_hand_and_recorded_key_by_key_is_read_too() -> None:
    source = capture(
        ("o", "toy> "),
        *[step for key in "what" for step in (("i", key), ("o", key))],
        ("i", "\r"),
        ("o", "\r\nToy one, serial A1\r\ntoy> "),
        ("i", "\r"),
        ("o", "\r\ntoy> "),
    )
    (what,) = exchanges(source, PLAIN)
    assert (what.state, texts(what)) == ("complete", ["Toy one, serial A1"])


def test_a_pager_that_does_not_erase_its_stop() -> None:
    source = capture(
        ("o", "<paged> "),
        ("i", "list\r"),
        ("o", "list\r\nrow00 = 1\r\n-- 1 of 3, any key --"),
        ("i", " "),
        ("o", "row01 = 2\r\n# end, 2 rows\r\n<paged> "),
    )
    (listed,) = exchanges(source, PAGED)
    assert (listed.state, texts(listed)) == ("complete", ["row00 = 1", "row01 = 2", "# end, 2 rows"])


def test_an_impatient_line_end_does_not_end_the_reply() -> None:
    source = capture(
        ("o", "toy> "), ("i", "what\r"), ("o", "what\r\n"), ("i", "\r"), ("o", "Toy one, serial A1\r\ntoy> ")
    )
    (what,) = exchanges(source, PLAIN)
    assert (what.state, texts(what)) == ("complete", ["Toy one, serial A1"])


def test_a_command_that_is_not_the_manners_own_ends_the_reply_before_it() -> None:
    source = capture(*RECORDED[:7], ("i", "dance\r"), ("o", "dance\r\n? dance\r\ntoy> "))
    (what,) = exchanges(source, PLAIN)
    assert what.state == "complete"


def test_the_same_command_asked_twice_gives_two_exchanges() -> None:
    source = capture(*RECORDED[:8], *RECORDED[5:8])
    assert [exchange.command for exchange in exchanges(source, PLAIN)] == ["what", "what"]


PASTED = f"toy> what\r\nToy one, serial A1\r\ntoy> list\r\n{ROWS}{END}toy> "


def pasted_exchanges(text: str, manner: Manner = PLAIN) -> tuple[Exchange, ...]:
    return exchanges(pasted(text.encode()), manner)


def test_pasted_text_is_split_at_its_prompts() -> None:
    what, listed = pasted_exchanges(PASTED)
    assert (what.command, what.state, texts(what)) == ("what", "complete", ["Toy one, serial A1"])
    assert (listed.state, texts(listed)) == ("complete", ["row00 = 1", "row01 = 2", "# end, 2 rows"])


@pytest.mark.parametrize(
    "change",
    [
        lambda text: text.replace("\r\n", "\n"),
        lambda text: text.removeprefix("toy> "),
        lambda text: "$ open the console\r\n\r\nwelcome\r\n" + text,
        lambda text: text.rstrip(),
        lambda text: "\n".join(line.rstrip() for line in text.splitlines()),
        lambda text: text + "\r\n\r\n",
        lambda text: text + "\r\ntoy> \r\ntoy> dance\r\n? dance\r\ntoy> ",
        lambda text: "toy> \r\ntoy> \r\n" + text,
        lambda text: text.replace("toy> list", "toy> \r\ntoy> dance\r\n? dance\r\ntoy> list"),
        lambda text: "\ufeff" + text,
    ],
)
def test_a_persons_paste_is_read_with_its_oddities(change: object) -> None:
    what, listed = pasted_exchanges(change(PASTED))  # type: ignore[operator]  # a function of text
    assert (what.state, texts(what)) == ("complete", ["Toy one, serial A1"])
    assert (listed.state, texts(listed)) == ("complete", ["row00 = 1", "row01 = 2", "# end, 2 rows"])


def test_pasted_line_numbers_are_the_files_own() -> None:
    text = "$ open it\n\x0c\n\vtoy> what\nToy one, serial A1\ntoy> "
    (what,) = pasted_exchanges(text)
    assert what.lines == (Line(4, "Toy one, serial A1"),)
    assert len(Transcript(pasted(text.encode())).lines) == 5


def test_a_paste_without_its_last_prompt() -> None:
    what, listed = pasted_exchanges(PASTED.removesuffix("toy> "))
    assert what.state == "complete"
    assert (listed.state, listed.why) == ("unsure", "no prompt after it")
    (alone,) = pasted_exchanges("toy> what\nToy one, serial A1\n\n")
    assert alone.state == "cut"
    assert texts(alone) == ["Toy one, serial A1"]


def test_a_paste_that_stops_in_the_middle() -> None:
    _, listed = pasted_exchanges(PASTED[: PASTED.index("row01")])
    assert listed.state == "cut"


def test_a_pasted_value_that_is_the_prompt_ends_nothing_where_there_is_an_end_mark() -> None:
    _, listed = pasted_exchanges(PASTED.replace("row01", "toy> \r\nrow01"))
    assert (listed.state, len(listed.lines)) == ("complete", 4)


def test_a_pasted_reply_without_an_end_mark_ends_at_the_first_prompt() -> None:
    what, _ = pasted_exchanges(PASTED.replace("toy> list", "toy> dance\r\n? dance\r\ntoy> list"))
    assert texts(what) == ["Toy one, serial A1"]


def test_a_prompt_seen_later_tells_where_an_unknown_command_begins() -> None:
    (what,) = pasted_exchanges("what\nToy one, serial A1\ntoy> dance\n? dance\ntoy> \n")
    assert (what.state, texts(what)) == ("complete", ["Toy one, serial A1"])


MUTE_PASTED = ":: \n@what 1\nMute three, serial A1\n@end what\n:: \n@list 2\na\n\n@end list\n:: "


def test_a_paste_of_a_console_without_echo_is_split_at_the_opening_lines() -> None:
    what, listed = pasted_exchanges(MUTE_PASTED, MUTE)
    assert (what.state, listed.state) == ("complete", "complete")
    assert texts(listed) == ["@list 2", "a", "", "@end list"]
    assert listed.lines[0].number == 6


def test_a_paste_from_a_terminal_with_local_echo_is_split_once() -> None:
    text = MUTE_PASTED.replace(":: \n@what", ":: what\n@what").replace(":: \n@list", ":: list\n@list")
    what, listed = pasted_exchanges(text, MUTE)
    assert (what.state, listed.state) == ("complete", "complete")


def test_pager_stops_in_a_paste_are_left_out() -> None:
    text = "<paged> list\nrow00 = 1\n-- 1 of 3, any key --\nrow01 = 2\n# end, 2 rows\n<paged> "
    (listed,) = pasted_exchanges(text, PAGED)
    assert (listed.state, texts(listed)) == ("complete", ["row00 = 1", "row01 = 2", "# end, 2 rows"])


def test_nothing_of_ours_in_it_gives_no_exchange() -> None:
    assert pasted_exchanges("") == ()
    assert pasted_exchanges("some other text\nwith lines\n") == ()


noise = st.lists(
    st.sampled_from(
        ["toy> ", "toy> what", "list", "what\r", "\r\n", "\n", "row00 = 1", "# end, 1 rows", "\x1b[K", "::"]
    ),
    max_size=20,
)


@given(noise, st.lists(st.sampled_from("oim"), min_size=20, max_size=20))
def test_no_capture_is_too_odd_to_be_split(pieces: list[str], codes: list[str]) -> None:
    source = capture(*zip(codes, pieces, strict=False))
    lines = Transcript(source).lines
    for exchange in (*exchanges(source, PLAIN), *pasted_exchanges("".join(pieces)), *exchanges(source, MUTE)):
        assert (exchange.state == "complete") == (not exchange.why)
        assert all(1 <= line.number <= max(len(lines), 21 + len("".join(pieces))) for line in exchange.lines)


def test_a_capture_of_30_kb_is_read_in_a_few_milliseconds() -> None:
    rows = "".join(f"row{at % 100:02} = some value or another\r\n" for at in range(1000))
    size = len(rows)
    assert size > 30_000
    query = Query("list", ends=PLAIN.reads[0].ends, counted=PLAIN.reads[0].counted)
    manner = Manner(**{name: getattr(PLAIN, name) for name in PLAIN.__slots__} | {"reads": (query,)})
    text = "list\r\n" + rows + "# end, 1000 rows\r\ntoy> "
    for source in (
        capture(("o", "toy> "), ("i", "list\r"), ("o", text)),
        capture(("o", "toy> "), ("i", "list\r"), *[("o", char) for char in text]),
        pasted(("toy> " + text).encode()),
    ):
        best = float("inf")
        for _ in range(5):
            began = time.perf_counter()
            (listed,) = exchanges(source, manner)
            best = min(best, time.perf_counter() - began)
        assert listed.state == "complete"
        assert best < 0.02, f"{best * 1000:.1f} ms"

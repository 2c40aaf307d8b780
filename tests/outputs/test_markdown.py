"""Markdown as markdown-it-py (CommonMark with tables) reads it: what was typed comes back as text only."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from markdown_it import MarkdownIt
from markdown_it.token import Token

from propsoff.inspection.finding import Outcome, Verdict
from propsoff.inspection.report import Report
from propsoff.outputs.document import Told
from propsoff.outputs.escape import visible
from propsoff.outputs.markdown import cell, fence, markdown, text
from tests_support.findings import CAUSE, EFFECT, LET_BE, PASSED, report_of
from tests_support.hostile import hostile, hostile_reports

READER = MarkdownIt("commonmark", {"html": True}).enable("table")
OURS = {"heading", "paragraph", "bullet_list", "ordered_list", "list_item", "table", "thead", "tbody", "tr", "th", "td"}
REFERENCE = re.compile(r"@\w|#\d|!\d|://|www\.|\w@|:\w+:|[A-Za-z]-\d|\b[0-9a-f]{7,}\b|\w\.[a-z]")
"""What the usual trackers make links, mentions or pictures of outside code (common practice)."""


def tokens(document: str) -> Iterator[Token]:
    for token in READER.parse(document):
        yield token
        yield from token.children or ()


def plain_text(document: str) -> str:
    """The text of a document, a line for each block, as it is read."""
    kept = ("text", "code_inline", "text_special")
    inline = (
        "".join(each.content for each in token.children or () if each.type in kept) for token in READER.parse(document)
    )
    return "\n".join(inline)


def fences(document: str) -> list[str]:
    return [token.content for token in tokens(document) if token.type == "fence"]


def made(*told: Told) -> str:
    return markdown(told).decode()


def must_be_harmless(document: str) -> None:
    for token in tokens(document):
        kind = token.type.removesuffix("_open").removesuffix("_close")
        assert kind in OURS | {"inline", "text", "text_special", "code_inline", "fence"}, token
        if token.type in ("text", "text_special"):
            assert not REFERENCE.search(token.content), token.content


def test_the_headline_comes_first_then_next_steps_then_the_table_then_each_fault_in_full() -> None:
    document = made(Told("one.cast", report_of(PASSED, EFFECT, CAUSE, craft="Teal Wren", firmware="Ossel 4.1")))
    headings = [
        after.content
        for token, after in zip(READER.parse(document), READER.parse(document)[1:], strict=False)
        if token.type == "heading_open"
    ]
    assert headings[0].startswith("fail: Teal Wren · Ossel 4")
    assert headings[1:] == ["Next steps", "Findings", "fail: `receiver-type/wrong-kind`"]
    assert "put kind serial\nstore\n" in fences(document)
    rows = [token for token in READER.parse(document) if token.type == "tr_open"]
    assert len(rows) == 3
    assert "channel-order: no channel was read\n" in fences(document)


def test_a_waived_fault_stands_in_the_table_and_is_nothing_to_do() -> None:
    document = made(Told("one", report_of(LET_BE, verdict=Verdict.PASS)))
    assert "fail (waived: the goggles are to be changed)" in plain_text(document)
    assert "Next steps" not in document
    assert not fences(document)


def cells_of(*typed: str) -> list[str]:
    """The cells of a table row that was made of these texts, as the reader has them."""
    row = " | ".join(map(cell, typed))
    found = list(READER.parse(f"| {'a | ' * len(typed)}\n| {'--- | ' * len(typed)}\n| {row} |\n"))
    kept = ("text", "code_inline", "text_special")
    inline = [token.children or () for token in found if token.type == "inline"][len(typed) :]
    return ["".join(each.content for each in children if each.type in kept) for children in inline]


@given(st.lists(st.text(st.sampled_from("\\|`ab "), min_size=1, max_size=8), min_size=1, max_size=3))
@example(["a\\|b"])
@example(["a\\\\|b", "`\\||"])
def test_bars_and_backslashes_stay_in_their_cell_for_every_reader(typed: list[str]) -> None:
    """Some readers count the backslashes before a bar, others look at one: both must find the same cells."""
    assert cells_of(*typed) == typed
    for each in typed:
        assert set(re.findall(r"(\\*)\|", cell(each))) <= {"\\"}


def test_several_reports_begin_with_a_table_of_them_and_none_is_left_out() -> None:
    document = made(Told("a.cast", report_of(CAUSE, craft="Teal Wren")), Told("b.cast", None, "the worker died"))
    assert "2 inspections" in plain_text(document)
    assert [token.content for token in tokens(document) if token.type == "code_inline"][:2] == ["a.cast", "b.cast"]
    assert "the worker died\n" in fences(document)


def test_the_worst_of_several_stands_first_and_what_can_hurt_before_the_steps() -> None:
    hurts = CAUSE.model_copy(update={"caution": "Propellers off."})
    passed = report_of(PASSED, verdict=Verdict.PASS)
    shown = plain_text(made(Told("good", passed), Told("bad", report_of(hurts)), Told("fine", passed)))
    assert shown.index("bad") < shown.index("good") < shown.index("fine")
    assert shown.index("Caution: Propellers off.") < shown.index("type: put kind serial")


@pytest.mark.parametrize("plain", ["Teal Wren", "no channel was read", "it is 4.1, not 4.0", "three columns: unused."])
def test_plain_words_stand_as_they_are_and_not_as_code(plain: str) -> None:
    assert "`" not in text(plain)
    assert plain_text(text(plain)).strip() == plain


@pytest.mark.parametrize(
    "typed", ["@someone", "x #12", "GH-12", "www.x.invalid", "x.invalid", "a `b", ":smile:", "deadbeefcafe", " blank"]
)
def test_what_a_tracker_would_act_on_is_code(typed: str) -> None:
    assert [token.content for token in tokens(text(typed)) if token.type == "code_inline"] == [typed]


@given(hostile)
def test_any_text_comes_back_whole_within_a_line(typed: str) -> None:
    document = f"- said: {text(typed)}"
    must_be_harmless(document)
    assert plain_text(document).strip("\n") == f"said: {visible(typed) or '–'}"


@given(hostile)
def test_any_text_comes_back_whole_from_a_cell(typed: str) -> None:
    document = f"| a | b |\n| --- | --- |\n| {cell(typed)} | end |\n"
    must_be_harmless(document)
    cells = [
        "".join(child.content for child in token.children or ())
        for token in READER.parse(document)
        if token.type == "inline"
    ]
    assert cells == ["a", "b", visible(typed) or "–", "end"]


@given(st.lists(hostile, min_size=1, max_size=3))
def test_any_lines_come_back_whole_from_a_fence(typed: list[str]) -> None:
    [content] = fences("\n".join(fence(typed)))
    assert content == "".join(f"{visible(line)}\n" for line in typed)


@settings(deadline=None)
@given(hostile_reports(), hostile)
def test_hostile_texts_make_no_markup_and_come_back(report: Report, label: str) -> None:
    document = made(Told(label, report))
    must_be_harmless(document)
    shown = plain_text(document)
    for typed in (label, report.craft, report.board, report.firmware, report.board_serial, report.findings[0].summary):
        assert (visible(typed) if typed else "–") in shown
    [finding] = report.findings
    if finding.waived is None and finding.outcome not in (Outcome.PASS, Outcome.SKIPPED):
        for typed in (finding.expected, finding.actual, finding.why, finding.caution):
            assert not typed or f"{visible(typed)}\n" in fences(document)

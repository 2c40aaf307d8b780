"""Random and damaged consoles: nothing escapes from the learner, and nothing takes longer than it may.

`PROPSOFF_FUZZ` is the number of examples for each test; without it, few enough for every day.
"""

from __future__ import annotations

import contextlib
import os
import random
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, seed, settings
from hypothesis import strategies as st

from propsoff.console.capture import parse_cast, pasted
from propsoff.console.manner import Line
from propsoff.dialects.coverage import coverage_of
from propsoff.dialects.load import load_dialect, parse_dialect
from propsoff.exceptions import CaptureError, DialectError, PropsoffError
from propsoff.learning.choosing import choose
from propsoff.learning.findings import as_json
from propsoff.learning.from_text import heard_in
from propsoff.learning.habits import NONSENSE, error_of, is_error, looks_like_pager, prompt_of
from propsoff.learning.help_text import MOST_WORDS, help_words, menu_entries, pointed_at
from propsoff.learning.layouts.find import layouts_of
from propsoff.learning.learn import learn
from propsoff.learning.model import Answer
from tests_support.other_consoles.seen import SEEN
from tests_support.other_consoles.stating import StatingConsole

ROOT = Path(__file__).parents[2]
EXAMPLES = int(os.environ.get("PROPSOFF_FUZZ", "40"))
ONCE_S = 5.0
"""So long one console's text may take at most; the slowest measured took a tenth of it."""

often = settings(max_examples=EXAMPLES, deadline=None, suppress_health_check=[HealthCheck.too_slow])
line = st.text(
    st.characters(codec="utf-8", exclude_categories=["Cs"]) | st.sampled_from("=:|-[]{}<>()#.,; \t\"'0123456789%"),
    max_size=80,
)
words = st.sampled_from(
    [
        "radio",
        "port",
        "= ",
        ": ",
        "| ",
        "  ",
        "1000",
        "1500 us",
        "AETR",
        "53x20",
        "{",
        "}",
        "[",
        "]",
        '"',
        "UART 1",
        "help",
        "...",
    ]
)
made = st.lists(line | st.lists(words, max_size=8).map("".join), max_size=40)


def conversation(kind: type[StatingConsole]) -> str:
    """What a person would paste of one of the test consoles: each of its pages behind prompt and word."""
    console = kind()
    return "".join(f"{console.prompt}{word}\n{page}" for word, page in console.pages.items()) + console.prompt


TEXTS = tuple(map(conversation, SEEN))


def damaged(text: str, draw: random.Random) -> str:
    """The text with lines lost, doubled, swapped, cut, joined, or with characters changed."""
    lines = text.split("\n")
    for _ in range(draw.randint(1, 12)):
        at = draw.randrange(len(lines))
        way = draw.randrange(7)
        if way == 0 and len(lines) > 2:
            del lines[at]
        elif way == 1:
            lines.insert(at, lines[draw.randrange(len(lines))])
        elif way == 2:
            other = draw.randrange(len(lines))
            lines[at], lines[other] = lines[other], lines[at]
        elif way == 3:
            lines[at] = lines[at][: draw.randint(0, len(lines[at]))]
        elif way == 4 and at + 1 < len(lines):
            lines[at] += lines.pop(at + 1)
        elif lines[at]:
            spot = draw.randrange(len(lines[at]))
            char = draw.choice("{}[]\"'\\=:|.,\t\x00\x1b\x7f\u202e\u00e9\ufffd%0a ")
            lines[at] = lines[at][:spot] + char + lines[at][spot + draw.randint(0, 1) :]
    return "\n".join(lines)


def examine(text: str) -> None:
    """The whole way from a text to a draft: whatever comes out must be sound."""
    began = time.monotonic()
    heard = heard_in(pasted(text.encode("utf-8", "surrogatepass")))
    if heard is not None:
        lesson = learn(heard, id_="fuzzed", title="Fuzzed")
        as_json(lesson)
        if lesson.draft is not None:
            if lesson.dialect is None:
                with contextlib.suppress(DialectError):  # the draft then says so
                    parse_dialect(lesson.draft.text, "fuzzed")
            else:
                dialect = parse_dialect(lesson.draft.text, "fuzzed")
                assert 0.0 <= coverage_of(heard.capture, dialect).share <= 1.0
        if lesson.dialect is not None and lesson.craft is not None:
            for bound in lesson.meaning.bound:
                assert lesson.craft.value(bound.fact) == bound.reading.value
    assert time.monotonic() - began < ONCE_S


@seed(20261125)
@often
@given(made)
def test_any_text_is_taken_as_help_without_an_error(texts: list[str]) -> None:
    lines = [Line(number, text) for number, text in enumerate(texts, 1)]
    found = help_words(lines)
    assert len(found) <= MOST_WORDS
    for word in (*found, *menu_entries(lines), *pointed_at(lines)):
        assert word.word.strip()
        assert word.line in range(1, len(lines) + 1)
    chosen, left_out = choose(found, 40)
    assert len(chosen) <= 40
    assert {word.word for word in chosen} | {one.word.word for one in left_out} == {word.word for word in found}


@seed(20261125)
@often
@given(made)
def test_any_answer_is_laid_out_without_an_error(texts: list[str]) -> None:
    lines = tuple(Line(number, text) for number, text in enumerate(texts, 1))
    for layout in layouts_of(Answer("listing", lines)):
        assert layout.understood <= {one.number for one in lines}
        assert all(statement.line in layout.understood for statement in layout.statements)


@seed(20261125)
@often
@given(st.lists(line, min_size=1, max_size=4), line)
def test_any_tail_is_judged_as_prompt_pager_and_error_without_an_error(tails: list[str], asked: str) -> None:
    prompt_of(tails)
    looks_like_pager(tails[0])
    lines = [Line(number, text) for number, text in enumerate(tails, 1)]
    error_of(lines, NONSENSE)
    is_error(lines, asked, lines)


@seed(20261125)
@often
@given(made)
def test_any_text_is_learned_without_an_error(texts: list[str]) -> None:
    examine("\n".join(f"> word{at % 5}\n{text}" if at % 4 == 0 else text for at, text in enumerate(texts)))


@pytest.mark.parametrize("which", range(len(TEXTS)), ids=[one.name for one in SEEN])
def test_a_damaged_console_is_learned_without_an_error(which: int) -> None:
    examine(TEXTS[which])
    for number in range(max(2, EXAMPLES // len(TEXTS))):
        draw = random.Random(f"{which} {number}")
        text = damaged(TEXTS[which], draw)
        try:
            examine(text)
        except Exception as error:
            error.add_note(f"console {SEEN[which].name}, seed {which} {number}:\n{text}")
            raise


DIALECTS = tuple((ROOT / "daemon/propsoff/dialects/builtin").glob("*.toml"))
CASTS = tuple(sorted((ROOT / "fixtures/captures").glob("*.cast")))[:6]


def refusal(read: Callable[[], Any], kind: type[PropsoffError]) -> tuple[Any, str]:
    """What was read, or the words of the refusal."""
    try:
        return read(), ""
    except kind as error:
        return None, str(error)


@pytest.mark.parametrize("file", DIALECTS, ids=lambda file: file.stem)
def test_a_damaged_dialect_is_taken_or_refused_and_nothing_else(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    for number in range(EXAMPLES):
        torn = damaged(text, random.Random(f"{file.stem} {number}"))
        began = time.monotonic()
        dialect, refused = refusal(partial(parse_dialect, torn, "torn.toml"), DialectError)
        assert dialect is not None or "torn.toml" in refused, f"seed {file.stem} {number}"
        assert time.monotonic() - began < ONCE_S


@pytest.mark.parametrize("file", CASTS, ids=lambda file: file.stem)
def test_a_damaged_capture_is_taken_or_refused_and_nothing_else(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    for number in range(max(2, EXAMPLES // 4)):
        torn = damaged(text, random.Random(f"{file.stem} {number}")).encode("utf-8", "surrogatepass")
        capture, refused = refusal(partial(parse_cast, torn, "torn.cast"), CaptureError)
        assert capture is not None or "torn.cast" in refused, f"seed {file.stem} {number}"
        if capture is not None:
            heard_in(capture)
            for dialect in map(load_dialect, DIALECTS):
                assert 0.0 <= coverage_of(capture, dialect).share <= 1.0

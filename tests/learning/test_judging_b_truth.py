"""The second consoles that judge the learner say what their truth says. Nothing of the reader reads them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest

from tests_support import console_truth as checks
from tests_support.judging_consoles_b import JUDGING_B
from tests_support.judging_consoles_b.hessleby import Hessleby
from tests_support.judging_consoles_b.morwick import Morwick
from tests_support.judging_consoles_b.pellitory import Pellitory
from tests_support.other_consoles.stating import Said, StatingConsole
from tests_support.other_consoles.typist import Typist

each_console = pytest.mark.parametrize("kind", JUDGING_B, ids=lambda kind: kind.name)

_NUMBER = re.compile(r"\d+(?:\.\d+)?")
_TIMES = {"mV": 0.001, "ms": 0.001, "kHz": 1000.0}
"""What a unit in the text, or at the end of a key in it, makes of its number; nothing else is scaled."""
# As a person of the trade reads these words.
_WORDS: checks.Words = {
    "positioning": ("gps",),
    "overlay-link": (": osd,",),
    "video-control": ("video control",),
    "esc-telemetry": ("esc telemetry", "esc-telemetry"),
    "link-quality": ("link quality", "link-quality"),
    "craft-name": ("craft name",),
    "no-receiver-link": ("no receiver link",),
    "usb-connected": ("usb connected", "usb-connected"),
    "throttle-not-low": ("throttle not low", "throttle-not-low"),
    "not-level": ("not level",),
    True: (" yes", " on", ", shown"),
    False: (" no", " off", ", hidden"),
}
# Carriers in MHz, common practice for analogue video; written from memory.
_CARRIERS = {("A", 6): 5765, ("R", 5): 5806, ("F", 7): 5860}
_LINE_RATES = {"crsf": 420000, "sbus": 100000, "ibus": 115200}
"""Baud of a receiver's protocol, common practice; written from memory."""


def _page(console: StatingConsole, typist: Typist, word: str) -> str:
    """What a word prints; in the menus from the main one, and back to it."""
    above = console.menu_of(word) if isinstance(console, Morwick) else console.help_word
    if not isinstance(console, Morwick) or word == console.help_word:
        return typist.enter(word)
    if above != console.help_word:
        typist.enter(above)
    text = typist.enter(word)
    while console.pages[console.help_word].replace("\n", console.newline) not in typist.enter(console.way_back):
        pass
    return text


def _below(page: str, head: str) -> str:
    """The deeper lines below a head that stands once, moved to the margin."""
    found = re.findall(rf"^( *){re.escape(head)}\n((?:\1 +\S.*\n)+)", page, re.MULTILINE)
    assert len(found) == 1, f"{head!r} {len(found)} times"
    lines = found[0][1].splitlines(True)
    margin = len(lines[0]) - len(lines[0].lstrip(" "))
    return "".join(line[margin:] for line in lines)


def _scope(kind: type[StatingConsole], one: Said) -> tuple[str, tuple[str, ...]]:
    """The part of the page in which the texts of a fact stand, and those texts; a head ends with a colon."""
    page, texts = kind.pages[one.word], one.texts
    while kind is Pellitory and texts[0].endswith(":"):
        page, texts = _below(page, texts[0]), texts[1:]
    return page, texts


def test_there_are_four_of_different_names() -> None:
    assert len({kind.name for kind in JUDGING_B}) == len(JUDGING_B) == 4


@each_console
def test_the_prompt_comes_after_the_wake(kind: type[StatingConsole]) -> None:
    checks.check_prompt(kind())


@each_console
def test_a_word_that_it_does_not_know_gives_its_error(kind: type[StatingConsole]) -> None:
    checks.check_error(kind())


@each_console
def test_help_is_given_by_a_usual_word_or_by_the_one_that_the_refusal_names(kind: type[StatingConsole]) -> None:
    assert kind.help_word.casefold() in ("help", "?") or f'"{kind.help_word}"' in kind.error
    with checks.awake(kind()) as typist:
        assert kind.pages[kind.help_word].replace("\n", kind.newline) in typist.enter(kind.help_word)


@each_console
def test_every_stated_fact_stands_in_what_its_word_prints(kind: type[StatingConsole]) -> None:
    console = kind()
    with checks.awake(console) as typist:
        printed = {word: _page(console, typist, word) for word in console.pages}
    checks.check_texts(console, printed)
    assert console.done == []


@each_console
def test_each_text_of_a_fact_stands_once_where_it_says_at_the_beginning_of_a_line(kind: type[StatingConsole]) -> None:
    for name, one in kind.stated.items():
        page, texts = _scope(kind, one)
        assert texts, name
        for text in texts:
            found = re.findall(rf"^{re.escape(text)}(?=$|  )", page, re.MULTILINE)
            assert len(found) == 1, f"{name}: {text!r} {len(found)} times"


@each_console
def test_the_truth_is_in_canonical_names_types_and_words(kind: type[StatingConsole]) -> None:
    checks.check_canonical(kind)


@each_console
def test_the_value_of_each_stated_fact_can_be_read_from_its_text(kind: type[StatingConsole]) -> None:
    for name, one in kind.stated.items():
        values: tuple[Any, ...] = one.value if isinstance(one.value, tuple) else (one.value,)
        text = "\n".join(one.texts)
        assert all(_is_in(value, text) for value in values), f"{name}: {one.value!r} is not to be read from {text!r}"


def _is_in(value: Any, text: str) -> bool:
    small = text.casefold()
    if isinstance(value, (bool, str)) and value in _WORDS:  # 1 equals True
        return any(word in small for word in _WORDS[value])
    if isinstance(value, str):
        return re.search(rf"(?<![^\W_]){re.escape(value.casefold())}(?![^\W\d_])", small) is not None
    times = next((by for unit, by in _TIMES.items() if re.search(rf"[\W_]{unit}(?![^\W_])", text, re.IGNORECASE)), 1.0)
    return any(abs(value - float(number) * times) < 1e-9 for number in _NUMBER.findall(text))


@each_console
def test_the_port_of_the_receiver_is_a_port_for_the_receiver_at_the_rate_of_its_protocol(
    kind: type[StatingConsole],
) -> None:
    truth = kind.truth.stated
    rows = [row for row in range(len(truth)) if truth.get(f"ports[{row}].roles") == ("receiver",)]
    assert [truth[f"ports[{row}].id"] for row in rows] == [truth[name] for name in ("receiver.port",) if name in truth]
    assert [truth[f"ports[{row}].baud"] for row in rows] == [_LINE_RATES[truth["receiver.protocol"]] for _ in rows]
    assert bool(rows) == (truth["receiver.kind"] == "serial")


@each_console
def test_the_numbers_of_its_battery_channels_switches_elements_and_video_fit_each_other(
    kind: type[StatingConsole],
) -> None:
    truth = kind.truth.stated
    low, warn, full = (truth[f"battery.cell_{end}"] for end in ("low", "warn", "full"))
    assert low < warn < truth["battery.volts"] / truth["battery.cells"] < full
    assert truth["channels.low"] < truth["channels.centre"] < truth["channels.high"]
    for name, value in truth.items():
        if name.endswith(".from_us"):
            assert value < truth[name.replace("from_us", "to_us")]
        if name.startswith("overlay.elements") and name.endswith((".column", ".row")):
            assert 0 <= value < truth["overlay.columns" if name.endswith("column") else "overlay.rows"]
    if truth["video.link"] == "analog":
        assert truth["video.frequency_mhz"] == _CARRIERS[truth["video.band"], truth["video.channel"]]


@each_console
def test_every_row_of_the_ports_that_is_printed_is_in_the_truth(kind: type[StatingConsole]) -> None:
    truth, page = kind.truth.stated, kind.pages[kind.stated["ports[0].id"].word]
    printed = sorted({name.casefold() for name in re.findall(r"^ *(uart\d)\b", page, re.MULTILINE | re.IGNORECASE)})
    assert printed == [truth[f"ports[{row}].id"].casefold() for row in range(len(printed))]
    assert f"ports[{len(printed)}].id" not in truth


@each_console
def test_it_states_thirty_five_to_sixty_facts_a_repeated_group_counted_once(kind: type[StatingConsole]) -> None:
    assert 35 <= len({re.sub(r"\[\d+\].*", "", name) for name in kind.truth.stated}) <= 60


@each_console
def test_a_quarter_to_a_half_of_its_lines_state_no_fact(kind: type[StatingConsole]) -> None:
    lines = [line for word, line in _lines(kind)]
    stating = {(one.word, text) for one in kind.stated.values() for text in one.texts}
    others = [line for word, line in _lines(kind) if not any(line.startswith(t) for w, t in stating if w == word)]
    assert 0.25 <= len(others) / len(lines) <= 0.5, f"{len(others)} of {len(lines)}"


def _lines(kind: type[StatingConsole]) -> Iterator[tuple[str, str]]:
    """The lines with something behind a name, each with its word; neither help nor titles, heads, rules and rows."""
    stating = {one.word for one in kind.stated.values()}
    for word, page in kind.pages.items():
        for line in map(str.strip, page.splitlines()):
            bare = not line or line.endswith(":") or "===" in line or line == "0. Back"
            header = line.startswith(("ITEM ", "SETTING ", "READING ")) or (kind is Morwick and ":" not in line)
            if (
                word != kind.help_word
                and (word in stating or not kind.pages[word].count("31."))
                and not (bare or header)
            ):
                yield word, line


@each_console
def test_every_word_is_listed_harmful_ones_like_the_others(kind: type[StatingConsole]) -> None:
    console = kind()
    assert 4 <= len(console.harmful) <= 10
    assert console.harmful == console.harms.keys()
    assert not console.harmful & console.pages.keys()
    with checks.awake(console) as typist:
        for word in console.pages.keys() | console.harmful:
            above = console.menu_of(word) if isinstance(console, Morwick) else console.help_word
            listing = _page(console, typist, above)
            assert re.search(rf"^{re.escape(word)}(?:\.| )", listing, re.MULTILINE), word
    assert console.done == []


def _every_harm() -> list[Any]:
    return [pytest.param(kind, word, id=f"{kind.name}-{word}") for kind in JUDGING_B for word in sorted(kind.harmful)]


@pytest.mark.parametrize(("kind", "word"), _every_harm())
def test_a_harmful_word_has_its_visible_effect(kind: type[StatingConsole], word: str) -> None:
    console = kind()
    harm = console.harms[word]
    line = harm.sample or word
    with checks.awake(console) as typist:
        before = _page(console, typist, harm.look) if harm.look else ""
        if isinstance(console, Morwick):
            typist.enter(console.menu_of(word))
        printed = typist.enter(line, ending=None if harm.look else harm.prints + console.newline)
        assert harm.prints in printed
        assert console.done == [harm]
        if harm.look:
            if isinstance(console, Morwick):
                typist.enter(console.way_back)
            assert before.count(harm.before) == 1
            after = _page(console, typist, harm.look)
            assert after == before.replace(harm.before, harm.after) != before
        else:  # nothing answers in a loader
            typist.press(b"\r\r")
            assert typist.silence() == b""
    assert console.harm_done == [line.casefold()]


def test_an_entry_is_taken_only_in_the_menu_that_shows_it() -> None:
    console = Morwick()
    with checks.awake(console) as typist:
        for word in ("0", "11", "31", "99"):
            assert console.error.format(line=word) in typist.enter(word)
        typist.enter("1")
        assert console.error.format(line="31") in typist.enter("31")
        assert "Motor poles" in typist.enter("16")
        assert console.error.format(line="11") in typist.enter("11")
        assert "Motor poles" in typist.enter("?")
        assert "16. Motors" in typist.enter("0")
        assert "Main menu" in typist.enter("0")
    assert console.done == []


def test_characters_that_are_typed_fast_are_lost_where_it_says_so() -> None:
    [kind] = [kind for kind in JUDGING_B if kind.slowest_s]
    console = kind()
    console.type(b"info", now=1e9)
    console.type(b"\r", now=1e9 + 2 * kind.slowest_s)
    assert console.received == ["i"]


def test_the_pager_shows_a_page_at_a_time_until_space_or_q() -> None:
    console, pager = Hessleby(), Hessleby.pager
    assert pager is not None
    whole = console.pages["settings"].splitlines()
    first = console.type(b"settings\r", 1.0).decode()
    assert first.endswith(whole[23] + "\r\n" + pager[0])
    assert console.type(b"x\r", 2.0) == b""
    second = console.type(b" ", 3.0).decode()
    assert whole[24] in second
    assert second.endswith(whole[47] + "\r\n" + pager[0])
    assert console.type(b"q", 4.0).decode().endswith(console.prompt)
    assert b"board-name" in console.type(b"about\r", 5.0)
    assert console.received == ["settings", "about"]

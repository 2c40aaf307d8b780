"""The consoles of the closing examination say what their truth says. Nothing of the reader reads them here."""

from __future__ import annotations

import re
from typing import Any

import pytest

from tests_support import console_truth as checks
from tests_support.closing_consoles import CLOSING
from tests_support.closing_consoles.ousterby import Ousterby
from tests_support.other_consoles.stating import Harm, Said, StatingConsole
from tests_support.other_consoles.typist import Typist

each_console = pytest.mark.parametrize("kind", CLOSING, ids=lambda kind: kind.name)

_CAMEL = re.compile(r"(?<=[a-z\d])(?=[A-Z][a-z])")
_NUMBER = re.compile(r"\d+(?:\.\d+)?")
_TIMES = (1.0, 0.001)
"""mV for V and ms for s; nothing else is scaled."""
# As a person of the trade reads these words.
_WORDS: checks.Words = {
    "positioning": ("gps",),
    "overlay-link": ("osd",),
    "video-control": ("video_control",),
    "esc-telemetry": ("esc telemetry",),
    "link-quality": ("link quality", "link_quality", "link-quality"),
    "craft-name": ("craft name",),
    "no-receiver-link": ("no receiver link", "no_receiver_link"),
    "usb-connected": ("usb connected", "usb_connected"),
    "throttle-not-low": ("throttle not low", "throttle_not_low"),
    True: (" on", " yes", "=yes", "[yes]", "[shown]", ": true"),
    False: (" no", "=no", "[no]", "[hidden]", ": false"),
}
# Where a key stands at the left margin it belongs to nothing; elsewhere to the last less indented line above it.
_SECTION = re.compile(r"^\S.*:$", re.MULTILINE)


def _page(console: StatingConsole, typist: Typist, word: str) -> str:
    text = typist.enter(word)
    if isinstance(console, Ousterby) and word.isdigit():
        assert "MAIN MENU" in typist.enter(console.way_back)
    return text


def test_there_are_four_of_different_names() -> None:
    assert len({kind.name for kind in CLOSING}) == len(CLOSING) == 4


@each_console
def test_the_prompt_comes_after_the_wake(kind: type[StatingConsole]) -> None:
    checks.check_prompt(kind())


@each_console
def test_a_word_that_it_does_not_know_gives_its_error(kind: type[StatingConsole]) -> None:
    checks.check_error(kind())


@each_console
def test_help_is_given_by_a_usual_word_or_by_the_one_that_the_refusal_names(kind: type[StatingConsole]) -> None:
    assert kind.help_word in ("help", "?") or f'"{kind.help_word}"' in kind.error.replace('"{line}"', "")
    console = kind()
    with checks.awake(console) as typist:
        assert kind.pages[kind.help_word].replace("\n", kind.newline) in typist.enter(kind.help_word)


@each_console
def test_every_stated_fact_stands_in_what_its_word_prints(kind: type[StatingConsole]) -> None:
    console = kind()
    with checks.awake(console) as typist:
        printed = {word: _page(console, typist, word) for word in console.pages}
    checks.check_texts(console, printed)
    assert console.done == []


@each_console
def test_the_text_of_a_fact_stands_once_where_it_says(kind: type[StatingConsole]) -> None:
    for name, one in kind.stated.items():
        page = kind.pages[one.word]
        for text in one.texts[:-1]:
            page = page[page.index(text) + len(text) :]
        if one.texts[0].endswith(":") and not one.texts[0].startswith("blocked"):  # to the next section
            page = _SECTION.split(page, maxsplit=1)[0]
        if len(one.texts) == 2 and "=" in one.texts[1] and "\n" in page:  # the first line that the word leads
            page = page.splitlines()[0]
        found = re.findall(rf"(?<![\w-]){re.escape(one.texts[-1])}(?![\w.])", page)
        assert len(found) == 1, f"{name}: {one.texts!r} {len(found)} times"


@each_console
def test_the_truth_is_in_canonical_names_types_and_words(kind: type[StatingConsole]) -> None:
    checks.check_canonical(kind)


@each_console
def test_the_port_of_the_receiver_is_a_port_for_the_receiver(kind: type[StatingConsole]) -> None:
    truth = kind.truth.stated
    rows = [row for row in range(len(truth)) if truth.get(f"ports[{row}].roles") == ("receiver",)]
    assert [truth[f"ports[{row}].id"] for row in rows] == [truth[name] for name in ("receiver.port",) if name in truth]


@each_console
def test_the_value_of_each_stated_fact_can_be_read_from_its_text(kind: type[StatingConsole]) -> None:
    for name, one in kind.stated.items():
        assert _says(one), f"{name}: {one.value!r} is not to be read from {one.texts}"


def _says(one: Said) -> bool:
    text = _CAMEL.sub(" ", " ".join(one.texts)).casefold()
    values: tuple[Any, ...] = one.value if isinstance(one.value, tuple) else (one.value,)
    return all(_is_in(value, text) for value in values)


def _is_in(value: Any, text: str) -> bool:
    if isinstance(value, (bool, str)) and value in _WORDS:  # 1 equals True
        return any(word in text for word in _WORDS[value])
    if isinstance(value, str):
        return re.search(rf"(?<![^\W_]){re.escape(value.casefold())}(?![^\W\d_])", text) is not None
    whole = [float(number) for number in re.findall(r"\d+", text)]
    read = whole + [float(number) for number in _NUMBER.findall(text)]
    return any(abs(value - n * times) < 1e-9 for n in read for times in _TIMES)


@each_console
def test_it_states_thirty_five_to_sixty_facts_a_repeated_group_counted_once(kind: type[StatingConsole]) -> None:
    assert 35 <= len({re.sub(r"\[\d+\].*", "", name) for name in kind.truth.stated}) <= 60


@each_console
def test_its_harmful_words_are_listed_like_the_others(kind: type[StatingConsole]) -> None:
    console = kind()
    checks.check_listed(console)
    assert console.harmful == console.harms.keys()
    assert not console.harmful & console.pages.keys()
    listed = kind.pages[kind.help_word]
    for word in (console.pages.keys() | console.harmful) - ({"?"} if isinstance(console, Ousterby) else set()):
        assert re.search(rf"^ *{re.escape(word)}(?:: | )", listed, re.MULTILINE), word


def _every_harm() -> list[Any]:
    return [pytest.param(kind, word, id=f"{kind.name}-{word}") for kind in CLOSING for word in sorted(kind.harmful)]


@pytest.mark.parametrize(("kind", "word"), _every_harm())
def test_a_harmful_word_has_its_visible_effect(kind: type[StatingConsole], word: str) -> None:
    console = kind()
    harm = console.harms[word]
    line = harm.sample or word
    with checks.awake(console) as typist:
        before = _page(console, typist, harm.look) if harm.look else ""
        printed = typist.enter(line, ending=None if harm.look else harm.prints + console.newline)
        assert harm.prints in printed
        assert console.done == [harm]
        if harm.look:
            _changed(harm, before, _page(console, typist, harm.look))
        else:  # nothing answers in a loader
            typist.press(b"\r\r")
            assert typist.silence() == b""
    assert console.harm_done == [line.casefold()]


def _changed(harm: Harm, before: str, after: str) -> None:
    assert before.count(harm.before) == 1
    assert after == before.replace(harm.before, harm.after)
    assert after != before


def test_an_entry_is_taken_only_in_the_main_menu() -> None:
    console = Ousterby()
    with checks.awake(console) as typist:
        assert console.error.format(line="0") in typist.enter("0")
        typist.enter("7")
        assert console.error.format(line="2") in typist.enter("2")
        assert console.error.format(line="24") in typist.enter("24")
        assert "MOTOR POLES" in typist.enter("?")
        assert "MAIN MENU" in typist.enter("0")
        assert "CHANNEL ORDER" in typist.enter("2")
    assert console.done == []

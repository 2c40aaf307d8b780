"""The third set of trial consoles says what its truth says. Nothing of the reader reads it here."""

from __future__ import annotations

import re
from typing import Any

import pytest

from tests_support import console_truth as checks
from tests_support.other_consoles.stating import Harm, Said, StatingConsole
from tests_support.other_consoles.typist import Typist
from tests_support.trial_consoles_c import TRIAL_C
from tests_support.trial_consoles_c.lindrick import Lindrick
from tests_support.trial_consoles_c.pardoe import Pardoe
from tests_support.trial_consoles_c.wharram import Wharram

each_console = pytest.mark.parametrize("kind", TRIAL_C, ids=lambda kind: kind.name)

_NUMBER = re.compile(r"\d+(?:\.\d+|,\d{1,2}(?![\d,]))?")
_TIMES = (1.0, 0.001, 1000.0, 0.1, 0.01, 100.0, 1024.0)
"""ms for s, kHz for Hz, W for mW, tenths, hundredths, hundreds and KiB where the text says so."""
# As a person of the trade reads these words; German where a console is German.
_WORDS: checks.Words = {
    "serial": ("serial", "seriell"),
    "land": ("land",),
    "console": ("console", "konsole"),
    "receiver": ("receiver", "empf."),
    "positioning": ("gps",),
    "overlay-link": ("role osd",),
    "video-control": ("video-control", "video control", "videosender"),
    "esc-telemetry": ("esc telemetry", "esc-telemetry", "esc-telemetrie"),
    "unused": ("unused", "not used", "frei"),
    "found": ("found", "vorhanden"),
    "missing": ("missing", "fehlt"),
    "card": ("card", "speicherkarte"),
    "arm": ("arm", "scharf"),
    "level": ("level", "lage"),
    "beeper": ("beeper", "piepser"),
    "battery": ("battery", "akku"),
    "timer": ("timer", "uhr"),
    "warnings": ("warnings", "warnungen"),
    "link-quality": ("link-quality", "linkquality"),
    "craft-name": ("craft name", "craftname", "modellname"),
    "no-receiver-link": ("no receiver link",),
    "usb-connected": ("usb connected", "usb-connected", "usb verbunden"),
    "throttle-not-low": ("throttle not low", "throttle-not-low", "gas nicht unten"),
    "not-level": ("not level", "not-level"),
    True: (" yes", " on", "shown", " visible", " ja", " ein", "\tyes", "\ton"),
    False: (" no", " off", "hidden", " nein", " aus", "\tno", "\toff"),
}


def _page(console: StatingConsole, typist: Typist, word: str) -> str:
    """The page of a word, entered from the top and left again."""
    _go(console, typist, word)
    text = typist.enter(word)
    if isinstance(console, Lindrick):
        typist.enter(console.way_back)
        typist.enter(console.way_back)
    return text


def _go(console: StatingConsole, typist: Typist, word: str) -> None:
    """Enter the page on which a letter is offered."""
    if isinstance(console, Lindrick) and word in console.within:
        typist.enter(console.within[word])


def test_there_are_six_of_different_names() -> None:
    assert len({kind.name for kind in TRIAL_C}) == len(TRIAL_C) == 6


@each_console
def test_the_prompt_comes_after_the_wake(kind: type[StatingConsole]) -> None:
    checks.check_prompt(kind())


@each_console
def test_a_word_that_it_does_not_know_gives_its_error(kind: type[StatingConsole]) -> None:
    checks.check_error(kind())


@each_console
def test_every_stated_fact_stands_in_what_its_word_prints(kind: type[StatingConsole]) -> None:
    console = kind()
    with checks.awake(console) as typist:
        printed = {word: _page(console, typist, word) for word in console.pages}
    checks.check_texts(console, printed)
    assert console.done == []


@each_console
def test_the_text_of_a_fact_stands_once_in_its_page(kind: type[StatingConsole]) -> None:
    for name, one in kind.stated.items():
        page = kind.pages[one.word]
        assert page.count(one.texts[0]) == 1, f"{name}: {one.texts[0]!r}"
        if len(one.texts) > 1:  # a head, or a legend above; then the text stands once in what follows
            below = page[page.index(one.texts[0]) :]
            block = below.split("\n\n")[0] if one.texts[0].startswith("[") else page
            assert block.count(one.texts[-1]) == 1, f"{name}: {one.texts[-1]!r}"


@each_console
def test_the_truth_is_in_canonical_names_types_and_words(kind: type[StatingConsole]) -> None:
    checks.check_canonical(kind)


@each_console
def test_the_value_of_each_stated_fact_can_be_read_from_its_text(kind: type[StatingConsole]) -> None:
    for name, one in kind.stated.items():
        assert _says(one), f"{name}: {one.value!r} is not to be read from {one.texts}"


def _says(one: Said) -> bool:
    text = " ".join(one.texts).casefold()
    values: tuple[Any, ...] = one.value if isinstance(one.value, tuple) else (one.value,)
    return all(_is_in(value, text) for value in values)


def _is_in(value: Any, text: str) -> bool:
    if isinstance(value, (bool, str)) and value in _WORDS:  # 1 equals True
        return any(word in text for word in _WORDS[value])
    if isinstance(value, str):
        return re.search(rf"(?<!\w){re.escape(value.casefold())}(?![^\W\d_])", text) is not None
    whole = [float(number) for number in re.findall(r"\d+", text)]
    coded = [float(int(number, 16)) for number in re.findall(r"0x([\da-f]+)", text)]
    read = whole + coded + [float(number.replace(",", ".")) for number in _NUMBER.findall(text)]
    return any(abs(value - n * times) < 1e-9 for n in read for times in _TIMES)


@each_console
def test_it_states_thirty_to_sixty_facts_a_repeated_group_counted_once(kind: type[StatingConsole]) -> None:
    assert 30 <= len({re.sub(r"\[\d+\].*", "", name) for name in kind.truth.stated}) <= 60


@each_console
def test_its_harmful_words_are_listed_like_the_others(kind: type[StatingConsole]) -> None:
    assert 4 <= len(kind.harmful) <= 10
    assert kind.harmful == kind.harms.keys()
    assert not kind.harmful & kind.pages.keys()
    outer = kind.within.values() if issubclass(kind, Lindrick) else ()
    listed = "".join(kind.pages[word] for word in {kind.help_word, *outer})
    for word in {one for line in kind.pages.keys() | kind.harmful for one in line.split()}:  # verb and object apart
        assert re.search(rf"(?<![\w-]){re.escape(word)}(?![\w-])", listed), f"{word!r} is not listed"


def _every_harm() -> list[Any]:
    return [pytest.param(kind, word, id=f"{kind.name}-{word}") for kind in TRIAL_C for word in sorted(kind.harmful)]


@pytest.mark.parametrize(("kind", "word"), _every_harm())
def test_a_harmful_word_has_its_visible_effect(kind: type[StatingConsole], word: str) -> None:
    console = kind()
    harm = console.harms[word]
    line = harm.sample or word
    with checks.awake(console) as typist:
        before = _page(console, typist, harm.look) if harm.look else ""
        _go(console, typist, word)
        printed = typist.enter(line, ending=None if harm.look else harm.prints + console.newline)
        assert harm.prints in printed
        assert console.done == [harm]
        if harm.look:
            if isinstance(console, Lindrick):
                typist.enter(console.way_back)
            _changed(harm, before, _page(console, typist, harm.look))
        else:  # nothing answers in a loader
            typist.press(b"\r\r")
            assert typist.silence() == b""
    assert console.harm_done == [line.casefold()]


def _changed(harm: Harm, before: str, after: str) -> None:
    assert harm.before in before
    assert harm.after in after
    assert harm.after not in before
    assert harm.before not in after or harm.before in harm.after


def test_the_listing_ends_with_the_count_of_its_lines() -> None:
    *lines, end = Wharram.pages["inventory"].splitlines()
    assert end == f"; end of inventory, {len(lines)} lines"


def test_a_hexadecimal_choice_has_the_meaning_that_the_legend_gives_it() -> None:
    checked = []
    for name, one in Pardoe.stated.items():
        key, code = one.texts[-1].split(" -> ")
        legend = next((text for text in one.texts if re.match(rf"# .*\b{key}\b.*: 0x", text)), None)
        if legend is None:
            continue
        meanings = {int(number, 16): word for number, word in re.findall(r"0x([\dA-F]+) ([^,]+)", legend)}
        flags = isinstance(one.value, tuple)
        meant = [word for bit, word in meanings.items() if (int(code, 16) & bit if flags else int(code, 16) == bit)]
        assert meant == [_worded(value) for value in (one.value if flags else (one.value,))] or one.value == _plain(
            meant
        )
        checked.append(name)
    assert len(checked) == 18


def _worded(value: object) -> str:
    return str(value).replace("-", " ").replace("usb", "USB")


def _plain(meant: list[str]) -> object:
    """The one meaning of a choice, as the truth writes it."""
    return {"yes": True, "no": False, "on": True, "off": False}.get(meant[0], meant[0].casefold())


def test_a_letter_is_taken_only_on_the_page_that_shows_it() -> None:
    console = Lindrick()
    with checks.awake(console) as typist:
        assert console.error.format(line="w") in typist.enter("w")
        typist.enter("v")
        assert console.error.format(line="k") in typist.enter("k")
        assert "VIDEO / OVERLAY" in typist.enter("o")
        assert "(t) transmitter" in typist.enter(console.way_back)
        assert "(k) keep settings" in typist.enter(console.way_back)
    assert console.done == []


def test_the_pager_holds_the_rest_of_a_page_until_a_key_is_pressed() -> None:
    console = Lindrick()
    console.type(b"v\r", now=0.0)
    first = console.type(b"o\r", now=1.0).decode()
    assert "Columns\t30" in first
    assert first.endswith("-- more --")
    rest = console.type(b" ", now=2.0).decode()
    assert "Warnings\t9" in rest
    assert rest.endswith(console.prompt)
    assert "Warnings" not in first

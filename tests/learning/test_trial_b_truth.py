"""The second set of trial consoles says what its truth says. Nothing of the reader reads it here."""

from __future__ import annotations

import csv
import json
import re
from typing import Any

import pytest

from tests_support import console_truth as checks
from tests_support.other_consoles.stating import Harm, Said, StatingConsole
from tests_support.trial_consoles_b import TRIAL_B
from tests_support.trial_consoles_b.fennick import Fennick
from tests_support.trial_consoles_b.kelderby import Kelderby

each_console = pytest.mark.parametrize("kind", TRIAL_B, ids=lambda kind: kind.name)

_NUMBER = re.compile(r"\d+(?:\.\d+|,\d{1,2}(?![\d,]))?")
_TIMES = (1.0, 0.001, 1000.0, 0.1, 0.01)
"""ms for s, kHz for Hz, tenths and hundredths where the text says so."""
# As a person of the trade reads these words; Italian where a console is Italian.
_WORDS: checks.Words = {
    "drop": ("drop", "spegni i motori"),
    "return": ("returnhome",),
    "analog": ("analog",),
    "console": ("console",),
    "positioning": ("gps",),
    "overlay-link": ("osd",),
    "video-control": ("videocontrol", "video transmitter", "controllo video"),
    "esc-telemetry": ("esc telemetry", "telemetria esc"),
    "unused": ("none", "unused", "not used", "libera"),
    "found": ('"ok"', "found", "present", "trovato"),
    "missing": ("missing", "assente"),
    "card": ("card", "scheda sd"),
    "arm": ("arm", "armamento"),
    "level": ("level", "livello"),
    "beeper": ("beeper", "cicalino"),
    "battery": ("battery", "batteria"),
    "timer": ("timer", "cronometro"),
    "link-quality": ("linkquality", "link quality"),
    "craft-name": ("craftname", "craft name", "nome del velivolo"),
    "altitude": ("altitude", "quota"),
    "no-receiver-link": ("noreceiverlink", "no receiver link"),
    "usb-connected": ("usbconnected", "usb connected", "usb collegato"),
    "throttle-not-low": ("throttle not low",),
    "not-level": ("velivolo non in piano",),
    "arm-switch-on": ("arm switch on",),
    True: (" on", "(on", ",yes", "(yes", "true", " sì", "accesa", "is inverted", "is shown"),
    False: (" off", "(off", ",no", "(no", "false", " no ", "is hidden", "not reversed"),
}


def test_there_are_five_of_different_names() -> None:
    assert len({kind.name for kind in TRIAL_B}) == len(TRIAL_B) == 5


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
        printed = {word: typist.enter(word) for word in console.pages}
    checks.check_texts(console, printed)
    assert console.done == []


@each_console
def test_the_text_of_a_fact_stands_once_in_its_page(kind: type[StatingConsole]) -> None:
    for name, one in kind.stated.items():
        assert kind.pages[one.word].count(one.texts[-1]) == 1, f"{name}: {one.texts[-1]!r}"


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
    read = whole + [float(number.replace(",", ".")) for number in _NUMBER.findall(text)]
    return any(abs(value - n * times) < 1e-9 for n in read for times in _TIMES)


@each_console
def test_it_states_thirty_to_sixty_facts_a_repeated_group_counted_once(kind: type[StatingConsole]) -> None:
    assert 30 <= len({re.sub(r"\[\d+\].*", "", name) for name in kind.truth.stated}) <= 60


@each_console
def test_its_harmful_words_are_listed_like_the_others(kind: type[StatingConsole]) -> None:
    console = kind()
    checks.check_listed(console)
    assert console.harmful == console.harms.keys()
    assert not console.harmful & console.pages.keys()
    words = set(re.findall(r"\w+", console.pages[console.help_word]))
    assert console.pages.keys() | console.harmful <= words


def _every_harm() -> list[Any]:
    return [pytest.param(kind, word, id=f"{kind.name}-{word}") for kind in TRIAL_B for word in sorted(kind.harmful)]


@pytest.mark.parametrize(("kind", "word"), _every_harm())
def test_a_harmful_word_has_its_visible_effect(kind: type[StatingConsole], word: str) -> None:
    console = kind()
    harm = console.harms[word]
    line = harm.sample or word
    with checks.awake(console) as typist:
        before = typist.enter(harm.look) if harm.look else ""
        printed = typist.enter(line, ending=None if harm.look else harm.prints + console.newline)
        assert harm.prints in printed
        assert console.done == [harm]
        if harm.look:
            _changed(harm, before, typist.enter(harm.look))
        else:  # nothing answers in a loader
            typist.press(b"\r\r")
            assert typist.silence() == b""
    assert console.harm_done == [line.casefold()]


def _changed(harm: Harm, before: str, after: str) -> None:
    assert harm.before in before
    assert harm.after in after
    assert harm.after not in before
    assert harm.before not in after or harm.before in harm.after


def test_what_looks_like_json_is_json() -> None:
    for page in Fennick.pages.values():
        assert json.loads(page)
    assert json.loads(Fennick.error.format(line="xyzzy"))["line"] == "xyzzy"


def test_the_rows_of_a_section_are_as_long_as_its_header() -> None:
    for word in ("HELP", "SHEET", "LIVE", "LOADS"):
        for block in Kelderby.pages[word].strip().split("\n\n"):
            rows = [row for row in csv.reader(block.splitlines()) if not row[0].startswith("[")]
            assert len(rows) > 1
            assert {len(row) for row in rows} == {len(rows[0])}, f"{word}: {rows[0]}"

"""The first trial consoles say what their truth says. Nothing of the reader reads them."""

from __future__ import annotations

import re
from typing import Any

import pytest

from tests_support import console_truth as checks
from tests_support.other_consoles.stating import Harm, Said, StatingConsole
from tests_support.trial_consoles_a import TRIAL_A

each_console = pytest.mark.parametrize("kind", TRIAL_A, ids=lambda kind: kind.name)

_NUMBER = re.compile(r"\d+(?:\.\d+)?")
_TIMES = (1.0, 0.001, 1000.0, 0.1, 0.01, 1024.0, 1048576.0)
"""mV or mW for V or mW, GHz for MHz, tenths and hundredths where the console says so, KiB or MiB for bytes."""
# As a person of the trade reads these words.
_WORDS: dict[object, tuple[str, ...]] = {
    "arm": (" arm", ".arm", "sw_arm"),
    "level": (" level", ".level", "sw_level"),
    "battery": ("battery", "batt", "pack voltage"),
    "timer": ("timer",),
    "link-quality": ("link-quality", "link quality", "linkq"),
    "warnings": ("warnings", "warn"),
    "craft-name": ("craft-name", "craft name", "name"),
    "horizon": ("horizon",),
    "altitude": ("altitude", "alt"),
    "beeper": ("beeper",),
    "speed": ("speed",),
    "serial": ("serial",),
    "drop": ("drop", "motors off"),
    "return": ("return",),
    "positioning": ("gps",),
    "overlay-link": ("osd",),
    "video-control": ("vtx control", "vtx"),
    "esc-telemetry": ("esc telemetry", "esc-telemetry", "esctlm"),
    "rangefinder": ("rangefinder", "lidar"),
    "unused": ("unused", "free", "nothing", "not used"),
    "found": ("found", "ok", "present"),
    "missing": ("missing", "not found", "absent", "none"),
    "no-receiver-link": ("no-receiver-link", "no receiver link", "receiver link missing", "no receiver signal"),
    "usb-connected": ("usb-connected", "usb connected", "usb cable connected"),
    "throttle-not-low": ("throttle not low", "throttle-not-low"),
    "not-level": ("not level", "not-level"),
    "arm-switch-on": ("arm switch on", "arm-switch-on", "arm switch is on"),
    "card": ("sd card", "card"),
    True: (" on", " yes", "=1", ",1", "enabled", " 1", "true"),
    False: (" off", " no", "=0", ",0", "disabled", " 0", "false"),
}


def _printed(console: StatingConsole) -> dict[str, str]:
    with checks.awake(console) as typist:
        return {word: typist.enter(word) for word in console.pages}


def test_there_are_five_of_different_names() -> None:
    assert len(TRIAL_A) == len({kind.name for kind in TRIAL_A}) == 5


@each_console
def test_the_prompt_comes_after_the_wake(kind: type[StatingConsole]) -> None:
    checks.check_prompt(kind())


@each_console
def test_a_word_that_it_does_not_know_gives_its_error(kind: type[StatingConsole]) -> None:
    checks.check_error(kind())


@each_console
def test_every_stated_and_coded_fact_stands_in_what_its_word_prints(kind: type[StatingConsole]) -> None:
    console = kind()
    assert not console.stated.keys() & console.coded.keys()
    checks.check_texts(console, _printed(console))


@each_console
def test_the_text_of_a_fact_stands_once_in_its_page(kind: type[StatingConsole]) -> None:
    for name, one in {**kind.stated, **kind.coded}.items():
        # In a nested block the head stands once; its keys come again below other heads.
        assert kind.pages[one.word].count(one.texts[0]) == 1, f"{name}: {one.texts[0]!r}"


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
        return re.search(rf"(?<!\w){re.escape(value.casefold())}(?![^\W\d])", text) is not None
    meant = [float(number) * times for number in _NUMBER.findall(text) for times in _TIMES]
    return any(abs(value - one) < 1e-6 for one in meant)


@each_console
def test_it_states_thirty_to_sixty_facts_a_repeated_group_counted_once(kind: type[StatingConsole]) -> None:
    assert 30 <= len({re.sub(r"\[\d+\].*", "", name) for name in kind.truth.stated}) <= 60


@each_console
def test_each_port_switch_and_element_has_a_row_of_its_own(kind: type[StatingConsole]) -> None:
    for leaf in ("ports[{}].id", "switches[{}].function", "overlay.elements[{}].name"):
        names = [kind.truth.stated[leaf.format(at)] for at in range(20) if leaf.format(at) in kind.truth.stated]
        assert len(names) == len(set(names)) > 1


@each_console
def test_it_has_four_to_ten_harmful_words_listed_like_the_others(kind: type[StatingConsole]) -> None:
    console = kind()
    assert console.harmful == console.harms.keys()
    assert not console.harmful & console.pages.keys()
    checks.check_listed(console)


@each_console
def test_every_word_that_reads_is_listed(kind: type[StatingConsole]) -> None:
    console = kind()
    with checks.awake(console) as typist:
        listing = typist.enter(console.help_word)
    assert all(word in listing for word in console.pages)


def _every_harm() -> list[Any]:
    return [pytest.param(kind, word, id=f"{kind.name}-{word}") for kind in TRIAL_A for word in sorted(kind.harmful)]


@pytest.mark.parametrize(("kind", "word"), _every_harm())
def test_a_harmful_word_has_its_visible_effect(kind: type[StatingConsole], word: str) -> None:
    console = kind()
    harm = console.harms[word]
    with checks.awake(console) as typist:
        before = typist.enter(harm.look) if harm.look else ""
        assert console.done == []
        printed = typist.enter(word, ending=None if harm.look else harm.prints + console.newline)
        assert harm.prints in printed
        assert console.done == [harm]
        if harm.look:
            _changed(harm, before, typist.enter(harm.look))
        else:  # nothing answers in a loader
            typist.press(b"\r\r")
            assert typist.silence() == b""
    assert console.harm_done == [word.casefold()]


def _changed(harm: Harm, before: str, after: str) -> None:
    assert harm.before in before
    assert harm.after in after
    assert harm.after not in before
    assert harm.before not in after or harm.before in harm.after

"""The consoles that the learner is developed with say what their truth says. Nothing of the reader reads them."""

from __future__ import annotations

import re
from typing import Any

import pytest

from tests_support import console_truth as checks
from tests_support.other_consoles.seen import SEEN
from tests_support.other_consoles.served import served
from tests_support.other_consoles.stating import StatingConsole
from tests_support.other_consoles.typist import typing_on

each_console = pytest.mark.parametrize("kind", SEEN, ids=lambda kind: kind.name)

# As a person of the trade reads these words; German where a console is German.
_WORDS: checks.Words = {
    "serial": ("serial", "seriell"),
    "land": ("land",),
    "drop": ("drop", "motoren aus"),
    "return": ("return home",),
    "found": ("ok", "found", "gefunden"),
    "missing": ("none", "missing", "fehlt"),
    "console": ("console", "konsole"),
    "positioning": ("gps",),
    "receiver": ("receiver", "empfänger"),
    "overlay-link": ("osd link",),
    "esc-telemetry": ("esc telemetry",),
    "unused": ("unused", "free", "none", "frei"),
    "no-receiver-link": ("no receiver link", "no_rx", "kein empfängersignal"),
    "usb-connected": ("usb connected", "usb verbunden", "no_rx usb"),
    "throttle-not-low": ("throttle not low",),
    "not-level": ("not level",),
    "arm-switch-on": ("arm switch on",),
    True: (" 1", " yes", " on", "true", " ja", " ein"),
    False: (" 0", " no", " off", "false", " nein"),
}


@each_console
def test_the_prompt_comes_after_the_wake(kind: type[StatingConsole]) -> None:
    checks.check_prompt(kind())


def test_a_console_that_needs_a_key_is_silent_without_it() -> None:
    console = next(kind for kind in SEEN if kind.wakes_by)()
    with served(console) as device, typing_on(device, console) as typist:
        typist.press(b"\rhelp\r")
        assert typist.silence() == b""
        assert typist.wake().endswith(console.prompt)


@each_console
def test_a_word_that_it_does_not_know_gives_its_error(kind: type[StatingConsole]) -> None:
    checks.check_error(kind())


@each_console
def test_every_stated_and_coded_fact_stands_in_what_its_word_prints(kind: type[StatingConsole]) -> None:
    console = kind()
    words = {one.word for one in (*console.stated.values(), *console.coded.values())}
    with checks.awake(console) as typist:
        pages = {word: typist.enter(word) for word in sorted(words)}
    checks.check_texts(console, pages)


@each_console
def test_the_truth_is_in_canonical_names_types_and_words(kind: type[StatingConsole]) -> None:
    checks.check_canonical(kind)


@each_console
def test_the_value_of_each_stated_fact_can_be_read_from_its_text(kind: type[StatingConsole]) -> None:
    checks.check_values(kind, _WORDS)


@each_console
def test_it_states_twenty_to_forty_five_facts_a_repeated_group_counted_once(kind: type[StatingConsole]) -> None:
    checks.check_count(kind)


@each_console
def test_it_has_four_to_ten_harmful_words_listed_like_the_others(kind: type[StatingConsole]) -> None:
    checks.check_listed(kind())


def _every_harm() -> list[Any]:
    return [pytest.param(kind, word, id=f"{kind.name}-{word}") for kind in SEEN for word in sorted(kind.harmful)]


@pytest.mark.parametrize(("kind", "word"), _every_harm())
def test_a_harmful_word_has_its_visible_effect(kind: type[StatingConsole], word: str) -> None:
    console = kind()
    harm = console.harms[word]
    loaded = harm.prints + console.newline
    with checks.awake(console) as typist:
        before = typist.enter(harm.look) if harm.look else ""
        assert harm.prints in typist.enter(harm.sample or word, ending=None if harm.look else loaded)
        if harm.look:
            after = typist.enter(harm.look)
            assert harm.before in before
            assert harm.after in after
            assert harm.before not in after or harm.before in harm.after
        else:  # nothing answers in a loader
            typist.press(b"\r\r")
            assert typist.silence() == b""
    assert console.harm_done == [(harm.sample or word).casefold()]


def test_an_empty_line_prints_the_banner_again_where_there_is_no_help() -> None:
    console = next(kind for kind in SEEN if not kind.help_word)()
    with checks.awake(console) as typist:
        assert console.banner.strip() in typist.enter("")
        assert console.error.format(line="help") in typist.enter("help")


def test_characters_that_are_typed_fast_are_lost_where_it_says_so() -> None:
    console = next(kind for kind in SEEN if kind.slowest_s)()
    with served(console) as device, typing_on(device, console) as typist:
        typist.wake()
        assert console.type(b"sys", now=1e9) == b"s"
    assert console.received == [""]


def test_the_pager_stops_within_a_reply_and_its_key_goes_on() -> None:
    console = next(kind for kind in SEEN if kind.pager)()
    assert console.pager is not None
    with checks.awake(console) as typist:
        text = typist.enter("radio")
    assert console.pager[0] in text
    assert "HIGHEST PULSE" in text.split(console.pager[0])[0]
    assert "LEVEL        6" in text.split(console.pager[0])[1]


def test_the_count_that_a_listing_ends_with_is_that_of_its_lines() -> None:
    console = next(kind for kind in SEEN if kind.name == "pellow")()
    listing = console.pages["all"].splitlines()
    assert listing[-1] == f"# {len(listing) - 2} lines"


def test_what_is_packed_follows_the_rule_that_only_the_source_tells() -> None:
    kind = next(kind for kind in SEEN if kind.name == "pellow")
    truth, page = kind.truth.coded, kind.pages["all"]
    items = re.findall(r"^item \w+ (\d+)$", page, re.MULTILINE)
    at = [f"overlay.elements[{row}]" for row in range(len(items))]
    assert [4096 * truth[f"{a}.shown"] + 64 * truth[f"{a}.column"] + truth[f"{a}.row"] for a in at] == [
        int(item) for item in items
    ]
    bits = {"console": 1, "receiver": 2, "positioning": 8, "telemetry": 64, "unused": 0}
    masks = re.findall(r"^uart \d 0x([0-9A-F]{4}) ", page, re.MULTILINE)
    roles = [truth[f"ports[{row}].roles"] for row in range(len(masks))]
    assert [sum(bits[role] for role in each) for each in roles] == [int(mask, 16) for mask in masks]

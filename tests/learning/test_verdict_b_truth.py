"""The second consoles of the final examination say what their truth says. Nothing of the reader reads them."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import Any

import pytest

from tests_support import console_truth as checks
from tests_support.other_consoles.stating import Said, StatingConsole
from tests_support.verdict_consoles_b import VERDICT_B
from tests_support.verdict_consoles_b.brockhurst import Brockhurst
from tests_support.verdict_consoles_b.lantry import Lantry

each_console = pytest.mark.parametrize("kind", VERDICT_B, ids=lambda kind: kind.name)

_NUMBER = re.compile(r"\d+(?:\.\d+)?")
_TIMES = {"mV": 0.001, "ms": 0.001, "kHz": 1000.0}
"""What a unit in the text, or at the end of a key in it, makes of its number; nothing else is scaled."""
# As a person of the trade reads these words.
_WORDS: checks.Words = {
    "receiver": ("receiver", "=rx "),
    "positioning": ("gps",),
    "overlay-link": ("osd",),
    "video-control": ("video control",),
    "esc-telemetry": ("esc_tlm",),
    "link-quality": ("link quality", "osd_lq"),
    "battery": ("battery", "osd_batt="),
    "altitude": ("altitude", "osd_alt="),
    "craft-name": ("craft name",),
    "no-receiver-link": ("no receiver link", "no_rx_link"),
    "usb-connected": ("usb connected",),
    "throttle-not-low": ("throttle not low", "throttle_not_low"),
    "not-level": ("not level",),
    True: (" yes", "=on", " on", "shown", ", visible", " true"),
    False: (" no", "=off", " off", "hidden", " false"),
}
# Carriers in MHz, common practice for analogue video; written from memory.
_CARRIERS = {("F", 3): 5780, ("R", 2): 5695}
_LINE_RATES = {"crsf": 420000, "sbus": 100000, "ibus": 115200}
"""Baud of a receiver's protocol, common practice; written from memory."""


def _scope(kind: type[StatingConsole], one: Said) -> tuple[str, str]:
    """The part of the page in which the line of a fact stands, and that line."""
    page = kind.pages[one.word]
    if kind is Brockhurst:
        head, line = one.texts
        [section] = [text for text in page.split("\n\n") if text.startswith(head + "\n")]
        return section, line
    [line] = one.texts
    return page, line


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
def test_each_fact_has_a_line_that_stands_once_where_it_says(kind: type[StatingConsole]) -> None:
    indent = "  " if kind is Lantry else ""
    for name, one in kind.stated.items():
        page, line = _scope(kind, one)
        found = re.findall(rf"^{indent}{re.escape(line)},?$", page, re.MULTILINE)
        assert len(found) == 1, f"{name}: {line!r} {len(found)} times"


@each_console
def test_the_truth_is_in_canonical_names_types_and_words(kind: type[StatingConsole]) -> None:
    checks.check_canonical(kind)


@each_console
def test_the_value_of_each_stated_fact_can_be_read_from_its_text(kind: type[StatingConsole]) -> None:
    for name, one in kind.stated.items():
        values: tuple[Any, ...] = one.value if isinstance(one.value, tuple) else (one.value,)
        text = one.texts[-1]
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
    [row] = [row for row in range(len(truth)) if truth.get(f"ports[{row}].roles") == ("receiver",)]
    assert truth[f"ports[{row}].id"] == truth["receiver.port"]
    assert truth[f"ports[{row}].baud"] == _LINE_RATES[truth["receiver.protocol"]]


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
    printed = re.findall(r'^(?: +\{"port": "| *)(uart\d)\b', page, re.MULTILINE | re.IGNORECASE)
    assert printed == [truth[f"ports[{row}].id"] for row in range(len(printed))]
    assert f"ports[{len(printed)}].id" not in truth


@each_console
def test_it_states_thirty_five_to_sixty_facts_a_repeated_group_counted_once(kind: type[StatingConsole]) -> None:
    assert 35 <= len({re.sub(r"\[\d+\].*", "", name) for name in kind.truth.stated}) <= 60


@each_console
def test_a_quarter_to_a_half_of_its_lines_state_no_fact(kind: type[StatingConsole]) -> None:
    lines = list(_lines(kind))
    stating = {(one.word, *one.texts) for one in kind.stated.values()}
    assert 0.25 <= 1 - len(stating) / len(lines) <= 0.5, f"{len(stating)} of {len(lines)}"


def _lines(kind: type[StatingConsole]) -> Iterator[str]:
    """The lines that say something of a thing; neither the help nor headings and brackets."""
    for word, page in kind.pages.items():
        for line in page.splitlines():
            if word != kind.help_word and (line.startswith("  ") or "=" in line or ".. " in line or " . " in line):
                yield line


@each_console
def test_every_word_is_listed_harmful_ones_like_the_others(kind: type[StatingConsole]) -> None:
    assert 4 <= len(kind.harmful) <= 10
    assert kind.harmful == kind.harms.keys()
    assert not kind.harmful & kind.pages.keys()
    listing = kind.pages[kind.help_word]
    for word in kind.pages.keys() | kind.harmful:
        assert re.search(rf'^ *(?:\{{"command": ")?{re.escape(word)}(?:\)| |")', listing, re.MULTILINE), word


def _every_harm() -> list[Any]:
    return [pytest.param(kind, word, id=f"{kind.name}-{word}") for kind in VERDICT_B for word in sorted(kind.harmful)]


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
            assert before.count(harm.before) == 1
            after = typist.enter(harm.look)
            assert after == before.replace(harm.before, harm.after) != before
        else:  # nothing answers in a loader
            typist.press(b"\r\r")
            assert typist.silence() == b""
    assert console.harm_done == [line.casefold()]


def test_every_reply_of_lantry_is_json() -> None:
    for page in Lantry.pages.values():
        assert all(isinstance(row, dict) for row in json.loads(page))
    assert "error" in json.loads(Lantry.error.format(line="xyzzy"))[0]

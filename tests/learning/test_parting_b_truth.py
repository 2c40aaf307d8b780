"""The second consoles of the parting examination say what their truth says. Nothing of the reader reads them."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import Any

import pytest

from tests_support import console_truth as checks
from tests_support.other_consoles.stating import Said, StatingConsole
from tests_support.parting_consoles_b import PARTING_B
from tests_support.parting_consoles_b.huxlowe import Huxlowe
from tests_support.parting_consoles_b.merridine import Merridine

each_console = pytest.mark.parametrize("kind", PARTING_B, ids=lambda kind: kind.name)

_NUMBER = re.compile(r"\d+(?:\.\d+)?")
_TIMES = {"mv": 0.001, "ms": 0.001, "khz": 1000.0, "kib": 1024.0}
"""What a unit that stands after the number makes of it; nothing else is scaled."""
# As a person of the trade reads these words.
_WORDS: checks.Words = {
    "positioning": ("gps",),
    "overlay-link": ("osd",),
    "esc-telemetry": ("esc telemetry",),
    "link-quality": ("link quality",),
    "craft-name": ("craft name",),
    "no-receiver-link": ("no receiver link",),
    "usb-connected": ("usb connected",),
    "throttle-not-low": ("throttle not low",),
    "not-level": ("not level",),
    True: ("| yes", "= yes", "shown", ": true"),
    False: ("| no", "= no", "hidden", ": false"),
}
# Carriers in MHz, common practice for analogue video; written from memory.
_CARRIERS = {("F", 4): 5800, ("B", 5): 5809}
_LINE_RATES = {"crsf": 420000, "sbus": 100000, "ibus": 115200}
"""Baud of a receiver's protocol, common practice; written from memory."""


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
    for name, one in kind.stated.items():
        if kind is Merridine:
            assert len(one.texts) >= 2, f"{name}: a member without the object around it"
            continue
        [line] = one.texts
        assert [printed.strip() for printed in kind.pages[one.word].splitlines()].count(line) == 1, name


@each_console
def test_the_truth_is_in_canonical_names_types_and_words(kind: type[StatingConsole]) -> None:
    checks.check_canonical(kind)


@each_console
def test_the_value_of_each_stated_fact_can_be_read_from_its_text(kind: type[StatingConsole]) -> None:
    for name, one in kind.stated.items():
        values: tuple[Any, ...] = one.value if isinstance(one.value, tuple) else (one.value,)
        text = " ".join(one.texts) if isinstance(one.value, tuple) else one.texts[-1]
        assert all(_is_in(value, text) for value in values), f"{name}: {one.value!r} is not to be read from {text!r}"


def _is_in(value: Any, text: str) -> bool:
    small = text.casefold()
    if isinstance(value, (bool, str)) and value in _WORDS:  # 1 equals True
        return any(word in small for word in _WORDS[value])
    if isinstance(value, str):
        return re.search(rf"(?<![^\W_]){re.escape(value.casefold())}(?![^\W\d_])", small) is not None
    times = next((by for unit, by in _TIMES.items() if re.search(rf"\d[ |]+{unit}$", small)), 1.0)
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
    printed = re.findall(r'^(?: +"name": ")?(UART\d)\b', page, re.MULTILINE)
    assert printed == [truth[f"ports[{row}].id"] for row in range(len(printed))]
    assert f"ports[{len(printed)}].id" not in truth


@each_console
def test_it_states_thirty_five_to_sixty_facts_a_repeated_group_counted_once(kind: type[StatingConsole]) -> None:
    assert 35 <= len({re.sub(r"\[\d+\].*", "", name) for name in kind.truth.stated}) <= 60


@each_console
def test_a_quarter_to_a_half_of_its_lines_state_no_fact(kind: type[StatingConsole]) -> None:
    lines = list(_lines(kind))
    stating = {_line_of(kind, name, one) for name, one in kind.stated.items()}
    assert 0.25 <= 1 - len(stating) / len(lines) <= 0.5, f"{len(stating)} of {len(lines)}"


def _lines(kind: type[StatingConsole]) -> Iterator[str]:
    """The lines that say something of a thing; neither the help nor headings, rules and brackets."""
    for word, page in kind.pages.items():
        for block in page.split("\n\n"):
            rows = block.splitlines()[2:] if kind is Huxlowe else block.splitlines()  # below header and rule
            for line in rows:
                if word != kind.help_word and re.search(r' \| | = |": [^{\[]', line):
                    yield line


def _line_of(kind: type[StatingConsole], name: str, one: Said) -> tuple[str, ...]:
    """What tells the line of a fact from the others: in JSON each member has its own."""
    return (name,) if kind is Merridine else (one.word, *one.texts)


@each_console
def test_every_word_is_listed_harmful_ones_like_the_others(kind: type[StatingConsole]) -> None:
    assert 4 <= len(kind.harmful) <= 10
    assert kind.harmful == kind.harms.keys()
    assert not kind.harmful & kind.pages.keys()
    listing = kind.pages[kind.help_word]
    for word in kind.pages.keys() | kind.harmful:
        assert re.search(rf'^ *(?:"name": ")?{re.escape(word)}(?:\.| |")', listing, re.MULTILINE), word


def _every_harm() -> list[Any]:
    return [pytest.param(kind, word, id=f"{kind.name}-{word}") for kind in PARTING_B for word in sorted(kind.harmful)]


@pytest.mark.parametrize(("kind", "word"), _every_harm())
def test_a_harmful_word_has_its_visible_effect(kind: type[StatingConsole], word: str) -> None:
    console = kind()
    harm = console.harms[word]
    line = harm.sample or word
    with checks.awake(console) as typist:
        before = typist.enter(harm.look).replace("\r\n", "\n") if harm.look else ""
        printed = typist.enter(line, ending=None if harm.look else harm.prints + console.newline)
        assert harm.prints in printed
        assert console.done == [harm]
        if harm.look:
            assert before.count(harm.before) == 1
            after = typist.enter(harm.look).replace("\r\n", "\n")
            assert after == before.replace(harm.before, harm.after) != before
        else:  # nothing answers in a loader
            typist.press(b"\r\r")
            assert typist.silence() == b""
    assert console.harm_done == [line.casefold()]


def test_every_reply_of_merridine_is_one_json_document() -> None:
    for page in Merridine.pages.values():
        assert isinstance(json.loads(page), dict)
    assert "error" in json.loads(Merridine.error.format(line="xyzzy"))
    assert all("result" in json.loads(harm.prints) for harm in Merridine.harms.values())


def test_every_member_of_merridine_that_says_a_fact_has_its_value() -> None:
    """The value is read from the document, apart from the texts that the console made itself."""
    for name, one in Merridine.stated.items():
        inner: Any = json.loads(Merridine.pages[one.word])
        if re.search(r"\[\d+\]", name):
            continue
        for key in re.findall(r'"(\w+)": ', " ".join(one.texts)):
            inner = inner[key]
        if isinstance(inner, (int, float)):
            assert inner == one.value, name
            assert isinstance(inner, bool) == isinstance(one.value, bool), name
        elif isinstance(inner, str):
            assert inner.casefold() == one.value.casefold(), name
        else:
            assert tuple(word.casefold().replace(" ", "-") for word in inner) == one.value, name

"""The third sealed consoles say what their truth says. Nothing of the reader reads them."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest

from tests_support import console_truth as checks
from tests_support.other_consoles.stating import StatingConsole
from tests_support.sealed_consoles_c import SEALED_C
from tests_support.sealed_consoles_c.ockerfen import Ockerfen

each_console = pytest.mark.parametrize("kind", SEALED_C, ids=lambda kind: kind.name)

# As a person of the trade reads these words; German where a console is.
_WORDS: checks.Words = {
    "serial": ("serial", "= seriell"),
    "land": ("= landen",),
    "console": ("console", "= konsole"),
    "receiver": ("receiver", "= empfänger"),
    "positioning": ("gps",),
    "overlay-link": ('"function" "osd"', " osd "),
    "esc-telemetry": ("esc-telemetry", "esc-telemetrie"),
    "unused": ("unused", "= frei"),
    "found": (" found", '"found"', "= gefunden"),
    "missing": (" missing", '"missing"', "= fehlt"),
    "beeper": ("beeper", "pieper ="),
    "battery": ("battery", "akku ="),
    "timer": ("timer",),
    "warnings": ("warnings", "warnungen ="),
    "altitude": ("höhe =",),
    "craft-name": ("craft-name", "craft name"),
    "link-quality": ("link_quality", "link quality"),
    "no-receiver-link": ('"no_receiver_link"', "no receiver link"),
    "usb-connected": ("usb-connected", "usb connected", "usb verbunden"),
    "throttle-not-low": ("throttle-not-low", "gas nicht unten"),
    "not-level": ('"not_level"',),
    True: (" on", " visible", "= ja", ", sichtbar", " yes"),
    False: (" off", " hidden", "= nein", ", verborgen", " no"),
}
# The 5.8 GHz video channels (common practice; from memory): MHz of channels 1 to 8.
_BANDS = {
    "A": (5865, 5845, 5825, 5805, 5785, 5765, 5745, 5725),
    "B": (5733, 5752, 5771, 5790, 5809, 5828, 5847, 5866),
}
_LINE_RATES = {"crsf": 420000, "sbus": 100000, "ibus": 115200}
"""Baud of a receiver's protocol, common practice; from memory."""
_FLAGS = {"shown": "visible"}
"""Members of a record that are named otherwise than the fact."""
_HEADER = re.compile(r"(?:Mode|Port|Element|Axis|Bus) {2,}")
_ROW = re.compile(r'^(?: *|.*"port", "name": ")(uart\d)\b', re.MULTILINE | re.IGNORECASE)


def test_there_are_four_of_different_names() -> None:
    assert len({kind.name for kind in SEALED_C}) == len(SEALED_C) == 4


@each_console
def test_the_prompt_comes_after_the_wake(kind: type[StatingConsole]) -> None:
    checks.check_prompt(kind())


@each_console
def test_a_word_that_it_does_not_know_gives_its_error(kind: type[StatingConsole]) -> None:
    checks.check_error(kind())


@each_console
def test_help_is_given_by_a_usual_word_or_by_the_one_that_the_refusal_names(kind: type[StatingConsole]) -> None:
    assert kind.help_word in ("help", "?") or kind.help_word in kind.error
    with checks.awake(kind()) as typist:
        assert kind.pages[kind.help_word].replace("\n", kind.newline) in typist.enter(kind.help_word)


@each_console
def test_every_stated_fact_stands_in_what_its_word_prints(kind: type[StatingConsole]) -> None:
    console = kind()
    with checks.awake(console) as typist:
        printed = {word: typist.enter(word) for word in console.pages}
    checks.check_texts(console, printed)
    assert console.done == []
    assert not any("@@" in page for page in printed.values())


@each_console
def test_the_line_of_a_fact_stands_once_below_its_head(kind: type[StatingConsole]) -> None:
    for name, one in kind.stated.items():
        page = f"\n{kind.pages[one.word]}"
        if len(one.texts) == 2:  # a section ends at the next empty line
            assert page.count(f"\n{one.texts[0]}\n") == 1, name
            page = page.split(f"\n{one.texts[0]}\n")[1].split("\n\n")[0]
        assert [line.strip() for line in page.splitlines()].count(one.texts[-1]) == 1, name


@each_console
def test_a_quarter_to_a_half_of_the_lines_state_other_things(kind: type[StatingConsole]) -> None:
    lines = [
        line.strip()
        for word, page in kind.pages.items()
        if word != kind.help_word
        for line in page.splitlines()
        if re.search(r"\S {2,}\S| [:=] |^\{", line) and not _HEADER.match(line.strip())
    ]
    stating = len({(one.word, one.texts) for one in kind.stated.values()})
    assert {one.texts[-1] for one in kind.stated.values()} <= set(lines)
    assert 0.25 <= 1 - stating / len(lines) <= 0.5, f"{stating} of {len(lines)}"


@each_console
def test_the_truth_is_in_canonical_names_types_and_words(kind: type[StatingConsole]) -> None:
    checks.check_canonical(kind)


@each_console
def test_the_value_of_each_stated_fact_can_be_read_from_its_text(kind: type[StatingConsole]) -> None:
    if kind is not Ockerfen:
        checks.check_values(kind, _WORDS)
        return
    for name, one in kind.stated.items():
        [text] = one.texts
        values: tuple[Any, ...] = one.value if isinstance(one.value, tuple) else (one.value,)
        assert all(_is_in(name, value, json.loads(text)) for value in values), f"{name}: {one.value!r} in {text}"


def _is_in(name: str, value: Any, record: dict[str, Any]) -> bool:
    leaf = name.rpartition(".")[2]
    if isinstance(value, bool):
        return record[_FLAGS.get(leaf, leaf)] is value
    if isinstance(value, str):
        said = json.dumps([one for key, one in record.items() if key != "type"]).casefold()
        words = ('"osd"',) if value == "overlay-link" else (f'"{value}"'.casefold(), f'"{value.replace("-", "_")}"')
        return any(word in said for word in words)
    numbers = {key: one for key, one in record.items() if isinstance(one, (int, float))}
    return any(abs(value - one * (0.001 if re.search("_m[vs]$", key) else 1)) < 1e-9 for key, one in numbers.items())


@each_console
def test_the_port_of_the_receiver_is_a_port_for_the_receiver_at_the_rate_of_its_protocol(
    kind: type[StatingConsole],
) -> None:
    truth = kind.truth.stated
    [row] = [row for row in range(len(truth)) if truth.get(f"ports[{row}].roles") == ("receiver",)]
    assert truth[f"ports[{row}].id"] == truth["receiver.port"]
    assert truth[f"ports[{row}].baud"] == _LINE_RATES[truth["receiver.protocol"]]


@each_console
def test_its_numbers_fit_each_other(kind: type[StatingConsole]) -> None:
    truth = kind.truth.stated
    low, warn, full = (truth[f"battery.cell_{end}"] for end in ("low", "warn", "full"))
    assert low < warn < truth["battery.volts"] / truth["battery.cells"] < full
    assert truth["channels.low"] < truth["channels.centre"] < truth["channels.high"]
    if truth["video.link"] == "analog":
        assert _BANDS[truth["video.band"]][truth["video.channel"] - 1] == truth["video.frequency_mhz"]
    for name, value in truth.items():
        if name.endswith(".from_us"):
            assert value < truth[name.replace("from_us", "to_us")]
        if name.startswith("overlay.elements") and name.endswith((".column", ".row")):
            assert 0 <= value < truth["overlay.columns" if name.endswith("column") else "overlay.rows"]


@each_console
def test_every_port_that_is_printed_is_in_the_truth(kind: type[StatingConsole]) -> None:
    truth = kind.truth.stated
    printed = _ROW.findall(kind.pages[kind.stated["ports[0].id"].word])
    assert printed == [truth[f"ports[{row}].id"] for row in range(len(printed))]
    assert f"ports[{len(printed)}].id" not in truth


@each_console
def test_it_states_thirty_five_to_sixty_facts_a_repeated_group_counted_once(kind: type[StatingConsole]) -> None:
    assert 35 <= len({re.sub(r"\[\d+\].*", "", name) for name in kind.truth.stated}) <= 60


@each_console
def test_every_word_is_listed_harmful_ones_like_the_others(kind: type[StatingConsole]) -> None:
    checks.check_listed(kind())
    assert kind.harmful == kind.harms.keys()
    assert not kind.harmful & kind.pages.keys()
    for word in kind.pages.keys() | kind.harmful:
        listed = rf'^(?:\{{"command": "| *){re.escape(word)}(?:", "description": "| {{2,}})\w'
        assert re.search(listed, kind.pages[kind.help_word], re.MULTILINE), word


def _every_harm() -> list[Any]:
    return [pytest.param(kind, word, id=f"{kind.name}-{word}") for kind in SEALED_C for word in sorted(kind.harmful)]


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


def test_every_line_of_ockerfen_is_a_json_object() -> None:
    said = (*Ockerfen.pages.values(), Ockerfen.banner, *(harm.prints for harm in Ockerfen.harms.values()))
    for line in "\n".join((*said, Ockerfen.error.format(line="xyzzy"))).splitlines():
        assert not line or isinstance(json.loads(line), dict), line

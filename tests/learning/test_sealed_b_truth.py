"""The second sealed consoles say what their truth says. Nothing of the reader reads them."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import Any

import pytest

from tests_support import console_truth as checks
from tests_support.other_consoles.stating import StatingConsole
from tests_support.sealed_consoles_b import SEALED_B
from tests_support.sealed_consoles_b.ferrimoor import Ferrimoor
from tests_support.sealed_consoles_b.osmerdyke import Osmerdyke
from tests_support.sealed_consoles_b.tyndray import Tyndray

each_console = pytest.mark.parametrize("kind", SEALED_B, ids=lambda kind: kind.name)

_NUMBER = re.compile(r"(?<![\w.])-?\d+(?:\.\d+)?(?![\w.])")
_TIMES = {"mv": 0.001, "ms": 0.001, "khz": 1000.0, "kib": 1024.0}
"""What a unit at the number, or at the end of its comment, makes of it; nothing else is scaled."""
# As a person of the trade reads these words.
_WORDS: checks.Words = {
    "positioning": ("gps",),
    "overlay-link": ("osd",),
    "esc-telemetry": ("esc telemetry",),
    "video-control": ("video control",),
    "unused": ("free", "unused"),
    "return": ("return home",),
    "link-quality": ("link quality",),
    "craft-name": ('"craftname"',),
    "no-receiver-link": ("no receiver link", '"noreceiverlink"'),
    "usb-connected": ("usb connected", '"usbconnected"'),
    "throttle-not-low": ("throttle not low",),
    "not-level": ("not level",),
    True: (": true", "  on", " on", ": yes", ": on", ": enabled", " shown"),
    False: (": false", "  off", " off", ": no", " hidden"),
}
# Carriers in MHz, common practice for analogue video; written from memory.
_CARRIERS = {("R", 4): 5769, ("F", 2): 5760, ("E", 2): 5685}
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
def test_the_line_of_a_fact_stands_once_below_its_head(kind: type[StatingConsole]) -> None:
    for name, one in kind.stated.items():
        page = f"\n{kind.pages[one.word]}"
        if len(one.texts) == 2:  # a section ends at the next empty line
            head, line = one.texts
            assert page.count(f"\n{head}\n") == 1, name
            page = page.split(f"\n{head}\n")[1].split("\n\n")[0]
        else:
            [line] = one.texts
        assert [printed.strip() for printed in page.splitlines()].count(line) == 1, name


@each_console
def test_the_truth_is_in_canonical_names_types_and_words(kind: type[StatingConsole]) -> None:
    checks.check_canonical(kind)


@each_console
def test_the_value_of_each_stated_fact_can_be_read_from_its_text(kind: type[StatingConsole]) -> None:
    for name, one in kind.stated.items():
        values: tuple[Any, ...] = one.value if isinstance(one.value, tuple) else (one.value,)
        text = one.texts[-1].split(" (factory ")[0]
        assert all(_is_in(value, text, kind) for value in values), f"{name}: {one.value!r} is not in {text!r}"


def _is_in(value: Any, text: str, kind: type[StatingConsole]) -> bool:
    shown, _, comment = text.casefold().partition(";")
    if isinstance(value, bool) and kind is Tyndray:
        return _flag(shown, comment) is value
    if isinstance(value, (bool, str)) and value in _WORDS:  # 1 equals True
        return any(word in shown for word in _WORDS[value])
    if isinstance(value, str):
        return re.search(rf"(?<![^\W_]){re.escape(value.casefold())}(?![^\W\d_])", shown) is not None
    units = "|".join(_TIMES)
    found = re.search(rf"\d +({units})\b", shown) or re.search(rf", ({units})$", comment)
    times = _TIMES[found[1]] if found else 1.0
    return any(abs(value - float(number) * times) < 1e-9 for number in _NUMBER.findall(shown))


def _flag(shown: str, comment: str) -> bool | None:
    """A number whose legend stands in the comment; the last field of an element is its visibility."""
    number = re.split("[=,]", shown.strip())[-1]
    if comment.endswith(", visible"):
        return {"1": True, "0": False}.get(number)
    legend = dict(re.findall(r"(\d) (\w+)", comment))
    return {"yes": True, "on": True, "no": False, "off": False}.get(legend.get(number, ""))


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
def test_every_port_that_is_printed_is_in_the_truth(kind: type[StatingConsole]) -> None:
    truth, page = kind.truth.stated, kind.pages[kind.stated["ports[0].id"].word]
    printed = re.findall(r'^(?: +|.*"port": ")?(uart\d)(?:  |=|"| function)', page, re.MULTILINE | re.IGNORECASE)
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
        if word != kind.help_word:
            yield from (line for line in page.splitlines() if re.search(r"\S {2,}\S|: \S|=", line) and line[-1] != "[")


@each_console
def test_every_word_is_listed_harmful_ones_like_the_others(kind: type[StatingConsole]) -> None:
    assert 4 <= len(kind.harmful) <= 10
    assert kind.harmful == kind.harms.keys()
    assert not kind.harmful & kind.pages.keys()
    listing = kind.pages[kind.help_word]
    for word in kind.pages.keys() | kind.harmful:
        assert re.search(rf'^ *"?{re.escape(word)}(?: +|": ")[\w;]', listing, re.MULTILINE), word


def _every_harm() -> list[Any]:
    return [pytest.param(kind, word, id=f"{kind.name}-{word}") for kind in SEALED_B for word in sorted(kind.harmful)]


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


def test_every_reply_of_ferrimoor_is_one_json_document() -> None:
    for page in (*Ferrimoor.pages.values(), Ferrimoor.banner):
        assert isinstance(json.loads(page), dict)
    assert "error" in json.loads(Ferrimoor.error.format(line="xyzzy"))
    assert all("done" in json.loads(harm.prints) for harm in Ferrimoor.harms.values())


def test_a_factory_value_of_osmerdyke_is_not_the_present_one() -> None:
    found = re.findall(r": (\S+ \S+) \(factory (.+)\)$", "".join(Osmerdyke.pages.values()), re.MULTILINE)
    assert len(found) >= 5
    assert all(now != factory for now, factory in found)


def test_every_line_of_tyndray_has_a_comment() -> None:
    for word, page in Tyndray.pages.items():
        for line in page.splitlines():
            assert re.fullmatch(r"[A-Z0-9]+ +; \S.*" if word == "HELP" else r"[A-Z0-9]+=\S.* +; \S.*", line), line

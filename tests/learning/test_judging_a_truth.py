"""The consoles that judge the learner say what their truth says. Nothing of the reader reads them here."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest

from tests_support import console_truth as checks
from tests_support.judging_consoles_a import JUDGING_A
from tests_support.judging_consoles_a.jorvale import Jorvale
from tests_support.other_consoles.stating import Harm, Said, StatingConsole

each_console = pytest.mark.parametrize("kind", JUDGING_A, ids=lambda kind: kind.name)

_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
_UNITS = {"_mv": 0.001, "_ms": 0.001}
"""What a unit at the end of a key makes of its number; nothing else is scaled."""
# As a person of the trade reads these words; French where a console is.
_WORDS: checks.Words = {
    "drop": ("drop", "coupure des moteurs"),
    "analog": ("analog", "analogique"),
    "positioning": ("gps",),
    "telemetry": ("telemetry", "télémétrie"),
    "overlay-link": ("osd",),
    "video-control": ("video_control",),
    "esc-telemetry": ("esc telemetry",),
    "unused": ("unused", "libre"),
    "found": ("found", "présent"),
    "card": ("card", "carte sd"),
    "arm": ("arm ", '"arm"', "armement"),
    "level": ("level", "niveau"),
    "beeper": ("beeper", "buzzer"),
    "battery": ("battery", "batterie"),
    "timer": ("timer", "chronomètre"),
    "link-quality": ("link quality", "link_quality", "qualité du lien"),
    "craft-name": ("craft name",),
    "no-receiver-link": ("no receiver link",),
    "usb-connected": ("usb connected", "usb_connected", "usb branché"),
    "throttle-not-low": ("throttle_not_low", "gaz pas au minimum"),
    "not-level": ("not level",),
    True: (" yes", " on", " true", " oui", "shown"),
    False: (" no", " false", " non", "hidden"),
}
# The 5.8 GHz video channels (common practice): MHz of channels 1 to 8.
_BANDS = {
    "A": (5865, 5845, 5825, 5805, 5785, 5765, 5745, 5725),
    "B": (5733, 5752, 5771, 5790, 5809, 5828, 5847, 5866),
    "F": (5740, 5760, 5780, 5800, 5820, 5840, 5860, 5880),
}


def test_there_are_four_of_different_names() -> None:
    assert len({kind.name for kind in JUDGING_A}) == len(JUDGING_A) == 4


@each_console
def test_the_prompt_comes_after_the_wake(kind: type[StatingConsole]) -> None:
    checks.check_prompt(kind())


@each_console
def test_a_word_that_it_does_not_know_gives_its_error(kind: type[StatingConsole]) -> None:
    checks.check_error(kind())


@each_console
def test_help_is_given_by_a_usual_word_or_by_the_one_that_the_refusal_names(kind: type[StatingConsole]) -> None:
    assert kind.help_word in ("help", "?") or f'"{kind.help_word}"' in kind.error
    with checks.awake(kind()) as typist:
        assert kind.pages[kind.help_word].replace("\n", kind.newline) in typist.enter(kind.help_word)


@each_console
def test_every_stated_fact_stands_in_what_its_word_prints(kind: type[StatingConsole]) -> None:
    console = kind()
    with checks.awake(console) as typist:
        printed = {word: typist.enter(word) for word in console.pages}
    checks.check_texts(console, printed)
    assert console.done == []


@each_console
def test_the_text_of_a_fact_is_one_whole_line_where_it_says(kind: type[StatingConsole]) -> None:
    for name, one in kind.stated.items():
        lines = [line.strip().removesuffix(",") for line in kind.pages[one.word].splitlines()]
        for head in one.texts[:-1]:  # an object: to the brace at its own margin
            lines = _inner(kind.pages[one.word], one.texts[:-1])
            assert head.endswith("{"), f"{name}: {head!r}"
        assert lines.count(one.texts[-1]) == 1, f"{name}: {one.texts!r}"


def _inner(page: str, heads: tuple[str, ...]) -> list[str]:
    block = page
    for head in heads:
        opened = re.search(rf"^( *){re.escape(head)}\n(.*?)^\1\}}", block, re.MULTILINE | re.DOTALL)
        assert opened, head
        block = opened[2]
    return [line.strip().removesuffix(",") for line in block.splitlines()]


@each_console
def test_a_quarter_to_a_half_of_the_lines_state_other_things(kind: type[StatingConsole]) -> None:
    texts = {(one.word, one.texts[-1]) for one in kind.stated.values() if not one.texts[-1].endswith("{")}
    lines = [
        line
        for word, page in kind.pages.items()
        if word != kind.help_word
        for line in page.splitlines()
        if re.search(r"[=:](?! \{)|\S {2,}\S", line) and not line.startswith(("#", "Fonction", "Port", "Élément"))
    ]
    stating = len({(one.word, one.texts) for one in kind.stated.values() if not one.texts[-1].endswith("{")})
    assert len(texts) <= stating < len(lines)
    assert 0.25 <= 1 - stating / len(lines) <= 0.5, f"{stating} of {len(lines)}"


@each_console
def test_the_truth_is_in_canonical_names_types_and_words(kind: type[StatingConsole]) -> None:
    checks.check_canonical(kind)


@each_console
def test_the_port_of_the_receiver_is_a_port_for_the_receiver(kind: type[StatingConsole]) -> None:
    truth = kind.truth.stated
    rows = [row for row in range(len(truth)) if truth.get(f"ports[{row}].roles") == ("receiver",)]
    assert [truth[f"ports[{row}].id"] for row in rows] == [truth[name] for name in ("receiver.port",) if name in truth]


@each_console
def test_the_numbers_of_its_battery_video_switches_and_elements_fit_each_other(kind: type[StatingConsole]) -> None:
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
def test_every_row_of_ports_that_is_printed_is_in_the_truth(kind: type[StatingConsole]) -> None:
    truth = kind.truth.stated
    printed = re.findall(r"^ *\"?(?:port: )?((?:uart|serial)\d)\b", kind.pages[truth_word(kind)], re.M | re.I)
    assert printed == [truth[f"ports[{row}].id"] for row in range(len(printed))]
    assert f"ports[{len(printed)}].id" not in truth


def truth_word(kind: type[StatingConsole]) -> str:
    """The word that prints the ports."""
    return kind.stated["ports[0].id"].word


@each_console
def test_the_value_of_each_stated_fact_can_be_read_from_its_text(kind: type[StatingConsole]) -> None:
    for name, one in kind.stated.items():
        assert _says(one), f"{name}: {one.value!r} is not to be read from {one.texts}"


def _says(one: Said) -> bool:
    values: tuple[Any, ...] = one.value if isinstance(one.value, tuple) else (one.value,)
    return all(_is_in(value, one.texts[-1].casefold()) for value in values)


def _is_in(value: Any, text: str) -> bool:
    if isinstance(value, (bool, str)) and value in _WORDS:  # 1 equals True
        return any(word in text for word in _WORDS[value])
    if isinstance(value, str):
        return re.search(rf"(?<![^\W_]){re.escape(value.casefold())}(?![^\W\d_])", text) is not None
    times = next((times for unit, times in _UNITS.items() if re.search(rf"{unit}\b", text)), 1.0)
    # A blank-separated comma is a list, another one is decimal.
    read = [float(number.replace(",", ".")) for number in _NUMBER.findall(text)]
    return any(abs(value - one * times) < 1e-9 for one in read)


@each_console
def test_it_states_thirty_five_to_sixty_facts_a_repeated_group_counted_once(kind: type[StatingConsole]) -> None:
    assert 35 <= len({re.sub(r"\[\d+\].*", "", name) for name in kind.truth.stated}) <= 60


@each_console
def test_its_harmful_words_are_listed_like_the_others(kind: type[StatingConsole]) -> None:
    checks.check_listed(kind())
    assert kind.harmful == kind.harms.keys()
    assert not kind.harmful & kind.pages.keys()
    for word in kind.pages.keys() | kind.harmful:
        assert re.search(rf'^ *"?{re.escape(word)}(?:": | )', kind.pages[kind.help_word], re.MULTILINE), word


def test_each_document_is_json_and_so_is_a_refusal() -> None:
    for word, page in Jorvale.pages.items():
        assert isinstance(json.loads(page), dict), word
    for text in (Jorvale.error.format(line="xyzzy"), *(harm.prints for harm in Jorvale.harms.values())):
        assert isinstance(json.loads(text), dict)


def _every_harm() -> list[Any]:
    return [pytest.param(kind, word, id=f"{kind.name}-{word}") for kind in JUDGING_A for word in sorted(kind.harmful)]


@pytest.mark.parametrize(("kind", "word"), _every_harm())
def test_a_harmful_word_has_its_visible_effect(kind: type[StatingConsole], word: str) -> None:
    console = kind()
    harm = console.harms[word]
    with checks.awake(console) as typist:
        before = typist.enter(harm.look) if harm.look else ""
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
    assert before.count(harm.before) == 1
    assert after == before.replace(harm.before, harm.after)
    assert after != before

"""The consoles of the last examination say what their truth says. Nothing of the reader reads them here."""

from __future__ import annotations

import re
from typing import Any

import pytest

from tests_support import console_truth as checks
from tests_support.other_consoles.stating import Harm, StatingConsole
from tests_support.verdict_consoles_a import VERDICT_A

each_console = pytest.mark.parametrize("kind", VERDICT_A, ids=lambda kind: kind.name)

# As a person of the trade reads these words; German where a console is.
_WORDS: checks.Words = {
    "serial": ("serial", "seriell"),
    "land": ("land",),
    "console": ("console", "konsole"),
    "receiver": ("receiver", "empfänger"),
    "telemetry": ("telemetry", "telemetrie"),
    "positioning": ("gps",),
    "overlay-link": ("osd",),
    "video-control": ("video_control",),
    "esc-telemetry": ("esc telemetry",),
    "unused": ("unused", "frei"),
    "found": ("found", "gefunden"),
    "missing": ("missing", "fehlt"),
    "card": ("card", "sd-karte"),
    "arm": ("arm ", "arm/", "scharfschalten"),
    "level": ("level", "lage"),
    "beeper": ("beeper", "pieper"),
    "battery": ("battery", "akku"),
    "altitude": ("altitude", "höhe"),
    "craft-name": ("craft name",),
    "no-receiver-link": ("no receiver link", "kein empfängersignal"),
    "usb-connected": ("usb connected", "usb_connected", "usb verbunden"),
    "throttle-not-low": ("throttle not low",),
    "not-level": ("not level", "not_level"),
    True: (" yes", " on ", ". on", " shown", " ja", ", sichtbar"),
    False: (" no", " hidden", " nein", " aus", ", verborgen"),
}
# The 5.8 GHz video channels (common practice): MHz of channels 1 to 8.
_BANDS = {
    "B": (5733, 5752, 5771, 5790, 5809, 5828, 5847, 5866),
    "F": (5740, 5760, 5780, 5800, 5820, 5840, 5860, 5880),
    "R": (5658, 5695, 5732, 5769, 5806, 5843, 5880, 5917),
}
_ROW = re.compile(r"^ *(?:port[ /])?(uart\d)\b", re.MULTILINE | re.IGNORECASE)


def test_there_are_four_of_different_names() -> None:
    assert len({kind.name for kind in VERDICT_A}) == len(VERDICT_A) == 4


@each_console
def test_the_prompt_comes_after_the_wake(kind: type[StatingConsole]) -> None:
    checks.check_prompt(kind())


@each_console
def test_a_word_that_it_does_not_know_gives_its_error(kind: type[StatingConsole]) -> None:
    checks.check_error(kind())


@each_console
def test_help_is_given_by_a_usual_word(kind: type[StatingConsole]) -> None:
    assert kind.help_word in ("help", "?")
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
def test_the_text_of_a_fact_is_one_whole_line(kind: type[StatingConsole]) -> None:
    for name, one in kind.stated.items():
        lines = [line.strip() for line in kind.pages[one.word].splitlines()]
        assert lines.count(one.texts[0]) == len(one.texts) == 1, f"{name}: {one.texts!r}"


@each_console
def test_a_quarter_to_a_half_of_the_lines_state_other_things(kind: type[StatingConsole]) -> None:
    head = re.compile(r"(Item|Setting|Function|Port|Element|Reading|Axis|Filter|Sensor) {2}|-{4}")
    lines = [
        line
        for word, page in kind.pages.items()
        if word != kind.help_word
        for line in page.splitlines()
        if line and not head.match(line)
    ]
    stating = len({(one.word, one.texts) for one in kind.stated.values()})
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
    printed = list(dict.fromkeys(_ROW.findall(kind.pages[kind.stated["ports[0].id"].word])))
    assert printed == [truth[f"ports[{row}].id"] for row in range(len(printed))]
    assert f"ports[{len(printed)}].id" not in truth


@each_console
def test_the_value_of_each_stated_fact_can_be_read_from_its_text(kind: type[StatingConsole]) -> None:
    checks.check_values(kind, _WORDS)


@each_console
def test_it_states_thirty_five_to_sixty_facts_a_repeated_group_counted_once(kind: type[StatingConsole]) -> None:
    assert 35 <= len({re.sub(r"\[\d+\].*", "", name) for name in kind.truth.stated}) <= 60


@each_console
def test_its_harmful_words_are_listed_like_the_others(kind: type[StatingConsole]) -> None:
    checks.check_listed(kind())
    assert kind.harmful == kind.harms.keys()
    assert not kind.harmful & kind.pages.keys()
    for word in kind.pages.keys() | kind.harmful:
        assert re.search(rf"^ *{re.escape(word)}[: ]", kind.pages[kind.help_word], re.MULTILINE), word


def _every_harm() -> list[Any]:
    return [pytest.param(kind, word, id=f"{kind.name}-{word}") for kind in VERDICT_A for word in sorted(kind.harmful)]


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

"""The consoles of the parting examination say what their truth says. Nothing of the reader reads them here."""

from __future__ import annotations

import re
from typing import Any

import pytest

from tests_support import console_truth as checks
from tests_support.other_consoles.stating import Harm, StatingConsole
from tests_support.parting_consoles_a import PARTING_A

each_console = pytest.mark.parametrize("kind", PARTING_A, ids=lambda kind: kind.name)

# As a person of the trade reads these words; Spanish where a console is.
_WORDS: checks.Words = {
    "serial": ("serial", "serie"),
    "analog": ("analog", "analógico"),
    "land": ("aterrizar",),
    "console": ("console", "consola"),
    "receiver": ("receiver", "receptor"),
    "positioning": ("gps",),
    "overlay-link": ("= osd",),
    "video-control": ("video control",),
    "esc-telemetry": ("telemetría esc",),
    "unused": ("unused", "libre"),
    "found": (": found", "= found", "  encontrado"),
    "missing": (": missing", "no encontrado"),
    "card": ("card",),
    "arm": ("arm:", "-arm =", "armar"),
    "level": ("level", "nivel"),
    "beeper": ("beeper", "zumbador"),
    "battery": ("battery", "batería"),
    "timer": ("timer", "temporizador"),
    "altitude": ("altitude", "altitud"),
    "link-quality": ("link quality", "calidad de enlace"),
    "craft-name": ("craft-name",),
    "no-receiver-link": ("sin señal del receptor",),
    "usb-connected": ("usb connected", "usb-connected"),
    "throttle-not-low": ("throttle-not-low",),
    "not-level": ("not level", "no nivelado"),
    True: (": yes", ", shown", "= on", " on ", " sí"),
    False: (": no", ", hidden", "= off", " off ", "  no"),
}
# The 5.8 GHz video channels (common practice): MHz of channels 1 to 8.
_BANDS = {
    "F": (5740, 5760, 5780, 5800, 5820, 5840, 5860, 5880),
    "R": (5658, 5695, 5732, 5769, 5806, 5843, 5880, 5917),
}
_HEADER = re.compile(r" +(?:Función|Puerto|Elemento|Eje) {2}")
_ROW = re.compile(r"^ *(?:port[ -])?(uart\d)\b", re.MULTILINE | re.IGNORECASE)


def test_there_are_three_of_different_names() -> None:
    assert len({kind.name for kind in PARTING_A}) == len(PARTING_A) == 3


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
def test_the_text_of_a_fact_is_one_whole_line_below_its_heading(kind: type[StatingConsole]) -> None:
    for name, one in kind.stated.items():
        lines = [line.strip() for line in kind.pages[one.word].splitlines()]
        assert lines.count(one.texts[0]) == 1, f"{name}: {one.texts!r}"
        below = lines[lines.index(one.texts[0]) :]
        assert one.texts[-1] in below, f"{name}: {one.texts!r}"
        assert len(one.texts) <= 2


@each_console
def test_no_two_facts_of_a_group_are_read_from_the_same_words(kind: type[StatingConsole]) -> None:
    single = [(one.word, one.texts) for name, one in kind.stated.items() if "[" not in name]
    assert len(single) == len(set(single))


@each_console
def test_a_quarter_to_a_half_of_the_lines_state_other_things(kind: type[StatingConsole]) -> None:
    lines = [
        line
        for word, page in kind.pages.items()
        if word != kind.help_word
        for line in page.splitlines()
        if (line.startswith("  ") or " = " in line) and not _HEADER.match(line)
    ]
    stating = len(
        {(one.word, one.texts) for name, one in kind.stated.items() if one.texts[-1] in map(str.strip, lines)}
    )
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
    return [pytest.param(kind, word, id=f"{kind.name}-{word}") for kind in PARTING_A for word in sorted(kind.harmful)]


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

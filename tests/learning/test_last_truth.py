"""The consoles of the last of all examinations say what their truth says. Nothing of the reader reads them here."""

from __future__ import annotations

import re
from typing import Any

import pytest

from tests_support import console_truth as checks
from tests_support.last_consoles import LAST
from tests_support.last_consoles.windlestraw import Windlestraw
from tests_support.other_consoles.served import served
from tests_support.other_consoles.stating import Harm, Said, StatingConsole
from tests_support.other_consoles.typist import typing_on

each_console = pytest.mark.parametrize("kind", LAST, ids=lambda kind: kind.name)

_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
_TIMES = {"mV": 0.001, "ms": 0.001, "kHz": 1000.0}
"""What a unit in the text, or at the end of a key in it, makes of its number; nothing else is scaled."""
# As a person of the trade reads these words; Swedish and Spanish where a console is.
_WORDS: checks.Words = {
    "serial": ("serial", "seriell", "= serie"),
    "analog": ("analog", "analógico"),
    "land": ("landa",),
    "return": ("volver",),
    "console": ("console", "konsol", "consola"),
    "receiver": ("receiver", "mottagare", "receptor"),
    "positioning": ("gps",),
    "overlay-link": ("osd",),
    "telemetry": ("telemetry", "telemetría"),
    "esc-telemetry": ("esc telemetry",),
    "unused": ("unused", "none", "oanvänd", "libre"),
    "found": ("found", "hittad", "presente"),
    "missing": ("missing", "ausente"),
    "card": ("card", "minneskort"),
    "arm": ("arm ", "arm:", '"arm"', "armera:", "armar "),
    "level": ("level", "nivå", "nivel"),
    "beeper": ("beeper", "summer", "zumbador"),
    "battery": ("battery", "batteri", "batería"),
    "timer": ("timer", "temporizador"),
    "altitude": ("altitude", "altitud"),
    "link-quality": ("link-quality", "länkkvalitet"),
    "horizon": ("horizon", "horisont"),
    "craft-name": ("craft name",),
    "warnings": ("warnings", "avisos"),
    "no-receiver-link": ("no receiver link", "ingen mottagarsignal", "sin señal del receptor"),
    "usb-connected": ("usb connected", "usb ansluten"),
    "throttle-not-low": ("throttle not low", "acelerador no está bajo"),
    "not-level": ("not level",),
    True: (" yes", ": ja", ": på", " sí", ":true", ", synlig"),
    False: (" no", ": nej", ", dold", ":false"),
}
# Where texts begin with the head of a block, the block ends with its brace at the same margin.
_HEAD = re.compile(r"\n?(\S+) \{$")


def _inner(page: str, head: str) -> str:
    """The lines of the block that a head opens, to the brace at its own margin."""
    opened = re.search(rf"^( *){re.escape(head.strip())}\n(.*?)^\1\}}", page, re.MULTILINE | re.DOTALL)
    assert opened, head
    return opened[2]


def _own(block: str) -> str:
    """The lines of a block that stand in no block within it."""
    margin = len(block) - len(block.lstrip(" "))
    return "".join(line for line in block.splitlines(True) if len(line) - len(line.lstrip(" ")) == margin)


def test_there_are_five_of_different_names() -> None:
    assert len({kind.name for kind in LAST}) == len(LAST) == 5


@each_console
def test_the_prompt_comes_after_the_wake(kind: type[StatingConsole]) -> None:
    checks.check_prompt(kind())


@each_console
def test_a_word_that_it_does_not_know_gives_its_error(kind: type[StatingConsole]) -> None:
    checks.check_error(kind())


@each_console
def test_help_is_given_by_a_usual_word_or_by_the_one_that_the_refusal_names(kind: type[StatingConsole]) -> None:
    assert kind.help_word.casefold() in ("help", "?") or f'"{kind.help_word}"' in kind.error
    with checks.awake(kind()) as typist:
        assert kind.pages[kind.help_word].replace("\n", kind.newline) in typist.enter(kind.help_word)


@each_console
def test_every_stated_and_coded_fact_stands_in_what_its_word_prints(kind: type[StatingConsole]) -> None:
    console = kind()
    assert not console.stated.keys() & console.coded.keys()
    with checks.awake(console) as typist:
        printed = {word: typist.enter(word) for word in console.pages}
    checks.check_texts(console, printed)
    assert console.done == []


@each_console
def test_the_text_of_a_fact_stands_once_where_it_says(kind: type[StatingConsole]) -> None:
    for name, one in {**kind.stated, **kind.coded}.items():
        page = kind.pages[one.word]
        for head in one.texts[:-1]:
            assert _HEAD.fullmatch(head), f"{name}: {head!r}"
            page = _own(_inner(page, head))
        found = re.findall(rf"(?<![\w.-]){re.escape(one.texts[-1])}(?![\w.])", page)
        assert len(found) == 1, f"{name}: {one.texts!r} {len(found)} times"


@each_console
def test_a_text_begins_a_line_a_clause_or_an_object(kind: type[StatingConsole]) -> None:
    for name, one in {**kind.stated, **kind.coded}.items():
        page = kind.pages[one.word]
        before = page[: page.index(one.texts[-1])]
        assert not before or re.search(r"(?:\n *|[;:] )$", before), f"{name}: {one.texts[-1]!r} is not whole"


@each_console
def test_the_truth_is_in_canonical_names_types_and_words(kind: type[StatingConsole]) -> None:
    checks.check_canonical(kind)


@each_console
def test_the_port_of_the_receiver_is_a_port_for_the_receiver(kind: type[StatingConsole]) -> None:
    truth = kind.truth.stated
    rows = [row for row in range(len(truth)) if truth.get(f"ports[{row}].roles") == ("receiver",)]
    assert [truth[f"ports[{row}].id"] for row in rows] == [truth["receiver.port"]]


@each_console
def test_the_numbers_of_its_battery_switches_and_elements_fit_each_other(kind: type[StatingConsole]) -> None:
    truth = {**kind.truth.stated, **kind.truth.coded}
    low, warn, full = (truth[f"battery.cell_{end}"] for end in ("low", "warn", "full"))
    assert low < warn < full
    assert low < truth["battery.volts"] / truth["battery.cells"] < full
    assert truth["channels.low"] < truth["channels.centre"] < truth["channels.high"]
    for name, value in truth.items():
        if name.endswith(".from_us"):
            assert value < truth[name.replace("from_us", "to_us")]
        if name.startswith("overlay.elements") and name.endswith((".column", ".row")):
            assert 0 <= value < truth["overlay.columns" if name.endswith("column") else "overlay.rows"]


@each_console
def test_every_row_of_a_repeated_group_that_is_printed_is_in_the_truth(kind: type[StatingConsole]) -> None:
    truth = {**kind.truth.stated, **kind.truth.coded}
    pattern = r"\b(?:UART\d|(?:tty|serial)\d(?=\"| \{)|USB(?=:))"
    word = kind.stated["ports[0].id"].word
    printed = set(re.findall(pattern, kind.pages[word]))
    assert printed == {value for name, value in truth.items() if re.fullmatch(r"ports\[\d+\]\.id", name)}


@each_console
def test_the_value_of_each_stated_fact_can_be_read_from_its_text(kind: type[StatingConsole]) -> None:
    for name, one in kind.stated.items():
        assert _says(name, one), f"{name}: {one.value!r} is not to be read from {one.texts}"


def _says(name: str, one: Said) -> bool:
    text = one.texts[-1]
    values: tuple[Any, ...] = one.value if isinstance(one.value, tuple) else (one.value,)
    return all(_is_in(name, value, text) for value in values)


def _is_in(name: str, value: Any, text: str) -> bool:
    small = text.casefold()
    if isinstance(value, (bool, str)) and value in _WORDS:  # 1 equals True
        return any(word in small for word in _WORDS[value])
    if isinstance(value, str):
        return re.search(rf"(?<![^\W_]){re.escape(value.casefold())}(?![^\W\d_])", small) is not None
    times = next((by for unit, by in _TIMES.items() if re.search(rf"[\W_]{unit}(?![^\W_])", text, re.IGNORECASE)), 1.0)
    read = [float(number.replace(",", ".")) for number in _NUMBER.findall(text)]
    return any(abs(value - n * times) < 1e-9 for n in read)


@each_console
def test_it_states_thirty_five_to_sixty_facts_a_repeated_group_counted_once(kind: type[StatingConsole]) -> None:
    assert 35 <= len({re.sub(r"\[\d+\].*", "", name) for name in kind.truth.stated}) <= 60


@each_console
def test_its_words_are_listed_harmful_ones_like_the_others(kind: type[StatingConsole]) -> None:
    console = kind()
    checks.check_listed(console)
    assert console.harmful == console.harms.keys()
    assert not console.harmful & console.pages.keys()
    for word in console.pages.keys() | console.harmful:
        assert re.search(rf"(?:^|[ \"]){re.escape(word)}(?:\"| |$)", kind.pages[kind.help_word], re.MULTILINE), word


def _every_harm() -> list[Any]:
    return [pytest.param(kind, word, id=f"{kind.name}-{word}") for kind in LAST for word in sorted(kind.harmful)]


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


def test_characters_that_are_typed_fast_are_lost_where_it_says_so() -> None:
    [kind] = [kind for kind in LAST if kind.slowest_s]
    console = kind()
    console.type(b"info", now=1e9)
    console.type(b"\r", now=1e9 + 2 * kind.slowest_s)
    assert console.received == ["i"]


def test_the_silent_one_says_which_key_opens_it_and_is_quiet_afterwards() -> None:
    console = Windlestraw()
    with served(console) as device, typing_on(device, console) as typist:
        assert "press space" in typist.hear(ending="for the console" + console.newline)
        typist.press(b"help\r")
        assert typist.silence() == b""
        typist.wake()
    assert console.received == []
    assert console.idle(1e12) == ""


def test_packed_places_follow_the_rule_that_only_the_source_tells() -> None:
    [kind] = [kind for kind in LAST if "overlay.elements[0].name" in kind.coded]
    places = [int(one) for one in re.findall(r'"place":(\d+)', kind.pages["overlay"])]
    truth, rows = kind.truth.coded, [f"overlay.elements[{row}]" for row in range(len(places))]
    assert [64 * truth[f"{row}.row"] + truth[f"{row}.column"] for row in rows] == places
    assert f"overlay.elements[{len(places)}].name" not in truth

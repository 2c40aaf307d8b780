"""The consoles that bear witness say what their truth says. Nothing of the reader reads them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest

from tests_support import console_truth as checks
from tests_support.other_consoles.stating import Said, StatingConsole
from tests_support.witness_consoles import WITNESS

each_console = pytest.mark.parametrize("kind", WITNESS, ids=lambda kind: kind.name)

_NUMBER = re.compile(r"\d+(?:\.\d+)?")
_UNITS = ((r"(?:\bms\b|Milliseconds)", 0.001), (r"\bkHz\b", 1000.0), (r"\bKiB\b", 1024.0), (r"Millivolts", 0.001))
"""Units that are not those of the canonical facts, and what they make of a number beside them."""
# As a person of the trade reads these words, in small letters.
_WORDS: checks.Words = {
    "positioning": ("gps",),
    "overlay-link": ("digital osd",),
    "video-control": ("vtx control", "video transmitter control"),
    "esc-telemetry": ("esc telemetry",),
    "unused": ("not used", "none"),
    "link-quality": ("link quality",),
    "craft-name": ("craft name",),
    "no-receiver-link": ("no receiver link",),
    "usb-connected": ("usb connected",),
    "throttle-not-low": ("throttle not low",),
    "not-level": ("not level",),
    True: ("yes", "on", "true", "enabled", "reversed"),
    False: ("no", "off", "false", "disabled"),
}
# MHz of channels 1 to 8 of the 5.8 GHz video bands: common practice; from memory.
_CARRIERS = {
    "A": (5865, 5845, 5825, 5805, 5785, 5765, 5745, 5725),
    "F": (5740, 5760, 5780, 5800, 5820, 5840, 5860, 5880),
    "R": (5658, 5695, 5732, 5769, 5806, 5843, 5880, 5917),
}
_LINE_RATES = {"crsf": 420000, "sbus": 100000, "ibus": 115200}
"""Baud of a receiver's protocol: common practice; from memory."""
_STATES = re.compile(r"\S {2,}\S|: \S| = \S")
_RULE = re.compile(r"-+(?: +-+)+")


def test_there_are_four_of_different_names_and_prompts() -> None:
    assert len({kind.name for kind in WITNESS}) == len({kind.prompt for kind in WITNESS}) == len(WITNESS) == 4


@each_console
def test_the_prompt_comes_after_the_wake(kind: type[StatingConsole]) -> None:
    checks.check_prompt(kind())


@each_console
def test_a_word_that_it_does_not_know_gives_its_error(kind: type[StatingConsole]) -> None:
    checks.check_error(kind())


@each_console
def test_help_is_given_by_a_usual_word_or_one_that_the_refusal_names(kind: type[StatingConsole]) -> None:
    assert kind.help_word in ("help", "?", *re.findall(r"\w+", kind.error))
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
def test_the_line_of_a_fact_stands_once_below_its_head(kind: type[StatingConsole]) -> None:
    for name, one in kind.stated.items():
        *heads, line = one.texts
        below = kind.pages[one.word].splitlines()
        for head in heads:
            assert below.count(head) == 1, name
            below = _section(below[below.index(head) :])
        assert below.count(line) == 1, f"{name}: {line!r}"


def _section(lines: list[str]) -> list[str]:
    """The lines below the first one: to an empty line, or to one no deeper than a head with deeper lines."""
    depth, below = _depth(lines[0]), lines[1:]
    nested = _depth(below[0]) > depth
    ends = (at for at, line in enumerate(below) if not line or (nested and _depth(line) <= depth))
    return below[: next(ends, len(below))]


def _depth(line: str) -> int:
    return len(line) - len(line.lstrip())


@each_console
def test_the_truth_is_in_canonical_names_types_and_words(kind: type[StatingConsole]) -> None:
    checks.check_canonical(kind)


@each_console
def test_the_value_of_each_stated_fact_can_be_read_from_its_line(kind: type[StatingConsole]) -> None:
    for name, one in kind.stated.items():
        values: tuple[Any, ...] = one.value if isinstance(one.value, tuple) else (one.value,)
        text = _present(one)
        assert all(_is_in(value, text) for value in values), f"{name}: {one.value!r} is not to be read from {text!r}"


def _present(one: Said) -> str:
    """The line without its comment, and without the default that stands beside the present value."""
    head, line = one.texts[0], one.texts[-1]
    if "Default" in head:
        return line[: head.index("Default")]
    comment = re.search(r" {2,}# (.*)$", line)
    return line if comment is None or comment[1] == "us" else line[: comment.start()]


def _is_in(value: Any, text: str) -> bool:
    spaced = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", text).replace("_", " ")
    if isinstance(value, str):
        return any(_whole(word, part) for word in (*_WORDS.get(value, ()), value) for part in (text, spaced))
    behind = re.split(r": +| = | {2,}", text.strip(), maxsplit=1)[1]
    if isinstance(value, bool):
        return any(_whole(word, behind) for word in _WORDS[value]) and not any(
            _whole(word, behind) for word in _WORDS[not value]
        )
    times = next((by for unit, by in _UNITS if re.search(unit, text)), 1.0)
    return any(abs(value - float(number) * times) < 1e-9 for number in _NUMBER.findall(behind))


def _whole(word: str, text: str) -> bool:
    return re.search(rf"(?<!\w){re.escape(word)}(?!\w)", text, re.IGNORECASE) is not None


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
    assert truth["channels.low"] <= truth["failsafe.throttle_us"] < truth["channels.high"]
    if "video.band" in truth:
        assert _CARRIERS[truth["video.band"]][truth["video.channel"] - 1] == truth["video.frequency_mhz"]
    for name, value in truth.items():
        if name.endswith(".from_us"):
            assert value < truth[name.replace("from_us", "to_us")]
        if name.startswith("overlay.elements") and name.endswith((".column", ".row")):
            assert 0 <= value < truth["overlay.columns" if name.endswith("column") else "overlay.rows"]


@each_console
def test_every_port_that_is_printed_is_in_the_truth(kind: type[StatingConsole]) -> None:
    truth, page = kind.truth.stated, kind.pages[kind.stated["ports[0].id"].word]
    found = re.findall(r"^ *(uart ?\d|serial\d|usb)(?=[._]| {2,}|$)", page, re.MULTILINE | re.IGNORECASE)
    printed = list(dict.fromkeys(found))
    assert printed == [truth[f"ports[{row}].id"] for row in range(len(printed))]
    assert f"ports[{len(printed)}].id" not in truth


@each_console
def test_a_quarter_to_a_half_of_the_lines_state_other_things(kind: type[StatingConsole]) -> None:
    lines = set(_lines(kind))
    stating = {(one.word, one.texts[-1]) for one in kind.stated.values()} & lines
    assert 0.25 <= 1 - len(stating) / len(lines) <= 0.5, f"{len(stating)} of {len(lines)}"


def _lines(kind: type[StatingConsole]) -> Iterator[tuple[str, str]]:
    """The lines that say something of a thing, with their word; neither the help nor the headers of tables."""
    heads = {head for one in kind.stated.values() for head in one.texts[:-1]}
    for word, page in kind.pages.items():
        for line in page.splitlines():
            if word != kind.help_word and _STATES.search(line) and not _RULE.fullmatch(line) and line not in heads:
                yield word, line


@each_console
def test_it_states_thirty_to_sixty_facts_a_repeated_group_counted_once(kind: type[StatingConsole]) -> None:
    assert 30 <= len({re.sub(r"\[\d+\].*", "", name) for name in kind.truth.stated}) <= 60


@each_console
def test_every_word_is_listed_and_described_harmful_ones_like_the_others(kind: type[StatingConsole]) -> None:
    checks.check_listed(kind())
    assert kind.harmful == kind.harms.keys()
    assert not kind.harmful & kind.pages.keys()
    for word in kind.pages.keys() | kind.harmful:
        assert re.search(rf"^ *{re.escape(word)} +\w", kind.pages[kind.help_word], re.MULTILINE), word


def _every_harm() -> list[Any]:
    return [pytest.param(kind, word, id=f"{kind.name}-{word}") for kind in WITNESS for word in sorted(kind.harmful)]


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

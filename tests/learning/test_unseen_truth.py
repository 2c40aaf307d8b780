"""The consoles that nobody tunes for say what their truth says. Nothing of the reader reads them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest

from propsoff.craft.names import facts
from tests_support.other_consoles.served import served
from tests_support.other_consoles.stating import Harm, Said, StatingConsole
from tests_support.other_consoles.typist import Typist, typing_on
from tests_support.unseen_consoles import UNSEEN
from tests_support.unseen_consoles.orrin import Orrin

_STATING = [kind for kind in UNSEEN if issubclass(kind, StatingConsole)]
each_console = pytest.mark.parametrize("kind", _STATING, ids=lambda kind: kind.name)

_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")
_TIMES = (1.0, 0.001, 1000.0, 0.1, 0.01, 1024.0)
"""mV or mW for V or mW, GHz for MHz, W for mW, tenths and hundredths where the text says so, KiB for bytes."""
# As a person of the trade reads these words; French where a console is French.
_WORDS: dict[object, tuple[str, ...]] = {
    "serial": ("serial", "série"),
    "drop": ("cut motors",),
    "land": ("land", "atterrissage"),
    "return": ("return_home",),
    "analog": ("analog",),
    "positioning": ("gps",),
    "receiver": ("receiver", "récepteur"),
    "rangefinder": ("rangefinder", "télémètre"),
    "overlay-link": ("osd",),
    "esc-telemetry": ("esc telemetry",),
    "unused": ("free", "none", "libre", "not used"),
    "found": ('"ok"', "found", "présent", "working"),
    "missing": ("missing", "absent", "not fitted"),
    "no-receiver-link": ("no receiver signal", "receiver signal missing", "pas de signal du récepteur"),
    "usb-connected": ("usb connected", "usb branché"),
    "throttle-not-low": ("throttle not low",),
    "not-level": ("not level",),
    "arm-switch-on": ("arm switch on",),
    True: (" on", " yes", "\tyes", "true", " oui", "activée"),
    False: (" off", " no", "\tno", "false", " non", "usual way"),
}


@contextmanager
def _awake(console: StatingConsole) -> Iterator[Typist]:
    with served(console) as device, typing_on(device, console) as typist:
        typist.wake()
        yield typist


def _go(console: StatingConsole, typist: Typist, word: str) -> None:
    """Enter the menus in which a word is offered."""
    outer = console.within.get(word) if isinstance(console, Orrin) else None
    if outer:
        _go(console, typist, outer)
        typist.enter(outer)


def _leave(console: StatingConsole, typist: Typist) -> None:
    """Back to where everything begins; twice is deep enough."""
    if isinstance(console, Orrin):
        typist.enter(console.way_back)
        typist.enter(console.way_back)


def _page(console: StatingConsole, typist: Typist, word: str) -> str:
    _go(console, typist, word)
    text = typist.enter(word)
    _leave(console, typist)
    return text


def _everything(console: StatingConsole, typist: Typist) -> dict[str, str]:
    return {word: _page(console, typist, word) for word in console.pages}


def test_there_are_five_of_different_names() -> None:
    assert len(_STATING) == len(UNSEEN) == len({kind.name for kind in UNSEEN}) == 5


@each_console
def test_the_prompt_comes_after_a_line_end(kind: type[StatingConsole]) -> None:
    console = kind()
    with served(console) as device, typing_on(device, console) as typist:
        assert typist.wake().endswith(console.prompt)
        again = typist.enter("")
        assert again.endswith(console.newline + console.prompt)


@each_console
def test_a_word_that_it_does_not_know_gives_its_error(kind: type[StatingConsole]) -> None:
    console = kind()
    with _awake(console) as typist:
        assert console.error.format(line="XYZZY") in typist.enter("XYZZY")


@each_console
def test_every_stated_and_coded_fact_stands_in_what_its_word_prints(kind: type[StatingConsole]) -> None:
    console = kind()
    both = {**console.stated, **console.coded}
    assert len(both) == len(console.stated) + len(console.coded)
    with _awake(console) as typist:
        printed = _everything(console, typist)
    for name, one in both.items():
        at = 0
        for text in one.texts:
            at = printed[one.word].find(text, at)
            assert at >= 0, f"{name}: {text!r} is not in what {one.word!r} prints"
    assert console.done == []
    assert console.harm_done == []


@each_console
def test_the_text_of_a_fact_stands_once_in_its_page(kind: type[StatingConsole]) -> None:
    for name, one in {**kind.stated, **kind.coded}.items():
        page = (kind.pages[one.word]).replace("\n", kind.newline)
        assert page.count(one.texts[-1]) == 1, f"{name}: {one.texts[-1]!r}"


@each_console
def test_the_truth_is_in_canonical_names_types_and_words(kind: type[StatingConsole]) -> None:
    specs = facts()
    for name, value in {**kind.truth.stated, **kind.truth.coded}.items():
        spec = specs[re.sub(r"\[\d+\]", "[]", name)]
        values = value if isinstance(value, tuple) else (value,)
        assert all(type(one) is spec.type for one in values), f"{name}: {value!r} is not {spec.type.__name__}"
        assert not spec.choices or set(values) <= set(spec.choices), f"{name}: {value!r}"
        assert name != "channels.order" or sorted(value) == sorted("AETR")


@each_console
def test_the_value_of_each_stated_fact_can_be_read_from_its_text(kind: type[StatingConsole]) -> None:
    for name, one in kind.stated.items():
        assert _says(one), f"{name}: {one.value!r} is not to be read from {one.texts}"


def _says(one: Said) -> bool:
    text = " ".join(one.texts).casefold()
    values: tuple[Any, ...] = one.value if isinstance(one.value, tuple) else (one.value,)
    return all(_is_in(value, text) for value in values)


def _is_in(value: Any, text: str) -> bool:
    if isinstance(value, (bool, str)) and value in _WORDS:  # 1 equals True
        return any(word in text for word in _WORDS[value])
    if isinstance(value, str):
        return re.search(rf"(?<!\w){re.escape(value.casefold())}(?![^\W\d])", text) is not None
    read = [float(number.replace(",", ".")) for number in _NUMBER.findall(text)]
    # A period in us stands for a rate in Hz.
    meant = [n * times for n in read for times in _TIMES] + [1_000_000 / n for n in read if n]
    return any(abs(value - one) < 1e-9 for one in meant)


@each_console
def test_it_states_twenty_to_forty_five_facts(kind: type[StatingConsole]) -> None:
    assert len({re.sub(r"\[\d+\].*", "", name) for name in kind.truth.stated}) >= 20
    assert len(kind.truth.stated) <= 45


@each_console
def test_it_has_four_to_ten_harmful_words_listed_like_the_others(kind: type[StatingConsole]) -> None:
    console = kind()
    assert 4 <= len(console.harmful) <= 10
    assert console.harmful == console.harms.keys()
    assert not console.harmful & console.pages.keys()
    with _awake(console) as typist:
        listed = _page(console, typist, "0" if isinstance(console, Orrin) else console.help_word)
        if isinstance(console, Orrin):
            listed += "".join(_page(console, typist, outer) for outer in set(console.within.values()))
    words = set(re.findall(r"\w+", listed))
    assert console.harmful <= words
    assert {word for word in console.pages if word != "0"} <= words


def _every_harm() -> list[Any]:
    return [pytest.param(kind, word, id=f"{kind.name}-{word}") for kind in _STATING for word in sorted(kind.harmful)]


@pytest.mark.parametrize(("kind", "word"), _every_harm())
def test_a_harmful_word_has_its_visible_effect(kind: type[StatingConsole], word: str) -> None:
    console = kind()
    harm = console.harms[word]
    with _awake(console) as typist:
        before = _page(console, typist, harm.look) if harm.look else ""
        _go(console, typist, word)
        assert len(console.done) == 0
        printed = typist.enter(word, ending=None if harm.look else harm.prints + console.newline)
        assert harm.prints in printed
        assert console.done == [harm]
        if harm.look:
            _leave(console, typist)
            _changed(harm, before, _page(console, typist, harm.look))
        else:  # nothing answers in a loader
            typist.press(b"\r\r")
            assert typist.silence() == b""
    assert console.harm_done == [word.casefold()]


def _changed(harm: Harm, before: str, after: str) -> None:
    assert harm.before in before
    assert harm.after in after
    assert harm.after not in before
    assert harm.before not in after or harm.before in harm.after


def test_a_number_is_taken_only_in_the_menu_that_shows_it() -> None:
    console = Orrin()
    with _awake(console) as typist:
        assert console.error.format(line="61") in typist.enter("61")
        typist.enter("6")
        assert console.error.format(line="9") in typist.enter("9")
        assert "Motors" in typist.enter("?")
        assert "Main menu" in typist.enter(console.way_back)
        typist.enter("4")
        typist.enter("41")
        assert " 42) " in typist.enter(console.way_back)
        assert "Main menu" in typist.enter(console.way_back)
    assert console.done == []


def test_characters_that_are_typed_fast_are_lost_where_it_says_so() -> None:
    kind = next(kind for kind in _STATING if kind.slowest_s)
    console = kind()
    console.type(b"params", now=1e9)
    console.type(b"\r", now=1e9 + 2 * kind.slowest_s)
    assert console.received == ["p"]


def test_packed_positions_follow_the_rules_that_only_the_source_tells() -> None:
    sarcelle, wexcombe = (next(kind for kind in _STATING if kind.name == name) for name in ("sarcelle", "wexcombe"))
    upper = [int(one, 16) for one in re.findall(r"^Case \w+ : (0x\w+)$", sarcelle.pages["image"], re.MULTILINE)]
    assert [
        (0 if shown else 0x8000) + 256 * row + column for column, row, shown in _elements(sarcelle, len(upper))
    ] == upper
    items = [int(one) for one in re.findall(r"/item/\w+\t(\d+)$", wexcombe.pages["tree"], re.MULTILINE)]
    assert [64 * row + column for column, row, _ in _elements(wexcombe, len(items))] == items
    assert all(shown for _, _, shown in _elements(wexcombe, len(items)))


def _elements(kind: type[StatingConsole], count: int) -> list[tuple[int, int, bool]]:
    truth, rows = kind.truth.coded, [f"overlay.elements[{row}]" for row in range(count)]
    assert f"overlay.elements[{count}].name" not in truth
    return [(truth[f"{row}.column"], truth[f"{row}.row"], truth[f"{row}.shown"]) for row in rows]


def test_packed_ports_follow_the_rule_that_only_the_source_tells() -> None:
    kind = next(kind for kind in _STATING if kind.name == "wexcombe")
    bits, truth = {"unused": 0, "console": 1, "telemetry": 6, "video-control": 8}, kind.truth.coded
    packed = [int(one) for one in re.findall(r"/io/uart\d\t(\d+)$", kind.pages["tree"], re.MULTILINE)]
    assert [
        truth.get(f"ports[{row}].baud", 0) // 100 * 16 + bits[truth[f"ports[{row}].roles"][0]]
        for row in range(len(packed))
    ] == packed

"""The consoles of the oath set say what their truth says. Nothing of the reader reads them here."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest

from propsoff.craft.names import facts
from tests_support.oath_consoles import OATH
from tests_support.other_consoles.served import served
from tests_support.other_consoles.stating import Said, StatingConsole
from tests_support.other_consoles.typist import Typist, typing_on

each_console = pytest.mark.parametrize("kind", OATH, ids=lambda kind: kind.name)

_NUMBER = re.compile(r"\d+(?:\.\d+)?")
_TIMES = (1.0, 0.001, 1000.0, 1024.0, 1024.0**2)
"""mV for V, ms for s, kHz for Hz, W for mW, KiB and MiB for bytes."""
# As a person of the trade reads these words.
_WORDS: dict[object, tuple[str, ...]] = {
    "return": ("return-home",),
    "positioning": ("gps",),
    "video-control": ("vtx-control",),
    "overlay-link": ("osd",),
    "unused": ("none", "unused"),
    "found": ("found", "ok"),
    "no-receiver-link": ("no-receiver-link", "no-receiver-signal"),
    True: ("on", "yes", "true", "shown"),
    False: ("off", "no", "false", "hidden"),
}


@contextmanager
def _awake(console: StatingConsole) -> Iterator[Typist]:
    with served(console) as device, typing_on(device, console) as typist:
        typist.wake()
        yield typist


def _page(console: StatingConsole, typist: Typist, word: str) -> str:
    return typist.enter(word).replace(console.newline, "\n")


def test_there_are_four_of_different_names() -> None:
    assert len(OATH) == len({kind.name for kind in OATH}) == len({kind.prompt for kind in OATH}) == 4


@each_console
def test_the_prompt_comes_after_a_line_end(kind: type[StatingConsole]) -> None:
    console = kind()
    with served(console) as device, typing_on(device, console) as typist:
        assert typist.wake().endswith(console.prompt)
        assert typist.enter("").endswith(console.prompt)


@each_console
def test_a_word_that_it_does_not_know_gives_its_error(kind: type[StatingConsole]) -> None:
    console = kind()
    with _awake(console) as typist:
        assert console.error.format(line="xyzzy") in typist.enter("xyzzy")


@each_console
def test_every_fact_stands_in_what_its_word_prints_under_its_heads(kind: type[StatingConsole]) -> None:
    console = kind()
    with _awake(console) as typist:
        printed = {word: _page(console, typist, word) for word in console.pages}
    for name, one in console.stated.items():
        page, at = "\n" + printed[one.word], 0
        assert page.count(f"\n{one.texts[0]}") == 1, f"{name}: {one.texts[0]!r} is not once in {one.word!r}"
        for head, text in zip(("", *one.texts), one.texts, strict=False):
            start, at = at, page.find(f"\n{text}", at)
            assert at >= 0, f"{name}: {text!r} is not in what {one.word!r} prints"
            between = page[start:at].split("\n")[2:] if head.endswith(":") else []
            deeper = " " * (len(head) - len(head.lstrip(" ")) + 1)
            assert all(line.startswith(deeper) for line in between), f"{name}: {text!r} is not below {head!r}"
    assert console.done == []
    assert console.harm_done == []


@each_console
def test_a_text_is_whole_on_its_line(kind: type[StatingConsole]) -> None:
    for name, one in kind.stated.items():
        lines = kind.pages[one.word].splitlines()
        for text in one.texts:
            rest = [line.removeprefix(text) for line in lines if line.startswith(text)]
            assert any(not after or after[0] == " " or text[-1] == " " for after in rest), f"{name}: {text!r}"


@each_console
def test_the_truth_is_in_canonical_names_types_and_words(kind: type[StatingConsole]) -> None:
    specs = facts()
    for name, value in kind.truth.stated.items():
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
    text = " ".join(one.texts)
    values: tuple[Any, ...] = one.value if isinstance(one.value, tuple) else (one.value,)
    return all(_is_in(value, text) for value in values)


def _is_in(value: Any, text: str) -> bool:
    if isinstance(value, (bool, str)):
        words = _WORDS.get(value, (str(value),))
        return any(re.search(rf"(?<![a-z0-9]){_joined(word)}(?![a-z0-9])", _joined(text)) for word in words)
    read = [float(number) for number in _NUMBER.findall(text)]
    return any(abs(n * times - value) < 1e-9 for n in read for times in _TIMES)


def _joined(text: str) -> str:
    return re.sub(r"[\s_-]+", "-", text.casefold())


@each_console
def test_it_states_fifty_to_a_hundred_facts_among_other_lines(kind: type[StatingConsole]) -> None:
    assert 50 <= len(kind.truth.stated) <= 100
    stating = {(one.word, text.strip()) for one in kind.stated.values() for text in one.texts}
    other = [
        line
        for word, page in kind.pages.items()
        for line in page.splitlines()
        if word != kind.help_word and not any(one == word and line.strip().startswith(text) for one, text in stating)
    ]
    assert 30 <= len(other) <= 90, other


@each_console
def test_its_words_are_all_listed(kind: type[StatingConsole]) -> None:
    console = kind()
    assert 4 <= len(console.harmful) <= 10
    assert console.harmful == console.harms.keys()
    assert not console.harmful & console.pages.keys()
    with _awake(console) as typist:
        listing = [
            re.split(r" - | {2,}|: | <", line.strip())[0] for line in _page(console, typist, kind.help_word).split("\n")
        ]
    assert console.harmful | (console.pages.keys() - {"?"}) <= set(listing)


def _every_harm() -> list[Any]:
    return [pytest.param(kind, word, id=f"{kind.name}-{word}") for kind in OATH for word in sorted(kind.harmful)]


@pytest.mark.parametrize(("kind", "word"), _every_harm())
def test_a_harmful_word_has_its_visible_effect(kind: type[StatingConsole], word: str) -> None:
    console = kind()
    harm = console.harms[word]
    line = harm.sample or word
    with _awake(console) as typist:
        before = typist.enter(harm.look) if harm.look else ""
        printed = typist.enter(line, ending=None if harm.look else harm.prints + console.newline)
        assert harm.prints in printed
        assert console.done == [harm]
        if harm.look:
            after = typist.enter(harm.look)
            assert before.count(harm.before) == after.count(harm.after) == 1
            assert harm.after not in before
            assert harm.before not in after
        else:  # nothing answers in a loader
            typist.press(b"\r\r")
            assert typist.silence() == b""
    assert console.harm_done == [line.casefold()]

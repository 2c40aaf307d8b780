"""Checks that a console which states facts prints what its truth says. Nothing of the reader reads it here."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Any

from propsoff.craft.names import facts
from tests_support.other_consoles.served import served
from tests_support.other_consoles.stating import Said, StatingConsole
from tests_support.other_consoles.typist import Typist, typing_on

Words = Mapping[object, tuple[str, ...]]
"""The words that say a canonical value on a screen, in small letters."""

_NUMBER = re.compile(r"\d+(?:\.\d+|,\d{1,2}(?!\d))?")


@contextmanager
def awake(console: StatingConsole) -> Iterator[Typist]:
    """A typist at the prompt of a served console."""
    with served(console) as device, typing_on(device, console) as typist:
        typist.wake()
        yield typist


def check_prompt(console: StatingConsole) -> None:
    """The prompt comes after the wake."""
    with served(console) as device, typing_on(device, console) as typist:
        assert typist.wake().endswith(console.prompt)


def check_error(console: StatingConsole) -> None:
    """A word that it does not know gives its error."""
    with awake(console) as typist:
        word = "XYZZY" if console.any_case else "xyzzy"
        assert console.error.format(line=word) in typist.enter(word)


def check_texts(console: StatingConsole, pages: Mapping[str, str]) -> None:
    """Every stated and coded fact stands in what its word prints; the pages are by word."""
    for name, one in {**console.stated, **console.coded}.items():
        page, at = pages[one.word], 0
        for text in one.texts:  # in this order: a key of a nested section stands below its head
            at = page.find(text, at)
            assert at >= 0, f"{name}: {text!r} is not in what {one.word!r} prints"
    assert console.harm_done == []


def check_canonical(kind: type[StatingConsole]) -> None:
    """The truth is in canonical names, types and words."""
    specs = facts()
    for name, value in {**kind.truth.stated, **kind.truth.coded}.items():
        spec = specs[re.sub(r"\[\d+\]", "[]", name)]
        values = value if isinstance(value, tuple) else (value,)
        assert all(type(one) is spec.type for one in values), f"{name}: {value!r} is not {spec.type.__name__}"
        assert not spec.choices or set(values) <= set(spec.choices), f"{name}: {value!r}"
        assert name != "channels.order" or sorted(value) == sorted("AETR")


def check_values(kind: type[StatingConsole], words: Words) -> None:
    """The value of each stated fact can be read from its text by somebody who knows the words."""
    for name, one in kind.stated.items():
        assert _says(one, words), f"{name}: {one.value!r} is not to be read from {one.texts}"


def check_count(kind: type[StatingConsole]) -> None:
    """It states twenty to forty-five facts, a repeated group counted once."""
    assert 20 <= len({re.sub(r"\[\d+\].*", "", name) for name in kind.truth.stated}) <= 45


def check_listed(console: StatingConsole, fewest: int = 4, most: int = 10) -> None:
    """So many harmful words, listed like the others where it lists its words."""
    assert fewest <= len(console.harmful) <= most
    with awake(console) as typist:
        listing = typist.enter(console.help_word or "ledger")
    assert console.harmful <= set(re.findall(r"[\w-]+", listing))


def _says(one: Said, words: Words) -> bool:
    text = " ".join(one.texts).casefold().replace('":', '" ')
    values: tuple[Any, ...] = one.value if isinstance(one.value, tuple) else (one.value,)
    return all(_is_in(value, text, words) for value in values)


def _is_in(value: Any, text: str, words: Words) -> bool:
    if isinstance(value, (bool, str)) and value in words:  # 1 equals True
        return any(word in text for word in words[value])
    if isinstance(value, str):
        return value.casefold() in text
    # mV or mW for V or mW, ms for s, kHz for Hz, W for mW, and a period in us for a rate in Hz.
    read = [float(number.replace(",", ".")) for number in _NUMBER.findall(text)]
    return any(
        abs(value - one) < 1e-9 for n in read for one in (n, n / 1000, n * 1000, *((1_000_000 / n,) if n else ()))
    )

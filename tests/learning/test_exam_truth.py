"""The consoles of the second examination say what their truth says. Nothing of the reader reads them."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest

from tests_support import console_truth as checks
from tests_support.exam_consoles import EXAM
from tests_support.exam_consoles.oxlip import Oxlip
from tests_support.exam_consoles.thistlepin import Thistlepin
from tests_support.other_consoles.seen import SEEN
from tests_support.other_consoles.served import served
from tests_support.other_consoles.stating import StatingConsole
from tests_support.other_consoles.typist import Typist, typing_on

_KINDS = [kind for kind in EXAM if issubclass(kind, StatingConsole)]
each_console = pytest.mark.parametrize("kind", _KINDS, ids=lambda kind: kind.name)

# As a person of the trade reads these words; Italian where a console is Italian.
_WORDS: checks.Words = {
    "serial": ("serial", "seriale"),
    "land": ("land", "atterraggio"),
    "drop": ("drop",),
    "return": ("return",),
    "analog": ("analog", "analogico"),
    "digital": ("digital",),
    "found": ("found", "trovato"),
    "missing": ("missing", "assente"),
    "console": ("console",),
    "positioning": ("gps",),
    "receiver": ("receiver", "ricevitore"),
    "rangefinder": ("rangefinder",),
    "overlay-link": ("osd link",),
    "video-control": ("vtx control",),
    "esc-telemetry": ("esc telemetry", "telemetria esc"),
    "unused": ("not used", "libera"),
    "link-quality": ("link quality",),
    "craft-name": ("craft name",),
    "no-receiver-link": ("no receiver link", "nessun segnale dal ricevitore"),
    "usb-connected": ("usb connected", "usb collegata"),
    "throttle-not-low": ("throttle not low",),
    "AETR": ("aetr", "aileron, elevator, throttle, rudder"),
    "TAER": ('["throttle","aileron","elevator","rudder"]',),
    True: (" yes", " on", "true", " sì", " attiva"),
    False: (" no", " off", "false"),
}


def _read(console: StatingConsole, typist: Typist, word: str) -> str:
    """What a word prints; where it opens a page with a prompt of its own, that is left again."""
    if not isinstance(console, Oxlip):
        return typist.enter(word)
    within = console.prompt_within(word)
    text = typist.enter(word, ending=within)
    if within != console.prompt:
        typist.enter(console.back)
    return text


def test_there_are_four_that_are_none_of_the_others() -> None:
    assert len(_KINDS) == len(EXAM) == len({kind.name for kind in EXAM}) == 4
    assert not {kind.name for kind in EXAM} & {kind.name for kind in SEEN}


@each_console
def test_the_prompt_comes_after_the_wake(kind: type[StatingConsole]) -> None:
    checks.check_prompt(kind())


@each_console
def test_a_word_that_it_does_not_know_gives_its_error(kind: type[StatingConsole]) -> None:
    checks.check_error(kind())


@each_console
def test_every_stated_and_coded_fact_stands_in_what_its_word_prints(kind: type[StatingConsole]) -> None:
    console = kind()
    words = {one.word for one in (*console.stated.values(), *console.coded.values())}
    with checks.awake(console) as typist:
        pages = {word: _read(console, typist, word) for word in sorted(words)}
    checks.check_texts(console, pages)


@each_console
def test_every_page_is_a_word_of_the_listing(kind: type[StatingConsole]) -> None:
    listed = set(re.findall(r"[\w-]+", kind.pages[kind.help_word]))
    assert {word for word in kind.pages if word not in {"?", "help"}} <= listed


@each_console
def test_the_truth_is_in_canonical_names_types_and_words(kind: type[StatingConsole]) -> None:
    checks.check_canonical(kind)


@each_console
def test_the_value_of_each_stated_fact_can_be_read_from_its_text(kind: type[StatingConsole]) -> None:
    checks.check_values(kind, _WORDS)


@each_console
def test_it_states_twenty_to_forty_five_facts_a_repeated_group_counted_once(kind: type[StatingConsole]) -> None:
    checks.check_count(kind)


@each_console
def test_it_has_four_to_eight_harmful_words_listed_like_the_others(kind: type[StatingConsole]) -> None:
    checks.check_listed(kind(), most=8)


def _every_harm() -> list[Any]:
    return [pytest.param(kind, word, id=f"{kind.name}-{word}") for kind in _KINDS for word in sorted(kind.harmful)]


@pytest.mark.parametrize(("kind", "word"), _every_harm())
def test_a_harmful_word_has_its_visible_effect(kind: type[StatingConsole], word: str) -> None:
    console = kind()
    harm = console.harms[word]
    loaded = harm.prints + console.newline
    with checks.awake(console) as typist:
        before = _read(console, typist, harm.look) if harm.look else ""
        assert harm.prints in typist.enter(harm.sample or word, ending=None if harm.look else loaded)
        if harm.look:
            after = _read(console, typist, harm.look)
            assert harm.before in before
            assert harm.after in after
            assert harm.before not in after or harm.before in harm.after
        else:  # nothing answers in a loader
            typist.press(b"\r\r")
            assert typist.silence() == b""
    assert console.harm_done == [(harm.sample or word).casefold()]


def test_characters_that_are_typed_fast_are_lost_where_it_says_so() -> None:
    kinds = [kind for kind in _KINDS if kind.slowest_s]
    assert [kind.slowest_s for kind in kinds] == [0.004]
    console = kinds[0]()
    with served(console) as device, typing_on(device, console) as typist:
        typist.wake()
        assert console.type(b"sys", now=1e9) == b"s"
    assert console.received == [""]


def test_a_page_takes_nothing_but_the_way_back() -> None:
    console = Oxlip()
    within = console.prompt_within("a")
    with checks.awake(console) as typist:
        typist.enter("a", ending=within)
        assert Oxlip.stated["battery.cells"].texts[0] not in typist.enter("b", ending=within)
        typist.enter("", ending=within)
        typist.enter("q")
        assert Oxlip.stated["battery.cells"].texts[0] in _read(console, typist, "b")


def test_what_is_packed_follows_the_rule_that_only_the_source_tells() -> None:
    truth = Thistlepin.truth.coded
    view, lines, own = (json.loads(Thistlepin.pages[word])["data"] for word in ("view", "lines", "self"))
    for row, (name, packed) in enumerate(view["overlay"]["items"].items()):
        at = f"overlay.elements[{row}]"
        hidden = 0 if truth[f"{at}.shown"] else 32768
        assert truth[f"{at}.name"] == name
        assert hidden + 256 * truth[f"{at}.row"] + truth[f"{at}.column"] == packed
    bits = {"console": 1, "receiver": 2, "telemetry": 4, "positioning": 16, "overlay-link": 64, "unused": 0}
    for row, port in enumerate(lines["ports"].values()):
        assert sum(bits[role] for role in truth[f"ports[{row}].roles"]) == port["use"]
    blocks = {"no-receiver-link": 1, "usb-connected": 16}
    assert sum(blocks[one] for one in truth["arming.blocks"]) == own["arming"]["inhibit"]


def test_without_echo_the_answer_is_one_json_document() -> None:
    console = Thistlepin()
    with checks.awake(console) as typist:
        text = typist.enter("air")
    document = json.loads(text.removesuffix(console.prompt))
    assert document["data"]["channels"]["low"] == {"v": 1050, "u": "us"}

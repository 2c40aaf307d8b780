"""The test consoles say what their truth says, package by package. Nothing of the reader reads them here."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest

from tests_support import console_truth as checks
from tests_support.other_consoles.stating import StatingConsole
from tests_support.parting_consoles_b.merridine import Merridine
from tests_support.truths.packages import PACKAGES, Package, consoles
from tests_support.truths.places import ports_printed, stating_lines, trouble
from tests_support.truths.reading import reads
from tests_support.truths.walking import go, leave, listing, page_of

each_package = pytest.mark.parametrize("package", PACKAGES, ids=lambda one: one.name)
each_console = pytest.mark.parametrize(("package", "kind"), consoles())

_LINE_RATES = {"crsf": 420000, "sbus": 100000, "ibus": 115200}
"""Baud of a receiver's protocol: common practice; from memory."""
# MHz of channels 1 to 8 of the 5.8 GHz bands for analogue video: common practice; from memory.
_CARRIERS = {
    "A": (5865, 5845, 5825, 5805, 5785, 5765, 5745, 5725),
    "B": (5733, 5752, 5771, 5790, 5809, 5828, 5847, 5866),
    "E": (5705, 5685, 5665, 5645, 5885, 5905, 5925, 5945),
    "F": (5740, 5760, 5780, 5800, 5820, 5840, 5860, 5880),
    "R": (5658, 5695, 5732, 5769, 5806, 5843, 5880, 5917),
}
_WORDS_WITHIN_LINES = frozenset(
    [
        "ambrell", "cresswold", "draycot", "hallaton", "kettlebrae", "lindrick", "marrick", "merrowby", "nantwen",
        "norrick", "pellow", "pinchwell", "quappe", "sorrel", "thistlepin",
    ]
)  # fmt: skip
"""Consoles that list several words in a line."""

_FLAGS_SIDE_BY_SIDE = frozenset(["ambrell", "estermere", "ockerfen", "pardoe", "tyndray"])
"""Consoles with several flags in a line, or their legends or defaults; most have tests of their own for that."""


def _of(*names: str) -> pytest.MarkDecorator:
    """The consoles of some packages."""
    return pytest.mark.parametrize(("package", "kind"), consoles(one for one in PACKAGES if one.name in names))


def _some(**what: Any) -> pytest.MarkDecorator:
    """The consoles of the packages of which something holds."""
    chosen = [one for one in PACKAGES if all(getattr(one, name) == value for name, value in what.items())]
    return pytest.mark.parametrize(("package", "kind"), consoles(chosen))


def _truth(kind: type[StatingConsole]) -> dict[str, Any]:
    return {**kind.truth.stated, **kind.truth.coded}


@each_package
def test_a_package_has_so_many_consoles_of_different_names(package: Package) -> None:
    assert len(package.kinds) == len(package.consoles) == package.count
    assert len({kind.name for kind in package.kinds}) == package.count


def test_those_of_the_exam_are_none_that_were_seen_and_those_of_witness_have_prompts_of_their_own() -> None:
    seen, exam, witness = (next(one for one in PACKAGES if one.name == name) for name in ("seen", "exam", "witness"))
    assert not {kind.name for kind in exam.kinds} & {kind.name for kind in seen.kinds}
    assert len({kind.prompt for kind in witness.kinds}) == witness.count


@each_console
def test_the_prompt_comes_after_the_wake(package: Package, kind: type[StatingConsole]) -> None:
    checks.check_prompt(kind())


@_of("unseen")
def test_the_prompt_comes_after_a_line_end(package: Package, kind: type[StatingConsole]) -> None:
    console = kind()
    with checks.awake(console) as typist:
        assert typist.enter("").endswith(console.newline + console.prompt)


@each_console
def test_a_word_that_it_does_not_know_gives_its_error(package: Package, kind: type[StatingConsole]) -> None:
    checks.check_error(kind())


@_some(guessable=True)
def test_the_word_for_help_is_a_usual_one_or_the_one_that_the_refusal_names(
    package: Package, kind: type[StatingConsole]
) -> None:
    named = () if package.name in ("proof", "verdict_a") else re.findall(r"\w+", kind.error.casefold())
    assert kind.help_word.casefold() in ("help", "?", *named)


@_of("final")
def test_help_is_given_to_who_asks_for_it_by_that_word(package: Package, kind: type[StatingConsole]) -> None:
    console = kind()
    with checks.awake(console) as typist:
        assert kind.pages[kind.help_word].replace("\n", kind.newline) in typist.enter("help")


@each_console
def test_each_word_prints_its_page_and_every_stated_and_coded_fact_stands_in_it(
    package: Package, kind: type[StatingConsole]
) -> None:
    console = kind()
    assert not console.stated.keys() & console.coded.keys()
    with checks.awake(console) as typist:
        printed = {word: page_of(console, typist, word) for word in console.pages}
    checks.check_texts(console, printed)
    assert console.done == []
    assert not any("@@" in page for page in printed.values())  # a mark of whoever wrote the pages
    assert package.name != "proof" or not any("|" in page for page in printed.values())
    stopped = kind.pager is not None and kind.pager[0] in printed.get(kind.help_word, "")
    if kind.help_word in kind.pages and not stopped:
        assert kind.pages[kind.help_word].replace("\n", kind.newline) in printed[kind.help_word]


@each_console
def test_the_text_of_a_fact_stands_once_where_it_says(package: Package, kind: type[StatingConsole]) -> None:
    for name, one in {**kind.stated, **kind.coded}.items():
        if kind is Merridine:  # its members are read from the document, in a test of their own
            assert len(one.texts) >= 2, f"{name}: a member without the object around it"
            continue
        found = trouble(kind.pages[one.word], one.texts)
        assert not found, f"{name}: {found}"


@_of("last")
def test_a_text_begins_a_line_a_clause_or_an_object(package: Package, kind: type[StatingConsole]) -> None:
    for name, one in {**kind.stated, **kind.coded}.items():
        page = kind.pages[one.word]
        before = page[: page.index(one.texts[-1])]
        assert not before or re.search(r"(?:\n *|[;:] )$", before), f"{name}: {one.texts[-1]!r} is not whole"


@_of("parting_a", "sealed_a")
def test_no_two_facts_are_read_from_the_same_words(package: Package, kind: type[StatingConsole]) -> None:
    mask = "sensors." if package.name == "sealed_a" else "["  # it states them together
    single = [(one.word, one.texts) for name, one in kind.stated.items() if "[" not in name and mask not in name]
    assert len(single) == len(set(single))


@each_console
def test_the_truth_is_in_canonical_names_types_and_words(package: Package, kind: type[StatingConsole]) -> None:
    checks.check_canonical(kind)


@each_console
def test_the_value_of_each_stated_fact_can_be_read_from_its_text(package: Package, kind: type[StatingConsole]) -> None:
    for name, one in kind.stated.items():
        if one.texts[-1].startswith("# "):  # its legend is read in a test of its own, apart from what is so called
            if not name.endswith(".id"):
                continue
            assert reads(one, replace(package, whole=True)), name
            continue
        lone = kind.name not in _FLAGS_SIDE_BY_SIDE
        assert reads(one, package, lone=lone), f"{name}: {one.value!r} is not to be read from {one.texts}"


@each_console
def test_the_port_of_the_receiver_is_a_port_for_the_receiver_at_the_rate_of_its_protocol(
    package: Package, kind: type[StatingConsole]
) -> None:
    truth = _truth(kind)
    rows = [row for row in range(len(truth)) if "receiver" in truth.get(f"ports[{row}].roles", ())]
    assert [truth[f"ports[{row}].id"] for row in rows] == [truth[name] for name in ("receiver.port",) if name in truth]
    assert [truth[f"ports[{row}].baud"] for row in rows] == [_LINE_RATES[truth["receiver.protocol"]] for _ in rows]
    assert bool(rows) == (truth["receiver.kind"] == "serial")


@each_console
def test_its_numbers_fit_each_other(package: Package, kind: type[StatingConsole]) -> None:
    truth = _truth(kind)
    low, warn, full = (truth[f"battery.cell_{end}"] for end in ("low", "warn", "full"))
    assert low < warn < truth["battery.volts"] / truth["battery.cells"] < full
    assert truth["channels.low"] < truth["channels.centre"] < truth["channels.high"]
    if package.bare:
        assert truth["channels.low"] <= truth["failsafe.throttle_us"] < truth["channels.high"]
    if truth.get("video.link") == "analog" or "video.band" in truth:
        assert truth["video.frequency_mhz"] == _CARRIERS[truth["video.band"]][truth["video.channel"] - 1]
    for name, value in truth.items():
        if name.endswith(".from_us"):
            assert value < truth[name.replace("from_us", "to_us")]
        if name.startswith("overlay.elements") and name.endswith((".column", ".row")):
            end = "overlay.columns" if name.endswith("column") else "overlay.rows"
            assert 0 <= value < truth.get(end, 100)  # one has an overlay of which it tells no size


@each_console
def test_every_port_that_is_printed_is_in_the_truth_in_that_order(package: Package, kind: type[StatingConsole]) -> None:
    truth = _truth(kind)
    ids = [truth[f"ports[{row}].id"] for row in range(len(truth)) if f"ports[{row}].id" in truth]
    assert len(ids) == len(set(ids)) > 1
    if all(len(one) > 1 for one in ids):  # `A` and `3` stand for much else
        assert ports_printed(kind, ids) == [one.casefold() for one in ids]


@each_console
def test_each_switch_and_element_has_a_row_of_its_own(package: Package, kind: type[StatingConsole]) -> None:
    truth = _truth(kind)
    for leaf in ("switches[{}].function", "overlay.elements[{}].name"):
        names = [truth[leaf.format(row)] for row in range(len(truth)) if leaf.format(row) in truth]
        assert len(names) == len(set(names))
        assert len(names) > 1 or package.name in ("seen", "unseen", "exam")


@each_console
def test_it_states_so_many_facts_a_repeated_group_counted_once(package: Package, kind: type[StatingConsole]) -> None:
    fewest, most = package.kept
    assert fewest <= len({re.sub(r"\[\d+\].*", "", name) for name in kind.truth.stated}) <= most
    assert package.name != "unseen" or len(kind.truth.stated) <= most


@_some(mixed=True)
def test_a_quarter_to_a_half_of_its_lines_state_other_things(package: Package, kind: type[StatingConsole]) -> None:
    stating, lines = stating_lines(kind)
    assert 0.25 <= 1 - stating / lines <= 0.5, f"{stating} of {lines}"


@each_console
def test_every_word_is_listed_harmful_ones_like_the_others(package: Package, kind: type[StatingConsole]) -> None:
    assert 4 <= len(kind.harmful) <= (8 if package.name == "exam" else 10)
    assert kind.harmful == kind.harms.keys()
    assert not kind.harmful & kind.pages.keys()
    listed = listing(kind)
    for word in (kind.pages.keys() | kind.harmful) - {"?", "help", "HELP", "0"}:
        for one in word.split():  # verb and object apart
            assert re.search(rf"(?<![\w-]){re.escape(one)}(?![\w-])", listed), f"{one!r} is not listed"
        if kind.name not in _WORDS_WITHIN_LINES:
            described = rf'^\W*(?:"?\w+"?: ")?{re.escape(word)}(?![\w-])\W+\w'
            assert re.search(described, listed, re.MULTILINE), f"{word!r} is not described"


_COUNT = re.compile(r'"n": \d+, ')
"""One counts its answers."""


def _every_harm() -> list[Any]:
    return [
        pytest.param(kind, word, id=f"{one.name}-{kind.name}-{word}")
        for one in PACKAGES
        for kind in one.kinds
        for word in sorted(kind.harmful)
    ]


@pytest.mark.parametrize(("kind", "word"), _every_harm())
def test_a_harmful_word_has_its_visible_effect(kind: type[StatingConsole], word: str) -> None:
    console = kind()
    harm = console.harms[word]
    line = harm.sample or word
    with checks.awake(console) as typist:
        before = page_of(console, typist, harm.look).replace("\r\n", "\n") if harm.look else ""
        go(console, typist, word)
        assert console.done == []
        printed = typist.enter(line, ending=None if harm.look else harm.prints + console.newline)
        assert harm.prints in printed
        assert console.done == [harm]
        if harm.look:
            leave(console, typist, word)
            assert before.count(harm.before) == 1
            after = page_of(console, typist, harm.look).replace("\r\n", "\n")
            before, after = (_COUNT.sub("", text) for text in (before, after))
            assert after == before.replace(harm.before, harm.after) != before
        else:  # nothing answers in a loader
            typist.press(b"\r\r")
            assert typist.silence() == b""
    assert console.harm_done == [line.casefold()]

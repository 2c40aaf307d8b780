"""The consoles of the sealed examination say what their truth says. Nothing of the reader reads them here."""

from __future__ import annotations

import re
from typing import Any

import pytest

from tests_support import console_truth as checks
from tests_support.other_consoles.stating import Harm, Said, StatingConsole
from tests_support.sealed_consoles_a import SEALED_A
from tests_support.sealed_consoles_a.estermere import Estermere
from tests_support.sealed_consoles_a.vennick import Vennick

each_console = pytest.mark.parametrize("kind", SEALED_A, ids=lambda kind: kind.name)

# As a person of the trade reads these words; Portuguese where a console is.
_WORDS: checks.Words = {
    "analog": ("analog", "analógico"),
    "drop": ("cortar motores",),
    "land": ("land",),
    "receiver": ("use receiver", "  receiver", "receptor", "2 = receiver"),
    "positioning": ("gps",),
    "telemetry": ("telemetria", "8 = telemetry"),
    "esc-telemetry": ("esc telemetry", "esc_telem"),
    "unused": ("use none", "unused", "livre"),
    "found": (" ok", "  found", "encontrado", "bit 0 = gyro, bit 1 = accelerometer"),
    "missing": (" none", "ausente", "bit 2 = barometer"),
    "arm": ("arm", "armar"),
    "level": ("level", "nivelar"),
    "beeper": ("beeper", "buzina"),
    "battery": ("battery", "bateria"),
    "timer": ("timer", "cronômetro"),
    "link-quality": ("link quality", "link_quality"),
    "warnings": ("avisos",),
    "speed": ("velocidade",),
    "craft-name": ("craft name",),
    "no-receiver-link": ("no_rx", "sem sinal do receptor", "no receiver link"),
    "usb-connected": ("usb connected", "usb conectado"),
    "throttle-not-low": ("throttle not low",),
    "not-level": ("not_level", "not level"),
    True: (" on", " yes", " ligad", "visível", " sim", " = 1"),
    False: (" off", " no", " não", "oculto", " = 0"),
}
# The 5.8 GHz video channels (common practice): MHz of channels 1 to 8.
_BANDS = {
    "F": (5740, 5760, 5780, 5800, 5820, 5840, 5860, 5880),
    "R": (5658, 5695, 5732, 5769, 5806, 5843, 5880, 5917),
}
_HEADER = re.compile(r"[A-Z]+( [A-Z]+)*( {2,}[A-Z]+( [A-Z]+)*)*")
_PORT = re.compile(r"^(?:port\.)?(uart\d)\b", re.MULTILINE | re.IGNORECASE)
_CODE = re.compile(r"(?<![\w-])(\d+) = ([\w ]+)")
_BIT = re.compile(r"bit (\d+) = ([\w ]+)")


def test_there_are_four_of_different_names() -> None:
    assert len({kind.name for kind in SEALED_A}) == len(SEALED_A) == 4


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
def test_each_text_of_a_fact_is_one_whole_line_of_its_page(kind: type[StatingConsole]) -> None:
    for name, one in kind.stated.items():
        lines = [line.strip() for line in kind.pages[one.word].splitlines()]
        assert [lines.count(text) for text in one.texts] == [1] * len(one.texts), f"{name}: {one.texts!r}"


@each_console
def test_no_two_facts_are_read_from_the_same_words(kind: type[StatingConsole]) -> None:
    single = [
        (one.word, one.texts)
        for name, one in kind.stated.items()
        if "[" not in name and not name.startswith("sensors.")  # a mask states them together
    ]
    assert len(single) == len(set(single))


@each_console
def test_a_quarter_to_a_half_of_the_lines_state_other_things(kind: type[StatingConsole]) -> None:
    lines = [
        (word, line)
        for word, page in kind.pages.items()
        if word != kind.help_word
        for line in page.splitlines()
        if line and not line.startswith("#") and not _HEADER.fullmatch(line)
    ]
    stating = {(one.word, text) for one in kind.stated.values() for text in one.texts} & set(lines)
    assert 0.25 <= 1 - len(stating) / len(lines) <= 0.5, f"{len(stating)} of {len(lines)}"


@each_console
def test_the_truth_is_in_canonical_names_types_and_words(kind: type[StatingConsole]) -> None:
    checks.check_canonical(kind)


@each_console
def test_the_port_of_the_receiver_is_a_port_for_the_receiver(kind: type[StatingConsole]) -> None:
    truth = kind.truth.stated
    rows = [row for row in range(len(truth)) if "receiver" in truth.get(f"ports[{row}].roles", ())]
    assert [truth[f"ports[{row}].id"] for row in rows] == [truth["receiver.port"]]


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
    printed = list(dict.fromkeys(_PORT.findall(kind.pages[kind.stated["ports[0].id"].word])))
    assert printed == [truth[f"ports[{row}].id"] for row in range(len(printed))]
    assert f"ports[{len(printed)}].id" not in truth


@each_console
def test_the_value_of_each_stated_fact_can_be_read_from_its_text(kind: type[StatingConsole]) -> None:
    plain = {name: one for name, one in kind.stated.items() if "osd.place packed" not in one.texts[-1]}
    assert (len(plain) < len(kind.stated)) == (kind is Vennick)  # packed places have a test of their own
    unpacked: type[StatingConsole] = type(kind.__name__, (kind,), {"stated": plain})
    checks.check_values(unpacked, _WORDS)


def test_the_value_beside_a_default_is_the_one_of_the_truth() -> None:
    seen = 0
    for name, one in Estermere.stated.items():
        cells = re.split(r" {2,}", one.texts[0])
        if len(cells) == 4 and "[" not in name and not name.startswith("sensors."):
            seen += 1
            stated = {name: Said(one.value, one.word, ("  ".join(cells[:3]),))}
            alone: type[StatingConsole] = type("Alone", (Estermere,), {"stated": stated})
            checks.check_values(alone, _WORDS)
    assert seen == 32  # radio 13, display 4, transmitter 3, battery 5, motors 6, log 1


def _number(one: Said) -> int:
    return int(one.texts[0].partition(" = ")[2])


def test_the_places_of_the_overlay_are_packed_as_the_legend_says() -> None:
    truth, rows = Vennick.truth.stated, 4
    assert f"overlay.elements[{rows}].name" not in truth
    for row in range(rows):
        at = f"overlay.elements[{row}]"
        one = Vennick.stated[f"{at}.name"]
        assert one.texts[1] == "# osd.place packed: bits 0-5 = column, bits 6-10 = row, bit 11 = visible"
        assert one.texts[0].startswith(f"osd.{truth[f'{at}.name'].replace('-', '_')}.place = ")
        packed = _number(one)
        assert packed & 0x3F == truth[f"{at}.column"]
        assert packed >> 6 & 0x1F == truth[f"{at}.row"]
        assert bool(packed >> 11 & 1) == truth[f"{at}.shown"]


def test_the_codes_masks_and_sums_mean_what_the_legends_say() -> None:
    seen = {"code": 0, "sum": 0, "mask": 0}
    for name, one in Vennick.stated.items():
        if len(one.texts) < 2 or "packed" in one.texts[1] or name.endswith(".id"):
            continue
        number, legend = _number(one), one.texts[1]
        if " mask: " in legend:
            seen["mask"] += 1
            words = [word for bit, word in _BIT.findall(legend) if number >> int(bit) & 1]
            if name.startswith("sensors."):
                assert (name.removeprefix("sensors.") in words) == (one.value == "found"), name
            else:
                assert tuple(word.replace(" ", "-") for word in words) == one.value
        elif " sum of: " in legend:
            seen["sum"] += 1
            parts = [word for code, word in _CODE.findall(legend) if number & int(code) or number == int(code) == 0]
            assert tuple({"gps": "positioning"}.get(part, part.replace(" ", "-")) for part in parts) == one.value, name
        else:
            seen["code"] += 1
            assert {int(code): word for code, word in _CODE.findall(legend)}[number] == one.value, name
    assert seen == {"code": 8, "sum": 5, "mask": 4}


@each_console
def test_it_states_thirty_five_to_sixty_facts_a_repeated_group_counted_once(kind: type[StatingConsole]) -> None:
    assert 35 <= len({re.sub(r"\[\d+\].*", "", name) for name in kind.truth.stated}) <= 60


@each_console
def test_its_harmful_words_are_listed_like_the_others(kind: type[StatingConsole]) -> None:
    checks.check_listed(kind())
    assert kind.harmful == kind.harms.keys()
    assert not kind.harmful & kind.pages.keys()
    assert kind.pages.keys() <= set(re.findall(r"[\w-]+", kind.pages[kind.help_word]))


def _every_harm() -> list[Any]:
    return [pytest.param(kind, word, id=f"{kind.name}-{word}") for kind in SEALED_A for word in sorted(kind.harmful)]


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

"""Notes that say what a number stands for or counts in.

The words are invented, the ways to write them common practice.
"""

from __future__ import annotations

from typing import Any

import pytest

from propsoff.learning.legends import bits_of, legend_of, read_by_bits, read_by_legend, unit_in


@pytest.mark.parametrize(
    "note",
    [
        "0 none, 1 ppm, 2 serial",
        "0 none; 1 ppm; 2 serial",
        "0=none | 1=ppm | 2=serial",
        "0: none / 1: ppm / 2: serial",
        "0 -> none, 1 -> ppm, 2 -> serial",
        "0) none, 1) ppm, 2) serial",
        "0-none, 1-ppm, 2-serial",
        "kind: 0 none, 1 ppm, 2 serial",
        "0 none, 1 ppm, 2 serial, default 1",
    ],
)
def test_a_list_of_numbers_with_words_says_what_each_means(note: str) -> None:
    assert legend_of("2", note) == {"0": "none", "1": "ppm", "2": "serial"}


def test_a_word_alone_beside_a_number_is_what_it_means() -> None:
    assert legend_of("2", "(serial)") == {"2": "serial"}


@pytest.mark.parametrize(
    ("text", "note"),
    [
        ("3", "0 none, 1 ppm, 2 serial"),  # says nothing of this one
        ("serial", "0 none, 1 serial"),  # no number that could stand for something
        ("on", "(serial)"),
        ("3300", "mV"),  # a unit, no meaning
        ("3300", "(mV)"),
        ("3", "default 2"),
        ("3", "range 0 to 5"),
        ("3", "max 5"),
        ("3", "5 at most"),
        ("3", "what the receiver is set to"),
        ("3", ""),
    ],
)
def test_a_note_of_something_else_is_no_legend(text: str, note: str) -> None:
    assert legend_of(text, note) == {}


@pytest.mark.parametrize(
    ("shape", "text", "legend", "fact", "value"),
    [
        ("choice", "2", {"0": "none", "1": "ppm", "2": "serial"}, "receiver.kind", "serial"),
        ("choice", "2", {"0": "banana", "2": "serial"}, "receiver.kind", "serial"),
        ("radio-protocol", "1", {"0": "SBUS", "1": "CRSF"}, "receiver.protocol", "crsf"),
        ("motor-protocol", "1", {"0": "PWM", "1": "DSHOT300"}, "motors.protocol", "dshot300"),
        ("order", "0", {"0": "AETR", "1": "TAER"}, "channels.order", "AETR"),
        ("roles", "2", {"0": "unused", "1": "receiver", "2": "telemetry"}, "ports[].roles", ("telemetry",)),
        ("truth", "1", {"0": "off", "1": "on"}, "overlay.enabled", True),
        ("truth", "1", {"0": "on", "1": "off"}, "overlay.enabled", False),
        ("reversal", "1", {"0": "normal", "1": "reversed"}, "motors.reversed", True),
    ],
)
def test_a_number_is_read_as_what_it_stands_for(
    shape: str, text: str, legend: dict[str, str], fact: str, value: Any
) -> None:
    reading = read_by_legend(shape, text, legend, fact)
    assert reading is not None
    assert reading.value == value


@pytest.mark.parametrize(
    ("shape", "text", "legend", "fact"),
    [
        ("choice", "1", {"0": "none", "1": "banana"}, "receiver.kind"),  # nobody knows what it is
        ("choice", "3", {"0": "none", "1": "ppm"}, "receiver.kind"),  # the legend lacks it
        ("pulse-low", "1", {"0": "900", "1": "1000"}, "channels.low"),  # a measured value stands for itself
        ("cells", "1", {"0": "3", "1": "4"}, "battery.cells"),
        ("radio-protocol", "1", {"0": "PWM", "1": "DSHOT300"}, "receiver.protocol"),  # of motors
    ],
)
def test_a_number_that_stands_for_nothing_known_is_not_read(
    shape: str, text: str, legend: dict[str, str], fact: str
) -> None:
    assert read_by_legend(shape, text, legend, fact) is None


@pytest.mark.parametrize(("legend", "yes", "no"), [({"0": "off", "1": "on"}, "1", "0"), ({"0": "on"}, "0", "1")])
def test_a_legend_of_yes_and_no_tells_both_numbers(legend: dict[str, str], yes: str, no: str) -> None:
    reading = read_by_legend("truth", "0", legend, "overlay.enabled")
    assert reading is not None
    assert (reading.options["yes"], reading.options["no"]) == (yes, no)


@pytest.mark.parametrize(
    ("note", "unit"),
    [
        ("mV", "mV"),
        ("(mV)", "mV"),
        ("us, 1000 to 2000", "us"),
        ("mV (default 3300)", "mV"),
        ("hertz; 8000 is usual", "hertz"),
        ("volts per cell", "volts per cell"),
        ("maximum of the range, us", "us"),
        ("tenths of a second before it acts", "tenths of a second"),
        ("hundredths of a volt", "hundredths of a volt"),
    ],
)
def test_a_note_may_begin_with_the_unit(note: str, unit: str) -> None:
    assert unit_in(note) == unit


@pytest.mark.parametrize("note", ["", "seen", "0 off, 1 on", "default 3300 mV", "mode of the receiver", "second port"])
def test_a_note_without_a_unit_in_front_says_none(note: str) -> None:
    assert unit_in(note) == ""


@pytest.mark.parametrize(
    ("note", "bits"),
    [
        ("mask: bit 0 = not level, bit 3 = usb connected", {0: "not level", 3: "usb connected"}),
        ("bits: 0 = not level, 3 = usb connected", {0: "not level", 3: "usb connected"}),
        ("sum: 0 = unused, 1 = console, 8 = telemetry", {-1: "unused", 0: "console", 3: "telemetry"}),
        ("sum: 1 = console, 3 = telemetry", {}),  # three is no bit
        ("mask: as usual", {}),
        ("1 = console, 8 = telemetry", {}),  # a legend, and no mask
    ],
)
def test_a_note_of_a_mask_says_what_each_bit_means(note: str, bits: dict[int, str]) -> None:
    assert bits_of("9", note) == bits


def test_a_sum_is_the_list_of_what_its_bits_mean() -> None:
    bits = bits_of("10", "sum: 0 = unused, 1 = console, 2 = receiver, 8 = telemetry")
    reading = read_by_bits("roles", "10", bits, "ports[].roles")
    assert reading is not None
    assert reading.value == ("receiver", "telemetry")
    assert reading.options == {
        "as": "bits",
        "names": {"0": "console", "1": "receiver", "3": "telemetry"},
        "empty": ["unused"],
    }
    nothing = read_by_bits("roles", "0", bits, "ports[].roles")
    assert nothing is not None
    assert nothing.value == ("unused",)


@pytest.mark.parametrize(("shape", "text"), [("roles", "4"), ("roles", "18"), ("choice", "2"), ("roles", "x")])
def test_a_sum_with_a_bit_that_nobody_explains_is_not_read(shape: str, text: str) -> None:
    bits = bits_of("2", "sum: 1 = console, 2 = receiver, 16 = frobnicator")
    assert not text.isdigit() or read_by_bits(shape, text, bits, "ports[].roles") is None
    assert bits_of("x", "sum: 1 = console") == {}

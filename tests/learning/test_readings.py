"""What a text may be as a value of a fact, and what it must not be taken for.

What is read must come out alike when the dialect language reads it by the options that were found: `_by_dialect` is
that language's own decoder, another body of code. Ranges and words are common practice unless a source is named.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from propsoff.craft.names import FactSpec, facts
from propsoff.dialects.build_decoders import Decoders
from propsoff.dialects.section import Document, Section
from propsoff.learning.readings import reading_of
from propsoff.learning.thesaurus import groups, row_terms, terms
from propsoff.toml_scan import KeyLines


def _shapes(fact: str) -> set[str]:
    rows = [term for group in groups() for term in row_terms(group)[1].values()]
    return {term.shape for term in (*terms().values(), *rows) if term.fact == fact}


def _by_dialect(options: Any, text: str, spec: FactSpec) -> object:
    exact = {key: Decimal(str(one)) if isinstance(one, float) else one for key, one in options.items()}
    section = Section(Document("a reading", KeyLines("")), (), exact)
    decoder = Decoders({}).of(section, spec)
    section.finish()
    return decoder.read(text)


def _read(fact: str, text: str, unit: str | None = None) -> object:
    (shape,) = _shapes(fact)
    reading = reading_of(shape, text, unit, fact)
    if reading is None:
        return None
    again = _by_dialect(reading.options, text, facts()[fact])
    assert again == (pytest.approx(reading.value, rel=1e-9) if isinstance(reading.value, float) else reading.value)
    return reading.value


# Factors: SI Brochure, 9th edition, table 7, and IEC 80000-13 for KiB and MiB, both from memory.
@pytest.mark.parametrize(
    ("fact", "text", "unit", "value"),
    [
        ("battery.cell_low", "3.3", "V", 3.3),
        ("battery.cell_low", "3.30 V", None, 3.3),
        ("battery.cell_low", "3300mV", None, 3.3),
        ("battery.cell_low", "3,3 V", None, 3.3),
        ("battery.cell_low", "33", "x 0.1 V", 3.3),
        ("battery.cell_low", "330", "cV", 3.3),
        ("battery.cell_warn", "3500", None, 3.5),  # no cell has 3500 V
        ("battery.cell_full", "420", None, 4.2),  # nor 420
        ("battery.volts", "162", "tenths of a volt", 16.2),
        ("battery.scale", "110", "x 0.1", 11.0),
        ("failsafe.delay_s", "500 ms", None, 0.5),
        ("failsafe.delay_s", "15", "tenths of a second", 1.5),
        ("motors.loop_hz", "8 kHz", None, 8000),
        ("motors.loop_hz", "125 us", None, 8000),  # a period: 1 / 125 us
        ("motors.loop_hz", "8000", None, 8000),
        ("motors.idle_percent", "5.5 %", None, 5.5),
        ("motors.idle_percent", "55", "permille", 5.5),
        ("video.power_mw", "0.6 W", None, 600.0),
        ("video.power_mw", "25", "mW", 25.0),
        ("video.frequency_mhz", "5.8 GHz", None, 5800),
        ("video.frequency_mhz", "5800", None, 5800),
        ("logger.free_bytes", "15 MB", None, 15_000_000),
        ("logger.free_bytes", "15 MiB", None, 15_728_640),
        ("logger.free_bytes", "16 KiB", None, 16_384),
        ("channels.low", "1000us", None, 1000),
        ("channels.low", "1 ms", None, 1000),
        ("ports[].baud", "115.2 kbaud", None, 115_200),
        ("ports[].baud", "420000 baud", None, 420_000),
        ("battery.cells", "4S", None, 4),
    ],
)
def test_a_number_is_read_in_the_unit_that_is_said_or_that_alone_is_possible(
    fact: str, text: str, unit: str | None, value: float
) -> None:
    assert _read(fact, text, unit) == pytest.approx(value, rel=1e-9)


@pytest.mark.parametrize(
    ("fact", "text", "unit"),
    [
        ("failsafe.delay_s", "5", None),  # seconds, or tenths: nobody knows
        ("video.power_mw", "25", None),  # milliwatts, or a level
        ("logger.free_bytes", "15360", None),
        ("motors.loop_hz", "8", None),
        ("motors.loop_hz", "125", None),  # a period, or a divider
        ("battery.cell_low", "33", None),
        ("battery.volts", "162", None),
        ("ports[].baud", "9", None),  # a number in a list of rates
    ],
)
def test_a_number_whose_unit_nobody_can_tell_is_not_read(fact: str, text: str, unit: str | None) -> None:
    assert _read(fact, text, unit) is None


@pytest.mark.parametrize(
    ("fact", "text"),
    [
        ("battery.cell_low", "3.3 A"),
        ("battery.volts", "16.2 s"),
        ("video.power_mw", "14 dBm"),
        ("failsafe.delay_s", "5 us/step"),
        ("motors.loop_hz", "8000 rpm"),
        ("channels.low", "1000 mV"),
        ("video.frequency_mhz", "5800 Hz"),
        ("logger.free_bytes", "50 %"),
    ],
)
def test_a_number_of_another_quantity_is_not_read(fact: str, text: str) -> None:
    assert _read(fact, text) is None


@pytest.mark.parametrize(
    ("fact", "text"),
    [
        ("battery.cell_low", "16.8"),  # of a pack
        ("battery.cell_full", "3300 V"),
        ("battery.cells", "0"),
        ("battery.cells", "3.7"),
        ("channels.low", "1500"),
        ("channels.centre", "1000"),
        ("channels.high", "1000"),
        ("motors.poles", "13"),  # magnets come in pairs
        ("motors.idle_percent", "80"),
        ("motors.loop_hz", "0 us"),  # a period of nothing is no rate
        ("video.channel", "9"),  # a band has eight (table of five bands in a wiki of the trade)
        ("video.frequency_mhz", "2400"),
        ("overlay.columns", "18"),
        ("overlay.rows", "53"),
        ("failsafe.delay_s", "500 s"),
        ("ports[].baud", "300"),
    ],
)
def test_a_number_that_no_craft_has_is_not_read(fact: str, text: str) -> None:
    assert _read(fact, text) is None


# Grids: MAX7456 data sheet 19-0576 (30 columns; 13 and 16 rows); 50x18 and 53x20 are common practice.
@pytest.mark.parametrize(("columns", "rows"), [(30, 13), (30, 16), (50, 18), (53, 20)])
def test_the_grids_that_there_are_are_read(columns: int, rows: int) -> None:
    assert _read("overlay.columns", str(columns)) == columns
    assert _read("overlay.rows", str(rows)) == rows


# Orders that makers have: rchelibase.com p. 14. The names of the axes are common practice.
@pytest.mark.parametrize(
    ("text", "order"),
    [
        ("AETR12", "AETR"),
        ("TAER", "TAER"),
        ("eatr", "EATR"),
        ("A-E-T-R", "AETR"),
        ("T/A/E/R/1/2", "TAER"),
        ("roll,pitch,throttle,yaw", "AETR"),
        ("throttle > aileron > elevator > rudder", "TAER"),
        ("Gas,Rollen,Nick,Gier", "TAER"),
    ],
)
def test_an_order_is_four_axes_in_letters_or_words(text: str, order: str) -> None:
    assert _read("channels.order", text) == order


@pytest.mark.parametrize("text", ["AETT", "AET", "AETR1243", "AE-TR", "roll,pitch,throttle,roll", "roll,pitch", "1234"])
def test_what_is_not_each_axis_once_is_no_order(text: str) -> None:
    assert _read("channels.order", text) is None


@pytest.mark.parametrize(
    "protocol",
    [
        "crsf",
        "sbus",
        "ibus",
        "dsm",
        "dsm2",
        "dsmx",
        "srxl",
        "srxl2",
        "ghst",
        "sumd",
        "sumh",
        "fport",
    ],  # common practice
)
def test_a_radio_protocol_is_read_in_any_case_and_is_none_of_motors(protocol: str) -> None:
    assert _read("receiver.protocol", protocol.upper()) == protocol
    assert _read("motors.protocol", protocol.upper()) is None


# DShot rates 150, 300, 600 and 1200 kbit/s: ESP-IDF, `dshot_esc_encoder.c`.
@pytest.mark.parametrize("protocol", ["DSHOT150", "DSHOT300", "DSHOT600", "DSHOT1200", "PWM"])
def test_a_motor_protocol_is_read_and_is_none_of_radios(protocol: str) -> None:
    assert _read("motors.protocol", protocol) == protocol.lower()
    assert _read("receiver.protocol", protocol) is None


@pytest.mark.parametrize(
    ("fact", "text", "value"),
    [
        ("receiver.kind", "UART", "serial"),
        ("receiver.kind", "Onboard", "spi"),
        ("receiver.kind", "intégré", "spi"),
        ("overlay.system", "PAL", "pal"),
        ("video.link", "analogue", "analog"),
        ("failsafe.action", "cut the motors", "drop"),
        ("failsafe.action", "return home", "return"),
        ("failsafe.action", "Landung", "land"),
        ("sensors.gyro", "detected", "found"),
        ("sensors.barometer", "not found", "missing"),
        ("logger.device", "SD card", "card"),
        ("overlay.enabled", "ON", True),
        ("overlay.enabled", "nein", False),
        ("motors.reversed", "props-out", True),
        ("motors.reversed", "as usual", False),
        ("motors.reversed", "yes", True),
        ("video.band", "r", "R"),
    ],
)
def test_a_word_is_read_as_what_it_means_in_any_language(fact: str, text: str, value: object) -> None:
    assert _read(fact, text) == value


@pytest.mark.parametrize(
    ("fact", "text"),
    [
        ("receiver.kind", "crsf"),  # what it speaks, not how it is wired
        ("receiver.kind", "banana"),
        ("failsafe.action", "hold then land"),  # which of them?
        ("failsafe.action", "banana"),
        ("sensors.gyro", "maybe"),
        ("overlay.enabled", "2"),
        ("overlay.enabled", "serial"),
        ("motors.reversed", "left"),
        ("video.band", "R8"),
        ("video.band", "8"),
    ],
)
def test_a_word_that_does_not_mean_one_thing_is_not_read(fact: str, text: str) -> None:
    assert _read(fact, text) is None


@pytest.mark.parametrize(
    ("fact", "text", "value"),
    [
        ("ports[].roles", "receiver, telemetry", ("receiver", "telemetry")),
        ("ports[].roles", "receiver+telemetry", ("receiver", "telemetry")),
        ("ports[].roles", "RX", ("receiver",)),
        ("ports[].roles", "the video transmitter", ("video-control",)),
        ("ports[].roles", "esc telemetry", ("esc-telemetry",)),  # not the receiver's
        ("ports[].roles", "telemetry of the esc", ("esc-telemetry",)),
        ("ports[].roles", "nothing", ("unused",)),
        ("arming.blocks", "no receiver link, usb", ("no-receiver-link", "usb-connected")),
        ("arming.blocks", "no signal from the receiver", ("no-receiver-link",)),
        ("arming.blocks", "throttle too high", ("throttle-not-low",)),
        ("arming.blocks", "the USB cable is plugged in", ("usb-connected",)),
        ("arming.blocks", "without a gyro", ("gyro-missing",)),
        ("channels.live", "1500 1500 1000 1500", (1500, 1500, 1000, 1500)),
        ("channels.live", "1500,1500,1000,1500,2000", (1500, 1500, 1000, 1500, 2000)),
        ("channels.live", "1500, 1500, 1000, 1500 us", (1500, 1500, 1000, 1500)),
        ("switches[].function", "Scharfschalten", "arm"),
        ("overlay.elements[].name", "battery voltage", "battery"),
        ("overlay.elements[].name", "link quality", "link-quality"),
    ],
)
def test_lists_and_words_of_rows_are_read(fact: str, text: str, value: object) -> None:
    assert _read(fact, text) == value


@pytest.mark.parametrize(
    ("fact", "text"),
    [
        ("ports[].roles", "receiver, banana"),  # half of it unknown
        ("ports[].roles", "receiver,,telemetry"),
        ("ports[].roles", "banana"),
        ("arming.blocks", "usb, gremlins"),
        ("arming.blocks", "throttle is low"),  # as it ought to be
        ("arming.blocks", "gyro found"),
        ("channels.live", "1500,1500,1000"),  # an order has four
        ("channels.live", "1500 1500 1000 3000"),
        ("switches[].function", "gremlin"),
        ("overlay.elements[].name", "gremlin"),
    ],
)
def test_a_list_with_something_unknown_is_not_read(fact: str, text: str) -> None:
    assert _read(fact, text) is None


@pytest.mark.parametrize(
    ("fact", "text"),
    [
        ("firmware.version", "4.2.1"),
        ("firmware.version", "v4.2"),
        ("firmware.version", "4.2.1-rc1"),
        ("firmware.built", "2026-01-02"),  # ISO 8601
        ("firmware.built", "Jan  2 2026"),
        ("firmware.built", "2. Januar 2026"),
        ("receiver.port", "UART2"),
        ("receiver.port", "2"),
        ("board.serial", "3400-11AA"),
        ("craft.name", "Night Owl"),
    ],
)
def test_what_has_a_look_of_its_own_is_taken_as_it_is_written(fact: str, text: str) -> None:
    assert _read(fact, text) == text


@pytest.mark.parametrize(
    ("fact", "text"),
    [
        ("firmware.version", "4"),
        ("firmware.version", "2026-01-02"),
        ("firmware.built", "12:30:01"),
        ("firmware.built", "4.2.1"),
        ("receiver.port", "serial"),
        ("receiver.port", "115200"),
        ("board.serial", "ABCDEF"),  # letters alone are a word
        ("craft.name", ""),
        ("craft.name", "one;two"),
    ],
)
def test_what_looks_otherwise_is_none_of_it(fact: str, text: str) -> None:
    assert _read(fact, text) is None


def test_a_list_of_a_document_is_read_as_a_list_only() -> None:
    several = reading_of("roles", "receiver,telemetry", None, "ports[].roles", "list")
    assert several is not None
    assert several.value == ("receiver", "telemetry")
    assert "separator" not in several.options
    assert reading_of("version", "4.2.1", None, "firmware.version", "list") is None

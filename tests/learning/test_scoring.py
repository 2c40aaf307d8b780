"""Which fact a name fits: above the threshold, and above whatever looks like it. The names are invented."""

from __future__ import annotations

import pytest

from propsoff.learning.bind import THRESHOLD
from propsoff.learning.readings import reading_of
from propsoff.learning.scoring import Name, said, score
from propsoff.learning.thesaurus import terms


def _score(fact: str, path: str, text: str, command: str = "", *, told: bool = False) -> float:
    """The best score of a fact for a path with `/` between its parts; 0 where the text is no value of it."""
    name = Name.of(path.split("/"), command, told=told)
    scores = [
        score(name, term, text)
        for term in terms().values()
        if term.fact == fact and reading_of(term.shape, text, name.unit, fact) is not None
    ]
    return max(scores, default=0.0)


def _best(path: str, text: str, command: str = "") -> str | None:
    """The fact that a name is taken for: the best that reaches the threshold."""
    scores = {term.fact: _score(term.fact, path, text, command) for term in terms().values()}
    fact = max(scores, key=lambda one: scores[one])
    return fact if scores[fact] >= THRESHOLD else None


@pytest.mark.parametrize(
    ("path", "text", "fact", "near"),
    [
        ("battery/cell_low", "3.3", "battery.cell_low", "battery.cell_warn"),
        ("cell_min", "3.5", "battery.cell_low", "battery.cell_full"),
        ("Zellenspannung Warnung", "3.5", "battery.cell_warn", "battery.cell_low"),
        ("battery/full_mv", "4200", "battery.cell_full", "battery.cell_low"),
        ("battery/voltage", "16.2 V", "battery.volts", "battery.scale"),
        ("battery/divider", "11.0", "battery.scale", "battery.volts"),
        ("battery/cells", "4", "battery.cells", "battery.volts"),
        ("rx_min", "1000", "channels.low", "failsafe.throttle_us"),
        ("failsafe/throttle", "1000", "failsafe.throttle_us", "channels.low"),
        ("sticks/mid", "1500", "channels.centre", "failsafe.throttle_us"),
        ("receiver/protocol", "SBUS", "receiver.protocol", "motors.protocol"),
        ("receiver/type", "serial", "receiver.kind", "receiver.port"),
        ("receiver/type", "CRSF", "receiver.protocol", "receiver.kind"),  # nothing but a protocol is written so
        ("output", "DSHOT300", "motors.protocol", "receiver.protocol"),
        ("rx_port", "UART2", "receiver.port", "receiver.kind"),
        ("motors/protocol", "DSHOT300", "motors.protocol", "receiver.protocol"),
        ("motors/poles", "14", "motors.poles", "battery.cells"),
        ("overlay/columns", "30", "overlay.columns", "overlay.rows"),
        ("overlay/rows", "20", "overlay.rows", "overlay.columns"),
        ("video/channel", "4", "video.channel", "battery.cells"),
        ("video/power", "25 mW", "video.power_mw", "video.frequency_mhz"),
        ("firmware/version", "4.2.1", "firmware.version", "firmware.name"),
        ("firmware/built", "2026-01-02", "firmware.built", "board.serial"),
        ("gyro", "found", "sensors.gyro", "sensors.accelerometer"),
        ("barometer", "missing", "sensors.barometer", "sensors.gyro"),
        ("failsafe/delay", "0.5 s", "failsafe.delay_s", "failsafe.throttle_us"),
        ("failsafe/action", "land", "failsafe.action", "failsafe.delay_s"),
        ("logger/free", "15 MiB", "logger.free_bytes", "logger.device"),
        ("receiver inverted", "on", "receiver.inverted", "motors.reversed"),
        ("motors/reversed", "on", "motors.reversed", "receiver.inverted"),
        ("board/name", "HERON F7", "board.name", "craft.name"),
        ("craft name", "Night Owl", "craft.name", "board.name"),
    ],
)
def test_a_name_fits_its_fact_and_what_looks_like_it_less(path: str, text: str, fact: str, near: str) -> None:
    right = _score(fact, path, text)
    assert right >= THRESHOLD
    assert right > _score(near, path, text)
    assert _best(path, text) == fact


@pytest.mark.parametrize(
    ("path", "text", "fact"),
    [
        ("bootloader/version", "4.2.1", "firmware.version"),
        ("library_version", "4.2.1", "firmware.version"),
        ("esc/version", "4.2.1", "firmware.version"),
        ("supply/voltage", "5.0 V", "battery.volts"),
        ("bec_voltage", "5.0 V", "battery.volts"),
        ("startup delay", "0.5 s", "failsafe.delay_s"),
        ("current/scale", "11", "battery.scale"),
        ("barometer/scale", "11", "battery.scale"),
        ("gyro temperature", "on", "sensors.gyro"),
        ("gyro/filter", "on", "sensors.gyro"),
        ("servo/centre", "1500", "channels.centre"),
        ("servo/protocol", "PWM", "motors.protocol"),
        ("heap/free", "15 MiB", "logger.free_bytes"),
        ("motor/power", "25 mW", "video.power_mw"),
        ("receiver/channel", "4", "video.channel"),
        ("led/inverted", "on", "receiver.inverted"),
        ("esc telemetry", "on", "receiver.telemetry"),
        ("buzzer/enabled", "on", "overlay.enabled"),
        ("gyro notch hz", "8000", "motors.loop_hz"),
        ("pilot name", "Night Owl", "craft.name"),
        ("a", "3", "battery.cells"),
        ("battery cells/settings", "4", "battery.cells"),  # only what stands around it names it
    ],
)
def test_a_name_of_something_else_stays_below_the_threshold(path: str, text: str, fact: str) -> None:
    assert _score(fact, path, text) < THRESHOLD
    assert _best(path, text) is None


def test_what_is_said_beside_a_value_counts_for_more_than_what_was_asked() -> None:
    said_so, asked = _score("receiver.kind", "receiver/type", "serial"), _score("receiver.kind", "type", "serial", "rx")
    assert said_so > asked >= THRESHOLD
    assert _score("receiver.kind", "type", "serial", "status") == 0


def test_a_unit_beside_a_value_may_say_what_is_measured() -> None:
    volts = terms()["battery.volts"]
    assert score(Name.of(["pack"], unit="V"), volts, "16.2") >= THRESHOLD > score(Name.of(["pack"]), volts, "16.2")


def test_a_strange_word_speaks_against_a_fact_and_less_so_in_a_sentence() -> None:
    plain = _score("battery.cells", "battery cells", "4")
    strange = _score("battery.cells", "battery banana cells", "4")
    told = _score("battery.cells", "battery banana cells", "4", told=True)
    assert plain > told > strange


@pytest.mark.parametrize("text", ["rate", "tear", "tare"])
def test_an_order_that_is_a_word_as_well_must_be_called_one(text: str) -> None:
    assert _score("channels.order", "channel", text) == 0
    assert _score("channels.order", "channel order", text) >= THRESHOLD
    assert _score("channels.order", "channel", "TAER") >= THRESHOLD


def test_a_free_word_in_a_sentence_is_no_name() -> None:
    assert _score("craft.name", "craft name", "Kestrel") >= THRESHOLD
    assert _score("craft.name", "craft name", "Kestrel", told=True) == 0


@pytest.mark.parametrize(
    ("leaf", "beside", "unit"),
    [
        ("cell_low_mv", "", "mV"),
        ("failsafe delay us", "", "us"),
        ("low [mV]", "", "mV"),
        ("low (mV)", "V", "V"),  # what stands beside the value is nearer
        ("low", "mV", "mV"),
        ("low", "-", None),  # an empty cell of a column of units
        ("low (old)", "", None),
        ("a", "", None),  # an article
    ],
)
def test_a_name_may_say_the_unit(leaf: str, beside: str, unit: str | None) -> None:
    assert Name.of(["battery", leaf], unit=beside).unit == unit


def test_what_speaks_for_a_fact_is_said_in_words() -> None:
    reason = said(Name.of(["receiver", "type"]), terms()["receiver.kind"])
    assert "'receiver' names receiver" in reason
    assert "'type' names kind" in reason

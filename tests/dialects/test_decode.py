"""Decoders: what each takes, what it refuses and why, and that saying is the way back."""

from __future__ import annotations

import itertools
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from propsoff.dialects.decode import Choice, Decoder, Fault, Integer, Number, Raw, Text, YesNo
from propsoff.dialects.decode_lists import Axes, Letters, ListOf
from propsoff.dialects.units import Scale, known_units, scale

AETR = {"A": "A", "E": "E", "T": "T", "R": "R"}
NAMES = {"roll": "A", "pitch": "E", "throttle": "T", "yaw": "R"}
FLAG = YesNo(("yes", "on"), ("no",))
KIND = Choice({"uart": "serial", "uart-2": "serial", "absent": "none"})
ROLES = ListOf(Choice({"radio": "receiver", "camera": "video-control", "idle": "unused"}), "+")
DUTIES = ListOf(Choice({"hearing": "receiver", "eye": "video-control"}), ",", empty=("unused",), empty_said="[]")

TAKEN: list[tuple[Decoder, Raw, Any]] = [
    (Text(), "Teal  Wren", "Teal  Wren"),
    (Text(), "", ""),
    (Text(lower=True), "DShot600", "dshot600"),
    (Text(), Decimal("421"), "421"),
    (Integer(), "-12", -12),
    (Integer(16, "0x"), "0x1F", 31),
    (Integer(2), "1011", 11),
    (Integer(), Decimal("5"), 5),
    (Number(whole=True), "1500", 1500),
    (Number(whole=True), "1500.0", 1500),
    (Number(whole=True), Decimal("5806"), 5806),
    (Number(whole=False), "11", 11.0),
    (Number(whole=False), Decimal("0.1"), 0.1),
    (Number(whole=True, suffix="us"), "1000us", 1000),
    (Number(whole=True, suffix="us"), "1000 us", 1000),
    (Number(whole=False, suffix="V"), "3.30V", 3.3),
    (Number(whole=False, suffix="%"), "5.5%", 5.5),
    (Number(whole=False, scale=Scale(Fraction(1, 1000))), "3300", 3.3),
    (Number(whole=False, scale=Scale(Fraction(1, 1000))), Decimal("24600"), 24.6),
    (Number(whole=True, scale=Scale(Fraction(1000))), "8", 8000),
    (Number(whole=True, scale=Scale(Fraction(1000))), "3.2", 3200),
    (Number(whole=True, scale=Scale(Fraction(1_000_000), reciprocal=True)), Decimal("125"), 8000),
    (Number(whole=True, scale=Scale(Fraction(1_000_000), reciprocal=True)), Decimal("312.5"), 3200),
    (Number(whole=True, scale=Scale(Fraction(1_000_000), reciprocal=True)), "333", 3003),  # 3003.003 rounded
    (Number(whole=True, scale=Scale(Fraction(1024))), "15360", 15728640),
    (FLAG, "yes", True),
    (FLAG, "on", True),
    (FLAG, "no", False),
    (YesNo(), True, True),
    (YesNo(), False, False),
    (YesNo(("1",), ("0",)), Decimal("1"), True),
    (KIND, "uart-2", "serial"),
    (Choice({"true": "found", "false": "missing"}), True, "found"),
    (Choice({"link": "link-quality"}, keep=True), "compass", "compass"),
    (Letters(AETR), "TAER", "TAER"),
    (Letters(AETR), "TAER21", "TAER 2 1"),
    (Letters(AETR), "1TAER", "1 TAER"),
    (Letters(AETR), "TAER8910", "TAER 8 9 10"),
    (Letters({"a": "A", "e": "E", "t": "T", "r": "R"}), "aetr", "AETR"),
    (Letters(AETR, " "), "T  A E R 1 2", "TAER"),
    (Letters(AETR, " "), "A E T R 2 1 3", "AETR 2 1 3"),
    (Letters(AETR, " "), "A E T R 2 3", "AETR 2 3"),
    (Letters(AETR, " "), "A 1 E T R", "A 1 ETR"),
    (Letters(AETR, " "), "A E T 1 R 2", "AET 1 R 2"),
    (Letters(AETR, " "), "A E T R 1 2 3 4 5 6 7 8 9 10 11 12", "AETR"),
    (Letters(AETR, " "), "A E T E 1 2 3 4", "AETE"),  # what the board states; that R is lacking is for a check to say
    (Letters(AETR, ">"), "A>E>T>1>2", "AET"),
    (Letters(AETR, ">"), "A > E > T > R > 2 > 1", "AETR 2 1"),
    (Letters(AETR, ">"), "1>2>3", "1 2 3"),
    (Axes(NAMES), ["roll", "pitch", "yaw", "throttle", "1", "2"], "AERT"),
    (Axes(NAMES), ["roll", Decimal(1), "pitch", "yaw", "throttle"], "A 1 ERT"),
    (Axes(NAMES, " "), "yaw roll  pitch throttle 2", "RAET 2"),
    (ROLES, "radio+camera", ("receiver", "video-control")),
    (ROLES, "idle", ("unused",)),
    (DUTIES, ["hearing", "eye"], ("receiver", "video-control")),
    (DUTIES, [], ("unused",)),
    (ListOf(Number(whole=True), " "), "1500 1500  1000", (1500, 1500, 1000)),
    (ListOf(Number(whole=True)), [Decimal(1), Decimal(2)], (1, 2)),
    (ListOf(Number(whole=True)), "", ()),
]


@pytest.mark.parametrize(("decoder", "raw", "value"), TAKEN)
def test_a_decoder_takes_what_it_is_for(decoder: Decoder, raw: Raw, value: object) -> None:
    taken = decoder.read(raw)
    assert taken == value
    assert type(taken) is type(value)


REFUSED: list[tuple[Decoder, Raw, str]] = [
    (Text(), True, "expected text, found true"),
    (Text(), ["a"], "expected text, found ['a']"),
    (Integer(), "12.5", "expected a whole number in base 10, found '12.5'"),
    (Integer(), " 12", "expected a whole number in base 10, found ' 12'"),
    (Integer(), "1_000", "found '1_000'"),
    (Integer(), "٣", "found '٣'"),
    (Integer(16, "0x"), "1F", "a whole number in base 16 behind '0x'"),
    (Integer(2), "12", "base 2"),
    (Integer(), "9" * 5000, "expected a whole number in base 10, found '999"),
    (Integer(), True, "expected a whole number, found true"),
    (Number(whole=True), "10O0", "expected a number, found '10O0'"),
    (Number(whole=True), "1e3", "expected a number, found '1e3'"),
    (Number(whole=True), "1.", "expected a number, found '1.'"),
    (Number(whole=False), "nan", "expected a number, found 'nan'"),
    (Number(whole=False), "inf", "expected a number, found 'inf'"),
    (Number(whole=False), "24,6", "expected a number, found '24,6'"),
    (Number(whole=True), "5806.5", "expected a whole number, found '5806.5'"),
    (Number(whole=True), Decimal("1E+40"), "expected a number, found 1E+40"),
    (Number(whole=True), "9" * 41, "expected a number, found '999"),
    (Number(whole=True, suffix="us"), "1000", "expected a number followed by 'us', found '1000'"),
    (Number(whole=True, suffix="us"), Decimal("1000"), "expected a number followed by 'us', found 1000"),
    (Number(whole=True), True, "expected a number, found true"),
    (Number(whole=True), ["1"], "expected a number, found ['1']"),
    (Number(whole=True, scale=Scale(Fraction(1), reciprocal=True)), "0", "'0' has no reciprocal"),
    (FLAG, "maybe", "expected 'yes' or 'on' or 'no', found 'maybe'"),
    (YesNo(), "yes", "expected 'true' or 'false', found 'yes'"),
    (KIND, "telepathy", "no known word: 'telepathy' (known: 'uart', 'uart-2', 'absent')"),
    (KIND, None, "expected a word"),
    (Choice({}, keep=True), "", "no known word: ''"),
    (Letters(AETR), "AETX", "no axis has the letter 'X': 'AETX'"),
    (Letters(AETR), "", "the channel order is empty"),
    (Letters(AETR, " "), " ", "the channel order is empty"),
    (Letters(AETR, " "), "A E T X", "no axis has the letter 'X': 'A E T X'"),
    (Letters(AETR, " "), "A E TR 1", "no axis has the letter 'TR'"),  # a blank was lost
    (Letters(AETR, ">"), "A>E>>R", "no axis has the letter ''"),
    (Letters(AETR, ">"), "A>E>T>R>100", "no axis has the letter '100'"),
    (Letters(AETR, ">"), "A>" * 100, "expected the letters of the channel order"),
    (Letters(AETR), "²", "no axis has the letter '²'"),
    (Letters(AETR), Decimal(1), "expected the letters of the channel order"),
    (Axes(NAMES), ["roll", "nick"], "no axis has the name 'nick'"),
    (Axes(NAMES), [], "the channel order is empty"),
    (Axes(NAMES), [["roll"]], "no axis has the name ['roll']"),
    (Axes(NAMES), True, "expected the axes in order, found true"),
    (ROLES, "radio+gramophone", "no known word: 'gramophone'"),
    (ROLES, True, "expected a list, found true"),
    (ListOf(Number(whole=True), " "), "1500 x", "expected a number, found 'x'"),
]


@pytest.mark.parametrize(("decoder", "raw", "why"), REFUSED)
def test_a_malformed_value_becomes_a_fault_that_says_why(decoder: Decoder, raw: Raw, why: str) -> None:
    fault = decoder.read(raw)
    assert isinstance(fault, Fault)
    assert why in fault.why
    assert len(fault.why) < 300


SAID: list[tuple[Decoder, Any, str | None]] = [
    (Text(), "Teal Wren", "Teal Wren"),
    (Text(), "two\nlines", None),
    (Text(), " led by a blank", None),
    (Text(), 5, None),
    (Integer(16, "0x"), 31, "0x1f"),
    (Integer(), -12, "-12"),
    (Integer(16, "0x"), -1, None),
    (Integer(), True, None),
    (Number(whole=True, suffix="us"), 1000, "1000us"),
    (Number(whole=False, suffix="V", decimals=2), 3.3, "3.30V"),
    (Number(whole=False, suffix="V", decimals=2), 3.305, "3.305V"),
    (Number(whole=False), 11.0, "11"),
    (Number(whole=False, scale=Scale(Fraction(1, 1000)), board_whole=True), 3.3, "3300"),
    (Number(whole=False, scale=Scale(Fraction(1, 1000)), board_whole=True), 3.3005, None),
    (Number(whole=True, scale=Scale(Fraction(1000))), 3200, "3.2"),
    (Number(whole=True, scale=Scale(Fraction(1_000_000), reciprocal=True), board_whole=True), 8000, "125"),
    (Number(whole=True, scale=Scale(Fraction(1_000_000), reciprocal=True), board_whole=True), 3200, None),
    (Number(whole=True, scale=Scale(Fraction(1), reciprocal=True)), 0, None),
    (Number(whole=False), float("nan"), None),
    (Number(whole=False), float("inf"), None),
    (Number(whole=False), True, None),
    (FLAG, True, "yes"),
    (FLAG, False, "no"),
    (FLAG, "yes", None),
    (KIND, "serial", "uart"),
    (KIND, "spi", None),
    (Choice({"link": "link-quality"}, keep=True), "compass", "compass"),
    (Choice({"link": "link-quality"}, keep=True), "link", None),  # the word would be read back as something else
    (Letters(AETR), "TAER", "TAER"),
    (Letters(AETR), "TAER 2 1", "TAER21"),
    (Letters(AETR), "TAER 12", None),  # in one word it would be read back as 1 and 2
    (Letters(AETR), "XAER", None),
    (Letters(AETR), "", None),
    (Letters(AETR, " "), "TAER", "T A E R"),
    (Letters(AETR, " ", rest=4), "TAER", "T A E R 1 2 3 4"),
    (Letters(AETR, ">", rest=4), "TAER 2 1 3 4", "T>A>E>R>2>1>3>4"),
    (Letters(AETR, ">", rest=2), "T 1 AER 2", "T>1>A>E>R>2"),
    (Letters(AETR, " ", rest=4), "TAER 2 1 3", None),  # the board must be told four
    (Letters(AETR, " ", rest=4), "TAER 1 2 3 4", None),  # no fact is written so
    (Letters(AETR, " ", rest=4), ("T",), None),
    (Axes(NAMES), "TAER", "throttle,roll,pitch,yaw"),
    (Axes(NAMES, rest=2), "TAER", "throttle,roll,pitch,yaw,1,2"),
    (Axes(NAMES, rest=11), "AETR", "roll,pitch,throttle,yaw,1,2,3,4,5,6,7,8,9,10,11"),
    (Axes(NAMES, rest=2), "AETR 2 1", "roll,pitch,throttle,yaw,2,1"),
    (ROLES, ("receiver", "video-control"), "radio+camera"),
    (ROLES, ("receiver", "logger"), None),
    (ROLES, (), None),
    (DUTIES, ("unused",), "[]"),
    (DUTIES, ["receiver"], "hearing"),
    (ListOf(Number(whole=True), " "), (1500, 1000), "1500 1000"),
]


@pytest.mark.parametrize(("decoder", "value", "text"), SAID)
def test_saying_gives_the_boards_words_or_nothing(decoder: Decoder, value: object, text: str | None) -> None:
    assert decoder.say(value) == text


ALL = [decoder for decoder, _, _ in TAKEN]
SCALARS = st.none() | st.booleans() | st.text() | st.decimals(allow_nan=False, allow_infinity=False)
RAWS = st.recursive(SCALARS, lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner), max_leaves=6)


@settings(deadline=None)  # a busy machine is no failure; every test has its own time-out
@given(raw=RAWS)
def test_no_decoder_ever_raises(raw: Any) -> None:
    for decoder in ALL:
        value = decoder.read(raw)
        assert value is not None
        text = decoder.say(value)
        assert text is None or isinstance(text, str)


@settings(deadline=None)  # a busy machine is no failure; every test has its own time-out
@given(value=st.floats(allow_nan=False, allow_infinity=False, width=32) | st.integers(-(10**9), 10**9))
def test_a_number_that_is_said_reads_back_exactly(value: float) -> None:
    for factor in (Fraction(1), Fraction(1, 1000), Fraction(1000), Fraction(1, 10), Fraction(1024)):
        number = Number(whole=isinstance(value, int), scale=Scale(factor), suffix="x")
        text = number.say(value)
        assert text is None or number.read(text) == value


@pytest.mark.parametrize("order", ["".join(letters) for letters in itertools.permutations("AETR")])
def test_every_order_is_read_and_said_by_letters_and_by_names(order: str) -> None:
    small = {"a": "A", "e": "E", "t": "T", "r": "R"}
    decoders: list[Letters | Axes] = [
        Letters(AETR), Letters(AETR, " ", rest=4), Letters(small, ">", rest=12), Axes(NAMES), Axes(NAMES, rest=4),
    ]  # fmt: skip
    for decoder, value in itertools.product(decoders, (order, f"{order} 4 3 2 1")):
        said = decoder.say(value)
        if said is None:
            assert decoder.rest > 4
            assert value != order
        else:
            assert decoder.read(said) == value


# The decimal prefixes are those of the SI, the binary ones those of IEC 80000-13 (both from memory); a rate is the
# reciprocal of a period.
@pytest.mark.parametrize(
    ("unit", "fact_unit", "text", "value"),
    [
        ("mV", "V", "3300", 3.3),
        ("kHz", "Hz", "8", 8000.0),
        ("us", "Hz", "125", 8000.0),
        ("ms", "s", "1500", 1.5),
        ("us", "us", "1500", 1500.0),
        ("GHz", "MHz", "5.806", 5806.0),
        ("W", "mW", "0.025", 25.0),
        ("uW", "mW", "25000", 25.0),
        ("KiB", "bytes", "15360", 15728640.0),
        ("kB", "bytes", "15", 15000.0),
        ("MiB", "bytes", "15", 15728640.0),
        ("permille", "%", "55", 5.5),
        ("ratio", "%", "0.055", 5.5),
        ("kbaud", "baud", "115.2", 115200.0),
    ],
)
def test_units_convert_without_rounding(unit: str, fact_unit: str, text: str, value: float) -> None:
    found = scale(unit, fact_unit)
    assert found is not None
    assert Number(whole=False, scale=found).read(text) == value


def test_units_that_do_not_belong_together_are_refused() -> None:
    assert scale("mV", "Hz") is None
    assert scale("mV", None) is None
    assert "mV" in known_units()
    with pytest.raises(KeyError):
        scale("furlong", "V")

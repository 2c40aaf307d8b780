"""Motor output: DShot frames against the loop, what comes back, poles, idle and direction."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from propsoff import Case, Finding, Range
from propsoff.craft.build import CraftBuilder
from propsoff.inspection.causes import under_their_causes
from propsoff_checks.dshot import KBIT_PER_S, fits, frame_us, period_us, rates_in_doubt, rpm, slowest_that_fits
from propsoff_checks.motor_output import motor_output
from tests_support.crafts import Bench, codes, told

MOTORS: dict[str, object] = {
    "motors.protocol": "dshot600",
    "motors.bidirectional": True,
    "motors.poles": 14,
    "motors.idle_percent": 5.5,
    "motors.reversed": False,
    "motors.loop_hz": 8000,
}
PASS = [("pass", None)]


def run(bench: Bench, expect: dict[str, Any] | None = None, **motors: Any) -> list[Finding]:
    changes = {**MOTORS, **{f"motors.{name}": value for name, value in motors.items()}}
    return bench.run(motor_output, changes, sheet=bench.sheet(expect=expect or {}))


@pytest.mark.parametrize(
    ("protocol", "expected_us"),
    # 16 bits (ESP-IDF dshot_esc_encoder.c: 11 + 1 + 4) at 150, 300, 600 and 1200 kbit/s, computed
    [("dshot150", 106.667), ("dshot300", 53.333), ("dshot600", 26.667), ("dshot1200", 13.333)],
)
def test_a_frame_takes_sixteen_bits(protocol: str, expected_us: float) -> None:
    assert frame_us(protocol) == pytest.approx(expected_us, abs=0.0005)


def test_dshot150_leaves_18_3_us_of_an_8_khz_loop_and_does_not_fit_into_16_khz() -> None:
    assert period_us(8000) - frame_us("dshot150") == pytest.approx(18.333, abs=0.0005)
    assert fits("dshot150", 8000)
    assert not fits("dshot150", 16000)
    assert fits("dshot300", 16000)
    assert fits("dshot150", 9375)  # 106.667 us exactly
    assert not fits("dshot150", 9376)
    assert slowest_that_fits(KBIT_PER_S, 16000) == "dshot300"
    assert slowest_that_fits(KBIT_PER_S, 32000) == "dshot600"
    assert slowest_that_fits(KBIT_PER_S, 100_000) is None


def test_the_page_has_the_times_of_the_code() -> None:
    page = (Path(__file__).parents[2] / "contrib" / "guide" / "checks" / "motor-output.md").read_text(encoding="utf-8")
    rows = [line.split("|")[1:-1] for line in page.splitlines() if line.startswith("| `dshot")]
    assert [row[0].strip(" `") for row in rows] == list(KBIT_PER_S)
    for name, time, rate in rows:
        assert float(time) == pytest.approx(frame_us(name.strip(" `")), abs=0.0005)
        assert int(rate.removesuffix(" Hz ")) == round(1_000_000 / frame_us(name.strip(" `")))


def test_speed_is_60_f_by_pole_pairs() -> None:
    assert rpm(700, 14) == 6000  # TI SPRUHJ1I: 60 f / pole pairs
    assert rpm(600, 12) == 6000
    assert rpm(700, 12) / rpm(700, 14) == pytest.approx(7 / 6)


@given(st.integers(1, 100_000))
def test_a_loop_in_whole_microseconds_is_never_taken_for_another_rate(loop_hz: int) -> None:
    shown = round(1_000_000 / round(1_000_000 / loop_hz))  # a console that counts in us, read back
    low, high = rates_in_doubt(shown)
    assert low <= shown <= high
    if round(1_000_000 / shown) == round(1_000_000 / loop_hz):
        assert low - 1e-6 <= loop_hz <= high + 1e-6


def test_62_us_may_be_16_khz() -> None:
    low, high = rates_in_doubt(16129)  # 1e6 / 62
    assert low <= 16000 <= high
    assert rates_in_doubt(16100) == (16100, 16100)
    low, high = rates_in_doubt(8000)
    assert (round(low), round(high)) == (7968, 8032)
    assert rates_in_doubt(1_000_000) == (1e6 / 1.5, 2e6)  # 1 us
    assert rates_in_doubt(3_000_000) == (3e6, 3e6)  # less than 1 us: counted otherwise


@pytest.mark.parametrize(
    ("motors", "found"),
    [
        ({}, PASS),
        ({"protocol": "dshot150"}, PASS),
        ({"protocol": "dshot150", "loop_hz": 16000}, [("fail", "frame-too-long")]),
        ({"protocol": "dshot150", "loop_hz": 16129}, [("fail", "frame-too-long")]),
        ({"protocol": "dshot300", "loop_hz": 16129}, PASS),
        ({"loop_hz": None}, PASS),
        ({"loop_hz": 0}, [("fail", "absurd-loop")]),
        ({"loop_hz": -8000}, [("fail", "absurd-loop")]),
        ({"loop_hz": 100_001}, [("fail", "absurd-loop")]),
        ({"loop_hz": 2**62}, [("fail", "absurd-loop")]),
        ({"loop_hz": 100_000, "protocol": "pwm", "bidirectional": False}, [("warn", "pulses")]),
        ({"loop_hz": 1000}, PASS),
        ({"loop_hz": 1}, PASS),
        ({"loop_hz": 100_000, "protocol": "dshot1200"}, [("fail", "frame-too-long")]),
        ({"protocol": "pwm", "bidirectional": False}, [("warn", "pulses")]),
        ({"protocol": "oneshot125", "bidirectional": None}, [("warn", "pulses")]),
        ({"protocol": "pwm"}, [("warn", "pulses"), ("fail", "two-way-without-dshot")]),
        ({"protocol": "telepathy", "bidirectional": False}, [("warn", "unfamiliar-protocol")]),
        ({"protocol": None}, [("unknown", "unread")]),
        ({"protocol": ""}, [("unknown", "unread")]),
        ({"poles": None}, [("unknown", "unread")]),
        ({"poles": None, "bidirectional": False}, PASS),
        ({"bidirectional": False}, PASS),
        ({"bidirectional": None}, PASS),
        ({"poles": 12}, PASS),
        ({"poles": 13}, [("fail", "odd-poles")]),
        ({"poles": 13, "bidirectional": None}, [("fail", "odd-poles")]),
        ({"poles": 13, "bidirectional": False}, [("warn", "odd-poles")]),
        ({"poles": 10}, [("warn", "unusual-poles")]),
        ({"poles": 10, "bidirectional": False}, PASS),
        ({"poles": 0}, [("fail", "absurd-poles")]),
        ({"poles": 1}, [("fail", "absurd-poles")]),
        ({"poles": -14}, [("fail", "absurd-poles")]),
        ({"poles": 62}, [("fail", "absurd-poles")]),
        ({"poles": 60}, [("warn", "unusual-poles")]),
        ({"poles": 61}, [("fail", "absurd-poles")]),
        ({"poles": 2}, [("warn", "unusual-poles")]),
        ({"poles": 10, "bidirectional": None}, [("warn", "unusual-poles")]),
        ({"idle_percent": None}, PASS),
        ({"idle_percent": 0.0}, [("fail", "no-idle")]),
        ({"idle_percent": 0.5}, PASS),
        ({"idle_percent": 15.0}, PASS),
        ({"idle_percent": 15.1}, [("warn", "high-idle")]),
        ({"idle_percent": 30.0}, [("warn", "high-idle")]),
        ({"idle_percent": 30.5}, [("fail", "high-idle")]),
        ({"idle_percent": -1.0}, [("fail", "absurd-idle")]),
        ({"idle_percent": 100.5}, [("fail", "absurd-idle")]),
        ({"idle_percent": 100.0}, [("fail", "high-idle")]),
        ({"protocol": None, "bidirectional": None, "poles": None}, [("unknown", "unread")]),
        ({"protocol": "telepathy"}, [("warn", "unfamiliar-protocol"), ("fail", "two-way-without-dshot")]),
        ({"loop_hz": 16000, "protocol": "pwm", "bidirectional": False}, [("warn", "pulses")]),
        ({"reversed": True}, PASS),
    ],
)
def test_what_a_board_states_of_its_motors(bench: Bench, motors: dict[str, Any], found: list[tuple[str, str]]) -> None:
    assert codes(run(bench, **motors)) == found


@pytest.mark.parametrize(
    ("fact", "value", "found"),
    [
        ("protocol", "dshot300", [("fail", "protocol")]),
        ("protocol", ("dshot300", "DShot600"), PASS),
        ("loop_hz", 4000, [("fail", "loop")]),
        ("loop_hz", Range(4000, None), PASS),
        ("bidirectional", False, [("fail", "two-way")]),
        ("poles", 12, [("fail", "poles")]),
        ("idle_percent", 4.5, [("fail", "idle")]),
        ("reversed", True, [("fail", "direction")]),
        ("reversed", False, PASS),
    ],
)
def test_each_fact_against_the_sheet(bench: Bench, fact: str, value: object, found: list[tuple[str, str]]) -> None:
    findings = run(bench, {f"motors.{fact}": value})
    assert codes(findings) == found
    assert codes(run(bench, {f"motors.{fact}": value}, **{fact: None})) == [("unknown", "unread")]


@pytest.mark.parametrize(
    ("loop_hz", "expected", "right"),
    [
        (16129, 16000, True),  # 62 us
        (16129, Range(None, 16000), True),
        (16129, Range(16200, None), True),  # 61.7 us is shown as 62 us
        (16129, Range(17000, None), False),
        (16129, 15000, False),
        (8000, 8010, True),
        (8001, 8000, False),  # no whole number of microseconds: the console does not count in them
        (-5, 8000, False),
        (0, 8000, False),
        (0, 0, True),
        (1, 1, True),
        (16129, (15000, 16000), True),
        (16129, (15000, "16000"), False),
        (16129, Range(15900, 16000), True),
        (16129, Range(17000, 18000), False),
        (16129, Range(15000, 15500), False),
    ],
)
def test_a_loop_that_is_counted_in_microseconds_meets_the_rate_that_it_may_mean(
    bench: Bench, loop_hz: int, expected: Any, right: bool
) -> None:
    found = codes(run(bench, {"motors.loop_hz": expected}, loop_hz=loop_hz))
    assert (("fail", "loop") not in found) is right


def test_what_the_sheet_names_is_right_where_custom_would_warn(bench: Bench) -> None:
    expect = {"motors.protocol": "pwm", "motors.idle_percent": 20.0, "motors.poles": 22, "motors.bidirectional": False}
    motors = {"protocol": "pwm", "idle_percent": 20.0, "poles": 22, "bidirectional": False}
    assert codes(run(bench, expect, **motors)) == PASS


def test_a_wrong_signal_explains_what_follows_from_it(bench: Bench) -> None:
    findings = under_their_causes(run(bench, {"motors.protocol": "dshot600"}, protocol="pwm"))
    assert codes(findings) == [("fail", "protocol"), ("warn", "pulses"), ("fail", "two-way-without-dshot")]
    assert [one.because for one in findings] == [None, "motor-output/protocol", "motor-output/protocol"]
    findings = under_their_causes(run(bench, {"motors.poles": 14}, poles=13))
    assert [one.because for one in findings] == [None, "motor-output/poles"]


def test_bidirectional_on_pulses_is_one_thing_to_do(bench: Bench) -> None:
    findings = under_their_causes(run(bench, protocol="pwm"))
    assert [one.because for one in findings] == ["motor-output/two-way-without-dshot", None]


def test_wrong_poles_say_by_how_much_the_speeds_are_off(bench: Bench) -> None:
    [one] = run(bench, {"motors.poles": 14}, poles=12)
    assert "with 12 for 14 magnets it reads 17% too high" in one.why  # 7 / 6
    [one] = run(bench, {"motors.poles": 12})
    assert "reads 14% too low" in one.why  # 6 / 7
    [one, _] = run(bench, {"motors.poles": 14}, poles=1)
    assert "with 1 for 14 magnets it reads 1300% too high" in one.why
    [one, _] = run(bench, {"motors.poles": 1}, poles=2)
    assert "with 2 for 1 magnets it reads 50% too low" in one.why


@pytest.mark.parametrize(
    ("expected", "poles"), [(14, 0), (14, -14), (0, 14), (-2, 14), (Range(12, 14), 16), ("14", 12)]
)
def test_by_how_much_is_said_of_numbers_of_magnets_only(bench: Bench, expected: Any, poles: int) -> None:
    one = run(bench, {"motors.poles": expected}, poles=poles)[0]
    assert (one.code, one.why) == ("poles", motor_output.why)


def test_a_yes_is_no_number_of_magnets(bench: Bench) -> None:
    [one] = run(bench, {"motors.poles": True})
    assert (one.code, one.why) == ("poles", motor_output.why)
    assert "Count the magnets" in told([one])


def test_remedies_are_said_to_the_board_where_one_value_will_do(bench: Bench) -> None:
    [one] = run(bench, protocol="dshot150", loop_hz=16000)
    assert one.remedy.console == ("set motors.protocol dshot300", "store")
    assert "loop of at most 9375 Hz" in told([one])
    assert "62.5 us" in one.summary
    assert one.expected == "a frame within 62.5 us: dshot300"
    [one] = run(bench, protocol="dshot1200", loop_hz=99_000)
    assert one.remedy.console == ()
    assert "Set a loop of at most 75000 Hz" in told([one])
    assert one.expected == "a frame within 10.1 us"
    one = run(bench, {"motors.protocol": "dshot150"}, protocol="dshot150", loop_hz=16000)[-1]
    assert (one.code, one.remedy.console) == ("frame-too-long", ())  # the sheet's signal stays
    assert "dshot300 or a faster signal" in told([one])
    one = run(bench, protocol="pwm")[1]
    assert one.remedy.console == ("set motors.bidirectional False", "store")
    one = run(bench, {"motors.bidirectional": True}, protocol="pwm")[1]
    assert (one.code, one.remedy.console) == ("two-way-without-dshot", ())  # the sheet wants the speeds
    [one] = run(bench, idle_percent=0.0)
    assert one.remedy.console == ("set motors.idle_percent 5.0", "store")
    [one, other] = run(bench, {"motors.idle_percent": 4.5}, idle_percent=0.0)
    assert one.remedy.console == ("set motors.idle_percent 4.5", "store")
    assert other.remedy.console == ()  # not two values for one setting


def test_the_caution_names_the_propellers(bench: Bench) -> None:
    for one in run(bench, {"motors.reversed": True, "motors.poles": 12}):
        assert "Propellers off" in (one.caution or "")
        assert one.evidence


def test_odd_magnets_that_nothing_uses_are_told_as_trouble_to_come(bench: Bench) -> None:
    [one] = run(bench, poles=13)
    assert "filters that follow the motors" in one.why
    [one] = run(bench, poles=13, bidirectional=False)
    assert "will be wrong when they do" in one.why


def test_what_the_board_stated_in_a_way_that_nobody_could_read_is_unknown(bench: Bench) -> None:
    builder = CraftBuilder()
    for name, value in MOTORS.items():
        builder.put(name, "5 or so?" if name == "motors.idle_percent" else value, lines=[1])
    case = Case(motor_output, builder.craft(), bench.sheet())
    assert codes(list(motor_output.examine(case))) == [("unknown", "unread")]  # type: ignore[arg-type]  # it is no coroutine


def test_a_pass_says_what_was_read_and_no_more(bench: Bench) -> None:
    bare: dict[str, Any] = dict.fromkeys(("loop_hz", "bidirectional", "poles", "idle_percent", "reversed"))
    assert run(bench, **bare)[0].summary == "dshot600"
    [one] = run(bench, **{**bare, "bidirectional": False, "poles": 12, "reversed": True})
    assert one.summary == "dshot600, no speeds come back, 12 magnets (6 pole pairs), direction reversed"
    [one] = run(bench, {"motors.protocol": "pwm"}, **{**bare, "protocol": "pwm", "loop_hz": 8000})
    assert one.summary == "servo pulses of 1000 to 2000 us (pwm), as the build sheet has it"
    [one] = run(bench, {"motors.protocol": "telepathy"}, **{**bare, "protocol": "telepathy", "loop_hz": 8000})
    assert one.summary == "telepathy"
    assert run(bench)[0].summary.endswith("idle 5.5 %, usual direction")


def test_a_pass_says_the_frame_and_the_loop(bench: Bench) -> None:
    [one] = run(bench)
    assert one.actual == "dshot600"
    assert one.summary.startswith(
        "dshot600, 26.7 us of the 125.0 us of a loop, speeds come back, 14 magnets (7 pole pairs)"
    )

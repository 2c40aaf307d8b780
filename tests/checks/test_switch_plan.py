"""switch-plan: arming that cannot happen by accident, switches that can be reached, and the house plan."""

from __future__ import annotations

import timeit
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from propsoff import BuildSheet, Case, Finding, PlannedSwitch, SwitchPlan
from propsoff.craft.model import Switch
from propsoff_checks.positions import in_words
from propsoff_checks.pulses import Travel
from propsoff_checks.switch_plan import switch_plan
from tests_support.crafts import STICKS_AT_REST as RIGHT
from tests_support.crafts import Bench, names, outcomes, told

ARM = {"function": "arm", "channel": 5, "from_us": 1700, "to_us": 2100}
LEVEL = {"function": "level", "channel": 6, "from_us": 1300, "to_us": 1700}
BEEPER = {"function": "beeper", "channel": 7, "from_us": 1700, "to_us": 2100}
TURTLE = {"function": "turtle", "channel": 8, "from_us": 1700, "to_us": 2100}
SOUND = (ARM, LEVEL, BEEPER, TURTLE)
PAIR = frozenset({"arm", "level"})


def run(
    bench: Bench, *switches: dict[str, object], sheet: BuildSheet | None = None, **changes: object
) -> list[Finding]:
    facts = {name.replace("__", "."): value for name, value in changes.items()}
    return bench.run(switch_plan, {**RIGHT, **facts}, switches=switches, sheet=sheet or bench.sheet())


def test_sound_switches_pass_and_every_position_is_told(bench: Bench) -> None:
    [finding] = run(bench, *SOUND)
    assert finding.outcome == "pass"
    assert finding.summary == (
        "channel 5: low nothing, middle nothing, high arm; channel 6: low nothing, middle level, high nothing; "
        "channel 7: low nothing, middle nothing, high beeper; channel 8: low nothing, middle nothing, high turtle"
    )
    assert finding.actual == finding.summary


def test_positions_name_several_functions_and_ranges_between_the_positions() -> None:
    # Low, centre and high are 1000, 1500 and 2000 us: gpiozero 2.0.1's servo.
    switches = [
        Switch("arm", 5, 1700, 2100),
        Switch("level", 5, 900, 1300),
        Switch("beeper", 5, 1900, 2000),
        Switch("turtle", 5, 1600, 1690),
        Switch("mute", 6, 1000, 1000),
        Switch("lost", None, 1000, 2000),
    ]
    assert in_words(switches, Travel()) == (
        "channel 5: low level, middle nothing, high arm and beeper, turtle between 1600 and 1690 us; "
        "channel 6: low mute, middle nothing, high nothing"
    )


def test_unread_switches_are_unknown(bench: Bench) -> None:
    [finding] = bench.run(switch_plan, RIGHT)
    assert (finding.code, finding.outcome) == ("unread", "unknown")


@pytest.mark.parametrize("field", ["function", "channel", "from_us", "to_us"])
def test_a_switch_of_which_something_was_not_read_is_unknown(bench: Bench, field: str) -> None:
    [finding] = run(bench, {**ARM, field: None}, LEVEL)
    assert (finding.code, finding.outcome) == ("unread", "unknown")
    assert f"switches[0].{field}" in finding.summary


@pytest.mark.parametrize("switches", [(), (LEVEL, BEEPER)])
def test_a_craft_that_no_switch_arms_fails(bench: Bench, switches: tuple[dict[str, object], ...]) -> None:
    [finding] = run(bench, *switches)
    assert (finding.code, finding.outcome) == ("missing-arm", "fail")
    assert "no switch arms the craft" in finding.summary


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"channel": 1}, "arm-on-stick"),
        ({"channel": 4}, "arm-on-stick"),
        ({"channel": 9}, "channel-missing"),  # eight arrive
        ({"channel": 0}, "channel-missing"),
        ({"channel": -5}, "channel-missing"),
        ({"channel": 2**31}, "channel-missing"),
        ({"from_us": 2100, "to_us": 1700}, "range-turned"),
        ({"from_us": 1800, "to_us": 1800}, "range-turned"),
        ({"from_us": 1976, "to_us": 2100}, "range-narrow"),  # 24 us of the travel
        ({"from_us": 1800, "to_us": 1824}, "range-narrow"),
        ({"from_us": 2000, "to_us": 2100}, "range-narrow"),
        ({"from_us": 2001, "to_us": 2100}, "out-of-reach"),
        ({"from_us": 100, "to_us": 999}, "out-of-reach"),
        ({"from_us": -900, "to_us": -100}, "out-of-reach"),
        ({"from_us": 900, "to_us": 2100}, "arm-always"),
        ({"from_us": 0, "to_us": 65535}, "arm-always"),
        ({"from_us": 1005, "to_us": 1995}, "arm-always"),
        ({"from_us": 1005, "to_us": 1994}, "arm-at-low"),
        ({"from_us": 900, "to_us": 1300}, "arm-at-low"),
        ({"from_us": 1006, "to_us": 2100}, "arm-at-centre"),
        ({"from_us": 1300, "to_us": 1495}, "arm-at-centre"),
        ({"from_us": 1505, "to_us": 2100}, "arm-at-centre"),
    ],
)
def test_an_arm_switch_that_cannot_be_trusted_fails(bench: Bench, change: dict[str, object], code: str) -> None:
    [finding] = run(bench, {**ARM, **change}, LEVEL)
    assert (finding.code, finding.outcome) == (code, "fail")
    assert finding.expected
    assert finding.actual
    assert finding.remedy.steps
    assert [seen.text[:8] for seen in finding.evidence] == ["switches"]
    if code.startswith("arm-"):
        assert "battery off first" in (finding.caution or "")


@pytest.mark.parametrize(
    "change",
    [
        {"channel": 8},
        {"from_us": 1975, "to_us": 2100},  # 25 us of the travel
        {"from_us": 1800, "to_us": 1825},
        {"from_us": 1506, "to_us": 2100},
        {"from_us": 1006, "to_us": 1494},
        {"function": "ARM"},
    ],
)
def test_an_arm_switch_just_on_the_right_side_passes(bench: Bench, change: dict[str, object]) -> None:
    assert names(run(bench, {**ARM, **change}, LEVEL)) == [(None, "pass")]


@pytest.mark.parametrize(
    ("change", "found"),
    [
        ({"from_us": 900, "to_us": 2100}, []),  # levelling all the time is a way to fly
        ({"channel": 2}, [("on-stick", "warn")]),
        ({"channel": 20}, [("channel-missing", "fail")]),
        ({"from_us": 1700, "to_us": 1300}, [("range-turned", "fail")]),
        ({"from_us": 1990, "to_us": 2000}, [("range-narrow", "fail")]),
        ({"from_us": 2050, "to_us": 2100}, [("out-of-reach", "fail")]),
        ({"function": "beeper", "from_us": 900, "to_us": 2100}, [("always-on", "warn")]),
        ({"function": "turtle", "from_us": 1005, "to_us": 1995}, [("always-on", "warn")]),
        ({"function": "turtle", "from_us": 1006, "to_us": 2000}, []),
    ],
)
def test_other_switches_must_be_reached_and_let_go(
    bench: Bench, change: dict[str, object], found: list[tuple[str, str]]
) -> None:
    assert [name for name in names(run(bench, ARM, {**LEVEL, **change})) if name[1] != "pass"] == found


def test_the_sticks_are_where_the_boards_order_has_them(bench: Bench) -> None:
    # The sticks are 1..4 unless a further channel stands among them: the fact's own definition.
    apart: dict[str, Any] = {"channels__order": "A 1 ETR"}
    assert names(run(bench, ARM, channels__order="AETR")) == [(None, "pass")]
    assert names(run(bench, ARM, **apart)) == [("arm-on-stick", "fail")]
    assert names(run(bench, {**ARM, "channel": 2}, **apart)) == [(None, "pass")]
    assert names(run(bench, {**ARM, "channel": 4}, channels__order="AETE")) == [("arm-on-stick", "fail")]


def test_a_turned_range_is_turned_back_and_the_line_says_the_whole_row(bench: Bench) -> None:
    [finding] = run(bench, LEVEL, {**ARM, "from_us": 2100, "to_us": 1700})
    row = {"index": 2, "function": "arm", "channel": 5, "from_us": 1700, "to_us": 2100}
    assert finding.remedy.console == (
        f"set switches[].from_us 1700 {row}",
        f"set switches[].to_us 2100 {row}",
        "store",
    )


def test_what_nobody_can_guess_has_no_console_lines(bench: Bench) -> None:
    for change in (
        {"channel": 3},
        {"from_us": 900},
        {"from_us": 1990, "to_us": 2000},
        {"from_us": 1800, "to_us": 1800},
    ):
        [finding] = run(bench, {**ARM, **change})
        assert finding.remedy.console == ()
        assert len(finding.remedy.steps) > 0


def test_the_channels_are_those_that_arrive_else_those_that_there_can_be(bench: Bench) -> None:
    # CRSF has 16 channels, SBUS 16 and two more (their sources); PPM has eight (mftech.de).
    far = {**ARM, "channel": 18}
    assert names(run(bench, far, channels__live=None)) == [(None, "pass")]
    assert names(run(bench, {**ARM, "channel": 19}, channels__live=None)) == [("channel-missing", "fail")]
    assert names(run(bench, far, arming__blocks=("no-receiver-link",))) == [(None, "pass")]
    ppm: dict[str, Any] = {"channels__live": None, "receiver__kind": "ppm"}
    assert names(run(bench, {**ARM, "channel": 8}, **ppm)) == [(None, "pass")]
    assert names(run(bench, {**ARM, "channel": 9}, **ppm)) == [("channel-missing", "fail")]


def test_of_several_switches_on_channels_that_do_not_arrive_one_thing_is_told(bench: Bench) -> None:
    [finding] = run(bench, *SOUND, channels__live=(1500, 1500, 1000, 1500))
    assert (finding.code, finding.outcome) == ("channel-missing", "fail")
    assert finding.summary == (
        "nothing moves arm on channel 5, level on channel 6, beeper on channel 7 and turtle on channel 8: "
        "only 4 channels arrive"
    )


def test_an_arm_switch_that_is_on_fails_with_a_caution_and_explains_why_it_does_not_arm(bench: Bench) -> None:
    on = (1500, 1500, 1000, 1500, 1700, 1000, 1000, 1000)
    [finding] = run(bench, *SOUND, channels__live=on)
    assert (finding.code, finding.outcome) == ("arm-on", "fail")
    assert "channel 5 reads 1700 us" in finding.summary
    assert "battery off first" in (finding.caution or "")
    assert finding.explains == ("arming-blocks/arm-switch-on",)
    off = (*on[:4], 1699, *on[5:])
    assert names(run(bench, *SOUND, channels__live=off)) == [(None, "pass")]
    assert names(run(bench, *SOUND, channels__live=on, arming__blocks=("no-receiver-link",))) == [(None, "pass")]
    assert names(run(bench, {**ARM, "from_us": 1600}, LEVEL, channels__live=on)) == [("arm-on", "fail")]


def test_two_ranges_that_arm_warn(bench: Bench) -> None:
    [finding] = run(bench, ARM, {**ARM, "channel": 8})
    assert (finding.code, finding.outcome) == ("arm-twice", "warn")
    assert "channel 5, 1700 to 2100 us and channel 8" in finding.summary


@pytest.mark.parametrize(
    ("first", "second", "plan", "found"),
    [
        (ARM, {**TURTLE, "channel": 5}, SwitchPlan(), ("overlap", "fail")),  # arming must not turn the motors round
        (ARM, {**LEVEL, "channel": 5, "to_us": 1701}, SwitchPlan(), ("overlap", "warn")),
        (ARM, {**LEVEL, "channel": 5, "to_us": 1700}, SwitchPlan(), (None, "pass")),  # they touch
        (ARM, {**LEVEL, "to_us": 2100}, SwitchPlan(), (None, "pass")),  # another channel
        (ARM, {**LEVEL, "channel": 5, "to_us": 1800}, SwitchPlan(required=("arm",)), ("overlap", "fail")),
        (ARM, {**LEVEL, "channel": 5, "to_us": 1800}, SwitchPlan(together=frozenset({PAIR})), (None, "pass")),
        (
            {**ARM, "function": "Arm"},
            {**LEVEL, "channel": 5, "to_us": 1800},
            SwitchPlan(together=frozenset({PAIR})),
            (None, "pass"),
        ),
        (ARM, {**BEEPER, "channel": 5}, SwitchPlan(together=frozenset({PAIR})), ("overlap", "fail")),
        (LEVEL, {**LEVEL, "from_us": 1600, "to_us": 1900}, SwitchPlan(), ("missing-arm", "fail")),  # one function
    ],
)
def test_functions_on_together_fail_where_they_must_not_be(
    bench: Bench,
    first: dict[str, object],
    second: dict[str, object],
    plan: SwitchPlan,
    found: tuple[str | None, str],
) -> None:
    assert names(run(bench, first, second, sheet=bench.sheet(switches=plan))) == [found]


def test_an_overlap_names_both_and_where(bench: Bench) -> None:
    [finding] = run(bench, {**BEEPER, "channel": 5, "from_us": 1900}, ARM)
    assert finding.summary == "beeper and arm are on together: channel 5, 1900 to 2100 us"
    assert 'together = [["beeper", "arm"]]' in told([finding])
    [finding] = run(bench, {**TURTLE, "channel": 5, "from_us": 1900}, ARM)
    assert "together = " not in told([finding])  # nobody should


def test_a_function_that_the_house_requires_must_be_there(bench: Bench) -> None:
    plan = SwitchPlan(required=("arm", "Beeper", "höver"), planned={"beeper": PlannedSwitch(7, 1700, 2100)})
    sheet = bench.sheet(switches=plan)
    beeper, hover = run(bench, ARM, LEVEL, sheet=sheet)
    assert (beeper.code, beeper.outcome, beeper.expected) == (
        "missing-beeper",
        "fail",
        "beeper: channel 7 from 1700 us to 2100 us",
    )
    assert "the build sheet asks for it" in beeper.summary
    assert hover.code == "missing"
    assert names(run(bench, ARM, BEEPER, {**LEVEL, "function": "HÖVER"}, sheet=sheet)) == [(None, "pass")]


@pytest.mark.parametrize(
    ("planned", "found"),
    [
        (PlannedSwitch(5, 1700, 2100), (None, "pass")),
        (PlannedSwitch(5), (None, "pass")),
        (PlannedSwitch(), (None, "pass")),
        (PlannedSwitch(None, None, 2100), (None, "pass")),
        (PlannedSwitch(6, 1700, 2100), ("off-plan", "fail")),
        (PlannedSwitch(5, 1800, 2100), ("off-plan", "fail")),
        (PlannedSwitch(5, 1700, 2000), ("off-plan", "fail")),
        (PlannedSwitch(8), ("off-plan", "fail")),
    ],
)
def test_a_planned_function_is_where_the_house_has_it(
    bench: Bench, planned: PlannedSwitch, found: tuple[str | None, str]
) -> None:
    sheet = bench.sheet(switches=SwitchPlan(planned={"ARM": planned, "beeper": PlannedSwitch(7)}))
    [finding] = run(bench, ARM, sheet=sheet)
    assert (finding.code, finding.outcome.value) == found


def test_the_lines_for_a_switch_off_plan_bring_it_to_the_plan(bench: Bench) -> None:
    sheet = bench.sheet(switches=SwitchPlan(planned={"arm": PlannedSwitch(8, 1800)}))
    [finding] = run(bench, ARM, sheet=sheet)
    assert bench.tongue.asked == [("switches[].channel", 8), ("switches[].from_us", 1800)]
    assert finding.expected == "channel 8 from 1800 us (build sheet)"
    after = {**ARM, "channel": 8, "from_us": 1800}
    assert names(run(bench, after, sheet=sheet)) == [(None, "pass")]


def test_a_faulty_switch_is_put_right_as_planned(bench: Bench) -> None:
    sheet = bench.sheet(switches=SwitchPlan(planned={"arm": PlannedSwitch(5, 1800, 2100)}))
    for change in ({"channel": 3}, {"from_us": 900}, {"from_us": 2100, "to_us": 1700}, {"from_us": 1990}):
        faulty = {**ARM, **change}
        bench.tongue.asked.clear()
        [finding] = run(bench, faulty, sheet=sheet)
        assert finding.code != "off-plan"
        assert finding.remedy.console
        put = {fact.rpartition(".")[2]: value for fact, value in bench.tongue.asked}
        assert names(run(bench, {**faulty, **put}, sheet=sheet)) == [(None, "pass")]


def test_one_switch_on_a_channel_that_does_not_arrive_goes_to_its_planned_channel(bench: Bench) -> None:
    sheet = bench.sheet(switches=SwitchPlan(planned={"arm": PlannedSwitch(5)}))
    [finding] = run(bench, {**ARM, "channel": 20}, LEVEL, sheet=sheet)
    assert finding.code == "channel-missing"
    assert bench.tongue.asked == [("switches[].channel", 5)]


def test_of_two_rows_of_one_function_none_is_told_to_the_board(bench: Bench) -> None:
    sheet = bench.sheet(switches=SwitchPlan(planned={"level": PlannedSwitch(6, 1300, 1700)}))
    [finding] = run(bench, ARM, LEVEL, {**LEVEL, "from_us": 1800, "to_us": 2100}, sheet=sheet)
    assert (finding.code, finding.remedy.console) == ("off-plan", ())


def test_an_arm_switch_that_is_off_plan_and_on_is_told_as_both(bench: Bench) -> None:
    sheet = bench.sheet(switches=SwitchPlan(planned={"arm": PlannedSwitch(8)}))
    on = (1500, 1500, 1000, 1500, 2000, 1000, 1000, 1000)
    assert names(run(bench, ARM, sheet=sheet, channels__live=on)) == [("off-plan", "fail"), ("arm-on", "fail")]


def test_a_list_of_switches_that_no_board_has_fails(bench: Bench) -> None:
    many = [ARM, *({**LEVEL, "function": f"mode-{n}", "from_us": 1300 + n, "to_us": 1700 + n} for n in range(500))]
    findings = run(bench, *many)
    assert ("too-many", "fail") in names(findings)
    assert sum(finding.code == "overlap" for finding in findings) == 8
    assert names(run(bench, *many[:1], *({**LEVEL, "function": "mode"} for _ in range(63)))) == [(None, "pass")]


def test_without_a_dialect_the_steps_remain(bench: Bench) -> None:
    turned = {**ARM, "from_us": 2100, "to_us": 1700}
    [finding] = bench.run(switch_plan, RIGHT, switches=(turned,), sheet=bench.sheet(), tongue=None)
    assert finding.remedy.console == ()
    assert "Propellers off" in told([finding])
    bench.tongue.dumb = True
    [finding] = run(bench, turned)
    assert finding.remedy.console == ()


NUMBERS = st.one_of(st.none(), st.integers(-5, 20), st.integers(900, 2200), st.sampled_from([65535, -(2**31)]))
FUNCTIONS = st.one_of(st.none(), st.sampled_from(["arm", "level", "beeper", "turtle", "ARM", "", "x" * 500]))
ROWS = st.lists(
    st.fixed_dictionaries({"function": FUNCTIONS, "channel": NUMBERS, "from_us": NUMBERS, "to_us": NUMBERS}),
    max_size=8,
)
PLANS = st.sampled_from(
    [
        SwitchPlan(),
        SwitchPlan(required=("arm", "level"), planned={"arm": PlannedSwitch(5, 1700, 2100)}),
        SwitchPlan(planned={"level": PlannedSwitch(6)}, together=frozenset({PAIR})),
    ]
)


@settings(max_examples=300, deadline=None)
@given(ROWS, PLANS)
def test_whatever_is_listed_only_a_craft_that_arms_by_a_switch_of_its_own_passes(
    rows: list[dict[str, object]], plan: SwitchPlan
) -> None:
    bench = Bench()
    findings = run(bench, *rows, sheet=bench.sheet(switches=plan))
    assert all(finding.outcome != "error" for finding in findings), told(findings)
    assert all(finding.code for finding in findings if finding.outcome != "pass")
    if outcomes(findings) == ["pass"]:
        [arm] = [row for row in rows if str(row["function"]).casefold() == "arm"]
        low, high, channel = arm["from_us"], arm["to_us"], arm["channel"]
        assert isinstance(low, int)
        assert isinstance(high, int)
        assert channel in range(5, 9)
        for stands_at in (1000, 1500):
            assert not low <= stands_at <= high
        assert any(low <= stands_at <= high for stands_at in range(1000, 2001))
    else:
        assert "pass" not in outcomes(findings)


def test_an_examination_takes_less_than_half_a_millisecond(bench: Bench) -> None:
    craft, lines = bench.craft(RIGHT, switches=SOUND)
    case = Case(switch_plan, craft, bench.sheet(), None, lines)
    best_s = min(timeit.repeat(lambda: list(switch_plan.examine(case)), number=20, repeat=5)) / 20  # type: ignore[arg-type]  # no coroutine
    assert best_s < 0.0005


def test_an_arm_switch_on_the_last_channel_that_arrives_is_seen_to_be_on(bench: Bench) -> None:
    on = (1500, 1500, 1000, 1500, 1000, 1000, 1000, 1800)
    assert names(run(bench, {**ARM, "channel": 8}, channels__live=on)) == [("arm-on", "fail")]
    assert names(run(bench, {**ARM, "channel": 9}, channels__live=on)) == [("channel-missing", "fail")]


def test_the_texts_tell_arming_from_other_functions(bench: Bench) -> None:
    sheet = bench.sheet(switches=SwitchPlan(required=("beeper",)))
    arm, beeper = run(bench, sheet=sheet)
    assert "armed by something else" in arm.why
    assert (arm.actual, "nothing happens" in beeper.why) == ("no switch at all", True)
    [with_arm] = run(bench, ARM, {**LEVEL, "channel": 5, "to_us": 1800})
    assert "it arms, and more" in with_arm.why
    assert with_arm.summary.endswith("channel 5, 1700 to 1800 us")
    [without] = run(bench, ARM, LEVEL, {**BEEPER, "channel": 6, "from_us": 1500, "to_us": 1600})
    assert "it arms" not in without.why
    [narrow] = run(bench, {**ARM, "from_us": 1990})
    assert narrow.summary == "arm has 10 us of the travel, too little to be hit: from 1990 to 2100 us"

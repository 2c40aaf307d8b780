"""channel-range: the ends and the centre that a board expects, and the sticks as they rest."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from propsoff import Anything, Expected, Range
from propsoff.craft.model import Craft
from propsoff_checks.channel_range import channel_range
from propsoff_checks.pulses import crsf_us
from propsoff_checks.sticks import ENDS_OFF_US, LIVE_OFF_US
from tests_support.crafts import STICKS_AT_REST as RIGHT
from tests_support.crafts import Bench, names, outcomes, told


def live(roll: int = 1500, pitch: int = 1500, throttle: int = 1000, yaw: int = 1500, *more: int) -> dict[str, object]:
    return {**RIGHT, "channels.live": (roll, pitch, throttle, yaw, *(more or (1000,)))}


def test_the_ends_of_common_practice_and_sticks_at_rest_pass(bench: Bench) -> None:
    [finding] = bench.run(channel_range, RIGHT)
    assert finding.outcome == "pass"
    assert "low end 1000 us, centre 1500 us and high end 2000 us" in finding.summary
    assert "throttle 1000" in finding.summary
    assert "only while a stick is held there" in finding.summary  # one reading cannot show the ends


def test_the_tolerances_are_a_percent_of_the_half_range_and_crsfs_common_ends() -> None:
    assert LIVE_OFF_US == (2000 - 1500) / 100 == crsf_us(1000) - crsf_us(992)
    # 172 and 1811, 987.5 and 2011.875 us: from memory, computed with the CRSF specification's formula.
    assert max(1000 - crsf_us(172), crsf_us(1811) - 2000) <= ENDS_OFF_US < 14


@pytest.mark.parametrize(
    ("fact", "value", "found"),
    [
        ("channels.low", 988, []),
        ("channels.low", 987, []),
        ("channels.low", 986, [("low-end", "warn")]),
        ("channels.low", 1013, []),
        ("channels.low", 1014, [("low-end", "warn")]),
        ("channels.high", 2012, []),
        ("channels.high", 1900, [("high-end", "warn")]),
        ("channels.centre", 1505, []),
        ("channels.centre", 1506, [("centre", "fail")]),
        ("channels.centre", 1494, [("centre", "fail")]),
        ("channels.low", 0, [("absurd", "fail")]),
        ("channels.low", -1000, [("absurd", "fail")]),
        ("channels.high", 65535, [("absurd", "fail")]),
        ("channels.high", 1500, [("reversed", "fail")]),
        ("channels.low", 1500, [("reversed", "fail")]),
        ("channels.centre", 2000, [("reversed", "fail")]),
    ],
)
def test_each_end_is_held_against_common_practice(
    bench: Bench, fact: str, value: int, found: list[tuple[str, str]]
) -> None:
    findings = bench.run(channel_range, {**RIGHT, "channels.live": None, fact: value})
    assert [name for name in names(findings) if name[1] != "pass"] == found
    if found:
        assert dict(bench.tongue.asked)[fact] == {"channels.low": 1000, "channels.centre": 1500}.get(fact, 2000)


def test_an_end_that_is_off_gives_the_correction_in_percent(bench: Bench) -> None:
    short = {**RIGHT, "channels.low": 1100, "channels.high": 1900, "channels.live": None}
    low, high = bench.run(channel_range, short)
    # half-range wanted / half-range measured: 500 / 400 (computed)
    assert "125.0 %" in low.remedy.steps[0]
    assert "125.0 %" in high.remedy.steps[0]
    assert low.remedy.console == ("set channels.low 1000", "store")


def test_a_sheet_decides_where_the_ends_are(bench: Bench) -> None:
    sheet = bench.sheet(expect={"channels.low": 988, "channels.high": Range(2005, 2020), "channels.centre": Anything()})
    fits = {**RIGHT, "channels.low": 988, "channels.high": 2012, "channels.live": None, "channels.centre": 1520}
    assert outcomes(bench.run(channel_range, fits, sheet=sheet)) == ["pass"]
    findings = bench.run(channel_range, {**fits, "channels.low": 1000, "channels.high": 2000}, sheet=sheet)
    assert names(findings) == [("low-end", "fail"), ("high-end", "fail")]
    assert findings[0].expected == "988 us"
    assert findings[1].expected == "2005 to 2020 us"
    either = bench.sheet(expect={"channels.low": (988, 1100)})
    [finding] = bench.run(channel_range, {**fits, "channels.low": 1050, "channels.centre": 1500}, sheet=either)
    assert "where 988 us is expected" in finding.summary
    assert "2005" in findings[1].summary  # the nearest to common practice that the sheet allows
    assert findings[0].remedy.console == ("set channels.low 988", "store")
    assert findings[1].remedy.console == ()  # nobody knows which of the range is meant


def test_the_tolerance_of_a_sheet_is_taken(bench: Bench) -> None:
    near = replace(bench.sheet(), expectations={"channels.low": Expected((988,), 2.0)})
    for low, outcome in ((990, "pass"), (986, "pass"), (991, "fail"), (1000, "fail")):
        findings = bench.run(channel_range, {**RIGHT, "channels.live": None, "channels.low": low}, sheet=near)
        assert outcomes(findings) == [outcome]


def test_a_sheet_cannot_allow_what_is_no_pulse(bench: Bench) -> None:
    sheet = bench.sheet(expect={"channels.low": Anything()})
    assert names(bench.run(channel_range, {**RIGHT, "channels.low": 0}, sheet=sheet))[0] == ("absurd", "fail")


def test_what_a_sheet_expects_and_nobody_read_is_unknown(bench: Bench) -> None:
    sheet = bench.sheet(expect={"channels.high": 2000})
    [finding] = bench.run(channel_range, {**RIGHT, "channels.high": None}, sheet=sheet)
    assert (finding.code, finding.outcome) == ("unread", "unknown")
    assert "channels.high" in finding.summary
    assert outcomes(bench.run(channel_range, {**RIGHT, "channels.high": None}, sheet=bench.sheet())) == ["pass"]


def test_of_a_board_that_says_nothing_of_its_channels_nothing_is_known(bench: Bench) -> None:
    [finding] = bench.run(channel_range)
    assert (finding.code, finding.outcome) == ("unread", "unknown")


def test_a_board_that_does_not_say_where_the_sticks_stand_passes_by_its_ends(bench: Bench) -> None:
    [finding] = bench.run(channel_range, {**RIGHT, "channels.live": None})
    assert finding.outcome == "pass"
    assert "does not say where the sticks stand" in finding.summary


@pytest.mark.parametrize(
    ("throttle", "found", "says"),
    [
        (1000, ("", "pass"), ""),
        (1005, ("", "pass"), ""),
        (995, ("", "pass"), ""),
        (988, ("throttle-beyond", "warn"), "97.7 %"),  # 500 / 512 (computed)
        (994, ("throttle-beyond", "warn"), "98.8 %"),  # 500 / 506
        (1006, ("throttle-short", "fail"), "101.2 %"),  # 500 / 494
        (1060, ("throttle-short", "fail"), "113.6 %"),  # 500 / 440
        (1061, ("throttle-raised", "fail"), "113.9 %"),  # 500 / 439
        (1100, ("throttle-raised", "fail"), "125.0 %"),  # 500 / 400
        (1166, ("throttle-raised", "fail"), "149.7 %"),  # 500 / 334
        (1420, ("throttle-raised", "fail"), "Pull the throttle stick"),
        (1500, ("throttle-raised", "fail"), "Pull the throttle stick"),
        (1939, ("throttle-raised", "fail"), "not at its low end"),
        (1940, ("throttle-raised", "fail"), "reverse the throttle channel"),
        (2000, ("throttle-raised", "fail"), "reverse the throttle channel"),
        (0, ("no-pulse", "fail"), "throttle reads 0 us"),
        (65535, ("no-pulse", "fail"), "throttle reads 65535 us"),
        (850, ("throttle-beyond", "warn"), "76.9 %"),  # 500 / 650
    ],
)
def test_throttle_rests_at_its_low_end(bench: Bench, throttle: int, found: tuple[str, str], says: str) -> None:
    [finding] = bench.run(channel_range, live(throttle=throttle))
    assert (finding.code or "", finding.outcome.value) == found
    assert says in told([finding])
    if found[0] not in ("", "throttle-beyond"):
        assert finding.explains == ("arming-blocks/throttle-not-low",)
    if throttle > 1166:  # no transmitter widens an end beyond 150 % (common practice)
        assert "%" not in told([finding])


def test_a_sheet_with_a_tolerance_lets_nothing_beyond_it_pass_as_a_warning(bench: Bench) -> None:
    strict = bench.sheet(tolerances={"channels.live": 2.0}, expect={"channels.order": "AETR"})
    assert names(bench.run(channel_range, live(throttle=997), sheet=strict)) == [("throttle-beyond", "fail")]
    assert names(bench.run(channel_range, live(throttle=998), sheet=strict)) == [(None, "pass")]
    wide = bench.sheet(tolerances={"channels.live": 20.0})
    assert names(bench.run(channel_range, live(1520, 1480, 1020, 1500), sheet=wide)) == [(None, "pass")]


@pytest.mark.parametrize(
    ("us", "found", "says"),
    [
        (1505, None, ""),
        (1495, None, ""),
        (1538, "centre-trim", "by -38 us"),
        (1462, "centre-trim", "by +38 us"),
        (1506, "centre-trim", "by -6 us"),
        (1600, "centre-trim", "by -100 us"),
        (1400, "centre-trim", "by +100 us"),
        (1601, "stick-away", "101 us above"),
        (1399, "stick-away", "101 us below"),
        (1000, "stick-away", "another control"),
        (0, "no-pulse", "reads 0 us"),
    ],
)
@pytest.mark.parametrize("letter", "AER")
def test_the_other_sticks_rest_at_their_centre(
    bench: Bench, letter: str, us: int, found: str | None, says: str
) -> None:
    stick = {"A": "roll", "E": "pitch", "R": "yaw"}[letter]
    [finding] = bench.run(channel_range, live(**{stick: us}))
    assert finding.code == found
    assert says in told([finding])
    if found:
        assert finding.outcome == "fail"
        assert stick in finding.summary
    if found == "centre-trim":
        assert f"channel {'AETR'.index(letter) + 1} " in told([finding])
        assert "held" not in finding.summary


def test_sticks_are_found_by_the_boards_own_order(bench: Bench) -> None:
    sheet = bench.sheet(expect={"channels.order": "TAER"})
    taer = {**RIGHT, "channels.order": "TAER", "channels.live": (1000, 1500, 1500, 1500)}
    assert outcomes(bench.run(channel_range, taer, sheet=sheet)) == ["pass"]
    assert names(bench.run(channel_range, {**taer, "channels.live": (1500, 1500, 1500, 1500)}, sheet=sheet)) == [
        ("throttle-raised", "fail")
    ]
    apart = {**RIGHT, "channels.order": "A 1 ETR", "channels.live": (1500, 2000, 1500, 1000, 1538)}
    [finding] = bench.run(channel_range, apart, sheet=bench.sheet())
    assert (finding.code, "channel 5 " in told([finding])) == ("centre-trim", True)


@pytest.mark.parametrize("order", ["TAER", "AETE", "", "A 1 ETR"])
def test_sticks_of_another_order_than_the_expected_one_are_not_judged(bench: Bench, order: str) -> None:
    sheet = bench.sheet(expect={"channels.order": "AETR"})
    [finding] = bench.run(channel_range, {**RIGHT, "channels.order": order}, sheet=sheet)
    assert finding.outcome == "skipped"
    assert "channel-order" in finding.summary


@pytest.mark.parametrize("order", ["AETE", "", "AETX"])
def test_an_order_that_is_none_is_not_judged_by_without_a_sheet_either(bench: Bench, order: str) -> None:
    for sheet in (bench.sheet(), bench.sheet(expect={"channels.order": Anything()})):
        assert outcomes(bench.run(channel_range, {**RIGHT, "channels.order": order}, sheet=sheet)) == ["skipped"]


def test_an_order_with_further_channels_is_as_meant_by_its_sticks(bench: Bench) -> None:
    sheet = bench.sheet(expect={"channels.order": ("TAER", "AETR")})
    assert outcomes(bench.run(channel_range, {**RIGHT, "channels.order": "AETR 2 1"}, sheet=sheet)) == ["pass"]


def test_without_an_order_nobody_knows_which_stick_is_which(bench: Bench) -> None:
    [finding] = bench.run(channel_range, {**RIGHT, "channels.order": None})
    assert (finding.code, finding.outcome) == ("unread", "unknown")
    assert "channels.order" in finding.summary


def test_the_sticks_are_held_against_the_boards_own_ends_where_these_are_right(bench: Bench) -> None:
    crsf = {**live(throttle=988), "channels.low": 988, "channels.high": 2012}
    assert outcomes(bench.run(channel_range, crsf)) == ["pass"]
    off = {**live(), "channels.centre": 1450}
    assert names(bench.run(channel_range, off)) == [("centre", "fail")]  # the sticks are right, and not told as wrong
    turned = {**live(), "channels.low": 2000, "channels.high": 1000}
    assert names(bench.run(channel_range, turned)) == [("reversed", "fail")]


@pytest.mark.parametrize(
    "changes",
    [
        {"arming.blocks": ("usb-connected", "no-receiver-link")},
        {"arming.blocks": ("no-receiver-link",), "channels.live": (0, 0, 0, 0)},
        {"arming.blocks": None, "channels.live": (0, 0, 0, 0)},
        {"arming.blocks": None, "channels.live": (65535,) * 8},
        {"arming.blocks": None, "channels.live": ()},
        {"arming.blocks": None, "channels.live": (1500,) * 8},
        {"arming.blocks": None, "channels.live": (885,) * 8},
    ],
)
def test_without_a_link_the_sticks_are_not_judged_and_the_reason_is_told(
    bench: Bench, changes: dict[str, object]
) -> None:
    [finding] = bench.run(channel_range, {**RIGHT, **changes})
    assert finding.outcome == "skipped"
    assert "transmitter; switch it on and inspect again" in finding.summary


@pytest.mark.parametrize(
    ("values", "found"),
    [
        ((1500, 1500, 1000, 1500), (None, "pass")),
        ((1500, 1500, 1420, 1500), ("throttle-raised", "fail")),
        ((0, 0, 1000, 0), ("no-pulse", "fail")),
        ((1500,), ("stick-missing", "fail")),
    ],
)
def test_where_the_reasons_not_to_arm_are_not_read_readings_that_differ_are_judged(
    bench: Bench, values: tuple[int, ...], found: tuple[str | None, str]
) -> None:
    findings = bench.run(channel_range, {**RIGHT, "arming.blocks": None, "channels.live": values})
    assert names(findings) == [found]


def test_a_dead_link_and_one_that_repeats_itself_are_told_apart(bench: Bench) -> None:
    for us, says in ((0, "no channel has a pulse"), (1500, "every channel reads 1500 us")):
        [finding] = bench.run(channel_range, {**RIGHT, "arming.blocks": None, "channels.live": (us, us)})
        assert (finding.outcome, says in finding.summary) == ("skipped", True)


@pytest.mark.parametrize("blocks", [(), ("usb-connected",)])
def test_a_board_that_says_that_its_link_is_up_is_judged_by_what_it_reads(
    bench: Bench, blocks: tuple[str, ...]
) -> None:
    dead = {**RIGHT, "channels.live": (0,) * 8, "arming.blocks": blocks}
    [finding] = bench.run(channel_range, dead)
    assert (finding.code, finding.outcome) == ("no-pulse", "fail")
    assert "no stick has a pulse" in finding.summary
    assert names(bench.run(channel_range, {**dead, "channels.live": (1500,) * 8})) == [("throttle-raised", "fail")]


def test_the_ends_are_judged_without_a_link_too(bench: Bench) -> None:
    down = {**RIGHT, "arming.blocks": ("no-receiver-link",), "channels.centre": 1450}
    assert names(bench.run(channel_range, down)) == [("centre", "fail")]


@pytest.mark.parametrize(
    ("values", "missing"), [((1500, 1500), ["throttle", "rudder"]), ((1500, 1500, 1000), ["rudder"])]
)
def test_a_stick_whose_channel_does_not_arrive_is_told(
    bench: Bench, values: tuple[int, ...], missing: list[str]
) -> None:
    [finding] = bench.run(channel_range, {**RIGHT, "channels.live": values})
    assert (finding.code, finding.outcome) == ("stick-missing", "fail")
    assert all(name in finding.summary for name in missing)
    assert "aileron" not in finding.summary


def test_several_sticks_give_a_finding_each(bench: Bench) -> None:
    findings = bench.run(channel_range, live(1538, 1462, 988, 1700))
    assert names(findings) == [
        ("centre-trim", "fail"),
        ("centre-trim", "fail"),
        ("throttle-beyond", "warn"),
        ("stick-away", "fail"),
    ]
    for finding in findings:
        assert finding.expected
        assert finding.actual
        assert finding.remedy.steps
        assert "Propellers off" in (finding.caution or "")
        assert [seen.text for seen in finding.evidence][-1].startswith("channels.live")


PULSES = st.one_of(st.integers(-5, 5), st.integers(780, 2220), st.sampled_from([65535, 2**31]))


@settings(max_examples=300, deadline=None)
@given(st.lists(PULSES, max_size=8), st.lists(PULSES, min_size=3, max_size=3), st.booleans())
def test_whatever_is_read_only_sticks_at_rest_on_sound_ends_pass(
    readings: list[int], ends: list[int], up: bool
) -> None:
    bench = Bench()
    low, centre, high = ends
    changes = {**RIGHT, "channels.live": tuple(readings), "arming.blocks": () if up else ("no-receiver-link",)}
    changes |= {"channels.low": low, "channels.centre": centre, "channels.high": high}
    findings = bench.run(channel_range, changes)
    sound = abs(low - 1000) <= ENDS_OFF_US and abs(centre - 1500) <= 5 and abs(high - 2000) <= ENDS_OFF_US
    rest = len(readings) >= 4 and all(
        abs(readings[at] - (low if at == 2 else centre)) <= LIVE_OFF_US for at in range(4)
    )
    assert (outcomes(findings) == ["pass"]) is (sound and rest and up)
    assert (outcomes(findings) == ["skipped"]) is (sound and not up)
    assert all(finding.outcome != "error" for finding in findings), told(findings)


def test_an_examination_takes_less_than_half_a_millisecond(bench: Bench) -> None:
    import timeit

    from propsoff import Case

    craft, lines = bench.craft(live(1538, 1462, 988, 1700))
    assert isinstance(craft, Craft)
    case = Case(channel_range, craft, bench.sheet(), None, lines)
    best_s = min(timeit.repeat(lambda: list(channel_range.examine(case)), number=20, repeat=5)) / 20  # type: ignore[arg-type]  # no coroutine
    assert best_s < 0.0005


def test_a_centre_is_put_right_without_any_talk_of_ends(bench: Bench) -> None:
    [finding] = bench.run(channel_range, {**RIGHT, "channels.centre": 1450})
    [step] = finding.remedy.steps
    assert step.endswith("let go of the sticks and inspect again; roll, pitch and yaw must read 1500 us.")
    [finding] = bench.run(channel_range, {**RIGHT, "channels.low": 1100, "channels.live": None})
    assert "must read 1000 us, and 2000 us at the other end" in finding.remedy.steps[1]


def test_what_goes_wrong_is_told_by_what_is_wrong(bench: Bench) -> None:
    [beyond] = bench.run(channel_range, live(throttle=988))
    assert beyond.summary == "throttle at its low end reads 988 us, 12 us beyond 1000 us"
    assert "(500/512, half-range wanted by half-range measured)" in beyond.remedy.steps[0]
    assert "full deflection" in beyond.why
    [short] = bench.run(channel_range, live(throttle=1012))
    assert short.summary == "throttle at its low end reads 1012 us, 12 us short of 1000 us"
    assert "(500/488, " in short.remedy.steps[0]
    assert "motors would run" in short.why
    [up] = bench.run(channel_range, live(throttle=1500))
    assert "reversed" not in up.summary
    [turned] = bench.run(channel_range, live(throttle=2000))
    assert turned.summary.endswith("at its high end, or the channel is reversed")
    [low] = bench.run(channel_range, {**RIGHT, "channels.low": 1100, "channels.live": None})
    [centre] = bench.run(channel_range, {**RIGHT, "channels.centre": 1450})
    assert "full deflection" in low.why
    assert "by itself" in centre.why


def test_what_was_read_of_the_channels_is_judged_without_the_rest(bench: Bench) -> None:
    none = dict.fromkeys(("channels.low", "channels.centre", "channels.high"), None)
    assert outcomes(bench.run(channel_range, {**RIGHT, **none})) == ["pass"]
    some = {**RIGHT, "channels.live": None, "channels.low": None}
    assert outcomes(bench.run(channel_range, some)) == ["pass"]
    assert names(bench.run(channel_range, {**some, "channels.centre": 1450})) == [("centre", "fail")]


def test_where_one_of_several_ends_is_left_open_no_line_is_made_up(bench: Bench) -> None:
    sheet = bench.sheet(expect={"channels.low": (988, 1000)})
    turned = {**RIGHT, "channels.low": 2000, "channels.high": 1000, "channels.live": None}
    [finding] = bench.run(channel_range, turned, sheet=sheet)
    assert (finding.code, finding.remedy.console) == ("reversed", ())

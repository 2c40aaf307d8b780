"""failsafe: action, delay and throttle on loss of the link."""

from __future__ import annotations

import timeit

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from propsoff import Case, Range
from propsoff_checks.failsafe import failsafe
from tests_support.crafts import PORTS, Bench, names, outcomes, told

RIGHT: dict[str, object] = {"failsafe.action": "drop", "failsafe.delay_s": 1.0, "failsafe.throttle_us": 1000}
POSITIONING = ({**PORTS[0]}, {"id": "U5", "roles": ("positioning",), "baud": 115200})


def test_a_failsafe_that_drops_within_a_second_passes_and_is_told_in_words(bench: Bench) -> None:
    [finding] = bench.run(failsafe, RIGHT)
    assert finding.outcome == "pass"
    assert finding.summary.startswith("drop, 1 s after the link is lost: it stops its motors")
    # CRSF protocol specification: failsafe after 1 s without frames.
    assert "a CRSF receiver says so after 1 s without frames" in finding.summary
    [finding] = bench.run(failsafe, {**RIGHT, "receiver.protocol": "sbus", "failsafe.delay_s": None})
    assert "CRSF" not in finding.summary
    assert "does not state" in finding.summary


# On loss of signal the throttle goes to closed or idle: BMFA fail-safe article, CAP 658.
def test_hold_fails_with_the_reason_whatever_the_sheet_says(bench: Bench) -> None:
    hold = {**RIGHT, "failsafe.action": "hold"}
    [finding] = bench.run(failsafe, hold)
    assert (finding.code, finding.outcome) == ("hold", "fail")
    assert "closed or idle (BMFA fail-safe article, CAP 658)" in finding.why
    assert finding.remedy.console == ("set failsafe.action drop", "store")
    assert "drop stops the motors at once" in told([finding])
    sheet = bench.sheet(expect={"failsafe.action": "hold"})
    [finding] = bench.run(failsafe, hold, sheet=sheet)
    assert (finding.code, finding.outcome) == ("hold", "fail")
    assert "waives failsafe/hold" in finding.why
    assert finding.remedy.console == ("set failsafe.action drop", "store")
    [finding] = bench.run(failsafe, hold, sheet=bench.sheet(expect={"failsafe.action": "land"}))
    assert finding.remedy.console == ("set failsafe.action land", "store")
    assert (finding.expected, "waives" in finding.why) == ("land", False)
    assert "drop stops" not in told([finding])


@pytest.mark.parametrize(
    ("action", "expected", "found"),
    [
        ("land", "land", None),
        ("land", ("drop", "land"), None),
        ("land", "drop", "action"),
        ("drop", ("return", "land"), "action"),
        ("return", "drop", "action"),
    ],
)
def test_the_action_is_the_sheets(bench: Bench, action: str, expected: object, found: str | None) -> None:
    sheet = bench.sheet(expect={"failsafe.action": expected})
    [finding] = bench.run(failsafe, {**RIGHT, "failsafe.action": action}, sheet=sheet)
    assert finding.code == found
    if found:
        assert finding.outcome == "fail"
        assert action in finding.summary
        assert bool(finding.remedy.console) is isinstance(expected, str)


def test_an_action_that_was_not_read_is_unknown(bench: Bench) -> None:
    assert names(bench.run(failsafe)) == [("unread", "unknown")]
    [finding] = bench.run(failsafe, {**RIGHT, "failsafe.action": None})
    assert (finding.code, finding.outcome) == ("unread", "unknown")
    assert "failsafe.action" in finding.summary
    sheet = bench.sheet(expect={"failsafe.action": "drop"})
    assert names(bench.run(failsafe, {**RIGHT, "failsafe.action": None}, sheet=sheet)) == [("unread", "unknown")]


@pytest.mark.parametrize("fact", ["failsafe.delay_s", "failsafe.throttle_us"])
def test_delay_and_throttle_are_missed_where_the_sheet_expects_them(bench: Bench, fact: str) -> None:
    without = {**RIGHT, fact: None}
    assert names(bench.run(failsafe, without)) == [(None, "pass")]
    [finding] = bench.run(failsafe, without, sheet=bench.sheet(expect={fact: 1000}))
    assert (finding.code, finding.outcome) == ("unread", "unknown")
    assert fact in finding.summary


@pytest.mark.parametrize(
    ("delay_s", "found"),
    [
        (0.1, (None, "pass")),
        (2.0, (None, "pass")),
        (2.1, ("late", "warn")),
        (10.0, ("late", "warn")),
        (10.1, ("late", "fail")),  # as good as hold
        (20.0, ("late", "fail")),
        (3600.0, ("late", "fail")),
        (3601.0, ("delay-absurd", "fail")),
        (0.0, ("at-once", "warn")),
        (-0.1, ("delay-absurd", "fail")),
        (-1000.0, ("delay-absurd", "fail")),
        (1e300, ("delay-absurd", "fail")),
    ],
)
def test_the_delay_is_short_and_is_a_time(bench: Bench, delay_s: float, found: tuple[str | None, str]) -> None:
    [finding] = bench.run(failsafe, {**RIGHT, "failsafe.delay_s": delay_s})
    assert (finding.code, finding.outcome.value) == found
    if finding.code:
        assert bench.tongue.asked == [("failsafe.delay_s", 1.0)]
        assert finding.expected
        assert finding.why


def test_a_late_failsafe_says_how_far_the_craft_is_by_then(bench: Bench) -> None:
    [finding] = bench.run(failsafe, {**RIGHT, "failsafe.delay_s": 20.0})
    assert "600 m further at 30 m/s" in finding.summary  # 20 s * 30 m/s (computed)
    assert finding.why == "Until then it flies on without a pilot."
    assert (finding.expected, finding.actual) == ("at most 2 s (common practice)", "20 s")
    assert "A CRSF receiver waits 1 s" in told([finding])
    [finding] = bench.run(failsafe, {**RIGHT, "failsafe.delay_s": -1.0, "receiver.protocol": "sbus"})
    assert "may never act" in finding.why
    assert (finding.expected, finding.actual) == ("0 to 2 s", "-1 s")
    assert "CRSF" not in told([finding])


def test_a_sheet_decides_on_the_delay_but_not_that_a_time_is_negative(bench: Bench) -> None:
    sheet = bench.sheet(expect={"failsafe.delay_s": Range(0.0, 5.0)})
    assert names(bench.run(failsafe, {**RIGHT, "failsafe.delay_s": 5.0}, sheet=sheet)) == [(None, "pass")]
    assert names(bench.run(failsafe, {**RIGHT, "failsafe.delay_s": 0.0}, sheet=sheet)) == [(None, "pass")]
    [finding] = bench.run(failsafe, {**RIGHT, "failsafe.delay_s": 6.0}, sheet=sheet)
    assert (finding.code, finding.outcome, finding.expected) == ("delay", "fail", "0.0 to 5.0 s")
    assert finding.remedy.console == ()
    low = bench.sheet(expect={"failsafe.delay_s": Range(None, 5.0)})
    [finding] = bench.run(failsafe, {**RIGHT, "failsafe.delay_s": -1.0}, sheet=low)
    assert (finding.code, finding.expected) == ("delay-absurd", "at most 5.0 s")
    only = bench.sheet(expect={"failsafe.delay_s": 0.5})
    bench.run(failsafe, RIGHT, sheet=only)
    assert bench.tongue.asked[-1] == ("failsafe.delay_s", 0.5)


@pytest.mark.parametrize(
    ("action", "throttle_us", "found"),
    [
        ("drop", 1000, None),
        ("drop", 885, None),  # below the low end: closed all the same
        ("drop", 1050, None),  # idle: 5 percent of the travel
        ("drop", 1051, ("throttle", "fail")),
        ("drop", 1600, ("throttle", "fail")),
        ("land", 1050, None),
        ("land", 1051, ("landing-throttle", "warn")),
        ("land", 1500, ("landing-throttle", "warn")),
        ("land", 1501, ("throttle", "fail")),
        ("drop", 0, ("throttle-absurd", "fail")),
        ("drop", -1, ("throttle-absurd", "fail")),
        ("land", 65535, ("throttle-absurd", "fail")),
        ("return", 1300, None),
        ("return", 65535, ("throttle-absurd", "fail")),
    ],
)
def test_the_throttle_is_closed_or_idle(
    bench: Bench, action: str, throttle_us: int, found: tuple[str, str] | None
) -> None:
    changes = {**RIGHT, "failsafe.action": action, "failsafe.throttle_us": throttle_us}
    [finding] = bench.run(failsafe, changes, ports=POSITIONING)
    assert (finding.code, finding.outcome.value) == (found or (None, "pass"))
    if found and found[0] != "landing-throttle":
        assert bench.tongue.asked == [("failsafe.throttle_us", 1000)]


def test_idle_is_what_the_board_idles_at_and_the_travel_is_the_boards(bench: Bench) -> None:
    throttle = {**RIGHT, "failsafe.throttle_us": 1080}
    assert names(bench.run(failsafe, throttle)) == [("throttle", "fail")]
    assert names(bench.run(failsafe, {**throttle, "motors.idle_percent": 8.0})) == [(None, "pass")]
    high = {**RIGHT, "failsafe.throttle_us": 1250, "motors.idle_percent": 25.0}
    assert names(bench.run(failsafe, high)) == [("throttle", "fail")]  # an absurd idle excuses nothing
    assert names(bench.run(failsafe, {**RIGHT, "failsafe.throttle_us": 1040, "channels.low": 988})) == [
        ("throttle", "fail")
    ]  # 988 + 5 percent of 1012 is 1039 (computed)


def test_hold_with_a_raised_throttle_is_two_things(bench: Bench) -> None:
    changes = {**RIGHT, "failsafe.action": "hold", "failsafe.throttle_us": 1600}
    assert names(bench.run(failsafe, changes)) == [("hold", "fail"), ("throttle", "fail")]


def test_a_sheet_decides_on_the_throttle(bench: Bench) -> None:
    sheet = bench.sheet(expect={"failsafe.throttle_us": 1250, "failsafe.action": "land"})
    land = {**RIGHT, "failsafe.action": "land", "failsafe.throttle_us": 1250}
    assert names(bench.run(failsafe, land, sheet=sheet)) == [(None, "pass")]
    [finding] = bench.run(failsafe, {**land, "failsafe.throttle_us": 1000}, sheet=sheet)
    assert (finding.code, finding.outcome, finding.expected) == ("throttle", "fail", "1250 us")
    assert finding.remedy.console == ("set failsafe.throttle_us 1250", "store")
    spread = bench.sheet(expect={"failsafe.throttle_us": (1000, 1050)})
    [finding] = bench.run(failsafe, {**RIGHT, "failsafe.throttle_us": 1100}, sheet=spread)
    assert (finding.code, finding.remedy.console) == ("throttle", ())
    [finding] = bench.run(failsafe, {**RIGHT, "failsafe.throttle_us": 0}, sheet=spread)
    assert (finding.code, finding.remedy.console) == ("throttle-absurd", ())


def test_a_craft_that_is_to_return_must_know_where_it_is(bench: Bench) -> None:
    home = {**RIGHT, "failsafe.action": "return"}
    [finding] = bench.run(failsafe, home)
    assert (finding.code, finding.outcome) == ("return-without-positioning", "fail")
    assert finding.expected == "a UART with the role positioning, or drop or land"
    assert finding.remedy.console == ("set failsafe.action drop", "store")
    assert names(bench.run(failsafe, home, ports=POSITIONING)) == [(None, "pass")]
    assert names(bench.run(failsafe, home, ports=None)) == [("unread", "unknown")]
    asked = bench.sheet(expect={"failsafe.action": "return"})
    [finding] = bench.run(failsafe, home, sheet=asked)
    assert (finding.code, finding.remedy.console) == ("return-without-positioning", ())
    assert finding.expected == "a UART with the role positioning"
    hidden = ({"id": "U1", "roles": None}, {"id": "U2", "roles": ("receiver",)})
    assert names(bench.run(failsafe, home, ports=hidden)) == [(None, "pass")]  # port-roles says what was not read
    other = bench.sheet(expect={"failsafe.action": "drop"})
    assert names(bench.run(failsafe, home, sheet=other)) == [("action", "fail")]  # one thing to do


def test_every_finding_defers_to_local_rules(bench: Bench) -> None:
    findings = bench.run(failsafe, {"failsafe.action": "hold", "failsafe.delay_s": 20.0, "failsafe.throttle_us": 1600})
    assert [finding.code for finding in findings] == ["hold", "late", "throttle"]
    for finding in findings:
        assert "local rules" in (finding.caution or "")
        assert "Propellers off" in (finding.caution or "")
        assert finding.remedy.steps
        assert [seen.text[:8] for seen in finding.evidence]


@settings(max_examples=300, deadline=None)
@given(
    st.sampled_from(["drop", "hold", "land", "return", None]),
    st.one_of(st.none(), st.floats(allow_nan=False, allow_infinity=False), st.floats(0, 3)),
    st.one_of(st.none(), st.integers(-10, 3000), st.integers()),
)
def test_only_a_craft_that_comes_down_soon_passes(
    action: str | None, delay_s: float | None, throttle: int | None
) -> None:
    changes = {"failsafe.action": action, "failsafe.delay_s": delay_s, "failsafe.throttle_us": throttle}
    findings = Bench().run(failsafe, changes, ports=POSITIONING)
    assert all(finding.outcome != "error" for finding in findings), told(findings)
    sound = action in ("drop", "land", "return")
    sound = sound and (delay_s is None or 0 < delay_s <= 2)
    sound = sound and (throttle is None or 800 <= throttle <= (2200 if action == "return" else 1050))
    assert (outcomes(findings) == ["pass"]) is sound


def test_an_examination_takes_less_than_half_a_millisecond(bench: Bench) -> None:
    craft, lines = bench.craft({"failsafe.action": "hold", "failsafe.delay_s": 20.0, "failsafe.throttle_us": 1600})
    case = Case(failsafe, craft, bench.sheet(), None, lines)
    best_s = min(timeit.repeat(lambda: list(failsafe.examine(case)), number=20, repeat=5)) / 20  # type: ignore[arg-type]  # no coroutine
    assert best_s < 0.0005

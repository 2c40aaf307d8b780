"""channel-order against all 24 orders, and against orders that are none."""

from __future__ import annotations

from itertools import permutations

import pytest

from propsoff import Anything, Pattern
from propsoff_checks.channel_order import channel_order, cycles
from tests_support.crafts import Bench, outcomes, told

# Orders are makers' customs, no standard (rchelibase.com, p. 14); there are 4! = 24 of them (computed).
ORDERS = sorted("".join(letters) for letters in permutations("AETR"))
NAMES = {"A": "aileron", "E": "elevator", "T": "throttle", "R": "rudder"}


def test_there_are_24_orders() -> None:
    assert len(set(ORDERS)) == 24


@pytest.mark.parametrize("wanted", ["AETR", "TAER"])
def test_of_all_orders_exactly_the_expected_one_passes(bench: Bench, wanted: str) -> None:
    sheet = bench.sheet(expect={"channels.order": wanted})
    passing = [
        order
        for order in ORDERS
        if outcomes(bench.run(channel_order, {"channels.order": order}, sheet=sheet)) == ["pass"]
    ]
    assert passing == [wanted]


@pytest.mark.parametrize("order", [order for order in ORDERS if order != "AETR"])
def test_a_wrong_order_names_exactly_the_controls_out_of_place(bench: Bench, order: str) -> None:
    [finding] = bench.run(channel_order, {"channels.order": order})
    assert finding.outcome == "fail"
    moved = {letter for letter, should in zip(order, "AETR", strict=True) if letter != should}
    assert {letter for letter, name in NAMES.items() if name in finding.summary} == moved


@pytest.mark.parametrize("order", [order for order in ORDERS if order != "AETR"])
def test_each_stick_named_drives_the_control_named(bench: Bench, order: str) -> None:
    """The transmitter sends the sticks as AETR; the board takes channel n as its n-th letter."""
    [finding] = bench.run(channel_order, {"channels.order": order})
    for channel in range(4):
        stick, control = "AETR"[channel], order[channel]
        claim = f"the {NAMES[stick]} stick drives {NAMES[control]}"
        assert (claim in finding.summary) == (stick != control)


@pytest.mark.parametrize("wanted", ORDERS)
@pytest.mark.parametrize("rest", ["", " 4 3 2 1", " 2 1"])
def test_the_remedy_gives_the_expected_order_and_keeps_the_other_channels(wanted: str, rest: str) -> None:
    for order in ORDERS:
        if order == wanted:
            continue
        bench = Bench()
        sheet = bench.sheet(expect={"channels.order": wanted})
        [finding] = bench.run(channel_order, {"channels.order": order + rest}, sheet=sheet)
        assert bench.tongue.asked == [("channels.order", wanted + rest)]
        assert finding.remedy.console == (f"set channels.order {wanted}{rest}", "store")
        after = bench.run(channel_order, dict(bench.tongue.asked), sheet=sheet)
        assert outcomes(after) == ["pass"]


@pytest.mark.parametrize(
    ("found", "groups"),
    [
        ("AETR", []),
        ("AERT", ["TR"]),  # throttle and rudder swapped
        ("EATR", ["AE"]),
        ("TAER", ["TEA"]),  # three go round: throttle stick drives elevator, elevator stick aileron, ...
        ("EARTx"[:4], ["TR", "AE"]),  # two pairs
        ("RAET", ["TEAR"]),  # all four go round
    ],
)
def test_controls_that_changed_places_are_grouped(found: str, groups: list[str]) -> None:
    assert cycles(found, "AETR") == groups


def test_a_swap_is_told_as_a_swap_and_a_cycle_as_a_cycle(bench: Bench) -> None:
    [swap] = bench.run(channel_order, {"channels.order": "AERT"})
    assert swap.summary == (
        "throttle and rudder are swapped: the throttle stick drives rudder and the rudder stick drives throttle"
    )
    [cycle] = bench.run(channel_order, {"channels.order": "TAER"})
    assert cycle.summary.startswith("throttle, elevator and aileron are rotated: ")


def test_only_a_misplaced_throttle_is_said_to_bring_full_power(bench: Bench) -> None:
    [throttle] = bench.run(channel_order, {"channels.order": "TAER"})
    [roll] = bench.run(channel_order, {"channels.order": "EATR"})
    assert "full power" in throttle.why
    assert "full power" not in roll.why
    assert throttle.caution is not None
    assert "Propellers off" in throttle.caution


@pytest.mark.parametrize(
    ("order", "says"),
    [
        ("AETE", ["no channel drives rudder", "more than one channel drives elevator"]),
        ("AET 2 1", ["no channel drives rudder (yaw)"]),
        ("", ["no channel order is set"]),
        ("1 2 3 4", ["no channel order is set"]),
        ("AAAA", ["elevator (pitch), throttle and rudder (yaw)", "more than one channel drives aileron"]),
        ("AETX", ["no channel drives rudder", "X stands for no control"]),
        ("AETR 1 A", ["more than one channel drives aileron"]),
        ("A" * 5000, ["no channel drives"]),
    ],
)
def test_an_order_that_is_none_fails_and_says_what_is_wrong(bench: Bench, order: str, says: list[str]) -> None:
    [finding] = bench.run(channel_order, {"channels.order": order})
    assert finding.outcome == "fail"
    for words in says:
        assert words in finding.summary
    assert finding.remedy.console[0].startswith("set channels.order AETR")


def test_small_letters_are_the_same_order(bench: Bench) -> None:
    assert outcomes(bench.run(channel_order, {"channels.order": "aetr 2 1"})) == ["pass"]


def test_an_unread_order_is_unknown(bench: Bench) -> None:
    [finding] = bench.run(channel_order, {"channels.order": None})
    assert finding.outcome == "unknown"
    assert "channels.order" in finding.summary


def test_without_an_expected_order_only_completeness_is_examined(bench: Bench) -> None:
    sheet = bench.sheet()
    for order in ORDERS:
        assert outcomes(bench.run(channel_order, {"channels.order": order}, sheet=sheet)) == ["pass"]
    [finding] = bench.run(channel_order, {"channels.order": "AETT"}, sheet=sheet)
    assert finding.outcome == "fail"
    assert finding.remedy.console == ()


def test_of_several_allowed_orders_each_passes_and_none_is_forced_on_a_third(bench: Bench) -> None:
    sheet = bench.sheet(expect={"channels.order": ("AETR", "TAER")})
    for order in ("AETR", "TAER"):
        assert outcomes(bench.run(channel_order, {"channels.order": order}, sheet=sheet)) == ["pass"]
    [finding] = bench.run(channel_order, {"channels.order": "TARE"}, sheet=sheet)
    assert finding.outcome == "fail"
    assert finding.expected == "TAER"  # the nearer of the two
    assert finding.remedy.console == ()


def test_a_sheet_that_names_the_further_channels_is_held_to_them(bench: Bench) -> None:
    sheet = bench.sheet(expect={"channels.order": "AETR 1 2"})
    assert outcomes(bench.run(channel_order, sheet=sheet)) == ["pass"]
    [finding] = bench.run(channel_order, {"channels.order": "AETR 2 1"}, sheet=sheet)
    assert finding.outcome == "fail"
    assert finding.summary.endswith("in the order 2 1, where 1 2 is expected")
    assert finding.remedy.console == ("set channels.order AETR", "store")  # numbers that run 1..n are left out
    turned = bench.sheet(expect={"channels.order": "AETR 2 1"})
    assert outcomes(bench.run(channel_order, {"channels.order": "AETR 2 1"}, sheet=turned)) == ["pass"]
    [finding] = bench.run(channel_order, sheet=turned)
    assert (finding.outcome, finding.expected) == ("fail", "AETR 2 1")
    assert finding.remedy.console == ("set channels.order AETR 2 1", "store")


def test_a_further_channel_among_the_sticks_is_told_with_what_each_stick_drives(bench: Bench) -> None:
    [finding] = bench.run(channel_order, {"channels.order": "A 1 ETR"})
    assert finding.outcome == "fail"
    assert finding.summary == (
        "a further channel stands among the sticks: the elevator stick drives no control, "
        "the throttle stick drives elevator and the rudder stick drives throttle"
    )
    assert "full power" in finding.why
    assert finding.remedy.console == ("set channels.order AETR", "store")
    [finding] = bench.run(channel_order, {"channels.order": "AET 2 R 1"})
    assert "full power" not in finding.why
    assert finding.remedy.console == ("set channels.order AETR 2 1", "store")
    assert outcomes(bench.run(channel_order, {"channels.order": "A 1 ETR"}, sheet=bench.sheet())) == ["pass"]


def test_the_evidence_is_the_line_that_states_the_order(bench: Bench) -> None:
    [finding] = bench.run(channel_order, {"channels.order": "TAER 2 1"})
    assert [seen.text for seen in finding.evidence] == ["channels.order = TAER 2 1"]


def test_without_a_dialect_the_steps_for_hands_remain(bench: Bench) -> None:
    [finding] = bench.run(channel_order, {"channels.order": "TAER"}, tongue=None)
    assert finding.remedy.console == ()
    assert "one stick at a time" in told([finding])


@pytest.mark.parametrize(
    ("order", "code"),
    [
        ("TAER", "order"),
        ("AERT", "order"),
        ("A 1 ETR", "among-sticks"),
        ("AETE", "incomplete"),
        ("", "incomplete"),
        ("AETR 2 1", "further-channels"),
    ],
)
def test_each_finding_has_a_code(bench: Bench, order: str, code: str) -> None:
    [finding] = bench.run(
        channel_order, {"channels.order": order}, sheet=bench.sheet(expect={"channels.order": "AETR 1 2"})
    )
    assert finding.name == f"channel-order/{code}"
    # A wrong order may look like a raised throttle, and put a stick where the arm switch is.
    effects = ("arming-blocks/throttle-not-low", "switch-plan/arm-on-stick", "switch-plan/on-stick")
    assert finding.explains == (() if code == "further-channels" else effects)


def test_a_sheet_that_takes_any_order_takes_each_of_the_24_and_no_other(bench: Bench) -> None:
    sheet = bench.sheet(expect={"channels.order": Anything()})
    for order in ORDERS:
        assert outcomes(bench.run(channel_order, {"channels.order": order}, sheet=sheet)) == ["pass"]
    for order in ("AETE", "", "1 2 3 4"):
        [finding] = bench.run(channel_order, {"channels.order": order}, sheet=sheet)
        assert (finding.code, finding.expected) == ("incomplete", "each of A, E, T and R once")
        assert finding.remedy.console == ()


def test_of_a_pattern_the_orders_that_match_pass_and_no_line_is_made_up(bench: Bench) -> None:
    sheet = bench.sheet(expect={"channels.order": Pattern("t*")})
    passing = [
        order
        for order in ORDERS
        if outcomes(bench.run(channel_order, {"channels.order": order}, sheet=sheet)) == ["pass"]
    ]
    assert passing == [order for order in ORDERS if order.startswith("T")]
    [finding] = bench.run(channel_order, {"channels.order": "AETR"}, sheet=sheet)
    assert (finding.code, finding.expected, finding.remedy.console) == ("order", "like t*", ())
    assert "where like t* is expected" in finding.summary
    mixed = bench.sheet(expect={"channels.order": (Pattern("t*"), "AETR")})
    assert outcomes(bench.run(channel_order, {"channels.order": "TREA"}, sheet=mixed)) == ["pass"]
    assert outcomes(bench.run(channel_order, {"channels.order": "AETR 2 1"}, sheet=mixed)) == ["pass"]
    [finding] = bench.run(channel_order, {"channels.order": "EATR"}, sheet=mixed)
    assert (finding.code, finding.expected, finding.remedy.console) == ("order", "AETR", ())


@pytest.mark.parametrize(
    ("order", "asked", "outcome", "line"),
    [
        ("AETR 2 1 3 4", "AETR 2 1", "pass", None),  # what stands behind those that the sheet names does not matter
        ("AETR", "AETR 1 2", "pass", None),  # the fact leaves out numbers that run 1..n
        ("AETR 2 1 3 4", "AETR 1 2", "fail", "set channels.order AETR"),
        ("AETR 1 3 2 4", "AETR 2 1", "fail", "set channels.order AETR 2 1 3 4"),
    ],
)
def test_only_the_further_channels_that_the_sheet_names_matter(
    bench: Bench, order: str, asked: str, outcome: str, line: str | None
) -> None:
    (found,) = bench.run(channel_order, {"channels.order": order}, sheet=bench.sheet(expect={"channels.order": asked}))
    assert found.outcome == outcome
    assert found.remedy.console == ((line, "store") if line else ())


@pytest.mark.parametrize(
    ("order", "says", "throttle"),
    [
        ("AET", "no channel drives rudder", False),
        ("AER", "no channel drives throttle", True),
        ("AETR 1 A", "more than one channel drives aileron", False),
        ("AETRT", "more than one channel drives throttle", True),
        ("AETRX", "X stands for no control", False),
    ],
)
def test_an_incomplete_order_is_told_with_its_one_fault_and_what_it_means(
    bench: Bench, order: str, says: str, throttle: bool
) -> None:
    [found] = bench.run(channel_order, {"channels.order": order}, sheet=bench.sheet(expect={"channels.order": "AETR"}))
    assert says in found.summary
    assert ";" not in found.summary  # nothing else is wrong with it
    assert (found.code, found.expected, found.actual) == ("incomplete", "AETR", order)
    assert ("full power" in found.why) is throttle


def test_an_empty_order_is_not_quoted_as_nothing(bench: Bench) -> None:
    [found] = bench.run(channel_order, {"channels.order": ""})
    assert found.actual
    assert found.remedy.console == ("set channels.order AETR", "store")


@pytest.mark.parametrize("asked", ["AETR", "AETR 1 2", "AETR 2 1"])
def test_sticks_out_of_place_are_told_alike_whatever_stands_behind_them(bench: Bench, asked: str) -> None:
    [found] = bench.run(
        channel_order, {"channels.order": "AERT 2 1"}, sheet=bench.sheet(expect={"channels.order": asked})
    )
    assert (found.code, found.actual) == ("order", "AERT 2 1")
    assert "throttle and rudder are swapped" in found.summary

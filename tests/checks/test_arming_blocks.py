"""arming-blocks: each reason in words, and which are usual on a bench."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from propsoff import Finding
from propsoff_checks.arming_blocks import NORMAL, arming_blocks
from tests_support.crafts import Bench, names, outcomes, told

KNOWN = {
    "throttle-not-low": ("warn", "throttle stick is not at its low end"),
    "not-level": ("warn", "does not lie level"),
    "gyro-missing": ("fail", "found no gyro"),
    "arm-switch-on": ("warn", "arm switch is on"),
}


def run(bench: Bench, *blocks: str, **sheet: object) -> list[Finding]:
    return bench.run(arming_blocks, {"arming.blocks": blocks}, sheet=bench.sheet(**sheet))


# A USB cable, and no transmitter on, keep a craft from arming on a bench: common practice.
@pytest.mark.parametrize("blocks", [("usb-connected",), ("no-receiver-link",), ("no-receiver-link", "usb-connected")])
def test_what_is_usual_on_a_bench_passes_and_is_explained(bench: Bench, blocks: tuple[str, ...]) -> None:
    [finding] = run(bench, *blocks)
    assert finding.outcome == "pass"
    for block in blocks:
        assert f"{block} ({NORMAL[block]})" in finding.summary


def test_a_craft_that_would_arm_now_is_told_as_such(bench: Bench) -> None:
    [finding] = run(bench)
    assert finding.outcome == "pass"
    assert "would arm now" in finding.summary


@pytest.mark.parametrize("reason", KNOWN)
def test_each_reason_is_told_in_words_with_what_to_do(bench: Bench, reason: str) -> None:
    outcome, words = KNOWN[reason]
    [finding] = run(bench, "usb-connected", reason)
    assert (finding.code, finding.outcome) == (reason, outcome)
    assert words in finding.summary
    assert finding.remedy.steps
    assert finding.why
    assert (finding.expected, finding.actual) == ("nothing but usb-connected and no-receiver-link on a bench", reason)
    assert "Propellers off" in (finding.caution or "")
    assert ("keeps the motors still" in (finding.caution or "")) is (reason in ("throttle-not-low", "arm-switch-on"))
    assert [seen.text[:13] for seen in finding.evidence] == ["arming.blocks"]


def test_reasons_come_once_each_in_the_boards_order(bench: Bench) -> None:
    findings = run(bench, "not-level", "usb-connected", "arm-switch-on", "not-level")
    assert names(findings) == [("not-level", "warn"), ("arm-switch-on", "warn")]


def test_what_the_receiver_shows_at_rest_is_looked_at_again_with_a_transmitter(bench: Bench) -> None:
    for reason in ("throttle-not-low", "arm-switch-on"):
        [alone] = run(bench, reason)
        [deaf] = run(bench, reason, "no-receiver-link")
        assert "switch it on first" not in told([alone])
        assert "switch it on first" in deaf.remedy.steps[0]
    [level] = run(bench, "not-level", "no-receiver-link")
    assert "switch it on first" not in told([level])


def test_reasons_that_are_usual_on_this_bench_pass_by_the_sheet(bench: Bench) -> None:
    [finding] = run(bench, "not-level", "usb-connected", arming_normal=("not-level",))
    assert finding.outcome == "pass"
    assert "not-level (usual on this bench, by the build sheet)" in finding.summary
    assert names(run(bench, "not-level", "gyro-missing", arming_normal=("not-level",))) == [("gyro-missing", "fail")]


def test_reasons_that_nobody_knows_are_quoted_in_one_warning(bench: Bench) -> None:
    [finding] = run(bench, "monday", "usb-connected", "tuesday")
    assert (finding.code, finding.outcome) == ("unfamiliar", "warn")
    assert "'monday' and 'tuesday'" in finding.summary
    assert "documentation" in told([finding])
    assert run(bench, "monday", arming_normal=("monday",))[0].outcome == "pass"


def test_a_gyro_that_is_listed_and_missed_at_once_is_told_as_a_contradiction(bench: Bench) -> None:
    facts = {"arming.blocks": ("gyro-missing",), "sensors.gyro": "found"}
    [finding] = bench.run(arming_blocks, facts)
    assert "lists a gyro" in finding.remedy.steps[0]
    [finding] = bench.run(arming_blocks, {**facts, "sensors.gyro": "missing"})
    assert "lists a gyro" not in told([finding])


def test_reasons_that_were_not_read_are_unknown(bench: Bench) -> None:
    [finding] = bench.run(arming_blocks)
    assert (finding.code, finding.outcome) == ("unread", "unknown")


@given(st.lists(st.one_of(st.text(max_size=60), st.sampled_from([*KNOWN, *NORMAL, "x" * 3000])), max_size=60))
def test_whatever_is_listed_only_usual_reasons_pass(blocks: list[str]) -> None:
    findings = run(Bench(), *blocks)
    assert all(finding.outcome != "error" for finding in findings), told(findings)
    assert (outcomes(findings) == ["pass"]) is (set(blocks) <= set(NORMAL))

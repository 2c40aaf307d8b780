"""Video link: kind, channels, power, region, both ends and neighbours, with the values of tables and rules."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import combinations
from math import log10
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from propsoff import BuildSheet, Case, Finding, Neighbour, Question, Range
from propsoff.craft.build import CraftBuilder
from propsoff.craft.model import HandNote
from propsoff.inspection.causes import under_their_causes
from propsoff.inspection.runner import run_checks
from propsoff.sheets.model import REGIONS
from propsoff_checks.hand_notes import hand_notes
from propsoff_checks.overlay_canvas import overlay_canvas
from propsoff_checks.radio_rules import RULES, field_power_mw
from propsoff_checks.video_channels import (
    BANDS,
    NARROWEST_MHZ,
    centre_mhz,
    channels_at,
    falls_on,
    hit_triples,
    is_near,
    third_order,
)
from propsoff_checks.video_link import video_link
from tests_support.crafts import PORTS, Bench, Parrot, codes, told

ANALOG: dict[str, object] = {
    "video.link": "analog",
    "overlay.system": "pal",
    "overlay.columns": 30,
    "overlay.rows": 16,
    "video.band": "R",
    "video.channel": 5,
    "video.frequency_mhz": 5806,
    "video.power_mw": 25.0,
}
CARRIED = PORTS
BARE = tuple(port for port in PORTS if port["roles"] != ("overlay-link",))
TRANSMITTER = Question("video-transmitter-firmware", "Firmware of the video transmitter?", "version")
GOGGLES = Question("goggles-firmware", "Firmware of the goggles?", "version")
ANTENNA = Question("antenna-fitted", "Is the antenna fitted?", "yes-no")
PASS = [("pass", None)]


def run(
    bench: Bench,
    changes: Mapping[str, object] | None = None,
    *,
    sheet: BuildSheet | None = None,
    said: Mapping[str, Any] | None = None,
    others: Mapping[str, int] | None = None,
    checks: Any = (video_link,),
) -> list[Finding]:
    """What is found on the analogue craft with changes; `said` are answers of a person, `others` the neighbours."""
    craft, lines = bench.craft({**ANALOG, **(changes or {})}, ports=BARE)
    craft = replace(craft, hand={name: HandNote(value) for name, value in (said or {}).items()})
    neighbours = tuple(Neighbour(name, mhz) for name, mhz in (others or {}).items())
    chosen = sheet or bench.sheet()
    return run_checks(checks, lambda one: Case(one, craft, chosen, bench.tongue, lines, neighbours))


ALL = [centre for row in BANDS.values() for centre in row]


def test_the_table_is_that_of_the_source() -> None:
    # wiki.courat.fr; sum, distinct centres and those inside 5725-5875 MHz computed from that table.
    assert sum(ALL) == 231_896
    assert len(set(ALL)) == 39
    assert sorted(BANDS) == ["A", "B", "E", "F", "R"]
    assert sum(5725 <= centre <= 5875 for centre in ALL) == 27
    # 47 CFR 97.301, Region 2: E4 and E8 lie outside 5650-5925 MHz.
    outside = [name for centre in sorted(set(ALL)) if not 5650 <= centre <= 5925 for name in channels_at(centre)]
    assert outside == ["E4", "E8"]


@pytest.mark.parametrize(
    ("band", "first", "step"), [("A", 5885, -20), ("B", 5714, 19), ("F", 5720, 20), ("R", 5621, 37)]
)
def test_four_bands_have_a_formula(band: str, first: int, step: int) -> None:
    assert [centre_mhz(band, number) for number in range(1, 9)] == [first + step * number for number in range(1, 9)]


def test_the_least_distance_within_a_band_is_that_of_band_b() -> None:
    assert NARROWEST_MHZ == min(abs(one - two) for row in BANDS.values() for one, two in combinations(row, 2)) == 19


def test_the_page_has_the_table_of_the_code() -> None:
    page = (Path(__file__).parents[2] / "contrib" / "guide" / "checks" / "video-link.md").read_text(encoding="utf-8")
    rows = [line.split("|")[1:-2] for line in page.splitlines() if line[:3] in {f"| {band}" for band in BANDS}]
    assert {row[0].strip(): tuple(map(int, row[1:])) for row in rows} == dict(BANDS)


def test_a_channel_that_is_not_in_the_table_has_no_centre() -> None:
    assert [centre_mhz(*one) for one in (("R", 0), ("R", 9), ("R", -1), ("Q", 5), ("", 1))] == [None] * 5
    assert centre_mhz("r", 5) == 5806
    assert channels_at(5880) == ["F8", "R7"]
    assert channels_at(5000) == []


def test_the_rules_are_those_of_their_sources_and_one_for_each_region_of_a_sheet() -> None:
    assert set(RULES) == set(REGIONS)
    # Debian wireless-regdb 2026.05.30: 5725-5875 MHz at 25 mW = 13.98 dBm
    assert (RULES["eu"].low_mhz, RULES["eu"].high_mhz, RULES["eu"].power_mw) == (5725, 5875, 25)
    assert round(10 * log10(25), 2) == 13.98
    # 47 CFR 15.249: 50 mV/m at 3 m, (E d)^2 / 30
    assert field_power_mw(0.050, 3) == pytest.approx(0.75)
    assert RULES["us-unlicensed"].power_mw == pytest.approx(0.75)
    assert (RULES["us-unlicensed"].low_mhz, RULES["us-unlicensed"].high_mhz) == (5725, 5875)  # from memory
    # 47 CFR 97.301, Region 2
    assert (RULES["us-amateur"].low_mhz, RULES["us-amateur"].high_mhz, RULES["us-amateur"].power_mw) == (
        5650,
        5925,
        None,
    )


def test_r1_and_r3_make_r5() -> None:
    r1, r3, r5 = (centre_mhz("R", number) for number in (1, 3, 5))
    assert r1 is not None
    assert r3 is not None
    assert third_order(r1, r3) == (5584, 5806)
    assert third_order(r1, r3)[1] == r5


@pytest.mark.parametrize(
    ("changes", "found"),
    [
        ({}, PASS),
        ({"video.band": "r"}, PASS),
        ({"video.frequency_mhz": 5790}, [("fail", "other-frequency")]),
        ({"video.frequency_mhz": 5807}, [("fail", "other-frequency")]),
        ({"video.channel": 4}, [("fail", "other-frequency")]),
        ({"video.channel": 0}, [("fail", "no-such-channel")]),
        ({"video.channel": 9}, [("fail", "no-such-channel")]),
        ({"video.channel": -1}, [("fail", "no-such-channel")]),
        ({"video.band": "Q"}, [("warn", "unknown-band")]),
        ({"video.band": ""}, [("warn", "unknown-band")]),
        ({"video.band": "E", "video.channel": 4, "video.frequency_mhz": 5645}, PASS),  # no region, no word about it
        ({"video.band": None, "video.channel": None}, PASS),
        ({"video.frequency_mhz": None}, PASS),
        ({"video.frequency_mhz": 0}, [("fail", "absurd-frequency")]),
        ({"video.frequency_mhz": -5806}, [("fail", "absurd-frequency")]),
        ({"video.frequency_mhz": 5_806_000}, [("fail", "absurd-frequency")]),
        ({"video.band": None, "video.frequency_mhz": 100_001}, [("fail", "absurd-frequency")]),
        ({"video.power_mw": 25.5}, [("warn", "bench-power")]),
        ({"video.power_mw": 800.0}, [("warn", "bench-power")]),
        ({"video.power_mw": 0.0}, PASS),
        ({"video.power_mw": None}, PASS),
        ({"video.power_mw": -1.0}, [("fail", "absurd-power")]),
        ({"video.power_mw": 100_000.0}, [("warn", "bench-power")]),
        ({"video.power_mw": 100_001.0}, [("fail", "absurd-power")]),
        ({"video.band": None, "video.frequency_mhz": 1}, PASS),
        ({"video.band": None, "video.frequency_mhz": 100_000}, PASS),
        ({"video.power_mw": 1e9}, [("fail", "absurd-power")]),
        ({"video.link": None}, [("unknown", "unread")]),
        ({name: None for name in ANALOG if name.startswith("video.") and name != "video.link"}, PASS),
    ],
)
def test_what_a_board_states_of_an_analogue_link(bench: Bench, changes: dict[str, object], found: Any) -> None:
    assert codes(run(bench, changes)) == found


@pytest.mark.parametrize(
    ("region", "changes", "found"),
    [
        ("eu", {}, PASS),
        ("eu", {"video.power_mw": 25.1}, [("warn", "bench-power"), ("fail", "region-power")]),
        ("eu", {"video.band": "A", "video.channel": 8, "video.frequency_mhz": 5725}, PASS),
        ("eu", {"video.band": None, "video.frequency_mhz": 5875}, PASS),
        ("eu", {"video.band": None, "video.frequency_mhz": 5876}, [("fail", "outside-region")]),
        ("eu", {"video.band": None, "video.frequency_mhz": 5724}, [("fail", "outside-region")]),
        ("eu", {"video.channel": 1, "video.frequency_mhz": None}, [("fail", "outside-region")]),  # R1, 5658 MHz
        ("eu", {"video.band": None, "video.frequency_mhz": 1}, [("fail", "outside-region")]),
        # What cannot be was read all the same, and lies within no region.
        ("eu", {"video.frequency_mhz": 0}, [("fail", "absurd-frequency")]),
        ("eu", {"video.frequency_mhz": 5_806_000}, [("fail", "absurd-frequency")]),
        ("eu", {"video.frequency_mhz": None, "video.band": None}, [("unknown", "unread")]),
        ("eu", {"video.power_mw": None}, [("unknown", "unread")]),
        ("us-unlicensed", {}, [("fail", "region-power")]),
        ("us-unlicensed", {"video.power_mw": 0.75}, PASS),
        ("us-amateur", {"video.channel": 1, "video.frequency_mhz": 5658, "video.power_mw": None}, PASS),
        ("us-amateur", {"video.power_mw": 800.0}, [("warn", "bench-power")]),
        (
            "us-amateur",
            {"video.band": "E", "video.channel": 4, "video.frequency_mhz": None},
            [("fail", "outside-region")],
        ),
        (
            "us-amateur",
            {"video.band": "E", "video.channel": 8, "video.frequency_mhz": None},
            [("fail", "outside-region")],
        ),
    ],
)
def test_frequency_and_power_against_the_region_of_the_sheet(
    bench: Bench, region: str, changes: dict[str, object], found: Any
) -> None:
    assert codes(run(bench, changes, sheet=bench.sheet(region=region))) == found


def test_the_centres_within_the_eu_are_the_27_of_the_table(bench: Bench) -> None:
    sheet, inside = bench.sheet(region="eu"), 0
    for band, row in BANDS.items():
        for number, centre in enumerate(row, 1):
            changes = {"video.band": band, "video.channel": number, "video.frequency_mhz": centre}
            inside += codes(run(bench, changes, sheet=sheet)) == PASS
    assert inside == 27


def test_what_the_board_stated_in_a_way_that_nobody_could_read_is_unknown_once(bench: Bench) -> None:
    builder = CraftBuilder()
    for name, value in ANALOG.items():
        builder.put(name, "about 25?" if name == "video.power_mw" else value, lines=[1])
    craft = builder.craft()
    for sheet in (
        bench.sheet(),
        bench.sheet(region="eu"),  # it needs the power too
        bench.sheet(expect={"video.power_mw": 25.0}),  # it asks for it too
    ):
        [one] = video_link.examine(Case(video_link, craft, sheet))  # type: ignore[misc]  # it is no coroutine
        assert (one.code, one.summary.count("video.power_mw")) == ("unread", 1)


def test_a_band_that_the_sheet_names_need_not_be_in_the_table(bench: Bench) -> None:
    changes = {"video.band": "Q", "video.frequency_mhz": 5800}
    assert codes(run(bench, changes, sheet=bench.sheet(expect={"video.band": "q"}))) == PASS
    [one] = run(bench, changes)
    assert (one.code, one.expected) == ("unknown-band", "A, B, E, F or R, or what the build sheet names")
    assert codes(run(bench, {**changes, "video.channel": None})) == [("warn", "unknown-band")]


def test_a_frequency_is_told_with_the_channels_that_have_it(bench: Bench) -> None:
    [one] = run(bench, {"video.frequency_mhz": 5880})
    assert one.summary == "R5 is 5806 MHz, but the frequency is 5880 MHz, which is F8 or R7"
    [one] = run(bench, {"video.frequency_mhz": 5807})
    assert one.summary.endswith("5807 MHz, which no channel of the table has")
    [one] = run(bench, {"video.channel": 9})
    assert one.expected == "a channel from 1 to 8"
    [one] = run(bench, {"video.band": None, "video.frequency_mhz": 5807})
    assert "link, as overlay and UARTs have it, 5807 MHz, 25 mW;" in one.summary


def test_without_a_region_it_says_that_none_is_named_and_with_one_that_local_rules_decide(bench: Bench) -> None:
    [one] = run(bench)
    assert "names no region" in one.summary
    assert "5806 MHz (R5), 25 mW" in one.summary
    [one] = run(bench, sheet=bench.sheet(region="eu"))
    assert "local rules decide" in one.summary
    [one] = run(bench, {"video.channel": 1, "video.frequency_mhz": 5658}, sheet=bench.sheet(region="eu"))
    assert "local rules decide" in told([one])
    assert "local rules" in (one.caution or "")


@pytest.mark.parametrize(
    ("fact", "value", "found"),
    [
        ("band", "F", [("fail", "band")]),
        ("band", "r", PASS),
        ("channel", 4, [("fail", "channel")]),
        ("frequency_mhz", 5880, [("fail", "frequency")]),
        ("frequency_mhz", Range(5725, 5875), PASS),
        ("power_mw", 200.0, [("fail", "power")]),
        ("link", "digital", [("fail", "link")]),
        ("link", "analog", PASS),
    ],
)
def test_each_fact_against_the_sheet(bench: Bench, fact: str, value: object, found: Any) -> None:
    sheet = bench.sheet(expect={f"video.{fact}": value})
    assert codes(run(bench, sheet=sheet)) == found
    assert codes(run(bench, {f"video.{fact}": None}, sheet=sheet)) == [("unknown", "unread")]


def test_a_power_that_the_sheet_names_is_right_but_a_regions_limit_stands(bench: Bench) -> None:
    strong = {"video.power_mw": 200.0}
    assert codes(run(bench, strong, sheet=bench.sheet(expect={"video.power_mw": 200.0}))) == PASS
    both = bench.sheet(expect={"video.power_mw": 200.0}, region="eu")
    assert codes(run(bench, strong, sheet=both)) == [("fail", "region-power")]


def test_too_much_power_for_the_region_is_one_thing_to_do(bench: Bench) -> None:
    findings = under_their_causes(run(bench, {"video.power_mw": 800.0}, sheet=bench.sheet(region="eu")))
    assert {one.code: one.because for one in findings} == {
        "bench-power": "video-link/region-power",
        "region-power": None,
    }
    assert findings[1].remedy.console == ("set video.power_mw 25.0", "store")
    [one] = run(bench, sheet=bench.sheet(region="us-unlicensed"))
    assert one.remedy.console == ()  # no transmitter has a step of 0.75 mW
    assert "0.75 mW" in one.summary
    assert "have the licence that allows more" in told([one])
    strong = bench.sheet(region="eu", expect={"video.power_mw": 200.0})
    [one] = run(bench, {"video.power_mw": 200.0}, sheet=strong)
    assert (one.code, one.remedy.console) == ("region-power", ())  # the sheet wants what the region forbids


def test_the_wrong_kind_of_link_is_said_once_and_its_channel_not_judged(bench: Bench) -> None:
    sheet = bench.sheet(expect={"video.link": "digital"}, region="eu")
    changes = {"video.power_mw": 800.0}
    findings = under_their_causes(run(bench, changes, sheet=sheet, checks=(video_link, overlay_canvas)))
    assert [(one.name, one.because) for one in findings if one.outcome == "fail"][:2] == [
        ("video-link/link", None),
        ("overlay-canvas/link", "video-link/link"),
    ]
    assert {one.code for one in findings if one.check == "video-link"} == {"link"}


def test_a_link_that_overlay_and_uarts_contradict_is_in_doubt(bench: Bench) -> None:
    changes: dict[str, object] = {**ANALOG, "overlay.system": "digital"}
    findings = bench.run(video_link, changes, ports=CARRIED, sheet=bench.sheet())
    assert codes(findings) == [("fail", "link-in-doubt")]
    digital: dict[str, object] = {"video.link": "digital", "overlay.system": "auto"}
    assert "set to analogue, but overlay and UARTs are set up as for a link that is digital" in findings[0].summary
    [one] = bench.run(video_link, digital, ports=BARE, sheet=bench.sheet())
    assert one.code == "link-in-doubt"
    assert "set to digital, but overlay and UARTs are set up as for a link that is analogue" in one.summary
    old = {**digital, "firmware.version": "4.0.3"}  # older than the digital grid: that is why
    assert codes(bench.run(video_link, old, ports=BARE, sheet=bench.sheet())) == PASS
    for version in ("4.1.0", "4.1.0-field7", None):  # not known to be older
        doubt = bench.run(video_link, {**old, "firmware.version": version}, ports=BARE, sheet=bench.sheet())
        assert codes(doubt) == [("fail", "link-in-doubt")]
    for tongue in (None, Parrot(grid_since=None)):  # nobody says since when
        doubt = bench.run(video_link, old, ports=BARE, sheet=bench.sheet(), tongue=tongue)
        assert codes(doubt) == [("fail", "link-in-doubt")]


def test_a_digital_link_needs_no_channel(bench: Bench) -> None:
    [one] = bench.run(video_link, sheet=bench.sheet(region="eu"))
    assert (one.outcome.value, one.summary) == ("pass", "digital link, as overlay and UARTs have it")


def test_a_pass_says_what_was_stated_and_no_more(bench: Bench) -> None:
    bare: dict[str, object] = {name: None for name in ANALOG if name.startswith("video.") and name != "video.link"}
    assert run(bench, bare)[0].summary == (
        "analogue link, as overlay and UARTs have it, the board does not set its channel"
    )
    assert "its channel; the build sheet names no region" in run(bench, {**bare, "video.power_mw": 25.0})[0].summary
    assert "5806 MHz (R5); the build sheet" in run(bench, {"video.power_mw": None})[0].summary
    assert run(bench, {"video.power_mw": None, "overlay.system": None})[0].summary.startswith("analogue link, 5806 MHz")
    [one] = bench.run(video_link, ports=None, sheet=bench.sheet())
    assert one.summary == "digital link"
    [one] = bench.run(video_link, {"video.power_mw": 25.0}, sheet=bench.sheet())
    assert one.summary.startswith("digital link, as overlay and UARTs have it, 25 mW; the build sheet names no region")
    [one] = run(bench, {**bare, "video.power_mw": 25.0}, said=BOTH)
    assert ", 25 mW, the board does not set its channel, both ends run 1.9.2;" in one.summary
    [one] = run(bench, {"video.band": "R", "video.channel": 5, "video.frequency_mhz": None, "video.power_mw": None})
    assert "link, as overlay and UARTs have it, 5806 MHz (R5);" in one.summary


BOTH = {"video-transmitter-firmware": "1.9.2", "goggles-firmware": "1.9.2"}


@pytest.mark.parametrize(
    ("transmitter", "goggles", "found"),
    [
        ("1.9.2", "1.9.2", PASS),
        ("1.9.2", "v1.9.2", PASS),
        ("1.9", "1.9.0", PASS),
        ("1.9.2", "1.10.0", [("fail", "ends-differ")]),
        ("01.00.0608-x", "01.00.0608-X", PASS),
        ("summer", "Summer", PASS),
        ("summer", "winter", [("fail", "ends-differ")]),
        ("1.9.2-x", "1.9.2", [("fail", "ends-differ")]),
        ("2026-03-14", "14.03.2026", PASS),
        (True, "1.9.2", [("unknown", "unanswered")]),
        ("  ", "1.9.2", [("unknown", "unanswered")]),
        ("1.9.2", None, PASS),
        (None, None, PASS),
    ],
)
def test_both_ends_must_match(bench: Bench, transmitter: Any, goggles: Any, found: Any) -> None:
    said = {"video-transmitter-firmware": transmitter, "goggles-firmware": goggles}
    given = {name: value for name, value in said.items() if value is not None}
    assert codes(run(bench, said=given)) == found


def test_ends_that_differ_say_which_is_older(bench: Bench) -> None:
    [one] = run(bench, said={**BOTH, "goggles-firmware": "1.10.0"})
    assert "Bring the video transmitter to the version of the other end" in told([one])
    [one] = run(bench, said={**BOTH, "video-transmitter-firmware": "1.10.0"})
    assert "Bring the goggles to" in told([one])
    [one] = run(bench, said={"video-transmitter-firmware": "summer", "goggles-firmware": "winter"})
    assert "Bring the older end to" in told([one])
    [one] = run(bench, said=BOTH)
    assert "both ends run 1.9.2" in one.summary


def test_what_the_sheet_asks_and_nobody_answered_is_unknown_once(bench: Bench) -> None:
    asks = bench.sheet(questions=(TRANSMITTER, GOGGLES, ANTENNA))
    [one] = run(bench, sheet=asks)
    assert (one.outcome.value, one.code) == ("unknown", "unanswered")
    assert "video transmitter, the firmware of the goggles and whether its antenna is fitted" in one.summary
    assert codes(run(bench, sheet=asks, said={**BOTH, "antenna-fitted": True})) == PASS
    [one] = run(bench, sheet=asks, said=BOTH)
    assert one.summary.endswith("whether its antenna is fitted")
    assert codes(run(bench)) == PASS  # nobody asks


@pytest.mark.parametrize(
    ("expected", "found"),
    [
        (Range("1.10.0", None), [("fail", "goggles-firmware")]),
        (Range("1.9.0", None), PASS),
        (Range(None, "1.9.1"), [("fail", "goggles-firmware")]),
        (Range("2026-01-01", None), [("unknown", "goggles-unclear")]),
    ],
)
def test_the_ends_against_the_sheets_floors(bench: Bench, expected: object, found: Any) -> None:
    sheet = bench.sheet(expect={"hand.goggles-firmware": expected})
    assert codes(run(bench, sheet=sheet, said=BOTH)) == found
    assert codes(run(bench, sheet=sheet)) == [("unknown", "unanswered")]


def test_an_end_below_its_floor_explains_that_the_two_differ(bench: Bench) -> None:
    goggles = replace(GOGGLES, expected=bench.sheet(expect={"x": Range("1.10.0", None)}).expected("x"))
    sheet = bench.sheet(expect={"hand.goggles-firmware": Range("1.10.0", None)}, questions=(goggles,))
    said = {**BOTH, "video-transmitter-firmware": "1.10.0"}
    findings = under_their_causes(run(bench, sheet=sheet, said=said, checks=(video_link, hand_notes)))
    assert [(one.name, one.because) for one in findings] == [
        ("video-link/goggles-firmware", None),
        ("video-link/ends-differ", "video-link/goggles-firmware"),
        ("hand-notes/goggles-firmware", "video-link/goggles-firmware"),
    ]


def test_a_transmitter_without_its_antenna_fails_with_a_caution(bench: Bench) -> None:
    for changes in ({}, {"video.link": None}):
        one = run(bench, changes, said={"antenna-fitted": False})[-1]
        assert (one.outcome.value, one.code) == ("fail", "no-antenna")
        assert "Take the power off now" in one.remedy.steps[0]
        assert "without its antenna may burn out" in (one.caution or "")
    assert codes(run(bench, said={"antenna-fitted": "no"})) == [("unknown", "unanswered")]


@pytest.mark.parametrize(
    ("others", "found"),
    [
        ({"Grey Heron": 5806}, [("warn", "same-channel")]),
        ({"Grey Heron": 5805}, [("warn", "near-channel")]),
        ({"Grey Heron": 5824}, [("warn", "near-channel")]),
        ({"Grey Heron": 5825}, PASS),  # 19 MHz, as band B has its channels
        ({"Grey Heron": 5788}, [("warn", "near-channel")]),
        ({"Grey Heron": 5787}, PASS),
        ({"Grey Heron": 5658, "Serin": 5732}, [("warn", "third-order")]),  # R1 and R3 on R5
        ({"Grey Heron": 5658}, PASS),
        ({"Grey Heron": 5732, "Serin": 5880}, [("warn", "third-order")]),  # R3, R5 and R7: own is in the middle
        ({"Grey Heron": 5658, "Serin": 5695}, PASS),  # 2 * 5695 - 5658 = 5732
        ({"Grey Heron": 5806, "Serin": 5809}, [("warn", "same-channel"), ("warn", "near-channel")]),
    ],
)
def test_neighbours_on_the_bench(bench: Bench, others: dict[str, int], found: Any) -> None:
    assert codes(run(bench, others=others)) == found


def test_the_warning_names_the_craft_and_what_to_do(bench: Bench) -> None:
    [one] = run(bench, others={"Grey Heron": 5658, "Serin": 5732, "Far Away": 5345})
    assert "5658 and 5732 MHz on 5806 MHz" in one.summary
    assert one.actual == "own 5806 MHz (R5); Grey Heron and Serin"
    # Three are enough to see what it is.
    [one] = run(bench, others={f"craft {at}": mhz for at, mhz in enumerate((5658, 5695, 5732, 5769, 5843, 5880))})
    assert one.summary.count(" MHz on ") == 3
    [one] = run(bench, {"video.band": None, "video.frequency_mhz": 5807}, others={"Grey Heron": 5807})
    assert (one.code, one.actual) == ("same-channel", "5807 MHz")  # no channel of the table
    assert "one video transmitter at a time" in told([one])
    [one] = run(bench, others={f"craft {number}": 5806 for number in range(32)})
    assert "as others seen on this bench today do: craft 0, craft 1" in one.summary
    assert one.summary.endswith(" more")
    [one] = run(bench, others={"Grey Heron": 5809, "Serin": 5800})
    assert "too near to 5800 MHz (F4) and 5809 MHz (B5) of others" in one.summary
    assert one.summary.endswith("today: Grey Heron and Serin")
    assert one.actual == "3 MHz apart"


def test_as_many_neighbours_as_a_capture_holds_fit_into_one_finding(bench: Bench) -> None:
    names = ["a" * 40, "b" * 40, "c" * 40, "d" * 24, *(f"craft {number}" for number in range(28))]
    near = [5869 + at + (at >= 11) for at in range(29)]  # around R7, the channel with the longest name
    others = {name: near[at % len(near)] for at, name in enumerate(names)}
    [one] = run(bench, {"video.channel": 7, "video.frequency_mhz": 5880}, others=others)
    assert (one.outcome.value, one.code) == ("warn", "near-channel")
    assert len(one.summary) == 400  # the most that a finding holds


def test_a_digital_link_has_no_neighbours(bench: Bench) -> None:
    changes: dict[str, object] = {"video.link": "digital", "overlay.system": "digital"}
    assert codes(run(bench, changes, others={"Grey Heron": 5806})) == PASS


MHZ = st.integers(5300, 6000)


@given(MHZ, st.sets(MHZ, max_size=12))
def test_third_order_hits_are_those_of_the_formula(own: int, others: set[int]) -> None:
    """Against the plain definition: 2a - b within half the narrowest spacing of c, own among the three."""
    for first, second, hit in hit_triples(own, others):
        assert own in (first, second, hit)
        assert any(abs(2 * one - two - hit) < 9.5 for one, two in ((first, second), (second, first)))
    far = sorted({mhz for mhz in others if abs(mhz - own) >= 19})
    plain = {
        frozenset((one, two, own))
        for one, two in combinations(far, 2)
        if abs(one - two) >= 19
        and any(
            abs(2 * first - second - hit) < 9.5
            for first, second, hit in (
                (one, two, own),
                (two, one, own),
                (own, one, two),
                (one, own, two),
                (own, two, one),
                (two, own, one),
            )
        )
    }
    assert {frozenset(triple) for triple in hit_triples(own, others)} == plain


def test_two_that_disturb_each_other_anyway_make_no_product_and_hide_none_of_another() -> None:
    assert third_order(5825, 5843)[0] == 5807  # it would fall on 5806, but 18 MHz apart is no pair that works
    assert list(hit_triples(5806, {5825, 5843})) == []
    # 5658 and 5660 are too near to each other; each of them makes 5806 with R3 all the same.
    hit = {first for first, _, hit in hit_triples(5806, {5658, 5660, 5732}) if hit == 5806}
    assert hit == {5658, 5660}


def test_half_the_narrowest_spacing_is_the_limit_of_a_hit() -> None:
    assert [falls_on(5806 + off, 5806) for off in (-10, -9, 0, 9, 10)] == [False, True, True, True, False]
    assert [is_near(5806, 5806 + off) for off in (-19, -18, 0, 18, 19)] == [False, True, True, True, False]


def test_the_examination_is_quick_with_as_many_neighbours_as_a_capture_holds(bench: Bench) -> None:
    from time import perf_counter

    craft, lines = bench.craft(ANALOG, ports=BARE)
    others = tuple(Neighbour(f"craft {number}", 5350 + 19 * number) for number in range(32))
    case = Case(video_link, craft, bench.sheet(), bench.tongue, lines, others)
    took = []
    for _ in range(20):
        began = perf_counter()
        list(video_link.examine(case))  # type: ignore[arg-type]  # it is no coroutine
        took.append(perf_counter() - began)
    assert min(took) < 0.005, took

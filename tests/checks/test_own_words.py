"""What to do is said in the board's own words, also where a person must choose first, and every text can be read out.

Boards, faults and their firmwares are inventions for the demonstration; the words are those of fixtures/propsoff_sim.
"""

from __future__ import annotations

import re

import pytest

from propsoff import Finding
from propsoff_sim.board_faults import BOARD_FAULTS
from propsoff_sim.catalogue import board, boards_for
from tests_support.conversations import EVERY_CHECK, inspected, recorded
from tests_support.fault_catalogue import HOUSE


def found(name: str, fault: str) -> list[Finding]:
    report = inspected(recorded(board(f"{name}+{fault}")), checks=EVERY_CHECK)
    return [one for one in report.findings if one.outcome not in ("pass", "skipped")]


@pytest.mark.parametrize(
    ("name", "fault", "finding", "line"),
    [
        ("ossel-hd53", "receiver-port-missing", "receiver-type/no-such-port", "let radio.socket := U2"),
        ("brindle-hd53", "receiver-port-missing", "receiver-type/no-such-port", "put ear wire W1"),
        ("ossel-hd53", "receiver-other-protocol", "receiver-type/set-up-for-another", "let radio.speech := crsf"),
        ("ossel-hd53", "link-other", "video-link/link-in-doubt", "let camera.link := digital"),
        ("corvane-analog", "link-other", "video-link/link-in-doubt", "make eye.link analog"),
        ("ossel-hd53", "overlay-link-missing", "port-roles/missing-overlay-link", "let socket.U3 := glass at 115200"),
        ("brindle-hd53", "overlay-link-missing", "port-roles/missing-overlay-link", "put wires W2 rate 115200"),
        ("ossel-hd53", "console-lost", "port-roles/missing-console", "let socket.U1 := talk at 115200"),
        ("ossel-hd53", "two-overlay-links", "port-roles/double", "let socket.U3 := idle"),
        ("ossel-hd53", "two-overlay-links", "port-roles/double", "let socket.U4 := idle"),
        ("ossel-analog", "digital-on-analog", "overlay-canvas/system", "let glass.norm := pal"),
        ("ossel-analog", "digital-on-analog", "overlay-canvas/system", "let glass.rows := 13"),
        ("ossel-analog", "frequency-off", "video-link/other-frequency", "let camera.freq := 5806MHz"),
        ("ossel-hd53", "cells-wrong", "battery-limits/above-full", "let pack.cells := 6"),
        ("ossel-hd53", "cells-zero", "battery-limits/absurd-cells", "let pack.cells := 6"),
        ("ossel-hd53", "cell-low-deep", "battery-limits/below-floor", "let pack.floor := 3.30V"),
        ("ossel-hd53", "cell-full-high", "battery-limits/high-full", "let pack.top := 4.20V"),
        ("ossel-hd53", "poles-odd", "motor-output/odd-poles", "let prop.magnets := 14"),
        ("ossel-hd53", "motors-analog", "motor-output/pulses", "let prop.signal := dshot300"),
    ],
)
def test_a_step_that_leaves_a_choice_gives_the_line_to_type(name: str, fault: str, finding: str, line: str) -> None:
    [one] = [each for each in found(name, fault) if each.name == finding]
    assert f"`{line}`" in " ".join(one.remedy.steps)


@pytest.mark.parametrize(
    ("fault", "words"),
    [
        ("malformed-baud", "ports[0].baud (line rate, of U1) (line 31: "),
        ("malformed-value", "channels.low (lower end that the board expects) (line 21: "),
    ],
)
def test_what_was_not_read_is_told_in_words_with_the_row_that_it_is_of(fault: str, words: str) -> None:
    [one] = found("ossel-analog", fault)
    assert one.summary.startswith(f"not read from this board: {words}")
    assert one.remedy.steps[0].startswith("Inspect again: a bad cable")


def test_what_was_never_stated_is_not_called_garbled() -> None:
    [one] = found("ossel-analog", "no-protocol")
    assert one.remedy.steps[0].startswith("Inspect again. If it is not read again:")


def test_a_role_that_was_not_read_shows_its_own_line_and_what_to_do() -> None:
    [one] = found("ossel-analog", "odd-duty")
    assert [(seen.line, "gramophone" in seen.text) for seen in one.evidence] == [(36, True)]
    assert one.remedy.steps


@pytest.mark.parametrize("fault", sorted(HOUSE))
def test_every_finding_says_what_is_wrong_why_and_what_to_do_and_reads_well(fault: str) -> None:
    for name in boards_for(BOARD_FAULTS[fault])[::5]:
        for one in found(name, fault):
            assert one.why, one.name
            assert one.remedy.steps or one.remedy.console, (name, one.name)
            for text in (one.summary, one.why, one.expected or "-", one.actual or "-", *one.remedy.steps):
                assert len(text) <= 420, text
                assert "  " not in text, text
                assert not re.search(r"\bNone\b|\bis ,|\(\)|\bexpected is\b", text), text
            for text in (one.why, *one.remedy.steps):
                assert text[:1].isupper() or text[:1].isdigit() or text.startswith(("drop ", "dshot")), text
                assert text.endswith("."), text

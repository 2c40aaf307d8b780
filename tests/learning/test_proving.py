"""What a draft reads of its own conversation has no fault that the draft itself has made. Replies are invented."""

from __future__ import annotations

from pathlib import Path

import pytest

from propsoff.console.capture import load_capture
from propsoff.dialects.read import read_craft
from propsoff.learning.from_text import heard_in
from propsoff.learning.learn import Lesson, learn
from tests_support.answers import heard_from

CAPTURES = Path(__file__).resolve().parents[2] / "fixtures" / "captures"
ABOUT = "firmware name = oak\nfirmware version = 1.2.3"
SIDE_BY_SIDE = """\
Battery
-------
Cells:            6                Voltage:          23.71 V
Cell Minimum:     3.25 V           Cell Warning:     3.45 V
Cell Full:        4.20 V           Voltage Divider:  21.0
Current:          0.52 A           Current Scale:    40.0 mV/A
Capacity:         1100 mAh         Used:             0 mAh
5 V Supply:       5.08 V           9 V Supply:       9.11 V"""
LESS_INDENTED = """\
OSD
  OSD ENABLED          [YES]
  OSD COLUMNS          [30]
  OSD ROWS             [16]
  OSD REFRESH          [15] HZ
 OSD ELEMENTS
  BATTERY              COLUMN [3] ROW [14] [SHOWN]
  TIMER                COLUMN [21] ROW [14] [SHOWN]
 VIDEO TRANSMITTER
  VIDEO LINK           [ANALOG]
  VIDEO FREQUENCY      [5809] MHZ"""
TABLE_BETWEEN = """\
OSD enabled = yes
OSD columns = 30
OSD rows = 16
element   column  row  visible
battery   3       14   yes
timer     22      14   yes
altitude  22      7    no
video link = analog
video frequency = 5732 MHz
greatest power = 600 mW
temperature of the transmitter = 47 C"""


def _without_fault(lesson: Lesson) -> dict[str, object]:
    """The facts that are read; every reply is whole, and no line says that something is missing."""
    assert lesson.dialect is not None, lesson.why_not
    reading = read_craft(lesson.heard.capture, lesson.dialect)
    assert [(one.command, one.why) for one in reading.exchanges if one.state != "complete"] == []
    assert [problem for problem in reading.craft.problems if problem.gap] == []
    return {fact.name: fact.value for fact in reading.craft.facts()}


def test_settings_at_the_end_of_a_reply_are_no_mark_that_counts_its_lines() -> None:
    lesson = learn(heard_from({"about": ABOUT, "battery": SIDE_BY_SIDE}), id_="oak", title="Oak")
    read = _without_fault(lesson)
    assert {name: read.get(f"battery.{name}") for name in ("cells", "volts", "cell_full")} == {
        "cells": 6,
        "volts": 23.71,
        "cell_full": 4.2,
    }
    assert lesson.draft is not None
    assert "ends = " not in lesson.draft.text


def test_a_heading_that_stands_less_deep_than_the_settings_above_it_makes_no_gap() -> None:
    read = _without_fault(learn(heard_from({"about": ABOUT, "osd": LESS_INDENTED}), id_="oak", title="Oak"))
    assert (read["overlay.columns"], read["overlay.rows"]) == (30, 16)
    assert (read["video.link"], read["video.frequency_mhz"]) == ("analog", 5809)


def test_a_table_with_settings_above_and_below_makes_no_gap_and_loses_neither() -> None:
    read = _without_fault(learn(heard_from({"about": ABOUT, "osd": TABLE_BETWEEN}), id_="oak", title="Oak"))
    assert (read["overlay.columns"], read["video.link"], read["video.frequency_mhz"]) == (30, "analog", 5732)
    assert [read[f"overlay.elements[{at}].column"] for at in range(3)] == [3, 22, 22]


@pytest.mark.parametrize("capture", sorted(CAPTURES.glob("*ossel*sound*")), ids=lambda path: path.name)
def test_the_count_of_entries_below_headings_is_compared_with_the_entries(capture: Path) -> None:
    heard = heard_in(load_capture(capture))
    assert heard is not None
    lesson = learn(heard, id_="learned", title="Learned")
    assert len(_without_fault(lesson)) > 20
    assert lesson.draft is not None
    assert 'ends = "; end of recital, {count:int} entries"' in lesson.draft.text
    assert 'counted = "{key:words} := {value:rest}"' in lesson.draft.text


def test_what_was_torn_in_the_conversation_itself_stays_torn() -> None:
    heard = heard_in(load_capture(CAPTURES / "ossel-hd53-unplugged-in-mid-listing.cast"))
    assert heard is not None
    lesson = learn(heard, id_="learned", title="Learned")
    assert lesson.dialect is not None
    states = [one.state for one in read_craft(heard.capture, lesson.dialect).exchanges]
    assert "cut" in states
    assert lesson.meaning.bound

"""Keys that end alike are cells of rows; what they are called is as consoles call it (common practice)."""

from __future__ import annotations

import pytest

from propsoff.learning.layouts.endings import rows_by_ending
from propsoff.learning.model import RowSet, Statement


def found(*pairs: str) -> list[RowSet]:
    statements = []
    for line, pair in enumerate(pairs, 1):
        word, _, text = pair.partition("=")
        statements.append(Statement("page", word, (word,), text, line))
    return list(rows_by_ending("page", statements))


def plain(rows: RowSet) -> list[dict[str, str]]:
    return [{name: cell.text for name, cell in row.items()} for row in rows.rows]


def test_names_in_one_word_come_apart_at_their_capitals() -> None:
    (rows,) = found("timerCol=2", "timerRow=3", "craftNameCol=9", "craftNameRow=4", "cameraTilt=30")
    assert rows.place == {"key": "{id:word}{member:Col|Row}"}
    assert plain(rows) == [{"id": "timer", "Col": "2", "Row": "3"}, {"id": "craftName", "Col": "9", "Row": "4"}]


def test_what_all_begin_with_is_no_part_of_their_names() -> None:
    rows = found("osdTimerCol=2", "osdTimerRow=3", "osdClockCol=9", "osdClockRow=4", "osdCols=30")
    assert {"key": "osd{id:word}{member:Col|Row}"} in [one.place for one in rows]


@pytest.mark.parametrize("mark", [" ", "_", ".", "-", "/"])
def test_names_are_parted_by_marks(mark: str) -> None:
    keys = [key.replace(" ", mark) for key in ("arm channel=5", "arm range=1-2", "flip channel=6", "flip range=3-4")]
    rows = found(*keys)
    assert ["arm", "flip"] in [[row["id"] for row in plain(one)] for one in rows]


def test_the_longest_common_ending_is_the_member() -> None:
    (rows,) = found("arm_from_us=1", "arm_to_us=2", "flip_from_us=3", "flip_to_us=4")
    assert rows.columns == ("id", "from_us", "to_us")


def test_one_of_the_same_kind_with_a_single_ending_belongs_to_them() -> None:
    rows = found("uart1Use=gps", "uart1Baud=9600", "uart2Use=rx", "uart2Baud=9600", "uart3Use=off", "usbUse=console")
    assert ["uart1", "uart2", "uart3", "usb"] in [[row["id"] for row in plain(one)] for one in rows]


def test_a_setting_that_ends_so_and_is_none_of_them_stands_apart() -> None:
    rows = found("aCol=2", "aRow=3", "bCol=9", "bRow=4", "cameraRow=7")
    assert [one.apart for one in rows] == [("cameraRow",)]


def test_one_ending_will_do_where_each_value_has_several_parts() -> None:
    (rows,) = found("timerPos=2,3", "clockPos=9,4", "nameElementPos=1,1")
    assert rows.place["key"] == "{id:word}{_:|Pos}"
    assert [row["id"] for row in plain(rows)] == ["timer", "clock", "nameElement"]


@pytest.mark.parametrize("pairs", [(), ("a=1",), ("rollP=1", "yawD=2"), ("aCol=1", "bCol=2", "cCol=3"), ("{a}Col=1",)])
def test_where_nothing_repeats_there_are_no_rows(pairs: tuple[str, ...]) -> None:
    assert found(*pairs) == []

"""Whatever is typed: a terminal, a log and a folder get it as text, without controls (ECMA-48, Unicode)."""

from __future__ import annotations

import io
import re
import unicodedata
from pathlib import Path

from hypothesis import given, settings

from propsoff.inspection.report import Report
from propsoff.logs import escape_values
from propsoff.outputs.escape import file_stem, visible
from propsoff.outputs.files import visit_stem
from propsoff.outputs.terminal import console_for, show_report
from propsoff.safe_write import write_new
from tests_support.hostile import hostile, hostile_reports

ACTING = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
"""General categories (Unicode Standard, table 4-4) of what a terminal acts on or hides."""


def acting(text: str) -> set[str]:
    return {char for char in text if unicodedata.category(char) in ACTING}


@settings(deadline=None)
@given(hostile_reports())
def test_a_terminal_is_given_nothing_to_act_on_and_every_text(report: Report) -> None:
    stream = io.StringIO()
    show_report(report, console_for(stream, colour=False))
    shown = stream.getvalue()
    assert acting(shown) <= {"\n"}
    for line in (report.findings[0].summary, report.craft or ""):
        assert visible(line).rstrip()[:40] in shown


@given(hostile)
def test_a_log_keeps_the_text_and_nothing_that_acts(typed: str) -> None:
    [(name, value)] = escape_values(None, "info", {"board": typed}).items()
    assert name == "board"
    assert value == visible(typed)
    assert not acting(str(value))


@given(hostile)
def test_a_file_name_is_a_part_of_a_path_and_two_names_stay_two(typed: str) -> None:
    stem = file_stem(typed)
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", stem)
    assert len(stem) <= 47
    assert file_stem(f"{typed}\x07") != stem


def test_a_file_of_a_hostile_name_lies_in_its_folder(tmp_path: Path) -> None:
    from datetime import UTC, datetime

    stem = visit_stem(datetime(2027, 1, 15, tzinfo=UTC), "../../etc/passwd\x00\u202e", "=cmd|' /C calc'!A0")
    path = write_new(tmp_path, stem, ".json", b"{}", sync=False)
    assert path.parent == tmp_path
    assert [each.name for each in tmp_path.iterdir()] == [path.name]

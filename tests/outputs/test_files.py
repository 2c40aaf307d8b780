"""Files appear whole or not at all, never take each other's place, and never leave their folder."""

from __future__ import annotations

import errno
import json
import os
import subprocess
import sys
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import pytest

from propsoff.outputs.files import ReportFiles, visit_stem
from propsoff.safe_write import replace_file, write_new
from tests_support.reports import a_report


def test_a_taken_name_gets_a_number(tmp_path: Path) -> None:
    paths = [write_new(tmp_path, "a", ".json", str(number).encode()) for number in range(3)]
    assert [path.name for path in paths] == ["a.json", "a-2.json", "a-3.json"]
    assert [path.read_text() for path in paths] == ["0", "1", "2"]
    assert len(list(tmp_path.iterdir())) == 3


def test_a_file_system_without_links_still_never_overwrites(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def no_links(*_: Any) -> None:
        raise OSError(errno.EPERM, "no links here")

    monkeypatch.setattr(os, "link", no_links)
    assert [write_new(tmp_path, "a", ".json", b"x").name for _ in range(2)] == ["a.json", "a-2.json"]


def test_a_full_disk_leaves_nothing_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    replace_file(tmp_path / "old.json", b"old")
    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space"):
        write_new(tmp_path, "a", ".json", b"x")
    with pytest.raises(OSError, match="No space"):
        replace_file(tmp_path / "old.json", b"new")
    assert [path.name for path in tmp_path.iterdir()] == ["old.json"]
    assert (tmp_path / "old.json").read_bytes() == b"old"


def test_a_write_that_the_kernel_cuts_short_leaves_nothing_behind(tmp_path: Path) -> None:
    # setrlimit(2): a write beyond RLIMIT_FSIZE stops in the middle, as on a disk that fills up.
    code = f"""
import pathlib, resource, signal
from propsoff.safe_write import write_new
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))
try:
    write_new(pathlib.Path({str(tmp_path)!r}), "a", ".json", b"x" * 5000)
except OSError as error:
    print(error.errno)
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=50, check=True)
    assert done.stdout.split() == [str(errno.EFBIG)]
    assert list(tmp_path.iterdir()) == []


def test_the_stem_is_in_utc_and_safe() -> None:
    when = datetime(2026, 3, 14, 1, 30, 0, 123456, tzinfo=timezone(timedelta(hours=2)))
    assert visit_stem(when, "Teal Wren", None, "AB12") == "20260313T233000123Z_teal-wren_ab12"
    hostile = visit_stem(datetime(2026, 1, 1, tzinfo=UTC), "../../x\x00\n<script>")
    assert "/" not in hostile
    assert "\x00" not in hostile


def test_report_and_capture_stand_side_by_side_and_a_retry_adds_no_second_of_either(tmp_path: Path) -> None:
    report, capture = a_report("teal")
    files = ReportFiles(tmp_path)
    first, second = files.keep(report, capture), files.keep(report, capture)
    assert first.with_suffix(".cast").read_bytes() == capture.to_bytes()
    assert json.loads(first.read_text())["id"] == report.id
    assert second == first
    assert sorted(path.name for path in tmp_path.iterdir()) == ["teal.cast", "teal.json"]


def test_another_report_of_the_same_capture_stands_beside_the_first(tmp_path: Path) -> None:
    report, capture = a_report("teal")
    later = report.model_copy(update={"id": f"{report.id[:-1]}{'0' if report.id[-1] != '0' else '1'}"})
    files = ReportFiles(tmp_path)
    names = [files.keep(each, capture).name for each in (report, later, report, later)]
    assert names == ["teal.json", "teal-2.json", "teal.json", "teal-2.json"]
    (tmp_path / "teal.json").write_text("{ damaged")
    assert files.write_report(report).name == "teal-3.json"
    assert (tmp_path / "teal.json").read_text() == "{ damaged"


def test_a_report_read_from_elsewhere_cannot_leave_the_folder(tmp_path: Path) -> None:
    report, capture = a_report("teal")
    evil = report.model_copy(update={"capture": report.capture.model_copy(update={"file": "../../evil.cast"})})
    folder = tmp_path / "a" / "b"
    assert ReportFiles(folder).keep(evil, capture).parent == folder
    assert not list(tmp_path.glob("*.cast"))

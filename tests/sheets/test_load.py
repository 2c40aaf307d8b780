"""Reading build sheets: what they say, and errors that say where and what to do."""

from __future__ import annotations

import pickle
from datetime import date
from pathlib import Path

import pytest

from propsoff.exceptions import SheetError
from propsoff.sheets.expect import Anything, Pattern, Range
from propsoff.sheets.load import load_sheet
from propsoff.sheets.model import BuildSheet, PlannedSwitch
from propsoff.sheets.written import MOST_FAULTS, Unusable, read_written
from tests_support.sheets import FULL, HEAD, RICH, WRONG


def sheet_of(tmp_path: Path, text: str) -> BuildSheet:
    file = tmp_path / "sheet.toml"
    file.write_text(text, encoding="utf-8")
    return load_sheet(file)


def test_a_sheet_says_what_it_expects(tmp_path: Path) -> None:
    sheet = sheet_of(tmp_path, FULL)
    assert (sheet.name, sheet.title) == ("teal-digital", "Teal series, digital link")
    assert sheet.source == str(tmp_path / "sheet.toml")
    assert not sheet.built_in
    assert not sheet.house_default
    assert [(rule.key, rule.fact, rule.patterns) for rule in sheet.match] == [
        ("board", "board.name", ("FENWICK F7", "MARL-*")),
        ("craft", "craft.name", ("Teal *",)),
    ]
    expected = {name: value.values for name, value in sheet.expectations.items()}
    assert expected == {
        "receiver.kind": ("serial", "spi"),
        "receiver.protocol": ("crsf",),
        "receiver.telemetry": (True,),
        "channels.order": ("AETR",),
        "channels.low": (1000, 988),
        "overlay.enabled": (True,),
        "video.link": ("digital",),
        "battery.cell_low": (3.0,),
    }
    assert [str(grid) for grid in sheet.grids_for("digital")] == ["53x20 (hd-53x20)", "64x24 (our-goggles)"]
    assert sheet.grids_for("analog") == sheet.grids_for("digital")
    assert sheet.roles_required == ("console", "receiver", "overlay-link")
    assert sheet.roles_allowed is not None
    assert "unused" in sheet.roles_allowed


def test_what_a_sheet_does_not_say_is_not_expected(tmp_path: Path) -> None:
    sheet = sheet_of(tmp_path, HEAD)
    assert sheet.title == "teal"
    assert sheet.house_default
    assert sheet.expected("channels.order") is None
    assert sheet.grids_for("digital") == ()
    assert sheet.grids_for(None) == ()
    assert (sheet.roles_required, sheet.roles_allowed) == ((), None)
    assert sheet.reads() == ()


def test_grids_may_differ_by_link_and_be_given_by_size(tmp_path: Path) -> None:
    text = f'{HEAD}[overlay]\ngrid = {{ analog = ["ntsc", "pal"], digital = "50x18" }}\n'
    sheet = sheet_of(tmp_path, text)
    assert [(grid.columns, grid.rows, grid.name) for grid in sheet.grids_for("analog")] == [
        (30, 13, "ntsc"),
        (30, 16, "pal"),
    ]
    assert [(grid.columns, grid.rows, grid.name) for grid in sheet.grids_for("digital")] == [(50, 18, "hd-50x18")]


def test_a_sheet_names_the_facts_that_it_speaks_of(tmp_path: Path) -> None:
    reads = sheet_of(tmp_path, FULL).reads()
    assert {"channels.order", "overlay.columns", "ports"} <= set(reads)


@pytest.mark.parametrize(("text", "line", "key", "problem", "hint"), WRONG)
def test_an_error_names_file_line_key_and_what_to_do(
    tmp_path: Path, text: str, line: int, key: str | None, problem: str, hint: str | None
) -> None:
    with pytest.raises(SheetError) as caught:
        sheet_of(tmp_path, text)
    error = caught.value
    assert str(error.source).endswith("sheet.toml")
    assert error.line == (line or None)
    assert error.key == key
    assert problem in error.problem
    assert hint is None or hint in (error.hint or "")


@pytest.mark.parametrize("data", [b"\xff\xfe", b'name = "\xe9"\nformat = 1\n'])
def test_text_that_is_not_utf8_is_refused_by_line(tmp_path: Path, data: bytes) -> None:
    file = tmp_path / "sheet.toml"
    file.write_bytes(data)
    with pytest.raises(SheetError, match=r"line 1.*UTF-8"):
        load_sheet(file)


def test_a_file_that_is_not_there_or_a_folder_is_refused(tmp_path: Path) -> None:
    for path in (tmp_path / "none.toml", tmp_path):
        with pytest.raises(SheetError, match=r"none\.toml|tmp|test_a_file"):
            load_sheet(path)


def test_a_file_of_any_size_is_not_read_whole(tmp_path: Path) -> None:
    file = tmp_path / "sheet.toml"
    file.write_text("#" * (2 << 20))
    with pytest.raises(SheetError, match="larger than"):
        load_sheet(file)


def test_windows_line_ends_are_read_and_counted(tmp_path: Path) -> None:
    file = tmp_path / "sheet.toml"
    file.write_bytes(b'format = 1\r\nname = "x"\r\n[channels]\r\nordr = "AETR"\r\n')
    with pytest.raises(SheetError) as caught:
        load_sheet(file)
    assert caught.value.line == 4


def test_everything_that_a_sheet_can_say_is_understood(tmp_path: Path) -> None:
    sheet = sheet_of(tmp_path, RICH)
    expected = sheet.expectations
    assert expected["firmware.version"].values == (Range("4.2.0"),)
    assert expected["firmware.version"].source == f"{tmp_path}/sheet.toml:9"
    assert expected["firmware.built"].values == (Pattern("2026-*"),)
    assert (expected["channels.low"].values, expected["channels.low"].tolerance) == ((1000,), 5)
    assert expected["channels.centre"].values == (1500, Range(1518, 1522), Range(1600, 1601))
    assert (expected["channels.high"].values, expected["channels.high"].tolerance) == ((2000,), 7)
    assert expected["battery.cell_warn"].values == (Range(3.3, 3.5),)
    assert expected["battery.cells"].values == (Anything(),)
    assert expected["craft.name"].values == (Anything(),)
    assert expected["board.name"].values == ("any",)
    assert expected["hand.propellers-off"].values == (True,)
    assert expected["hand.goggles"].values == (Range("1.9.2", "1.10.0"), "2.0")
    assert "hand.plug" not in expected
    assert (sheet.region, sheet.chemistry, sheet.arming_normal) == ("eu", "lipo", ("usb-connected",))
    assert sheet.elements_required == ("battery", "a word of our own")
    assert sheet.tolerances == {"channels.high": 7, "channels.live": 10}
    assert sheet.switches.required == ("arm",)
    assert sheet.switches.planned == {"arm": PlannedSwitch(5, 1700, None), "level": PlannedSwitch(5)}
    assert {frozenset({"arm", "level"}), frozenset({"beeper", "level"})} <= sheet.switches.together
    assert (sheet.only, dict(sheet.skip)) == (("failsafe",), {"battery-limits": "no battery on this bench"})
    assert [(one.finding, one.reason, one.until) for one in sheet.waivers] == [
        ("failsafe/hold", "trainer craft", date(2026, 12, 31)),
        ("sensors", "until the parts come", date(2027, 1, 31)),
    ]
    assert [question.id for question in sheet.questions] == ["propellers-off", "goggles", "plug"]
    assert sheet.questions[0].expected == expected["hand.propellers-off"]
    assert sheet.questions[2].choices == ("small", "large")
    assert {"switches", "overlay.elements", "hand.goggles"} <= set(sheet.reads())
    assert [rule.fact for rule in sheet.match] == ["board.serial", "port"]


def test_each_key_knows_its_line(tmp_path: Path) -> None:
    sheet = sheet_of(tmp_path, RICH)
    file = f"{tmp_path}/sheet.toml"
    lines = RICH.splitlines()
    for key, words in (
        ("battery.cells", 'cells = "any"'),
        ("switches.arm.from_us", "from_us = 1700"),
        ("tolerances.channels.high", "channels.high = 7"),
        ("tolerances.channels.live", '"channels.live" = 10'),
        ("checks.skip.battery-limits", 'battery-limits = "no battery on this bench"'),
    ):
        assert sheet.origins[key] == f"{file}:{lines.index(words) + 1}", key
    assert sheet.origins["waivers.sensors"] == f"{file}:{lines.index('[[waivers]]') + 6}"
    assert sheet.waivers[1].source == sheet.origins["waivers.sensors"]
    assert set(sheet.origins) >= {"questions.plug", "match.port", "format"}


def test_a_sheet_is_the_same_after_a_journey_to_another_process(tmp_path: Path) -> None:
    sheet = sheet_of(tmp_path, RICH)
    assert pickle.loads(pickle.dumps(sheet)) == sheet


@pytest.mark.parametrize(
    ("said", "right", "wrong"),
    [
        ('firmware.version = { from = "1.9.2" }', "1.10.0", "1.9.1"),
        ('firmware.version = { from = "4.2.0" }', "4.2.0", "4.2.0-rc1"),
        ('firmware.version = { to = "1.10.0" }', "1.9.2", "1.10.1"),
        ("battery.cell_warn = { from = 3.3 }", 3.3, 3.29),
        ("battery.cell_warn = { value = 3.4, tolerance = 0.1 }", 3.5, 3.51),
        ("channels.low = [{ value = 1000, tolerance = 5 }, 988]", 1005, 989),
        ("channels.low = 1000.0", 1000, 1001),
        ('receiver.protocol = ["crsf", { pattern = "s?us" }]', "SBUS", "ibus"),
    ],
)
def test_what_a_sheet_says_is_what_it_allows(tmp_path: Path, said: str, right: object, wrong: object) -> None:
    [(name, expected)] = sheet_of(tmp_path, f"{HEAD}{said}\n").expectations.items()
    assert name == said.partition(" ")[0]
    assert expected.allows(right)
    assert not expected.allows(wrong)
    assert not expected.allows(None)


def test_every_fault_of_form_is_told_at_once_up_to_a_limit(tmp_path: Path) -> None:
    file = tmp_path / "sheet.toml"
    file.write_text(HEAD + "".join(f"wrong{at} = {at}\n" for at in range(MOST_FAULTS + 5)))
    found = read_written(file)
    assert isinstance(found, Unusable)
    assert [error.line for error in found.errors[:-1]] == list(range(3, MOST_FAULTS + 3))
    assert "5 more" in str(found.errors[-1])


def test_a_sheet_of_ten_thousand_lines_is_read_and_its_last_line_is_named(tmp_path: Path) -> None:
    grids = "".join(f'grid-{at} = "64x{1 + at % 90}"\n' for at in range(10_000))
    sheet = sheet_of(tmp_path, f"{HEAD}[grids]\n{grids}")
    assert sheet.origins["grids.grid-9999"].endswith(":10003")
    with pytest.raises(SheetError) as caught:
        sheet_of(tmp_path, f'{HEAD}[grids]\n{grids}last = "wide"\n')
    assert caught.value.line == 10_004


def test_tables_within_tables_without_end_are_refused(tmp_path: Path) -> None:
    for text in (f"{HEAD}x = {'[' * 5000}{']' * 5000}\n", f"{HEAD}[{'.'.join(['a'] * 3000)}]\nb = 1\n"):
        with pytest.raises(SheetError):
            sheet_of(tmp_path, text)


def test_ranges_that_only_touch_or_lie_on_other_channels_do_not_overlap(tmp_path: Path) -> None:
    apart = "arm = { channel = 5, to_us = 1300 }\nlevel = { channel = 5, from_us = 1300 }\nturtle = { channel = 6 }\n"
    sheet = sheet_of(tmp_path, f"{HEAD}[switches]\n{apart}beeper = {{ from_us = 1000 }}\n")
    assert set(sheet.switches.planned) == {"arm", "level", "turtle", "beeper"}


def test_a_single_value_within_a_range_lies_on_it(tmp_path: Path) -> None:
    within = "arm = { channel = 5, from_us = 1500, to_us = 1500 }\nlevel = { channel = 5, from_us = 1000 }\n"
    with pytest.raises(SheetError, match="arm and level are both active at some position of channel 5"):
        sheet_of(tmp_path, f"{HEAD}[switches]\n{within}")


def test_a_text_may_be_as_long_as_it_may_be_and_no_longer(tmp_path: Path) -> None:
    assert sheet_of(tmp_path, f'format = 1\nname = "{"x" * 200}"\n').name == "x" * 200
    with pytest.raises(SheetError, match="line 2: name: must be a text of 1 to 200 characters"):
        sheet_of(tmp_path, f'format = 1\nname = "{"x" * 201}"\n')

"""Reading build sheets: what they say, and errors that say where and what to do."""

from __future__ import annotations

from pathlib import Path

import pytest

from propsoff.exceptions import SheetError
from propsoff.sheets.load import load_sheet
from propsoff.sheets.model import BuildSheet

HEAD = 'format = 1\nname = "teal"\n'
FULL = """\
format = 1
name = "teal-digital"
title = "Teal series, digital link"

[match]
board = ["FENWICK F7", "MARL-*"]
craft = "Teal *"

[receiver]
kind = ["serial", "spi"]
protocol = "crsf"
telemetry = true

[channels]
order = "aetr"
low = [1000, 988]

[overlay]
grid = ["hd-53x20", "our-goggles"]
enabled = true

[video]
link = "digital"

[battery]
cell_low = 3

[ports]
required = ["console", "receiver", "overlay-link"]
allowed = ["console", "receiver", "overlay-link", "unused"]

[grids]
our-goggles = "64x24"
"""


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


WRONG = [
    ("", 0, "format", "missing", "begins with `format = 1`"),
    ("format = 2\n", 1, "format", "2 is not a format", "format 1"),
    ("format = true\n", 1, "format", "True is not a format", "format 1"),
    ("format = 1\n", 0, "name", "missing", None),
    ('format = 1\nname = ""\n', 2, "name", "1 to 200 characters", None),
    ("format = 1\nname = 5\n", 2, "name", "1 to 200 characters", None),
    (f"{HEAD}channels = 3\n", 3, "channels", "must be a table", "[channels]"),
    (f"{HEAD}[chanels]\n", 3, "chanels", "no such key", "did you mean channels?"),
    (f'{HEAD}[channels]\n\nordr = "AETR"\n', 5, "channels.ordr", "no such key", "did you mean order?"),
    (f'{HEAD}extends = "other"\n', 3, "extends", "no such key", "known here:"),
    (f'{HEAD}[match]\nboard = ""\n', 4, "match.board", "must be a text", None),
    (f"{HEAD}[match]\nboard = [1]\n", 4, "match.board", "must be a text", None),
    (f"{HEAD}[match]\n", 3, "match", "has no rule", "house default"),
    (f'{HEAD}[match]\nbored = "x"\n', 4, "match.bored", "no such key", "did you mean board?"),
    (f'{HEAD}[channels]\norder = "AETX"\n', 4, "channels.order", "not an order", "AETR"),
    (f'{HEAD}[channels]\norder = "AETR21"\n', 4, "channels.order", "not an order", "AETR"),
    (f'{HEAD}[channels]\norder = "AETR 2 3"\n', 4, "channels.order", "not an order", "AETR"),
    (f'{HEAD}[channels]\norder = "A 1 ETR"\n', 4, "channels.order", "not an order", "AETR"),
    (f'{HEAD}[channels]\norder = ""\n', 4, "channels.order", "not an order", "AETR"),
    (f"{HEAD}[channels]\norder = []\n", 4, "channels.order", "an empty list allows nothing", "leave the key out"),
    (f"{HEAD}[channels]\nlow = {{ from = 990 }}\n", 4, "channels.low", "must be a value, or a list", None),
    (f"{HEAD}[channels]\nlow = 1000.5\n", 4, "channels.low", "not a value of type int", "lower end"),
    (f"{HEAD}[channels]\nlow = true\n", 4, "channels.low", "not a value of type int", None),
    (f'{HEAD}[receiver]\nkind = "serail"\n', 4, "receiver.kind", "not among its values", "did you mean serial?"),
    (f'{HEAD}[receiver]\ninverted = "no"\n', 4, "receiver.inverted", "not a value of type bool", None),
    (f'{HEAD}[overlay]\ngrid = "hd-53x21"\n', 4, "overlay.grid", "neither columns x rows", "hd-53x20"),
    (f'{HEAD}[overlay]\ngrid = "0x0"\n', 4, "overlay.grid", "neither columns x rows", None),
    (f"{HEAD}[overlay]\ngrid = 53\n", 4, "overlay.grid", "neither columns x rows", None),
    (
        f'{HEAD}[overlay]\ngrid = {{ digitl = "pal" }}\n',
        4,
        "overlay.grid.digitl",
        "no such key",
        "did you mean digital?",
    ),
    (f"{HEAD}[overlay]\ncolumns = 53\n", 4, "overlay.columns", "is said together", "53x20"),
    (f'{HEAD}[grids]\npal = "30x20"\n', 4, "grids.pal", "is 30x16 (pal) everywhere", "another name"),
    (f'{HEAD}[grids]\nours = "wide"\n', 4, "grids.ours", "not a grid", "columns x rows"),
    (f"{HEAD}grids = 3\n", 3, "grids", "must be a table", None),
    (f'{HEAD}[ports]\nrequired = ["reciever"]\n', 4, "ports.required", "not a port role", "did you mean receiver?"),
    (f'{HEAD}[ports]\nrequired = "receiver"\n', 4, "ports.required", "must be a list of port roles", None),
    (f"{HEAD}[ports]\nallowed = [[1]]\n", 4, "ports.allowed", "not a port role", None),
    (f"{HEAD}[arming]\nblocks = []\n", 3, "arming", "no such key", None),
    (f"{HEAD}[ports\n", 3, None, "not TOML", None),
    (f"{HEAD}x = \n", 3, None, "not TOML", None),
]


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

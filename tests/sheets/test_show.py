"""A resolved sheet is shown with where each value comes from."""

from __future__ import annotations

import tomllib

from propsoff.sheets.extending import resolved, shelf_of
from propsoff.sheets.load import sheet_from
from propsoff.sheets.show import shown
from tests_support.sheets import FULL, RICH, written


def test_each_value_stands_beside_the_file_and_line_that_says_it() -> None:
    base = written('format = 1\nname = "base"\n[channels]\norder = "AETR"\nlow = 1000\n', "base.toml")
    top = written('format = 1\nname = "top"\nextends = "base"\n[channels]\nlow = { from = 990 }\n', "top.toml")
    text = shown(*resolved(top, shelf_of([base, top])))
    assert text.splitlines()[0] == "# built on base (base.toml)"
    placed = {line.split(" = ")[0]: line.rpartition("  # ")[2] for line in text.splitlines() if " = " in line}
    assert placed == {
        "format": "top.toml:1",
        "name": "top.toml:2",
        "order": "base.toml:4",
        "low": "top.toml:5",
    }
    assert "extends" not in text


def test_what_is_shown_says_the_same() -> None:
    for sample in (FULL, RICH):
        sheet = written(sample, "sample.toml")
        again = tomllib.loads(shown(sheet.root))
        assert again == sheet.root.plain()
        one, other = sheet_from(sample, "a"), sheet_from(shown(sheet.root), "b")
        assert (one.grids, one.switches, one.match, one.skip) == (other.grids, other.switches, other.match, other.skip)


def test_what_would_act_on_a_terminal_is_escaped() -> None:
    text = shown(written('format = 1\nname = "x\\u001b[2J"\n[craft]\nname = "\\u202e"\n', "a\x1b.toml").root)
    assert not [char for char in text.replace("\n", "") if not char.isprintable()]
    assert tomllib.loads(text)["craft"]["name"] == "\u202e"

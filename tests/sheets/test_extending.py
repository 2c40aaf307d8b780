"""Sheets that are built on other sheets: what comes of them, and errors that say which file and line."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from propsoff.exceptions import SheetError
from propsoff.sheets.catalogue import Catalogue, catalogue
from propsoff.sheets.extending import DEEPEST, laid_over, order_of, resolved, shelf_of
from propsoff.sheets.load import Shelf
from propsoff.sheets.model import BuildSheet
from propsoff.sheets.show import shown
from propsoff.sheets.written import Written
from propsoff.toml_text import toml_value
from tests_support.sheets import written


def found_in(folder: Path, **sheets: str) -> Catalogue:
    for name, text in sheets.items():
        (folder / f"{name}.toml").write_text(f'format = 1\nname = "{name}"\n{text}', encoding="utf-8")
    return catalogue(user=[folder])


def sheet_called(name: str, found: Catalogue) -> BuildSheet:
    return next(sheet for sheet in found.sheets if sheet.name == name)


BASE = """\
title = "Teal"
version = "7"
abstract = true
[match]
board = "FENWICK F7"
[channels]
order = "AETR"
low = { from = 980, to = 1010 }
[overlay]
grid = { analog = ["ntsc", "pal"], digital = "hd-53x20" }
[ports]
required = ["console", "receiver"]
[switches.arm]
channel = 5
from_us = 1700
[checks.skip]
sensors = "no barometer fitted"
[[waivers]]
finding = "failsafe/hold"
reason = "trainer"
until = 2026-12-31
[[questions]]
id = "bound"
ask = "Is the receiver bound?"
kind = "yes-no"
expected = "yes"
"""
SHORT = """\
extends = "teal"
[match]
video = "digital"
[channels]
low = { from = 990 }
[overlay.grid]
digital = "hd-50x18"
[ports]
required = ["console"]
[switches.arm]
channel = 6
[checks.skip]
failsafe = "set later"
[[waivers]]
finding = "port-roles"
reason = "one more UART"
[[questions]]
id = "bound"
ask = "Is it bound to the house's transmitter?"
kind = "yes-no"
"""


def test_a_short_sheet_says_what_differs(tmp_path: Path) -> None:
    found = found_in(tmp_path, teal=BASE, digital=SHORT)
    assert found.errors == ()
    sheet = sheet_called("digital", found)
    assert (sheet.title, sheet.version, sheet.abstract, sheet.extends) == ("digital", "", False, ("teal",))
    assert {rule.key: rule.patterns for rule in sheet.match} == {"board": ("FENWICK F7",), "video": ("digital",)}
    order, low = sheet.expected("channels.order"), sheet.expected("channels.low")
    assert order is not None
    assert low is not None
    assert (order.only, str(low)) == ("AETR", "at least 990")  # a range replaces a range, it does not mix with it
    assert [str(grid) for grid in sheet.grids_for("analog")] == ["30x13 (ntsc)", "30x16 (pal)"]
    assert [str(grid) for grid in sheet.grids_for("digital")] == ["50x18 (hd-50x18)"]
    assert sheet.roles_required == ("console",)
    arm = sheet.switches.planned["arm"]
    assert (arm.channel, arm.from_us) == (6, 1700)
    assert dict(sheet.skip) == {"sensors": "no barometer fitted", "failsafe": "set later"}
    assert [waiver.finding for waiver in sheet.waivers] == ["failsafe/hold", "port-roles"]
    [question] = sheet.questions
    assert question.ask == "Is it bound to the house's transmitter?"
    assert sheet.expected("hand.bound") is None  # the question that took its place expects nothing


def test_each_key_says_which_file_it_comes_from(tmp_path: Path) -> None:
    sheet = sheet_called("digital", found_in(tmp_path, teal=BASE, digital=SHORT))
    base, own = f"{tmp_path}/teal.toml", f"{tmp_path}/digital.toml"
    assert sheet.origins["channels.order"] == f"{base}:9"
    assert sheet.origins["channels.low"] == f"{own}:7"
    assert sheet.origins["switches.arm.from_us"] == f"{base}:17"
    assert sheet.origins["switches.arm.channel"] == f"{own}:13"
    assert sheet.origins["waivers.failsafe/hold"] == f"{base}:20"
    assert sheet.origins["name"] == f"{own}:2"
    expected = sheet.expected("channels.order")
    assert expected is not None
    assert expected.source == f"{base}:9"


def test_an_error_in_what_was_taken_over_names_the_file_that_says_it(tmp_path: Path) -> None:
    found = found_in(tmp_path, teal=BASE, digital='extends = "teal"\n[ports]\nallowed = ["receiver"]\n')
    [error] = found.errors
    assert (str(error.source), error.line, error.key) == (f"{tmp_path}/teal.toml", 14, "ports.required")
    assert "console is required, but not among" in str(error)


def test_several_bases_are_laid_over_each_other_in_their_order_and_a_shared_one_lies_below_both(tmp_path: Path) -> None:
    found = found_in(
        tmp_path,
        root='[channels]\norder = "AETR"\nlow = 1000\n',
        left='extends = "root"\n[channels]\norder = "TAER"\n',
        right='extends = "Root"\n[battery]\ncells = 6\n',
        both='extends = ["left", "right"]\n[match]\nboard = "x"\n',
    )
    sheet = sheet_called("both", found)
    assert sheet.extends == ("right", "left", "root")
    order = sheet.expected("channels.order")
    assert order is not None
    assert order.only == "TAER"  # what `right` took over from `root` does not undo what `left` changed
    assert set(sheet.expectations) == {"channels.order", "channels.low", "battery.cells"}


def test_a_base_may_be_built_in_or_of_a_plug_in(tmp_path: Path) -> None:
    (tmp_path / "plugin").mkdir()
    (tmp_path / "user").mkdir()
    (tmp_path / "plugin" / "p.toml").write_text('format = 1\nname = "theirs"\nabstract = true\n[channels]\nlow = 1\n')
    (tmp_path / "user" / "u.toml").write_text('format = 1\nname = "ours"\nextends = ["house-default", "theirs"]\n')
    found = catalogue(plugins=[tmp_path / "plugin"], user=[tmp_path / "user"])
    assert found.errors == ()
    sheet = sheet_called("ours", found)
    assert sheet.house_default
    assert sheet.origins["channels.order"].startswith("built in: house-default.toml:")
    assert {"channels.low", "receiver.kind"} <= set(sheet.expectations)


def test_an_unknown_base_is_an_error_with_the_nearest_name(tmp_path: Path) -> None:
    found = found_in(tmp_path, teal="", digital='extends = ["teall"]\n')
    [error] = found.errors
    assert (error.line, error.key, error.hint) == (3, "extends", "did you mean teal?")
    assert [sheet.name for sheet in found.sheets] == ["house-default", "teal"]


def test_a_circle_is_one_error_that_shows_it(tmp_path: Path) -> None:
    found = found_in(
        tmp_path,
        a='extends = "b"\n',
        b='extends = "c"\n',
        c='extends = "a"\n',
        d='extends = "b"\n',
        e='extends = "e"\n',
    )
    assert {error.problem for error in found.errors} == {
        "extends in a circle: a extends b extends c extends a",
        "extends in a circle: e extends e",
    }
    assert all(error.line == 3 for error in found.errors)
    assert [sheet.name for sheet in found.sheets] == ["house-default"]


def test_a_base_that_is_wrong_is_told_once_and_takes_what_is_built_on_it_along(tmp_path: Path) -> None:
    found = found_in(tmp_path, base="colour = 1\n", one='extends = "base"\n', two='extends = "one"\n')
    [error] = found.errors
    assert (str(error.source), error.key) == (f"{tmp_path}/base.toml", "colour")
    assert [sheet.name for sheet in found.sheets] == ["house-default"]
    for name in ("one", "two"):
        assert found.shelf.sheet(found.shelf.sheets[name]) == (None, [error])


@pytest.mark.parametrize("more", [0, 1, 3000])
def test_a_chain_has_its_limit(more: int) -> None:
    sheets = [as_sheet(f"s{at}", {}, [f"s{at + 1}"]) for at in range(DEEPEST - 1 + more)]
    shelf = Shelf(shelf_of([*sheets, as_sheet(f"s{len(sheets)}", {"channels": {"low": 990}}, [])]))
    sheet, errors = shelf.sheet(shelf.sheets["s0"])
    assert (sheet is None, [error.problem for error in errors]) == (
        bool(more),
        [f"is built on more than {DEEPEST} sheets, one on the other"] * bool(more),
    )
    assert sheet is None or "channels.low" in sheet.expectations


def test_bases_that_are_shared_on_every_floor_are_visited_once() -> None:
    floors = [as_sheet(f"{side}{at}", {}, [f"a{at - 1}", f"b{at - 1}"] * bool(at)) for at in range(60) for side in "ab"]
    assert len(order_of(floors[-1], shelf_of(floors))) == 119  # visited once for each way, it would never end


WORDS = st.sampled_from(["a", "b", "c"])
SECTIONS: dict[str, st.SearchStrategy[Any]] = {
    "match": st.dictionaries(st.sampled_from(["board", "craft", "video"]), WORDS, min_size=1),
    "channels": st.fixed_dictionaries(
        {},
        optional={
            "order": st.sampled_from(["AETR", "TAER"]),
            "low": st.one_of(st.integers(900, 1100), st.builds(lambda low: {"from": low}, st.integers(900, 1100))),
        },
    ),
    "overlay": st.fixed_dictionaries(
        {},
        optional={
            "grid": st.one_of(
                st.sampled_from(["pal", "50x18"]),
                st.dictionaries(st.sampled_from(["analog", "digital"]), st.sampled_from(["pal", "60x22"])),
            ),
            "required": st.lists(WORDS, max_size=2),
        },
    ),
    "switches": st.fixed_dictionaries(
        {},
        optional={
            "arm": st.fixed_dictionaries({"channel": st.integers(5, 9)}, optional={"from_us": st.integers(1500, 1800)}),
            "required": st.lists(WORDS, max_size=2),
        },
    ),
    "checks": st.fixed_dictionaries({}, optional={"skip": st.dictionaries(WORDS, WORDS), "only": st.lists(WORDS)}),
    "tolerances": st.dictionaries(st.sampled_from(["channels.high", "battery.cells"]), st.integers(0, 9)),
    "waivers": st.lists(
        st.fixed_dictionaries({"finding": WORDS, "reason": WORDS}), max_size=3, unique_by=lambda one: one["finding"]
    ),
    "questions": st.lists(
        st.fixed_dictionaries({"id": WORDS, "ask": WORDS, "kind": st.sampled_from(["text", "version"])}),
        max_size=3,
        unique_by=lambda one: one["id"],
    ),
}
DOCUMENTS = st.fixed_dictionaries({}, optional=SECTIONS)


def as_sheet(name: str, document: dict[str, Any], extends: list[str]) -> Written:
    head = {"format": 1, "name": name, **({"extends": extends} if extends else {})}
    return written("".join(f"{key} = {toml_value(value)}\n" for key, value in {**head, **document}.items()), name)


@st.composite
def families(draw: st.DrawFn) -> list[Written]:
    """Sheets of which each may be built on any of those before it."""
    sheets: list[Written] = []
    for at in range(draw(st.integers(1, 6))):
        bases = draw(st.lists(st.sampled_from([one.name for one in sheets]), unique=True, max_size=3)) if sheets else []
        sheets.append(as_sheet(f"s{at}", draw(DOCUMENTS), bases))
    return sheets


def own(document: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in document.items() if key not in ("format", "name", "extends")}


@settings(max_examples=150, deadline=None)
@given(st.lists(DOCUMENTS, min_size=1, max_size=5))
def test_a_chain_comes_to_what_folding_it_comes_to(documents: list[dict[str, Any]]) -> None:
    chain = [as_sheet(f"s{at}", one, [f"s{at - 1}"] if at else []) for at, one in enumerate(documents)]
    whole, bases = resolved(chain[-1], shelf_of(chain))
    folded = chain[0].root
    for sheet in chain[1:]:
        folded = laid_over(folded, sheet.root)
    assert own(whole.plain()) == own(folded.plain())
    assert [base.name for base in bases] == [one.name for one in reversed(chain[:-1])]
    for key, value in documents[-1].items():  # what the last one says itself, stands
        if key in ("match", "channels", "tolerances"):
            assert {**whole.plain()[key], **value} == whole.plain()[key]


@settings(max_examples=100, deadline=None)
@given(families())
def test_the_order_of_the_files_makes_no_difference(sheets: list[Written]) -> None:
    one, other = Shelf(shelf_of(sheets)), Shelf(shelf_of(reversed(sheets)))
    for sheet in sheets:
        assert one.sheet(sheet) == other.sheet(sheet)


@settings(max_examples=100, deadline=None)
@given(families())
def test_each_base_lies_below_everything_that_is_built_on_it_and_is_there_once(sheets: list[Written]) -> None:
    shelf = shelf_of(sheets)
    line = [sheet.name for sheet in order_of(sheets[-1], shelf)]
    assert len(line) == len(set(line))
    assert line[-1] == sheets[-1].name
    for name in line:
        assert all(line.index(base) < line.index(name) for base in shelf[name].extends)


@settings(max_examples=100, deadline=None)
@given(families())
def test_what_is_resolved_is_a_sheet_that_says_the_same_alone(sheets: list[Written]) -> None:
    shelf = shelf_of(sheets)
    whole, bases = resolved(sheets[-1], shelf)
    alone = written(shown(whole, bases))
    again, none = resolved(alone, {})
    assert none == ()
    assert own(again.plain()) == {key: value for key, value in own(whole.plain()).items() if value != []}
    first, errors = Shelf(shelf).sheet(sheets[-1])
    second, same = Shelf({}).sheet(alone)
    assert [error.problem for error in errors] == [error.problem for error in same]
    if first is not None:
        assert second is not None
        assert second.expectations.keys() == first.expectations.keys()
        assert second.grids == first.grids
        assert second.switches == first.switches
        assert second.match == first.match


def test_a_key_of_a_sheet_itself_is_not_taken_over() -> None:
    base = written('format = 1\nname = "base"\nversion = "3"\ntitle = "Base"\nabstract = true\n')
    child = written('format = 1\nname = "child"\nextends = "base"\n')
    whole, _ = resolved(child, shelf_of([base, child]))
    assert whole.plain() == {"format": 1, "name": "child", "extends": "base"}


def test_a_base_that_is_not_there_cannot_be_resolved() -> None:
    with pytest.raises(SheetError, match="no build sheet 'gone'"):
        resolved(written('format = 1\nname = "child"\nextends = "gone"\n'), {})

"""Drawings of a layout, in characters and as SVG: what is where, what is wrong, and of a name its letters only."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from propsoff import GRIDS, Layout, LayoutError, OverlayElement, Size
from propsoff.overlay.picture import Picture, plain_name
from propsoff.overlay.size import BY_STANDARD, DIGITAL, KNOWN, NTSC, PAL
from propsoff.overlay.svg import draw_svg
from propsoff.overlay.text import draw_lines
from tests_support.overlays import element

HD53 = Size(53, 20)
SVG = "{http://www.w3.org/2000/svg}"


GOOD = (
    element("battery", 2, 18, 5),
    element("timer", 45, 18, 6),
    element("warnings", 20, 16, 12),
    element("horizon", 22, 10, 9, shown=False),
)


def grid_rows(layout: Layout, *, ascii_only: bool = False) -> list[str]:
    """What stands between the sides of the box, row by row."""
    side = "|" if ascii_only else "│"
    lines = draw_lines(layout, ascii_only=ascii_only)
    return [match[1] for match in (re.match(rf" *\d+ [{side}](.*)[{side}]\Z", line) for line in lines) if match]


def test_the_known_grids_are_those_of_the_build_sheets() -> None:
    assert set(KNOWN) == {Size.of(grid) for grid in GRIDS.values()}
    # MAX7456 data sheet 19-0576 Rev 0: 30 columns, 13 rows at 525 lines, 16 at 625; application note 4117: 480 cells.
    assert BY_STANDARD == {"ntsc": (30, 13), "pal": (30, 16)}
    assert PAL.columns * PAL.rows == 480
    assert DIGITAL == ((50, 18), (53, 20), (60, 22))  # common practice; 60x22 from memory
    assert NTSC in KNOWN


def test_each_element_stands_on_its_cells_with_its_name() -> None:
    rows = grid_rows(Layout(GOOD, HD53))
    assert [len(row) for row in rows] == [53] * 20
    assert rows[18][2:7] == "batte"
    assert rows[18][45:51] == "timer_"
    assert rows[16][20:32] == "warnings____"
    assert rows[18].count("_") == 1


def test_the_outermost_cells_are_marked_all_round() -> None:
    rows = grid_rows(Layout((), Size(9, 4)))
    assert rows == ["·········", "·       ·", "·       ·", "·········"]


def test_hidden_elements_are_named_and_not_drawn() -> None:
    lines = draw_lines(Layout(GOOD, HD53))
    assert "horizon" not in "".join(grid_rows(Layout(GOOD, HD53)))
    assert "hidden, not drawn: horizon" in lines


def test_how_much_of_the_grid_is_used_is_said_first() -> None:
    assert draw_lines(Layout(GOOD, HD53))[0] == "53x20, reaches 51 of 53 columns (96%) and 19 of 20 rows (95%)"
    assert draw_lines(Layout((), HD53))[0] == "53x20, nothing is shown"
    assert draw_lines(Layout((*GOOD, element("far", 90, 2, 4)), HD53))[0] == "53x20, and beyond it 1 of 4 elements"


def test_cells_that_two_share_are_filled_and_both_are_listed() -> None:
    layout = Layout((*GOOD, element("speed", 4, 18, 6)), HD53)
    assert grid_rows(layout)[18][2:10] == "ba▓▓▓ed_"
    assert grid_rows(layout, ascii_only=True)[18][2:10] == "ba###ed_"
    listed = {one.name: one.mark for one in Picture(layout).listed}
    assert listed["battery"] == "ON TOP OF speed"
    assert listed["speed"] == "ON TOP OF battery"
    assert listed["timer"] == ""


@pytest.mark.parametrize(
    ("bad", "drawn", "mark"),
    [
        (element("speed", 50, 3, 6), "sp»", "OUTSIDE the grid in part"),
        (element("speed", 90, 3, 6), "  ·", "OUTSIDE the grid"),
        (element("speed", 2**53, 3, 6), "  ·", "OUTSIDE the grid"),
        (element("speed", 50, 20, 3), "  ·", "OUTSIDE the grid"),
        (element("speed", 50, 3, 2**53), "sp»", "OUTSIDE the grid in part"),
    ],
)
def test_what_lies_outside_is_cut_off_with_an_arrow_and_listed(bad: OverlayElement, drawn: str, mark: str) -> None:
    layout = Layout((bad,), HD53)
    assert grid_rows(layout)[3][50:] == drawn
    [line] = [line for line in draw_lines(layout) if line.startswith("  speed")]
    assert line.endswith(mark)
    assert mark in draw_svg(layout)


def test_what_ends_in_the_last_column_is_not_cut_off() -> None:
    assert grid_rows(Layout((element("timer", 47, 3, 6),), HD53))[3][47:] == "timer_"


def test_what_begins_left_of_the_grid_is_cut_off_there() -> None:
    assert grid_rows(Layout((element("speed", -1, 3, 6),), HD53))[3][:6] == "»eed_ "


def test_an_element_without_a_place_is_listed_as_such() -> None:
    lines = draw_lines(Layout((element("speed", None, 3, 6),), HD53))
    assert any("speed  where it is drawn was not read" in line for line in lines)


@pytest.mark.parametrize(
    ("name", "shown"),
    [
        ("timer", "timer"),
        (None, "unnamed"),
        ("  ", "unnamed"),
        ("\x1b[31mred", "?[31mred"),
        ("鴨", "?"),
        ("e\u0301", "e?"),
        ("\u202eabc", "?abc"),
        ("a\nb", "a?b"),
        ("x" * 5000, "x" * 40),
    ],
)
def test_a_name_is_so_many_cells_wide_as_it_has_letters(name: str | None, shown: str) -> None:
    assert plain_name(element(name, 0, 0, 3)) == shown


@pytest.mark.parametrize("size", [Size(0, 20), Size(53, 0), Size(53, 65_536), Size(-3, 4)])
def test_an_absurd_grid_is_refused_and_not_drawn(size: Size) -> None:
    for drawing in (draw_lines, draw_svg):
        with pytest.raises(LayoutError, match="cannot be laid out"):
            drawing(Layout(GOOD, size))


def svg_of(
    layout: Layout, *, title: str = "Overlay layout", prefix: str = "overlay", listed: bool = True
) -> ElementTree.Element:
    return ElementTree.fromstring(draw_svg(layout, title=title, prefix=prefix, listed=listed))


def test_the_svg_is_well_formed_named_and_described_for_those_who_do_not_see_it() -> None:
    root = svg_of(Layout(GOOD, HD53), title="Teal Wren", prefix="one")
    assert root.attrib["role"] == "img"
    ids = root.attrib["aria-labelledby"].split()
    named = {each.attrib["id"]: each.text or "" for each in root if "id" in each.attrib}
    assert named[ids[0]] == "Teal Wren: 53x20, reaches 51 of 53 columns (96%) and 19 of 20 rows (95%)"
    assert "battery: row 18, columns 2 to 6" in named[ids[1]]
    assert "hidden, not drawn: horizon" in named[ids[1]]


def test_no_line_of_the_list_is_wider_than_the_picture() -> None:
    # A letter of a monospaced face is 0.6 of its height wide (common practice); the lines are 13 pixels high.
    for layout in (Layout(GOOD, Size(20, 10)), Layout((), HD53), Layout((element("n" * 40, 0, 0, 40),), HD53)):
        root = svg_of(layout)
        texts = [each for each in root.iter(f"{SVG}text") if each.attrib["font-size"] == "13"]
        ends = [float(each.attrib["x"]) + len(each.text or "") * 13 * 0.6 for each in texts]
        assert len(ends) >= 2
        assert max(ends) <= float(root.attrib["width"])


def test_without_its_list_the_picture_is_the_grid_alone_and_still_described() -> None:
    root = svg_of(Layout(GOOD, HD53), listed=False)
    assert len(boxes(root)) == 3
    assert not [each for each in root.iter(f"{SVG}text") if "row 18" in (each.text or "")]
    assert "battery: row 18, columns 2 to 6" in "".join(root.itertext())
    _, top, width, height = map(float, root.attrib["viewBox"].split())
    rulers = [each for each in root if each.tag == f"{SVG}text"]
    assert all(top <= float(each.attrib["y"]) <= top + height for each in rulers)
    assert all(float(each.attrib["x"]) <= width for each in rulers)


def test_names_and_titles_are_text_and_never_markup() -> None:
    layout = Layout((element("<b>&\"'x\x1b\ufffe", 2, 3, 10),), HD53)
    root = svg_of(layout, title="<script>alert(1)</script>\x00")
    assert "<script" not in draw_svg(layout, title="<script>")
    texts = [each.text for each in root.iter(f"{SVG}text")]
    assert "<b>&\"'x??" in texts
    assert texts[0] == "<script>alert(1)</script>?"


def boxes(root: ElementTree.Element) -> list[tuple[float, float, float, dict[str, str]]]:
    """Left edge, top and width, in cells of 12x18 pixels, and the attributes of each element's box."""
    inner = root.find(f"{SVG}svg")
    assert inner is not None
    found = [each for each in inner.iter(f"{SVG}rect") if each.attrib["fill"].startswith("#")]
    return [
        ((float(r["x"]) - 0.5) / 12, (float(r["y"]) - 0.5) / 18, (float(r["width"]) + 1) / 12, r)
        for r in (each.attrib for each in found)
    ]


def test_the_boxes_of_the_svg_lie_where_the_elements_do() -> None:
    # A character is 12x18 pixels: MAX7456 data sheet 19-0576.
    found = [(x, y, width) for x, y, width, _ in boxes(svg_of(Layout(GOOD, HD53)))]
    assert found == [(20, 16, 12), (2, 18, 5), (45, 18, 6)]


def test_state_is_said_by_strokes_and_words_not_by_colour() -> None:
    bad = (*GOOD, element("speed", 4, 18, 6), element("late", 50, 3, 6))
    text = draw_svg(Layout(bad, HD53))
    root = ElementTree.fromstring(text)
    dashed = [attributes for *_, attributes in boxes(root) if "stroke-dasharray" in attributes]
    assert len(dashed) == 1
    assert len({attributes["fill"] for *_, attributes in boxes(root)}) == 1
    assert text.count("url(#overlay-hatch)") == 1
    assert "OUTSIDE" in text
    assert "ON TOP OF" in text


ANY = st.builds(
    OverlayElement,
    st.one_of(st.none(), st.text(max_size=12)),
    st.one_of(st.none(), st.integers(-3, 70), st.sampled_from([2**53, -(2**40)])),
    st.one_of(st.none(), st.integers(-3, 30), st.sampled_from([65_536])),
    st.one_of(st.none(), st.integers(-1, 14), st.sampled_from([2**53])),
    st.sampled_from([True, None, False]),
)


@settings(max_examples=150, deadline=None)
@given(
    st.lists(ANY, max_size=30).map(tuple), st.builds(Size, st.integers(1, 70), st.integers(1, 30)), st.text(max_size=9)
)
def test_any_layout_is_drawn_as_wide_as_its_grid_and_as_well_formed_xml(
    elements: tuple[OverlayElement, ...], size: Size, title: str
) -> None:
    layout = Layout(elements, size)
    assert [len(row) for row in grid_rows(layout)] == [size.columns] * size.rows
    assert all(line.isprintable() for line in draw_lines(layout))
    assert draw_lines(layout, ascii_only=True)[2].isascii()
    root = svg_of(layout, title=title)
    for x, y, width, _ in boxes(root):
        assert x >= 0
        assert x + width <= size.columns
        assert 0 <= y < size.rows

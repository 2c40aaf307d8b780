"""A layout as an SVG picture: ink on paper, every state said in words and strokes, never by colour alone."""

from __future__ import annotations

from collections.abc import Iterator
from xml.sax.saxutils import escape

from propsoff.craft.model import OverlayElement
from propsoff.overlay.layout import Layout, is_outside, width_of
from propsoff.overlay.picture import Picture, plain_name

# A character is 12 pixels wide and 18 high: MAX7456 data sheet 19-0576.
_WIDE, _HIGH = 12, 18
_LEFT, _TOP, _LINE = 40, 66, 20
_LETTER = 0.6
"""How wide a letter of a monospaced face is against its height."""
_LIST_LETTER = 8
"""How wide a letter of the list is, 13 pixels high, rounded up."""
_INK, _PAPER, _LIGHT, _FILL = "#1d1b18", "#fbf9f3", "#6b6459", "#efe9db"


def draw_svg(layout: Layout, *, title: str = "Overlay layout", prefix: str = "overlay", listed: bool = True) -> str:
    """The grid with its elements, the safe edge one cell in, and a list of the elements with what is wrong.

    `prefix` begins the ids in it, so that several can stand in one page; `listed=False` leaves title and list to that
    page. Raises LayoutError for a grid that cannot be drawn.
    """
    picture = Picture(layout)
    return (
        "\n".join(_document(picture, _text(title), prefix) if listed else _alone(picture, _text(title), prefix)) + "\n"
    )


def _document(picture: Picture, title: str, prefix: str) -> Iterator[str]:
    columns, rows = picture.layout.size
    words = listed_in_words(picture)
    below = _TOP + rows * _HIGH + 34
    longest = max(len(line) for line in (title, picture.headline, *words))
    width = max(_LEFT + columns * _WIDE + 24, _LEFT + 20 + longest * _LIST_LETTER)
    yield from _opened(picture, title, prefix, (0, 0, width, below + len(words) * _LINE + 8))
    yield f'<text x="{_LEFT}" y="22" font-size="16" font-weight="bold">{title}</text>'
    yield f'<text x="{_LEFT}" y="42" font-size="13">{_text(picture.headline)}</text>'
    yield from _drawn(picture, prefix)
    for at, line in enumerate(words):
        yield f'<text x="{_LEFT}" y="{below + at * _LINE}" font-size="13">{_text(line)}</text>'
    yield "</svg>"


def _alone(picture: Picture, title: str, prefix: str) -> Iterator[str]:
    """The grid and nothing else."""
    columns, rows = picture.layout.size
    upper = _TOP - _LINE
    yield from _opened(picture, title, prefix, (0, upper, _LEFT + columns * _WIDE + 12, _LINE + rows * _HIGH + 6))
    yield from _drawn(picture, prefix)
    yield "</svg>"


def listed_in_words(picture: Picture) -> tuple[str, ...]:
    """Each element with its place and what is the matter with it, then what is not drawn."""
    listed = [f"{one.name}: {one.place}{f', {one.mark}' if one.mark else ''}" for one in picture.listed]
    return (*listed, *picture.footnotes)


def _opened(picture: Picture, title: str, prefix: str, box: tuple[int, int, int, int]) -> Iterator[str]:
    """The head of the document, with what it shows said in words, and its ground; `box` is x, y, width, height."""
    x, y, width, height = box
    yield (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{x} {y} {width} {height}" width="{width}" height="{height}" '
        f'role="img" aria-labelledby="{prefix}-title {prefix}-desc" font-family="monospace" fill="{_INK}">'
    )
    yield f'<title id="{prefix}-title">{title}: {_text(picture.headline)}</title>'
    yield f'<desc id="{prefix}-desc">{_text(". ".join(listed_in_words(picture)))}.</desc>'
    yield from _patterns(prefix)
    yield f'<rect x="{x}" y="{y}" width="{width}" height="{height}" fill="{_PAPER}"/>'


def _drawn(picture: Picture, prefix: str) -> Iterator[str]:
    columns, rows = picture.layout.size
    yield from _grid(columns, rows)
    yield f'<svg x="{_LEFT}" y="{_TOP}" width="{columns * _WIDE}" height="{rows * _HIGH}">'
    for element in picture.drawn:
        yield from _element(element, picture.layout, prefix)
    yield from _shared_cells(picture, prefix)
    yield "</svg>"


def _patterns(prefix: str) -> Iterator[str]:
    yield (
        f'<defs><pattern id="{prefix}-hatch" width="6" height="6" patternUnits="userSpaceOnUse">'
        f'<path d="M0 6L6 0" stroke="{_INK}" stroke-width="1.5"/></pattern></defs>'
    )


def _grid(columns: int, rows: int) -> Iterator[str]:
    """The ground with its rulers, a tick for each fifth cell, and the safe edge."""
    wide, high = columns * _WIDE, rows * _HIGH
    ground = f'x="{_LEFT}" y="{_TOP}" width="{wide}" height="{high}"'
    yield f'<rect {ground} fill="#ffffff" stroke="{_INK}" stroke-width="2"/>'
    lines = [f"M{_LEFT + at * _WIDE} {_TOP}v{high}" for at in range(5, columns, 5)]
    lines += [f"M{_LEFT} {_TOP + at * _HIGH}h{wide}" for at in range(5, rows, 5)]
    yield f'<path d="{"".join(lines)}" stroke="{_LIGHT}" stroke-opacity="0.25" fill="none"/>'
    if columns > 2 and rows > 2:
        yield (
            f'<rect x="{_LEFT + _WIDE}" y="{_TOP + _HIGH}" width="{wide - 2 * _WIDE}" height="{high - 2 * _HIGH}" '
            f'fill="none" stroke="{_LIGHT}" stroke-dasharray="2 4"/>'
        )
    for at in range(0, columns, 5):
        yield f'<text x="{_LEFT + at * _WIDE}" y="{_TOP - 6}" font-size="11" fill="{_LIGHT}">{at}</text>'
    for at in range(0, rows, 5):
        y = _TOP + at * _HIGH + 13
        yield f'<text x="{_LEFT - 8}" y="{y}" font-size="11" text-anchor="end" fill="{_LIGHT}">{at}</text>'


def _element(element: OverlayElement, layout: Layout, prefix: str) -> Iterator[str]:
    """Its box with as much of its name as it is wide; dashed and thick where it lies beyond the grid."""
    columns = layout.size.columns
    first = max(element.column or 0, 0)
    width = min((element.column or 0) + width_of(element), columns) - first
    x, y = first * _WIDE, (element.row or 0) * _HIGH
    beyond = is_outside(element, layout.size)
    stroke = 'stroke-width="3" stroke-dasharray="5 3"' if beyond else 'stroke-width="1"'
    name = plain_name(element)
    shown = name if len(name) <= width else name[:width]
    yield f"<g><title>{_text(name)}</title>"
    yield (
        f'<rect x="{x + 0.5}" y="{y + 0.5}" width="{width * _WIDE - 1}" height="{_HIGH - 1}" fill="{_FILL}" '
        f'stroke="{_INK}" {stroke}/>'
    )
    # A little less high than a cell is wide, so that a letter fills its cell.
    yield (
        f'<text x="{x + width * _WIDE / 2:g}" y="{y + 13}" font-size="{min(14, _WIDE / _LETTER * 0.75):g}" '
        f'text-anchor="middle">{_text(shown)}</text></g>'
    )


def _shared_cells(picture: Picture, prefix: str) -> Iterator[str]:
    """Cells that two elements share, hatched."""
    columns, rows = picture.layout.size
    for _, _, row, first, last in picture.layout.overlaps:
        start, end = max(first, 0), min(last + 1, columns)
        if 0 <= row < rows and start < end:
            yield (
                f'<rect x="{start * _WIDE}" y="{row * _HIGH}" width="{(end - start) * _WIDE}" height="{_HIGH}" '
                f'fill="url(#{prefix}-hatch)" stroke="{_INK}" stroke-width="3"/>'
            )


def _text(text: str) -> str:
    return escape("".join(char if char.isprintable() else "?" for char in text))

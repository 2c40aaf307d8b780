"""`propsoff overlay`: drawing a craft's overlay, and moving it to another grid."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from propsoff.cli.common import complain, gathered, loaded_settings, screen
from propsoff.cli.targets import conversation_of
from propsoff.exceptions import CaptureError, LayoutError, TargetError

if TYPE_CHECKING:
    from propsoff.craft.model import Craft, OverlayElement
    from propsoff.dialects.model import Dialect
    from propsoff.overlay.layout import Layout
    from propsoff.overlay.size import Size


@click.group()
def command() -> None:
    """Draw the overlay of a craft, or move its elements to another grid.

    TARGET is a saved capture, a device path or a pyserial URL. Naming a port is the consent to open it; nothing is
    written to the board. Propellers off first.
    """


@command.command()
@click.argument("target")
@click.option("--grid", metavar="GRID", help="Draw it on this grid (53x20, pal, hd-50x18), not on the board's own.")
@click.option("--svg", type=click.Path(path_type=Path, dir_okay=False), help="Write the drawing to this SVG file too.")
@click.option("--dialect", "dialects", multiple=True, type=click.Path(path_type=Path), help="A further dialect file.")
@click.option("--listen", type=float, metavar="S", help="Seconds of listening before the first byte is sent.")
@click.pass_context
def draw(
    ctx: click.Context,
    target: str,
    grid: str | None,
    svg: Path | None,
    dialects: tuple[Path, ...],
    listen: float | None,
) -> int:
    """Draw the overlay: the grid, the elements that are shown, the edge one cell in, and what is wrong."""
    from propsoff.overlay.layout import Layout

    size = _size(grid, "--grid")
    board = _read(ctx, target, dialects, listen)
    layout = Layout.of(board.elements, size or board.grid(target, "--grid"))
    _show(layout)
    if svg is not None:
        _write_svg(layout, svg, _title(board.craft))
    return 0


@command.command()
@click.argument("target")
@click.option("--to", "to_grid", required=True, metavar="GRID", help="The grid to move it to: 53x20, pal, hd-50x18.")
@click.option("--from", "from_grid", metavar="GRID", help="The grid that it was made for; without it, that is told.")
@click.option("--svg", type=click.Path(path_type=Path, dir_okay=False), help="Write the result to this SVG file.")
@click.option("--dialect", "dialects", multiple=True, type=click.Path(path_type=Path), help="A further dialect file.")
@click.option("--listen", type=float, metavar="S", help="Seconds of listening before the first byte is sent.")
@click.pass_context
def fit(
    ctx: click.Context,
    target: str,
    to_grid: str,
    from_grid: str | None,
    svg: Path | None,
    dialects: tuple[Path, ...],
    listen: float | None,
) -> int:
    """Move the elements to another grid: what was at an edge or centred stays so, and nothing lies on anything.

    Draws the overlay before and after, and prints the lines to type at the board's console. Nothing is sent.
    """
    from propsoff.overlay.fit import fit_layout, layout_source
    from propsoff.overlay.layout import Layout

    after_size, before_size = _size(to_grid, "--to"), _size(from_grid, "--from")
    assert after_size is not None
    board = _read(ctx, target, dialects, listen)
    if before_size is None:
        before_size = layout_source(Layout.of(board.elements, board.grid(target, "--from")), after_size)
    before = Layout.of(board.elements, before_size)
    try:
        after = Layout.of(fit_layout(board.elements, before_size, after_size), after_size)
    except LayoutError as error:
        raise TargetError(f"{target}: {error}") from None
    console = screen()
    console.print("before:", style="bold")
    _show(before)
    console.print("\nafter:", style="bold")
    _show(after)
    if svg is not None:
        _write_svg(after, svg, _title(board.craft))
    _show_lines(board, before, after)
    return 0


class _Board(NamedTuple):
    """A craft whose overlay was read, and the dialect that it speaks."""

    craft: Craft
    dialect: Dialect
    elements: tuple[OverlayElement, ...]

    def grid(self, target: str, option: str) -> Size:
        """The board's own grid. Raises CaptureError when it was not read, or cannot be; `option` names another."""
        from propsoff.overlay.layout import overlay_grid
        from propsoff.overlay.size import checked

        size = overlay_grid(self.craft.overlay)
        hint = f"name the grid that the goggles draw: {option} 53x20"
        if size is None:
            raise CaptureError(f"{target}: the overlay's grid was not read; {hint}")
        try:
            return checked(size)
        except LayoutError as error:
            raise CaptureError(f"{target}: the board's own grid: {error}; {hint}") from None


def _size(text: str | None, option: str) -> Size | None:
    """The size of a grid named on the command line. Raises TargetError for none, and for one that cannot be."""
    from propsoff.overlay.size import Size, checked
    from propsoff.sheets.model import GRIDS, grid_of

    if text is None:
        return None
    grid = grid_of(text)
    if grid is None:
        known = ", ".join(GRIDS)
        raise TargetError(f"{option} {text}: is no grid; give columns x rows, such as 53x20, or one of {known}")
    try:
        return checked(Size(grid.columns, grid.rows))
    except LayoutError as error:
        raise TargetError(f"{option} {text}: {error}") from None


def _read(ctx: click.Context, target: str, dialects: tuple[Path, ...], listen: float | None) -> _Board:
    """The craft behind a target.

    Raises TargetError when it is neither port nor capture, CaptureError when its overlay cannot be read.
    """
    from propsoff.console.transcript import Transcript
    from propsoff.dialects.read import read_exchanges
    from propsoff.dialects.recognise import explain

    loaded = loaded_settings(ctx, timings__listen_s=listen, checks__dialects=dialects or None)
    tools = gathered(loaded, insisted=dialects)
    capture = conversation_of(target, tools)
    recognition = explain(Transcript(capture), tools.dialects)
    if recognition.dialect is None:
        raise CaptureError(f"{target}: {capture.ending or recognition.reason}; see what was said: propsoff inspect")
    craft = read_exchanges(recognition.exchanges, recognition.dialect).craft
    if craft.overlay.elements is None:
        raise CaptureError(f"{target}: no overlay elements were read; see why: propsoff inspect {target}")
    if "overlay.elements" in craft.partial:
        complain(f"{target}: elements may be missing here: not all of the listing was read")
    return _Board(craft, recognition.dialect, craft.overlay.elements)


def _title(craft: Craft) -> str:
    from propsoff.outputs.escape import visible

    return visible(craft.craft.name or craft.board.name or "Overlay", 60)


def _show(layout: Layout) -> None:
    """Print a drawing; a terminal that has no line characters gets plain ones."""
    from rich.text import Text

    from propsoff.overlay.text import draw_lines

    console = screen()
    for line in draw_lines(layout, ascii_only=not console.encoding.lower().startswith("utf")):
        console.print(Text(line), soft_wrap=True)


def _write_svg(layout: Layout, file: Path, title: str) -> None:
    """Raises TargetError when the file cannot be written."""
    from propsoff.overlay.svg import draw_svg
    from propsoff.safe_write import replace_file

    try:
        replace_file(file, draw_svg(layout, title=title).encode(), sync=False)
    except OSError as error:
        raise TargetError(f"{file}: the drawing cannot be written there: {error.strerror or error}") from None
    click.echo(f"drawing: {file}", err=True)


def _show_lines(board: _Board, before: Layout, after: Layout) -> None:
    """Print what to type to make it so, or why that cannot be said."""
    from propsoff.outputs.escape import visible
    from propsoff.overlay.moves import layout_moves, nameless
    from propsoff.overlay.size import BY_STANDARD

    if after.size not in BY_STANDARD.values():
        _warn_before_digital(board, after)
    moves = layout_moves(before, after)
    said = [board.dialect.say(move.fact, move.value, row=move.row) for move in moves]
    lines = [*_grid_lines(board, after), *(line for each in said for line in each)]
    if nameless(before, after) or () in said:
        click.echo("\nNot every move can be said to this console: set the places by hand, as they are listed.")
    elif not lines:
        click.echo("\nNothing has to be moved.")
    else:
        click.echo("\nPropellers off. To make it so, type at the board's console (nothing was sent):")
        for line in (*dict.fromkeys(lines), *board.dialect.closing()):
            click.echo(f"  {visible(line)}")


def _grid_lines(board: _Board, after: Layout) -> tuple[str, ...]:
    """The lines that set the grid itself, where the board states another one."""
    from propsoff.overlay.size import BY_STANDARD

    overlay = board.craft.overlay
    if overlay.columns is None or overlay.rows is None or after.size == (overlay.columns, overlay.rows):
        return ()
    system = next((name for name, size in BY_STANDARD.items() if size == after.size), "digital")
    settings: list[tuple[str, object]] = [("overlay.system", system)] if system != overlay.system else []
    settings += [("overlay.columns", after.size.columns), ("overlay.rows", after.size.rows)]
    return board.dialect.say_all(settings)


def _warn_before_digital(board: _Board, after: Layout) -> None:
    """Say what keeps this board from drawing a digital grid."""
    from propsoff.versions import at_least

    version, floor = board.craft.firmware.version, board.dialect.since("digital-grid")
    if version is not None and floor is not None and at_least(version, floor) is False:
        complain(f"firmware {version} cannot draw {after.size}: that needs {floor} or newer; update it first")
    if board.craft.video.link == "analog":
        complain(f"the video link is set to analogue, which draws no {after.size}: set it first to what is fitted")

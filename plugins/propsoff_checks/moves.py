"""Moving overlay elements: the proposal for a grid, and how it is said to a board or to a person."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from propsoff import Case, Layout, LayoutError, OverlayElement, Size, fit_layout, layout_moves, layout_source, nameless
from propsoff_checks.canvas import name_of
from propsoff_checks.words import listed

_MOST_LINES = 96
_MOST_STEPS = 8


def proposed(layout: Layout, target: Size | None = None, shown: Iterable[OverlayElement] = ()) -> Layout | str:
    """The layout as it would be on another grid (None: put in order on its own), with `shown` ones shown.

    Where there is none, the reason in words.
    """
    wanted = {id(element) for element in shown}
    elements = [_shown(element) if id(element) in wanted else element for element in layout.elements]
    grid = target or layout.size
    try:
        return Layout.of(fit_layout(elements, layout_source(layout, grid), grid), grid)
    except LayoutError as error:
        return str(error)


def say_moves(
    case: Case, before: Layout, after: Layout | str, settings: Sequence[tuple[str, object]] = ()
) -> tuple[str, ...]:
    """Console lines that make these settings, and then one layout of the other, with the closing lines.

    Empty where one of them cannot be said: no dialect, an element without a name of its own, more lines than anybody
    types.
    """
    tongue = case.tongue
    if tongue is None or isinstance(after, str):
        return ()
    said = list(tongue.say_all(settings)) if settings else []
    if (settings and not said) or nameless(before, after):
        return ()
    for move in layout_moves(before, after):
        lines = tongue.say(move.fact, move.value, row=move.row)
        if not lines:
            return ()
        said += [line for line in lines if line not in said]
    return (*said, *tongue.closing()) if 0 < len(said) <= _MOST_LINES else ()


def move_steps(before: Layout, after: Layout | str, said: Sequence[str] = ()) -> tuple[str, ...]:
    """The same for hands: which element goes where; nothing where the lines to type say it already."""
    if said:
        return ()
    if isinstance(after, str):
        hint = "" if "hide" in after else " Make it narrower, or hide it."
        return (f"No layout can be proposed: {after}.{hint}",)
    moves = [_move(old, new) for old, new in zip(before.elements, after.elements, strict=True) if old != new]
    if not moves:
        return ()
    more = f"; and {len(moves) - _MOST_STEPS} more" if len(moves) > _MOST_STEPS else ""
    return (f"In places, counted from 0 at the upper left: {'; '.join(moves[:_MOST_STEPS])}{more}.",)


def _move(old: OverlayElement, new: OverlayElement) -> str:
    verb = "move" if old.shown == new.shown else "show"
    return f"{verb} {listed([name_of(new)])} {'to' if verb == 'move' else 'at'} column {new.column}, row {new.row}"


def _shown(element: OverlayElement) -> OverlayElement:
    return OverlayElement(element.name, element.column, element.row, element.width, shown=True)

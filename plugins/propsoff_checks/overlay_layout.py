"""Whether what the overlay shows can be read: on the grid, none on another, none missing, all of the grid used."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from propsoff import Case, Finding, Layout, Overlap, OverlayElement, Size, check, overlay_grid
from propsoff_checks.canvas import LARGEST, LOOK, name_of, names, seen
from propsoff_checks.moves import move_steps, proposed, say_moves
from propsoff_checks.words import PROPELLERS_OFF, SAFETY_SOURCES, listed

_NEEDED = {
    "battery": "an empty battery is noticed only when the craft falls",
    "timer": "nobody knows how long the craft has been up",
    "link-quality": "the link is lost without a warning",
    "warnings": "what the board warns of is not read",
}
"""What a pilot looks for in flight, and what happens without it: common practice."""
_MANY = 100
_MOST_TOLD = 6
_LARGEST = 2 * LARGEST


@check(
    "overlay-layout",
    title="Overlay: its elements on the grid",
    why="What is not drawn, drawn over or not shown at all cannot be read in flight.",
    reads=("overlay.elements", "overlay.columns", "overlay.rows", "overlay.system", "overlay.enabled"),
    sources=(
        "MAX7456 data sheet 19-0576 Rev 0: 30 columns, 13 rows at 525 lines, 16 rows at 625 lines",
        "a layout made for 30x16 reaches 30/53 of the width and 16/20 of the height of 53x20 (computed)",
        "a grid can be right while the elements are still laid out for a smaller one: common practice",
        "battery, timer, link quality and warnings are looked for in flight: common practice",
        *SAFETY_SOURCES,
    ),
    caution=f"{PROPELLERS_OFF} A video transmitter that is powered needs its antenna and a fan.",
)
def overlay_layout(case: Case) -> Iterator[Finding]:
    """What is shown, then where it lies, then whether it uses the grid."""
    elements, size = case.craft.as_read_whole().overlay.elements, overlay_grid(case.craft.overlay)
    expected = case.sheet.expected("overlay.enabled")
    if case.craft.overlay.enabled is False and expected is not None and expected.allows(False):
        yield case.skipped("the overlay is switched off, as the build sheet has it")
        return
    if elements is None:
        yield case.unread("overlay.elements")
        return
    if size is None:
        yield case.unread(*_grid_unread(case))
        return
    if not (0 < size.columns <= _LARGEST and 0 < size.rows <= _LARGEST):
        yield case.unknown(
            f"no layout can be examined on a grid of {size}",
            code="no-grid",
            facts=("overlay.columns", "overlay.rows"),
            steps=("Set the grid that the goggles draw, then inspect the craft again.",),
        )
        return
    layout = Layout.of(elements, size)
    found = [*_shown(case, layout), *_unread(case, layout), *_places(case, layout), *_required(case, layout)]
    yield from found
    if not found:
        yield case.passed(f"{_use(layout)}; none on another", facts=("overlay.elements",), actual=_use(layout))


def _grid_unread(case: Case) -> list[str]:
    overlay = case.craft.overlay
    facts = {"columns": overlay.columns, "rows": overlay.rows, "system": overlay.system}
    return [f"overlay.{name}" for name, value in facts.items() if value is None]


def _use(layout: Layout) -> str:
    reach, size = layout.reach or Size(0, 0), layout.size
    width, height = f"{reach.columns}/{size.columns}", f"{reach.rows}/{size.rows}"
    return (
        f"{len(layout.drawn)} elements on {size}, out to {width} of the width ({reach.columns / size.columns:.0%}) "
        f"and {height} of the height ({reach.rows / size.rows:.0%})"
    )


def _facts(layout: Layout, elements: Sequence[OverlayElement]) -> tuple[str, ...]:
    wanted = {id(element) for element in elements[:8]}
    return tuple(f"overlay.elements[{at}]" for at, element in enumerate(layout.elements) if id(element) in wanted)


def _shown(case: Case, layout: Layout) -> Iterator[Finding]:
    if not layout.shown and not case.sheet.elements_required:
        wanted = [element for element in layout.elements if element.name in _NEEDED]
        after = proposed(layout, shown=wanted)
        lines = say_moves(case, layout, after)
        yield case.warn(
            "no element of the overlay is shown",
            code="none-shown",
            facts=("overlay.elements", "overlay.enabled"),
            expected=f"at least {listed(_NEEDED)}",
            actual="an empty overlay",
            why="The pilot flies by the picture alone.",
            console=lines,
            steps=(f"Show at least {listed(_NEEDED)}.", *move_steps(layout, after, lines), LOOK),
        )
    if len(layout.elements) > _MANY:
        yield case.warn(
            f"the overlay lists {len(layout.elements)} elements, more than a pilot can read",
            code="many-elements",
            facts=("overlay.elements[0]",),
            expected=f"at most {_MANY}",
            actual=str(len(layout.elements)),
            steps=("Hide what nobody looks at in flight.", LOOK),
        )
    flat = [element for element in layout.shown if element.width is not None and element.width < 1]
    if flat:
        yield case.fail(
            f"not even one column wide: {names(flat)}",
            code="no-width",
            facts=_facts(layout, flat),
            expected="1 column or more",
            actual=listed(f"{name_of(one)} {one.width} columns wide" for one in flat),
            why="Nothing of it is drawn.",
            steps=(f"Set {names(flat)} up anew: the board's settings are damaged.", LOOK),
        )


def _unread(case: Case, layout: Layout) -> Iterator[Finding]:
    if layout.unplaced:
        yield case.unknown(
            f"where these elements are drawn was not read: {names(layout.unplaced)}",
            code="place-unread",
            facts=_facts(layout, layout.unplaced),
            steps=("Set their places anew on the board; then look into the goggles whether they can be read.",),
        )
    stated = any(element.width is not None for element in layout.elements)  # not every firmware states widths
    boundless = [element for element in layout.drawn if element.width is None] if stated else []
    if boundless:
        yield case.unknown(
            f"how wide these elements are was not read: {names(boundless)}",
            code="width-unread",
            facts=_facts(layout, boundless),
            steps=("Look into the goggles whether they reach over the edge or into another one.",),
        )


def _places(case: Case, layout: Layout) -> Iterator[Finding]:
    beyond, overlaps, made_for = layout.outside, layout.overlaps, layout.made_for
    if not beyond and not overlaps and made_for is None:
        return
    after = proposed(layout)
    console = say_moves(case, layout, after)
    steps = (*move_steps(layout, after, console), LOOK)
    if beyond:
        yield case.fail(
            f"beyond the edge of {layout.size}: {names(beyond)}",
            code="outside",
            facts=_facts(layout, beyond),
            expected=f"every element within {layout.size}",
            actual=_some([_reaches(one) for one in beyond]),
            why="What lies beyond the edge is cut off or not drawn at all.",
            console=console,
            steps=steps,
        )
    if overlaps:
        yield case.fail(
            f"on top of each other: {listed(_pair(one) for one in overlaps)}",
            code="overlap",
            facts=_facts(layout, [each for one in overlaps for each in (one.one, one.other)]),
            expected="each element on cells of its own",
            actual=_some([_where(one) for one in overlaps]),
            why="One is drawn over the other: neither can be read.",
            console=console,
            steps=steps,
        )
    if made_for is not None:
        yield case.warn(
            f"the grid is {layout.size}, but the layout was made for {made_for}",
            code="small-layout",
            facts=("overlay.elements", "overlay.columns", "overlay.rows"),
            expected=f"elements out to the edges of {layout.size}",
            actual=_use(layout),
            why=f"In the goggles {seen(made_for, layout.size)}.",
            console=console,
            steps=steps,
        )


def _some(places: Sequence[str]) -> str:
    """The first of them, and how many more there are."""
    more = [f"and {len(places) - _MOST_TOLD} more"] if len(places) > _MOST_TOLD else []
    return "; ".join([*places[:_MOST_TOLD], *more])


def _reaches(element: OverlayElement) -> str:
    wide = f", {element.width} wide" if element.width is not None else ""
    return f"{name_of(element)} from column {element.column}, row {element.row}{wide}"


def _pair(overlap: Overlap) -> str:
    return f"{name_of(overlap.one)} and {name_of(overlap.other)}"


def _where(overlap: Overlap) -> str:
    first, last = overlap.first_column, overlap.last_column
    columns = f"columns {first} to {last}" if last > first else f"column {first}"
    return f"{_pair(overlap)} in row {overlap.row}, {columns}"


def _required(case: Case, layout: Layout) -> Iterator[Finding]:
    """What a pilot needs to see, by the build sheet, else by common practice."""
    said = case.sheet.elements_required
    if not layout.shown and not said:
        return  # said already
    wanted = list(dict.fromkeys(_NEEDED if said is None else said))
    seen_here = {(element.name or "").casefold() for element in layout.shown}
    missing = [name for name in wanted if name.casefold() not in seen_here]
    if missing and any(element.name is None for element in layout.elements):
        yield case.unknown(
            f"whether these are shown cannot be told, as not every element's name was read: {listed(missing)}",
            code="name-unread",
            facts=("overlay.elements",),
            steps=(f"Look into the goggles for {listed(missing)}.",),
        )
        return
    hidden = [one for one in layout.elements if (one.name or "").casefold() in {name.casefold() for name in missing}]
    there = {(one.name or "").casefold() for one in hidden}
    absent = [name for name in missing if name.casefold() not in there]
    if hidden:
        yield _hidden(case, layout, hidden)
    if absent:
        yield _absent(case, layout, absent)


def _asked(case: Case) -> str:
    return "shown, by the build sheet" if case.sheet.elements_required is not None else "shown (common practice)"


def _without(missing: Sequence[str]) -> str:
    effects = [_NEEDED[name] for name in missing if name in _NEEDED]
    told = "; ".join(effects)
    return f"{told[:1].upper()}{told[1:]}." if told else "The house wants the pilot to see it."


def _hidden(case: Case, layout: Layout, hidden: Sequence[OverlayElement]) -> Finding:
    judge = case.fail if case.sheet.elements_required is not None else case.warn
    after = proposed(layout, shown=hidden)
    lines = say_moves(case, layout, after)
    return judge(
        f"hidden, though a pilot looks for it: {names(hidden)}",
        code="required-hidden",
        facts=_facts(layout, hidden),
        expected=_asked(case),
        actual="hidden",
        why=_without([one.name or "" for one in hidden]),
        console=lines,
        steps=(*move_steps(layout, after, lines), LOOK),
    )


def _absent(case: Case, layout: Layout, absent: Sequence[str]) -> Finding:
    judge = case.fail if case.sheet.elements_required is not None else case.warn
    return judge(
        f"the overlay has no element for {listed(absent)}",
        code="required-missing",
        facts=("overlay.elements",),
        expected=_asked(case),
        actual=f"not among its {len(layout.elements)} elements",
        why=_without(absent),
        steps=(
            f"See whether this firmware draws {listed(absent)}; if so, show it where nothing else stands.",
            LOOK,
        ),
    )

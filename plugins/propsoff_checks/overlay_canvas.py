"""Whether the character overlay fills the grid that the pilot's display draws."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from propsoff import Case, Finding, at_least, check
from propsoff_checks.canvas import (
    BY_STANDARD,
    DIGITAL,
    LARGEST,
    NTSC,
    PAL,
    Size,
    names,
    nearest,
    outside,
    placed,
    reach,
    seen,
    shown,
)
from propsoff_checks.links import link_in_doubt
from propsoff_checks.words import PROPELLERS_OFF, SAFETY_SOURCES, cut, listed

_LOOK = (
    "Look into the goggles: the outermost elements must touch the edges. "
    "The video transmitter needs its antenna and, on a bench, a fan."
)
_SAY_GRID = 'If the goggles do draw {found}, say so in a build sheet: [overlay] grid = "{found}".'
_GRID_FACTS = ("overlay.system", "overlay.columns", "overlay.rows", "video.link")
_MANY_ELEMENTS = 100
_NAMED = {"analog": "analogue", "digital": "digital"}
_OTHER = {"analog": "a digital", "digital": "an analogue"}


@check(
    "overlay-canvas",
    title="Overlay: its grid against the video link and the goggles",
    why="Voltage and warnings that are not drawn, or not where the pilot looks, are missed in flight.",
    reads=("overlay", "video.link", "firmware.version", "ports"),
    sources=(
        "MAX7456 data sheet 19-0576 Rev 0: 30 columns, 13 rows at 525 lines, 16 rows at 625 lines",
        "digital links draw 50x18 on one kind of goggles, 53x20 on another: common practice",
        "the digital grid needs firmware that knows it: common practice",
        "a video transmitter on the bench needs its antenna and a fan: common practice",
        *SAFETY_SOURCES,
    ),
    caution=f"{PROPELLERS_OFF} A video transmitter that is powered needs its antenna and a fan.",
)
def overlay_canvas(case: Case) -> Iterator[Finding]:
    """The link first, then the firmware, the grid, and what lies on it; each only when the one before is in order."""
    link = case.craft.video.link
    if link is None:
        yield case.unread("video.link")
        return
    found = list(_link(case, link)) or list(_absurd(case, link))
    if not found:
        found = list(_digital(case) if link == "digital" else _analog(case))
    grid = _grid(case, link)
    if grid is not None and all(one.outcome == "warn" for one in found):
        found += _elements(case, grid)
    yield from _switched_off(case)
    yield from found
    if not found:
        yield case.passed(_well(case, link), facts=_GRID_FACTS, actual=str(grid) if grid else None)


def _well(case: Case, link: str) -> str:
    grid = _grid(case, link)
    if link == "digital":
        return f"{grid}, the digital grid that is expected"
    if grid is None:
        return "analogue link, video standard detected: the overlay chip draws 30x13 or 30x16 by itself"
    system = case.craft.overlay.system
    return f"{grid}, as {'the detected' if system == 'auto' else (system or '').upper()} video standard draws it"


def _grid(case: Case, link: str) -> Size | None:
    """The grid that the board lays out: as stated, else as its video standard has it."""
    overlay = case.craft.overlay
    if overlay.columns is not None and overlay.rows is not None:
        return Size(overlay.columns, overlay.rows)
    return BY_STANDARD.get(overlay.system or "") if link == "analog" else None


def _allowed(case: Case, link: str) -> list[Size]:
    """The grids that will do: the build sheet's, else all that the trade knows for this link."""
    sheet = [Size(grid.columns, grid.rows) for grid in case.sheet.grids_for(link)]
    return sheet or list(DIGITAL if link == "digital" else (NTSC, PAL))


def _link(case: Case, link: str) -> Iterator[Finding]:
    expected = case.sheet.expected("video.link")
    if expected is None and link_in_doubt(case) and not _before_grids(case):
        yield case.fail(
            f"the video link is set to {_NAMED[link]}, but overlay and UARTs are set up as for {_OTHER[link]} link",
            facts=("video.link", "overlay.system", "ports"),
            expected="link, overlay and UARTs that agree",
            actual=f"link {link}, overlay {case.craft.overlay.system}",
            why="One of them is wrong; until it is known which, the overlay may not be drawn at all.",
            steps=(
                "See which video transmitter is fitted, and set the video link to it; then inspect the craft again.",
            ),
        )
    elif expected is not None and not expected.allows(link):
        yield case.fail(
            f"the video link is set to {_NAMED[link]}, where {expected} is expected",
            facts=("video.link",),
            expected=str(expected),
            actual=link,
            why="A board set up for the other kind of link draws no overlay on this one.",
            settings=[("video.link", expected.only)] if expected.only else (),
            steps=("See which video transmitter is fitted.",),
        )


def _switched_off(case: Case) -> Iterator[Finding]:
    enabled, expected = case.craft.overlay.enabled, case.sheet.expected("overlay.enabled")
    if expected is not None and enabled is None:
        yield case.unread("overlay.enabled")
    elif expected is not None and not expected.allows(enabled):
        yield case.fail(
            f"the overlay is switched {'on' if enabled else 'off'}, against the build sheet",
            facts=("overlay.enabled",),
            expected="off" if enabled else "on",
            actual="on" if enabled else "off",
            settings=[("overlay.enabled", not enabled)],
        )
    elif expected is None and enabled is False:
        yield case.warn(
            "the overlay is switched off: nothing is drawn over the pilot's picture",
            facts=("overlay.enabled",),
            expected="on",
            actual="off",
            settings=[("overlay.enabled", True)],
        )


def _absurd(case: Case, link: str) -> Iterator[Finding]:
    """Sizes that no display has."""
    overlay = case.craft.overlay
    most = [max(LARGEST, *sizes) for sizes in zip(*_allowed(case, link), strict=True)]
    for name, value, limit in (("columns", overlay.columns, most[0]), ("rows", overlay.rows, most[1])):
        if value is not None and not 0 < value <= limit:
            yield case.fail(
                f"an overlay of {value} {name} cannot be: nothing of it is drawn as meant",
                facts=(f"overlay.{name}",),
                expected=listed(str(size) for size in _allowed(case, link)).replace(" and ", " or "),
                actual=f"{value} {name}",
                settings=_grid_settings(case, link, _target(case, link)),
                steps=(_LOOK,),
            )


def _target(case: Case, link: str) -> Size | None:
    """The grid to set, when there is but one that will do."""
    allowed = _allowed(case, link)
    return allowed[0] if len(allowed) == 1 else None


def _grid_settings(case: Case, link: str, target: Size | None) -> Sequence[tuple[str, object]]:
    if target is None:
        return ()
    system: list[tuple[str, object]] = []
    if link == "digital":
        system = [("overlay.system", "digital")] if case.craft.overlay.system != "digital" else []
    else:
        standard = next((name for name, size in BY_STANDARD.items() if size == target), None)
        system = [("overlay.system", standard)] if standard and case.craft.overlay.system != standard else []
    return [*system, ("overlay.columns", target.columns), ("overlay.rows", target.rows)]


def _before_grids(case: Case) -> bool:
    """Whether the firmware is known to be older than the digital grid; that explains an analogue overlay."""
    version = case.craft.firmware.version
    floor = case.tongue.since("digital-grid") if case.tongue is not None else None
    return version is not None and floor is not None and at_least(version, floor) is False


def _digital(case: Case) -> Iterator[Finding]:
    """The firmware floor first: it is the cause of what else would be found."""
    version = case.craft.firmware.version
    floor = case.tongue.since("digital-grid") if case.tongue is not None else None
    if floor is not None:
        if version is None:
            yield case.unread("firmware.version")
        elif (reached := at_least(version, floor)) is None:
            yield case.unknown(
                f"it cannot be told whether firmware {cut(version)} is at least {floor}, which the digital grid needs",
                facts=("firmware.version",),
                steps=("Compare the two by hand.",),
            )
        elif not reached:
            yield _too_old(case, version, floor)
            return
    yield from _digital_system(case)


def _too_old(case: Case, version: str, floor: str) -> Finding:
    target = nearest(PAL, _allowed(case, "digital"))
    return case.fail(
        f"firmware {cut(version)} cannot draw a digital grid; that needs {floor} or newer",
        facts=("firmware.version", "overlay.system", "video.link"),
        expected=f"{floor} or newer",
        actual=cut(version),
        why=f"It lays out at most {PAL}. In the goggles {seen(PAL, target)}.",
        steps=(
            f"Write down the settings, bring the firmware to {floor} or newer, then inspect the craft again.",
            f"Only then set the grid to {target}, and lay out the elements anew.",
            "Bring both ends of the video link, transmitter and goggles, to matching firmware.",
        ),
    )


def _digital_system(case: Case) -> Iterator[Finding]:
    overlay, allowed = case.craft.overlay, _allowed(case, "digital")
    grid = _grid(case, "digital")
    expected = case.sheet.expected("overlay.system")
    by_sheet = expected is not None and expected.allows(overlay.system)
    if overlay.system is None:
        yield case.unread("overlay.system")
    elif overlay.system != "digital" and not by_sheet:
        laid_out = grid or BY_STANDARD.get(overlay.system, PAL)
        target = nearest(laid_out, allowed)
        yield case.fail(
            f"the overlay is set to {_standard(overlay.system)} on a digital link",
            facts=_GRID_FACTS,
            expected=f"digital, {_either(allowed)}",
            actual=f"{overlay.system}, {laid_out}",
            why=f"The board lays out {laid_out}. In the goggles {seen(laid_out, target) or 'nothing may be drawn'}.",
            settings=_grid_settings(case, "digital", _target(case, "digital")),
            steps=("Then lay out the elements anew.", _LOOK),
        )
        return
    if overlay.columns is None or overlay.rows is None:
        yield case.unread(*(f"overlay.{name}" for name in ("columns", "rows") if getattr(overlay, name) is None))
    elif grid is not None and grid not in allowed:
        yield _other_digital_grid(case, grid, allowed)


def _standard(system: str) -> str:
    return "detect an analogue camera" if system == "auto" else system.upper()


def _either(sizes: Sequence[Size]) -> str:
    return " or ".join(map(str, sizes))


def _other_digital_grid(case: Case, grid: Size, allowed: Sequence[Size]) -> Finding:
    """A digital grid that is not the sheet's. Where nobody wrote one, only the pilot knows what the goggles draw."""
    target = nearest(grid, allowed)
    guess = case.sheet.built_in and case.sheet.house_default and grid in DIGITAL
    judge = case.warn if guess else case.fail
    assumed = "no build sheet says what these goggles draw; the house default is" if guess else "expected is"
    return judge(
        f"the overlay is laid out for {grid}; {assumed} {_either(allowed)}",
        facts=_GRID_FACTS,
        expected=_either(allowed),
        actual=str(grid),
        why=f"In goggles that draw {target}: {seen(grid, target)}.{_lost(case, target)}",
        settings=() if guess else _grid_settings(case, "digital", _target(case, "digital")),
        steps=(_LOOK, _SAY_GRID.format(found=grid)),
    )


def _lost(case: Case, drawn: Size) -> str:
    """Which elements are not drawn at all or in part."""
    elements = [one for one in shown(case.craft.overlay.elements or ()) if placed(one) and outside(one, drawn)]
    return f" Not drawn in full: {names(elements)}." if elements else ""


def _analog(case: Case) -> Iterator[Finding]:
    overlay, grid, allowed = case.craft.overlay, _grid(case, "analog"), _allowed(case, "analog")
    expected = case.sheet.expected("overlay.system")
    if overlay.system is None:
        yield case.unread("overlay.system")
        return
    if (overlay.columns is None) != (overlay.rows is None):
        yield case.unread("overlay.columns" if overlay.columns is None else "overlay.rows")
        return
    if overlay.system == "digital" and not (expected is not None and expected.allows("digital")):
        yield case.fail(
            "the overlay is set to a digital grid on an analogue link",
            facts=_GRID_FACTS,
            expected=f"the camera's video standard: {_either(allowed)}",
            actual=f"digital, {grid}" if grid else "digital",
            why=f"The overlay chip draws at most {PAL}: what lies beyond is not seen.{_lost(case, PAL)}",
            settings=_grid_settings(case, "analog", _target(case, "analog")),
            steps=("Set the overlay to the camera's standard (PAL or NTSC), then lay out the elements anew.", _LOOK),
        )
        return
    standard = BY_STANDARD.get(overlay.system)
    if expected is not None and not expected.allows(overlay.system):
        yield _other_standard(case, str(expected), grid, expected.only)
    elif standard is not None and grid is not None and grid != standard:
        yield _wrong_rows(case, grid, standard)
    elif grid is not None and grid not in allowed:
        yield _other_standard(case, _either(allowed), grid, None)


def _other_standard(case: Case, expected: str, grid: Size | None, only: object) -> Finding:
    system = case.craft.overlay.system
    return case.fail(
        f"the overlay is laid out for {grid or system}, where {expected} is expected",
        facts=_GRID_FACTS,
        expected=expected,
        actual=f"{system}, {grid}" if grid else str(system),
        why="The camera's standard decides how many rows are drawn: 13 at 525 lines (NTSC), 16 at 625 lines (PAL).",
        settings=[("overlay.system", only)] if only else _grid_settings(case, "analog", _target(case, "analog")),
        steps=("See which standard the camera is set to.", _LOOK),
    )


def _wrong_rows(case: Case, grid: Size, standard: Size) -> Finding:
    system = (case.craft.overlay.system or "").upper()
    return case.fail(
        f"the overlay is laid out for {grid}, but {system} video draws {standard}",
        facts=_GRID_FACTS,
        expected=str(standard),
        actual=str(grid),
        why=f"In the goggles {seen(grid, standard)}.{_lost(case, standard)}",
        settings=[("overlay.columns", standard.columns), ("overlay.rows", standard.rows)],
        steps=("Then lay out the elements anew.", _LOOK),
    )


def _elements(case: Case, grid: Size) -> Iterator[Finding]:
    """The grid is right; now what lies on it."""
    elements = case.craft.overlay.elements
    if elements is None:
        yield case.unread("overlay.elements")
        return
    drawn = shown(elements)
    lost = [element for element in drawn if not placed(element)]
    there = [element for element in drawn if placed(element)]
    beyond = [element for element in there if outside(element, grid)]
    if len(elements) > _MANY_ELEMENTS:
        yield case.warn(
            f"the overlay lists {len(elements)} elements, more than a pilot can read",
            facts=("overlay.elements",),
            steps=("Hide what nobody looks at in flight.",),
        )
    if not drawn:
        yield case.warn(
            "no element of the overlay is shown",
            facts=("overlay.elements", "overlay.enabled"),
            expected="at least the battery voltage",
            actual="an empty overlay",
            steps=("Show the elements that the house standard asks for.",),
        )
    if lost:
        yield case.unknown(f"where these elements are drawn was not read: {names(lost)}", facts=("overlay.elements",))
    if beyond:
        yield case.fail(
            f"beyond the edge of {grid}: {names(beyond)}",
            facts=tuple(f"overlay.elements[{elements.index(element)}]" for element in beyond[:8]),
            expected=f"every element within {grid}",
            actual=listed(f"{names([one])} from column {one.column}, row {one.row}" for one in beyond),
            why="What lies beyond the edge is cut off or not drawn at all.",
            steps=(f"Move {names(beyond)} inwards.", _LOOK),
        )
    elif len(there) > 1 and grid.columns > PAL.columns and not outside_any(reach(there), PAL):
        yield _cramped(case, grid, reach(there))


def outside_any(found: Size, limit: Size) -> bool:
    """Whether a size does not fit into another."""
    return found.columns > limit.columns or found.rows > limit.rows


def _cramped(case: Case, grid: Size, reached: Size) -> Finding:
    return case.warn(
        f"the grid is {grid}, but every element lies within {PAL}: the layout was made for an analogue link",
        facts=("overlay.elements", "overlay.columns", "overlay.rows"),
        expected=f"elements out to the edges of {grid}",
        actual=f"elements reach column {reached.columns} of {grid.columns} and row {reached.rows} of {grid.rows}",
        why=f"In the goggles {seen(PAL, grid)}: in the middle of the view.",
        steps=("Lay out the elements anew.", _LOOK),
    )

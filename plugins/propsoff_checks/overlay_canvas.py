"""Whether the character overlay fills the grid that the pilot's display draws."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from propsoff import Case, Finding, Layout, Size, at_least, check, overlay_grid
from propsoff_checks.canvas import BY_STANDARD, DIGITAL, LARGEST, LOOK, NTSC, PAL, names, nearest, seen
from propsoff_checks.links import NAMED, before_digital, digital_floor, doubted, link_in_doubt
from propsoff_checks.moves import proposed, say_moves
from propsoff_checks.words import PROPELLERS_OFF, SAFETY_SOURCES, cut, either, typed

_SAY_GRID = 'If the goggles do draw {found}, say so in a build sheet: [overlay] grid = "{found}".'
_GRID_FACTS = ("overlay.system", "overlay.columns", "overlay.rows", "video.link")
_LAY_OUT = "The elements need places on that grid as well: `propsoff overlay fit` draws them and gives the lines."


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
    """The link first, then the firmware, then the grid; each only when the one before is in order."""
    link = case.craft.video.link
    if link is None:
        yield case.unread("video.link")
        return
    found = list(_link(case, link)) or list(_absurd(case, link))
    if not found:
        found = list(_digital(case) if link == "digital" else _analog(case))
    switched = list(_switched_off(case))
    yield from (*switched, *found)
    if not switched and not found:
        grid = _grid(case)
        yield case.passed(_well(case, link), facts=_GRID_FACTS, actual=str(grid) if grid else None)


def _well(case: Case, link: str) -> str:
    grid = _grid(case)
    if link == "digital":
        return f"{grid}, the digital grid that is expected"
    if grid is None:
        return "analogue link, video standard detected: the overlay chip draws 30x13 or 30x16 by itself"
    system = case.craft.overlay.system
    return f"{grid}, as {'the detected' if system == 'auto' else (system or '').upper()} video standard draws it"


def _grid(case: Case) -> Size | None:
    """The grid that the board lays out: as stated, else as its video standard has it."""
    overlay = case.craft.overlay
    if overlay.columns is not None and overlay.rows is not None:
        return Size(overlay.columns, overlay.rows)
    return BY_STANDARD.get(overlay.system or "")


def _allowed(case: Case, link: str) -> list[Size]:
    """The grids that will do: the build sheet's, else all that the trade knows for this link."""
    sheet = [Size(grid.columns, grid.rows) for grid in case.sheet.grids_for(link)]
    return sheet or list(DIGITAL if link == "digital" else (NTSC, PAL))


def _link(case: Case, link: str) -> Iterator[Finding]:
    expected = case.sheet.expected("video.link")
    if expected is None and link_in_doubt(case) and not before_digital(case):
        yield doubted(case, link)
    elif expected is not None and not expected.allows(link):
        yield case.fail(
            f"the video link is set to {NAMED[link]}, where {expected} is expected",
            code="link",
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
            code="switched-off" if not enabled else "switched-on",
            facts=("overlay.enabled",),
            expected="off" if enabled else "on",
            actual="on" if enabled else "off",
            settings=[("overlay.enabled", not enabled)],
        )
    elif expected is None and enabled is False:
        yield case.warn(
            "the overlay is switched off: nothing is drawn over the pilot's picture",
            code="switched-off",
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
                code="absurd-size",
                explains=("overlay-layout",),
                facts=(f"overlay.{name}",),
                expected=_either(_allowed(case, link)),
                actual=f"{value} {name}",
                console=_lines(case, _grid_settings(case, link, _target(case, link)), _target(case, link)),
                steps=(_LAY_OUT, LOOK),
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


def _digital(case: Case) -> Iterator[Finding]:
    """The firmware floor first: it is the cause of what else would be found."""
    version, floor = case.craft.firmware.version, digital_floor(case)
    if floor is not None:
        if version is None:
            yield case.unread("firmware.version")
        elif (reached := at_least(version, floor)) is None:
            yield case.unknown(
                f"it cannot be told whether firmware {cut(version)} is at least {floor}, which the digital grid needs",
                code="firmware-unclear",
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
        code="firmware-too-old",
        facts=("firmware.version", "overlay.system", "video.link"),
        expected=f"{floor} or newer",
        actual=cut(version),
        why=f"It lays out at most {PAL}. In the goggles {seen(PAL, target)}.",
        steps=(
            f"Write down the settings, bring the firmware to {floor} or newer, then inspect the craft again.",
            f"Only then set the grid to {target}. {_LAY_OUT}",
            "Bring both ends of the video link, transmitter and goggles, to matching firmware.",
        ),
    )


def _digital_system(case: Case) -> Iterator[Finding]:
    overlay, allowed = case.craft.overlay, _allowed(case, "digital")
    grid = _grid(case)
    expected = case.sheet.expected("overlay.system")
    by_sheet = expected is not None and expected.allows(overlay.system)
    if overlay.system is None:
        yield case.unread("overlay.system")
    elif overlay.system != "digital" and not by_sheet:
        laid_out = grid or PAL
        target = nearest(laid_out, allowed)
        yield case.fail(
            f"the overlay is set to {_standard(overlay.system)} on a digital link",
            code="system",
            facts=_GRID_FACTS,
            expected=f"digital, {_either(allowed)}",
            actual=f"{overlay.system}, {laid_out}",
            why=f"The board lays out {laid_out}. In the goggles {seen(laid_out, target) or 'nothing may be drawn'}.",
            console=_lines(case, _grid_settings(case, "digital", _target(case, "digital")), _target(case, "digital")),
            steps=(_LAY_OUT, LOOK),
            explains=_effects(case, target),
        )
        return
    elif expected is not None and not by_sheet:
        yield _other_system(case, str(expected), expected.only)
        return
    if overlay.columns is None or overlay.rows is None:
        yield case.unread(*(f"overlay.{name}" for name in ("columns", "rows") if getattr(overlay, name) is None))
    elif grid is not None and grid not in allowed:
        yield _other_digital_grid(case, grid, allowed)


def _standard(system: str) -> str:
    return "detect an analogue camera" if system == "auto" else system.upper()


def _either(sizes: Sequence[Size]) -> str:
    return either(map(str, sizes))


def _other_digital_grid(case: Case, grid: Size, allowed: Sequence[Size]) -> Finding:
    """A digital grid that is not the sheet's. Where nobody wrote one, only the pilot knows what the goggles draw."""
    target = nearest(grid, allowed)
    guess = case.sheet.built_in and case.sheet.house_default and grid in DIGITAL
    judge = case.warn if guess else case.fail
    wanted = _either(allowed)
    assumed = f"no build sheet says what these goggles draw; the house default is {wanted}" if guess else ""
    return judge(
        f"the overlay is laid out for {grid}; {assumed or f'{wanted} is expected'}",
        code="grid",
        facts=_GRID_FACTS,
        expected=wanted,
        actual=str(grid),
        why=f"In goggles that draw {target}: {seen(grid, target)}.{_lost(case, target)}",
        console=()
        if guess
        else _lines(case, _grid_settings(case, "digital", _target(case, "digital")), _target(case, "digital")),
        steps=(LOOK, _SAY_GRID.format(found=grid)),
        explains=_effects(case, target),
    )


def _other_system(case: Case, expected: str, only: object) -> Finding:
    """A video system against the build sheet, on a link that would do with it."""
    return case.fail(
        f"the overlay is set to {case.craft.overlay.system}, where {expected} is expected",
        code="system",
        facts=("overlay.system", "video.link"),
        expected=expected,
        actual=str(case.craft.overlay.system),
        settings=[("overlay.system", only)] if only else (),
        steps=("See which video transmitter and which goggles are fitted.", LOOK),
    )


def _lines(case: Case, settings: Sequence[tuple[str, object]], target: Size | None) -> tuple[str, ...]:
    """Console lines for the settings and, where they can be said as well, for the elements on that grid."""
    elements, size = case.craft.as_read_whole().overlay.elements, overlay_grid(case.craft.overlay)
    if target is not None and elements and size is not None:
        before = Layout.of(elements, size)
        said = say_moves(case, before, proposed(before, target), settings)
        if said:
            return said
    return case.say(settings)


def _effects(case: Case, target: Size) -> tuple[str, ...]:
    """What is wrong only because of the grid: elements beyond its edge that lie within the right one."""
    elements = case.craft.overlay.elements or ()
    return () if Layout.of(elements, target).outside else ("overlay-layout/outside",)


def _lost(case: Case, drawn: Size) -> str:
    """Which elements are not drawn at all or in part."""
    elements = Layout.of(case.craft.overlay.elements or (), drawn).outside
    return f" Not drawn in full: {names(elements)}." if elements else ""


def _analog(case: Case) -> Iterator[Finding]:
    overlay, grid, allowed = case.craft.overlay, _grid(case), _allowed(case, "analog")
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
            code="system",
            facts=_GRID_FACTS,
            expected=f"the camera's video standard: {_either(allowed)}",
            actual=f"digital, {grid}" if grid else "digital",
            why=f"The overlay chip draws at most {PAL}: what lies beyond is not seen.{_lost(case, PAL)}",
            console=_lines(case, _grid_settings(case, "analog", _target(case, "analog")), _target(case, "analog")),
            steps=(f"Set the overlay to the camera's standard{_standards(case)}.", _LAY_OUT, LOOK),
        )
        return
    standard = BY_STANDARD.get(overlay.system)
    if expected is not None and not expected.allows(overlay.system):
        yield _other_standard(case, str(expected), grid, expected.only)
    elif standard is not None and grid is not None and grid != standard:
        yield _wrong_rows(case, grid, standard)
    elif grid is not None and grid not in allowed:
        yield _other_standard(case, _either(allowed), grid, None)


def _standards(case: Case) -> str:
    """What to type for each of the two."""
    told = []
    for name, size in BY_STANDARD.items():
        settings = [("overlay.system", name), ("overlay.columns", size.columns), ("overlay.rows", size.rows)]
        told.append(f"{name.upper()}{typed(case.say(settings))}")
    return f", {' or '.join(told)}"


def _other_standard(case: Case, expected: str, grid: Size | None, only: object) -> Finding:
    system = case.craft.overlay.system
    target = BY_STANDARD.get(str(only)) or _target(case, "analog")
    settings = _grid_settings(case, "analog", target) if target else [("overlay.system", only)] if only else ()
    return case.fail(
        f"the overlay is laid out for {grid or system}, where {expected} is expected",
        code="standard",
        facts=_GRID_FACTS,
        expected=expected,
        actual=f"{system}, {grid}" if grid else str(system),
        why="The camera's standard decides how many rows are drawn: 13 at 525 lines (NTSC), 16 at 625 lines (PAL).",
        console=_lines(case, settings, target),
        steps=("See which standard the camera is set to.", _LAY_OUT, LOOK),
    )


def _wrong_rows(case: Case, grid: Size, standard: Size) -> Finding:
    system = (case.craft.overlay.system or "").upper()
    return case.fail(
        f"the overlay is laid out for {grid}, but {system} video draws {standard}",
        code="rows",
        facts=_GRID_FACTS,
        expected=str(standard),
        actual=str(grid),
        why=f"In the goggles {seen(grid, standard)}.{_lost(case, standard)}",
        console=_lines(case, [("overlay.columns", standard.columns), ("overlay.rows", standard.rows)], standard),
        steps=(_LAY_OUT, LOOK),
        explains=_effects(case, standard),
    )

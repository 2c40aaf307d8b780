"""Whether the firmware is of the level that the house wants, and that the craft's own settings need."""

from __future__ import annotations

from collections.abc import Iterator

from propsoff import Case, Finding, at_least, check
from propsoff_checks.against_sheet import against_sheet
from propsoff_checks.levels import Level, level, wanted
from propsoff_checks.words import PROPELLERS_OFF, SAFETY_SOURCES, cut

_SPI = (
    "The receiver is on the board: its firmware changes with the flight controller's. Make sure beforehand that the "
    "transmitter can be brought to the matching version, and bind again afterwards if the link does not come up."
)
_SPI_PASS = "; the receiver on the board has its firmware from the same image"
_GOES = {"old": "Bring the firmware to {wanted}", "new": "Bring the firmware back to {wanted}"}
_WHY = {
    "old": "Older firmware lacks what the house relies on, and settings written for the newer one do not fit it.",
    "new": "The house has not tried this level: what was proven on the other may behave differently in the air.",
    "other": "Craft of one model on different levels of firmware fly differently, and one remedy does not fit all.",
}
_COMPARE = "Compare the two by hand; if this level will do, name it in the build sheet as the board writes it."


@check(
    "firmware-level",
    title="Firmware: its level",
    why="What works on one level of firmware is missing or different on another; it is the first thing to put right.",
    reads=("firmware", "receiver.kind", "video.link"),
    sources=(
        "PEP 440: the order of versions, 1.9.2 before 1.10.0, a release candidate before its release",
        "the digital grid needs firmware that knows it, so the firmware comes first: common practice",
        "an SPI receiver's firmware is tied to the flight controller's: common practice",
        *SAFETY_SOURCES,
    ),
    caution=PROPELLERS_OFF
    + " Write down the settings first: an update may reset them, failsafe and motor direction too.",
)
def firmware_level(case: Case) -> Iterator[Finding]:
    """The family first: the versions of two families cannot be compared. Then version, grid and build date."""
    firmware = case.craft.firmware
    wrong = against_sheet(
        case,
        "firmware.name",
        "the firmware",
        code="other-firmware",
        why="Another family of firmware has other settings; nothing of the house's set-up can be carried over.",
        steps=("Find out who put it on and why; if it is to be replaced, write down the settings first.", *_also(case)),
    )
    if not any(finding.outcome == "fail" for finding in wrong):
        found = _level(case, "firmware.version", "firmware", "")
        wrong += found or _grid(case)
        wrong += _level(case, "firmware.built", "firmware built on", "built-")
    if not wrong and firmware.version is None:
        wrong.append(case.unread("firmware.version"))
    yield from wrong
    if not wrong:
        asked = any(case.sheet.expected(f"firmware.{leaf}") for leaf in ("name", "version", "built"))
        yield case.passed(
            f"{_told(case)}{', as the build sheet has it' if asked else '; the build sheet asks for no level'}"
            f"{_SPI_PASS if case.craft.receiver.kind == 'spi' else ''}",
            facts=("firmware",),
            actual=cut(firmware.version or ""),
        )


def _told(case: Case) -> str:
    firmware = case.craft.firmware
    named = " ".join(cut(part) for part in (firmware.name, firmware.version) if part)
    return f"{named or 'firmware'}{f' of {cut(firmware.built)}' if firmware.built else ''}"


def _also(case: Case) -> tuple[str, ...]:
    return (_SPI,) if case.craft.receiver.kind == "spi" else ()


def _level(case: Case, fact: str, what: str, prefix: str) -> list[Finding]:
    """Version or build date against the sheet; `prefix` begins the codes."""
    expected, found = case.sheet.expected(fact), case.craft.value(fact)
    if expected is None:
        return []
    if found is None:
        return [case.unread(fact)]
    verdict = level(found, expected)
    if verdict == "fits":
        return []
    target = wanted(expected, verdict)
    if verdict == "unclear":
        return [
            case.unknown(
                f"it cannot be told whether {what} {cut(found)} will do, where {cut(str(expected))} is expected",
                code=f"{prefix}unclear",
                facts=(fact,),
                steps=(_COMPARE,),
            )
        ]
    grid = _grid_floor(case) if fact == "firmware.version" else None
    return [_wrong_level(case, fact, f"{what} {cut(found)}", verdict, target, prefix, grid)]


def _wrong_level(
    case: Case, fact: str, what: str, verdict: Level, target: str, prefix: str, grid: str | None
) -> Finding:
    code = {"old": "too-old", "new": "too-new"}.get(verdict, "other")
    grid_too = f" It also lacks the digital grid, which needs {grid} or newer." if grid else ""
    relation = {"old": "is older than", "new": "is newer than"}.get(verdict, "is not")
    allowed = cut(str(case.sheet.expected(fact)))
    return case.fail(
        f"{what} {relation} the build sheet allows: {allowed}"
        if verdict != "other"
        else f"{what}, where {allowed} is expected",
        code=f"{prefix}{code}",
        facts=(fact,),
        expected=allowed,
        actual=cut(str(case.craft.value(fact))),
        why=f"{_WHY[verdict]}{grid_too}",
        steps=_steps(case, _GOES.get(verdict, "Bring the firmware to {wanted}").format(wanted=target)),
        explains=("overlay-canvas/firmware-too-old",) if grid else (),
    )


def _steps(case: Case, bring: str) -> tuple[str, ...]:
    return (
        f"Write down the settings. {bring}, then inspect the craft again before anything else is changed.",
        *_also(case),
    )


def _grid_floor(case: Case) -> str | None:
    """The level that the digital grid needs, where this craft needs the grid and is known not to reach it."""
    version = case.craft.firmware.version
    floor = _grid_since(case)
    return floor if floor and version is not None and at_least(version, floor) is False else None


def _grid_since(case: Case) -> str | None:
    return case.tongue.since("digital-grid") if case.tongue and case.craft.video.link == "digital" else None


def _grid(case: Case) -> list[Finding]:
    """A digital video link on firmware from before the digital grid; this explains what the overlay lacks."""
    version, since = case.craft.firmware.version, _grid_since(case)
    if since is None:
        return []
    if version is None:
        return [case.unread("firmware.version")]
    if at_least(version, since) is None:
        return [
            case.unknown(
                f"it cannot be told whether firmware {cut(version)} is at least {since}, which the digital grid needs",
                code="grid-unclear",
                facts=("firmware.version", "video.link"),
                steps=(_COMPARE,),
            )
        ]
    floor = _grid_floor(case)
    if floor is None:
        return []
    return [
        case.fail(
            f"firmware {cut(version)} is older than {floor}, from which on it can fill the grid of a digital link",
            code="below-digital-grid",
            facts=("firmware.version", "video.link"),
            expected=f"{floor} or newer",
            actual=cut(version),
            why="It lays the overlay out for an analogue camera: in the goggles it sits small in the upper left.",
            steps=(
                *_steps(case, f"Bring the firmware to {floor} or newer"),
                "Only then set the overlay's grid; and bring both ends of the video link to matching firmware.",
            ),
            explains=("overlay-canvas/firmware-too-old",),
        )
    ]

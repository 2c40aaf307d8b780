"""The craft: what one flight controller says of itself, as typed facts with units.

A fact that was not read is None, never a default. Names are dotted: `receiver.kind`, `ports[2].roles`.
"""

# ruff: noqa: RUF009 - _fact returns a dataclass field, as dataclasses.field does

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, fields, is_dataclass, replace
from functools import cache
from operator import attrgetter
from typing import Any, Literal

Scalar = str | int | float | bool
ReceiverKind = Literal["serial", "spi", "ppm", "pwm", "none"]
OverlaySystem = Literal["auto", "pal", "ntsc", "digital"]
VideoKind = Literal["analog", "digital"]
FailsafeAction = Literal["drop", "hold", "land", "return"]
SensorState = Literal["found", "missing"]
PortRole = Literal[
    "console",
    "receiver",
    "overlay-link",
    "video-control",
    "telemetry",
    "positioning",
    "esc-telemetry",
    "logger",
    "rangefinder",
    "unused",
]


def _fact(doc: str, unit: str | None = None) -> Any:
    return field(default=None, metadata={"doc": doc, "unit": unit})


@dataclass(frozen=True, slots=True)
class Board:
    """The board itself."""

    name: str | None = _fact("model of the flight controller board, as the firmware names it")
    serial: str | None = _fact("serial number of the board's processor or of the board")


@dataclass(frozen=True, slots=True)
class Identity:
    """What the craft is called by its builder."""

    name: str | None = _fact("the craft's name as set on the board; empty text when it was left empty")


@dataclass(frozen=True, slots=True)
class Firmware:
    """What runs on the board."""

    name: str | None = _fact("name of the firmware family")
    version: str | None = _fact("version as written by the firmware")
    built: str | None = _fact("build date as written by the firmware")


@dataclass(frozen=True, slots=True)
class Receiver:
    """How the radio link reaches the flight controller."""

    kind: ReceiverKind | None = _fact("serial (own UART), spi (on the board), ppm, pwm, or none")
    protocol: str | None = _fact("protocol in lower case: crsf, sbus, ibus, ...")
    port: str | None = _fact("id of the UART that it is set to")
    inverted: bool | None = _fact("whether the signal is inverted by setting")
    half_duplex: bool | None = _fact("whether one wire carries both directions")
    telemetry: bool | None = _fact("whether the board reports back over the radio link")


@dataclass(frozen=True, slots=True)
class Channels:
    """The radio channels as the flight controller takes them."""

    order: str | None = _fact(
        "letters: A aileron/roll, E elevator/pitch, T throttle, R rudder/yaw; "
        "further channels by number, apart, unless they run 1..n at the end"
    )
    low: int | None = _fact("lower end that the board expects", "us")
    centre: int | None = _fact("centre that the board expects", "us")
    high: int | None = _fact("upper end that the board expects", "us")
    live: tuple[int, ...] | None = _fact("what each channel reads now", "us")


@dataclass(frozen=True, slots=True)
class Switch:
    """One function on a range of one channel."""

    function: str | None = _fact("what it does: arm, level, beeper, turtle, ...")
    channel: int | None = _fact("channel number, from 1; the sticks are 1..4")
    from_us: int | None = _fact("lower end of the active range", "us")
    to_us: int | None = _fact("upper end of the active range", "us")


@dataclass(frozen=True, slots=True)
class Uart:
    """One serial port of the flight controller."""

    id: str | None = _fact("the board's own name of the port")
    roles: tuple[PortRole, ...] | None = _fact("what it carries; `unused` alone when free")
    baud: int | None = _fact("line rate", "baud")


@dataclass(frozen=True, slots=True)
class OverlayElement:
    """One element of the character overlay; column and row count from 0 at the upper left."""

    name: str | None = _fact("battery, timer, link-quality, warnings, craft-name, horizon, altitude, speed, ...")
    column: int | None = _fact("leftmost column, from 0")
    row: int | None = _fact("row, from 0")
    width: int | None = _fact("how many columns it takes", "columns")
    shown: bool | None = _fact("whether it is drawn")


@dataclass(frozen=True, slots=True)
class Overlay:
    """The on-screen display: characters over the pilot's picture."""

    enabled: bool | None = _fact("whether the overlay is drawn at all")
    system: OverlaySystem | None = _fact("video standard or digital")
    columns: int | None = _fact("width of the grid", "columns")
    rows: int | None = _fact("height of the grid", "rows")
    elements: tuple[OverlayElement, ...] | None = _fact("every element, shown or not")


@dataclass(frozen=True, slots=True)
class Video:
    """The video link from craft to goggles."""

    link: VideoKind | None = _fact("analog or digital")
    band: str | None = _fact("band letter: A, B, E, F, R")
    channel: int | None = _fact("channel in the band, from 1")
    frequency_mhz: int | None = _fact("carrier frequency", "MHz")
    power_mw: float | None = _fact("radiated power as set", "mW")


@dataclass(frozen=True, slots=True)
class Battery:
    """The flight battery as the board measures and limits it."""

    cells: int | None = _fact("cells in series")
    volts: float | None = _fact("voltage now", "V")
    scale: float | None = _fact("divider ratio of the voltage measurement")
    cell_low: float | None = _fact("lowest voltage of a cell", "V")
    cell_warn: float | None = _fact("warning voltage of a cell", "V")
    cell_full: float | None = _fact("full voltage of a cell", "V")


@dataclass(frozen=True, slots=True)
class Motors:
    """Motor output."""

    protocol: str | None = _fact("in lower case: dshot300, dshot600, ...")
    bidirectional: bool | None = _fact("whether the speed controllers answer with motor speed")
    poles: int | None = _fact("magnets on the bell")
    idle_percent: float | None = _fact("idle output", "%")
    reversed: bool | None = _fact("whether the motors turn against the usual direction")
    loop_hz: int | None = _fact("rate of the control loop", "Hz")


@dataclass(frozen=True, slots=True)
class Failsafe:
    """What the board does when the radio link is lost."""

    action: FailsafeAction | None = _fact("drop, hold, land or return")
    delay_s: float | None = _fact("time from loss to action", "s")
    throttle_us: int | None = _fact("throttle during the action", "us")


@dataclass(frozen=True, slots=True)
class Sensors:
    """Sensors that the board found."""

    gyro: SensorState | None = _fact("gyroscope")
    accelerometer: SensorState | None = _fact("accelerometer")
    barometer: SensorState | None = _fact("barometer")


@dataclass(frozen=True, slots=True)
class Arming:
    """Why the board would refuse to arm now."""

    blocks: tuple[str, ...] | None = _fact("reasons in canonical words: no-receiver-link, usb-connected, ...")


@dataclass(frozen=True, slots=True)
class Logger:
    """The flight recorder."""

    device: str | None = _fact("flash, card or none")
    free_bytes: int | None = _fact("space left", "bytes")


@dataclass(frozen=True, slots=True)
class Problem:
    """Something on the console that could not be taken as a fact: where, what the line says, and why not.

    `line` is a transcript line number from 1, or None where no line is to blame. `fact` is the dotted name concerned,
    or None. `gap`: something that the board said is missing here, and nobody can tell what.
    """

    message: str
    line: int | None = None
    text: str = ""
    fact: str | None = None
    gap: bool = False


@dataclass(slots=True)
class Fact:  # not frozen: a capture has thousands, and a frozen one takes five times as long to make
    """One fact that was read. `lines` are transcript lines from 1; `origin`: stated by the console, or by hand."""

    # A report carries facts as they are, so these words and types are also those of its published schema.

    name: str = field(metadata={"description": "Dotted canonical name; rows are counted from 0."})
    value: Scalar | tuple[Scalar, ...]
    unit: str | None = None
    lines: tuple[int, ...] = ()
    origin: Literal["console", "hand"] = "console"
    at: str | None = field(default=None, metadata={"description": "RFC 3339: when a person said so."})


@dataclass(frozen=True, slots=True)
class HandNote:
    """What a person answered to a question that no console can; `at` says when (RFC 3339), None when not known."""

    value: Scalar
    at: str | None = None


NAMELESS = "a craft without a name"
_MAX_NAME = 60


@dataclass(frozen=True, slots=True)
class Neighbour:
    """Another craft that was on the same bench on the same day, and the frequency that it sends its picture on.

    `craft` names it for people; the same craft always has the same name (`name_of_craft`).
    """

    craft: str
    frequency_mhz: int


def name_of_craft(name: str | None, board: str | None, serial: str | None) -> str:
    """What a craft is called where several are spoken of: its own name, else its board's, and the serial number.

    Of each at most 60 characters.
    """
    called = (name or board or NAMELESS)[:_MAX_NAME]
    return f"{called}, serial number {serial[:_MAX_NAME]}" if serial else called


@dataclass(frozen=True, slots=True)
class Craft:
    """Every fact of one craft. Groups are never None, their facts may be.

    `switches` and `ports` are None when the console did not state them, and empty when it stated that there are none.
    `hand` maps the id of a question to a person's answer, which is the fact `hand.ID`; unanswered ones are not in it.
    `provenance` maps a dotted fact name to the transcript lines (from 1) that state it. `unread` are lines of the
    transcript, as (number, text), that nothing understood. `partial` names the repeated groups of which rows may be
    missing.
    """

    board: Board = Board()
    craft: Identity = Identity()
    firmware: Firmware = Firmware()
    receiver: Receiver = Receiver()
    channels: Channels = Channels()
    switches: tuple[Switch, ...] | None = None
    ports: tuple[Uart, ...] | None = None
    overlay: Overlay = Overlay()
    video: Video = Video()
    battery: Battery = Battery()
    motors: Motors = Motors()
    failsafe: Failsafe = Failsafe()
    sensors: Sensors = Sensors()
    arming: Arming = Arming()
    logger: Logger = Logger()
    hand: Mapping[str, HandNote] = field(default_factory=dict)
    provenance: Mapping[str, tuple[int, ...]] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()
    unread: tuple[tuple[int, str], ...] = ()
    partial: frozenset[str] = frozenset()
    _stated: dict[str, list[tuple[str, tuple[int, ...]]]] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )

    def as_read_whole(self) -> Craft:
        """The same craft without the groups of which rows may be missing: what is not in such a list may be there."""
        overlay = replace(self.overlay, elements=None) if "overlay.elements" in self.partial else self.overlay
        return replace(
            self,
            switches=None if "switches" in self.partial else self.switches,
            ports=None if "ports" in self.partial else self.ports,
            overlay=overlay,
        )

    def value(self, name: str) -> Any:
        """The value of a dotted fact (`overlay.columns`, `ports[1].baud`, `switches`), or None when it was not read.

        Raises KeyError when there is no such fact name.
        """
        from propsoff.craft.names import resolve

        return resolve(self, name)

    def lines(self, *names: str) -> tuple[int, ...]:
        """The transcript lines (sorted, from 1) that state any of the named facts or anything below them."""
        from propsoff.craft.names import facts

        found = {line for name in names for line in self.provenance.get(name, ())}
        # Nothing is below a single fact, and a listing has thousands of rows to look through.
        for name in names:
            if name not in facts():
                below = (f"{name}.", f"{name}[")
                for known, lines in self._stated_under(name):
                    if known.startswith(below):
                        found.update(lines)
        return tuple(sorted(found))

    def _stated_under(self, name: str) -> Sequence[tuple[str, tuple[int, ...]]]:
        """What is stated of the group that a name belongs to. Sorted once: every check asks."""
        if not self._stated:
            for known, lines in self.provenance.items():
                self._stated.setdefault(_head(known), []).append((known, lines))
        return self._stated.get(_head(name), ())

    def facts(self) -> tuple[Fact, ...]:
        """Every leaf fact that was read, in the order of the model."""
        found: list[Fact] = []
        for name, _ in _plan(Craft):
            if name not in NOT_FACTS:
                _add_leaves(found, name, getattr(self, name), self.provenance)
        for name, note in self.hand.items():
            found.append(Fact(f"{HAND}{name}", note.value, origin="hand", at=note.at))
        return tuple(found)


HAND = "hand."
"""What the name of a fact that a person stated begins with."""
NOT_FACTS = frozenset({"hand", "provenance", "problems", "unread", "partial", "_stated"})
"""Fields of a craft that are about its facts."""


def _head(name: str) -> str:
    return name.partition(".")[0].partition("[")[0]


@cache
def _plan(kind: Any) -> tuple[tuple[str, str | None], ...]:
    """(name, unit) of each field. Listings have thousands of facts, and `fields` is slow."""
    return tuple((leaf.name, leaf.metadata.get("unit")) for leaf in fields(kind))


def _add_leaves(found: list[Fact], name: str, group: Any, provenance: Mapping[str, tuple[int, ...]]) -> None:
    """Add the leaf facts of a group, or of each row of a repeated group."""
    if isinstance(group, tuple):
        if not group:  # listed, and none there: that is a fact too
            found.append(Fact(name, (), None, provenance.get(name, ())))
        for index, row in enumerate(group):
            _add_row(found, f"{name}[{index}]", row, provenance)
        return
    if group is None:
        return
    whole = provenance.get(name, ())
    kind: Any = type(group)
    for leaf, unit in _plan(kind):
        value = getattr(group, leaf)
        if value is None:
            continue
        full = f"{name}.{leaf}"
        if type(value) is tuple and value and is_dataclass(value[0]):
            _add_leaves(found, full, value, provenance)
        else:
            # Lines of the fact itself, or of the row that it belongs to.
            found.append(Fact(full, value, unit, provenance.get(full, whole)))


@cache
def _row_plan(kind: Any) -> tuple[attrgetter[tuple[Any, ...]], tuple[tuple[str, str | None], ...]]:
    """What takes all values of a row at once, and the (name, unit) of each."""
    return attrgetter(*(name for name, _ in _plan(kind))), _plan(kind)


def _add_row(found: list[Fact], at: str, row: Any, provenance: Mapping[str, tuple[int, ...]]) -> None:
    """Add the leaf facts of one row; a row holds no group."""
    kind: Any = type(row)
    values, plan = _row_plan(kind)
    whole = provenance.get(at, ())
    for value, (leaf, unit) in zip(values(row), plan, strict=True):
        if value is not None:
            full = f"{at}.{leaf}"
            found.append(Fact(full, value, unit, provenance.get(full, whole)))

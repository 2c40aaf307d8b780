"""What a craft says of itself, in words and small tables, from the facts of a report."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

from propsoff.craft.model import Overlay, OverlayElement

if TYPE_CHECKING:
    from propsoff.craft.model import Fact

Values = Mapping[str, Any]
NOT_READ = "not read"
_FURTHEST = 1_000_000
"""A place or width beyond this is no number of cells, whatever says it."""
_LONGEST = 4000
_ROLES = {
    "console": "console (settings)",
    "receiver": "radio receiver",
    "overlay-link": "overlay to the video link",
    "video-control": "control of the video transmitter",
    "telemetry": "telemetry",
    "positioning": "positioning receiver",
    "esc-telemetry": "telemetry of the speed controllers",
    "logger": "flight recorder",
    "rangefinder": "rangefinder",
    "unused": "free",
}
_STICKS = {"A": "roll", "E": "pitch", "T": "throttle", "R": "yaw"}
# Common practice: a switch with three positions reads about 1000, 1500 and 2000 us.
_POSITIONS = ((1000, "low"), (1500, "middle"), (2000, "high"))
_Part = tuple[str, str | Mapping[Any, str]]
_MAIN: tuple[tuple[str, tuple[_Part, ...]], ...] = (
    (
        "Receiver",
        (
            ("receiver.kind", {"none": "no receiver"}),
            ("receiver.protocol", "{}"),
            ("receiver.port", "on {}"),
            ("receiver.inverted", {True: "signal inverted", False: "signal not inverted"}),
            ("receiver.half_duplex", {True: "one wire for both directions", False: ""}),
            ("receiver.telemetry", {True: "reports back", False: "does not report back"}),
        ),
    ),
    (
        "Channel ends",
        (("channels.low", "low {} µs"), ("channels.centre", "centre {} µs"), ("channels.high", "high {} µs")),
    ),
    ("Channels now", (("channels.live", "{} µs"),)),
    (
        "Overlay",
        (
            ("overlay.enabled", {True: "on", False: "switched off"}),
            ("overlay.system", "{}"),
            ("overlay.columns", "{} columns"),
            ("overlay.rows", "{} rows"),
        ),
    ),
    (
        "Video link",
        (
            ("video.link", {"analog": "analogue"}),
            ("video.band", "band {}"),
            ("video.channel", "channel {}"),
            ("video.frequency_mhz", "{} MHz"),
            ("video.power_mw", "{} mW"),
        ),
    ),
    (
        "Battery",
        (
            ("battery.cells", "{} cells in series"),
            ("battery.volts", "{} V now"),
            ("battery.cell_low", "lowest {} V a cell"),
            ("battery.cell_warn", "warning {} V a cell"),
            ("battery.cell_full", "full {} V a cell"),
            ("battery.scale", "divider {}"),
        ),
    ),
    (
        "Motors",
        (
            ("motors.protocol", "{}"),
            ("motors.bidirectional", {True: "speeds come back", False: "speeds do not come back"}),
            ("motors.poles", "{} magnets"),
            ("motors.idle_percent", "idle {} %"),
            ("motors.reversed", {True: "reversed", False: "usual direction"}),
            ("motors.loop_hz", "loop {} Hz"),
        ),
    ),
    (
        "Failsafe",
        (
            (
                "failsafe.action",
                {"drop": "drop: motors stop", "hold": "hold", "land": "land", "return": "return"},
            ),
            ("failsafe.delay_s", "{} s after the link is lost"),
            ("failsafe.throttle_us", "throttle {} µs"),
        ),
    ),
    (
        "Sensors",
        (
            ("sensors.gyro", "gyroscope {}"),
            ("sensors.accelerometer", "accelerometer {}"),
            ("sensors.barometer", "barometer {}"),
        ),
    ),
    ("Arming", (("arming.blocks", {(): "nothing blocks it"}),)),
    ("Flight recorder", (("logger.device", "{}"), ("logger.free_bytes", "{} bytes free"))),
)


def values_of(facts: Iterable[Fact]) -> dict[str, Any]:
    """The facts of a report by their names."""
    return {fact.name: fact.value for fact in facts}


def words(value: Any) -> str:
    """A value as it is read aloud: yes or no, a list with commas."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (tuple, list)):
        return ", ".join(words(each) for each in value) or "none"
    return str(value)[:_LONGEST]


def main_facts(values: Values) -> list[tuple[str, str]]:
    """(what, how it is) of the facts that a person looks up first, each on a line; `not read` where nothing was."""
    order = values.get("channels.order")
    rows = [("Channel order", NOT_READ if order is None else _order(words(order)))]
    rows += [(label, _told(values, parts)) for label, parts in _MAIN]
    rows[0], rows[1] = rows[1], rows[0]
    return rows


def _told(values: Values, parts: Iterable[_Part]) -> str:
    said = [_part(values[name], form) for name, form in parts if values.get(name) is not None]
    return ", ".join(part for part in said if part) or NOT_READ


def _part(value: Any, form: str | Mapping[Any, str]) -> str:
    if isinstance(form, str):
        return form.replace("{}", words(value))
    return form.get(tuple(value) if isinstance(value, list) else value, words(value))


def _order(order: str) -> str:
    sticks = [_STICKS[letter] for letter in order[:4] if letter in _STICKS]
    return f"{order}: {', '.join(sticks)}" if len(sticks) == 4 else order


def rows_of(values: Values, group: str) -> list[dict[str, Any]] | None:
    """The rows of a repeated group (`ports`), each by its own fact names; empty: there are none; None: not read."""
    shape = re.compile(rf"{re.escape(group)}\[(\d{{1,6}})\]\.(\w+)")
    rows: dict[int, dict[str, Any]] = {}
    for name, value in values.items():
        if (match := shape.fullmatch(name)) is not None:
            rows.setdefault(int(match[1]), {})[match[2]] = value
    return [rows[at] for at in sorted(rows)] if rows or group in values else None


def ports_table(values: Values) -> list[tuple[str, str, str]] | None:
    """(port, what it carries, rate) of each serial port; None when they were not read."""
    rows = rows_of(values, "ports")
    return None if rows is None else [_port(row) for row in rows]


def _port(row: Values) -> tuple[str, str, str]:
    roles, baud = row.get("roles"), row.get("baud")
    if roles is None:
        carries = NOT_READ
    else:
        named = roles if isinstance(roles, (tuple, list)) else (roles,)
        carries = ", ".join(_ROLES.get(words(role), words(role)) for role in named) or "free"
    return words(row.get("id", NOT_READ)), carries, "" if baud is None else f"{words(baud)} baud"


def switches_table(values: Values) -> list[tuple[str, str, str, str]] | None:
    """(function, channel, range, positions of the switch) of each switch; None when they were not read."""
    rows = rows_of(values, "switches")
    return None if rows is None else [_switch(row) for row in rows]


def _switch(row: Values) -> tuple[str, str, str, str]:
    low, high = row.get("from_us"), row.get("to_us")
    positions = NOT_READ
    if isinstance(low, (int, float)) and isinstance(high, (int, float)):
        positions = " and ".join(name for centre, name in _POSITIONS if low <= centre <= high) or "none of the three"
    span = f"{words(row.get('from_us', '?'))} to {words(row.get('to_us', '?'))} µs"
    return words(row.get("function", NOT_READ)), words(row.get("channel", NOT_READ)), span, positions


def overlay_of(values: Values) -> Overlay:
    """The overlay as the facts tell it; a fact of another kind than it should be counts as not read."""
    rows = rows_of(values, "overlay.elements")
    system, enabled = values.get("overlay.system"), values.get("overlay.enabled")
    return Overlay(
        enabled=enabled if isinstance(enabled, bool) else None,
        system=system if system in ("auto", "pal", "ntsc", "digital") else None,
        columns=_cells(values.get("overlay.columns")),
        rows=_cells(values.get("overlay.rows")),
        elements=None if rows is None else tuple(_element(row) for row in rows),
    )


def _element(row: Values) -> OverlayElement:
    shown = row.get("shown")
    return OverlayElement(
        name=words(row["name"]) if "name" in row else None,
        column=_cells(row.get("column")),
        row=_cells(row.get("row")),
        width=_cells(row.get("width")),
        shown=shown if isinstance(shown, bool) else None,
    )


def _cells(value: Any) -> int | None:
    fits = isinstance(value, int) and not isinstance(value, bool) and abs(value) <= _FURTHEST
    return value if fits else None

"""A craft of our own invention, put together fact by fact, and a way to run checks on it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from propsoff import BuildSheet, Case, Check, Craft, Finding
from propsoff.craft.build import CraftBuilder
from propsoff.inspection.runner import run_checks
from propsoff.sheets.catalogue import built_in_sheets
from propsoff.sheets.expect import Expected
from propsoff.sheets.model import Grid, MatchRule

SOUND: dict[str, object] = {
    "board.name": "SISKIN 4",
    "firmware.name": "Invented",
    "firmware.version": "4.2.0",
    "receiver.kind": "serial",
    "receiver.protocol": "crsf",
    "receiver.port": "U2",
    "receiver.inverted": False,
    "receiver.half_duplex": False,
    "receiver.telemetry": True,
    "channels.order": "AETR",
    "overlay.enabled": True,
    "overlay.system": "digital",
    "overlay.columns": 53,
    "overlay.rows": 20,
    "video.link": "digital",
}

# Ends read 1000 and 2000 on the bench, centre 1500: common practice; gpiozero 2.0.1's servo defaults.
STICKS_AT_REST: dict[str, object] = {
    "channels.low": 1000,
    "channels.centre": 1500,
    "channels.high": 2000,
    "channels.live": (1500, 1500, 1000, 1500, 1000, 1000, 1000, 1000),
    "arming.blocks": ("usb-connected",),
}
PORTS: tuple[dict[str, object], ...] = (
    {"id": "U1", "roles": ("console",), "baud": 115200},
    {"id": "U2", "roles": ("receiver",), "baud": 420000},
    {"id": "U3", "roles": ("unused",)},
    {"id": "U4", "roles": ("overlay-link",), "baud": 115200},
)

ELEMENTS: tuple[dict[str, object], ...] = (
    {"name": "battery", "column": 2, "row": 18, "width": 5, "shown": True},
    {"name": "timer", "column": 45, "row": 18, "width": 6, "shown": True},
    {"name": "link-quality", "column": 2, "row": 1, "width": 4, "shown": True},
    {"name": "warnings", "column": 20, "row": 16, "width": 12, "shown": True},
    {"name": "horizon", "column": 22, "row": 10, "width": 9, "shown": False},
)


@dataclass
class Parrot:
    """A tongue that says every fact, and remembers what it was asked to say."""

    id: str = "parrot"
    grid_since: str | None = "4.1.0"
    dumb: bool = False
    asked: list[tuple[str, object]] = field(default_factory=list)
    lines: list[tuple[Any, str, object]] = field(default_factory=list)

    def say(self, fact: str, value: object, *, row: Mapping[str, object] | None = None) -> tuple[str, ...]:
        if self.dumb:
            return ()
        self.asked.append((fact, value))
        if row and "name" in row:
            self.lines.append((row["name"], fact.rpartition(".")[2], value))
        return (f"set {fact} {value}" + (f" {dict(row)}" if row else ""),)

    def say_all(self, settings: Sequence[tuple[str, object]]) -> tuple[str, ...]:
        return tuple(line for fact, value in settings for line in self.say(fact, value))

    def closing(self) -> tuple[str, ...]:
        return ("store",)

    def since(self, capability: str) -> str | None:
        return self.grid_since if capability == "digital-grid" else None


@dataclass
class Bench:
    """Builds crafts and sheets, and runs checks on them."""

    tongue: Parrot = field(default_factory=Parrot)

    def craft(
        self,
        changes: Mapping[str, object] | None = None,
        *,
        ports: Iterable[Mapping[str, object]] | None = PORTS,
        elements: Iterable[Mapping[str, object]] | None = ELEMENTS,
        switches: Iterable[Mapping[str, object]] | None = None,
    ) -> tuple[Craft, list[str]]:
        """The sound craft with changes (None: not read), and the transcript lines that state it."""
        builder, lines = CraftBuilder(), []
        for name, value in {**SOUND, **(changes or {})}.items():
            lines.append(f"{name} = {value}")
            builder.put(name, value, lines=[len(lines)])
        for group, rows in (("ports", ports), ("overlay.elements", elements), ("switches", switches)):
            if rows is not None:
                builder.begin_rows(group)
                for row in rows:
                    lines.append(f"{group} {dict(row)}")
                    builder.add_row(group, row, lines=[len(lines)])
        return builder.craft(), lines

    def sheet(self, /, grid: Any = None, **details: Any) -> BuildSheet:
        """A sheet of a person's: `expect` maps facts to a value or tuple, `grid` is columns, rows (of any link)."""
        expect = {
            name: Expected(value if isinstance(value, tuple) else (value,))
            for name, value in details.pop("expect", {}).items()
        }
        grids = {link: tuple(Grid(*size) for size in grid) for link in ("analog", "digital")} if grid else {}
        rule = MatchRule("board", "board.name", ("SISKIN 4",))
        return BuildSheet("ours", "Ours", "ours.toml", (rule,), expect, grids, **details)

    def run(
        self,
        check: Check,
        changes: Mapping[str, object] | None = None,
        *,
        sheet: BuildSheet | None = None,
        tongue: Any = ...,
        **rows: Any,
    ) -> list[Finding]:
        """What a check finds on the sound craft with changes, against the house defaults unless a sheet is given."""
        craft, lines = self.craft(changes, **rows)
        chosen = sheet or built_in_sheets()[0]
        speaks = self.tongue if tongue is ... else tongue
        return run_checks([check], lambda one: Case(one, craft, chosen, speaks, lines))


def outcomes(findings: Iterable[Finding]) -> list[str]:
    """The outcomes of findings, in order."""
    return [finding.outcome.value for finding in findings]


def names(findings: Iterable[Finding]) -> list[tuple[str | None, str]]:
    """The code and the outcome of each finding, in order."""
    return [(finding.code, finding.outcome.value) for finding in findings]


def codes(findings: Iterable[Finding]) -> list[tuple[str, str | None]]:
    """The outcome and the code of each finding, in order."""
    return [(finding.outcome.value, finding.code) for finding in findings]


def not_passed(findings: Iterable[Finding]) -> list[tuple[str, str]]:
    """The name and the outcome of each finding that is not a pass, in order."""
    return [(finding.name, finding.outcome.value) for finding in findings if finding.outcome != "pass"]


def told(findings: Iterable[Finding]) -> str:
    """Everything that findings say, for searching in."""
    return "\n".join(
        " | ".join(
            (f.outcome.value, f.summary, f.expected or "", f.actual or "", f.why, *f.remedy.console, *f.remedy.steps)
        )
        for f in findings
    )

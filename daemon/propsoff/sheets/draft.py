"""A build sheet written from a craft that is right, with comments, so that nobody starts from an empty file."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from propsoff.craft.model import Craft, Switch
from propsoff.craft.names import FactSpec
from propsoff.sheets.draft_words import ENDING, OPENING, SAID_OF
from propsoff.sheets.expectation import Expectation
from propsoff.sheets.grammar import groups, sheet_shape
from propsoff.sheets.model import grid_of
from propsoff.sheets.switch_plan import switch_faults
from propsoff.toml_text import sayable, toml_comment, toml_key, toml_value

_BESIDE = 40
_NOT_SLUG = re.compile(r"[^a-z0-9]+")
_TAKEN = ("required", "together")
_NOBODY = "no check that is loaded examines this"
_STRANGE = "this is not what a sheet can expect"


@dataclass(frozen=True)
class Entry:
    """One key with its value; `note` stands beside it, `others` below it as comments. One that is not `active` is a
    comment itself.
    """

    key: str
    value: Any
    note: str = ""
    active: bool = True
    others: Sequence[tuple[Any, str]] = ()

    def lines(self) -> Iterator[str]:
        """As text."""
        yield _line(self.key, self.value, self.note, "" if self.active else "# ")
        for value, note in self.others:
            yield _line(self.key, value, note, "# ")


@dataclass
class Section:
    """A table. Its heading is a comment too when nothing in it is active."""

    name: tuple[str, ...]
    entries: list[Entry] = field(default_factory=list)
    remark: str = ""

    def lines(self) -> Iterator[str]:
        """As text; nothing for a table without entries."""
        if self.entries:
            lead = "" if any(entry.active for entry in self.entries) else "# "
            yield ""
            if self.remark:
                yield f"# {self.remark}"
            yield f"{lead}[{toml_key(*self.name)}]"
            for entry in self.entries:
                yield from entry.lines()


def draft_of(craft: Craft, *, source: str, unexamined: Collection[str] = (), port: Sequence[str] = ()) -> str:
    """The text of a sheet that this craft meets.

    `source` says where the craft was read, `unexamined` names the facts that no check asks a sheet for: they are
    comments. `port` are the names of the port that it is on.
    """
    sections = [
        _match(craft, port),
        *(_group(craft, group, unexamined) for group in groups()),
        _ports(craft, unexamined),
        *_switches(craft, unexamined),
    ]
    name = _slug(craft.craft.name) or _slug(craft.board.name) or "drafted"
    title = (craft.craft.name or craft.board.name or "A craft").strip()[:200] or "A craft"
    head = [
        *(f"# {line}" for line in OPENING.format(source=toml_comment(source)).splitlines()),
        "format = 1",
        _line(
            "name", f"{name}-{craft.video.link}" if craft.video.link else name, "yours: other sheets extend it by this"
        ),
        _line("title", title, ""),
        _line("version", "1", "yours: a report names it"),
    ]
    return "\n".join([*head, *(line for section in sections for line in section.lines()), "", ENDING])


def _line(key: str, value: Any, note: str, lead: str = "") -> str:
    text = f"{lead}{toml_key(key)} = {toml_value(value)}"
    return f"{text:<{_BESIDE}}  # {toml_comment(note)}" if note else text


def _slug(text: str | None) -> str:
    return _NOT_SLUG.sub("-", (text or "").lower())[:60].strip("-")


def _fits(group: str, key: str, value: str | list[str]) -> bool:
    """Whether a sheet may say this."""
    table = sheet_shape().keys[group]
    shape = getattr(table, "keys", {}).get(key)
    texts = value if isinstance(value, list) else [value]
    return shape is not None and all(map(sayable, texts)) and not list(shape.faults(value, (group, key)))


def _match(craft: Craft, port: Sequence[str]) -> Section:
    """The board and the link choose the sheet; the rest is offered."""
    section = Section(("match",), remark="Which craft this sheet is meant for: every rule must be met.")
    found = (
        ("board", craft.board.name, True, ""),
        ("video", craft.video.link, True, "siblings that differ in the link have sheets of their own"),
        ("craft", craft.craft.name, not craft.board.name, 'or a pattern: "Teal *"'),
        ("serial", craft.board.serial, False, "this one board and no other"),
        ("port", port[0] if port else None, False, "whatever is plugged in here"),
    )
    for key, value, active, note in found:
        if value and _fits("match", key, value):
            section.entries.append(Entry(key, value, note, active))
    return section


def _group(craft: Craft, group: str, unexamined: Collection[str]) -> Section:
    section = Section((group,))
    for leaf, spec in groups()[group].items():
        value = craft.value(spec.name)
        if value is not None:
            section.entries.append(_fact(leaf, spec, value, spec.name not in unexamined))
    if group == "overlay":
        section.entries += _overlay(craft, unexamined)
    if group == "video" and section.entries:
        section.entries.append(Entry("region", "eu", "whose rules for radio to compare with", active=False))
    if group == "battery" and section.entries:
        section.entries.append(Entry("chemistry", "lipo", "what the cells are made of", active=False))
    return section


def _fact(leaf: str, spec: FactSpec, value: Any, examined: bool) -> Entry:
    shape = Expectation.of(spec)
    note = f"{spec.unit}: {spec.doc}" if spec.unit else spec.doc
    path = (spec.name.partition(".")[0], leaf)
    if value == "any" and shape.kind == "name":
        value = {"value": "any"}
    unsaid = isinstance(value, str) and not sayable(value)
    if unsaid or list(shape.faults(value, path)) or list(shape.contradictions(value, path)):
        return Entry(leaf, value, f"{note}; {_STRANGE}", active=False)
    if spec.name in SAID_OF:
        return Entry(leaf, value, f"{note}; {SAID_OF[spec.name]}", active=False)
    floor = {"from": value}
    if shape.kind == "version" and not list(shape.faults(floor, path)) and shape.read(floor, "").allows(value):
        others = [(value, "this one and no other"), ({"from": value, "to": value}, "a floor and a ceiling")]
        said = "this one or newer" if examined else f"this one or newer; {_NOBODY}"
        return Entry(leaf, {"from": value}, said, examined, others)
    if not examined:
        return Entry(leaf, value, f"{note}; {_NOBODY}", active=False)
    return Entry(leaf, value, note, others=_others(shape, value))


def _others(shape: Expectation, value: Any) -> list[tuple[Any, str]]:
    """Other ways to say it."""
    match shape.kind:
        case "choice" if len(shape.choices) > 1:
            return [([*shape.choices], "any of these")]
        case "number":
            return [({"value": value, "tolerance": 0.1}, "or thereabouts")]
        case "whole":
            return [({"from": value, "to": value}, "a range")]
        case "text":
            return [("any", "any will do, as long as it can be read")]
        case _:
            return []


def _overlay(craft: Craft, unexamined: Collection[str]) -> Iterator[Entry]:
    overlay = craft.overlay
    if overlay.columns is not None and overlay.rows is not None:
        size = f"{overlay.columns}x{overlay.rows}"
        grid = grid_of(size)
        sound = grid is not None and grid.columns > 0 and grid.rows > 0
        said = grid.name or size if grid is not None and sound else size
        note = "columns x rows, as the goggles draw it" if sound else _STRANGE
        yield Entry("grid", said, note, sound and "overlay.columns" not in unexamined)
    if overlay.elements is not None:
        shown = [one.name for one in overlay.elements if one.shown and one.name]
        names = list(dict.fromkeys(shown))
        if _fits("overlay", "required", names):
            yield Entry("required", names, "elements that must be shown", "overlay.elements" not in unexamined)


def _ports(craft: Craft, unexamined: Collection[str]) -> Section:
    section = Section(("ports",))
    if craft.ports is not None:
        roles = dict.fromkeys(role for port in craft.ports for role in port.roles or () if role != "unused")
        examined = "ports" not in unexamined
        section.entries = [
            Entry("required", [*roles], "each of these on some UART" if examined else _NOBODY, examined),
            Entry("allowed", [*roles, "unused"], "and no others", active=False),
        ]
    return section


def _switches(craft: Craft, unexamined: Collection[str]) -> list[Section]:
    if not craft.switches:
        return []
    examined = "switches" not in unexamined
    planned: dict[str, dict[str, int]] = {}
    for switch in craft.switches:
        where = _where(switch)
        if where and _fits("switches", "required", [switch.function or ""]) and switch.function not in _TAKEN:
            planned.setdefault(switch.function or "", where)
    if not planned:
        return []
    first = Section(("switches",), [Entry("required", [*planned], "" if examined else _NOBODY, examined)])
    overlapping = _together(planned)
    note = "functions that one position may have on together"
    if overlapping:
        first.entries.append(Entry("together", overlapping, note, examined))
    sections = [first]
    for function, where in planned.items():
        entries = [Entry(key, value, "us" if key != "channel" else "", examined) for key, value in where.items()]
        sections.append(Section(("switches", function), entries))
    return sections


def _where(switch: Switch) -> dict[str, int]:
    """What a plan can say of where a function is."""
    found = {"channel": switch.channel, "from_us": switch.from_us, "to_us": switch.to_us}
    where = {key: value for key, value in found.items() if value is not None}
    if "from_us" in where and "to_us" in where and where["from_us"] > where["to_us"]:
        where = {key: value for key, value in where.items() if key == "channel"}
    shape = getattr(sheet_shape().keys["switches"], "others", None)
    return {} if shape is None or list(shape.faults(where, ())) else where


def _together(planned: dict[str, dict[str, int]]) -> list[list[str]]:
    """The functions that are on top of each other on this craft."""
    names = list(planned)
    return [
        [first, second]
        for at, first in enumerate(names)
        for second in names[at + 1 :]
        if list(switch_faults({first: planned[first], second: planned[second]}))
    ]

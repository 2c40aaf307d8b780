"""Reading a dialect file."""

from __future__ import annotations

import re
from decimal import Decimal
from pathlib import Path
from typing import Any

from propsoff.console.manner import Manner, Query
from propsoff.dialects.build_decoders import DECODERS, Decoders
from propsoff.dialects.build_listings import build_listings
from propsoff.dialects.build_words import Words
from propsoff.dialects.model import Dialect
from propsoff.dialects.patterns import FREE
from propsoff.dialects.section import Document, Section
from propsoff.dialects.speech import ROW_PLACES, WORD_PLACES, Speech, unknown_place
from propsoff.exceptions import DialectError
from propsoff.ports.facts import UsbHint
from propsoff.tomlfile import parse_toml, read_toml

FORMAT = 1
_DEEPEST = 4
_PAUSES = {"wake_before_s": "5", "wake_after_s": "5", "typing_s": "0.1"}
_ID = re.compile(r"[a-z0-9][a-z0-9-]*\Z")


def load_dialect(path: Path) -> Dialect:
    """Read one dialect file.

    Raises DialectError, with file, line and key, when it cannot be read or is not a dialect.
    """
    values, lines = read_toml(path, DialectError, Decimal)
    return _dialect(Section(Document(str(path), lines), (), values))


def parse_dialect(text: str, source: str) -> Dialect:
    """Read a dialect from TOML text; `source` names it in errors. Raises DialectError as `load_dialect` does."""
    values, lines = parse_toml(text, source, DialectError, Decimal)
    return _dialect(Section(Document(source, lines), (), values))


def _dialect(top: Section) -> Dialect:
    if top.whole("format", least=0) != FORMAT:
        top.fail(f"this release reads format {FORMAT}", "format")
    id_ = _id(top, "id")
    title, version = top.text("title"), top.text_or("version", "1")
    hints = tuple(_hint(section, id_) for section in top.sections("usb"))
    console = top.section("console")
    words = Words(_decoders(top), console.texts("missing", ["-"]))
    say = top.section("say", required=False)
    phrases = (_phrase(say, "set", WORD_PLACES), _phrase(say, "set_row", ROW_PLACES))
    identity = top.section("identity")
    reads = top.sections("reads")
    identity_query, known_by = _query(identity), identity.template("known_by")
    queries = tuple(_query(section) for section in reads)
    listings = build_listings(identity, words, ("", ""))
    for section in reads:
        listings += build_listings(section, words, phrases)
    dialect = Dialect(
        id_,
        title,
        top.document.source,
        version,
        _manner(console, id_, identity_query, known_by, queries),
        hints,
        tuple(listings),
        console.templates("comments", []),
        Speech(tuple(listings), say.whole("longest", 0)),
        say.texts("closing", []),
        _capabilities(top.section("since", required=False)),
    )
    _harmless([identity, *reads], [*phrases, *dialect.closing_lines])
    _asked_once([identity, *reads])
    for section in (console, say, identity, *reads, top):
        section.finish()
    if (unused := words.decoders.unused()) is not None:
        unused.fail("no word uses this decoder")
    return dialect


def _id(section: Section, key: str) -> str:
    found = section.text(key)
    if not _ID.match(found):
        section.fail("lower-case letters, digits and hyphens only", key)
    return found


def _hint(section: Section, dialect: str) -> UsbHint:
    vid, pid = section.whole("vid", most=0xFFFF), section.whole("pid", most=0xFFFF)
    product = section.text_or("product", "") or None
    section.finish()
    return UsbHint(vid, pid, product, dialect)


def _decoders(top: Section) -> Decoders:
    section = top.section("decoders", required=False)
    named: dict[str, Section] = {}
    for name in section.names():
        if name in DECODERS:
            section.fail("there is a decoder of this name already; choose another", name)
        named[name] = section.section(name)
    return Decoders(named)


def _phrase(section: Section, key: str, places: tuple[str, ...]) -> str:
    phrase = section.text_or(key, "")
    if phrase and (wrong := unknown_place(phrase, places)) is not None:
        section.fail(f"no such place: {{{wrong}}}", key, f"known: {', '.join(f'{{{place}}}' for place in places)}")
    if phrase and "{value}" not in phrase:
        section.fail("the phrase has no {value}", key)
    return phrase


def _query(section: Section) -> Query:
    command = section.text("command")
    if not command.strip() or not command.isprintable():
        section.fail("a command is one line of printable text", "command")
    deadline_s = section.number("deadline_s", Decimal(10))
    if not 0 < deadline_s <= 600:
        section.fail("more than 0 and at most 600 seconds", "deadline_s")
    opens, ends = section.template_or_none("opens"), section.template_or_none("ends")
    for key, mark in (("opens", opens), ("ends", ends)):
        if mark is not None and mark.names and (mark.names != ("count",) or mark.kind_of("count") not in ("int", FREE)):
            section.fail("a mark has no field but {count:int}; let the names of others begin with _", key)
    if section.has("counted") and not any(mark is not None and mark.names for mark in (opens, ends)):
        section.fail("neither 'opens' nor 'ends' has a {count:int} to compare with", "counted")
    return Query(
        command,
        float(deadline_s),
        opens,
        ends,
        section.template_or_none("counted"),
        section.truth("required", True),
        section.whole("cap_bytes", 1 << 20, least=1024, most=16 << 20),
        _ways(section, "after"),
        _ways(section, "before"),
    )


def _ways(section: Section, key: str) -> tuple[str, ...]:
    """The lines that open or leave menus."""
    ways = section.texts(key, [])
    if len(ways) > _DEEPEST or not all(way.isprintable() and 0 < len(way) <= 16 for way in ways):
        section.fail(f"at most {_DEEPEST} lines of at most 16 printable characters, that open or leave a menu", key)
    return ways


def _manner(console: Section, id_: str, identity: Query, known_by: Any, reads: tuple[Query, ...]) -> Manner:
    line_end = console.text("line_end")
    if line_end not in ("\r", "\n", "\r\n"):
        console.fail('"\\r", "\\n" or "\\r\\n"', "line_end")
    wake = console.text_or("wake", line_end).encode()
    if not 0 < len(wake) <= 16:
        console.fail("1 to 16 bytes: a stranger is sent no more than 32 in all", "wake")
    pager_key = console.text_or("pager_key", " ").encode()
    if not 0 < len(pager_key) <= 4:
        console.fail("1 to 4 bytes", "pager_key")
    quiet = {key: _seconds(console, key, most) for key, most in _PAUSES.items()}
    return Manner(
        id_,
        wake,
        line_end.encode(),
        console.truth("echo"),
        console.template("prompt"),
        identity,
        known_by,
        reads,
        console.template_or_none("pager"),
        pager_key,
        console.template_or_none("error"),
        **quiet,
    )


def _seconds(section: Section, key: str, most: str) -> float:
    found = section.number(key, Decimal(0))
    if not 0 <= found <= Decimal(most):
        section.fail(f"0 to {most} seconds", key)
    return float(found)


def _capabilities(section: Section) -> dict[str, str]:
    return {name: section.text(name) for name in section.names()}


def _harmless(asking: list[Section], setting: list[str]) -> None:
    """A command that reads must not begin with a word that sets, stores or restarts."""
    words = {phrase.split()[0] for phrase in setting if phrase.split()}
    for section in asking:
        for key in ("command", "before", "after"):
            for line in section.texts(key, []):
                first = next(iter(line.split()), "")
                if first in words:
                    section.fail(f"{first!r} sets, stores or restarts by the table 'say'; it cannot be asked", key)


def _asked_once(asking: list[Section]) -> None:
    seen: set[str] = set()
    for section in asking:
        if (command := section.text("command")) in seen:
            section.fail("this command is asked already; put all words of its reply into one place", "command")
        seen.add(command)

"""Sentences that name what they state, as a greeting does: `NAME 1.2.3 on BOARD, built 2026-01-02, serial 00C4`."""

from __future__ import annotations

import re

from propsoff.learning.habits import escaped
from propsoff.learning.measures import measure
from propsoff.learning.thesaurus import named, read_name

_TOKEN = re.compile(r"([(\[<\"']*)(.*?)([)\]>,;.:\"']*)\Z", re.DOTALL)
_VERSION = re.compile(r"[vVrR]?[0-9]+(?:\.[0-9]+){1,3}[\w.+-]*")
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}|[0-9]{1,2}[./][0-9]{1,2}[./][0-9]{2,4}|[0-9]{8}")
_NAME = re.compile(r"[A-Z][A-Za-z0-9_-]{2,}")
_TELLING = ("serial_number", "board", "craft", "version", "build", "firmware")
_ON = frozenset(["on", "for", "board", "target", "hw", "auf", "sur", "en", "su", "op", "på", "na"])
_LONGEST = 24
_FEWEST = 2
_SHORT = 3


def sentence(text: str) -> tuple[str, tuple[str, ...], tuple[str, ...]] | None:
    """(the template, what each field is called, what stands there); None when the sentence has no version or number."""
    tokens = text.split()
    if not 2 <= len(tokens) <= _LONGEST:
        return None
    parts: list[str] = []
    names: list[str] = []
    texts: list[str] = []
    for at, token in enumerate(tokens):
        match = _TOKEN.match(token)
        opening, body, closing = match.groups() if match else ("", token, "")
        called = _called(tokens, at, body, names)
        if called is None or not body:
            parts.append(escaped(token))
            continue
        names.append(called)
        texts.append(body)
        parts.append(f"{escaped(opening)}{{{called.replace(' ', '_')}:word}}{escaped(closing)}")
    version = next((text for name, text in zip(names, texts, strict=True) if name == "firmware version"), "")
    if {*names} == {"firmware name", "firmware version"} and len(tokens) > _SHORT and version.count(".") < _FEWEST:
        return None  # a number in a line of others
    if len(names) < _FEWEST or not {"firmware version", "serial", "board"} & {*names}:
        return None
    return " ".join(parts), tuple(names), tuple(texts)


def _called(tokens: list[str], at: int, body: str, names: list[str]) -> str | None:
    """What a token of a sentence is, by its look and by what stands before it."""
    before = re.sub(r"\W", "", tokens[at - 1]) if at else ""
    concepts = named(read_name(before)) if before else frozenset()
    called = None
    if _DATE.fullmatch(body):
        called = "built"
    elif (
        _VERSION.fullmatch(body)
        and not {"protocol"} & concepts
        and not (at + 1 < len(tokens) and measure(tokens[at + 1]))
    ):
        called = "firmware version"
    elif "serial_number" in concepts and re.fullmatch(r"[0-9A-Za-z:.-]{4,}", body):
        called = "serial"
    elif _NAME.fullmatch(body) and at + 1 < len(tokens) and _VERSION.fullmatch(_bare(tokens[at + 1])):
        called = "firmware name"
    elif (before.casefold() in _ON or "board" in concepts) and re.fullmatch(r"(?=.*[A-Z])[\w-]{3,}", body):
        called = "board"
    return called if called not in names else None


def _bare(token: str) -> str:
    match = _TOKEN.match(token)
    return match[2] if match else token

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
_PART_OF_NAME = re.compile(r"(?=.*[A-Z0-9])[A-Z0-9][\w+-]*")
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
    until = 0
    for at, token in enumerate(tokens):
        if at < until:
            continue
        match = _TOKEN.match(token)
        opening, body, closing = match.groups() if match else ("", token, "")
        called = _called(tokens, at, body, names)
        if called is None or not body:
            parts.append(escaped(token))
            continue
        kind = "word"
        if called == "board" and not closing and (until := _end_of_name(tokens, at)) > at + 1:
            *inner, last = tokens[at + 1 : until]
            match = _TOKEN.match(last)
            _, end, closing = match.groups() if match else ("", last, "")
            body, kind = " ".join((body, *inner, end)), "words"
        names.append(called)
        texts.append(body)
        parts.append(f"{escaped(opening)}{{{called.replace(' ', '_')}:{kind}}}{escaped(closing)}")
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
    elif _is_name(tokens[at], body) and at + 1 < len(tokens) and _VERSION.fullmatch(_bare(tokens[at + 1])):
        called = "firmware name"
    elif (before.casefold() in _ON or "board" in concepts) and re.fullmatch(r"(?=.*[A-Z])[\w-]{3,}", body):
        called = "board"
    return called if called not in names else None


def _is_name(token: str, body: str) -> bool:
    """Whether a token may be a firmware's name: no key with a mark behind it, and no word for something else."""
    return (
        bool(_NAME.fullmatch(body))
        and not token.endswith((":", "="))
        and not any(piece.other or "version" in piece.concepts for piece in read_name(body))
    )


def _end_of_name(tokens: list[str], at: int) -> int:
    """Behind which token a name of several words ends: `TERN G4` in `board TERN G4 rev 2`."""
    end = at + 1
    while end < len(tokens) and _PART_OF_NAME.fullmatch(_bare(tokens[end])) and tokens[end][:1] not in "([<\"'":
        if _VERSION.fullmatch(_bare(tokens[end])) or named(read_name(_bare(tokens[end]))):
            break
        end += 1
        if _TOKEN.match(tokens[end - 1])[3]:  # type: ignore[index]  # it takes any token
            break
    return end


def _bare(token: str) -> str:
    match = _TOKEN.match(token)
    return match[2] if match else token

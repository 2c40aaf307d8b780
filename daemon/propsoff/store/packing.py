"""What history keeps of a report, small: the document, its facts and its causes, each as compressed JSON."""

from __future__ import annotations

import hashlib
import json
import re
import zlib
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any

from propsoff.exceptions import StoreError
from propsoff.inspection.causes import root_causes
from propsoff.inspection.report import Report, plain
from propsoff.store.model import craft_key

if TYPE_CHECKING:
    from collections.abc import Iterable

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_LEVEL = 6
_RULES = re.compile(r"[0-9a-f]{64}(-[0-9a-f]{16})?")


def packed(data: bytes) -> bytes:
    """Compressed octets."""
    return zlib.compress(data, _LEVEL)


def unpacked(data: bytes) -> bytes:
    """Raises ValueError when they are damaged."""
    try:
        return zlib.decompress(data)
    except (zlib.error, TypeError) as error:  # SQLite gives text where somebody put text
        raise ValueError(f"damaged: {error}") from None


def document(report: Report) -> bytes:
    """The whole report on one line, as it is kept and exported."""
    return report.to_json(indent=None).encode()


def report_of(body: bytes) -> Report:
    """The report of a kept body. Raises ValueError when it is damaged (pydantic.ValidationError is one)."""
    return Report.from_json(unpacked(body))


def packed_facts(report: Report) -> bytes:
    """Dotted fact name to value."""
    return _packed_json({fact.name: fact.value for fact in report.facts})


def packed_causes(report: Report) -> bytes:
    """(CHECK/CODE, outcome counted, summary) of what wants doing."""
    return _packed_json([(one.name, one.counts_as.value, one.summary) for one in root_causes(report.findings)])


def facts_of(data: bytes) -> dict[str, Any]:
    """As `packed_facts` took them; several values are a tuple, as in a report. Raises ValueError."""
    found = json.loads(unpacked(data))
    return {name: tuple(value) if isinstance(value, list) else value for name, value in found.items()}


def causes_of(data: bytes) -> list[tuple[str, str, str]]:
    """As `packed_causes` took them. Raises ValueError."""
    return [(name, outcome, summary) for name, outcome, summary in json.loads(unpacked(data))]


def microseconds(when: datetime) -> int:
    """Since 1970 in UTC; a time without a zone is in UTC."""
    return (when.replace(tzinfo=when.tzinfo or UTC) - _EPOCH) // timedelta(microseconds=1)


def when_held(report: Report) -> tuple[str | None, int]:
    """When the conversation of a report began where that is known, and the microseconds by which visits are ordered.

    A conversation was not held after its report was made, whatever its capture says.
    """
    held, made_us = report.capture.started, microseconds(datetime.fromisoformat(report.created))
    return held, made_us if held is None else min(made_us, microseconds(datetime.fromisoformat(held)))


def folded(text: str) -> str:
    """The text without regard to case, as it is looked for."""
    return text.strip().casefold()


def columns_of(report: Report) -> dict[str, Any]:
    """The columns of a visit that its report gives."""
    socket = None if report.port is None else report.port.path
    texts = {
        "bench": report.bench,
        "board": report.board,
        "board_serial": report.board_serial,
        "craft": report.craft,
        "firmware": report.firmware,
        "sheet": None if report.sheet is None else report.sheet.name,
        "dialect": None if report.dialect is None else report.dialect.id,
        "socket": socket,
    }
    held, held_us = when_held(report)
    kept = {name: None if text is None else _word(text) for name, text in texts.items()}
    return {
        **kept,
        **_folded(("bench", "board", "craft", "sheet"), kept),
        "folded_serial": None if kept["board_serial"] is None else folded(kept["board_serial"]),
        "id": report.id,
        "created": report.created,
        "created_us": microseconds(datetime.fromisoformat(report.created)),
        "held": held,
        "held_us": held_us,
        "verdict": report.verdict.value,
        "complete": report.complete,
        "capture_sha256": report.capture.sha256,
        "key": _word(craft_key(report)),
    }


def _folded(names: Iterable[str], kept: dict[str, str | None]) -> dict[str, str | None]:
    return {f"folded_{name}": None if (text := kept[name]) is None else folded(text) for name in names}


def _word(text: str) -> str:
    """Text that every database takes: PostgreSQL has no NUL, so its symbol stands there. The report itself keeps it."""
    return plain(text).replace("\0", "\u2400")


def _packed_json(value: object) -> bytes:
    return packed(json.dumps(value, ensure_ascii=True, separators=(",", ":")).encode())


@dataclass(frozen=True, slots=True)
class Prepared:
    """A report ready to be entered: what takes time is done before the transaction begins, in any process."""

    columns: dict[str, Any]
    sha256: str
    body: dict[str, bytes]
    capture: bytes | None


def prepared(report: Report, capture: bytes | None, rules: str | None = None) -> Prepared:
    """`rules` is the fingerprint of what it was inspected by, None where that is not known.

    Raises StoreError when the capture is not the one that the report was read from.
    """
    whole = document(report)
    if capture is not None and hashlib.sha256(capture).hexdigest() != report.capture.sha256:
        raise StoreError(f"report {report.id}: this is not the capture that it was read from, so neither was entered")
    body = {"report": packed(whole), "facts": packed_facts(report), "causes": packed_causes(report)}
    data = None if capture is None else packed(capture)
    columns = {**columns_of(report), "rules": rules}
    return Prepared(columns, hashlib.sha256(whole).hexdigest(), body, data)


def told_rules(value: object) -> str | None:
    """A fingerprint that a file tells, None where it has none. Raises ValueError for what is no fingerprint."""
    if value is None or (isinstance(value, str) and _RULES.fullmatch(value)):
        return value
    raise ValueError("what it was inspected by is no fingerprint")

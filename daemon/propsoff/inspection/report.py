"""The report: everything that one inspection came to, in one frozen document.

`Report.to_json` and `Report.from_json` are the way out and in; `schema.report_schema` publishes the form. Texts from
the board keep what is not UTF-8 as U+EF80..U+EFFF (see `propsoff.console.octets`).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Annotated, Literal, Self

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

from propsoff.craft.model import Fact, name_of_craft
from propsoff.inspection.finding import Finding, Verdict

SCHEMA_ID = "urn:propsoff:report:1"
_REPORT_ID = r"^[0-9]{8}T[0-9]{6}Z-[a-z0-9-]{1,32}-[0-9a-f]{12}$"

# What a terminal, an editor or a browser would act on or hide instead of showing: C1 controls, line and paragraph
# separators, bidirectional controls, and the private-use characters that stand for raw bytes.
_NOT_SHOWN = re.compile("[\x7f-\x9f\u061c\u200b-\u200f\u2028-\u202e\u2060-\u206f\ue000-\uf8ff\ufeff]")


def _real_instant(text: str) -> str:
    if datetime.fromisoformat(text).tzinfo is None:
        raise ValueError("a time without a zone")
    return text


Instant = Annotated[
    str,
    AfterValidator(_real_instant),
    Field(
        pattern=r"^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?Z$",
        json_schema_extra={"format": "date-time"},
    ),
]


def instant(unix_s: float) -> str:
    """Unix time in seconds as RFC 3339 in UTC, to the millisecond."""
    return datetime.fromtimestamp(unix_s, UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


class _Strict(BaseModel):
    model_config = ConfigDict(frozen=True, strict=True, extra="forbid")


class Tool(_Strict):
    """What made the report."""

    name: str = "propsoff"
    version: str


class PortIdentity(_Strict):
    """The port that the board was on. `key` is what it is across re-enumeration; texts are null where not known."""

    device: str | None = Field(default=None, description="Path or URL under which it was opened.")
    vid: str | None = Field(default=None, description="USB vendor id, four lower-case hexadecimal digits.")
    pid: str | None = Field(default=None, description="USB product id, four lower-case hexadecimal digits.")
    serial_number: str | None = None
    manufacturer: str | None = None
    product: str | None = None
    path: str | None = Field(default=None, description="Physical path: the socket of the bench.")
    origin: str | None = Field(default=None, description="How the port became known.")
    key: str | None = Field(default=None, description="Identity of the port that outlives its device name.")

    @classmethod
    def from_texts(cls, texts: Mapping[str, str]) -> PortIdentity | None:
        """From the port facts in a capture's header; None when there are none."""
        known = {name: plain(texts[name]) for name in cls.model_fields if texts.get(name)}
        return cls(**known) if known else None


class DialectUsed(_Strict):
    """The dialect that the console was read with."""

    id: str
    version: str = Field(default="", description="Version of the dialect file.")
    source: str = Field(default="", description="Where the dialect file came from.")


class SheetUsed(_Strict):
    """The build sheet that the craft was compared with."""

    name: str
    title: str
    version: str = Field(default="", description="Version of the sheet, as its author wrote it.")
    source: str = Field(description="Where the sheet came from.")
    why: str = Field(description="Why this sheet was chosen.")
    house_default: bool = Field(default=False, description="Whether no sheet matched.")


class PluginUsed(_Strict):
    """A plug-in that took part."""

    name: str
    version: str = ""


class ProblemSeen(_Strict):
    """Something on the console that could not be taken as a fact."""

    message: str
    line: int | None = Field(default=None, ge=1, description="Transcript line from 1.")
    text: str = ""
    fact: str | None = Field(default=None, description="Dotted name of the fact concerned.")


class UnreadLine(_Strict):
    """A line of a listing that nothing understood."""

    line: int = Field(ge=1)
    text: str


class ExchangeSummary(_Strict):
    """One command and how its reply came."""

    command: str
    state: Literal["complete", "unsure", "cut"]
    why: str = Field(default="", description="Why the state is not `complete`.")
    lines: int = Field(ge=0, description="Number of reply lines.")


class PhaseTiming(_Strict):
    """How long one phase of the conversation took."""

    phase: str
    seconds: float = Field(ge=0)


class Conversation(_Strict):
    """What was said, in numbers. What came before identification went to a stranger; null where it was not recorded."""

    bytes_sent: int = Field(ge=0)
    bytes_received: int = Field(ge=0)
    bytes_before_identification: int | None = Field(default=None, ge=0)
    writes_before_identification: int | None = Field(default=None, ge=0)
    exchanges: tuple[ExchangeSummary, ...] = ()
    phases: tuple[PhaseTiming, ...] = ()


class CaptureUsed(_Strict):
    """The recorded conversation that everything in this report was read from."""

    sha256: str = Field(pattern=r"^[0-9a-f]{64}$", description="SHA-256 of the asciicast file.")
    file: str | None = Field(default=None, description="Name of the file it was read from or is kept in.")
    events: int = Field(ge=0)
    origin: Literal["recorded", "pasted"]
    started: Instant | None = Field(default=None, description="When the conversation began.")


class Report(_Strict):
    """One inspection of one board."""

    model_config = ConfigDict(title="Report of one inspection")

    schema_id: Literal["urn:propsoff:report:1"] = "urn:propsoff:report:1"
    schema_version: Literal[1] = 1
    id: str = Field(pattern=_REPORT_ID, description="Unique name of this report.")
    created: Instant
    tool: Tool
    bench: str | None = Field(default=None, description="What the bench is called that inspected it.")
    verdict: Verdict = Field(description="The worst outcome, or `incomplete`.")
    complete: bool = Field(description="Whether the conversation reached its end.")
    ended: str = Field(description="How the conversation ended, in words.")
    next_steps: tuple[str, ...] = Field(default=(), description="What to do when the report is incomplete.")
    board: str | None = Field(default=None, description="Name of the board.")
    board_serial: str | None = Field(default=None, description="Serial number that the board states.")
    craft: str | None = Field(default=None, description="Name of the craft.")
    firmware: str | None = Field(default=None, description="Firmware name and version.")
    port: PortIdentity | None = None
    dialect: DialectUsed | None = None
    sheet: SheetUsed | None = None
    plugins: tuple[PluginUsed, ...] = ()
    findings: tuple[Finding, ...] = ()
    facts: tuple[Fact, ...] = ()
    problems: tuple[ProblemSeen, ...] = ()
    unread: tuple[UnreadLine, ...] = ()
    conversation: Conversation
    capture: CaptureUsed

    @property
    def called(self) -> str:
        """What its craft is called where several are spoken of."""
        return name_of_craft(self.craft, self.board, self.board_serial)

    def to_json(self, *, indent: int | None = 2) -> str:
        """The report as JSON, keys in the order of the model, one line end at the end.

        Characters that would not show are escaped, so that printing the text is harmless.
        """
        text = self.model_dump_json(indent=indent)
        if not text.isascii() or "\x7f" in text:
            text = _NOT_SHOWN.sub(_escaped, text)
        return text + "\n"

    @classmethod
    def from_json(cls, text: str | bytes) -> Self:
        """Read a report back. Raises pydantic.ValidationError when it is not one."""
        return cls.model_validate_json(text)


def _escaped(match: re.Match[str]) -> str:
    return f"\\u{ord(match[0]):04x}"


def plain(text: str) -> str:
    """Text that is certain to encode: lone surrogates, which a hand-made file can hold, are spelt out."""
    return text if text.isascii() else text.encode("utf-8", "backslashreplace").decode()

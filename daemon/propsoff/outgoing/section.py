"""The settings of what leaves a bench by itself: `[outgoing]`, its `commands` and `calls`, and `[outgoing.mqtt]`."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal, Self
from urllib.parse import urlsplit

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, model_validator

VerdictWord = Literal["pass", "warn", "unknown", "error", "fail", "incomplete"]
_Name = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9-]{0,39}$")]
_Deadline = Annotated[float, Field(gt=0, le=3600, allow_inf_nan=False)]
_VERDICTS = "Verdicts that are sent; empty: every report."

COMMAND_VARIABLES = (
    "PROPSOFF_REPORT_ID",
    "PROPSOFF_VERDICT",
    "PROPSOFF_PLACE",
    "PROPSOFF_CRAFT",
    "PROPSOFF_REPORT_FILE",
    "PROPSOFF_CAPTURE_FILE",
)
"""What a command finds in its environment; no settings, though they begin alike."""


def _no_nul(text: str) -> str:
    if "\0" in text:
        raise ValueError("must not hold a NUL character")
    return text


def _absolute(path: Path) -> Path:
    try:
        known = path.expanduser()
    except RuntimeError:
        raise ValueError("means a home folder that is not known; write the whole path") from None
    if not known.is_absolute():
        raise ValueError("must be an absolute path")
    return known


def _web_address(text: str) -> str:
    parts = urlsplit(text)
    if parts.scheme not in {"http", "https"} or not parts.hostname:
        raise ValueError("must be an address that begins with https:// or http://")
    if parts.username is not None or parts.password is not None:
        raise ValueError("must hold no user name or password; the signature shows who sends")
    _ = parts.port  # raises ValueError for what is no port
    if not text.isascii() or not text.isprintable() or " " in text:
        raise ValueError("must be plain ASCII; write a name of other letters in its xn-- form")
    return text


def _topic_prefix(text: str) -> str:
    if any(char in "+#" or not char.isprintable() for char in text) or text.startswith(("/", "$")):
        raise ValueError("must not begin with / or $, and must not hold +, # or control characters")
    return text.rstrip("/")


_SecretPath = Annotated[Path, AfterValidator(_absolute)]


class _Table(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class CommandTable(_Table):
    """A command that is run for each report; the report comes on its standard input."""

    name: _Name = Field(description="What it is called in the log; also the name of its queue.")
    argv: tuple[Annotated[str, AfterValidator(_no_nul)], ...] = Field(
        min_length=1, description="The program and its arguments; no shell looks at them."
    )
    verdicts: tuple[VerdictWord, ...] = Field(default=(), description=_VERDICTS)
    deadline_s: _Deadline = Field(default=60.0, description="How long it may run; then its process group is killed.")

    @model_validator(mode="after")
    def _has_a_program(self) -> Self:
        if not self.argv[0]:
            raise ValueError("argv must begin with a program")
        return self


class CallTable(_Table):
    """A web address that each report is posted to, signed."""

    name: _Name = Field(description="What it is called in the log; also the name of its queue.")
    url: Annotated[str, AfterValidator(_web_address)] = Field(description="https://... or http://...")
    secret_file: _SecretPath = Field(description="File with the key of the signature, whsec_ and base64, one a line.")
    ca_file: _SecretPath | None = Field(
        default=None, description="Certificates that the receiver's must lead to; unset: those of the system."
    )
    verdicts: tuple[VerdictWord, ...] = Field(default=(), description=_VERDICTS)
    deadline_s: _Deadline = Field(default=15.0, description="How long one call may take as a whole.")


class MqttTable(_Table):
    """An MQTT broker that is told of the bench, its places and its reports."""

    host: str = Field(min_length=1, max_length=253, description="Host name or address of the broker.")
    port: int = Field(default=1883, ge=1, le=65535, description="1883, or 8883 with TLS.")
    username: str | None = Field(default=None, description="User name at the broker.")
    password_file: _SecretPath | None = Field(default=None, description="File with the password, in its first line.")
    tls: bool = Field(default=False, description="Speak TLS, and verify the broker's certificate.")
    ca_file: _SecretPath | None = Field(
        default=None, description="Certificates that the broker's must lead to; unset: those of the system."
    )
    prefix: Annotated[str, AfterValidator(_topic_prefix)] = Field(
        default="propsoff", min_length=1, max_length=200, description="The first part of every topic."
    )
    qos: Literal[0, 1, 2] = Field(default=1, description="Quality of service of MQTT.")
    keepalive_s: int = Field(default=30, ge=5, le=3600, description="How soon a broken line is noticed.")
    confirm: bool = Field(
        default=True, description="Read each message back: a broker does not say that its access list refused one."
    )
    deadline_s: _Deadline = Field(default=10.0, description="How long a connection, or one message, may take.")


class OutgoingSection(_Table):
    """What leaves the bench by itself when a report is there."""

    commands: tuple[CommandTable, ...] = Field(default=(), description="Commands that are run for each report.")
    calls: tuple[CallTable, ...] = Field(default=(), description="Web addresses that each report is posted to.")
    mqtt: MqttTable | None = Field(default=None, description="The MQTT broker that is told; unset: none.")
    keep: int = Field(
        default=1000,
        ge=1,
        le=100_000,
        description="How many reports wait for one target at the most; then the oldest goes.",
    )
    max_age_h: float = Field(
        default=72.0, gt=0, le=8760, allow_inf_nan=False, description="How many hours a report is tried, then given up."
    )
    back_off_s: float = Field(
        default=2.0, gt=0, le=3600, allow_inf_nan=False, description="The first pause after a failure; then twice that."
    )
    back_off_most_s: float = Field(
        default=600.0, gt=0, le=86400, allow_inf_nan=False, description="The longest pause between two attempts."
    )

    @model_validator(mode="after")
    def _names_differ(self) -> Self:
        for kind, tables in (("commands", self.commands), ("calls", self.calls)):
            names = [table.name for table in tables]
            if double := sorted({name for name in names if names.count(name) > 1}):
                raise ValueError(f"{kind}: two are called {double[0]}; each has a queue of its own, so names differ")
        return self

    @property
    def anything(self) -> bool:
        """Whether there is any target."""
        return bool(self.commands or self.calls or self.mqtt)

"""All settings and all timings, each named and commented; where they come from is in `settings_sources.py`.

Rising order: built-in values, the system's propsoff.toml, the user's, the working folder's, PROPSOFF_* variables
(`PROPSOFF_TIMINGS__LISTEN_S=0`), options of the command line.
"""

from __future__ import annotations

from dataclasses import fields
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal

import platformdirs
from pydantic import BaseModel, ConfigDict, Field, create_model
from pydantic_settings import BaseSettings, SettingsConfigDict

from propsoff.console.timings import Timings
from propsoff.outgoing.section import OutgoingSection

if TYPE_CHECKING:
    from collections.abc import Callable

Seconds = Annotated[float, Field(ge=0, le=3600, allow_inf_nan=False)]
Pause = Annotated[float, Field(ge=0.05, le=3600, allow_inf_nan=False)]
"""Between two turns of what goes on for ever: without one it would take a processor to itself."""
Count = Annotated[int, Field(ge=0, le=1_000_000)]


class Section(BaseModel):
    """A table of propsoff.toml."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class BenchSection(Section):
    """The bench itself."""

    name: str = Field(default="bench", description="What this bench is called in reports.", min_length=1, max_length=80)
    state: Path = Field(
        default_factory=lambda: platformdirs.user_state_path("propsoff"),
        description="Folder for the operator's consents and the dialects of known boards.",
    )
    grace_s: Seconds = Field(default=10.0, description="How long a stop waits for a report that is being written.")
    places: dict[str, str] = Field(
        default_factory=dict,
        description="The sockets of the bench that always stand on the page, in their order, and what each is called.",
        max_length=256,
    )


class PageSection(Section):
    """The page in a browser, and the interface for programs."""

    enabled: bool = Field(default=False, description="Serve the page and the interface at address and port.")
    address: str = Field(default="127.0.0.1", description="Where it is served; others than loopback need a token.")
    port: int = Field(default=8423, ge=0, le=65_535, description="The TCP port; 0: any that is free.")
    token_file: Path | None = Field(
        default=None, description="File with the token that callers must show; only its owner may read it."
    )
    hosts: tuple[str, ...] = Field(
        default=(), description="Further names under which callers may reach it, such as bench-2.example."
    )
    socket: bool = Field(
        default=True, description="Let programs of this user ask the bench, through a socket in the state folder."
    )


class PortsSection(Section):
    """Which ports are watched, and how."""

    source: Literal["auto", "udev", "listing", "none"] = Field(
        default="auto", description="auto: udev where there is one, else a listing that is polled; none: folders only."
    )
    folder: Path | None = Field(default=None, description="A folder of links that is watched; each link is a port.")
    poll_s: Pause = Field(
        default=0.5, description="How long after one look at the listing the next one comes; 0.05 at the least."
    )


class OutputSection(Section):
    """Where reports and captures go."""

    folder: Path = Field(
        default_factory=lambda: platformdirs.user_data_path("propsoff") / "reports",
        description="Folder for reports (.json) and captures (.cast).",
    )
    retry_s: Pause = Field(
        default=5.0,
        description="How long to wait before a report that could not be written is tried again; 0.05 at the least.",
    )
    keep: Count = Field(default=500, description="How many unwritten reports are kept in memory at the most.")
    sync: bool = Field(default=True, description="Force each report to the disk before it counts as written.")


class StoreSection(Section):
    """History: every report is kept, with its capture."""

    enabled: bool = Field(default=True, description="Enter each report into history.")
    url: str = Field(
        default="",
        description="Where history is kept: sqlite:////folder/history.sqlite or postgresql://user@host/database; "
        "empty: SQLite in the user's data folder. A password belongs into ~/.pgpass.",
    )
    lock_s: Seconds = Field(default=5.0, description="How long another process that holds the database is waited for.")
    waiting: Path = Field(
        default_factory=lambda: platformdirs.user_data_path("propsoff") / "waiting",
        description="Folder for reports that history could not take; they are entered at the next success.",
    )


class ChecksSection(Section):
    """Which checks run."""

    skip: tuple[str, ...] = Field(default=(), description="Ids of checks that do not run.")
    deadline_s: Seconds = Field(default=5.0, description="How long one check may take.")
    sheets: tuple[Path, ...] = Field(default=(), description="Further build sheets, or folders of them.")
    dialects: tuple[Path, ...] = Field(default=(), description="Further dialect files, or folders of them.")


class PluginsSection(Section):
    """Plug-ins."""

    third_party: bool = Field(default=True, description="Load the plug-ins of other installed packages.")
    deadline_s: Seconds = Field(default=5.0, description="How long one call of a plug-in may take.")


class LogSection(Section):
    """The log, on standard error."""

    format: Literal["auto", "text", "json"] = Field(
        default="auto", description="auto: key=value on a terminal, JSON otherwise."
    )
    level: Literal["auto", "debug", "info", "warning", "error"] = Field(
        default="auto", description="The least that is logged; auto: warning on a terminal, info otherwise."
    )


_WAITS = {
    "open_s": "How long one attempt to open a port may take.",
    "settle_s": "How long a port that the system still prepares is tried again.",
    "busy_s": "How long a port that another process holds is tried again.",
    "listen_s": "Passive listening before the first byte is sent; left out for a board that is known.",
    "wake_s": "How long the console may take to show its prompt after the first line end that is sent to it.",
    "identify_s": "How long the reply to the command that asks a board what it is may take as a whole.",
    "quiet_s": "How long the board must be quiet after its prompt, where the prompt alone shows the end of a reply.",
    "quiet_marked_s": "The same where every other sign of the end was seen too, such as an end mark.",
    "stall_s": "How long the board must be quiet before a reply that lacks a sign of its end is taken as it is.",
    "key_s": "The pause before each character of a command that is asked a second time, then typed slowly.",
    "write_s": "How long a board may take no bytes before the conversation is given up.",
    "close_s": "How long closing a port is waited for; it then goes on by itself.",
    "talk_s": "How long the whole conversation with a board may take.",
    "inbox_bytes": "How many bytes that nobody has read yet are taken in before the board is made to wait.",
}


def _timings_section() -> type[Section]:
    """A section with one setting for each of the conversation's named waits."""
    limits: dict[str, Any] = {"float": Seconds, "int": Count}
    columns: dict[str, Any] = {
        wait.name: (limits[str(wait.type)], Field(default=wait.default, description=_WAITS[wait.name]))
        for wait in fields(Timings)
    }
    section: Callable[..., type[Section]] = create_model  # its overloads do not know computed fields
    return section("TimingsSection", __base__=Section, __doc__="The waits of a conversation, in seconds.", **columns)


TimingsSection = _timings_section()


class Settings(BaseSettings):
    """Everything that can be set. `timings` has one value for each wait of `console.timings.Timings`."""

    model_config = SettingsConfigDict(
        extra="forbid", frozen=True, env_prefix="PROPSOFF_", env_nested_delimiter="__", case_sensitive=False
    )

    bench: BenchSection = BenchSection()
    ports: PortsSection = PortsSection()
    timings: TimingsSection = TimingsSection()  # type: ignore[valid-type]  # a class made from the list of waits
    output: OutputSection = OutputSection()
    page: PageSection = PageSection()
    outgoing: OutgoingSection = OutgoingSection()
    store: StoreSection = StoreSection()
    checks: ChecksSection = ChecksSection()
    plugins: PluginsSection = PluginsSection()
    log: LogSection = LogSection()

    def waits(self) -> Timings:
        """The conversation's waits as the console takes them."""
        section: BaseModel = self.timings
        return Timings(**section.model_dump())


def known_keys() -> tuple[str, ...]:
    """Every key, dotted (`timings.listen_s`), in the order of the model."""
    keys: list[str] = []
    for name, section in Settings.model_fields.items():
        kind = section.annotation
        assert isinstance(kind, type)
        assert issubclass(kind, BaseModel)
        keys += [f"{name}.{leaf}" for leaf in kind.model_fields]
    return tuple(keys)

"""Every error that propsoff raises on purpose, in one tree.

::

    PropsoffError
    ├── ConfigError          a file or value of the operator's is wrong        (exit code 2)
    │   ├── SettingsError    propsoff.toml, PROPSOFF_* or an option
    │   ├── DialectError     a dialect file
    │   ├── SheetError       a build sheet
    │   └── NotesError       a file of hand notes
    ├── TargetError          what the operator named cannot be inspected       (exit code 2)
    ├── LayoutError          overlay elements that a grid cannot hold          (exit code 2)
    ├── CaptureError         a saved conversation cannot be read               (exit code 3)
    ├── PortError            a port could not be opened                        (exit code 3)
    │   ├── PortBusyError    another process holds it
    │   ├── PortDeniedError  the system does not let this user open it
    │   └── PortGoneError    it is not there (any more)
    ├── ConversationError    the conversation did not reach its end            (exit code 3)
    │   ├── LinkLostError    the port was lost: unplugged, or a read error
    │   ├── DeadlineError    a wait reached its deadline
    │   ├── OverflowedError  a reply outgrew its cap
    │   └── BudgetError      the next write would exceed what a stranger may be sent
    ├── StoreError           history could not be read or written           (exit code 2)
    ├── RequestError         a running bench was asked for what it cannot do   (exit code 2)
    │   ├── NothingThereError   no such place, report or question, or nothing is plugged in there
    │   ├── BeingReadError      the board is being read already
    │   ├── NotAllowedError     nobody allowed the port, or it was denied
    │   ├── StaleError          the question was answered or is no longer asked
    │   └── RefusedError        any other refusal, by its slug
    ├── BenchError           a running bench could not be asked                (exit code 3)
    │   ├── NoBenchError        none runs here, or none answers there          (exit code 2)
    │   ├── BenchLostError      it went away, or did not answer in time
    │   └── BenchReplyError     what it answered cannot be understood
    └── PluginError          a plug-in raised, hung or returned nonsense

Each message says what happened, where (file, line, key or port) and what to do about it.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path


class PropsoffError(Exception):
    """Root of the tree. `str(error)` is text for people."""


class ConfigError(PropsoffError):
    """A file or value that the operator wrote is wrong.

    Attributes: `source` (file or variable), `line` (1-based or None), `key` (dotted, or None), `hint` (what to do).
    """

    def __init__(
        self,
        problem: str,
        *,
        source: str | Path | None = None,
        line: int | None = None,
        key: str | None = None,
        hint: str | None = None,
    ) -> None:
        self.problem, self.source, self.line, self.key, self.hint = problem, source, line, key, hint
        where = ""
        if source is not None:
            where = f"{source}, line {line}: " if line is not None else f"{source}: "
        named = f"{key}: " if key else ""
        super().__init__(f"{where}{named}{problem}" + (f" ({hint})" if hint else ""))

    def __reduce__(self) -> tuple[object, ...]:
        # Keyword-only arguments do not survive the default pickling, and batch workers send errors home.
        return (_rebuild_config_error, (type(self), self.problem, self.source, self.line, self.key, self.hint))


def _rebuild_config_error(
    kind: type[ConfigError],
    problem: str,
    source: str | Path | None,
    line: int | None,
    key: str | None,
    hint: str | None,
) -> ConfigError:
    return kind(problem, source=source, line=line, key=key, hint=hint)


class SettingsError(ConfigError):
    """propsoff.toml, a PROPSOFF_* variable or an option is wrong."""


class DialectError(ConfigError):
    """A dialect file is wrong."""


class SheetError(ConfigError):
    """A build sheet is wrong."""


class NotesError(ConfigError):
    """A file of hand notes is wrong."""


class TargetError(PropsoffError):
    """What the operator named is neither a port, nor a URL, nor a capture."""


class LayoutError(PropsoffError):
    """Overlay elements do not fit a grid, or the grid cannot be; the message says which."""


class CaptureError(PropsoffError):
    """A saved conversation cannot be read; the message names file and line."""


class PortError(PropsoffError):
    """A port could not be opened. `device` is the path or URL."""

    def __init__(self, device: str, problem: str) -> None:
        self.device, self.problem = device, problem
        super().__init__(f"{device}: {problem}")

    def __reduce__(self) -> tuple[object, ...]:
        return (type(self), (self.device, self.problem))


class PortBusyError(PortError):
    """Another process holds the port. `holders` are those that the system let us see, e.g. `["cat (pid 812)"]`."""

    def __init__(self, device: str, problem: str, holders: Sequence[str] = ()) -> None:
        self.holders = tuple(holders)
        super().__init__(device, problem)

    def __reduce__(self) -> tuple[object, ...]:
        return (type(self), (self.device, self.problem, self.holders))


class PortDeniedError(PortError):
    """The system does not let this user open the port."""


class PortGoneError(PortError):
    """The port is not there, or no longer."""


class ConversationError(PropsoffError):
    """The conversation with the board did not reach its end."""


class LinkLostError(ConversationError):
    """The port was lost: unplugged, or a read or write error. Every pending wait fails with it at once."""


class DeadlineError(ConversationError):
    """A wait reached its deadline."""


class OverflowedError(ConversationError):
    """A reply outgrew its cap."""


class BudgetError(ConversationError):
    """The next write would exceed what a board may be sent before it is identified."""


class StoreError(PropsoffError):
    """History could not be read or written; the message names the database, without its password."""


class PluginError(PropsoffError):
    """A plug-in raised, hung or returned nonsense. `plugin` names it."""

    def __init__(self, plugin: str, problem: str) -> None:
        self.plugin, self.problem = plugin, problem
        super().__init__(f"plug-in {plugin}: {problem}")

    def __reduce__(self) -> tuple[object, ...]:
        return (type(self), (self.plugin, self.problem))


class RequestError(PropsoffError):
    """A running bench was asked for something that it cannot do now. `slug` names the kind for programs."""

    slug = "request"


class NothingThereError(RequestError):
    """There is no such place, report or question, or nothing is plugged in there."""

    slug = "nothing-there"


class BeingReadError(RequestError):
    """The board is being read already."""

    slug = "being-read"


class NotAllowedError(RequestError):
    """The port stays shut: nobody allowed it, the operator denied it, or it is a bootloader."""

    slug = "not-allowed"


class StaleError(RequestError):
    """The question was answered meanwhile, or is no longer asked."""

    slug = "stale"


class RefusedError(RequestError):
    """A bench refused for a reason that has no class of its own.

    `status` is the HTTP status, `wanted` tells of each value that was not taken (where it stands, what is wanted).
    """

    def __init__(self, problem: str, *, slug: str, status: int, wanted: Sequence[tuple[str, str]] = ()) -> None:
        self.slug, self.status, self.wanted = slug, status, tuple(wanted)
        super().__init__(problem)

    def __reduce__(self) -> tuple[object, ...]:
        return (_rebuild_refused_error, (str(self), self.slug, self.status, self.wanted))


def _rebuild_refused_error(problem: str, slug: str, status: int, wanted: Sequence[tuple[str, str]]) -> RefusedError:
    return RefusedError(problem, slug=slug, status=status, wanted=wanted)


class BenchError(PropsoffError):
    """A running bench could not be asked."""


class NoBenchError(BenchError):
    """No bench runs here, or none answers at the address."""


class BenchLostError(BenchError):
    """The bench went away in the middle, or did not answer in time."""


class BenchReplyError(BenchError):
    """What a bench answered cannot be understood: it is none, or another version."""

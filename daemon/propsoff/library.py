"""propsoff as a library: everything that an inspection needs, gathered once, and one call for a file or a port."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

import platformdirs

from propsoff.console.capture import Capture, load_capture
from propsoff.dialects.catalogue import catalogue as dialect_catalogue
from propsoff.dialects.model import Dialect
from propsoff.exceptions import ConfigError, PluginError, PropsoffError
from propsoff.inspection.check import DIALECT_ID
from propsoff.inspection.document import Visit
from propsoff.inspection.finding import Finding, Outcome, Remedy
from propsoff.inspection.inspect import inspect_capture
from propsoff.inspection.meant import Meant, meant
from propsoff.inspection.report import PluginUsed, PortIdentity, Report, plain
from propsoff.inspection.runner import CheckRunner
from propsoff.notes.known import WELL_KNOWN
from propsoff.notes.load import load_notes, notes_beside, notes_or_why_not
from propsoff.plugins import OwnedCheck, PluginInfo, Plugins, build_plugins, gather_checks, gather_paths
from propsoff.settings import Settings
from propsoff.sheets.catalogue import catalogue as sheet_catalogue
from propsoff.sheets.model import BuildSheet
from propsoff.unexamined import after_a_fault, too_late

if TYPE_CHECKING:
    from collections.abc import Callable

    from propsoff.notes.model import Hand, HandNotes
    from propsoff.rules import Rules


@dataclass(frozen=True)
class Toolbox:
    """What an inspection needs: dialects, sheets and checks from wherever they came, and what went wrong on the way.

    `begun_ns` is when gathering began (Unix, ns): what was changed on the disk since may not be what is in here.
    """

    settings: Settings
    plugins: Plugins = field(repr=False)
    checks: tuple[OwnedCheck, ...]
    left_out: tuple[OwnedCheck, ...]
    dialects: tuple[Dialect, ...]
    sheets: tuple[BuildSheet, ...]
    dialect_errors: tuple[PropsoffError, ...] = ()
    sheet_errors: tuple[ConfigError, ...] = ()
    notes: tuple[str, ...] = ()
    begun_ns: int = 0

    @cached_property
    def _runner(self) -> CheckRunner:
        """One for all inspections: it remembers the checks that hang."""
        return CheckRunner(deadline_s=self.settings.checks.deadline_s)

    @cached_property
    def rules(self) -> Rules:
        """What an inspection goes by, as a fingerprint; it is taken when it is first asked for."""
        from propsoff.rules import rules_of

        return rules_of(self)

    def rules_of(self, report: Report) -> str | None:
        """What history keeps of how a report of this toolbox was made; None in doubt."""
        return self.rules.of(report)

    @property
    def infos(self) -> Sequence[PluginInfo]:
        """The plug-ins that were found."""
        return self.plugins.infos

    @property
    def failures(self) -> Sequence[PluginError]:
        """The plug-ins that failed, and how."""
        return [*self.plugins.failures, *self.plugins.bench_failures]

    def inspect(
        self,
        capture: Capture,
        *,
        file: str | None = None,
        clock: Callable[[], float] = time.time,
        hand: Hand | None = None,
        tell: Callable[[Meant], None] | None = None,
    ) -> Report:
        """The report of one conversation; `file` is the name of the capture's file, `clock` gives Unix time in seconds.

        `hand` is what a person answered to the questions of the build sheet, or why that cannot be read.
        `tell` is told what the conversation is about, where the console was read whole.

        Never raises: a fault of propsoff itself is an `error` finding of a report that has the conversation at least.
        """
        try:
            report = inspect_capture(
                capture,
                dialects=self.dialects,
                sheets=self.sheets,
                checks=[owned.check for owned in self.checks],
                clock=clock,
                file=file,
                plugins=self._plugins_used(),
                sheet_errors=self.sheet_errors,
                notes=self._early_findings(),
                left_out=[owned.check for owned in self.left_out],
                runner=self._runner,
                hand=hand,
                tell=tell,
            )
        except Exception as error:  # noqa: BLE001  a fault of ours must not lose the report, and is named in it
            report = after_a_fault(self._visit(capture, file, clock), error, self._early_findings())
        return self._signed(report)

    def meant(self, capture: Capture) -> Meant | None:
        """The craft and the build sheet of one conversation; None when the console was not read whole. Never raises."""
        try:
            return meant(capture, dialects=self.dialects, sheets=self.sheets)
        except Exception:  # noqa: BLE001  `inspect` meets the same fault, and reports it
            return None

    @cached_property
    def questions(self) -> tuple[str, ...]:
        """The ids of every question that a sheet asks or a check knows."""
        asked = (question.id for sheet in self.sheets for question in sheet.questions)
        return tuple(dict.fromkeys((*asked, *WELL_KNOWN)))

    def notes_beside(self, capture: Path) -> Hand | None:
        """The hand notes beside a saved capture, or why they cannot be read; None when there are none."""
        return notes_beside(capture, self.questions)

    def notes_of(self, path: Path) -> HandNotes:
        """The hand notes of a file. Raises NotesError."""
        return load_notes(path, self.questions)

    def notes_or_why_not(self, path: Path) -> Hand:
        """The hand notes of a file, or why they cannot be read."""
        return notes_or_why_not(path, self.questions)

    def unexamined(self, capture: Capture) -> Report:
        """The report of a conversation whose inspection is not waited for any longer: incomplete, and quickly made."""
        return self._signed(too_late(self._visit(capture, None, time.time)))

    def _visit(self, capture: Capture, file: str | None, clock: Callable[[], float]) -> Visit:
        port = PortIdentity.from_texts(capture.port)
        return Visit(capture, clock(), port, file, tuple(self._plugins_used()))

    def _signed(self, report: Report) -> Report:
        return report.model_copy(update={"bench": plain(self.settings.bench.name)})

    def _plugins_used(self) -> list[PluginUsed]:
        return [PluginUsed(name=info.name, version=info.version) for info in self.infos if info.problem is None]

    def _early_findings(self) -> list[Finding]:
        """A plug-in that failed takes its checks with it, a dialect its reading: neither must look like a pass."""
        return [
            Finding(
                check="plug-in",
                outcome=Outcome.ERROR,
                summary=plain(" ".join(str(failure).split()))[:400],
                why="Checks that it brings did not run, so this craft was not fully inspected.",
                sources=(),
            )
            for failure in self.plugins.failures
        ] + [_dialect_unread(error) for error in self.dialect_errors]


def _dialect_unread(error: PropsoffError) -> Finding:
    return Finding(
        check=DIALECT_ID,
        outcome=Outcome.ERROR,
        summary=f"a dialect could not be used: {plain(' '.join(str(error).split()))}"[:400],
        why="Without the dialect that was meant for it, a board may be read by another one, or not at all.",
        remedy=Remedy(steps=("Correct the file, or take it away; then inspect again.",)),
    )


def toolbox(settings: Settings | None = None, *, plugins: Plugins | None = None) -> Toolbox:
    """Gather plug-ins, checks, dialects and sheets. Blocks for some tenths of a second.

    Raises SettingsError for settings that are wrong or skip a check that does not exist; every other fault is in it.
    """
    from propsoff.settings_sources import load_settings

    begun_ns = time.time_ns()
    settings = settings or load_settings().settings
    plugins = plugins or build_plugins(third_party=settings.plugins.third_party)
    deadline_s = settings.plugins.deadline_s
    checks = gather_checks(plugins, deadline_s)
    _refuse_unknown_skips(settings, checks)
    user = user_folder()
    dialects = dialect_catalogue(
        plugins=[path for _, path in gather_paths(plugins, "propsoff_dialects", deadline_s)],
        user=[user / "dialects"],
        named=settings.checks.dialects,
    )
    sheets = sheet_catalogue(
        plugins=[path for _, path in gather_paths(plugins, "propsoff_sheets", deadline_s)],
        user=[user / "sheets"],
        named=settings.checks.sheets,
    )
    return Toolbox(
        settings,
        plugins,
        tuple(owned for owned in checks if owned.check.id not in settings.checks.skip),
        tuple(owned for owned in checks if owned.check.id in settings.checks.skip),
        dialects.dialects,
        sheets.sheets,
        dialects.errors,
        sheets.errors,
        (*dialects.notes, *sheets.notes),
        begun_ns,
    )


def user_folder() -> Path:
    """The user's folder of propsoff.toml, `dialects` and `sheets`; it need not be there."""
    return platformdirs.user_config_path("propsoff")


def _refuse_unknown_skips(settings: Settings, checks: Sequence[OwnedCheck]) -> None:
    from propsoff.exceptions import SettingsError
    from propsoff.tomlfile import nearest

    known = [owned.check.id for owned in checks]
    for skipped in settings.checks.skip:
        if skipped not in known:
            like = nearest(skipped, known)
            hint = f"did you mean {like}?" if like else "see `propsoff checks`"
            raise SettingsError(f"there is no check {skipped!r}", key="checks.skip", hint=hint)


def inspect_file(path: str | Path, *, tools: Toolbox | None = None, hand: HandNotes | None = None) -> Report:
    """Inspect a saved capture (`.cast`, or text pasted from a terminal).

    Raises CaptureError when the file cannot be read. `tools` is gathered afresh when None: keep one for many files.
    `hand` are the answers to the sheet's questions; when None, those of NAME.notes.toml beside NAME.cast, if any.
    """
    file, tools = Path(path), tools or toolbox()
    return tools.inspect(load_capture(file), file=file.name, hand=hand or tools.notes_beside(file))


def inspect_port(device: str, *, tools: Toolbox | None = None, hand: HandNotes | None = None) -> Report:
    """Inspect the board on a device path or pyserial URL, once. Naming it is the consent to open it.

    `hand` are the answers to the questions of the build sheet.

    A port that cannot be opened gives an `incomplete` report that says why. Raises PortDeniedError for a port that the
    operator denied or that is a bootloader. Must not be called from a running event loop.
    """
    import asyncio

    from propsoff.bench.once import inspect_ports

    tools = tools or toolbox()
    [visited] = asyncio.run(inspect_ports([device], tools))
    if hand is None or visited.report.dialect is None:
        return visited.report
    return tools.inspect(visited.capture, file=visited.report.capture.file, hand=hand)

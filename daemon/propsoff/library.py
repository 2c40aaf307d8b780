"""propsoff as a library: everything that an inspection needs, gathered once, and one call for a file or a port."""

from __future__ import annotations

import time
import traceback
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
from propsoff.inspection.finding import Finding, Outcome, Remedy
from propsoff.inspection.inspect import inspect_capture
from propsoff.inspection.report import PluginUsed, Report
from propsoff.inspection.runner import CheckRunner
from propsoff.plugins import OwnedCheck, PluginInfo, Plugins, build_plugins, gather_checks, gather_paths
from propsoff.settings import Settings
from propsoff.sheets.catalogue import catalogue as sheet_catalogue
from propsoff.sheets.model import BuildSheet

if TYPE_CHECKING:
    from collections.abc import Callable


@dataclass(frozen=True)
class Toolbox:
    """What an inspection needs: dialects, sheets and checks from wherever they came, and what went wrong on the way."""

    settings: Settings
    plugins: Plugins = field(repr=False)
    checks: tuple[OwnedCheck, ...]
    left_out: tuple[OwnedCheck, ...]
    dialects: tuple[Dialect, ...]
    sheets: tuple[BuildSheet, ...]
    dialect_errors: tuple[PropsoffError, ...] = ()
    sheet_errors: tuple[ConfigError, ...] = ()
    notes: tuple[str, ...] = ()

    @cached_property
    def _runner(self) -> CheckRunner:
        """One for all inspections: it remembers the checks that hang."""
        return CheckRunner(deadline_s=self.settings.checks.deadline_s)

    @property
    def infos(self) -> Sequence[PluginInfo]:
        """The plug-ins that were found."""
        return self.plugins.infos

    @property
    def failures(self) -> Sequence[PluginError]:
        """The plug-ins that failed, and how."""
        return self.plugins.failures

    def inspect(self, capture: Capture, *, file: str | None = None, clock: Callable[[], float] = time.time) -> Report:
        """The report of one conversation; `file` is the name of the capture's file, `clock` gives Unix time in seconds.

        Never raises: a fault of propsoff itself is an `error` finding of a report that has the conversation at least.
        """
        loaded = [info for info in self.infos if info.problem is None]

        def report(dialects: Sequence[Dialect], checks: Sequence[OwnedCheck], notes: Sequence[Finding]) -> Report:
            return inspect_capture(
                capture,
                dialects=dialects,
                sheets=self.sheets,
                checks=[owned.check for owned in checks],
                clock=clock,
                file=file,
                plugins=[PluginUsed(name=info.name, version=info.version) for info in loaded],
                sheet_errors=self.sheet_errors,
                notes=notes,
                left_out=[owned.check for owned in self.left_out],
                runner=self._runner,
            )

        try:
            return report(self.dialects, self.checks, self._plugin_findings())
        except Exception as error:  # noqa: BLE001  a fault of ours must not lose the report, and is named in it
            return report((), (), [_own_fault(error), *self._plugin_findings()])

    def _plugin_findings(self) -> list[Finding]:
        """A plug-in that failed takes its checks with it: that must not look like a pass."""
        return [
            Finding(
                check="plug-in",
                outcome=Outcome.ERROR,
                summary=str(failure)[:400],
                why="Checks that it brings did not run, so this craft was not fully inspected.",
                sources=(),
            )
            for failure in self.failures
        ]


def _own_fault(error: Exception) -> Finding:
    where = traceback.extract_tb(error.__traceback__)[-1]
    what = f"{type(error).__name__}: {error} ({Path(where.filename).name}, line {where.lineno})"
    return Finding(
        check="propsoff",
        outcome=Outcome.ERROR,
        summary=f"a fault in propsoff itself while this conversation was read: {' '.join(what.split())}"[:400],
        why="Nothing was examined. The conversation is kept, and can be inspected again by a mended propsoff.",
        remedy=Remedy(steps=("Report this fault with the capture.",)),
    )


def toolbox(settings: Settings | None = None, *, plugins: Plugins | None = None) -> Toolbox:
    """Gather plug-ins, checks, dialects and sheets. Blocks for some tenths of a second.

    Raises SettingsError for settings that are wrong or skip a check that does not exist; every other fault is in it.
    """
    from propsoff.settings_sources import load_settings

    settings = settings or load_settings().settings
    plugins = plugins or build_plugins(third_party=settings.plugins.third_party)
    checks = gather_checks(plugins)
    _refuse_unknown_skips(settings, checks)
    user = platformdirs.user_config_path("propsoff")
    dialects = dialect_catalogue(
        plugins=[path for _, path in gather_paths(plugins, "propsoff_dialects")],
        user=[user / "dialects", *settings.checks.dialects],
    )
    sheets = sheet_catalogue(
        plugins=[path for _, path in gather_paths(plugins, "propsoff_sheets")],
        user=[user / "sheets", *settings.checks.sheets],
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
    )


def _refuse_unknown_skips(settings: Settings, checks: Sequence[OwnedCheck]) -> None:
    from propsoff.exceptions import SettingsError
    from propsoff.tomlfile import nearest

    known = [owned.check.id for owned in checks]
    for skipped in settings.checks.skip:
        if skipped not in known:
            like = nearest(skipped, known)
            hint = f"did you mean {like}?" if like else "see `propsoff checks`"
            raise SettingsError(f"there is no check {skipped!r}", key="checks.skip", hint=hint)


def inspect_file(path: str | Path, *, tools: Toolbox | None = None) -> Report:
    """Inspect a saved capture (`.cast`, or text pasted from a terminal).

    Raises CaptureError when the file cannot be read. `tools` is gathered afresh when None: keep one for many files.
    """
    file = Path(path)
    return (tools or toolbox()).inspect(load_capture(file), file=file.name)


def inspect_port(device: str, *, tools: Toolbox | None = None) -> Report:
    """Inspect the board on a device path or pyserial URL, once. Naming it is the consent to open it.

    A port that cannot be opened gives an `incomplete` report that says why. Raises PortDeniedError for a port that the
    operator denied or that is a bootloader. Must not be called from a running event loop.
    """
    import asyncio

    from propsoff.bench.once import inspect_ports

    return asyncio.run(inspect_ports([device], tools or toolbox()))[0].report

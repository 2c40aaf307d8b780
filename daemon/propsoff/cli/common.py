"""What several commands share: settings from options, standard consoles, exit codes of reports."""

from __future__ import annotations

import stat
import sys
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from propsoff.cli.main import EXIT_BUG, EXIT_FAILED, EXIT_UNKNOWN
from propsoff.exceptions import SettingsError, TargetError

if TYPE_CHECKING:
    from rich.console import Console

    from propsoff.inspection.report import Report
    from propsoff.library import Toolbox
    from propsoff.settings_sources import Loaded


def loaded_settings(ctx: click.Context, **options: Any) -> Loaded:
    """The effective settings; `options` are `section__key=value` of this command, None where not given.

    Sets the log up as the settings say. Raises SettingsError.
    """
    from propsoff.logs import configure_logs
    from propsoff.settings_sources import load_settings

    nested: dict[str, dict[str, Any]] = {}
    for assignment in ctx.find_root().obj or ():
        key, equals, value = assignment.partition("=")
        section, dot, leaf = key.strip().partition(".")
        if not equals or not dot:
            raise SettingsError("is not of the form SECTION.KEY=VALUE", source="--set", key=assignment)
        nested.setdefault(section, {})[leaf] = _value(value)
    for key, value in options.items():
        if value is not None:
            section, _, leaf = key.partition("__")
            nested.setdefault(section, {})[leaf] = value
    loaded = load_settings(nested)
    configure_logs(loaded.settings.log.format, loaded.settings.log.level)
    return loaded


def _value(text: str) -> Any:
    """A value as propsoff.toml would have it (`2`, `true`, `["a", "b"]`), or the text itself."""
    import tomllib

    try:
        return tomllib.loads(f"value = {text}")["value"]
    except tomllib.TOMLDecodeError:
        return text


def gathered(loaded: Loaded, *, insisted: Sequence[Path] = ()) -> Toolbox:
    """The toolbox for these settings; what went wrong while it was gathered is said on standard error.

    Raises DialectError or SheetError for a file at the paths `insisted`, those that this command line names.
    """
    from propsoff.library import toolbox

    tools = toolbox(loaded.settings)
    for error in (*tools.dialect_errors, *tools.sheet_errors):
        source = getattr(error, "source", None)
        if source is not None and any(path in (Path(source), *Path(source).parents) for path in insisted):
            raise error
    for problem in (*tools.failures, *tools.dialect_errors, *tools.sheet_errors):
        complain(str(problem))
    return tools


def must_be_folder(
    folder: Path | None,
    *,
    absent: str = "no such folder to watch; make it first, or name another",
    other: str = "is not a folder; name the folder that the links are laid in",
) -> None:
    """Raises TargetError, in these words, when a folder that is named (not None) is absent or something else."""
    if folder is None:
        return
    try:
        mode = folder.stat().st_mode
    except (FileNotFoundError, NotADirectoryError):
        raise TargetError(f"{folder}: {absent}") from None
    except OSError as error:
        raise TargetError(f"{folder}: {error.strerror}") from None
    if not stat.S_ISDIR(mode):
        raise TargetError(f"{folder}: {other}")


def must_be_new(file: Path | None) -> None:
    """Raises TargetError when a file that is to be written (not None) is there already, or cannot be."""
    if file is None:
        return
    try:
        file.lstat()
    except (FileNotFoundError, NotADirectoryError):
        return
    except OSError as error:
        raise TargetError(f"{file}: {error.strerror}") from None
    raise TargetError(f"{file}: is there already; name another file, or take it away")


def make_output_folder(folder: Path) -> None:
    """Make the folder of reports. Raises TargetError when it cannot be made or nothing can be written in it."""
    import tempfile

    try:
        folder.mkdir(parents=True, exist_ok=True)
        tempfile.TemporaryFile(dir=folder).close()
    except OSError as error:
        why = error.strerror or error
        raise TargetError(f"{folder}: reports cannot be written there: {why}; name another folder with --out") from None


def user_place(path: Path) -> str:
    """A file or folder of the user's own, and whether it is there."""
    try:
        path.stat()
    except (FileNotFoundError, NotADirectoryError):
        return f"{path} (not there)"
    except OSError as error:
        return f"{path} ({error.strerror})"
    return f"{path} (there)"


def many(number: int, thing: str) -> str:
    """`1 report`, `2 reports`."""
    return f"{number} {thing}{'' if number == 1 else 's'}"


def complain(text: str) -> None:
    """One line on standard error, harmless to a terminal; where nobody reads it (any more) the command goes on."""
    from propsoff.outputs.escape import visible

    note(f"propsoff: {visible(text)}")


def note(text: str) -> None:
    """One line on standard error as it is; where nobody reads it (any more) the command goes on."""
    try:
        click.echo(text, err=True)
    except BrokenPipeError:
        from propsoff.outputs.nowhere import lead_nowhere

        lead_nowhere(sys.stderr)


def screen() -> Console:
    """The console on standard output."""
    from propsoff.outputs.terminal import console_for

    return console_for(sys.stdout)


def exit_code(reports: Iterable[Report], *, strict: bool = False) -> int:
    """0 pass or warn (`strict`: pass only), 1 a check failed, 4 a check broke, 3 incomplete or unknown.

    Of several reports the first of these that there is: fail, error, incomplete or unknown, pass or warn.
    """
    return exit_code_of((report.verdict.value for report in reports), strict=strict)


def exit_code_of(verdicts: Iterable[str], *, strict: bool = False) -> int:
    """As `exit_code`, of verdict words."""
    seen = set(verdicts)
    if "fail" in seen or (strict and "warn" in seen):
        return EXIT_FAILED
    if "error" in seen:
        return EXIT_BUG
    return EXIT_UNKNOWN if seen & {"incomplete", "unknown"} or not seen else 0

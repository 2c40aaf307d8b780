"""`propsoff sheet`: check, draft and show build sheets."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from propsoff.cli.common import complain, gathered, loaded_settings, must_be_new
from propsoff.cli.main import EXIT_UNKNOWN, EXIT_USAGE
from propsoff.cli.targets import conversation_of
from propsoff.exceptions import SheetError, TargetError

if TYPE_CHECKING:
    from propsoff.library import Toolbox
    from propsoff.sheets.catalogue import Catalogue
    from propsoff.sheets.model import BuildSheet


@click.group()
def command() -> None:
    """Check, draft and show build sheets: what a craft should be. `propsoff sheets` lists them."""


@command.command()
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path), metavar="FILE...")
@click.pass_context
def check(ctx: click.Context, files: tuple[Path, ...]) -> int:
    """Check each FILE, or each sheet in a folder: a line `ok`, or file, line, key, what is wrong and what to do.

    A sheet may extend any sheet that propsoff knows and those named here. Exit codes: 0 all are right; 2 not all.
    """
    from propsoff.outputs.escape import visible

    tools = gathered(loaded_settings(ctx))
    found = _catalogue(tools, files)
    wrong = 0
    for file in _each(files):
        sheet, errors = _result(file, found)
        errors = [*errors, *(_names_of_no_check(sheet, tools) if sheet else ())]
        wrong += len(errors)
        for error in errors:
            click.echo(visible(_told(error)))
        if sheet is not None and not errors:
            built = f", built on {', '.join(sheet.extends)}" if sheet.extends else ""
            click.echo(visible(f"ok  {file}: {sheet.name}{built}"))
    return EXIT_USAGE if wrong else 0


@command.command()
@click.argument("target", metavar="CAPTURE|PORT")
@click.option("--out", type=click.Path(path_type=Path, dir_okay=False), help="Write it there; an existing file stays.")
@click.pass_context
def draft(ctx: click.Context, target: str, out: Path | None) -> int:
    """Write a commented sheet from a craft that is right: a saved capture, or the board on a port.

    Naming a port is the consent to open it. Propellers off first.
    """
    from propsoff.inspection.drafting import drafted

    must_be_new(out)
    tools = gathered(loaded_settings(ctx))
    checks = [owned.check for owned in tools.checks]
    capture = conversation_of(target, tools)
    made = drafted(capture, dialects=tools.dialects, checks=checks, source=target)
    if out is None:
        click.echo(made.text, nl=False)
    else:
        _write(out, made.text)
        click.echo(f"written: {out}; look at every value, then: propsoff sheet check {out}", err=True)
    if not made.report.complete:
        complain(f"the conversation did not reach its end ({made.report.ended}): what is not in the sheet was not read")
        return EXIT_UNKNOWN
    for finding in made.report.findings:
        if finding.outcome not in ("pass", "skipped"):
            complain(f"this craft is not right against its own sheet: {finding.name}: {finding.summary}")
    return 0


@command.command()
@click.argument("name")
@click.option(
    "--sheet", "sheets", multiple=True, type=click.Path(path_type=Path), help="A further build sheet, or a folder."
)
@click.pass_context
def show(ctx: click.Context, name: str, sheets: tuple[Path, ...]) -> int:
    """Print the sheet NAME with everything that it is built on taken in, and beside each key where it comes from."""
    from propsoff.sheets.form import near
    from propsoff.sheets.show import shown
    from propsoff.sheets.written import key_of

    shelf = _catalogue(gathered(loaded_settings(ctx)), sheets).shelf
    written = shelf.sheets.get(key_of(name))
    if written is None:
        if key_of(name) in shelf.unusable:
            raise shelf.unusable[key_of(name)].errors[0]
        known = [one.name for one in shelf.sheets.values()]
        raise SheetError(f"there is no build sheet {name!r}", hint=near(name, known))
    _, errors = shelf.sheet(written)
    if errors:
        raise errors[0]
    click.echo(shown(*shelf.whole(written)), nl=False)
    return 0


def _catalogue(tools: Toolbox, more: Sequence[Path]) -> Catalogue:
    """All sheets that propsoff knows, and those named on this command line."""
    from propsoff.library import user_folder
    from propsoff.plugins import gather_paths
    from propsoff.sheets.catalogue import catalogue

    return catalogue(
        plugins=[path for _, path in gather_paths(tools.plugins, "propsoff_sheets")],
        user=[user_folder() / "sheets"],
        named=[*more, *tools.settings.checks.sheets],
    )


def _each(paths: Sequence[Path]) -> Iterator[Path]:
    """The files that are named, and those in folders that are."""
    from propsoff.sheets.catalogue import files_at

    for path in paths:
        try:
            yield from files_at(path)
        except OSError:
            yield path


def _result(file: Path, found: Catalogue) -> tuple[BuildSheet | None, list[SheetError]]:
    """The sheet of a file, or what is wrong with it, or with what it is built on."""
    here = os.path.realpath(file)  # Path.resolve raises on a link that leads to itself
    for written in found.shelf.sheets.values():
        if not written.built_in and os.path.realpath(written.source) == here:
            return found.shelf.sheet(written)
    errors = [error for error in found.errors if error.source and os.path.realpath(error.source) == here]
    return None, errors or [SheetError("takes no part: another sheet of its name does", source=file)]


def _names_of_no_check(sheet: BuildSheet, tools: Toolbox) -> Iterator[SheetError]:
    """Names of checks that there are not: a waiver of one would never hold, and nobody would notice."""
    from propsoff.sheets.form import near

    known = [owned.check.id for owned in (*tools.checks, *tools.left_out)]
    named = [("checks.only", name) for name in sheet.only or ()]
    named += [(f"checks.skip.{name}", name) for name in sheet.skip]
    named += [(f"waivers.{one.finding}", one.finding.partition("/")[0]) for one in sheet.waivers]
    for key, name in named:
        if name not in known:
            place, _, line = sheet.origins.get(key, sheet.source).rpartition(":")
            at = (place, int(line)) if line.isdigit() else (sheet.source, None)
            problem = f"there is no check {name!r} among those that are loaded"
            yield SheetError(problem, source=at[0], line=at[1], key=key, hint=near(name, known))


def _told(error: SheetError) -> str:
    """`FILE:LINE: KEY: what is wrong (what to do)`."""
    parts = [f"{error.source}:{error.line}" if error.line else str(error.source)]
    parts += [error.key] if error.key else []
    hint = f" ({error.hint})" if error.hint else ""
    return f"{': '.join([*parts, error.problem])}{hint}"


def _write(file: Path, text: str) -> None:
    from propsoff.safe_write import replace_file

    try:
        replace_file(file, text.encode("utf-8"))
    except OSError as error:
        raise TargetError(f"{file}: cannot be written: {error.strerror or error}") from None

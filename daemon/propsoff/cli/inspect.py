"""`propsoff inspect`: one shot over ports, URLs and saved captures."""

from __future__ import annotations

import json
import stat
from pathlib import Path
from typing import TYPE_CHECKING

import click

from propsoff.cli.common import complain, exit_code, gathered, loaded_settings, screen
from propsoff.exceptions import TargetError

if TYPE_CHECKING:
    from propsoff.bench.visit import Visited
    from propsoff.console.capture import Capture
    from propsoff.inspection.report import Report
    from propsoff.library import Toolbox


@click.command()
@click.argument("targets", nargs=-1, required=True, metavar="TARGET...")
@click.option(
    "--json", "as_json", is_flag=True, help="Print the report as JSON and nothing else (several: a JSON array)."
)
@click.option("--out", type=click.Path(file_okay=False, path_type=Path), help="Folder for the report and the capture.")
@click.option(
    "--sheet", "sheets", multiple=True, type=click.Path(path_type=Path), help="A further build sheet, or a folder."
)
@click.option("--dialect", "dialects", multiple=True, type=click.Path(path_type=Path), help="A further dialect file.")
@click.option("--listen", type=float, metavar="S", help="Seconds of listening before the first byte is sent.")
@click.option("--strict", is_flag=True, help="A warning counts as a failure.")
@click.pass_context
def command(
    ctx: click.Context,
    targets: tuple[str, ...],
    as_json: bool,
    out: Path | None,
    sheets: tuple[Path, ...],
    dialects: tuple[Path, ...],
    listen: float | None,
    strict: bool,
) -> int:
    """Inspect each TARGET once: a device path, a pyserial URL (socket://, rfc2217://), a saved capture (.cast, .txt).

    Naming a port is the consent to open it. Propellers off first.
    """
    loaded = loaded_settings(
        ctx,
        timings__listen_s=listen,
        output__folder=out,
        checks__sheets=sheets or None,
        checks__dialects=dialects or None,
    )
    kinds = [_kind(target) for target in targets]
    tools = gathered(loaded)
    reports = _inspected(targets, kinds, tools, keep_all=out is not None)
    if as_json:
        _print_json(reports)
    else:
        from propsoff.outputs.terminal import show_report

        for report, _ in reports:
            show_report(report, screen())
        for _, path in reports:
            if path is not None:
                click.echo(f"report: {path}", err=True)
    return exit_code((report for report, _ in reports), strict=strict)


def _kind(target: str) -> str:
    """`port` or `capture`. Raises TargetError when it is neither."""
    if "://" in target:
        return "port"
    path = Path(target)
    try:
        mode = path.stat().st_mode
    except FileNotFoundError:
        raise TargetError(f"{target}: there is no such port or file; see what is attached: propsoff ports") from None
    except OSError as error:
        raise TargetError(f"{target}: {error.strerror}") from None
    if stat.S_ISCHR(mode):
        return "port"
    if stat.S_ISREG(mode):
        return "capture"
    hint = f"; for a folder of captures: propsoff batch {target} --out FOLDER" if stat.S_ISDIR(mode) else ""
    raise TargetError(f"{target}: neither a port nor a capture{hint}")


def _inspected(
    targets: tuple[str, ...], kinds: list[str], tools: Toolbox, *, keep_all: bool
) -> list[tuple[Report, Path | None]]:
    """(report, where it was written) in the order of the targets."""
    import asyncio

    from propsoff.bench.once import inspect_ports

    devices = [target for target, kind in zip(targets, kinds, strict=True) if kind == "port"]
    visits: list[Visited] = asyncio.run(inspect_ports(devices, tools)) if devices else []
    live = iter(visits)
    found: list[tuple[Report, Path | None]] = []
    for target, kind in zip(targets, kinds, strict=True):
        if kind == "port":
            visited = next(live)
            found.append((visited.report, _kept(tools, visited.report, visited.capture)))
        else:
            found.append(_from_file(Path(target), tools, keep=keep_all))
    return found


def _from_file(path: Path, tools: Toolbox, *, keep: bool) -> tuple[Report, Path | None]:
    """A capture that cannot be read gives an incomplete report, like one that broke off."""
    from propsoff.bench.batch import readable

    report = tools.inspect(readable(path), file=path.name)
    return report, _kept(tools, report, None) if keep else None


def _kept(tools: Toolbox, report: Report, capture: Capture | None) -> Path | None:
    """Where report and capture were written; a folder that cannot be written is said, and the report still shown.

    A capture that was read from a file stays where it is.
    """
    from propsoff.outputs.files import ReportFiles

    output = tools.settings.output
    files = ReportFiles(output.folder, sync=output.sync)
    try:
        return files.keep(report, capture) if capture is not None else files.write_report(report)
    except OSError as error:
        complain(f"the report could not be written into {output.folder}: {error.strerror or error}")
        return None


def _print_json(reports: list[tuple[Report, Path | None]]) -> None:
    if len(reports) == 1:
        click.echo(reports[0][0].to_json(), nl=False)
    else:
        click.echo(json.dumps([json.loads(report.to_json()) for report, _ in reports], indent=2))

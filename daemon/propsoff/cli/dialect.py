"""`propsoff dialect`: check a dialect file, and see line by line what it reads of a capture."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from propsoff.cli.common import complain
from propsoff.cli.main import EXIT_FAILED, EXIT_UNKNOWN
from propsoff.cli.writing import print_json

if TYPE_CHECKING:
    from propsoff.dialects.coverage import Coverage, LineRead

_MARKS = {"fact": "+", "problem": "!", "unread": "?", "quiet": " "}


@click.group()
def command() -> None:
    """Check a dialect file. `propsoff dialects` lists those that are known; `propsoff learn` drafts one."""


@command.command()
@click.argument("file", type=click.Path(path_type=Path), metavar="FILE")
@click.option("--capture", type=click.Path(path_type=Path), help="A saved conversation: what does FILE read of it?")
@click.option("--least", type=click.IntRange(0, 100), default=0, metavar="PERCENT", help="Fail below this coverage.")
@click.option("--all", "show_all", is_flag=True, help="Show the quiet lines, too.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def check(file: Path, capture: Path | None, least: int, show_all: bool, as_json: bool) -> int:
    """Check FILE: `ok`, or file, line, key and what is wrong. With --capture, what became of each line.

    `+` became facts, `!` could not be taken, `?` nothing understood. Coverage is the share of `+`. Exit codes: 0 it is
    right; 1 lines could not be taken, or coverage is below --least; 2 FILE is wrong; 3 the capture answers none of its
    commands.
    """
    from propsoff.dialects.load import load_dialect
    from propsoff.outputs.escape import visible

    dialect = load_dialect(file)
    if capture is None:
        click.echo(visible(f"ok  {file}: {dialect.id}, {dialect.title}"))
        return 0
    from propsoff.console.capture import load_capture
    from propsoff.dialects.coverage import coverage_of

    found = coverage_of(load_capture(capture), dialect)
    if as_json:
        print_json(json.dumps(_as_json(found), indent=2))
    else:
        _print(found, show_all=show_all)
    for missing in found.missing:
        complain(f"no answer to {missing!r} stands in {capture}")
    if not found.replies:
        return EXIT_UNKNOWN
    wrong = any(line.state == "problem" for line in found.lines) or bool(_lost(found))
    return EXIT_FAILED if wrong or 100 * found.share < least else 0


def _lost(found: Coverage) -> list[str]:
    """Problems that no line is to blame for."""
    return [problem.message for problem in found.craft.problems if problem.line is None]


def _print(found: Coverage, *, show_all: bool) -> None:
    from propsoff.outputs.escape import visible

    width = len(str(len(found.lines)))
    for line in found.lines:
        if show_all or line.state != "quiet":
            click.echo(visible(f"{line.number:>{width}} {_MARKS[line.state]} {line.text}"))
            if told := _told(line):
                click.echo(visible(f"{'':>{width}}     {told}"))
    for problem in _lost(found):
        click.echo(visible(f"! {problem}"))
    if found.unread_facts:
        click.echo(f"not read: {', '.join(found.unread_facts)}")
    counts = {state: sum(line.state == state for line in found.lines) for state in _MARKS}
    click.echo(
        f"coverage {100 * found.share:.0f} %: {counts['fact']} lines became {len(found.craft.facts())} facts, "
        f"{counts['problem']} could not be taken, nothing understood {counts['unread']}"
    )


def _told(line: LineRead) -> str:
    return line.problem if line.state == "problem" else ", ".join(line.facts)


def _as_json(found: Coverage) -> dict[str, object]:
    return {
        "coverage": round(found.share, 4),
        "lines": [
            {"line": line.number, "text": line.text, "state": line.state, "facts": line.facts, "problem": line.problem}
            for line in found.lines
        ],
        "unread_facts": found.unread_facts,
        "answered": found.replies,
        "not_answered": found.missing,
        "problems": _lost(found),
    }

"""`propsoff inspect`: one shot over ports, URLs and saved captures."""

from __future__ import annotations

import contextlib
import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from propsoff.cli.common import complain, exit_code_of, gathered, loaded_settings, note
from propsoff.cli.keeping import enabled, into_history, place_among_visits
from propsoff.cli.keeping import no_history as no_history_option
from propsoff.cli.main import EXIT_STOPPED, EXIT_USAGE
from propsoff.cli.targets import kind_of
from propsoff.cli.writing import Writing, document_options, print_json
from propsoff.exceptions import PropsoffError

if TYPE_CHECKING:
    from rich.console import Console

    from propsoff.bench.visit import Visited
    from propsoff.cli.beside import Beside
    from propsoff.cli.hand import HandSource
    from propsoff.console.capture import Capture
    from propsoff.inspection.report import Report
    from propsoff.library import Toolbox
    from propsoff.settings import Settings


@click.command()
@click.argument("targets", nargs=-1, required=True, metavar="TARGET...")
@click.option(
    "--json", "as_json", is_flag=True, help="Print the report as JSON and nothing else (several: a JSON array)."
)
@click.option("--out", type=click.Path(path_type=Path), help="Folder for the report and the capture.")
@click.option(
    "--sheet", "sheets", multiple=True, type=click.Path(path_type=Path), help="A further build sheet, or a folder."
)
@click.option("--dialect", "dialects", multiple=True, type=click.Path(path_type=Path), help="A further dialect file.")
@click.option(
    "--notes", type=click.Path(path_type=Path), help="Hand notes, in place of NAME.notes.toml beside NAME.cast."
)
@click.option("--ask", is_flag=True, help="Ask the sheet's questions on this terminal, and keep the answers.")
@click.option("--listen", type=float, metavar="S", help="Seconds of listening before the first byte is sent.")
@click.option("--strict", is_flag=True, help="A warning counts as a failure.")
@document_options
@no_history_option
@click.pass_context
def command(
    ctx: click.Context,
    targets: tuple[str, ...],
    as_json: bool,
    out: Path | None,
    sheets: tuple[Path, ...],
    dialects: tuple[Path, ...],
    notes: Path | None,
    ask: bool,
    listen: float | None,
    strict: bool,
    no_history: bool,
) -> int:
    """Inspect each TARGET once: a device path, a pyserial URL (socket://, rfc2217://), a saved capture (.cast, .txt).

    Naming a port is the consent to open it. Propellers off first. A port that a running `propsoff watch` of the same
    user watches is inspected by that bench, and its report is given here; with --dialect or --listen it is opened here.
    """
    from propsoff.cli.hand import HandSource

    loaded = loaded_settings(
        ctx,
        timings__listen_s=listen,
        output__folder=out,
        checks__sheets=sheets or None,
        checks__dialects=dialects or None,
        store__enabled=enabled(no_history),
    )
    kinds = [kind_of(target) for target in targets]
    tools = gathered(loaded, insisted=(*sheets, *dialects))
    captures = [Path(target) for target, kind in zip(targets, kinds, strict=True) if kind == "capture"]
    read = [*captures, *sheets, *dialects, *([notes] if notes else [])]
    writing = Writing.of(ctx, tools, several=len(targets) > 1, inputs=read, as_json=as_json)
    hand = HandSource.of(tools, notes, captures, ask=ask)
    favoured = [dialect.id for dialect in tools.dialects if Path(dialect.file) in dialects]
    opened_here = "--dialect" if dialects else "--listen" if listen is not None else ""
    inspecting = _Inspecting(hand, keep_all=out is not None, favoured=favoured, opened_here=opened_here)
    done = inspecting.run(targets, kinds)
    entered = into_history(loaded.settings, [(each.report, each.capture) for each in done], tools.rules_of)
    if as_json:
        _print_json([each.report for each in done])
    else:
        _show(done, writing.screen())
    written = _written(writing, done, loaded.settings, strict=strict)
    if inspecting.stopped or any(each.stopped for each in done):
        return EXIT_STOPPED
    verdicts = [each.report.verdict.value for each in done] + ["incomplete"] * inspecting.lost
    code = exit_code_of(verdicts, strict=strict)
    return code or (EXIT_USAGE if not (entered and written) or any(each.unwritten for each in done) else 0)


@dataclass(frozen=True)
class _Done:
    """One target's report. `file`: the capture it was read from; `kept`: where it was written, None: nowhere.

    `unwritten`: it, or a person's answers, should have been written and could not; `stopped`: somebody ended the
    conversation, or the questions. `capture` are the octets that the report was read from, where they can be had.
    """

    target: str
    report: Report
    file: str | None = None
    kept: Path | None = None
    unwritten: bool = False
    stopped: bool = False
    capture: bytes | None = None

    def conversation(self) -> Capture | None:
        """The capture that the report was read from, None where it cannot be had."""
        from propsoff.bench.batch import readable
        from propsoff.console.capture import parse_cast

        if self.file is not None:
            return readable(Path(self.file))
        return None if self.capture is None else parse_cast(self.capture, self.report.id)


def _show(done: Sequence[_Done], console: Console) -> None:
    from propsoff.outputs.terminal import show_report

    for each in done:
        show_report(each.report, console, file=each.file)
    for each in done:
        if each.kept is not None:
            note(f"report: {each.kept}")


def _written(writing: Writing, done: Sequence[_Done], settings: Settings, *, strict: bool) -> bool:
    """Write the documents that were asked for; False when one could not be."""
    from propsoff.outputs.document import Told
    from propsoff.outputs.files import file_name_only

    kept = {path.resolve() for each in done if each.kept for path in (each.kept, each.kept.with_suffix(".cast"))}
    named = []
    for number, each in enumerate(done, start=1):
        stem = Path(file_name_only(each.report.capture.file or each.report.id)).stem
        # Two captures of one name may come from two folders; the number keeps their pages apart.
        before, after = place_among_visits(settings, each.report.id) if writing.any else (None, None)
        told = Told(each.target, each.report, load=each.conversation, replaces=before, replaced_by=after)
        named.append((f"{number:03}-{stem}", told))
    return writing.write(lambda: named, count=len(named), strict=strict, kept=kept.__contains__)


class _Inspecting:
    """The targets of one command line. `opened_here`: the option for which no bench is asked.

    `lost` counts the targets whose bench gave no report, `stopped` tells that somebody did not wait for one.
    """

    def __init__(self, hand: HandSource, *, keep_all: bool, favoured: Sequence[str], opened_here: str) -> None:
        self._hand, self._keep_all, self._favoured, self._opened_here = hand, keep_all, favoured, opened_here
        self.lost = 0
        self.stopped = False

    def run(self, targets: Sequence[str], kinds: Sequence[str]) -> list[_Done]:
        """What came of each, in the order of the targets.

        Raises BenchError when a bench that was asked for the only target gave no report.
        """
        import asyncio

        from propsoff.bench.once import inspect_ports
        from propsoff.cli.beside import Beside

        devices = [target for target, kind in zip(targets, kinds, strict=True) if kind == "port"]
        with Beside.of(self._hand.tools.settings) if devices else Beside() as beside:
            beside.begin(devices, self._opened_here)
            own = [device for device in devices if device not in beside]
            visits = asyncio.run(inspect_ports(own, self._hand.tools, self._favoured)) if own else []
            live = iter(visits)
            done: list[_Done] = []
            for target, kind in zip(targets, kinds, strict=True):
                if kind == "capture":
                    each = _from_file(Path(target), self._hand, keep=self._keep_all)
                elif target not in beside:
                    each = _from_port(target, next(live), self._hand)
                elif (visited := self._from_bench(beside, target, alone=len(targets) == 1)) is not None:
                    each = _from_port(target, visited, self._hand)
                else:
                    continue
                done.append(each)
                if each.stopped:
                    self._hand = self._hand.without_asking()
            return done

    def _from_bench(self, beside: Beside, device: str, *, alone: bool) -> Visited | None:
        """The visit that a bench made; None where there is none to be had, which is said."""
        from propsoff.bench.visit import Visited

        if self.stopped:
            return None
        try:
            report, capture = beside.visited(device, self._hand.tools)
        except KeyboardInterrupt:
            complain(f"{device}: the bench goes on; its report comes there")
            self.stopped = True
            return None
        except PropsoffError as error:
            if alone:
                raise
            complain(str(error))
            self.lost += 1
            return None
        return Visited(report, capture, report.dialect.id if report.dialect else None)


def _from_port(target: str, visited: Visited, hand: HandSource) -> _Done:
    """The report of a visit; inspected once more when a person has said something."""
    from propsoff.cli.beside import kept_by_bench
    from propsoff.cli.hand import Said
    from propsoff.outputs.files import file_name_only

    report, said = visited.report, Said()
    if visited.examined and not visited.stopped and report.dialect is not None:
        if hand.ask:
            _evidence_kept(hand.tools, report, visited.capture)
        said = hand.about_port(visited.capture, Path(file_name_only(report.capture.file or report.id)).stem)
        if said.hand is not None:
            report = hand.tools.inspect(visited.capture, file=report.capture.file, hand=said.hand)
    kept = kept_by_bench(report, hand.tools.settings.output.folder) or _kept(hand.tools, report, visited.capture)
    unwritten = kept is None or said.unwritten
    stopped = visited.stopped or said.stopped
    return _Done(target, report, kept=kept, unwritten=unwritten, stopped=stopped, capture=visited.capture.to_bytes())


def _evidence_kept(tools: Toolbox, report: Report, capture: Capture) -> None:
    """The conversation must not be lost while a person thinks."""
    from propsoff.outputs.files import file_name_only
    from propsoff.safe_write import replace_file

    output = tools.settings.output
    with contextlib.suppress(OSError):  # `_kept` tries again, and says so
        name = file_name_only(report.capture.file or f"{report.id}.cast")
        replace_file(output.folder / name, capture.to_bytes(), sync=output.sync)


def _from_file(path: Path, hand: HandSource, *, keep: bool) -> _Done:
    """A capture that cannot be read gives an incomplete report, like one that broke off."""
    from propsoff.bench.batch import octets_of, readable

    capture = readable(path)
    said = hand.about_file(path, capture)
    report = hand.tools.inspect(capture, file=path.name, hand=said.hand)
    kept = _kept(hand.tools, report, None) if keep else None
    unwritten = (keep and kept is None) or said.unwritten
    return _Done(str(path), report, str(path), kept, unwritten=unwritten, stopped=said.stopped, capture=octets_of(path))


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


def _print_json(reports: Sequence[Report]) -> None:
    if len(reports) == 1:
        print_json(reports[0].to_json())
    else:
        print_json(json.dumps([json.loads(report.to_json()) for report in reports], indent=2))

"""`propsoff demo`: the whole product without hardware. Simulated boards, the real daemon."""

from __future__ import annotations

import asyncio
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from propsoff.cli.common import loaded_settings, make_output_folder, screen
from propsoff.cli.demo_scenario import BOX, OTHERS, Act, DemoPlugin
from propsoff.cli.keeping import enabled
from propsoff.cli.keeping import no_history as no_history_option
from propsoff.cli.main import EXIT_UNKNOWN

if TYPE_CHECKING:
    from propsoff.bench.events import Event
    from propsoff.inspection.report import Report
    from propsoff.library import Toolbox
    from propsoff_sim.board import BoardState

_WAIT_S = 20.0
_BENCH = "demo"
"""What the bench is called, so that its visits can be told from those of real ones."""
_PAUSE_S = 2.0
_PAGE_PORT = 8423
_PAGE_PAUSE_S = 3.2
"""How long a board stays after its report where somebody watches the page: to read what is on its tile."""
_SOCKETS = {"socket-1": "left", "socket-2": "middle", "socket-3": "right"}
_LISTEN_S = 0.2
_PAGE_LISTEN_S = 0.8
"""Listening that can be seen."""


@click.command()
@click.option("--once", is_flag=True, help="End after each board has been seen.")
@click.option("--out", type=click.Path(path_type=Path), help="Keep the reports and captures here.")
@click.option("--page", is_flag=True, help="Show the bench on the page, on this machine; the address is printed.")
@no_history_option
@click.pass_context
def command(ctx: click.Context, once: bool, out: Path | None, page: bool, no_history: bool) -> int:
    """Plug simulated boards, good and faulty, into a simulated bench; the daemon of a real bench inspects them."""
    with tempfile.TemporaryDirectory(prefix="propsoff-demo-") as scratch:
        return _demonstrate(ctx, Path(scratch), once=once, out=out, page=page, history=enabled(no_history))


def _demonstrate(
    ctx: click.Context, scratch: Path, *, once: bool, out: Path | None, page: bool, history: bool | None
) -> int:
    from propsoff.cli.served import free_port
    from propsoff.library import toolbox
    from propsoff.plugins import build_plugins

    sockets = scratch / "sockets"
    sockets.mkdir()
    loaded = loaded_settings(
        ctx,
        ports__source="none",
        ports__folder=sockets,
        bench__name=_BENCH,
        bench__places=_SOCKETS,
        page__enabled=page,
        page__port=free_port(_PAGE_PORT) if page else None,
        store__enabled=history,
        bench__state=scratch / "state",
        output__folder=out or scratch / "reports",
        timings__listen_s=_PAGE_LISTEN_S if page else _LISTEN_S,
        log__level="warning",
    )
    plugins = build_plugins(
        third_party=loaded.settings.plugins.third_party, extra=[("propsoff_demo", DemoPlugin(scratch))]
    )
    tools = toolbox(loaded.settings, plugins=plugins)
    click.echo("Simulated boards on a simulated bench. On a real one: propellers off first. Ctrl-C ends it.")
    if out is not None:
        make_output_folder(out)
    show = Show(tools, sockets, once=once, files=out is not None, page=page)
    lost = asyncio.run(show.run())
    _tell_the_end(show.reports, out, kept=loaded.settings.store.enabled)
    return EXIT_UNKNOWN if lost or show.missed else 0


def _tell_the_end(reports: Sequence[Report], out: Path | None, *, kept: bool) -> None:
    """What was seen, and where it is now."""
    verdicts = sorted({report.verdict.value for report in reports})
    seen = "1 board was" if len(reports) == 1 else f"{len(reports)} boards were"
    click.echo(f"{seen} seen; verdicts: {', '.join(verdicts) or 'none'}.")
    if out is not None:
        click.echo(f"Reports (.json) and conversations (.cast) are in {out}.")
    else:
        click.echo("With --out FOLDER the reports and conversations are kept as files.")
    if kept:
        click.echo(
            f"The visits are in history: propsoff history --bench {_BENCH} lists them; "
            f"propsoff prune --bench {_BENCH} --all --yes takes them out."
        )


class Show:
    """Plugs the boards in one after another while the bench runs; `reports` are those that came."""

    def __init__(self, tools: Toolbox, folder: Path, *, once: bool, files: bool, page: bool = False) -> None:
        from propsoff.cli.rows import Rows

        self._tools, self._folder, self._once, self._page = tools, folder, once, page
        self._console = screen()
        self._rows: Callable[[Event], None] = Rows(self._console, files=files)
        self._finished = asyncio.Event()
        self.reports: list[Report] = []
        self.missed = 0

    def _watch(self, event: Event) -> None:
        from propsoff.bench.events import Kept, NotKept, Reported

        self._rows(event)
        if isinstance(event, Reported):
            self.reports.append(event.report)
        elif isinstance(event, Kept | NotKept):
            self._finished.set()

    async def run(self) -> int:
        """Run bench and boards; the number of reports that were written nowhere."""
        import structlog

        from propsoff.bench.running import run_bench
        from propsoff.cli.served import leaving, served

        stopping, log, settings = asyncio.Event(), structlog.get_logger(), self._tools.settings
        serve = served(settings, log) if self._page else []
        leaves = leaving(settings, log)
        bench = asyncio.create_task(
            run_bench(self._tools, watcher=self._watch, log=log, stopping=stopping, serve=serve, leaving=leaves)
        )
        plugging = asyncio.create_task(self._plug_all(stopping))
        try:
            lost = await bench
        finally:
            plugging.cancel()
            [ended] = await asyncio.gather(plugging, return_exceptions=True)
        if isinstance(ended, Exception):  # no demonstration is not one that went well
            raise ended
        return lost

    async def _plug_all(self, stopping: asyncio.Event) -> None:
        from propsoff_sim.bench import SimBench

        try:
            async with SimBench(self._folder) as sockets:
                while True:
                    self._say("A box of three craft: one model, three video links.")
                    box = len(self.reports)
                    for number, act in enumerate(BOX):
                        await self._plug(sockets, act, seed=number)
                    self._compare(self.reports[box:])
                    self._say("Other craft, and what else is plugged into a bench.")
                    for number, act in enumerate(OTHERS, len(BOX)):
                        await self._plug(sockets, act, seed=number)
                    if self._once:
                        return
                    self.reports.clear()  # it may run for days
        finally:
            stopping.set()

    def _say(self, text: str) -> None:
        self._console.print(f"\n== {text}")

    def _compare(self, reports: list[Report]) -> None:
        """What the craft of the box have in common."""
        from propsoff.inspection.causes import root_causes
        from propsoff.outputs.shared_causes import Cause, shared_causes, show_shared

        seen = [
            (report.craft or "?", [Cause(one.name, one.summary) for one in root_causes(report.findings)])
            for report in reports
        ]
        self._console.print()
        show_shared(shared_causes(seen), self._console)

    async def _plug(self, sockets: object, act: Act, *, seed: int) -> None:
        from propsoff_sim.bench import SimBench
        from propsoff_sim.board import with_fact
        from propsoff_sim.catalogue import board, with_serial

        assert isinstance(sockets, SimBench)
        self._console.print(f"\n-- {act.name}: {act.shows}")
        self._finished.clear()
        link = f"socket-{1 + seed % 3}"
        what: str | BoardState = act.name
        if act.a_craft:
            state = board(act.name)
            state = with_serial(state, f"{state.serial[:-2]}{seed + 1:02}")  # each craft has a board of its own
            what = state if act.label is None else with_fact(state, "label", act.label)
        if link in sockets.plugged:
            sockets.unplug(link)
        sockets.plug(what, link, faults=act.faults, seed=seed)
        try:
            await asyncio.wait_for(self._finished.wait(), _WAIT_S)
        except TimeoutError:
            self.missed += 1
        if self._page:  # it stays until its socket is needed, so that craft can be seen side by side
            await asyncio.sleep(_PAGE_PAUSE_S)
            return
        if link in sockets.plugged:
            sockets.unplug(link)
        if not self._once:
            await asyncio.sleep(_PAUSE_S)

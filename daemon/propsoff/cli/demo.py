"""`propsoff demo`: the whole product without hardware. Simulated boards, the real daemon."""

from __future__ import annotations

import asyncio
import contextlib
import itertools
import tempfile
from collections.abc import AsyncIterator, Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from propsoff.cli.common import loaded_settings, make_output_folder, screen
from propsoff.cli.demo_scenario import ASKED, BOX, OTHERS, UNLISTED, Act, DemoPlugin
from propsoff.cli.keeping import enabled
from propsoff.cli.keeping import no_history as no_history_option
from propsoff.cli.main import EXIT_UNKNOWN
from propsoff.exceptions import SettingsError

if TYPE_CHECKING:
    from propsoff.bench.events import Event
    from propsoff.cli.demo_ports import Unlisted
    from propsoff.inspection.report import Report
    from propsoff.library import Toolbox
    from propsoff.settings_sources import Loaded
    from propsoff_sim.bench import SimBench
    from propsoff_sim.board import BoardState

_WAIT_S = 20.0
_BENCH = "demo"
"""What the bench is called, so that its visits can be told from those of real ones."""
_PAUSE_S = 2.0
_PAGE_PAUSE_S = 2.9
"""How long a board stays after its report where somebody watches the page: to read what is on its tile."""
_SOCKETS = {"socket-1": "left", "socket-2": "middle", "socket-3": "right", "socket-4": "asking"}
_TURNS = 3
"""So many of them are used in turn; the craft about which something is asked stays in the last one."""
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
    from propsoff.cli.demo_ports import Unlisted
    from propsoff.library import toolbox
    from propsoff.plugins import build_plugins

    sockets = scratch / "sockets"
    sockets.mkdir()
    loaded = _settings(
        ctx,
        page=page,
        ports__source="none",
        ports__folder=sockets,
        bench__name=_BENCH,
        bench__places=_SOCKETS,
        store__enabled=history,
        bench__state=scratch / "state",
        output__folder=out or scratch / "reports",
        timings__listen_s=_PAGE_LISTEN_S if page else _LISTEN_S,
        log__level="warning",
    )
    unlisted = Unlisted()
    plugins = build_plugins(
        third_party=loaded.settings.plugins.third_party, extra=[("propsoff_demo", DemoPlugin(scratch, unlisted))]
    )
    tools = toolbox(loaded.settings, plugins=plugins)
    click.echo("Simulated boards on a simulated bench. On a real one: propellers off first. Ctrl-C ends it.")
    if out is not None:
        make_output_folder(out)
    show = Show(tools, sockets, rounds=1 if once else None, files=out is not None, unlisted=unlisted if page else None)
    lost = asyncio.run(show.run())
    _tell_the_end(show.reports, out, kept=loaded.settings.store.enabled)
    return EXIT_UNKNOWN if lost or show.missed else 0


def _settings(ctx: click.Context, *, page: bool, **options: Any) -> Loaded:
    """The settings of the demonstration. A port that nobody chose gives way to one that is free, and that is said.

    Raises SettingsError for one that was chosen and is taken.
    """
    from propsoff.cli.served import is_free

    loaded = loaded_settings(ctx, page__enabled=page, **options)
    port, origin = loaded.settings.page.port, loaded.origins["page.port"]
    if not page or is_free(port):
        return loaded
    taken = f"port {port} is taken by another process"
    if origin != "built in":
        hint = "stop that process, or set another; 0 takes any that is free"
        raise SettingsError(taken, source=origin, key="page.port", hint=hint)
    click.echo(f"The page's own {taken}, so it gets one that is free; --set page.port=NUMBER chooses one.")
    return loaded_settings(ctx, page__enabled=page, page__port=0, **options)


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
    """Plugs the boards in one after another while the bench runs; `reports` are those that came.

    `rounds` is how often, None until somebody ends it. `unlisted` is the socket that waits for a person's word where
    the page is shown, None where it is not.
    """

    def __init__(
        self, tools: Toolbox, folder: Path, *, rounds: int | None, files: bool, unlisted: Unlisted | None = None
    ) -> None:
        from propsoff.cli.rows import Rows

        self._tools, self._folder, self._rounds, self._unlisted = tools, folder, rounds, unlisted
        self._console = screen()
        self._rows: Callable[[Event], None] = Rows(self._console, files=files)
        self._finished = asyncio.Event()
        self._awaited, self._newest = "", ""
        self.reports: list[Report] = []
        self.missed = 0

    def _watch(self, event: Event) -> None:
        from propsoff.bench.events import Kept, NotKept, Reported

        self._rows(event)
        if isinstance(event, Reported):
            self.reports.append(event.report)
            if Path(event.port.device).name == self._awaited:  # others may be read anew, where a person acts
                self._newest = event.report.id
        elif isinstance(event, Kept | NotKept) and event.report.id == self._newest:
            self._finished.set()

    async def run(self) -> int:
        """Run bench and boards; the number of reports that were written nowhere."""
        import structlog

        from propsoff.bench.running import run_bench
        from propsoff.cli.served import leaving, served

        stopping, log, settings = asyncio.Event(), structlog.get_logger(), self._tools.settings
        serve = served(settings, log) if self._unlisted else []
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
            async with (
                SimBench(self._folder) as sockets,
                SimBench(self._folder.parent / "unlisted") as apart,
            ):
                for number in itertools.count(1):
                    await self._round(sockets, apart)
                    if number == self._rounds:
                        return
                    if self._rounds is None:
                        self.reports.clear()  # it may run for days
        finally:
            stopping.set()

    async def _round(self, sockets: SimBench, apart: SimBench) -> None:
        self._say("A box of three craft: one model, three video links.")
        box = len(self.reports)
        for number, act in enumerate(BOX):
            await self._plug(sockets, act, seed=number)
        self._compare(self.reports[box:])
        if self._unlisted is None:
            await self._show_others(sockets)
            return
        async with self._asking(sockets, apart, self._unlisted):
            await self._show_others(sockets)

    async def _show_others(self, sockets: SimBench) -> None:
        self._say("Other craft, and what else is plugged into a bench.")
        for number, act in enumerate(OTHERS, len(BOX)):
            await self._plug(sockets, act, seed=number)

    @contextlib.asynccontextmanager
    async def _asking(self, sockets: SimBench, apart: SimBench, unlisted: Unlisted) -> AsyncIterator[None]:
        """Meanwhile what waits for a person is plugged in."""
        self._say("What waits for a person, on the page, while the others come and go.")
        link, seed = list(_SOCKETS)[_TURNS], len(BOX) + len(OTHERS)
        bridge = apart.plug(_board_of(UNLISTED, seed + 1), "bridge")
        self._console.print(f"\n-- {UNLISTED.name}: {UNLISTED.shows}")
        unlisted.plug(str(bridge.path), serial="DEMO-1")
        await self._plug(sockets, ASKED, seed=seed, link=link)
        yield
        unlisted.unplug()
        apart.unplug("bridge")
        sockets.unplug(link)

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

    async def _plug(self, sockets: SimBench, act: Act, *, seed: int, link: str = "") -> None:
        self._console.print(f"\n-- {act.name}: {act.shows}")
        self._finished.clear()
        self._awaited = link = link or list(_SOCKETS)[seed % _TURNS]
        if link in sockets.plugged:
            sockets.unplug(link)
        sockets.plug(_board_of(act, seed), link, faults=act.faults, seed=seed)
        try:
            await asyncio.wait_for(self._finished.wait(), _WAIT_S)
        except TimeoutError:
            self.missed += 1
        if self._unlisted:  # it stays until its socket is needed, so that craft can be seen side by side
            await asyncio.sleep(_PAGE_PAUSE_S)
            return
        if link in sockets.plugged:
            sockets.unplug(link)
        if self._rounds is None:
            await asyncio.sleep(_PAUSE_S)


def _board_of(act: Act, seed: int) -> str | BoardState:
    """What is plugged in: each craft has a board of its own."""
    from propsoff_sim.board import with_fact, with_facts
    from propsoff_sim.catalogue import board, with_serial

    if not act.a_craft:
        return act.name
    state = with_facts(board(act.name), act.facts)
    state = with_serial(state, f"{state.serial[:-2]}{seed + 1:02}")
    return state if act.label is None else with_fact(state, "label", act.label)

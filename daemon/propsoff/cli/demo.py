"""`propsoff demo`: the whole product without hardware. Simulated boards, the real daemon."""

from __future__ import annotations

import asyncio
import tempfile
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from propsoff.cli.common import loaded_settings, screen
from propsoff.cli.main import EXIT_UNKNOWN
from propsoff.hookspecs import hookimpl

if TYPE_CHECKING:
    from propsoff.bench.events import Event
    from propsoff.inspection.case import Case
    from propsoff.inspection.check import Check
    from propsoff.inspection.finding import Finding
    from propsoff.inspection.report import Report
    from propsoff.library import Toolbox

_WAIT_S = 20.0
_PAUSE_S = 2.0
_LISTEN_S = 0.2


@dataclass(frozen=True)
class Act:
    """One board of the demonstration: what it is, what it should show, and what is wrong with its line."""

    name: str
    shows: str
    faults: tuple[str, ...] = ()


ACTS: Sequence[Act] = (
    Act("ossel-analog", "a craft with analogue video, as it should be"),
    Act("ossel-hd53", "its sibling with a digital link, as it should be"),
    Act("ossel-hd53+small-grid", "the next one of these: shipped with the wrong grid"),
    Act("brindle-hd53+order-taer", "another firmware: channels in an order that is not the house's"),
    Act("corvane-analog-spi", "a third firmware: an SPI receiver"),
    Act("corvane-hd53+overlay-link-missing", "no UART carries the overlay"),
    Act("brindle-analog+bad-baud", "a UART at a rate that its receiver does not speak"),
    Act("ossel-hd53+overlay-off", "an overlay that is switched off"),
    Act("corvane-hd53+malformed-grid", "a value on the console that cannot be read: unknown, never a pass"),
    Act("ossel-analog+unnamed", "a craft without a name, which a faulty check of a plug-in trips over"),
    Act("brindle-hd50", "a board that is unplugged in mid-listing", ("unplug:900",)),
    Act("gps", "something that is no flight controller"),
)


SHEET = """
format = 1
name = "teal-wren-digital"
title = "Teal Wren with a digital video link"

[match]
craft = "Teal Wren"
video = "digital"

[channels]
order = "AETR"

[overlay]
grid = "hd-53x20"
"""
"""What the craft of the demonstration should be."""


class DemoPlugin:
    """A plug-in that brings a build sheet, and a check with a fault in it, so that one sees what becomes of it."""

    def __init__(self, folder: Path) -> None:
        self._sheet = folder / "teal-wren-digital.toml"
        self._sheet.write_text(SHEET)

    @hookimpl
    def propsoff_sheets(self) -> Sequence[Path]:
        """The build sheet of the craft that are shown."""
        return [self._sheet]

    @hookimpl
    def propsoff_checks(self) -> Sequence[Check]:
        """One check that splits the craft's name without looking whether there is one."""
        from propsoff.inspection.check import check

        @check(
            "demo-initials",
            title="The craft's initials",
            why="They go on the label of its box.",
            reads=("craft.name",),
            sources=("invented for the demonstration",),
        )
        def demo_initials(case: Case) -> Iterator[Finding]:
            words = (case.craft.craft.name or "").split()
            yield case.passed(f"the label reads {words[0][0]}{words[-1][0]}", facts=("craft.name",))

        return [demo_initials]


@click.command()
@click.option("--once", is_flag=True, help="End after each board has been seen.")
@click.option("--out", type=click.Path(file_okay=False, path_type=Path), help="Keep the reports and captures here.")
@click.pass_context
def command(ctx: click.Context, once: bool, out: Path | None) -> int:
    """Plug simulated boards, good and faulty, into a simulated bench; the daemon of a real bench inspects them."""
    with tempfile.TemporaryDirectory(prefix="propsoff-demo-") as scratch:
        return _demonstrate(ctx, Path(scratch), once=once, out=out)


def _demonstrate(ctx: click.Context, scratch: Path, *, once: bool, out: Path | None) -> int:
    from propsoff.library import toolbox
    from propsoff.plugins import build_plugins

    sockets = scratch / "sockets"
    sockets.mkdir()
    loaded = loaded_settings(
        ctx,
        ports__source="none",
        ports__folder=sockets,
        bench__state=scratch / "state",
        output__folder=out or scratch / "reports",
        timings__listen_s=_LISTEN_S,
        log__level="warning",
    )
    plugins = build_plugins(
        third_party=loaded.settings.plugins.third_party, extra=[("propsoff_demo", DemoPlugin(scratch))]
    )
    tools = toolbox(loaded.settings, plugins=plugins)
    click.echo("Simulated boards on a simulated bench. On a real one: propellers off first. Ctrl-C ends it.")
    show = Show(tools, sockets, once=once)
    lost = asyncio.run(show.run())
    verdicts = sorted({report.verdict.value for report in show.reports})
    click.echo(f"{len(show.reports)} boards were seen; verdicts: {', '.join(verdicts)}.")
    if out is not None:
        click.echo(f"Reports (.json) and conversations (.cast) are in {out}.")
    return EXIT_UNKNOWN if lost or show.missed else 0


class Show:
    """Plugs the boards in one after another while the bench runs; `reports` are those that came."""

    def __init__(self, tools: Toolbox, folder: Path, *, once: bool) -> None:
        from propsoff.cli.rows import Rows

        self._tools, self._folder, self._once = tools, folder, once
        self._console = screen()
        self._rows: Callable[[Event], None] = Rows(self._console)
        self._reported = asyncio.Event()
        self.reports: list[Report] = []
        self.missed = 0

    def _watch(self, event: Event) -> None:
        from propsoff.bench.events import Reported

        self._rows(event)
        if isinstance(event, Reported):
            self.reports.append(event.report)
            self._reported.set()

    async def run(self) -> int:
        """Run bench and boards; the number of reports that were written nowhere."""
        import structlog

        from propsoff.bench.setup import run_bench

        stopping = asyncio.Event()
        bench = asyncio.create_task(
            run_bench(self._tools, watcher=self._watch, log=structlog.get_logger(), stopping=stopping)
        )
        plugging = asyncio.create_task(self._plug_all(stopping))
        try:
            return await bench
        finally:
            plugging.cancel()
            await asyncio.gather(plugging, return_exceptions=True)

    async def _plug_all(self, stopping: asyncio.Event) -> None:
        from propsoff_sim.bench import SimBench

        try:
            async with SimBench(self._folder) as sockets:
                while True:
                    for number, act in enumerate(ACTS):
                        await self._plug(sockets, act, seed=number)
                    if self._once:
                        return
        finally:
            stopping.set()

    async def _plug(self, sockets: object, act: Act, *, seed: int) -> None:
        from propsoff_sim.bench import SimBench

        assert isinstance(sockets, SimBench)
        self._console.print(f"\n-- {act.name}: {act.shows}")
        self._reported.clear()
        link = f"socket-{1 + seed % 3}"
        sockets.plug(act.name, link, faults=act.faults, seed=seed)
        try:
            await asyncio.wait_for(self._reported.wait(), _WAIT_S)
        except TimeoutError:
            self.missed += 1
        if link in sockets.plugged:
            sockets.unplug(link)
        if not self._once:
            await asyncio.sleep(_PAUSE_S)

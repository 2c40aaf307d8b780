"""A bench whose PostgreSQL stops in the middle of its work and comes back."""

from __future__ import annotations

import asyncio
from pathlib import Path

from propsoff.store.model import Wanted
from propsoff.store.store import open_store
from propsoff_sim.bench import SimBench
from tests_support.benches import Watched, watched
from tests_support.postgres import Postgres


async def one_more(sockets: SimBench, bench: Watched, count: int) -> None:
    sockets.plug("ossel-hd53", "socket")
    await bench.report(count)
    sockets.unplug("socket")
    await bench.files(count)


def kept_in(url: str) -> set[str]:
    with open_store(url) as store:
        return {visit.id for visit in store.visits(Wanted())}


async def test_every_report_is_a_file_at_once_and_in_history_in_the_end(postgres: Postgres, tmp_path: Path) -> None:
    url = await asyncio.to_thread(postgres.new_database, "stopped_in_mid_bench")
    store = {"url": url, "waiting": str(tmp_path / "waiting"), "lock_s": 2.0}
    async with SimBench(tmp_path / "sockets") as sockets, watched(tmp_path, store=store) as bench:
        await one_more(sockets, bench, 1)
        async with asyncio.timeout(20):
            while len(await asyncio.to_thread(kept_in, url)) < 1:
                await asyncio.sleep(0.05)
        await asyncio.to_thread(postgres.stop)
        try:
            await one_more(sockets, bench, 2)
            await one_more(sockets, bench, 3)
            await bench.until(lambda: sum("waits in" in text for text in bench.troubles) == 2)
            assert len(list((tmp_path / "waiting").iterdir())) == 2
        finally:
            await asyncio.to_thread(postgres.start)
        await one_more(sockets, bench, 4)
        await bench.until(lambda: any("2 are in history now" in text for text in bench.troubles))
    assert list((tmp_path / "waiting").iterdir()) == []
    assert await asyncio.to_thread(kept_in, url) == {report.id for report in bench.reports}
    assert len(bench.reports) == 4
    assert bench.lost == 0

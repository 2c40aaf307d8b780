"""The guide to the interface says what is so: routes, kinds of problems, bounds, and its sample runs."""

from __future__ import annotations

import asyncio
import contextlib
import io
import re
from pathlib import Path

from propsoff.page.limits import Limits
from propsoff.page.problems import KINDS
from propsoff_sim.bench import SimBench
from tests_support.served import asked

GUIDE = (Path(__file__).parents[2] / "contrib" / "guide" / "interface.md").read_text()


async def test_the_guide_names_every_route_and_no_other(tmp_path: Path) -> None:
    async with asked(tmp_path) as bench, bench.caller() as client:
        paths = (await client.get("/api/1/openapi.json")).json()["paths"]
    real = {f"{method.upper()} {path.removeprefix('/api/1')}" for path, methods in paths.items() for method in methods}
    told = set(re.findall(r"`((?:GET|POST|DELETE) /[a-z{}/]+)`", GUIDE))
    below = {f"GET /reports/{{report}}/{name}" for name in ("capture", "card", "overlay")}
    assert all(f"`/{name.rpartition('/')[2]}`" in GUIDE for name in below)
    assert told | below == real


def test_the_guide_tells_each_kind_of_problem_with_its_status() -> None:
    rows = dict(re.findall(r"^\| `([a-z-]+)` \| ([0-9, ]+) \|", GUIDE, re.MULTILINE))
    assert rows.keys() == KINDS.keys()
    for slug, statuses in rows.items():
        assert str(KINDS[slug].status) in statuses.split(", "), slug


def test_the_guide_tells_the_bounds_as_they_are() -> None:
    text, limits = " ".join(GUIDE.split()), Limits()
    for told in (
        f"ask {limits.per_second:.0f} times a second, {limits.burst} at once",
        f"{limits.streams} event streams, {limits.waits} calls that wait and {limits.connections} connections",
        f"of them {limits.connections_of_one} of one caller",
        f"at most {limits.body_bytes >> 10} KiB, a capture {limits.capture_bytes >> 20} MiB",
        f"{limits.captures_at_once} captures at a time",
        f"above {limits.capture_here_bytes >> 10} KiB in a process of its own",
        f"and within {limits.capture_s:.0f} seconds. The head",
        f"within {limits.head_s:.0f} seconds, its body within {limits.body_s:.0f}",
        f"for {limits.stall_s:.0f} seconds is cut off",
        f"{limits.wrong_tokens_per_minute} wrong tokens a minute",
        f"every {limits.alive_s:.0f} seconds",
        f"within {1000 * limits.pause_s:.0f} ms comes together",
    ):
        assert told in text


async def test_the_sample_inspects_a_board_again(tmp_path: Path) -> None:
    [sample] = re.findall(r"```python\n(.*?)```", GUIDE, re.DOTALL)
    printed = io.StringIO()

    def run() -> None:
        with contextlib.redirect_stdout(printed):
            exec(sample, {"STATE": str(tmp_path / "state")})

    async with SimBench(tmp_path / "sockets") as sockets, asked(tmp_path, page={"enabled": False}) as bench:
        sockets.plug("ossel-hd53", "bay-1")
        await bench.until_place("bay-1", lambda now: now.state == "report")
        await asyncio.to_thread(run)
        assert len(bench.reports) == 2
    assert printed.getvalue() == "Teal Wren pass\n"

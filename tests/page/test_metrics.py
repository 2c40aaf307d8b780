"""Figures for those who watch many benches, read by a strict parser of the format.

Source: OpenMetrics 1.0.0; the parser is that of the reference library, `prometheus_client.openmetrics.parser`.
"""

from __future__ import annotations

from pathlib import Path

from prometheus_client.openmetrics.parser import text_string_to_metric_families

from propsoff_sim.bench import SimBench
from tests_support.served import Asked, asked


async def figures(bench: Asked) -> dict[tuple[str, ...], float]:
    """Each sample by its name and the values of its labels."""
    async with bench.neighbour() as client:
        answer = await client.get("/api/1/metrics")
    assert answer.headers["content-type"] == "application/openmetrics-text; version=1.0.0; charset=utf-8"
    found = {}
    for family in text_string_to_metric_families(answer.text):  # type: ignore[no-untyped-call]  # it has no types
        assert family.documentation
        assert family.name.startswith("propsoff_")
        for sample in family.samples:
            found[(sample.name, *sample.labels.values())] = sample.value
    return found


async def test_the_figures_of_a_bench_are_those_of_what_happened(tmp_path: Path) -> None:
    name = 'north "1" \\ \n line'
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        asked(tmp_path, bench={"name": name, "places": {"spare": "a spare socket"}}) as bench,
    ):
        sockets.plug("ossel-hd53", "one")
        sockets.plug("ossel-hd53+order-taer", "two")
        await bench.report(2)
        bench.control.tell("something")
        seen = await figures(bench)
        assert seen["propsoff_bench_info", name, "0.1.0"] == 1
        assert seen["propsoff_ready",] == 1
        assert seen["propsoff_places", "report"] == 2
        assert seen["propsoff_places", "empty"] == 1
        assert seen["propsoff_places", "reading"] == 0
        assert (seen["propsoff_reports_total", "pass"], seen["propsoff_reports_total", "fail"]) == (1, 1)
        assert seen["propsoff_troubles_total",] == 1
        assert seen["propsoff_asks_waiting",] == 0


async def test_requests_are_counted_by_their_route_and_never_by_what_a_caller_made_up(tmp_path: Path) -> None:
    async with asked(tmp_path) as bench, bench.caller() as client:
        for number in range(50):
            await client.get(f"/made-up-{number}")
            await client.get(f"/api/1/places/made-up-{number}")
            await client.request(f"MADEUP{number}", "/api/1/bench")
        seen = await figures(bench)
        requests = {name: value for name, value in seen.items() if name[0] == "propsoff_requests_total"}
        assert requests["propsoff_requests_total", "GET", "/api/1/places/{place}", "404"] == 50
        assert requests["propsoff_requests_total", "GET", "other", "404"] == 50
        assert len(requests) <= 5
        assert seen["propsoff_request_seconds_count",] >= 100
        again = await figures(bench)
        assert all(again[name] >= value for name, value in seen.items() if name[0].endswith("_total"))

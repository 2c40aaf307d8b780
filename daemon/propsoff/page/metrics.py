"""Figures for those who watch many benches, in the text format of OpenMetrics."""

from __future__ import annotations

from collections import Counter as Count
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any, get_args

from prometheus_client import CollectorRegistry, Counter, Histogram
from prometheus_client.core import CounterMetricFamily, GaugeMetricFamily, InfoMetricFamily, Metric
from prometheus_client.openmetrics.exposition import CONTENT_TYPE_LATEST, generate_latest
from prometheus_client.registry import Collector

from propsoff import __version__
from propsoff.bench.scene import State
from propsoff.inspection.finding import Verdict
from propsoff.page.guard import PREFIX

if TYPE_CHECKING:
    from propsoff.page.desk import Desk

MEDIA_TYPE = CONTENT_TYPE_LATEST
_SECONDS = (0.005, 0.02, 0.1, 0.5, 2.0, 10.0)


class Metrics:
    """A registry of its own: nothing of the process is shared."""

    def __init__(self, desk: Desk) -> None:
        self._registry = CollectorRegistry()
        self._registry.register(_BenchFigures(desk))
        self._requests = Counter(
            "propsoff_requests", "Requests answered.", ["method", "route", "status"], registry=self._registry
        )
        self._seconds = Histogram(
            "propsoff_request_seconds",
            "How long an answer took; streams and calls that wait are left out.",
            buckets=_SECONDS,
            registry=self._registry,
        )

    def asked(self, scope: Any, status: int, took_s: float) -> None:
        """Count a request. What is no route of ours is counted as one, whatever it was called."""
        route = _route_of(scope)
        method = scope["method"] if scope["method"] in ("GET", "POST", "DELETE") else "other"
        self._requests.labels(method, route, str(status)).inc()
        if b"wait_s=" not in scope["query_string"] and not route.endswith("/events"):
            self._seconds.observe(took_s)

    def text(self) -> bytes:
        """All figures as they are now."""
        data: bytes = generate_latest(self._registry)  # type: ignore[no-untyped-call]  # the library has no types here
        return data


def _route_of(scope: Any) -> str:
    """The route as it is written in the description; FastAPI gives it with or without the prefix of its router."""
    path: str = getattr(scope.get("route"), "path", "")
    if not path:
        return "other"
    return f"{PREFIX}{path}" if scope["path"].startswith(f"{PREFIX}/") and not path.startswith(PREFIX) else path


class _BenchFigures(Collector):
    """What the bench itself has to tell."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk

    def collect(self) -> Iterable[Metric]:
        """The figures as they are now."""
        desk, scene = self._desk, self._desk.scene
        bench = {"name": desk.settings.bench.name, "version": __version__}
        yield InfoMetricFamily("propsoff_bench", "Which bench this is.", value=bench)
        yield GaugeMetricFamily(
            "propsoff_ready", "Whether what is plugged in is inspected.", value=not desk.why_not_ready
        )
        states: Count[str] = Count(now.state for now in scene.places)
        places = GaugeMetricFamily("propsoff_places", "Places of the bench by their state.", labels=["state"])
        for state in get_args(State):
            places.add_metric([state], states[state])
        yield places
        reports = CounterMetricFamily("propsoff_reports", "Reports made by verdict.", labels=["verdict"])
        for verdict in Verdict:
            reports.add_metric([verdict.value], scene.verdicts[verdict.value])
        yield reports
        yield CounterMetricFamily("propsoff_troubles", "What people were told to look at.", value=scene.told)
        waiting = len(desk.control.asks.waiting)
        yield GaugeMetricFamily("propsoff_asks_waiting", "Sets of questions that wait for an answer.", value=waiting)
        yield GaugeMetricFamily("propsoff_streams", "Event streams that are open.", value=desk.streams.taken)
        yield GaugeMetricFamily("propsoff_captures", "Captures of callers under way.", value=desk.captures.taken)
        yield GaugeMetricFamily("propsoff_waits", "Calls that wait for something new.", value=desk.waits.taken)

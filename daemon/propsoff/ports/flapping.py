"""Ports that come and go again and again (a bad wire, a hub short of power): wait longer, say so once. Pure."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, field

from propsoff.ports.facts import Port


@dataclass(frozen=True, slots=True)
class FlapRules:
    """When arrivals at one physical path are too many, and how long to wait then. All in seconds, or counts.

    More than `arrivals` within `window_s` is flapping. The first wait is `first_s`; each further arrival doubles it up
    to `longest_s`. After `calm_s` without an arrival the path is trusted again.
    """

    arrivals: int = 4
    window_s: float = 10.0
    first_s: float = 2.0
    longest_s: float = 60.0
    calm_s: float = 120.0


@dataclass(frozen=True, slots=True)
class Pause:
    """How long to leave a port alone after its arrival (0: not at all), and what to tell the operator, if anything."""

    delay_s: float = 0.0
    notice: str | None = None


@dataclass(slots=True)
class _History:
    times: deque[float]
    waits: int = 0
    last: float = field(default=float("-inf"))


class FlapGuard:
    """Counts arrivals per physical path. `clock` gives seconds that only rise, e.g. `time.monotonic`."""

    def __init__(self, clock: Callable[[], float], rules: FlapRules = FlapRules()) -> None:
        self._clock = clock
        self._rules = rules
        self._paths: dict[str, _History] = {}

    def arrived(self, port: Port) -> Pause:
        """Count this arrival; the pause that it earns. The notice comes once for each bout of flapping."""
        now, rules = self._clock(), self._rules
        # Also bounds the memory: a path is kept only as long as it matters.
        self._paths = {path: past for path, past in self._paths.items() if now - past.last < rules.calm_s}
        history = self._paths.setdefault(port.usb.path or port.key, _History(deque(maxlen=rules.arrivals + 1)))
        history.times.append(now)
        history.last = now
        crowded = len(history.times) > rules.arrivals and now - history.times[0] <= rules.window_s
        if not crowded and not history.waits:
            return Pause()
        delay_s = min(rules.first_s * 2.0 ** min(history.waits, 30), rules.longest_s)
        history.waits += 1
        return Pause(delay_s, self._notice(port) if history.waits == 1 else None)

    def settled(self, port: Port) -> None:
        """The device at this path stayed for as long as it was wanted: what it did before counts no more."""
        self._paths.pop(port.usb.path or port.key, None)

    def _notice(self, port: Port) -> str:
        where = f"socket {port.usb.socket}" if port.usb.socket else port.device
        return (
            f"keeps leaving and coming back: check the plug, the cable and the power of the hub ({where}: more than "
            f"{self._rules.arrivals} times in {self._rules.window_s:g} s; it is left alone for longer each time)"
        )

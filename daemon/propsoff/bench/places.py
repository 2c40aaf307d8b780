"""The sockets of a bench: what each is called, and what was seen there before, kept over a restart."""

from __future__ import annotations

import contextlib
import hashlib
import json
import re
import threading
from collections import deque
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from propsoff.safe_write import replace_file

if TYPE_CHECKING:
    from propsoff.inspection.report import Report
    from propsoff.ports.facts import Port

MOST_PAST = 12
"""How many past results of a place are kept."""
MOST_PLACES = 256
_LONGEST = 300
_LONGEST_ID = 60
_UNFIT = re.compile(r"[^A-Za-z0-9._-]+")


@dataclass(frozen=True, slots=True)
class Past:
    """A result that a place gave. `created` is RFC 3339 in UTC."""

    report: str
    verdict: str
    craft: str | None
    created: str

    @classmethod
    def of(cls, report: Report) -> Past:
        """What is remembered of a report."""
        return cls(report.id, report.verdict.value, report.craft or report.board, report.created)


def place_name(port: Port) -> str:
    """Which socket of the bench a port is in, in its own words: the link's name in a watched folder, else the physical
    path, else the device under which the operator named it.
    """
    if port.origin == "folder":
        return port.device.rpartition("/")[2] or port.device
    return port.usb.socket or port.device


def place_of(port: Port) -> str:
    """The same as an id that can stand in an address, a topic or a file name."""
    return place_id(place_name(port))


@lru_cache(maxsize=4 * MOST_PLACES)
def place_id(name: str) -> str:
    """Letters, digits, dots, hyphens and underscores; a name that loses more than slashes gets some of its hash."""
    plain = _UNFIT.sub("-", name.replace("/", "-")).strip("-.")[:_LONGEST_ID]
    if plain and name.strip("/").replace("/", "-") == plain:
        return plain
    told = hashlib.sha256(name.encode("utf-8", "surrogatepass")).hexdigest()[:8]
    return f"{plain}-{told}" if plain else told


class PlaceMemory:
    """The results of each place, newest last; `path` None keeps them in memory only. `keep` may run in any thread.

    A damaged file is put aside and costs the strip of past results, nothing else.
    """

    def __init__(self, path: Path | None) -> None:
        self._path, self._lock, self._keeping = path, threading.Lock(), threading.Lock()
        self.past, self.names = _read(path) if path else ({}, {})
        self._used = dict.fromkeys(sorted(self.past, key=lambda place: _newest(self.past[place])))

    def note(self, place: str, past: Past, *, name: str = "", instead_of: str | None = None) -> None:
        """Remember a result, in the stead of the report that it was made anew of, where it was; `name` of the place.

        Places stay in the order in which they were first used; of many, one that was used longest ago is forgotten.
        """
        with self._lock:
            results = self.past.setdefault(place, deque(maxlen=MOST_PAST))
            self.names[place] = name or place
            self._used.pop(place, None)
            self._used[place] = None
            at = next((at for at, each in enumerate(results) if each.report == instead_of), None)
            if at is None:
                results.append(past)
            else:
                results[at] = past
            while len(self.past) > MOST_PLACES:
                oldest = next(iter(self._used))
                del self.past[oldest], self.names[oldest], self._used[oldest]

    def keep(self) -> None:
        """Write the file. Raises OSError."""
        if self._path is None:
            return
        with self._keeping:  # of two that write, the later one has the newer results
            with self._lock:  # no longer than it must be: the bench notes results on its own thread
                kept = {place: list(results) for place, results in self.past.items()}
                names = dict(self.names)
            places = {place: [asdict(past) for past in results] for place, results in kept.items()}
            replace_file(self._path, json.dumps({"format": 1, "places": places, "names": names}).encode(), sync=False)


def _newest(results: deque[Past]) -> str:
    """When the newest result was made (RFC 3339); empty where there is none."""
    return results[-1].created if results else ""


def _read(path: Path) -> tuple[dict[str, deque[Past]], dict[str, str]]:
    """The results of each place, and what it is called."""
    try:
        data = path.read_bytes()
    except OSError:
        return {}, {}
    try:
        document = json.loads(data)
        past = dict(_places(document["places"]))
        names = document.get("names", {})
        return past, {place: str(_text(names.get(place, place), may_lack=False)) for place in past}
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        with contextlib.suppress(OSError):  # a folder that cannot be written: then it stays where it is
            path.replace(path.with_name(f"{path.name}.damaged"))
        return {}, {}


def _places(places: Mapping[str, object]) -> Iterable[tuple[str, deque[Past]]]:
    """Raises TypeError, KeyError or ValueError for what this program did not write."""
    for place, rows in places.items():
        if not isinstance(rows, list):
            raise TypeError("the results of a place are a list")
        found = [Past(*(_text(row[key], may_lack=key == "craft") for key in Past.__slots__)) for row in rows]  # type: ignore[arg-type]  # only the craft may lack
        yield place, deque(found, maxlen=MOST_PAST)


def _text(value: object, *, may_lack: bool) -> str | None:
    if (value is None and may_lack) or (isinstance(value, str) and len(value) <= _LONGEST):
        return value
    raise TypeError("a result is told in texts")

"""Server-sent events: a viewer pulls what changed since it last looked, so a slow one skips states and costs nothing.

Source of the form: HTML Standard, 9.2 Server-sent events.
"""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Iterator
from functools import cache
from typing import TYPE_CHECKING, Any

from fastapi.responses import StreamingResponse
from pydantic import TypeAdapter

from propsoff import __version__
from propsoff.bench.scene import PlaceNow, Told
from propsoff.page.models import BenchView

if TYPE_CHECKING:
    from propsoff.page.desk import Desk

RETRY_MS = 1000
"""How long a browser waits before it connects again."""
_ALIVE = b": alive\n\n"
_MOST_WRITTEN = 512
_OTHER_ENDS = tuple((each.encode(), f"\\u{ord(each):04x}".encode()) for each in ("\x85", "\u2028", "\u2029"))


def bench_view(desk: Desk) -> BenchView:
    """The whole bench as it is now."""
    scene = desk.scene
    return BenchView(
        bench=desk.settings.bench.name,
        version=__version__,
        started=desk.started,
        changed=scene.changed,
        places=scene.places,
        troubles=scene.troubles,
    )


class Stream(StreamingResponse):
    """The events of a bench for one viewer."""

    media_type = "text/event-stream"

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        super().__init__(_told(desk), headers={"Cache-Control": "no-store", "X-Accel-Buffering": "no"})

    async def __call__(self, scope: Any, receive: Any, send: Any) -> None:
        """Serve until the viewer or the bench goes. Raises ProblemError when there are too many viewers."""
        with self._desk.streams.seat():
            await super().__call__(scope, receive, send)


async def _told(desk: Desk) -> AsyncIterator[bytes]:
    scene = desk.scene
    seen = scene.changed
    yield b"retry: %d\n\n" % RETRY_MS + _event("bench", seen, bench_view(desk).model_dump_json().encode())
    while not scene.ended:
        now = await scene.after(seen, desk.limits.alive_s)
        if now == seen:
            yield _ALIVE
            continue
        events = b"".join(_news(desk, seen))
        seen = now
        if events:
            yield events
            # Boards that are plugged in together change together: each change by itself would cost their readers.
            await asyncio.sleep(desk.limits.pause_s)
    yield b"".join(_news(desk, seen)) + _event("end", scene.changed, b"{}")


def _news(desk: Desk, seen: int) -> Iterator[bytes]:
    """What changed after number `seen`, in order."""
    scene = desk.scene
    news: list[tuple[int, PlaceNow | Told]] = [(now.changed, now) for now in scene.places if now.changed > seen]
    news += [(told.changed, told) for told in scene.troubles if told.changed > seen]
    for number, fact in sorted(news, key=lambda one: one[0]):
        # Every viewer gets the same, and a number is that of one change.
        written = desk.written.get(number)
        if written is None:
            name = "place" if isinstance(fact, PlaceNow) else "trouble"
            written = desk.written[number] = _event(name, number, _writer(name).dump_json(fact))
            while len(desk.written) > _MOST_WRITTEN:
                del desk.written[next(iter(desk.written))]
        yield written


@cache
def _writer(name: str) -> TypeAdapter[Any]:
    return TypeAdapter(PlaceNow if name == "place" else Told)


def _event(name: str, number: int, data: bytes) -> bytes:
    """One event. JSON has no line ends of the standard's; what other programs take for one is written out."""
    for end, written in _OTHER_ENDS:
        data = data.replace(end, written)
    return b"event: %s\nid: %d\ndata: %s\n\n" % (name.encode(), number, data)

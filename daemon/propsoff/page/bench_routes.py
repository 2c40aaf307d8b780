"""The bench as a whole: what is where now, and the stream of what changes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fastapi import APIRouter, Request
from fastapi.responses import Response

from propsoff.page.documented import answers
from propsoff.page.models import BenchView
from propsoff.page.stream import Stream, bench_view

if TYPE_CHECKING:
    from propsoff.page.desk import Desk


def bench_routes(desk: Desk) -> APIRouter:
    """`/bench` and `/events`."""
    routes = APIRouter(tags=["bench"])

    @routes.get("/bench", operation_id="bench", responses=answers())
    async def bench() -> BenchView:
        """The whole bench as it is now: every place, and what people should know."""
        return bench_view(desk)

    @routes.get("/events", operation_id="events", response_class=Response, responses=answers(s200="text/event-stream"))
    async def events(_: Request) -> Stream:
        """Server-sent events: `bench` (all of it) first, then `place` and `trouble` as they change, `end` at the end.

        A viewer that is slow skips states in between; the newest state of each place always comes.
        """
        return Stream(desk)

    return routes

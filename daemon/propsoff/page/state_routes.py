"""For those who run it: whether it is alive and ready, its figures, and the description of this interface."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from fastapi import APIRouter
from fastapi.responses import JSONResponse, Response

from propsoff.page.documented import answers
from propsoff.page.metrics import MEDIA_TYPE, Metrics
from propsoff.page.models import Alive, Ready

if TYPE_CHECKING:
    from propsoff.page.desk import Desk


def state_routes(desk: Desk, metrics: Metrics, description: Callable[[], bytes]) -> APIRouter:
    """`/health`, `/ready`, `/metrics` and `/openapi.json`."""
    routes = APIRouter(tags=["state"])

    @routes.get("/health", operation_id="health", responses=answers())
    async def health() -> Alive:
        """The process answers; told to everybody."""
        return Alive()

    @routes.get(
        "/ready",
        operation_id="ready",
        responses={**answers(), 200: {"model": Ready}, 503: {"model": Ready, "description": "It is not"}},
        response_class=JSONResponse,
    )
    async def ready() -> Response:
        """Whether what is plugged in now is inspected."""
        why = desk.why_not_ready
        told = Ready(ready=not why, bench=desk.settings.bench.name, why=why)
        return JSONResponse(told.model_dump(), status_code=503 if why else 200)

    @routes.get(
        "/metrics",
        operation_id="metrics",
        response_class=Response,
        responses=answers(s200="application/openmetrics-text"),
    )
    async def figures() -> Response:
        """Figures of the bench and of this interface, in the text format of OpenMetrics."""
        return Response(metrics.text(), headers={"Content-Type": MEDIA_TYPE})

    @routes.get("/openapi.json", operation_id="description", include_in_schema=False)
    async def openapi() -> Response:
        """The description of this interface, OpenAPI 3.1."""
        return Response(description(), media_type="application/json")

    return routes

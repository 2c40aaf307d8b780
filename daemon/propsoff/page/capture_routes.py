"""A capture that a caller brings: inspected, handed back, and not kept."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fastapi import APIRouter, Request
from fastapi.responses import Response

from propsoff.bench.elsewhere import TooLongError, inspected, inspected_elsewhere
from propsoff.inspection.report import Report
from propsoff.page.documented import answers
from propsoff.page.problems import ProblemError
from propsoff.threads import in_thread

if TYPE_CHECKING:
    from propsoff.page.desk import Desk

_CAST = "application/x-asciicast"
_BODY = {
    "required": True,
    "content": {_CAST: {"schema": {"type": "string"}}, "text/plain": {"schema": {"type": "string"}}},
}


def capture_routes(desk: Desk) -> APIRouter:
    """`/captures`."""
    routes = APIRouter(tags=["captures"])

    @routes.post(
        "/captures",
        operation_id="inspectCapture",
        response_class=Response,
        openapi_extra={"requestBody": _BODY},
        responses={**answers("too-large", "wrong-type", "too-slow"), 200: {"model": Report}},
    )
    async def captures(request: Request) -> Response:
        """Inspect a saved conversation (asciicast v2), or text that was copied from a terminal; nothing is kept."""
        kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
        data = await request.body()
        if not data:
            raise ProblemError("bad-request", "the body is empty; send a capture", status=422)
        return Response(await _report(desk, data, cast=kind == _CAST), media_type="application/json")

    return routes


async def _report(desk: Desk, data: bytes, *, cast: bool) -> bytes:
    """The report as JSON; one capture after another. Raises CaptureError, and ProblemError when it takes too long."""
    limits, tools = desk.limits, desk.control.tools
    async with desk.inspecting:
        if len(data) <= limits.capture_here_bytes:
            return await in_thread(lambda: inspected(tools, data, cast=cast), "capture of a caller")
        try:
            return await inspected_elsewhere(desk.settings, data, cast=cast, deadline_s=limits.capture_s)
        except TooLongError as error:
            raise ProblemError("too-large", f"{error}; inspect the file with `propsoff inspect`") from None

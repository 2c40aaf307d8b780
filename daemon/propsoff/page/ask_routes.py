"""Questions that wait for a person: each set has an id that is used once."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from fastapi import APIRouter, Path
from fastapi.responses import Response

from propsoff.inspection.report import Report
from propsoff.page.documented import answers
from propsoff.page.models import AnswersBody, AskView

if TYPE_CHECKING:
    from propsoff.page.desk import Desk

AskId = Annotated[str, Path(pattern=r"^[A-Za-z0-9_-]{1,64}$")]


def ask_routes(desk: Desk) -> APIRouter:
    """`/asks`."""
    routes = APIRouter(prefix="/asks", tags=["asks"])
    control = desk.control

    @routes.get("", operation_id="asks", responses=answers())
    async def asks() -> tuple[AskView, ...]:
        """Every set of questions that waits, the oldest first."""
        return tuple(AskView.of(ask) for ask in control.asks.waiting)

    @routes.get("/{ask}", operation_id="ask", responses=answers("stale"))
    async def one_ask(ask: AskId) -> AskView:
        """One set of questions."""
        return AskView.of(control.asks.get(ask))

    @routes.post(
        "/{ask}",
        operation_id="answer",
        response_class=Response,
        responses={
            **answers("stale", "bad-answer", "too-large", "wrong-type", "too-slow"),
            200: {"model": Report, "headers": {"Location": {"schema": {"type": "string"}}}},
        },
    )
    async def answer(ask: AskId, body: AnswersBody) -> Response:
        """Answer; what is not named keeps the answer of before. Gives the craft's new report."""
        report = await control.answer(ask, body.answers)
        data = await desk.do(lambda: report.to_json().encode())
        return Response(data, media_type="application/json", headers={"Location": f"/api/1/reports/{report.id}"})

    @routes.delete("/{ask}", operation_id="putOff", status_code=204, responses=answers("stale"))
    async def put_off(ask: AskId) -> None:
        """Nobody answers: the report stays as it is."""
        control.put_off(ask)

    return routes

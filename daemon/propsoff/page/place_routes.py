"""One place: what is there, its report, what is said on its console, and what may be done with it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from fastapi import APIRouter, Query, Request
from fastapi.responses import Response

from propsoff.bench.scene import PlaceNow
from propsoff.exceptions import BeingReadError, NothingThereError
from propsoff.inspection.report import Report
from propsoff.page.desk import while_there
from propsoff.page.documented import answers
from propsoff.page.models import Begun, ConsentBody, InspectBody, PlaceId, ReportWait, TalkView, TalkWait
from propsoff.ports.consent import Consent

if TYPE_CHECKING:
    from propsoff.page.desk import Desk


def place_routes(desk: Desk) -> APIRouter:
    """`/places` and what is below it."""
    routes = APIRouter(prefix="/places", tags=["places"])
    control, scene = desk.control, desk.scene

    def there(place: str) -> PlaceNow:
        now = scene.place(place)
        if now is None:
            known = ", ".join(each.place for each in scene.places) or "none so far"
            raise NothingThereError(f"there is no place {place!r}; there are: {known}")
        return now

    @routes.get("", operation_id="places", responses=answers())
    async def places() -> tuple[PlaceNow, ...]:
        """Every place, those that the settings name first."""
        return scene.places

    @routes.get("/{place}", operation_id="place", responses=answers("nothing-there"))
    async def one_place(place: PlaceId) -> PlaceNow:
        """One place as it is now."""
        return there(place)

    @routes.post(
        "/{place}/inspect",
        operation_id="inspect",
        status_code=202,
        responses=answers(
            "nothing-there", "being-read", "not-allowed", "too-large", "wrong-type", "too-slow", "settings"
        ),
    )
    async def inspect(place: PlaceId, body: InspectBody | None = None) -> Begun:
        """Inspect once more what is plugged in there. Wait for its report with `report?after=BEFORE`."""
        asked = body or InspectBody()
        there(place)
        before = scene.report(place)
        try:
            await control.inspect(place, device=asked.device, named=asked.named)
        except BeingReadError:
            if not asked.join:
                raise
        return Begun(place=place, before=before.id if before else None, changed=scene.changed)

    @routes.get(
        "/{place}/report",
        operation_id="placeReport",
        response_class=Response,
        responses={
            **answers("nothing-there"),
            200: {"model": Report, "headers": {"Location": {"schema": {"type": "string"}}}},
            204: {"description": "There is none yet, or none after that one within the time"},
        },
    )
    async def report(request: Request, place: PlaceId, wait: Annotated[ReportWait, Query()]) -> Response:
        """The newest report of a place as it is written to its file; waited for, where `wait_s` says so."""
        there(place)
        with desk.waits.seat():
            found = await while_there(request.receive, scene.next_report(place, wait.after, wait.wait_s))
        if found is None:
            return Response(status_code=204)
        data = await desk.do(lambda: found.to_json().encode())
        return Response(data, media_type="application/json", headers={"Location": f"/api/1/reports/{found.id}"})

    @routes.get("/{place}/conversation", operation_id="conversation", responses=answers("nothing-there"))
    async def conversation(request: Request, place: PlaceId, wait: Annotated[TalkWait, Query()]) -> TalkView:
        """What is said, or was said last, on the console of a place; to read only.

        With `began` of an earlier answer, another conversation is told from its start.
        """
        there(place)
        with desk.waits.seat():
            await while_there(request.receive, scene.said(place, wait.since, wait.began, wait.wait_s))
        now, talk = there(place), scene.talk(place)
        assert talk is not None
        same = wait.began in (None, talk.began) and wait.since <= talk.count
        pieces = talk.since(wait.since if same else 0)
        return TalkView(place=place, began=talk.began, reading=now.state == "reading", next=talk.count, pieces=pieces)

    @routes.post(
        "/{place}/consent",
        operation_id="consent",
        status_code=201,
        responses=answers("nothing-there", "settings", "too-large", "wrong-type", "too-slow"),
    )
    async def consent(place: PlaceId, body: ConsentBody) -> Consent:
        """Allow or deny that what is plugged in there is opened, and act on it at once."""
        there(place)
        return await control.consent(place, body.scope, body.verdict, device=body.device, note=body.note)

    return routes

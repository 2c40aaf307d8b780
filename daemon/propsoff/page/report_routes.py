"""Reports: the list of visits, and one report as JSON, as a card, as a drawing, beside another one; its capture."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from fastapi import APIRouter, Path, Query
from fastapi.responses import Response

from propsoff.exceptions import NothingThereError
from propsoff.inspection.report import Report
from propsoff.page.documented import answers
from propsoff.page.models import ChangesView, ReportId, VisitFilter, VisitsView
from propsoff.page.papers import Whole, card_of, changes_of, download, drawing_of, policy_of_card

if TYPE_CHECKING:
    from propsoff.page.desk import Desk

Id = Annotated[ReportId, Path()]


def report_routes(desk: Desk) -> APIRouter:
    """`/reports`."""
    routes = APIRouter(prefix="/reports", tags=["reports"])
    shelf = desk.shelf

    @routes.get("", operation_id="reports", responses=answers("store"))
    async def reports(asked: Annotated[VisitFilter, Query()]) -> VisitsView:
        """Visits, newest first: from history, or without one those of this run."""
        visits, source = await shelf.visits(asked.wanted())
        return VisitsView(visits=tuple(visits), source=source)

    @routes.get(
        "/{report}",
        operation_id="report",
        response_class=Response,
        responses={**answers("nothing-there", "store"), 200: {"model": Report}},
    )
    async def one_report(report: Id) -> Response:
        """One report as it is written to its file."""
        return Response((await shelf.report(report)).data, media_type="application/json")

    @routes.get(
        "/{report}/capture",
        operation_id="capture",
        response_class=Response,
        responses=answers("nothing-there", "store", s200="application/x-asciicast"),
    )
    async def capture(report: Id) -> Response:
        """The conversation that the report was read from, in asciicast v2."""
        found = (await shelf.report(report)).report
        name = found.capture.file or f"{found.id}.cast"
        return Whole(await shelf.capture(found), media_type="application/x-asciicast", headers=download(name))

    @routes.get(
        "/{report}/card",
        operation_id="card",
        response_class=Response,
        responses=answers("nothing-there", "store", s200="text/html"),
    )
    async def card(
        report: Id, download_it: Annotated[bool, Query(alias="download", description="Save it instead.")] = False
    ) -> Response:
        """The report as a card to read and to print: one page that fetches nothing."""
        found = (await shelf.report(report)).report
        newer, capture = await shelf.newer(found), await _capture(found)
        data = await desk.do(lambda: card_of(found, capture, newer))
        told = download(f"{found.id}.html", save=download_it) | {"Content-Security-Policy": policy_of_card(data)}
        return Response(data, media_type="text/html", headers=told)

    async def _capture(report: Report) -> bytes | None:
        try:
            return await shelf.capture(report)
        except NothingThereError:
            return None

    @routes.get(
        "/{report}/overlay",
        operation_id="overlay",
        response_class=Response,
        responses=answers("nothing-there", "store", s200="image/svg+xml"),
    )
    async def overlay(report: Id) -> Response:
        """The character overlay as a drawing."""
        found = (await shelf.report(report)).report
        drawing = await desk.do(lambda: drawing_of(found))
        return Response(drawing, media_type="image/svg+xml")

    @routes.get("/{report}/changes", operation_id="changes", responses=answers("nothing-there", "store"))
    async def changes(report: Id, other: Annotated[ReportId | None, Query(alias="with")] = None) -> ChangesView:
        """What differs from another report (a), without one from that of the craft's last visit before this (b)."""
        found = (await shelf.report(report)).report
        other = other or await shelf.before(found)
        if other is None:
            raise NothingThereError(f"report {report} is of the first visit of its craft, or of nobody known")
        earlier = (await shelf.report(other)).report
        return await desk.do(lambda: changes_of(earlier, found))

    return routes

"""What the operator allowed and denied, and taking a word back."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from fastapi import APIRouter, Path

from propsoff.page.documented import answers
from propsoff.ports.consent import Consent

if TYPE_CHECKING:
    from propsoff.page.desk import Desk

ConsentId = Annotated[str, Path(pattern=r"^[A-Za-z0-9_-]{1,64}$")]


def consent_routes(desk: Desk) -> APIRouter:
    """`/consents`."""
    routes = APIRouter(prefix="/consents", tags=["consents"])

    @routes.get("", operation_id="consents", responses=answers("settings"))
    async def consents() -> tuple[Consent, ...]:
        """Every word of the operator's that holds."""
        return await desk.control.consents()

    @routes.delete("/{consent}", operation_id="revoke", responses=answers("nothing-there", "settings"))
    async def revoke(consent: ConsentId) -> Consent:
        """Take a word back."""
        return await desk.control.revoke(consent)

    return routes

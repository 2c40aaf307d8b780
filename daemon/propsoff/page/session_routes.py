"""Signing in with a browser: the token once, then a cookie."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fastapi import APIRouter, Request
from fastapi.responses import Response

from propsoff.exceptions import NothingThereError
from propsoff.page.documented import answers
from propsoff.page.guard import Visitor, count_wrong_token
from propsoff.page.models import SessionBody
from propsoff.page.problems import ProblemError

if TYPE_CHECKING:
    from propsoff.page.desk import Desk

_RULES = "HttpOnly; SameSite=Strict; Path=/"


def session_routes(desk: Desk) -> APIRouter:
    """`/session`."""
    routes = APIRouter(tags=["session"])

    @routes.post(
        "/session",
        operation_id="signIn",
        status_code=204,
        response_class=Response,
        responses=answers("nothing-there", "too-large", "wrong-type", "too-slow"),
    )
    async def sign_in(request: Request, body: SessionBody) -> Response:
        """Show the token, get a cookie."""
        if desk.token is None:
            raise NothingThereError("this bench has no token; nobody needs to sign in")
        visitor: Visitor = request.scope["propsoff"]
        if not desk.token.matches(body.token):
            count_wrong_token(desk, visitor.caller)
            raise ProblemError("no-token", "this is not the token of this bench")
        name = desk.sessions.begin()
        cookie = f"{visitor.cookie}={name}; Max-Age={int(desk.sessions.lasts_s)}; {_RULES}"
        return Response(status_code=204, headers={"Set-Cookie": cookie})

    @routes.delete(
        "/session",
        operation_id="signOut",
        status_code=204,
        response_class=Response,
        responses=answers("nothing-there"),
    )
    async def sign_out(request: Request) -> Response:
        """End the session of this cookie."""
        if desk.token is None:
            raise NothingThereError("this bench has no token; nobody is signed in")
        visitor: Visitor = request.scope["propsoff"]
        desk.sessions.end(visitor.session)
        return Response(status_code=204, headers={"Set-Cookie": f"{visitor.cookie}=; Max-Age=0; {_RULES}"})

    return routes

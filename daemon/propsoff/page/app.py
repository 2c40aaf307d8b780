"""The application: every route, every error as a problem document, and the description of it all."""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from fastapi import APIRouter, FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.openapi.utils import get_openapi
from fastapi.responses import Response
from starlette.exceptions import HTTPException

from propsoff.bench.asks import AnswerError
from propsoff.exceptions import PropsoffError
from propsoff.page.ask_routes import ask_routes
from propsoff.page.bench_routes import bench_routes
from propsoff.page.capture_routes import capture_routes
from propsoff.page.consent_routes import consent_routes
from propsoff.page.documented import PROBLEM_SCHEMA
from propsoff.page.file_routes import file_routes
from propsoff.page.guard import PREFIX
from propsoff.page.metrics import Metrics
from propsoff.page.place_routes import place_routes
from propsoff.page.problems import MEDIA_TYPE, ProblemError, fault, problem_of
from propsoff.page.report_routes import report_routes
from propsoff.page.session_routes import session_routes
from propsoff.page.state_routes import state_routes

if TYPE_CHECKING:
    from propsoff.page.desk import Desk

VERSION = "1"
_SLUGS = {404: "nothing-there", 405: "wrong-method"}


def build_app(desk: Desk, metrics: Metrics) -> FastAPI:
    """The application for one bench. It takes some tenths of a second: build it in a thread."""
    app = FastAPI(docs_url=None, redoc_url=None, openapi_url=None, redirect_slashes=False)
    api = APIRouter(prefix=PREFIX)
    for routes in (bench_routes, place_routes, consent_routes, ask_routes, report_routes, capture_routes):
        api.include_router(routes(desk))
    api.include_router(session_routes(desk))
    api.include_router(state_routes(desk, metrics, _describer(app)))
    app.include_router(api)
    app.include_router(file_routes(desk))
    app.add_exception_handler(ProblemError, _refused)
    app.add_exception_handler(PropsoffError, _told)
    app.add_exception_handler(AnswerError, _told)
    app.add_exception_handler(HTTPException, _not_routed)
    app.add_exception_handler(RequestValidationError, _not_fitting)
    app.add_exception_handler(Exception, _fault)
    return app


def _answered(request: Request, problem: ProblemError) -> Response:
    return Response(
        problem.document(request.url.path),
        status_code=problem.status,
        headers={**problem.headers, "Content-Type": MEDIA_TYPE},
    )


async def _refused(request: Request, error: Exception) -> Response:
    assert isinstance(error, ProblemError)
    return _answered(request, error)


async def _told(request: Request, error: Exception) -> Response:
    assert isinstance(error, PropsoffError | AnswerError)
    return _answered(request, problem_of(error))


async def _fault(request: Request, error: Exception) -> Response:
    """The guard writes what it was to the log."""
    return _answered(request, fault())


async def _not_routed(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    slug = _SLUGS.get(error.status_code)
    if slug is None:
        return _answered(request, ProblemError("bad-request", str(error.detail)))
    path = request.url.path
    detail = (
        f"there is nothing at {path[:200]!r}"
        if slug == "nothing-there"
        else f"{request.method} is not for {path[:200]!r}"
    )
    return _answered(request, ProblemError(slug, detail, headers=error.headers))


async def _not_fitting(request: Request, error: Exception) -> Response:
    """What was sent is never repeated: a token may be in it."""
    assert isinstance(error, RequestValidationError)
    errors = [(".".join(str(part)[:80] for part in one["loc"]), str(one["msg"])) for one in error.errors()[:20]]
    broken = any(one["type"] == "json_invalid" for one in error.errors())
    detail = "the request does not fit: " + "; ".join(f"{where}: {wanted}" for where, wanted in errors)
    return _answered(request, ProblemError("bad-request", detail, status=400 if broken else 422, errors=errors))


def _describer(app: FastAPI) -> Callable[[], bytes]:
    @lru_cache(maxsize=1)
    def description() -> bytes:
        return json.dumps(describe(app), indent=1, ensure_ascii=False).encode() + b"\n"

    return description


def describe(app: FastAPI) -> dict[str, Any]:
    """The description of the interface, OpenAPI 3.1."""
    found = get_openapi(
        title="propsoff",
        version=VERSION,
        summary="A bench that inspects flight controllers",
        description=(
            "What a running bench shows and what it can be asked. Errors are problem documents (RFC 9457). Propellers "
            "off before a board is connected: an answer of this interface is no permission to fly."
        ),
        routes=app.routes,
    )
    schemas = found["components"]["schemas"]
    schemas["Problem"] = PROBLEM_SCHEMA
    for name in ("HTTPValidationError", "ValidationError"):
        schemas.pop(name, None)
    found["components"]["securitySchemes"] = {"token": {"type": "http", "scheme": "bearer"}}
    found["security"] = [{}, {"token": []}]
    return found

"""The pages and what they load: the files of `static/`, and nothing else."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Awaitable, Callable
from importlib import resources
from typing import TYPE_CHECKING

from fastapi import APIRouter, Request
from fastapi.responses import RedirectResponse, Response

from propsoff.page.guard import SIGN_IN
from propsoff.page.problems import ProblemError

if TYPE_CHECKING:
    from propsoff.page.desk import Desk

_TYPES = {
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".svg": "image/svg+xml",
    ".json": "application/json",
    ".png": "image/png",
    ".woff2": "font/woff2",
    ".txt": "text/plain; charset=utf-8",
}
_NAME = re.compile(r"[a-z0-9][a-z0-9_-]*(\.[a-z0-9]+)+\Z")
PAGES = {"/": "bench.html", "/reports/{report}": "craft.html", "/history": "history.html", "/sign-in": "sign-in.html"}


def file_routes(desk: Desk) -> APIRouter:
    """The pages, and `/static`."""
    routes = APIRouter(include_in_schema=False)

    for path, name in PAGES.items():
        routes.add_api_route(path, _page(desk, path, name), methods=["GET"], response_class=Response)

    @routes.get("/static/{name}", response_class=Response)
    async def static(request: Request, name: str) -> Response:
        """A file that a page loads."""
        return await _file(desk, request, name)

    return routes


def _page(desk: Desk, path: str, name: str) -> Callable[[Request], Awaitable[Response]]:
    """What answers with one page; the same one for every report, whose script reads the id from the address."""

    async def shown(request: Request) -> Response:
        if path == SIGN_IN and desk.token is None:
            return RedirectResponse("/", status_code=303)
        return await _file(desk, request, name)

    return shown


async def _file(desk: Desk, request: Request, name: str) -> Response:
    """A file of `static/`. Raises ProblemError when there is none of this name."""
    kind = _TYPES.get(name[name.rfind(".") :])
    data = await desk.do(lambda: _read(name)) if kind and _NAME.match(name) else None
    if data is None:
        raise ProblemError("nothing-there", f"there is no page or file {name[:80]!r}")
    tag = f'"{hashlib.sha256(data).hexdigest()[:32]}"'
    if request.headers.get("if-none-match") == tag:
        return Response(status_code=304, headers={"ETag": tag})
    return Response(data, headers={"ETag": tag, "Content-Type": kind or ""})


def _read(name: str) -> bytes | None:
    try:
        return (resources.files("propsoff.page") / "static" / name).read_bytes()
    except OSError:
        return None

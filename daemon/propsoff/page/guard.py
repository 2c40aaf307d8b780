"""The door: who may come in, with what and how often; every answer leaves with what keeps a browser safe.

It stands before the application, so that nothing of a request is looked at before its caller is known.
"""

from __future__ import annotations

import asyncio
import contextlib
import re
import time
from collections.abc import Awaitable, Callable, Iterator, MutableMapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

from propsoff.outputs.escape import visible
from propsoff.page.callers import source_of
from propsoff.page.limits import too_many
from propsoff.page.problems import MEDIA_TYPE, ProblemError, fault

if TYPE_CHECKING:
    from propsoff.page.callers import Callers
    from propsoff.page.desk import Desk
    from propsoff.page.metrics import Metrics

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

PAGE_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
    "base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
)
API_POLICY = "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
_ALWAYS = {
    "x-content-type-options": "nosniff",
    "referrer-policy": "no-referrer",
    "cross-origin-resource-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
}
API = "/api/"
PREFIX = "/api/1"
HEALTH, SESSION, CAPTURES = (f"{PREFIX}/{name}" for name in ("health", "session", "captures"))
SIGN_IN = "/sign-in"
STATIC = "/static/"
_CAPTURE_TYPES = ("application/x-asciicast", "text/plain")
_CHANGES = ("POST", "PUT", "PATCH", "DELETE")
_LENGTH = re.compile(r"[0-9]{1,18}\Z")


@dataclass(frozen=True, slots=True)
class Door:
    """One way in. `callers` are the rules over TCP, None where only this user's programs can come (a Unix socket)."""

    callers: Callers | None
    cookie: str = "propsoff"


class Answer:
    """What goes back to the caller: adds the headers that every answer has."""

    def __init__(self, send: Send, path: str) -> None:
        self._send, self._path = send, path
        self.status = 0

    async def __call__(self, message: Message) -> None:
        """Take a message of the application."""
        if message["type"] == "http.response.start":
            self.status = message["status"]
            headers = [*message.get("headers", ())]
            there = {name.lower() for name, _ in headers}
            headers += [
                (name.encode(), value.encode()) for name, value in self._own().items() if name.encode() not in there
            ]
            message = {**message, "headers": headers}
        await self._send(message)

    async def refuse(self, problem: ProblemError) -> None:
        """Answer with a problem document, where nothing was answered yet."""
        if self.status:
            return
        body = problem.document(self._path)
        headers = {"content-type": MEDIA_TYPE, "content-length": str(len(body)), **problem.headers}
        encoded = [(name.lower().encode(), value.encode()) for name, value in headers.items()]
        await self({"type": "http.response.start", "status": problem.status, "headers": encoded})
        await self._send({"type": "http.response.body", "body": body})

    async def redirect(self, to: str) -> None:
        """Send a browser elsewhere."""
        headers = [(b"location", to.encode()), (b"content-length", b"0")]
        await self({"type": "http.response.start", "status": 303, "headers": headers})
        await self._send({"type": "http.response.body", "body": b""})

    def _own(self) -> dict[str, str]:
        api = self._path.startswith(API)
        policy, cache = (API_POLICY, "no-store") if api else (PAGE_POLICY, "no-cache")
        return {**_ALWAYS, "content-security-policy": policy, "cache-control": cache}


class Guard:
    """The application behind one door."""

    def __init__(self, app: App, door: Door, desk: Desk, metrics: Metrics) -> None:
        self._app, self._door, self._desk, self._metrics = app, door, desk, metrics

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Serve one request; nothing that it raises goes further."""
        if scope["type"] != "http":
            return
        began, answer = time.perf_counter(), Answer(send, scope["path"])
        try:
            await self._let_in(scope, receive, answer)
        except ProblemError as problem:
            await answer.refuse(problem)
        except asyncio.CancelledError:  # the bench ends; whoever waits sees the connection close
            pass
        except Exception as error:  # noqa: BLE001  a fault of ours is in the log, and the caller is told so much
            path = visible(scope["path"], 200)
            self._desk.say("fault", path=path, exc_info=error)
            # Its text may hold what a caller sent: that is for the log alone.
            self._desk.control.tell(
                f"a fault in propsoff itself, as {path} was asked: {type(error).__name__}; see the log"
            )
            await answer.refuse(fault())
        finally:
            self._note(scope, answer, time.perf_counter() - began)

    def _note(self, scope: Scope, answer: Answer, took_s: float) -> None:
        self._metrics.asked(scope, answer.status, took_s)
        refused = answer.status >= 400  # without end by whoever wants the disk full of the log
        if scope["method"] in _CHANGES and not (refused and self._desk.refusals.take(source_of(caller_of(scope)))):
            self._desk.say(
                "asked",
                method=scope["method"],
                path=visible(scope["path"], 200),
                status=answer.status,
                caller=caller_of(scope),
            )

    async def _let_in(self, scope: Scope, receive: Receive, answer: Answer) -> None:
        headers = {name.decode("latin-1"): value.decode("latin-1") for name, value in scope["headers"]}
        path, caller = scope["path"], source_of(caller_of(scope))
        _refuse_long_head(scope, self._desk.limits.head_bytes)
        if self._door.callers is not None:
            server = scope.get("server") or ("", 0)
            is_page = scope["method"] == "GET" and not path.startswith(API)
            self._door.callers.refuse_foreign(headers, str(server[0]), page=is_page)
        visitor = Visitor(caller, self._door.cookie, cookie_of(headers.get("cookie", ""), self._door.cookie))
        scope["propsoff"], shown = visitor, _token_in(headers)
        known = self._is_known(visitor, shown)
        bucket = self._desk.requests if path.startswith(API) else self._desk.files
        # Behind one address may be several: those who have the token do not pay for those who do not.
        if wait_s := bucket.take(f"{caller} with the token" if known else caller):
            raise too_many("more requests than this bench answers for one caller", wait_s)
        if not known and not self._is_for_everybody(path):
            if shown:
                count_wrong_token(self._desk, caller)
            if path.startswith(API):
                raise ProblemError(
                    "no-token",
                    "this bench answers to those who have its token: send Authorization: Bearer TOKEN, or sign in",
                    headers={"WWW-Authenticate": 'Bearer realm="propsoff"'},
                )
            # With two slashes at its beginning it would be the address of another site.
            await answer.redirect(f"{SIGN_IN}?next=/{quote(path.lstrip('/'), safe='/')}")
            return
        with self._room_for(scope):
            await self._app(scope, await self._with_body(scope, headers, receive), answer)

    def _is_known(self, visitor: Visitor, shown: str) -> bool:
        """Whether a caller shows the token, or the name of a session that began with it."""
        token = self._desk.token
        if token is None or self._door.callers is None:
            return False
        return (bool(shown) and token.matches(shown)) or (
            bool(visitor.session) and self._desk.sessions.holds(visitor.session)
        )

    def _is_for_everybody(self, path: str) -> bool:
        needs_none = self._desk.token is None or self._door.callers is None
        return needs_none or path in (HEALTH, SESSION, SIGN_IN) or path.startswith(STATIC)

    @contextlib.contextmanager
    def _room_for(self, scope: Scope) -> Iterator[None]:
        """A seat for what takes much memory."""
        seats = self._desk.captures.seat() if is_capture(scope) else contextlib.nullcontext()
        with seats:
            yield

    async def _with_body(self, scope: Scope, headers: dict[str, str], receive: Receive) -> Receive:
        """What the application reads the body with: it is here whole before the application begins."""
        length, chunked = headers.get("content-length"), "transfer-encoding" in headers
        if not chunked and (length is None or length.strip() == "0"):
            return receive
        limits, capture = self._desk.limits, is_capture(scope)
        most = limits.capture_bytes if capture else limits.body_bytes
        if length is not None and (not _LENGTH.match(length) or int(length) > most):
            raise _too_large(most)
        wanted = _CAPTURE_TYPES if capture else ("application/json",)
        kind = headers.get("content-type", "").partition(";")[0].strip().lower()
        if kind not in wanted:
            raise ProblemError("wrong-type", f"the body is of type {kind[:80] or 'none'!r}; send {' or '.join(wanted)}")
        try:
            async with asyncio.timeout(limits.body_s):
                body = await _whole(receive, most)
        except TimeoutError:
            raise ProblemError(
                "too-slow", f"the body was not here within {limits.body_s:g} s", headers={"Connection": "close"}
            ) from None
        return _replayed(body, receive)


@dataclass(frozen=True, slots=True)
class Visitor:
    """Who asks, as the routes see it: the caller's address, the name of its cookie and what that says."""

    caller: str
    cookie: str
    session: str


def count_wrong_token(desk: Desk, caller: str) -> None:
    """Count a wrong token. Raises ProblemError after too many.

    The right one is taken even then: a neighbour behind the same address could otherwise shut a rig out, and what keeps
    a token from being guessed is its length.
    """
    if wait_s := desk.wrong_tokens.take(caller):
        raise too_many("too many wrong tokens", wait_s)
    desk.say("a wrong token was shown", caller=caller)


def _token_in(headers: dict[str, str]) -> str:
    kind, _, shown = headers.get("authorization", "").partition(" ")
    return shown.strip() if kind.lower() == "bearer" else ""


def cookie_of(header: str, name: str) -> str:
    """The value of a cookie, empty without it. What other pages of this machine left there is passed over."""
    for each in header.split(";"):
        key, _, value = each.strip().partition("=")
        if key == name:
            return value
    return ""


def caller_of(scope: Scope) -> str:
    """The caller's address, `socket` for a program of this user."""
    client = scope.get("client")
    return str(client[0]) if client else "socket"


def is_capture(scope: Scope) -> bool:
    """Whether a request brings a capture."""
    return bool(scope["method"] == "POST" and scope["path"] == CAPTURES)


def _refuse_long_head(scope: Scope, most: int) -> None:
    """The parser bounds a head while it comes in pieces; one that came at once is measured here."""
    size = len(scope["raw_path"]) + len(scope["query_string"])
    size += sum(len(name) + len(value) for name, value in scope["headers"])
    if size > most:
        raise ProblemError("too-large", f"the head of a request has at most {most} bytes here", status=431)


def _too_large(most: int) -> ProblemError:
    return ProblemError("too-large", f"a body here has at most {most} bytes")


async def _whole(receive: Receive, most: int) -> bytes:
    body = bytearray()
    while True:
        message = await receive()
        if message["type"] == "http.disconnect":
            raise ProblemError("bad-request", "the caller hung up before the body was whole")
        body += message.get("body", b"")
        if len(body) > most:
            raise _too_large(most)
        if not message.get("more_body"):
            return bytes(body)


def _replayed(body: bytes, receive: Receive) -> Receive:
    given = False

    async def replay() -> Message:
        nonlocal given
        if given:
            return await receive()
        given = True
        return {"type": "http.request", "body": body, "more_body": False}

    return replay

"""Where a bench is asked, how a call becomes a request there, and what its answers and silences mean. No I/O."""

from __future__ import annotations

import ssl
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any, Self, TypeVar

import httpx
from httpx_sse import SSEError
from pydantic import ValidationError

from propsoff import __version__
from propsoff.client.calls import ROOT, Call
from propsoff.client.found import must_run, state_folder
from propsoff.client.problems import problem_of
from propsoff.exceptions import BenchError, BenchLostError, BenchReplyError, NoBenchError, SettingsError

if TYPE_CHECKING:
    from propsoff.client.found import Service

T = TypeVar("T")
_ALIVE_S = 30.0
"""How long a stream of events may be silent; a bench says that it is alive every 10 s."""


@dataclass(frozen=True)
class Address:
    """A bench by its URL or its Unix socket; exactly one of the two."""

    url: str | None = None
    socket: Path | None = None
    token: str | None = field(default=None, repr=False)
    timeout_s: float = 10.0
    verify: ssl.SSLContext | None = None

    def __post_init__(self) -> None:
        if (self.url is None) == (self.socket is None):
            raise SettingsError("give the URL of a bench or its socket, one of them", source="BenchClient")
        try:
            fits = self.url is None or (httpx.URL(self.url).scheme in ("http", "https") and httpx.URL(self.url).host)
        except httpx.InvalidURL:
            fits = False
        if not fits:
            hint = "write it as http://127.0.0.1:8423"
            raise SettingsError(f"{self.url!r} is no address of a bench", source="BenchClient", hint=hint)

    @classmethod
    def of(cls, service: Service, token: str | None, timeout_s: float) -> Self:
        """The bench that says this of itself; through its socket where it has one, which needs no token."""
        if service.socket is not None:
            return cls(socket=service.socket, timeout_s=timeout_s)
        return cls(url=service.url, token=token, timeout_s=timeout_s)

    @classmethod
    def found(cls, state: Path | None, token: str | None, timeout_s: float) -> Self:
        """The bench of a state folder, by default that of the settings. Raises NoBenchError, SettingsError."""
        return cls.of(must_run(state_folder() if state is None else state), token, timeout_s)

    @property
    def name(self) -> str:
        """How it is spoken of in errors."""
        return f"bench at {self.url or self.socket}"

    def options(self) -> dict[str, Any]:
        """How an httpx client is made for it. A bench is near: no proxy of the environment stands between."""
        headers = {"User-Agent": f"propsoff/{__version__}"}
        if self.token is not None:
            headers["Authorization"] = f"Bearer {self.token}"
        return {
            "base_url": self.url or "http://localhost",
            "headers": headers,
            "timeout": self.timeout_s,
            "trust_env": False,
        }

    def transport_options(self) -> dict[str, Any]:
        """How its transport is made."""
        secure = self.url is not None and httpx.URL(self.url).scheme == "https"
        # To load the certificates of the system takes longer than all the rest of a call.
        verify = self.verify or (True if secure else ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT))
        return {"uds": None if self.socket is None else str(self.socket), "verify": verify, "trust_env": False}

    def request(self, client: httpx.Client | httpx.AsyncClient, call: Call[Any]) -> httpx.Request:
        """The request of a call."""
        return client.build_request(
            call.method,
            call.path,
            params=dict(call.query) or None,
            content=call.body,
            headers={} if call.body is None else {"Content-Type": call.content_type},
            timeout=httpx.Timeout(self.timeout_s, read=call.wait_s + self.timeout_s),
        )

    def stream(self, client: httpx.Client | httpx.AsyncClient) -> httpx.Request:
        """The request for the stream of events; each begins with the whole bench, so none goes on from an event."""
        headers = {"Accept": "text/event-stream", "Cache-Control": "no-store"}
        timeout = httpx.Timeout(self.timeout_s, read=_ALIVE_S)
        return client.build_request("GET", f"{ROOT}/events", headers=headers, timeout=timeout)

    def read(self, call: Call[T], response: httpx.Response) -> T:
        """What was answered. Raises RequestError where it is a refusal, BenchReplyError where it makes no sense."""
        if not response.is_success and response.status_code not in call.fine:
            raise problem_of(response, self.name)
        try:
            return call.read(response)
        except (ValidationError, ValueError, TypeError) as error:
            told = " ".join(str(error).split())[:200]
            asked = f"{call.method} {call.path}"
            raise BenchReplyError(
                f"{self.name}: its answer to {asked} is not understood ({told}); is it another version?"
            ) from error

    def failed(self, error: httpx.HTTPError | httpx.InvalidURL, *, spoke: bool = False) -> BenchError:
        """The error that a failure of the connection is; `spoke`: the bench has answered before."""
        why = " ".join(str(error).split())[:200] or type(error).__name__
        if isinstance(error, SSEError):
            return BenchReplyError(f"{self.name}: gives no stream of events; is that a bench of propsoff?")
        if not spoke and isinstance(error, httpx.ConnectError | httpx.ConnectTimeout):
            return NoBenchError(f"{self.name}: does not answer ({why}); is it running? Start one: propsoff watch")
        if isinstance(error, httpx.TimeoutException):
            return BenchLostError(f"{self.name}: did not answer in time; is it overloaded, or its host gone?")
        return BenchLostError(f"{self.name}: went away before it answered ({why}); was it stopped?")


def token_of(path: Path) -> str:
    """The token in a file. Raises SettingsError."""
    try:
        token = path.read_text(encoding="utf-8").strip()
    except (OSError, UnicodeDecodeError) as error:
        why = getattr(error, "strerror", None) or "is no text"
        raise SettingsError(f"the token cannot be read: {why}", source=path) from None
    if not token or not token.isascii() or not token.isprintable() or " " in token:
        raise SettingsError("holds no token", source=path, hint="one line of printable characters without blanks")
    return token

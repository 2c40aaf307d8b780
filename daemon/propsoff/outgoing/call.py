"""One web call: the report posted to an address, signed."""

from __future__ import annotations

import asyncio
import email.utils
import ssl
import time
from collections.abc import Callable
from typing import TYPE_CHECKING

import httpx

from propsoff import __version__
from propsoff.exceptions import ConfigError
from propsoff.outgoing.lane import Later, Never, Outcome, Sent
from propsoff.outgoing.signing import keys_in, signed_headers
from propsoff.outgoing.tls import tls_context
from propsoff.outputs.escape import visible
from propsoff.threads import in_thread

if TYPE_CHECKING:
    from propsoff.outgoing.outbox import Entry
    from propsoff.outgoing.section import CallTable

_ASKED_MOST_S = 3600.0
"""How long a receiver may ask to be left alone."""
_TOLD_BYTES = 2048
"""So much of a refusal's body is read for the log."""
_AGAIN = frozenset({401, 403, 404, 407, 408, 421, 425, 429})
"""The 4xx that are no fault of the report (RFC 9110 15.5, RFC 8470 5.2, RFC 6585 4).

A key that was mistyped, a clock that is wrong or a receiver that is not set up yet would cost every report otherwise.
"""


class WebCall:
    """Posts reports to one address. Redirects are not followed, certificates are verified."""

    def __init__(self, table: CallTable, *, clock: Callable[[], float] = time.time) -> None:
        self._table, self._clock = table, clock
        self.name = f"web call {table.name}"

    async def ready(self) -> None:
        """At once: only an attempt shows whether the receiver is there."""

    async def attempt(self, entry: Entry) -> Outcome:
        """Post the report once, within the deadline."""
        try:
            keys, context = await in_thread(self._prepared, "web call")
        except ConfigError as error:
            return Later(str(error))
        headers = {
            "content-type": "application/json",
            "user-agent": f"propsoff/{__version__}",
            **signed_headers(entry.head.report, int(self._clock()), entry.body, keys),
        }
        # Of the environment nothing counts: a proxy that somebody's shell had set would get the reports.
        client = httpx.AsyncClient(verify=context, trust_env=False, follow_redirects=False, timeout=None)
        answer: list[Outcome] = []
        try:
            async with (
                asyncio.timeout(self._table.deadline_s),
                client,
                client.stream("POST", self._table.url, content=entry.body, headers=headers) as response,
            ):
                answer.append(self._outcome(response, ""))
                if not isinstance(answer[0], Sent):
                    answer.append(self._outcome(response, await _beginning(response)))
        except TimeoutError:
            return answer[-1] if answer else Later(f"no answer within {self._table.deadline_s:g} s")
        except (httpx.HTTPError, httpx.InvalidURL, OSError, ValueError) as error:
            return answer[-1] if answer else Later(_reason(error))
        return answer[-1]

    def _prepared(self) -> tuple[list[bytes], ssl.SSLContext | bool]:
        """The keys, and what verifies the receiver. Raises ConfigError."""
        keys = keys_in(self._table.secret_file)
        return keys, tls_context(self._table.ca_file) if self._table.url.startswith("https:") else True

    def _outcome(self, response: httpx.Response, told: str) -> Outcome:
        status = response.status_code
        if response.is_success:
            return Sent()
        why = f"the receiver answered {status}"
        if response.is_redirect or response.has_redirect_location:
            to = visible(response.headers.get("location", ""), 200)
            return Later(f"{why}, a redirect to {to!r}, which is not followed; put the right address into the settings")
        if told:
            why = f"{why}: {told}"
        if 400 <= status < 500 and status not in _AGAIN:
            return Never(why)
        return Later(why, self._asked_s(response.headers.get("retry-after")))

    def _asked_s(self, text: str | None) -> float | None:
        """Seconds, from either form of Retry-After (RFC 9110 10.2.3), within bounds; None where it says nothing."""
        if text is None:
            return None
        text = text.strip()
        if text.isascii() and text.isdecimal():
            asked = float(text[:12])
        else:
            try:
                asked = email.utils.parsedate_to_datetime(text).timestamp() - self._clock()
            except (ValueError, TypeError, OverflowError):
                return None
        return min(max(asked, 0.0), _ASKED_MOST_S)


async def _beginning(response: httpx.Response) -> str:
    """The beginning of a body, harmless to show; as it came, not unpacked."""
    data = b""
    async for piece in response.aiter_raw():
        data += piece
        if len(data) >= _TOLD_BYTES:
            break
    return visible(data[:_TOLD_BYTES].decode("utf-8", "backslashreplace").strip(), 200)


def _reason(error: Exception) -> str:
    return visible(f"{type(error).__name__}: {error}" if str(error) else type(error).__name__, 300)

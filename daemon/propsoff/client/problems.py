"""A refusal of a bench (RFC 9457, problem details) as the error that it is."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from propsoff.exceptions import (
    BeingReadError,
    BenchReplyError,
    NotAllowedError,
    NothingThereError,
    PropsoffError,
    RefusedError,
    RequestError,
    StaleError,
)

if TYPE_CHECKING:
    import httpx

PREFIX = "urn:propsoff:problem:"
_KINDS: Mapping[str, type[RequestError]] = {
    kind.slug: kind for kind in (NothingThereError, BeingReadError, NotAllowedError, StaleError)
}


def problem_of(response: httpx.Response, who: str) -> PropsoffError:
    """The error of an answer that is none of success; `who` is the bench that was asked."""
    problem = _document(response)
    slug = str(problem.get("type", "")).removeprefix(PREFIX) if problem else ""
    if problem is None or not str(problem.get("type", "")).startswith(PREFIX):
        return BenchReplyError(
            f"{who}: answered {response.status_code} {response.reason_phrase}; is that a bench of propsoff?"
        )
    text = str(problem.get("detail") or problem.get("title") or slug)
    if (kind := _KINDS.get(slug)) is not None:
        return kind(text)
    wanted = _wanted(problem.get("errors"))
    told = "; ".join(f"{where}: {what}" for where, what in wanted if what not in text)
    return RefusedError(f"{text} ({told})" if told else text, slug=slug, status=response.status_code, wanted=wanted)


def _document(response: httpx.Response) -> dict[str, Any] | None:
    try:
        told = json.loads(response.content)
    except (ValueError, RecursionError):
        return None
    return told if isinstance(told, dict) else None


def _wanted(errors: object) -> list[tuple[str, str]]:
    if not isinstance(errors, list):
        return []
    return [(str(each.get("where", "")), str(each.get("wanted", ""))) for each in errors if isinstance(each, dict)]

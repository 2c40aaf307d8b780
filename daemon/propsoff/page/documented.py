"""How routes say in the interface's description what they answer with."""

from __future__ import annotations

from typing import Any

from propsoff.page.problems import KINDS, MEDIA_TYPE

PROBLEM_REF = {"$ref": "#/components/schemas/Problem"}
ALWAYS = ("bad-request", "no-token", "wrong-origin", "wrong-host", "too-many", "fault")
"""What any call may be answered with."""
PROBLEM_SCHEMA: dict[str, Any] = {
    "title": "Problem",
    "description": "Problem details. Source: RFC 9457.",
    "type": "object",
    "required": ["type", "title", "status", "detail", "instance"],
    "properties": {
        "type": {"type": "string", "enum": [f"urn:propsoff:problem:{slug}" for slug in sorted(KINDS)]},
        "title": {"type": "string"},
        "status": {"type": "integer"},
        "detail": {"type": "string", "description": "For people: what, where, and what to do."},
        "instance": {"type": "string"},
        "errors": {
            "type": "array",
            "items": {
                "type": "object",
                "required": ["where", "wanted"],
                "properties": {"where": {"type": "string"}, "wanted": {"type": "string"}},
                "additionalProperties": False,
            },
        },
    },
    "additionalProperties": False,
}

Responses = dict[int | str, dict[str, Any]]


def answers(*slugs: str, **media: str) -> Responses:
    """The problems that a route may be answered with, beside those of any; 422 is a request that does not fit.

    `media` are answers that are no JSON document of a model, as `s200="image/svg+xml"`.
    """
    by_status: dict[int, list[str]] = {422: ["The request does not fit"]}
    for slug in (*ALWAYS, *slugs):
        by_status.setdefault(KINDS[slug].status, []).append(f"{KINDS[slug].title} ({slug})")
    found: Responses = {
        status: {"description": "; ".join(titles), "content": {MEDIA_TYPE: {"schema": PROBLEM_REF}}}
        for status, titles in sorted(by_status.items())
    }
    for status, kind in media.items():
        found[int(status[1:])] = {
            "description": "Successful Response",
            "content": {kind: {"schema": {"type": "string"}}},
        }
    return found

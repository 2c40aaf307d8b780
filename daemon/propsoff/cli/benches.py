"""What commands that ask a running bench share: which one, and with what token."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from propsoff.client.blocking import BenchClient
    from propsoff.console.capture import Capture
    from propsoff.inspection.report import Report
    from propsoff.settings import Settings


def bench_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """`--url` and `--token-file`."""
    token = click.option(
        "--token-file",
        type=click.Path(path_type=Path),
        help="File with the token of that bench; by default the setting page.token_file.",
    )
    url = click.option("--url", metavar="URL", help="Another bench, such as http://bench-2.example:8423.")
    return url(token(command))


def asked_bench(settings: Settings, url: str | None, token_file: Path | None) -> BenchClient:
    """The bench at a URL, else the one that runs with the state folder of the settings.

    Raises NoBenchError, with how to start one; SettingsError for an address or token that is none.
    """
    from propsoff.client.address import token_of
    from propsoff.client.blocking import BenchClient

    file = token_file or settings.page.token_file
    if url is not None:
        return BenchClient(url, token=None if file is None else token_of(file))
    from propsoff.client.found import must_run

    service = must_run(settings.bench.state)
    token = token_of(file) if file is not None and service.socket is None else None
    return BenchClient.of(service, token=token)


def capture_of(bench: BenchClient, report: Report) -> Capture | None:
    """The conversation that a report of a bench was read from; None where it cannot be had."""
    from propsoff.console.capture import parse_cast
    from propsoff.exceptions import PropsoffError

    try:
        return parse_cast(bench.capture(report.id), report.id)
    except PropsoffError:
        return None

"""What a bench of the command line has beside it: page, interface, and what leaves it by itself."""

from __future__ import annotations

import socket
import sys
from collections.abc import Callable
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from propsoff.bench.events import Watcher
    from propsoff.bench.running import Leaving, Serve
    from propsoff.bench.setup import Log
    from propsoff.settings import Settings


def served(settings: Settings, log: Log) -> list[Serve]:
    """Those who let others see and ask the bench. Raises SettingsError for a page that must not be served so."""
    if not (settings.page.enabled or settings.page.socket):
        return []
    from propsoff.page.service import service

    def say(event: str, **values: object) -> object:
        if event == "served" and values.get("url"):
            click.echo(f"The page: {values['url']}")
        return log.info(event, **values)

    return [service(settings, say)]


def is_free(port: int) -> bool:
    """Whether nobody has this TCP port of this machine."""
    with socket.socket() as one:
        if sys.platform != "win32":  # there it would take a port that another process has
            one.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            one.bind(("127.0.0.1", port))
        except OSError:
            return False
    return True


def leaving(settings: Settings, log: Log) -> Callable[[Watcher], Leaving | None]:
    """What lets reports leave the bench, where the settings name a target."""

    def make(watcher: Watcher) -> Leaving | None:
        if not settings.outgoing.anything:
            return None
        from propsoff.outgoing.outgoing import outgoing_of

        return outgoing_of(settings, log, watcher)

    return make

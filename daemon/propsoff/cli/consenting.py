"""What `propsoff allow`, `deny` and `revoke` share: the operator's consents."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

from propsoff.cli.common import complain, loaded_settings, must_be_folder, screen
from propsoff.exceptions import TargetError

if TYPE_CHECKING:
    from propsoff.ports.facts import Port

SCOPES = ("board", "kind", "socket")


def consent(
    ctx: click.Context,
    verdict: Literal["allow", "deny"],
    port: str | None,
    scope: str | None,
    note: str,
    folder: Path | None = None,
) -> int:
    """Keep the operator's word on a port, or list all words when no port is named.

    Raises TargetError when the port is not attached, SettingsError when it lacks what the scope needs.
    """
    from propsoff.bench.setup import attached_ports, consent_store
    from propsoff.ports.consent import scopes_for

    must_be_folder(folder)
    loaded = loaded_settings(ctx, ports__folder=folder)
    store = consent_store(loaded.settings)
    if port is None:
        return _list(ctx)
    attached = asyncio.run(attached_ports(loaded.settings, on_trouble=complain))
    found = _called(port, attached)
    scopes = scopes_for(found)
    if scope is None and not scopes:
        raise TargetError(f"{port}: it has no USB identity; name it each time instead: propsoff inspect {port}")
    chosen = next(each for each in SCOPES if each == (scope or scopes[0]))
    kept = store.add(
        found,
        chosen,  # type: ignore[arg-type]  # one of the three words
        verdict,
        lambda: datetime.now(UTC),
        note=note,
        attached=attached,
    )
    click.echo(f"kept: {kept}")
    if verdict == "allow":
        click.echo("Boards that this covers are opened and asked for their settings when they are plugged in.")
    click.echo(f"Take it back with: propsoff revoke {kept.id}")
    return 0


def _called(name: str, attached: Sequence[Port]) -> Port:
    """The port of this device, USB path or socket. Raises TargetError when none that is attached is called so."""
    path = str(Path(name).absolute())
    names = ((each, (each.device, each.usb.path, each.usb.socket)) for each in attached)
    found = next((each for each, called in names if name in called or path in called), None)
    if found is None:
        there = ", ".join(each.device for each in attached)
        seen = f"Attached are: {there}" if there else "No port is attached"
        raise TargetError(f"{name}: is not attached now, so its identity is not known. {seen}")
    return found


def _list(ctx: click.Context) -> int:
    from propsoff.bench.setup import consent_store
    from propsoff.outputs.tables import show_table

    store = consent_store(loaded_settings(ctx).settings)
    consents = store.all()
    if not consents:
        click.echo(f"No consent is kept in {store.path}.")
        return 0
    rows = []
    for each in consents:
        what = " ".join(
            part
            for part in (
                f"{each.vid:04x}:{each.pid:04x}" if each.vid is not None and each.pid is not None else None,
                each.serial_number,
                each.product,
                each.path,
            )
            if part
        )
        rows.append((each.id, each.verdict, each.scope, what, each.when, each.note))
    show_table(screen(), ("id", "word", "scope", "what it covers", "since", "note"), rows)
    return 0

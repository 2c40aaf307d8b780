"""`propsoff ports`: what is attached, and what the policy says of each port and why."""

from __future__ import annotations

import asyncio
import json
from pathlib import Path

import click

from propsoff.cli.common import complain, gathered, loaded_settings, must_be_folder, screen
from propsoff.cli.writing import print_json


@click.command()
@click.option("--folder", type=click.Path(path_type=Path), help="Also look into this folder of links.")
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
@click.pass_context
def command(ctx: click.Context, folder: Path | None, as_json: bool) -> int:
    """What is attached, whether it would be opened, and why."""
    from propsoff.bench.setup import attached_ports, policy_of
    from propsoff.bench.visit import port_texts
    from propsoff.outputs.tables import show_table

    must_be_folder(folder)
    loaded = loaded_settings(ctx, ports__folder=folder)
    tools = gathered(loaded)
    policy = policy_of(tools)
    ports = asyncio.run(attached_ports(loaded.settings, on_trouble=complain))
    rows = [(port, policy.decide(port, ports)) for port in ports]
    if as_json:
        listed = [
            {**port_texts(port), "opens": decision.open, "rule": decision.rule, "reason": decision.reason}
            for port, decision in rows
        ]
        print_json(json.dumps(listed, indent=2))
        return 0
    if not rows:
        click.echo("No port is attached. Plug a board in, propellers off, and look again.")
        return 0
    cells = []
    for port, decision in rows:
        usb = port.usb
        who = " ".join(part for part in (usb.vid_pid, usb.product, usb.serial_number) if part) or "-"
        cells.append((port.device, who, usb.socket or "-", "opens" if decision.open else "stays shut", decision.reason))
    show_table(screen(), ("port", "device", "socket", "policy", "because"), cells, paths=("port",))
    return 0

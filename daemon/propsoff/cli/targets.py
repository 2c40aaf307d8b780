"""What a person names on the command line: a port, or a saved capture."""

from __future__ import annotations

import stat
from pathlib import Path
from typing import TYPE_CHECKING

from propsoff.exceptions import TargetError

if TYPE_CHECKING:
    from propsoff.console.capture import Capture
    from propsoff.library import Toolbox


def kind_of(target: str) -> str:
    """`port` or `capture`. Raises TargetError when it is neither."""
    from propsoff.ports.target import check_url, is_serial

    if not target.strip():
        raise TargetError("an empty name is no target: give a path such as /dev/ttyACM0, a URL, or a saved capture")
    if "://" in target:
        check_url(target)
        return "port"
    path = Path(target)
    try:
        status = path.stat()
    except FileNotFoundError:
        raise TargetError(f"{target}: there is no such port or file; see what is attached: propsoff ports") from None
    except OSError as error:
        raise TargetError(f"{target}: {error.strerror}") from None
    mode = status.st_mode
    if stat.S_ISCHR(mode):
        if not is_serial(status.st_rdev):
            raise TargetError(f"{target}: is not a serial port; see what is attached: propsoff ports")
        return "port"
    if stat.S_ISREG(mode):
        return "capture"
    hint = f"; for a folder of captures: propsoff batch {target} --out FOLDER" if stat.S_ISDIR(mode) else ""
    raise TargetError(f"{target}: neither a port nor a capture{hint}")


def conversation_of(target: str, tools: Toolbox) -> Capture:
    """The conversation with a target: read from a file, or held on a port now.

    Raises TargetError, CaptureError, PortError; click.Abort when somebody ended it: half a board is not the board.
    """
    import asyncio

    import click

    from propsoff.bench.once import inspect_ports
    from propsoff.console.capture import load_capture

    if kind_of(target) == "capture":
        return load_capture(Path(target))
    [visited] = asyncio.run(inspect_ports([target], tools))
    if visited.stopped:
        raise click.Abort
    return visited.capture

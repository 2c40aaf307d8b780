"""What a person names on the command line: a port, or a saved capture."""

from __future__ import annotations

import stat
from pathlib import Path

from propsoff.exceptions import TargetError


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

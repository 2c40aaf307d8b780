"""A large capture of a caller, inspected in a process of its own: some megabytes would hold up this one for seconds.

The child is told the settings and the capture on its standard input, answers with the report on its standard output,
yields to whatever else wants the processor, and is killed when it takes too long.
"""

from __future__ import annotations

import asyncio
import contextlib
import hashlib
import json
import os
import sys
from dataclasses import replace
from typing import TYPE_CHECKING

from propsoff.console.capture import parse_cast, pasted
from propsoff.exceptions import CaptureError

if TYPE_CHECKING:
    from propsoff.library import Toolbox
    from propsoff.settings import Settings

_REFUSED = 3
_NICE = 10
_MOST_BYTES = 2 << 30


class TooLongError(Exception):
    """The inspection took longer than it may."""


def inspected(tools: Toolbox, data: bytes, *, cast: bool) -> bytes:
    """The report of a capture as JSON. Raises CaptureError."""
    capture = parse_cast(data, "the capture") if cast else pasted(data)
    capture = replace(capture, digest=hashlib.sha256(data).hexdigest())
    return tools.inspect(capture).to_json().encode()


async def inspected_elsewhere(settings: Settings, data: bytes, *, cast: bool, deadline_s: float) -> bytes:
    """The same by a child. Raises CaptureError; TooLongError after `deadline_s`; RuntimeError when the child failed."""
    child = await asyncio.create_subprocess_exec(
        sys.executable,
        "-m",
        "propsoff.bench.elsewhere",
        stdin=asyncio.subprocess.PIPE,
        stdout=asyncio.subprocess.PIPE,
        stderr=asyncio.subprocess.PIPE,
    )
    task = json.dumps({"settings": settings.model_dump_json(), "cast": cast}).encode()
    try:
        async with asyncio.timeout(deadline_s):
            out, err = await child.communicate(task + b"\n" + data)
    except TimeoutError:
        raise TooLongError(f"the inspection was not done within {deadline_s:g} s") from None
    finally:
        with contextlib.suppress(ProcessLookupError):
            child.kill()
        await child.wait()
    if child.returncode == _REFUSED:
        raise CaptureError(err.decode("utf-8", "replace").strip())
    if child.returncode != 0:
        raise RuntimeError(f"the inspection ended with {child.returncode}: {err[-2000:].decode('utf-8', 'replace')}")
    return out


def main() -> int:
    """The child: reads the task, writes the report."""
    _be_modest()
    from propsoff.library import toolbox
    from propsoff.settings import Settings

    task = json.loads(sys.stdin.buffer.readline())
    data = sys.stdin.buffer.read()
    try:
        report = inspected(toolbox(Settings.model_validate_json(task["settings"])), data, cast=task["cast"])
    except CaptureError as error:
        sys.stderr.write(str(error))
        return _REFUSED
    sys.stdout.buffer.write(report)
    return 0


def _be_modest() -> None:
    """Boards go first, and one caller does not take all memory."""
    if sys.platform != "win32":
        import resource

        # A service may be forbidden to set its own bounds (SystemCallFilter=~@resources): it inspects all the same.
        with contextlib.suppress(OSError):
            os.nice(_NICE)
        with contextlib.suppress(ValueError, OSError):
            resource.setrlimit(resource.RLIMIT_AS, (_MOST_BYTES, _MOST_BYTES))


if __name__ == "__main__":
    sys.exit(main())

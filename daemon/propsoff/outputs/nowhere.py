"""A stream whose reader went away: what is written from then on goes nowhere, and nothing fails for it."""

from __future__ import annotations

import contextlib
import os
from typing import IO


def lead_nowhere(stream: IO[str]) -> None:
    """Let the stream's file lead nowhere, so that neither a write nor Python's flush at the end fails again."""
    with contextlib.suppress(OSError, ValueError):  # a stream that is no file, or is closed
        nowhere = os.open(os.devnull, os.O_WRONLY)
        try:
            os.dup2(nowhere, stream.fileno())
        finally:
            os.close(nowhere)

"""Running a program with a deadline, in a process group of its own. It blocks: to be run in a thread."""

from __future__ import annotations

import contextlib
import os
import selectors
import signal
import subprocess
import tempfile
import threading
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Literal

_LOOK_S = 0.05
_CHUNK = 65536
_REAP_S = 5.0


@dataclass(frozen=True, slots=True)
class Ended:
    """How a program ended: `code` is its exit code, or minus the signal that ended it; `left_out` counts bytes."""

    why: Literal["exit", "deadline", "stopped"]
    code: int | None
    output: bytes
    left_out: int


def run_process(
    argv: Sequence[str],
    data: bytes,
    environment: Mapping[str, str],
    *,
    folder: Path,
    deadline_s: float,
    most_bytes: int,
    stop: threading.Event,
) -> Ended:
    """Run a program in `folder` with `data` as its standard input until it ends, `deadline_s` passes or `stop` is set.

    Of what it prints, the first `most_bytes` are kept. In each case its whole process group is ended. Raises OSError
    when it cannot be started.
    """
    with tempfile.TemporaryFile() as given:
        given.write(data)
        given.seek(0)
        process = subprocess.Popen(
            list(argv),
            stdin=given,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            env=dict(environment),
            cwd=folder,
            start_new_session=True,
        )
    assert process.stdout is not None
    with process.stdout as pipe:
        said = _Said(pipe, most_bytes)
        try:
            why = _watched(process, said, time.monotonic() + deadline_s, stop)
        finally:
            # Before it is reaped: until then its number, which names the group, cannot be given to another.
            with contextlib.suppress(ProcessLookupError, PermissionError):
                os.killpg(process.pid, signal.SIGKILL)
            with contextlib.suppress(subprocess.TimeoutExpired):
                process.wait(_REAP_S)
        said.take(0)
        said.close()
        return Ended(why, process.returncode, bytes(said.kept), said.left_out)


def _watched(
    process: subprocess.Popen[bytes], said: _Said, end_s: float, stop: threading.Event
) -> Literal["exit", "deadline", "stopped"]:
    while not _exited(process):
        left_s = end_s - time.monotonic()
        if left_s <= 0:
            return "deadline"
        if stop.is_set():
            return "stopped"
        said.take(min(left_s, _LOOK_S))
    return "exit"


def _exited(process: subprocess.Popen[bytes]) -> bool:
    """Whether it has ended; it is left to be reaped later, where the system can."""
    if hasattr(os, "waitid"):
        return os.waitid(os.P_PID, process.pid, os.WEXITED | os.WNOHANG | os.WNOWAIT) is not None
    return process.poll() is not None


class _Said:
    """What a program prints: the first bytes kept, the rest counted."""

    def __init__(self, pipe: IO[bytes], most: int) -> None:
        self._pipe, self._most = pipe, most
        self.kept, self.left_out = bytearray(), 0
        os.set_blocking(pipe.fileno(), False)
        self._selector = selectors.DefaultSelector()
        self._selector.register(pipe, selectors.EVENT_READ)

    def take(self, wait_s: float) -> None:
        """Take what is there, waiting up to `wait_s` seconds for the first of it."""
        if not self._selector.select(wait_s):
            return
        data = os.read(self._pipe.fileno(), _CHUNK)
        if not data:
            self._selector.unregister(self._pipe)
        room = max(self._most - len(self.kept), 0)
        self.kept += data[:room]
        self.left_out += len(data[room:])

    def close(self) -> None:
        """No more is taken."""
        self._selector.close()

"""The sockets that a bench listens on: one over TCP, one in its state folder for programs of this user."""

from __future__ import annotations

import contextlib
import errno
import os
import shutil
import socket
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

from propsoff.exceptions import SettingsError

NAME = "bench.sock"
_LONGEST = 100
"""Bytes of a path that every system takes for a socket (108 on Linux, 104 elsewhere, with the closing zero)."""
_BACKLOG = 128


def tcp_socket(address: str, port: int) -> socket.socket:
    """Listens at an address. Raises SettingsError when that cannot be."""
    try:
        found = socket.getaddrinfo(address, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE)
        family, kind, protocol, _, where = found[0]
        listener = socket.socket(family, kind, protocol)
    except (OSError, UnicodeError) as error:
        raise SettingsError(f"{address}: cannot be served there: {error}", key="page.address") from None
    try:
        if sys.platform != "win32":  # there it would let a second process take the port
            listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listener.bind(where)
        listener.listen(_BACKLOG)
        listener.setblocking(False)
    except OSError as error:
        listener.close()
        taken = error.errno == errno.EADDRINUSE
        hint = "another process has it: stop that, or set another page.port" if taken else None
        raise SettingsError(
            f"{address} port {port}: cannot be served there: {error.strerror or error}",
            key="page.port" if taken else "page.address",
            hint=hint,
        ) from None
    return listener


@dataclass(frozen=True)
class LocalSocket:
    """A Unix socket that listens, and where it is. `folder` is one that was made for it alone."""

    listener: socket.socket
    path: Path
    folder: Path | None = None
    mark: tuple[int, int, int] | None = None
    """What tells its name from one that another bench put there since."""

    def withdraw(self) -> None:
        """Take its name away, unless another bench has it by now; who has connected is served on."""
        # A bench that began while this one had its last words may have taken the name over.
        with contextlib.suppress(OSError):
            if _mark_of(self.path) == self.mark:
                self.path.unlink()

    def remove(self) -> None:
        """Take its name away, and close it."""
        self.withdraw()
        with contextlib.suppress(OSError):
            self.listener.close()
        if self.folder is not None:
            shutil.rmtree(self.folder, ignore_errors=True)


def local_socket(state: Path) -> LocalSocket | None:
    """A socket that only this user can open; None on systems without such sockets.

    Raises SettingsError when another bench uses this state folder, OSError when it cannot be made.
    """
    if not hasattr(socket, "AF_UNIX"):
        return None
    if not state.exists():
        state.mkdir(parents=True, exist_ok=True)
        state.chmod(0o700)
    path, folder = state / NAME, None
    if len(os.fsencode(path)) > _LONGEST or not _is_ours(state):
        folder = Path(tempfile.mkdtemp(prefix="propsoff-"))
        path = folder / NAME
    elif path.exists() or path.is_symlink():
        _refuse_second(path)
        path.unlink()
    try:
        return LocalSocket(_listening(path), path, folder, _mark_of(path))
    except BaseException:  # also when it is stopped
        if folder is not None:
            shutil.rmtree(folder, ignore_errors=True)
        raise


def _mark_of(path: Path) -> tuple[int, int, int]:
    """Raises OSError. A number of a file is given again as soon as it is free, so its time counts too."""
    about = path.lstat()
    return about.st_dev, about.st_ino, about.st_mtime_ns


def _is_ours(folder: Path) -> bool:
    """Whether nobody else could put a socket of his own there."""
    about = folder.stat()
    return about.st_uid == os.geteuid() and not about.st_mode & 0o022


def _listening(path: Path) -> socket.socket:
    listener = socket.socket(socket.AF_UNIX, socket.SOCK_STREAM)
    try:
        # Its rights are there before its name is (Linux); elsewhere the second line has to do.
        with contextlib.suppress(OSError):
            os.fchmod(listener.fileno(), 0o600)
        listener.bind(os.fspath(path))
        path.chmod(0o600)
        listener.listen(_BACKLOG)
        listener.setblocking(False)
    except OSError:
        listener.close()
        raise
    return listener


def _refuse_second(path: Path) -> None:
    """Raises SettingsError when somebody answers there; a socket that a dead process left behind is nobody's."""
    probe = socket.socket(socket.AF_UNIX, socket.SOCK_STREAM)
    probe.settimeout(1.0)
    try:
        probe.connect(os.fspath(path))
    except TimeoutError:
        pass
    except OSError:
        return
    finally:
        probe.close()
    raise SettingsError(
        f"{path}: another bench is at work with this state folder",
        key="bench.state",
        hint="stop it, or set another folder",
    )

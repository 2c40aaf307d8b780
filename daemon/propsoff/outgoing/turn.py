"""Whose turn it is to send what waits in a state folder: one process at a time, or each report would go out twice."""

from __future__ import annotations

import errno
import os
import sys
from pathlib import Path

_NO_LOCKS = frozenset({errno.ENOLCK, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS, errno.EINVAL})
_NAME = "lock"


class Turn:
    """The turn at one folder. The system takes it back when the process ends, however it ends."""

    def __init__(self, folder: Path) -> None:
        self._path = folder / _NAME
        self._held: int | None = None

    def take(self) -> bool:
        """Whether it is this process's turn now. Raises OSError when that cannot be found out.

        Always true on systems and file systems that have no locks.
        """
        if sys.platform == "win32" or self._held is not None:
            return True
        import fcntl

        self._path.parent.mkdir(parents=True, exist_ok=True)
        # Not handed down to the commands that are run: one that outlives the bench would keep it.
        descriptor = os.open(self._path, os.O_RDWR | os.O_CREAT | os.O_NOFOLLOW | os.O_CLOEXEC, 0o600)
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            os.close(descriptor)
            return False
        except OSError as error:
            os.close(descriptor)
            if error.errno not in _NO_LOCKS:
                raise
            return True
        self._held = descriptor
        return True

    def leave(self) -> None:
        """Let another process have it."""
        held, self._held = self._held, None
        if held is not None:
            os.close(held)

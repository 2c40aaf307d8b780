"""Writing files so that each appears whole or not at all."""

from __future__ import annotations

import contextlib
import errno
import os
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

_NO_LINKS = frozenset({errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP, errno.EMLINK, errno.ENOSYS})
_MODE = 0o644


def _another(_: Path) -> bool:
    return False


def write_new(
    folder: Path,
    stem: str,
    suffix: str,
    data: bytes,
    *,
    sync: bool = True,
    is_there: Callable[[Path], bool] = _another,
) -> Path:
    """Write a new file `stem + suffix` into `folder` (made if need be), atomically; `-2`... when the name is taken.

    With `sync` it is on the disk before it has its name. A file of such a name of which `is_there` says that it is what
    is to be written stays, and is given. Raises OSError, leaving nothing behind.
    """
    folder.mkdir(parents=True, exist_ok=True)
    with _temporary(folder, data, sync=sync) as temporary:
        for number in range(1, 10_000):
            target = folder / f"{stem}{f'-{number}' if number > 1 else ''}{suffix}"
            if _named(temporary, target) or is_there(target):
                if sync:
                    _sync_folder(folder)
                return target
    raise FileExistsError(errno.EEXIST, "too many files of this name", str(folder / f"{stem}{suffix}"))


def replace_file(path: Path, data: bytes, *, sync: bool = True) -> None:
    """Write a file, atomically taking the place of the one that is there. Raises OSError, leaving the old one."""
    path.parent.mkdir(parents=True, exist_ok=True)
    # Another user's daemon may read what the command line writes: the file stays as open as it was.
    mode = path.stat().st_mode & 0o777 if path.exists() else _MODE
    with _temporary(path.parent, data, sync=sync, mode=mode) as temporary:
        temporary.replace(path)
        if sync:
            _sync_folder(path.parent)


@contextlib.contextmanager
def _temporary(folder: Path, data: bytes, *, sync: bool, mode: int = _MODE) -> Iterator[Path]:
    handle, name = tempfile.mkstemp(dir=folder, prefix=".propsoff-", suffix=".part")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            if sync:
                file.flush()
                os.fsync(file.fileno())
        Path(name).chmod(mode)
        yield Path(name)
    finally:
        Path(name).unlink(missing_ok=True)


def _named(temporary: Path, target: Path) -> bool:
    """Give the finished file its name; False when the name is taken."""
    try:
        os.link(temporary, target)
    except FileExistsError:
        return False
    except OSError as error:
        if error.errno not in _NO_LINKS:
            raise
        if target.exists():  # a file system without links, such as that of a USB stick
            return False
        temporary.replace(target)
    return True


def _sync_folder(folder: Path) -> None:
    """Make the new name itself last through a power cut."""
    if sys.platform != "win32":
        handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)

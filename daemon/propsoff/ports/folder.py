"""Ports as links in a watched folder: a link appears, a port arrived; it vanishes, the port is gone.

For benches whose own rules lay links, and for the simulator. Beside ``NAME`` an optional ``NAME.usb.json`` tells its
USB identity. Names that begin with a dot are not looked at: a link is made under such a name and then renamed.
"""

from __future__ import annotations

import asyncio
import os
import stat
from collections.abc import AsyncGenerator
from concurrent.futures import ThreadPoolExecutor
from contextlib import aclosing
from pathlib import Path

from propsoff.exceptions import PortGoneError, TargetError
from propsoff.ports.described import described
from propsoff.ports.facts import Movement, Port
from propsoff.ports.folder_changes import Changes, changes
from propsoff.ports.roster import Roster, Sighting

RESCAN_MS = 1000
"""How often the folder is read without a change in it: where a link leads may come or go elsewhere."""


class FolderSource:
    """The links of `folder` that lead to a serial port (a character device); other entries are ignored."""

    name = "folder"

    def __init__(self, folder: str | os.PathLike[str], *, rescan_ms: int = RESCAN_MS, watch: Changes = changes) -> None:
        # Absolute, so that a device stays what it is when the working directory changes.
        self._folder = Path(folder).absolute()
        self._rescan_ms = rescan_ms
        self._watch = watch
        self.settled = asyncio.Event()

    async def movements(self) -> AsyncGenerator[Movement, None]:
        """Arrivals of the links that are there, then the changes.

        Raises TargetError when the folder is no folder or may not be read, PortError when it cannot be watched,
        PortGoneError (after the departures) when the folder itself is removed or replaced.
        """
        loop = asyncio.get_running_loop()
        worker = ThreadPoolExecutor(1, thread_name_prefix="propsoff-folder")
        roster, here = Roster(), dict[str, Sighting]()
        try:
            folder = await loop.run_in_executor(worker, self._folder_itself)
            async with aclosing(self._watch(self._folder, self._rescan_ms)) as watch:
                async for _ in watch:
                    seen = await loop.run_in_executor(worker, self._links, folder, here)
                    here = seen or {}
                    for movement in roster.settle(here):
                        yield movement
                    self.settled.set()
                    if seen is None:
                        raise PortGoneError(str(self._folder), "the watched folder was removed or replaced")
        finally:
            self.settled.set()
            worker.shutdown(wait=False)

    def _folder_itself(self) -> tuple[int, int]:
        """Device and inode of the folder. Raises TargetError."""
        try:
            status = self._folder.stat()
            os.scandir(self._folder).close()
        except FileNotFoundError:
            raise TargetError(f"{self._folder}: no such folder to watch; make it first, or name another") from None
        except NotADirectoryError:
            raise TargetError(f"{self._folder}: is not a folder; name the folder that the links are laid in") from None
        except OSError as error:
            raise TargetError(f"{self._folder}: cannot be read: {error.strerror}") from error
        return status.st_dev, status.st_ino

    def _links(self, folder: tuple[int, int], before: dict[str, Sighting]) -> dict[str, Sighting] | None:
        """The ports by the names of their links; None when the folder is no longer the one that is watched."""
        try:
            status = self._folder.stat()
            if (status.st_dev, status.st_ino) != folder:
                return None
            names = sorted(entry.name for entry in os.scandir(self._folder))
        except OSError:
            return None
        seen = ((name, self._sighting(name, before.get(name))) for name in names if not name.startswith("."))
        return {name: sighting for name, sighting in seen if sighting is not None}

    def _sighting(self, name: str, before: Sighting | None) -> Sighting | None:
        """None for a link that leads nowhere, or to something that is no serial port."""
        path = self._folder / name
        try:
            link, target = path.lstat(), path.stat()
            leads_to = path.readlink()
        except OSError:
            return None
        if not stat.S_ISCHR(target.st_mode):
            return None
        # The link's own inode and time: the same target under a new link is another stay (a pseudo-terminal's number is
        # given out again at once).
        stamp = (link.st_ino, link.st_mtime_ns, str(leads_to), target.st_rdev, target.st_ino)
        if before is not None and before.stamp == stamp:
            # What a board is does not change while it is plugged in, also when its description goes before its link.
            return before
        usb, problem = described(path)
        return Sighting(Port(str(path), usb, "folder", problem), stamp)

"""Where the files of a report are."""

from __future__ import annotations

import asyncio
import contextlib
from collections import OrderedDict
from pathlib import Path
from typing import TYPE_CHECKING

from propsoff.threads import in_thread

if TYPE_CHECKING:
    from propsoff.outgoing.outbox import Head

_REMEMBERED = 1000
_NUMBERED = 20


class KeptFiles:
    """Finds the report file of a report: as the bench told, or by its name in the folder of reports."""

    def __init__(self, folder: Path, *, wait_s: float = 5.0) -> None:
        self._folder, self._wait_s = folder, wait_s
        self._told: OrderedDict[str, Path] = OrderedDict()
        self._more = asyncio.Event()

    def note(self, report: str, path: Path) -> None:
        """The bench wrote this report to this file."""
        self._told[report] = path
        while len(self._told) > _REMEMBERED:
            self._told.popitem(last=False)
        self._more.set()
        self._more = asyncio.Event()

    async def of(self, head: Head, *, fresh: bool) -> Path | None:
        """The file of a report; None when there is none. A `fresh` one may be about to be written: it is waited for."""
        found = await self._there(head)
        if found is None and fresh:
            with contextlib.suppress(TimeoutError):
                async with asyncio.timeout(self._wait_s):
                    while head.report not in self._told:
                        await self._more.wait()
            found = await self._there(head)
        return found

    async def _there(self, head: Head) -> Path | None:
        told = self._told.get(head.report)
        return await in_thread(lambda: told if told and told.exists() else self._found(head), "report file")

    def _found(self, head: Head) -> Path | None:
        stem = Path(Path(head.capture or head.report).name).stem
        for number in range(1, _NUMBERED):
            path = self._folder / f"{stem}{f'-{number}' if number > 1 else ''}.json"
            try:
                with path.open("rb") as file:
                    beginning = file.read(4096)
            except OSError:
                return None
            if f'"{head.report}"'.encode() in beginning:
                return path
        return None

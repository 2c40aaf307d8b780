"""One command: a program that is run for a report. No shell, nothing of the report in its arguments."""

from __future__ import annotations

import asyncio
import os
import threading
from pathlib import Path
from typing import TYPE_CHECKING

from propsoff.exceptions import SettingsError
from propsoff.outgoing.lane import Later, Never, Outcome, Sent
from propsoff.outgoing.process import Ended, run_process
from propsoff.outputs.escape import visible
from propsoff.threads import in_thread

if TYPE_CHECKING:
    from propsoff.outgoing.kept import KeptFiles
    from propsoff.outgoing.lane import Voice
    from propsoff.outgoing.outbox import Entry
    from propsoff.outgoing.section import CommandTable

MOST_OUTPUT = 16 * 1024
"""So many bytes of what a command prints come into the log."""
NOT_THIS_ONE = os.EX_DATAERR if hasattr(os, "EX_DATAERR") else 65
"""The exit code by which a command refuses a report for good (EX_DATAERR of sysexits.h)."""
_PASSED_ON = ("PATH", "HOME", "LANG", "LC_ALL", "TZ")
_VALUE_MOST = 300
_END_S = 2.0


class Command:
    """Runs one program for each report. Raises SettingsError where the system has no process groups."""

    def __init__(self, table: CommandTable, *, kept: KeptFiles, folder: Path, voice: Voice) -> None:
        if not hasattr(os, "killpg"):
            raise SettingsError("needs a system with process groups", key="outgoing.commands", hint="use a web call")
        self._table, self._kept, self._folder, self._voice = table, kept, folder, voice
        self.name = f"command {table.name}"

    async def ready(self) -> None:
        """At once."""

    async def attempt(self, entry: Entry) -> Outcome:
        """Run it once. Exit code 0 is done, 65 is never, all else is tried again."""
        file = await self._kept.of(entry.head, fresh=entry.queued_s is not None)
        environment = command_environment(entry, file)
        stop = threading.Event()

        def run() -> Ended:
            return run_process(
                self._table.argv,
                entry.body,
                environment,
                folder=self._folder,
                deadline_s=self._table.deadline_s,
                most_bytes=MOST_OUTPUT,
                stop=stop,
            )

        running = asyncio.create_task(in_thread(run, self.name))
        try:
            ended = await asyncio.shield(running)
        except OSError as error:
            return Later(f"{visible(self._table.argv[0])} cannot be run: {error.strerror or error}")
        except asyncio.CancelledError:
            stop.set()
            await asyncio.wait({running}, timeout=_END_S)
            raise
        self._log(entry, ended)
        return self._outcome(ended)

    def _log(self, entry: Entry, ended: Ended) -> None:
        self._voice.log(
            "a command ended",
            command=self._table.name,
            report=entry.head.report,
            why=ended.why,
            code=ended.code,
            output=visible(ended.output.decode("utf-8", "backslashreplace")),
            left_out_bytes=ended.left_out,
        )

    def _outcome(self, ended: Ended) -> Outcome:
        if ended.why == "deadline":
            return Later(f"it ran longer than {self._table.deadline_s:g} s and was killed")
        if ended.code == 0:
            return Sent()
        last = visible(ended.output.decode("utf-8", "backslashreplace").strip().rpartition("\n")[2], 200)
        why = f"it ended with exit code {ended.code}" + (f": {last}" if last else "")
        return Never(why) if ended.code == NOT_THIS_ONE else Later(why)


def command_environment(entry: Entry, file: Path | None) -> dict[str, str]:
    """The whole environment of a command. What others typed is in it with its control characters written out."""
    head = entry.head
    environment = {name: os.environ[name] for name in _PASSED_ON if name in os.environ}
    environment["PATH"] = environment.get("PATH") or os.defpath
    environment["PROPSOFF_REPORT_ID"] = head.report
    environment["PROPSOFF_VERDICT"] = head.verdict
    environment["PROPSOFF_PLACE"] = visible(head.place or "", _VALUE_MOST)
    environment["PROPSOFF_CRAFT"] = visible(head.craft or "", _VALUE_MOST)
    if file is not None:
        environment["PROPSOFF_REPORT_FILE"] = str(file)
        capture = file.parent / Path(head.capture or f"{head.report}.cast").name
        if capture.exists():
            environment["PROPSOFF_CAPTURE_FILE"] = str(capture)
    return environment

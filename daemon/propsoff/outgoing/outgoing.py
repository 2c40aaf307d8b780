"""What leaves a bench by itself: the queues of all targets, worked in a thread of their own."""

from __future__ import annotations

import asyncio
import contextlib
from collections.abc import Callable, Collection, Coroutine, Iterator
from typing import TYPE_CHECKING, Any, Protocol

from propsoff.bench.events import Kept, Trouble, Watcher, guarded
from propsoff.bench.scene import Scene
from propsoff.exceptions import ConfigError, SettingsError
from propsoff.outgoing.command import Command
from propsoff.outgoing.kept import KeptFiles
from propsoff.outgoing.keyfile import open_to_others, secret_lines
from propsoff.outgoing.lane import BackOff, Lane, Target
from propsoff.outgoing.loop_thread import run_loop
from propsoff.outgoing.outbox import Outbox, waiting_files
from propsoff.outgoing.output import QueueOutput
from propsoff.outgoing.signing import keys_in
from propsoff.outgoing.standing import state_of_place
from propsoff.outgoing.turn import Turn
from propsoff.threads import in_thread, tell

if TYPE_CHECKING:
    from pathlib import Path

    from propsoff.bench.events import Event
    from propsoff.outgoing.broker import Broker
    from propsoff.outgoing.section import MqttTable, OutgoingSection
    from propsoff.settings import BenchSection, OutputSection

_FAREWELL_S = 5.0
_AGAIN_S = 60.0
_TURN_S = 1.0
"""How often it is looked whether another bench still sends what waits."""


class Log(Protocol):
    """The part of a structlog logger that is needed."""

    def info(self, event: str, **values: object) -> object:
        """What happened."""

    def warning(self, event: str, **values: object) -> object:
        """What a person should look at."""


class HasOutgoing(Protocol):
    """The part of the settings that is needed."""

    @property
    def bench(self) -> BenchSection:
        """The bench itself."""

    @property
    def output(self) -> OutputSection:
        """Where reports go."""

    @property
    def outgoing(self) -> OutgoingSection:
        """What leaves it."""


class _Aloud:
    """Says what becomes of reports to the log and, on the bench's loop, to its watcher; from any thread."""

    def __init__(self, log: Log, watcher: Watcher) -> None:
        self._log, self._watcher = log, guarded(watcher, log.warning)
        self.loop: asyncio.AbstractEventLoop | None = None

    def log(self, event: str, **values: object) -> None:
        """For the log only."""
        self._log.info(event, **values)

    def trouble(self, text: str) -> None:
        """For people."""
        self._log.warning("outgoing", told=text)
        if self.loop is not None:
            tell(self.loop, self._watcher, Trouble(text))


def outgoing_of(settings: HasOutgoing, log: Log, watcher: Watcher) -> Outgoing | None:
    """What the settings want to leave the bench; None when that is nothing. `watcher` is told of what goes wrong.

    Raises SettingsError when MQTT is wanted and its library is not installed.
    """
    return Outgoing(settings, log, watcher) if settings.outgoing.anything else None


class Outgoing:
    """The targets of a bench. `outputs` belong into its deliveries; `watcher` is to be told of each of its events.

    `run` works until `close`; what waits then is on disk, and goes out when the bench runs again.
    """

    def __init__(self, settings: HasOutgoing, log: Log, watcher: Watcher) -> None:
        self._settings, self._section = settings, settings.outgoing
        self._folder: Path = settings.bench.state / "outgoing"
        self._voice = _Aloud(log, watcher)
        self._back_off = BackOff(self._section.back_off_s, self._section.back_off_most_s)
        self._turn = Turn(self._folder)
        self._kept = KeptFiles(settings.output.folder)
        self._scene = Scene(settings.bench.places)
        self._broker: Broker | None = None
        self._lanes: list[Lane] = []
        self._boxes: list[Outbox] = []
        self.outputs: list[QueueOutput] = []
        self._loop: asyncio.AbstractEventLoop | None = None
        self._stopping, self._closing, self._grace_s = asyncio.Event(), False, 0.0
        self._ended: asyncio.Event | None = None
        self._add_targets()

    def _add_targets(self) -> None:
        for command in self._section.commands:
            target = Command(command, kept=self._kept, folder=self._folder, voice=self._voice)
            self._add(f"command.{command.name}", target, command.verdicts)
        if self._section.calls:
            # Loading a library holds up every thread for a moment: better now than while a board talks.
            from propsoff.outgoing.call import WebCall
        for call in self._section.calls:
            self._add(f"call.{call.name}", WebCall(call), call.verdicts)
        if self._section.mqtt is not None:
            self._add_broker(self._section.mqtt)

    def _add_broker(self, table: MqttTable) -> None:
        try:
            from propsoff.outgoing.broker import Broker
            from propsoff.outgoing.reports import BrokerReports
        except ModuleNotFoundError as error:
            hint = "install it with pip install 'propsoff[mqtt]', or take the table out"
            raise SettingsError(f"needs the library {error.name}", key="outgoing.mqtt", hint=hint) from None
        self._broker = Broker(table, self._settings.bench.name, back_off=self._back_off, voice=self._voice)
        self._add("mqtt", BrokerReports(self._broker), ())

    def _add(self, folder: str, target: Target, verdicts: Collection[str]) -> None:
        outbox = Outbox(
            self._folder / folder,
            keep=self._section.keep,
            sync=self._settings.output.sync,
            say=lambda text: self._voice.trouble(f"{target.name}: {text}"),
        )
        lane = Lane(
            target,
            outbox,
            back_off=self._back_off,
            max_age_s=self._section.max_age_h * 3600,
            voice=self._voice,
        )
        outbox.wake = lambda: self._tell(lane.wake)
        self._lanes.append(lane)
        self._boxes.append(outbox)
        self.outputs.append(QueueOutput(target.name, outbox, verdicts))

    @property
    def waiting(self) -> int:
        """How many reports wait in all queues."""
        return sum(map(len, self._boxes))

    def watcher(self, event: Event) -> None:
        """Take an event of the bench, on its loop."""
        if isinstance(event, Kept):
            self._tell(self._kept.note, event.report.id, event.path)
        if self._broker is not None:
            before = self._scene.changed
            self._scene(event)
            self._show(before)

    def _show(self, since: int) -> None:
        """Tell the broker of the places that changed after change number `since`."""
        if self._broker is not None:
            scene = self._scene
            changed = [now for now in scene.places if now.changed > since]
            told = {now.place: state_of_place(now, scene.report(now.place)) for now in changed}
            self._tell(self._broker.show, told)

    async def run(self) -> None:
        """Work the queues until `close`. A fault of ours is said; it never ends the bench."""
        self._voice.loop = asyncio.get_running_loop()
        self._ended = asyncio.Event()
        try:
            await in_thread(lambda: run_loop(self._work), "outgoing")
        except Exception as error:  # noqa: BLE001  reports then wait on disk, and the bench goes on
            self._voice.trouble(f"nothing leaves the bench any more: {type(error).__name__}: {error}; reports wait")
        finally:
            self._tell(self._stopping.set)
            self._ended.set()

    async def close(self, grace_s: float | None = None) -> None:
        """End `run`: what is under way has `grace_s` seconds (None: the bench's grace), then it stays in the queue."""
        self._grace_s, self._closing = self._settings.bench.grace_s if grace_s is None else grace_s, True
        if self._ended is None:
            return
        self._tell(self._stopping.set)
        with contextlib.suppress(TimeoutError):
            await asyncio.wait_for(self._ended.wait(), self._grace_s + 2 * _FAREWELL_S)

    def _tell(self, call: Callable[..., object], *values: Any) -> None:
        if self._loop is not None:
            tell(self._loop, call, *values)

    async def _work(self) -> None:
        self._loop = asyncio.get_running_loop()
        if self._voice.loop is not None:  # what happened before there was anybody to tell
            tell(self._voice.loop, self._show, -1)
        if self._closing:
            self._stopping.set()
        for problem in await in_thread(lambda: list(self._problems()), "outgoing"):
            self._voice.trouble(problem)
        try:
            if await self._has_turn():
                await self._send()
        finally:
            self._turn.leave()

    async def _has_turn(self) -> bool:
        """Wait until no other bench sends what waits here; False when it is stopped before that."""
        waited = False
        while not self._stopping.is_set():
            try:
                mine = await in_thread(self._turn.take, "outgoing turn")
            except OSError as error:
                self._voice.trouble(f"{self._folder}: whether another bench sends cannot be seen: {error.strerror}")
                mine = True
            if mine:
                for box in self._boxes:
                    await in_thread(box.look_again, "outgoing queue")
                if waited:
                    self._voice.trouble(f"{self._folder}: the other bench has ended; this one sends now")
                return True
            if not waited:
                waited = True
                self._voice.trouble(
                    f"{self._folder}: another bench at work with this state folder sends what waits; the reports of "
                    "this one wait until that one has ended. Two benches need two state folders (bench.state)"
                )
            with contextlib.suppress(TimeoutError):
                await asyncio.wait_for(self._stopping.wait(), _TURN_S)
        return False

    async def _send(self) -> None:
        tasks = [asyncio.create_task(self._lasting(lane.run), name="outgoing lane") for lane in self._lanes]
        broker = None if self._broker is None else asyncio.create_task(self._lasting(self._broker.run), name="broker")
        try:
            await self._stopping.wait()
            with contextlib.suppress(TimeoutError):
                async with asyncio.timeout(self._grace_s):
                    while busy := [lane for lane in self._lanes if not lane.calm.is_set()]:
                        await busy[0].calm.wait()
            if self._broker is not None and broker is not None:
                farewell_s = _FAREWELL_S if self._broker.open.is_set() else 0.0
                self._broker.stop()
                await asyncio.wait({broker}, timeout=farewell_s)
        finally:
            every = [*tasks, *([broker] if broker else [])]
            for task in every:
                task.cancel()
            await asyncio.gather(*every, return_exceptions=True)

    async def _lasting(self, work: Callable[[], Coroutine[Any, Any, None]]) -> None:
        """Run it to its end; what it raises is said, and it is run again."""
        while True:
            try:
                return await work()
            except Exception as error:  # noqa: BLE001  a fault of ours in one queue must not stop the others
                self._voice.trouble(f"a fault in propsoff itself: {type(error).__name__}: {error}; reports wait")
                await asyncio.sleep(_AGAIN_S)

    def _problems(self) -> Iterator[str]:
        """What a person should know at the start."""
        secrets = [call.secret_file for call in self._section.calls]
        password = self._section.mqtt.password_file if self._section.mqtt else None
        for file in [*secrets, *([password] if password else [])]:
            try:
                _ = secret_lines(file) if file == password else keys_in(file)
            except ConfigError as error:
                yield str(error)
            if warning := open_to_others(file):
                yield warning
        mine = {box.folder for box in self._boxes}
        with contextlib.suppress(OSError):
            for folder in sorted(self._folder.iterdir()):
                if folder not in mine and (left := waiting_files(folder)):
                    yield f"{folder}: {len(left)} reports wait for a target that the settings do not name (any more)"

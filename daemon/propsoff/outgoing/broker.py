"""Telling an MQTT broker of the bench: whether it is there, what is at each place, and each report.

Topics: `PREFIX/BENCH/state` (`online`, and by the last will `offline`), `PREFIX/BENCH/place/PLACE`, both retained, and
`PREFIX/BENCH/report`. A broker acknowledges also what its access list refuses (MQTT 3.1.1, 3.3.5), so each message
is read back.
"""

from __future__ import annotations

import asyncio
import contextlib
import logging
from collections.abc import Mapping
from typing import TYPE_CHECKING

import aiomqtt

from propsoff.bench.places import place_id
from propsoff.exceptions import PropsoffError
from propsoff.outgoing.keyfile import secret_lines
from propsoff.outgoing.tls import tls_context
from propsoff.outputs.escape import visible
from propsoff.threads import in_thread

if TYPE_CHECKING:
    import ssl

    from propsoff.outgoing.lane import BackOff, Voice
    from propsoff.outgoing.section import MqttTable

ONLINE, OFFLINE = b"online", b"offline"
_FAREWELL_S, _LAST_WORD_S = 3.0, 1.0
_REASONS = 5
_MOST_HEARD = 10_000


class UnconfirmedError(PropsoffError):
    """The broker took a message and did not give it back."""


class Broker:
    """The connection to one broker, made again for as long as it takes. All of it runs on one event loop.

    `open` is set while reports may be published.
    """

    def __init__(self, table: MqttTable, bench: str, *, back_off: BackOff, voice: Voice) -> None:
        self._table, self._back_off, self._voice = table, back_off, voice
        self._root = f"{table.prefix}/{place_id(bench)}"
        # The same after a restart: a broker then ends what is left of the old connection before it takes the new one,
        # so that its last will never comes after our `online` (MQTT 3.1.1, 3.1.4).
        self._identifier = f"propsoff-{place_id(bench)}"
        self.name = f"MQTT broker {table.host}"
        self.open = asyncio.Event()
        self._changed, self._stopping = asyncio.Event(), asyncio.Event()
        self._client: aiomqtt.Client | None = None
        self._places: dict[str, bytes] = {}
        self._due: set[str] = set()
        self._state_due = False
        self._awaited: dict[tuple[str, bytes], asyncio.Future[None]] = {}
        self._told: set[str] = set()

    def show(self, places: Mapping[str, bytes]) -> None:
        """The newest states of places, as JSON by the place's id; older ones that are not out yet are dropped."""
        self._places.update(places)
        self._due.update(places)
        self._changed.set()

    def stop(self) -> None:
        """Say goodbye and end `run`."""
        self._stopping.set()
        self._changed.set()

    async def run(self) -> None:
        """Keep a connection until `stop`."""
        failures = 0
        while not self._stopping.is_set():
            try:
                async with await self._ready_client() as client:
                    await self._session(client)
                    failures = 0
            except (aiomqtt.MqttError, PropsoffError, OSError, TimeoutError, ValueError) as error:
                if self.open.is_set():
                    failures = 0
                failures += 1
                self._lost(error)
            finally:
                self.open.clear()
                self._client = None
            if not self._stopping.is_set():
                with contextlib.suppress(TimeoutError):
                    await asyncio.wait_for(self._stopping.wait(), self._back_off.pause_s(max(failures, 1)))

    async def publish_report(self, body: bytes) -> None:
        """Publish one report. Raises aiomqtt.MqttError, or UnconfirmedError when the broker did not give it back."""
        if self._client is None:
            raise UnconfirmedError("there is no connection")
        await self._publish(self._client, f"{self._root}/report", body)

    async def _ready_client(self) -> aiomqtt.Client:
        password, context = await in_thread(self._secrets, "MQTT secrets")
        quiet = logging.Logger("propsoff mqtt")
        quiet.addHandler(logging.NullHandler())
        return aiomqtt.Client(
            self._table.host,
            self._table.port,
            username=self._table.username,
            password=password,
            identifier=self._identifier,
            will=aiomqtt.Will(f"{self._root}/state", OFFLINE, qos=self._table.qos, retain=True),
            keepalive=self._table.keepalive_s,
            timeout=self._table.deadline_s,
            max_queued_incoming_messages=_MOST_HEARD,
            tls_context=context,
            logger=quiet,
        )

    def _secrets(self) -> tuple[str | None, ssl.SSLContext | None]:
        """The password and what verifies the broker. Raises ConfigError."""
        file = self._table.password_file
        return secret_lines(file)[0] if file else None, tls_context(self._table.ca_file) if self._table.tls else None

    def _lost(self, error: Exception) -> None:
        why = visible(str(error) or type(error).__name__, 300)
        self._voice.log("no connection to the MQTT broker", broker=self._table.host, problem=why)
        self._tell_once(why, "; it is tried again, and reports wait")

    def _tell_once(self, why: str, outlook: str = "") -> None:
        """Tell people of a reason once until it works again, and of so many reasons at the most."""
        if why not in self._told and len(self._told) < _REASONS:
            self._told.add(why)
            self._voice.trouble(f"{self.name}: {why}{outlook}")

    async def _session(self, client: aiomqtt.Client) -> None:
        """One connection until it is lost (raises) or the bench stops."""
        tasks = {asyncio.create_task(self._hear(client)), asyncio.create_task(self._speak(client))}
        try:
            done, _ = await asyncio.wait(tasks, return_when=asyncio.FIRST_COMPLETED)
        finally:
            for task in tasks:
                task.cancel()
            await asyncio.gather(*tasks, return_exceptions=True)
        for task in done:
            task.result()

    async def _hear(self, client: aiomqtt.Client) -> None:
        async for message in client.messages:
            topic, payload = str(message.topic), message.payload
            assert isinstance(payload, bytes)
            kind, _, place = topic.removeprefix(f"{self._root}/").partition("/")
            if message.retain:
                if kind == "place" and payload and place not in self._places:
                    self._due.add(place)  # of an earlier run: nobody looks at it now
                    self._changed.set()
                continue
            if (waiting := self._awaited.get((topic, payload))) is not None and not waiting.done():
                waiting.set_result(None)
            if kind == "state" and payload == OFFLINE and not self._stopping.is_set():
                self._state_due = True  # a last will that came late
                self._changed.set()

    async def _speak(self, client: aiomqtt.Client) -> None:
        state = f"{self._root}/state"
        try:
            if self._table.confirm:
                await self._subscribe(client)
            await self._publish(client, state, ONLINE, retain=True)
        except UnconfirmedError:
            with contextlib.suppress(aiomqtt.MqttError):
                await client.publish(state, OFFLINE, self._table.qos, retain=True)
            raise
        self._client = client
        self._due.update(self._places)
        self.open.set()
        self._voice.log("connected to the MQTT broker", broker=self._table.host, topics=f"{self._root}/#")
        if self._told:
            self._told.clear()
            self._voice.trouble(f"{self.name}: is connected now")
        while not self._stopping.is_set():
            self._changed.clear()
            await self._speak_of_places(client)
            if self._state_due:
                self._state_due = False
                await self._publish(client, state, ONLINE, retain=True)
            await self._changed.wait()
        await self._farewell(client)

    async def _speak_of_places(self, client: aiomqtt.Client) -> None:
        while self._due and not self._stopping.is_set():
            place = self._due.pop()
            try:
                await self._publish(client, self._place_topic(place), self._places.get(place, b""), retain=True)
            except UnconfirmedError as error:
                self._tell_once(str(error))
            except BaseException:  # also when it is stopped
                self._due.add(place)
                raise

    async def _farewell(self, client: aiomqtt.Client) -> None:
        """Nobody looks at the places any more, so what was said of them is taken back."""
        with contextlib.suppress(TimeoutError, aiomqtt.MqttError):
            async with asyncio.timeout(_FAREWELL_S):
                for place in list(self._places):  # meanwhile others may come
                    await client.publish(self._place_topic(place), b"", self._table.qos, retain=True)
        with contextlib.suppress(TimeoutError, aiomqtt.MqttError):
            async with asyncio.timeout(_LAST_WORD_S):
                await client.publish(f"{self._root}/state", OFFLINE, self._table.qos, retain=True)

    async def _subscribe(self, client: aiomqtt.Client) -> None:
        answers = await client.subscribe(f"{self._root}/#", qos=self._table.qos)
        if any(getattr(answer, "value", answer) >= 0x80 for answer in answers):
            raise UnconfirmedError(f"the broker does not let this user read {self._root}/#{self._remedy()}")

    async def _publish(self, client: aiomqtt.Client, topic: str, payload: bytes, *, retain: bool = False) -> None:
        """Publish, and read it back where that is wanted. Raises aiomqtt.MqttError or UnconfirmedError."""
        back: asyncio.Future[None] = asyncio.get_running_loop().create_future()
        self._awaited[topic, payload] = back
        try:
            await client.publish(topic, payload, self._table.qos, retain=retain)
            if self._table.confirm:
                async with asyncio.timeout(self._table.deadline_s):
                    await back
        except TimeoutError:
            raise UnconfirmedError(
                f"the broker took a message for {topic} and did not give it back: its access list does not let this "
                f"user write or read there{self._remedy()}"
            ) from None
        finally:
            self._awaited.pop((topic, payload), None)

    def _remedy(self) -> str:
        user = f"user {self._table.username}" if self._table.username else "users without a name"
        return f" (let {user} read and write {self._root}/#, or set outgoing.mqtt.confirm = false)"

    def _place_topic(self, place: str) -> str:
        return f"{self._root}/place/{place}"

"""What a running bench can be asked to do from outside: page, rigs and terminal all come through here."""

from __future__ import annotations

import asyncio
import contextlib
from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from propsoff.bench.events import Seen, Settled, Trouble
from propsoff.bench.setup import policy_of
from propsoff.exceptions import BeingReadError, ConfigError, NothingThereError, RequestError, StaleError
from propsoff.notes.load import SUFFIX
from propsoff.notes.save import save_notes
from propsoff.outputs.files import file_name_only

if TYPE_CHECKING:
    from propsoff.bench.asks import Ask, Asks
    from propsoff.bench.bench import Bench
    from propsoff.bench.events import Watcher
    from propsoff.bench.scene import Plugged, Scene
    from propsoff.craft.model import Scalar
    from propsoff.inspection.report import Report
    from propsoff.library import Toolbox
    from propsoff.notes.model import HandNotes
    from propsoff.ports.consent import Consent, Scope, Verdict
    from propsoff.ports.consent_store import ConsentStore
    from propsoff.ports.facts import Port

_FINISHING_S = 2.0
"""How long a visit whose report is out may take to end."""


class Control:
    """All of it on the bench's event loop; what blocks is done in threads."""

    def __init__(
        self,
        bench: Bench,
        tools: Toolbox,
        scene: Scene,
        asks: Asks,
        consents: ConsentStore,
        watcher: Watcher,
        stopping: asyncio.Event | None = None,
    ) -> None:
        self._bench, self.tools, self.scene, self.asks = bench, tools, scene, asks
        self._consents, self._watcher = consents, watcher
        self._stopping = stopping or asyncio.Event()

    @property
    def stopping(self) -> bool:
        """Whether the bench begins nothing new: it was told to stop."""
        return self._stopping.is_set()

    def tell(self, text: str) -> None:
        """Say something of the whole bench that a person should know."""
        self._watcher(Trouble(text))

    async def inspect(self, place: str, *, device: str | None = None, named: bool = False) -> None:
        """Inspect what is plugged into a place once more; returns when that has begun.

        `device` chooses where a board has several ports. `named`: the operator names this very port, which is the
        consent for this once. Raises NothingThereError, BeingReadError, NotAllowedError.
        """
        port = self._port(place, device)
        until = asyncio.get_running_loop().time() + _FINISHING_S
        while True:
            try:
                await self._bench.again(port.device, named=named)
            except BeingReadError:
                if self._is_read(place) or asyncio.get_running_loop().time() > until:
                    raise
                # Its report is out; what the visit still does, such as putting questions, is soon done.
                await asyncio.sleep(_FINISHING_S / 200)
            else:
                return

    def _is_read(self, place: str) -> bool:
        now = self.scene.place(place)
        return now is not None and now.state == "reading"

    async def consent(
        self, place: str, scope: Scope, verdict: Verdict, *, device: str | None = None, note: str = ""
    ) -> Consent:
        """Keep the operator's word on what is plugged into a place, and act on it at once.

        Raises NothingThereError; SettingsError when the scope cannot be given; ConfigError when it cannot be kept.
        """
        port = self._port(place, device)
        attached = self._attached()

        def keep() -> Consent:
            return self._consents.add(port, scope, verdict, lambda: datetime.now(UTC), note=note, attached=attached)

        consent = await asyncio.to_thread(keep)
        await self._heed()
        return consent

    async def consents(self) -> tuple[Consent, ...]:
        """What the operator allowed and denied. Raises ConfigError."""
        return await asyncio.to_thread(self._consents.all)

    async def revoke(self, consent: str) -> Consent:
        """Take a word back. Raises NothingThereError, ConfigError."""
        known = await self.consents()
        if all(each.id != consent for each in known):
            raise NothingThereError(f"there is no consent {consent[:80]!r}")
        taken = await asyncio.to_thread(self._consents.revoke, consent)
        await self._heed()
        return taken

    def _attached(self) -> list[Port]:
        return [each for now in self.scene.places for each in self.scene.ports(now.place)]

    async def _heed(self) -> None:
        """Act on what the operator said; a port that is shut now may be so for another reason, or was open before."""
        await self._bench.heed()
        for now in self.scene.places:
            for plugged in now.plugged:
                await self._look_again(now.place, plugged)

    async def _look_again(self, place: str, plugged: Plugged) -> None:
        attached = self._attached()
        port = next((each for each in self.scene.ports(place) if each.device == plugged.device), None)
        if port is None:
            return
        with contextlib.suppress(ConfigError):  # the bench has said so, and opens nothing
            decision = await asyncio.to_thread(lambda: policy_of(self.tools).decide(port, attached))
            if not decision.open and decision.reason != plugged.shut and port in self.scene.ports(place):
                self._watcher(Seen(port, decision))

    async def answer(self, ask: str, answers: Mapping[str, Scalar | str]) -> Report:
        """Take a person's answers: they are kept beside the capture, and the craft's new report is handed out.

        Raises StaleError for questions that do not wait any more, and of a bench that stops; AnswerError for an answer
        that cannot be one, and the questions wait on.
        """
        if self.stopping:
            raise StaleError("the bench is stopping, and takes no answers any more; the report stays as it is")
        asked = self.asks.get(ask)
        notes = asked.notes(answers, datetime.now(UTC))
        self.asks.take(ask)
        self._watcher(Settled(asked.place))
        self.asks.remember(asked, notes)
        lost = "the answers came to no report before the bench stopped; inspect its capture"
        return await self._bench.finish(self._answered(asked, notes), lost, asked.port)

    async def _answered(self, asked: Ask, notes: HandNotes) -> Report:
        """The new report, handed out."""
        await self._keep(asked, notes)
        file = asked.report.capture.file
        report = await asyncio.to_thread(self._inspected, asked, notes, file)
        self._bench.deliver(asked.port, report, asked.capture)
        return report

    def put_off(self, ask: str) -> None:
        """Nobody answers; the report stays as it is. Raises StaleError."""
        self._watcher(Settled(self.asks.take(ask).place))

    def _inspected(self, asked: Ask, notes: HandNotes, file: str | None) -> Report:
        return self.tools.inspect(asked.capture, file=file, hand=notes)

    async def _keep(self, asked: Ask, notes: HandNotes) -> None:
        """Write the answers beside the capture; that this fails is said, and the report has them all the same."""
        stem = Path(file_name_only(asked.report.capture.file or asked.report.id)).stem
        path = self.tools.settings.output.folder / f"{stem}{SUFFIX}"

        def keep() -> None:
            save_notes(path, notes, sync=self.tools.settings.output.sync)
            self.asks.earlier.keep()

        try:
            await asyncio.to_thread(keep)
        except OSError as error:
            self._watcher(Trouble(f"{path}: the answers could not be written: {error.strerror or error}", asked.port))

    def _port(self, place: str, device: str | None) -> Port:
        """Raises NothingThereError; RequestError where several ports are plugged in and none is named."""
        now = self.scene.place(place)
        if now is None:
            known = ", ".join(each.place for each in self.scene.places) or "none so far"
            raise NothingThereError(f"there is no place {place[:80]!r}; there are: {known}")
        ports = self.scene.ports(place)
        if device is not None:
            ports = tuple(port for port in ports if port.device == device)
        if not ports:
            what = "nothing is plugged in there" if device is None else f"{device[:200]!r} is not plugged in there"
            raise NothingThereError(f"{now.name}: {what}")
        if len(ports) > 1:
            names = ", ".join(port.device for port in ports)
            raise RequestError(f"{now.name}: several ports are there; name one of {names}")
        return ports[0]

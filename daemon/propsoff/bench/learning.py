"""Learning the console on a port that the operator names: opened like any other, never by itself."""

from __future__ import annotations

import asyncio
import time
from dataclasses import dataclass
from typing import TYPE_CHECKING

from propsoff import __version__
from propsoff.bench.once import named_port
from propsoff.bench.setup import policy_of, stopped_by_signals
from propsoff.bench.visit import opened_port, port_texts
from propsoff.console.capture import STOPPED, Capture, Recorder
from propsoff.exceptions import ConversationError, PortDeniedError, PortError
from propsoff.learning.model import Heard
from propsoff.learning.talk import Approve, Pace, hear
from propsoff.ports.facts import Port

if TYPE_CHECKING:
    from propsoff.library import Toolbox


@dataclass(frozen=True)
class Listened:
    """What came of it: `heard` is None when nothing could be learned, and `why_not` says why. The capture is there."""

    port: Port
    capture: Capture
    heard: Heard | None = None
    why_not: str = ""


async def learn_port(device: str, tools: Toolbox, approve: Approve, pace: Pace | None = None) -> Listened:
    """Talk to the console on a port until its reading words are answered; SIGINT and SIGTERM end it.

    Raises PortDeniedError, before anything is opened, for a port that the operator denied or that is a bootloader.
    """
    policy = await asyncio.to_thread(policy_of, tools)
    port = await asyncio.to_thread(named_port, device)
    decision = policy.decide(port, [port])
    if not decision.open:
        raise PortDeniedError(port.device, decision.reason)
    recorder = Recorder(
        clock=time.perf_counter, started=time.time(), port=port_texts(port), tool=f"propsoff {__version__}"
    )
    stopping = asyncio.Event()
    with stopped_by_signals(stopping):
        talk = asyncio.create_task(_talk(port, tools, recorder, approve, pace))
        waiting = asyncio.create_task(stopping.wait())
        await asyncio.wait({talk, waiting}, return_when=asyncio.FIRST_COMPLETED)
        waiting.cancel()
        if not talk.done():
            talk.cancel()
            await asyncio.wait({talk})
    if talk.cancelled():
        recorder.mark(f"end: {STOPPED}")
        return Listened(port, recorder.capture(), None, STOPPED)
    heard, why_not = talk.result()
    if recorder.capture().ending is None:
        recorder.mark(f"end: {why_not or 'done'}")
    return Listened(port, recorder.capture(), heard, why_not)


async def _talk(
    port: Port, tools: Toolbox, recorder: Recorder, approve: Approve, pace: Pace | None
) -> tuple[Heard | None, str]:
    waits = tools.settings.waits()
    try:
        link = await opened_port(port, waits, None, asyncio.Event())
    except (PortError, ValueError) as error:  # ValueError: a URL of a kind that pyserial does not know
        return None, str(error)
    try:
        return await hear(link, recorder, approve, pace=pace, timings=waits), ""
    except (ConversationError, TimeoutError) as error:
        return None, " ".join(str(error).split()) or "it took too long"
    finally:
        await link.close()

"""Captures of conversations with simulated boards, without any port: as the recorder keeps them, or as pasted."""

from __future__ import annotations

from functools import cache

from propsoff import Check, Report, inspect_capture
from propsoff.console.capture import Capture, Event, Recorder, pasted
from propsoff.dialects.catalogue import catalogue
from propsoff.dialects.model import Dialect
from propsoff.inspection.runner import CheckRunner
from propsoff.sheets.catalogue import built_in_sheets
from propsoff.sheets.model import BuildSheet
from propsoff_checks import propsoff_checks
from propsoff_sim.board import BoardState
from propsoff_sim.catalogue import board
from propsoff_sim.device import joined
from propsoff_sim.personalities import Engine, console_for
from propsoff_sim.text import console_text

WHEN_S = 1_800_000_000.0
EVERY_CHECK: tuple[Check, ...] = tuple(propsoff_checks())
_FOUR = ("receiver-type", "channel-order", "port-roles", "overlay-canvas")
CHECKS: tuple[Check, ...] = tuple(check for check in EVERY_CHECK if check.id in _FOUR)
"""Four that always have something to say."""


@cache
def dialects() -> tuple[Dialect, ...]:
    """The built-in dialects."""
    return catalogue().dialects


def dialect_of(state: BoardState) -> Dialect:
    """The dialect that this board speaks."""
    return next(dialect for dialect in dialects() if dialect.id == state.firmware.name.lower())


class _Clock:
    """A millisecond later at each look."""

    def __init__(self) -> None:
        self.now_s = 0.0

    def __call__(self) -> float:
        self.now_s += 0.001
        return self.now_s


def recorded(name_or_board: str | BoardState, *, port: dict[str, str] | None = None) -> Capture:
    """A whole conversation with a simulated board, with the recorder's own markers."""
    state = board(name_or_board) if isinstance(name_or_board, str) else name_or_board
    manner = dialect_of(state).manner
    console = console_for(state)
    recorder = Recorder(clock=_Clock(), started=WHEN_S, port=port, tool="test")
    recorder.mark("listen")
    recorder.mark(f"wake {manner.dialect}")
    _send(recorder, console, manner.wake)
    recorder.mark(f"identify {manner.dialect}")
    _send(recorder, console, manner.identify.command.encode() + manner.line_end)
    recorder.mark(f"identified {manner.dialect}")
    for query in manner.reads:
        recorder.mark(f"read {query.command}")
        _send(recorder, console, query.command.encode() + manner.line_end, manner.pager_key)
        recorder.mark(f"reply complete {query.command}")
    recorder.mark("end: done")
    return recorder.capture()


def _send(recorder: Recorder, console: Engine, data: bytes, pager_key: bytes = b" ") -> None:
    recorder.input(data)
    chunks = console.feed(data)
    recorder.output(joined(chunks))
    while chunks and chunks[-1].kind == "pager":
        recorder.input(pager_key)
        chunks = console.feed(pager_key)
        recorder.output(joined(chunks))


def broken_off(capture: Capture, keep: float, reason: str | None) -> Capture:
    """The capture with only a part (0..1) of what the board sent, ended for this reason (None: torn, no end at all)."""
    total = sum(len(event.text) for event in capture.events if event.code == "o")
    left, events = int(total * keep), list[Event]()
    for event in capture.events:
        if event.code == "o":
            if left <= 0:
                break
            event = event._replace(text=event.text[:left])
            left -= len(event.text)
        if not event.text.startswith(("end: ", "reply ")):
            events.append(event)
    if reason is not None:
        events.append(Event(events[-1].time_s if events else 0.0, "m", f"end: {reason}"))
    return Capture(tuple(events), capture.started, capture.origin, capture.port, capture.tool)


def pasted_text(name: str, *words: str) -> Capture:
    """What a person would paste of a conversation with this board."""
    return pasted(console_text(name, *words).encode())


def inspected(
    capture: Capture,
    *,
    sheets: tuple[BuildSheet, ...] | None = None,
    checks: tuple[Check, ...] = CHECKS,
    **more: object,
) -> Report:
    """The report of a capture by the built-in dialects and checks, at a fixed time."""
    return inspect_capture(
        capture,
        dialects=dialects(),
        sheets=built_in_sheets() if sheets is None else sheets,
        checks=checks,
        clock=lambda: WHEN_S,
        runner=CheckRunner(30),
        **more,  # type: ignore[arg-type]  # the tests name them
    )

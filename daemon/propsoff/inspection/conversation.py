"""What a conversation came to: its numbers, and whether it reached its end."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from propsoff.console.capture import STOPPED, UNREADABLE, bytes_of
from propsoff.console.conversation import PHASES
from propsoff.console.strangers import NEVER_WRITTEN_TO, classify
from propsoff.inspection.report import Conversation, ExchangeSummary, PhaseTiming, plain

if TYPE_CHECKING:
    from propsoff.console.capture import Capture
    from propsoff.console.manner import Exchange, Manner
    from propsoff.dialects.recognise import Recognition

_STRANGER = "not recognised: "
_MAX_WORDS = 1000
_REPLUG = "Check cable and plug, then plug the board in again."
_BROKEN = (_REPLUG, "If it stops at the same place again, send this capture to whoever maintains the dialect.")
_SILENT = (_REPLUG, "Make sure that the cable carries data and that the board is not in its bootloader.")
_AGAIN = "Inspect the board again."
_WHOLE_TEXT = (
    "Copy the whole console text, from the prompt before the identity command to the prompt after the last listing, as "
    "it stands: without indents, quote marks or line numbers.",
)
_OTHER_FILE = (
    "Name a conversation that propsoff recorded (.cast), or a console's text that was copied into a file (.txt).",
)
_TEXT_SHARE = 0.7
_FOREIGN = (
    "If it is a flight controller, let propsoff draft a dialect: `propsoff learn` with this port, or this capture.",
    "See which dialects there are with `propsoff dialects`.",
)
_NO_CRAFT = ("Unplug it: this is no flight controller. Plug in the board of the craft itself.",)
_NOBODY_THERE = ("Check the host name and port, and that the bridge there runs.",)  # no cable of this bench leads there


@dataclass(frozen=True)
class Ending:
    """Whether the conversation reached its end, in words, and what to do when it did not."""

    complete: bool
    words: str
    next_steps: tuple[str, ...] = ()


def conversation_of(capture: Capture, exchanges: Sequence[Exchange], manner: Manner | None) -> Conversation:
    """The conversation in numbers. With `manner` None nobody knows who was spoken to: all that was sent counts."""
    sent = [bytes_of(event.text) for event in capture.events if event.code == "i"]
    received = sum(len(bytes_of(event.text)) for event in capture.events if event.code == "o")
    before = sent[: _writes_to_a_stranger(capture, manner)]
    recorded = capture.origin == "recorded"
    return Conversation(
        bytes_sent=sum(map(len, sent)),
        bytes_received=received,
        bytes_before_identification=sum(map(len, before)) if recorded else None,
        writes_before_identification=len(before) if recorded else None,
        exchanges=tuple(
            ExchangeSummary(command=plain(one.command), state=one.state, why=plain(one.why), lines=len(one.lines))
            for one in exchanges
        ),
        phases=tuple(_phases(capture)),
    )


def _writes_to_a_stranger(capture: Capture, manner: Manner | None) -> int:
    """How many writes went out before the board was identified: up to the marker, else up to the identity command."""
    writes = 0
    for event in capture.events:
        if event.code == "m" and event.text.startswith("identified"):
            return writes
        writes += event.code == "i"
    if manner is None:
        return writes
    inputs = [event.text for event in capture.events if event.code == "i"]
    asked = (at for at, text in enumerate(inputs, 1) if manner.identify.command in text)
    return next(asked, writes)


def _phases(capture: Capture) -> Iterator[PhaseTiming]:
    """How long each phase took that the markers begin, in order: `listen`, `wake`, `identify`, each read."""
    marks = [event for event in capture.events if event.code == "m"]
    for mark, after in pairwise([*marks, *capture.events[-1:]]):
        if mark.text.split(" ")[0] in PHASES:
            yield PhaseTiming(phase=plain(mark.text)[:120], seconds=max(0.0, round(after.time_s - mark.time_s, 6)))


def ending_of(capture: Capture, exchanges: Sequence[Exchange], manner: Manner) -> Ending:
    """Whether everything that had to be read was read to its end."""
    if capture.ending not in (None, "done"):
        return _broke_off(str(capture.ending))
    for query in manner.reads:
        if not query.required:
            continue
        replies = [one for one in exchanges if one.command == query.command]
        if not replies and capture.origin == "recorded":
            return _broke_off(f"the conversation ended before {query.command!r} was asked")
        if replies and all(one.state == "cut" for one in replies):
            why = replies[-1].why or "its end was not seen"
            return _broke_off(f"the reply to {query.command!r} stops short: {why}")
    if capture.origin == "pasted":
        return Ending(True, "Text that somebody pasted; the board itself was not asked.")
    return Ending(True, "The conversation reached its end.")


def _broke_off(reason: str) -> Ending:
    return Ending(False, _sentence(f"The conversation broke off: {reason}"), _BROKEN)


def _sentence(text: str) -> str:
    return plain(" ".join(text.split()))[:_MAX_WORDS].rstrip(".") + "."


def unrecognised(capture: Capture, recognition: Recognition) -> Ending:
    """Nobody knows what this console speaks, or the conversation broke off before that could be told."""
    ending = capture.ending
    heard = "".join(event.text for event in capture.events if event.code == "o")
    if ending not in (None, "done") and not str(ending).startswith(_STRANGER):
        return _ended_unrecognised(str(ending), capture)
    if capture.origin == "pasted":
        return _unrecognised_text(heard, recognition)
    why = str(ending or "").removeprefix(_STRANGER) if ending != "done" else ""
    words = _sentence(f"The console was not recognised: {why or recognition.reason}")
    if heard and classify(heard).kind in NEVER_WRITTEN_TO:
        return Ending(False, words, _NO_CRAFT)
    return Ending(False, words, _FOREIGN if heard else _SILENT)


def _ended_unrecognised(reason: str, capture: Capture) -> Ending:
    if reason == STOPPED:
        return Ending(False, _sentence("The inspection was stopped before the board was recognised"), (_AGAIN,))
    if reason.startswith(UNREADABLE):
        return Ending(False, _sentence(reason[0].upper() + reason[1:]), _OTHER_FILE)
    if "://" in capture.port.get("device", "") and not any(event.code in "io" for event in capture.events):
        return Ending(False, _sentence(f"There was no conversation: {reason}"), _NOBODY_THERE)
    if not capture.events:
        return Ending(False, _sentence(f"There was no conversation: {reason}"), _BROKEN[:1])
    return Ending(False, _sentence(f"The conversation broke off before the board was recognised: {reason}"), _BROKEN)


def _unrecognised_text(text: str, recognition: Recognition) -> Ending:
    if not text.strip():
        return Ending(False, "The file holds no text.", _WHOLE_TEXT)
    if recognition.several:
        steps = ("Save the listing of each board, and of each time, in a file of its own; then inspect each.",)
        return Ending(False, _sentence(f"It is not clear which board this is about: {recognition.reason}"), steps)
    if sum(char.isprintable() or char in "\r\n\t\x1b" for char in text) < _TEXT_SHARE * len(text):
        return Ending(False, "This is no text from a console, but something else.", _WHOLE_TEXT)
    return Ending(False, _sentence(f"The text was not recognised: {recognition.reason}"), (*_WHOLE_TEXT, *_FOREIGN))

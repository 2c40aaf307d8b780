"""Listening to an unknown port, and waking the console that may be behind it."""

from __future__ import annotations

from propsoff.console.reply import said_once
from propsoff.console.strangers import NEVER_WRITTEN_TO, classify
from propsoff.learning.habits import prompt_of
from propsoff.learning.pace import NoConsoleError
from propsoff.learning.speaker import Speaker

_LINE_ENDS = (b"\r", b"\n")
_KEYS = (b" ", b"~", b"#", b"+", b"*", b"!", b"?", b"\x1b", b"\t")


async def listen(speaker: Speaker) -> None:
    """Hear what the port says by itself. Raises NoConsoleError for what is known to be something else."""
    speaker.session.recorder.mark("listen")
    await speaker.session.listen(speaker.pace.listen_s)
    _refuse_strangers(speaker, "nothing was sent to it")


async def wake(speaker: Speaker) -> None:
    """A line end first, then single characters, until a prompt comes that comes again.

    Raises NoConsoleError when none does, when the port never falls silent, or when it turns out to be something else.
    """
    speaker.session.recorder.mark("wake")
    for key in (*_LINE_ENDS, *_KEYS):
        if await _wakes(speaker, key):
            return
        _refuse_strangers(speaker, "nothing more was sent to it")
    stranger = classify(_heard(speaker), _heard(speaker, "i"))
    raise NoConsoleError(f"{_device(speaker)}: no prompt came that comes again: {stranger.words}")


async def _wakes(speaker: Speaker, key: bytes) -> bool:
    first = await _pressed(speaker, key)
    if not first.strip():
        return False
    for end in (key,) if key in _LINE_ENDS else _LINE_ENDS:
        second, third = await _pressed(speaker, end), await _pressed(speaker, end)
        same = prompt_of([first, second, third]) is not None
        if same or (second == third and second.strip() and not second.endswith(first)):
            speaker.wake, speaker.line_end, speaker.prompts = key, end, [second, third]
            return True
    return False


async def _pressed(speaker: Speaker, key: bytes) -> str:
    """The line under way after a key. Raises NoConsoleError when the port does not fall silent."""
    tail = await speaker.key(key)
    if tail is None:
        words = classify(_heard(speaker), _heard(speaker, "i")).words
        raise NoConsoleError(f"{_device(speaker)}: it does not stop sending, so no answer can be told apart: {words}")
    return said_once(tail)


def _refuse_strangers(speaker: Speaker, sent: str) -> None:
    stranger = classify(_heard(speaker))
    if stranger.kind in NEVER_WRITTEN_TO:
        raise NoConsoleError(f"{_device(speaker)}: {stranger.words}; {sent}")


def _heard(speaker: Speaker, code: str = "o") -> str:
    return "".join(event.text for event in speaker.session.recorder.capture().events if event.code == code)


def _device(speaker: Speaker) -> str:
    return speaker.session.link.device

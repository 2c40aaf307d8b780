"""Opening a port that is not ready yet: waiting for another process, for the system's rules, for the device itself.

What is opened, and how, is the caller's: an async callable.
"""

from __future__ import annotations

import asyncio
import errno
import re
import sys
import time
from collections.abc import Awaitable, Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Literal, TypeVar

from propsoff.exceptions import PortBusyError, PortDeniedError, PortError, PortGoneError
from propsoff.ports.holders import holders_of
from propsoff.threads import in_thread

# What an open raises: the system's errors, pyserial's ValueError for a URL that it does not know, and termios.error,
# which is no OSError.
_RAISED: tuple[type[Exception], ...] = (OSError, ValueError)
if sys.platform != "win32":
    import termios

    _RAISED += (termios.error,)

T = TypeVar("T")
Trouble = Literal["busy", "denied", "gone", "other"]
"""Held by another process; not allowed; not there; anything else, which is not tried again."""

_TROUBLES: dict[int, Trouble] = {
    errno.EBUSY: "busy",
    # flock's answer when another process has the port to itself
    errno.EAGAIN: "busy",
    errno.EACCES: "denied",
    errno.EPERM: "denied",
    errno.ENOENT: "gone",
    errno.ENODEV: "gone",
    errno.ENXIO: "gone",
    # a terminal that is being hung up
    errno.EIO: "gone",
}
# "[Errno 16] ...", "PermissionError(13, ...)", "Could not configure port: (5, 'Input/output error')"
_ERRNO_IN_TEXT = re.compile(r"\[Errno (\d+)\]|\((\d+), ['\"]")


@dataclass(frozen=True, slots=True)
class OpeningRules:
    """How long to try, in seconds.

    `busy_s`: while another process holds the port (a modem service looks at a new port for about 10 s). `settle_s`:
    while it is not there or not allowed yet (the system's rules are still being applied). Between two tries the wait
    doubles from `first_pause_s` to `longest_pause_s`. `attempt_s`: for one try; an open that hangs is left behind.
    """

    busy_s: float = 15.0
    settle_s: float = 2.0
    first_pause_s: float = 0.05
    longest_pause_s: float = 0.5
    attempt_s: float = 10.0

    def patience_s(self, trouble: Trouble) -> float:
        """How long this trouble is waited out."""
        return {"busy": self.busy_s, "denied": self.settle_s, "gone": self.settle_s}.get(trouble, 0.0)


async def open_when_ready(
    device: str,
    opener: Callable[[], Awaitable[T]],
    rules: OpeningRules = OpeningRules(),
    *,
    on_wait: Callable[[Sequence[str]], None] | None = None,
    clock: Callable[[], float] = time.monotonic,
    sleep: Callable[[float], Awaitable[Any]] = asyncio.sleep,
    holders: Callable[[str], Sequence[str]] = holders_of,
) -> T:
    """What `opener` returns, as soon as it succeeds.

    `on_wait` is told once who holds the port, when the waiting for another process begins.

    Raises PortBusyError (with the processes that hold it), PortDeniedError, PortGoneError, PortError for anything else.
    """
    began: dict[Trouble, float] = {}
    pause_s, told = rules.first_pause_s, False
    while True:
        try:
            return await _attempt(device, opener, rules.attempt_s)
        except _RAISED as error:
            trouble = trouble_of(error)
            now = clock()
            left_s = began.setdefault(trouble, now) + rules.patience_s(trouble) - now
            if left_s <= 0:
                by = await in_thread(lambda: holders(device)) if trouble == "busy" else ()
                raise _given_up(device, trouble, error, rules, by) from error
        if trouble == "busy" and on_wait is not None and not told:
            told = True
            on_wait(await in_thread(lambda: holders(device)))
        await sleep(min(pause_s, left_s))
        pause_s = min(pause_s * 2, rules.longest_pause_s)


async def _attempt(device: str, opener: Callable[[], Awaitable[T]], attempt_s: float) -> T:
    try:
        async with asyncio.timeout(attempt_s):
            return await opener()
    except TimeoutError as error:
        if error.errno is not None:  # the system's own time-out, of a network port
            raise
        raise PortError(device, f"did not open within {attempt_s:g} s; unplug it and plug it in again") from None


def trouble_of(error: BaseException) -> Trouble:
    """What kind of trouble an error of an open is."""
    number = errno_of(error)
    return "other" if number is None else _TROUBLES.get(number, "other")


def errno_of(error: BaseException) -> int | None:
    """The system's error number behind `error`: its own, its cause's, or the one written in its text (pyserial 3.5)."""
    for link in _chain(error):
        number = getattr(link, "errno", None)
        if isinstance(number, int):
            return number
        # termios.error is no OSError, and has its number as first argument only
        if len(link.args) == 2 and isinstance(link.args[0], int):
            return link.args[0]
        found = _ERRNO_IN_TEXT.search(str(link))
        if found is not None:
            return int(found[1] or found[2])
    return None


def _chain(error: BaseException) -> Iterator[BaseException]:
    link: BaseException | None = error
    for _ in range(10):
        if link is None:
            return
        yield link
        link = link.__cause__ or (None if link.__suppress_context__ else link.__context__)


def _given_up(
    device: str, trouble: Trouble, error: Exception, rules: OpeningRules, holders: Sequence[str]
) -> PortError:
    if trouble == "busy":
        who = f"held by {', '.join(holders)}" if holders else "held by a process that this user may not see"
        problem = f"{who}; waited {rules.busy_s:g} s. Close that program, then plug in again"
        return PortBusyError(device, problem, holders)
    if trouble == "denied":
        return PortDeniedError(
            device,
            "this user may not open it. Join its group (usually: sudo usermod -aG dialout $USER, then log in again), "
            "or install the udev rule contrib/udev/60-propsoff.rules",
        )
    if trouble == "gone":
        return PortGoneError(device, "not there: unplugged, or back under another name. See what is: propsoff ports")
    if errno_of(error) == errno.ENOTTY:
        return PortError(device, "is not a serial port")
    return PortError(device, f"cannot be opened: {error}")

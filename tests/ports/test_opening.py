"""Waiting for a port that is not ready: the rules, on a clock that moves only when somebody sleeps."""

from __future__ import annotations

import asyncio
import errno
import fcntl
import os
import termios
import threading
from collections.abc import Awaitable, Callable, Sequence

import pytest
import serial

from propsoff.exceptions import PortBusyError, PortDeniedError, PortError, PortGoneError, PropsoffError
from propsoff.ports.opening import OpeningRules, Trouble, errno_of, open_when_ready, trouble_of
from propsoff.threads import in_thread

DEADLINE_S = 10.0


class Time:
    """Seconds that pass only by sleeping; `calls` are the times of the attempts."""

    def __init__(self) -> None:
        self.now_s = 0.0
        self.naps: list[float] = []

    def clock(self) -> float:
        return self.now_s

    async def sleep(self, seconds: float) -> None:
        assert seconds > 0
        self.naps.append(seconds)
        self.now_s += seconds
        await asyncio.sleep(0)


class Opener:
    """Raises what `at` gives for the time of the attempt, until that is None."""

    def __init__(self, time: Time, at: Callable[[float], BaseException | None]) -> None:
        self._time, self._at = time, at
        self.attempts: list[float] = []

    async def __call__(self) -> str:
        self.attempts.append(self._time.now_s)
        error = self._at(self._time.now_s)
        if error is not None:
            raise error
        return "open"


@pytest.fixture
def time() -> Time:
    return Time()


async def opened(
    opener: Callable[[], Awaitable[str]],
    time: Time,
    holders: Sequence[str] = (),
    on_wait: Callable[[Sequence[str]], None] | None = None,
) -> str:
    return await open_when_ready(
        "/dev/ttyACM0", opener, on_wait=on_wait, clock=time.clock, sleep=time.sleep, holders=lambda _: holders
    )


def until(seconds: float, error: BaseException) -> Callable[[float], BaseException | None]:
    return lambda now_s: error if now_s < seconds else None


async def test_a_port_that_is_ready_is_opened_at_once(time: Time) -> None:
    opener = Opener(time, lambda _: None)
    assert await opened(opener, time) == "open"
    assert time.naps == []


async def test_a_busy_port_is_waited_for(time: Time) -> None:
    opener = Opener(time, until(14.0, serial.SerialException(errno.EBUSY, "could not open port")))
    assert await opened(opener, time) == "open"
    assert 14.0 <= time.now_s < 15.0


async def test_a_busy_port_is_given_up_after_fifteen_seconds_and_its_holder_is_named(time: Time) -> None:
    opener = Opener(time, until(60.0, serial.SerialException(errno.EBUSY, "could not open port")))
    with pytest.raises(PortBusyError) as caught:
        await opened(opener, time, ["modem-service (pid 812)"])
    assert time.now_s == pytest.approx(15.0)
    assert caught.value.holders == ("modem-service (pid 812)",)
    assert "held by modem-service (pid 812); waited 15 s" in str(caught.value)


async def test_a_holder_that_is_hidden_is_said_to_be_so(time: Time) -> None:
    opener = Opener(time, until(60.0, BlockingIOError(errno.EAGAIN, "Resource temporarily unavailable")))
    with pytest.raises(PortBusyError, match="may not see"):
        await opened(opener, time)


async def test_the_wait_for_another_process_is_told_once(time: Time) -> None:
    told: list[Sequence[str]] = []
    opener = Opener(time, until(5.0, OSError(errno.EBUSY, "busy")))
    await opened(opener, time, ["cat (pid 7)"], told.append)
    assert told == [["cat (pid 7)"]]


@pytest.mark.parametrize(
    ("number", "error", "words"),
    [
        (errno.EACCES, PortDeniedError, "dialout"),
        (errno.EPERM, PortDeniedError, "60-propsoff.rules"),
        (errno.ENOENT, PortGoneError, "not there"),
        (errno.ENODEV, PortGoneError, "not there"),
        (errno.ENXIO, PortGoneError, "not there"),
        (errno.EIO, PortGoneError, "not there"),
    ],
)
async def test_a_fresh_port_has_two_seconds_to_settle(
    time: Time, number: int, error: type[PortError], words: str
) -> None:
    late = Opener(time, until(1.9, serial.SerialException(number, "could not open port")))
    assert await opened(late, time) == "open"
    never_time = Time()
    never = Opener(never_time, until(60.0, serial.SerialException(number, "could not open port")))
    with pytest.raises(error, match=words):
        await opened(never, never_time)
    assert never_time.now_s == pytest.approx(2.0)


async def test_each_trouble_has_its_own_patience(time: Time) -> None:
    """The usual story of a fresh port: not allowed yet, then held by the modem service nearly too long."""

    def story(now_s: float) -> BaseException | None:
        if now_s < 1.5:
            return OSError(errno.EACCES, "Permission denied")
        return OSError(errno.EBUSY, "Device or resource busy") if now_s < 16.0 else None

    assert await opened(Opener(time, story), time) == "open"


async def test_changing_troubles_do_not_wait_for_ever(time: Time) -> None:
    flip = iter([OSError(errno.EBUSY, "busy"), OSError(errno.ENOENT, "gone")] * 1000)
    with pytest.raises(PortGoneError):
        await opened(Opener(time, lambda _: next(flip)), time)
    assert time.now_s < 3.0


async def test_the_pauses_grow_to_their_limit(time: Time) -> None:
    opener = Opener(time, until(60.0, OSError(errno.EBUSY, "busy")))
    with pytest.raises(PortBusyError):
        await opened(opener, time)
    assert time.naps[:5] == [0.05, 0.1, 0.2, 0.4, 0.5]
    assert max(time.naps) == 0.5
    assert len(opener.attempts) < 40


@pytest.mark.parametrize(
    "error",
    [
        serial.SerialException("Could not open port socket://bench:2000: [Errno 111] Connection refused"),
        ValueError("invalid URL, protocol 'sokcet' not known"),
        TimeoutError(errno.ETIMEDOUT, "Connection timed out"),
        serial.SerialException("Port must be configured before it can be used."),
    ],
)
async def test_anything_else_is_a_port_error_at_once(time: Time, error: Exception) -> None:
    with pytest.raises(PortError) as caught:
        await opened(Opener(time, until(60.0, error)), time)
    assert type(caught.value) is PortError
    assert str(error) in str(caught.value)
    assert caught.value.device == "/dev/ttyACM0"
    assert time.naps == []


async def test_an_error_of_ours_passes_as_it_is(time: Time) -> None:
    mine = PropsoffError("not to be opened: (5, 'as if it were a number')")
    with pytest.raises(PropsoffError) as caught:
        await opened(Opener(time, until(60.0, mine)), time)
    assert caught.value is mine


async def test_a_bug_in_the_opener_is_not_taken_for_a_port_error(time: Time) -> None:
    with pytest.raises(ZeroDivisionError):
        await opened(Opener(time, until(60.0, ZeroDivisionError())), time)


async def test_an_open_that_hangs_is_left_behind_and_closed_when_it_returns() -> None:
    release, closed = threading.Event(), threading.Event()

    def hang() -> str:
        release.wait(DEADLINE_S)
        return "open at last"

    def opener() -> Awaitable[object]:
        return in_thread(hang, discard=lambda _: closed.set())

    with pytest.raises(PortError, match=r"did not open within 0\.05 s"):
        async with asyncio.timeout(DEADLINE_S / 2):
            await open_when_ready("/dev/ttyACM0", opener, OpeningRules(attempt_s=0.05))
    release.set()
    assert await in_thread(lambda: closed.wait(DEADLINE_S))


async def test_a_cancelled_wait_ends_at_once(time: Time) -> None:
    started = asyncio.Event()

    async def endless(_: float) -> None:
        started.set()
        await asyncio.Event().wait()

    opener = Opener(time, until(60.0, OSError(errno.EBUSY, "busy")))
    waiting = asyncio.create_task(open_when_ready("/dev/x", opener, sleep=endless, clock=time.clock))
    await started.wait()
    waiting.cancel()
    with pytest.raises(asyncio.CancelledError):
        await waiting


@pytest.mark.parametrize(
    ("error", "number", "trouble"),
    [
        (serial.SerialException(16, "could not open port /dev/x: busy"), 16, "busy"),
        (serial.SerialException("[Errno 2] could not open port /dev/x"), 2, "gone"),
        (serial.SerialException("Could not configure port: (5, 'Input/output error')"), 5, "gone"),
        (
            serial.SerialException("could not open port 'COM3': PermissionError(13, 'Access is denied.', None, 5)"),
            13,
            "denied",
        ),
        (
            serial.SerialException("could not open port 'COM9': FileNotFoundError(2, 'no such file', None, 2)"),
            2,
            "gone",
        ),
        (termios.error(5, "Input/output error"), 5, "gone"),
        (serial.SerialException("Port is already open."), None, "other"),
        (ValueError("nonsense"), None, "other"),
    ],
)
def test_the_number_is_found_in_the_error_or_in_its_text(
    error: Exception, number: int | None, trouble: Trouble
) -> None:
    assert errno_of(error) == number
    assert trouble_of(error) == trouble


def test_the_number_is_found_in_the_cause() -> None:
    error = serial.SerialException("the link could not be made")
    error.__cause__ = OSError(errno.EBUSY, "busy")
    assert errno_of(error) == errno.EBUSY


# Real ports from here on: what the real pyserial raises on a real pseudo-terminal.


def serial_opener(path: str) -> Callable[[], Awaitable[serial.Serial]]:
    return lambda: in_thread(lambda: serial.Serial(path, exclusive=True), discard=lambda port: port.close())


async def test_a_real_port_that_another_holds_is_opened_when_it_is_released(terminal: str, time: Time) -> None:
    holder = serial.Serial(terminal, exclusive=True)

    async def release_then_sleep(seconds: float) -> None:
        if time.now_s > 3.0:
            holder.close()
        await time.sleep(seconds)  # of the test's own clock: no time passes

    opened_port = await open_when_ready(terminal, serial_opener(terminal), clock=time.clock, sleep=release_then_sleep)
    assert opened_port.is_open
    opened_port.close()


async def test_a_real_port_that_stays_held_names_this_very_process(terminal: str, time: Time) -> None:
    with serial.Serial(terminal, exclusive=True), pytest.raises(PortBusyError, match=rf"pid {os.getpid()}"):
        await open_when_ready(terminal, serial_opener(terminal), clock=time.clock, sleep=time.sleep)
    assert time.now_s == pytest.approx(15.0)


async def test_a_real_port_taken_with_tiocexcl_is_busy_for_all_but_root(terminal: str, time: Time) -> None:
    """tty_ioctl(4): TIOCEXCL gives EBUSY, except to a process with CAP_SYS_ADMIN."""
    with serial.Serial(terminal) as holder:
        fcntl.ioctl(holder.fileno(), termios.TIOCEXCL)
        if os.geteuid() == 0:
            os.close(os.open(terminal, os.O_RDWR | os.O_NOCTTY))
        else:
            with pytest.raises(OSError, match="busy") as caught:
                os.open(terminal, os.O_RDWR | os.O_NOCTTY)
            assert trouble_of(caught.value) == "busy"
        fcntl.ioctl(holder.fileno(), termios.TIOCNXCL)


async def test_a_real_port_that_is_gone_is_said_to_be_gone(time: Time) -> None:
    master, slave = os.openpty()
    path = os.ttyname(slave)
    os.close(slave)
    os.close(master)
    with pytest.raises(PortGoneError, match=path):
        await open_when_ready(path, serial_opener(path), clock=time.clock, sleep=time.sleep)


async def test_a_real_file_is_no_serial_port(time: Time, tmp_path: os.PathLike[str]) -> None:
    path = os.path.join(tmp_path, "file")  # noqa: PTH118  tmp_path is only a PathLike here
    os.close(os.open(path, os.O_CREAT | os.O_RDWR))
    with pytest.raises(PortError, match="is not a serial port"):
        await open_when_ready(path, serial_opener(path), clock=time.clock, sleep=time.sleep)

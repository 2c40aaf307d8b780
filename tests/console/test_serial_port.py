"""Opening and closing: what is known to go wrong with serial ports, and what is done about it."""

from __future__ import annotations

import asyncio
import errno
import fcntl
import os
import struct
import subprocess
import sys
import threading
from dataclasses import replace
from pathlib import Path

import pytest
import serial

from console.conftest import Gaps, MakeBoard, eventually
from console.toys import QUICK, plain
from propsoff.console.link import Link
from propsoff.console.serial_port import BenchSerial

TIOCGEXCL = 0x80045440  # asm-generic/ioctls.h: _IOR('T', 0x40, int)


def is_exclusive(device: str) -> bool:
    descriptor = os.open(device, os.O_RDWR | os.O_NOCTTY | os.O_NONBLOCK)
    try:
        return bool(struct.unpack("i", fcntl.ioctl(descriptor, TIOCGEXCL, struct.pack("i", 0)))[0])
    finally:
        os.close(descriptor)


@pytest.mark.parametrize("dtr", [True, False])
async def test_lines_are_set_before_the_port_is_opened_and_never_toggled(
    dtr: bool, board: MakeBoard, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[tuple[str, bool]] = []
    monkeypatch.setattr(serial.Serial, "_update_dtr_state", lambda port: told.append(("dtr", port._dtr_state)))
    monkeypatch.setattr(serial.Serial, "_update_rts_state", lambda port: told.append(("rts", port._rts_state)))
    async with await Link.open(board().device, dtr=dtr, timings=QUICK):
        pass
    assert told == [("dtr", dtr), ("rts", dtr)]


async def test_what_the_board_said_before_is_dropped(board: MakeBoard) -> None:
    silent = board()
    silent.say(b"old news\r\n")
    await eventually(lambda: silent.sent == 10)
    async with await Link.open(silent.device, timings=QUICK) as link:
        assert await link.read(0.02) == b""
        silent.say(b"news")
        assert await link.read(5) == b"news"


async def test_an_open_port_does_not_echo_the_boards_own_words_back_to_it(board: MakeBoard) -> None:
    silent = board()
    silent.say(b"a banner")  # a terminal starts in ECHO mode: the board reads its own banner
    await eventually(lambda: silent.received == b"a banner")
    silent.received.clear()
    async with await Link.open(silent.device, timings=QUICK) as link:
        silent.say(b"more")
        assert await link.read(5) == b"more"
        await link.write(b".")
        await eventually(lambda: silent.received == b".")


async def test_a_second_open_finds_the_port_busy(board: MakeBoard) -> None:
    silent = board()
    async with await Link.open(silent.device, timings=QUICK):
        with pytest.raises(OSError) as caught:
            await Link.open(silent.device, timings=QUICK)
        assert caught.value.errno in (errno.EBUSY, errno.EAGAIN)
    async with await Link.open(silent.device, timings=QUICK) as link:
        assert not link.closed


async def test_another_users_plain_open_is_refused_by_the_kernel(board: MakeBoard) -> None:
    """flock alone lets a plain open succeed; TIOCEXCL binds everybody without CAP_SYS_ADMIN (ioctl_tty(2))."""
    silent = board()
    await asyncio.to_thread(Path(silent.device).chmod, 0o666)
    program = (
        "import os\n"
        "if os.geteuid() == 0: os.setgroups([]); os.setgid(65534); os.setuid(65534)\n"
        f"try: os.close(os.open({silent.device!r}, os.O_RDWR | os.O_NOCTTY)); print('opened')\n"
        "except OSError as error: print(error.errno)\n"
    )

    def opened() -> bool:
        said = subprocess.run(
            [sys.executable, "-c", program], capture_output=True, check=True, text=True
        ).stdout.strip()
        assert said in ("opened", str(errno.EBUSY))
        return said == "opened"

    assert await asyncio.to_thread(opened)
    stock = serial.Serial(silent.device, exclusive=True)
    assert await asyncio.to_thread(opened)
    stock.close()
    async with await Link.open(silent.device, timings=QUICK):
        assert not await asyncio.to_thread(opened)
    assert await asyncio.to_thread(opened)


async def test_the_mark_is_taken_off_when_the_port_is_closed(board: MakeBoard) -> None:
    silent = board()
    async with await Link.open(silent.device, timings=QUICK):
        if os.geteuid() == 0:  # nobody else gets this far
            assert is_exclusive(silent.device)
    assert not is_exclusive(silent.device)


async def test_a_lost_port_is_closed_at_once_so_that_its_number_is_free(board: MakeBoard) -> None:
    silent = board()
    link = await Link.open(silent.device, timings=QUICK)
    silent.unplug()
    await eventually(lambda: link.closed)
    assert link.lost is not None
    assert not [target for target in open_files() if target.startswith(silent.device)]


def open_files() -> list[str]:
    found = []
    for descriptor in Path("/proc/self/fd").iterdir():
        try:
            found.append(str(descriptor.readlink()))
        except OSError:
            continue
    return found


async def test_another_reader_is_told_from_an_unplugged_cable(board: MakeBoard) -> None:
    silent = board()
    reasons: list[str] = []
    port = BenchSerial(silent.device, baud=115200, dtr=True)
    port.on_error = reasons.append
    port.open()
    assert port.read(10) == b""  # ready, but somebody else took what there was: VMIN 0 reads nothing
    assert reasons == ["another program reads from it"]
    closed = threading.Event()
    port.on_closed = closed.set
    port.close()
    assert await asyncio.to_thread(closed.wait, 5)


async def test_opening_that_is_cancelled_leaves_no_open_port(board: MakeBoard, monkeypatch: pytest.MonkeyPatch) -> None:
    silent = board()
    others = set(threading.enumerate())
    entered, go_on = threading.Event(), threading.Event()
    stock_open = serial.Serial.open

    def slow_open(port: serial.Serial) -> None:
        entered.set()
        go_on.wait(10)
        stock_open(port)

    monkeypatch.setattr(serial.Serial, "open", slow_open)
    opening = asyncio.create_task(Link.open(silent.device, timings=QUICK))
    await asyncio.to_thread(entered.wait, 5)
    opening.cancel()
    with pytest.raises(asyncio.CancelledError):
        await opening
    go_on.set()
    mine = [thread for thread in threading.enumerate() if thread.name.startswith("propsoff") and thread not in others]
    await eventually(lambda: not any(thread.is_alive() for thread in mine))
    assert open_files().count(silent.device) == 1  # the board's own end


async def test_unplugged_between_opening_and_the_first_byte_leaves_no_open_port(
    board: MakeBoard, monkeypatch: pytest.MonkeyPatch
) -> None:
    silent = board()
    stock_open = BenchSerial.open

    def unplugged_at_once(port: BenchSerial) -> None:
        stock_open(port)
        silent.unplug()

    monkeypatch.setattr(BenchSerial, "open", unplugged_at_once)
    with pytest.raises(OSError):
        await Link.open(silent.device, timings=QUICK)
    await eventually(lambda: not [target for target in open_files() if target.startswith(silent.device)])


async def test_a_port_that_cannot_be_had_alone_is_not_kept_open(
    board: MakeBoard, monkeypatch: pytest.MonkeyPatch
) -> None:
    silent = board()

    def refused(*_: object) -> None:
        raise OSError(errno.EPERM, "not permitted")

    monkeypatch.setattr(fcntl, "ioctl", refused)
    with pytest.raises(OSError, match="not permitted"):
        await Link.open(silent.device, timings=QUICK)
    assert open_files().count(silent.device) == 1  # the board's own end


async def test_each_way_of_losing_a_port_is_told_once_and_in_words(board: MakeBoard) -> None:
    gone = board()
    reasons: list[str] = []
    port = BenchSerial(gone.device, baud=115200, dtr=True)
    port.on_error = reasons.append
    port.open()
    gone.unplug()
    assert port.write(b"x") == 0
    assert port.read(10) == b""
    assert reasons == ["writing failed: Input/output error; unplugged?"]
    closed = threading.Event()
    port.on_closed = closed.set
    port.close()
    assert await asyncio.to_thread(closed.wait, 5)


async def test_a_close_that_hangs_ends_at_its_deadline_and_goes_on_in_its_thread(
    board: MakeBoard, monkeypatch: pytest.MonkeyPatch
) -> None:
    silent = board()
    go_on = threading.Event()
    stock_close = serial.Serial.close

    def slow_close(port: serial.Serial) -> None:
        go_on.wait(10)
        stock_close(port)

    link = await Link.open(silent.device, timings=replace(QUICK, close_s=0.1))
    monkeypatch.setattr(serial.Serial, "close", slow_close)
    with Gaps() as gaps:
        assert not await link.close()
    assert gaps.longest_s < 0.1
    assert not link.closed
    with pytest.raises(OSError):
        await Link.open(silent.device, timings=QUICK)
    go_on.set()
    await eventually(lambda: link.closed)


async def test_an_open_that_hangs_does_not_hold_up_the_loop_nor_the_exit(board: MakeBoard) -> None:
    program = (
        "import asyncio, serial, threading\n"
        "from propsoff.console.link import Link\n"
        "serial.Serial.open = lambda port: threading.Event().wait(60)\n"
        "async def main():\n"
        "    try:\n"
        "        async with asyncio.timeout(0.2):\n"
        f"            await Link.open({board().device!r})\n"
        "    except TimeoutError:\n"
        "        print('gave up')\n"
        "asyncio.run(main())\n"
    )
    done = await asyncio.to_thread(
        subprocess.run, [sys.executable, "-c", program], capture_output=True, text=True, check=False, timeout=20
    )
    assert (done.stdout, done.returncode) == ("gave up\n", 0), done.stderr


async def test_a_port_that_is_still_open_at_the_end_does_not_hold_up_the_exit(board: MakeBoard) -> None:
    program = (
        "from propsoff.console.serial_port import BenchSerial\n"
        f"port = BenchSerial({board().device!r}, baud=115200, dtr=True)\n"
        "port.open()\n"
    )
    done = await asyncio.to_thread(
        subprocess.run, [sys.executable, "-c", program], capture_output=True, text=True, check=False, timeout=20
    )
    assert (done.stderr, done.returncode) == ("", 0)


async def test_a_rate_that_is_no_standard_one_is_taken(board: MakeBoard) -> None:
    """CRSF runs at 416666 or 420000 baud; termios(3) knows neither: the kernel's BOTHER sets them."""
    async with await Link.open(board(plain()).device, timings=QUICK, baud=420_000) as link:
        await link.write(b"\r")
        assert await link.read(5)


def test_nothing_of_pyserial_is_imported_before_a_port_is_opened() -> None:
    program = (
        "import sys, propsoff.console.conversation, propsoff.console.link, propsoff.console.transcript\n"
        "print([name for name in sys.modules if name.startswith('serial')])"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


async def test_a_port_that_was_never_opened_closes_without_a_thread() -> None:
    port = BenchSerial("/dev/none-such", baud=115200, dtr=True)
    told: list[bool] = []
    port.on_closed = lambda: told.append(True)
    port.close()
    port.close()
    assert told == [True]

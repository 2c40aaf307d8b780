"""Backing off from a device that comes and goes, per physical path."""

from __future__ import annotations

import pytest

from propsoff.ports.facts import Port, UsbIdentity
from propsoff.ports.flapping import FlapGuard, FlapRules, Pause


class Clock:
    def __init__(self) -> None:
        self.now_s = 1000.0

    def __call__(self) -> float:
        return self.now_s


def port(path: str | None = "pci-0000:00:14.0-usb-0:4.2:1.0", device: str = "/dev/ttyACM0") -> Port:
    return Port(device, UsbIdentity(0x0483, 0x5740, "7", path=path))


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def guard(clock: Clock) -> FlapGuard:
    return FlapGuard(clock, FlapRules(arrivals=3, window_s=10.0, first_s=2.0, longest_s=10.0, calm_s=60.0))


def arrivals(guard: FlapGuard, clock: Clock, count: int, every_s: float, of: Port) -> list[Pause]:
    pauses = []
    for _ in range(count):
        pauses.append(guard.arrived(of))
        clock.now_s += every_s
    return pauses


def test_boards_changed_at_a_working_pace_are_never_held_back(guard: FlapGuard, clock: Clock) -> None:
    assert arrivals(guard, clock, 50, 4.0, port()) == [Pause()] * 50


def test_each_further_arrival_waits_twice_as_long_up_to_the_limit(guard: FlapGuard, clock: Clock) -> None:
    delays = [pause.delay_s for pause in arrivals(guard, clock, 8, 1.0, port())]
    assert delays == [0, 0, 0, 2.0, 4.0, 8.0, 10.0, 10.0]


def test_it_is_said_once_and_names_the_socket(guard: FlapGuard, clock: Clock) -> None:
    notices = [pause.notice for pause in arrivals(guard, clock, 8, 1.0, port()) if pause.notice]
    assert len(notices) == 1
    assert "pci-0000:00:14.0-usb-0:4.2" in notices[0]
    assert notices[0].startswith("keeps leaving and coming back: check the plug")


def test_the_device_name_does_not_matter(guard: FlapGuard, clock: Clock) -> None:
    pauses = [arrivals(guard, clock, 1, 1.0, port(device=f"/dev/ttyACM{n}"))[0] for n in range(4)]
    assert pauses[-1].delay_s == 2.0


def test_another_socket_is_not_held_back(guard: FlapGuard, clock: Clock) -> None:
    arrivals(guard, clock, 8, 1.0, port())
    assert guard.arrived(port("pci-0000:00:14.0-usb-0:4.3:1.0")) == Pause()


def test_a_flapping_device_stays_held_back_when_it_slows_down(guard: FlapGuard, clock: Clock) -> None:
    arrivals(guard, clock, 4, 1.0, port())
    clock.now_s += 30.0
    assert guard.arrived(port()) == Pause(4.0)


def test_after_a_calm_time_the_socket_is_trusted_and_a_new_bout_is_said_again(guard: FlapGuard, clock: Clock) -> None:
    arrivals(guard, clock, 6, 1.0, port())
    clock.now_s += 60.0
    pauses = arrivals(guard, clock, 4, 1.0, port())
    assert [pause.delay_s for pause in pauses] == [0, 0, 0, 2.0]
    assert pauses[-1].notice


def test_without_a_physical_path_the_board_is_counted(guard: FlapGuard, clock: Clock) -> None:
    pauses = arrivals(guard, clock, 4, 1.0, port(path=None))
    assert pauses[-1].delay_s == 2.0
    assert "/dev/ttyACM0" in (pauses[-1].notice or "")


def test_a_device_that_flaps_for_weeks_does_not_overflow(guard: FlapGuard, clock: Clock) -> None:
    assert arrivals(guard, clock, 5000, 1.0, port())[-1] == Pause(10.0)


def test_a_device_that_stayed_as_long_as_it_was_wanted_is_trusted_again(guard: FlapGuard, clock: Clock) -> None:
    """Boards plugged in one after another, each read to its end, are no bad wire."""
    for _ in range(20):
        assert guard.arrived(port()) == Pause()
        clock.now_s += 1.0
        guard.settled(port())
    arrivals(guard, clock, 3, 1.0, port())
    assert guard.arrived(port()).delay_s == 2.0

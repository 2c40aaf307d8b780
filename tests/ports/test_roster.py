"""From what is seen to arrivals and departures."""

from __future__ import annotations

import hypothesis.strategies as st
from hypothesis import given

from propsoff.ports.facts import Arrival, Departure, Port, UsbIdentity
from propsoff.ports.roster import Roster, Sighting

ONE = Sighting(Port("/dev/ttyACM0", UsbIdentity(serial_number="1")))
TWO = Sighting(Port("/dev/ttyACM0", UsbIdentity(serial_number="2")))


def test_another_port_at_the_same_place_is_a_departure_and_an_arrival() -> None:
    roster = Roster()
    roster.put("a", ONE)
    assert roster.put("a", TWO) == [Departure(ONE.port, 2), Arrival(TWO.port, 3)]


def test_the_same_port_seen_again_is_no_movement() -> None:
    roster = Roster()
    roster.put("a", ONE)
    assert roster.put("a", Sighting(ONE.port)) == []


def test_the_same_port_with_another_stamp_left_and_came_back() -> None:
    roster = Roster()
    roster.put("a", Sighting(ONE.port, "100"))
    assert roster.put("a", Sighting(ONE.port, "200")) == [Departure(ONE.port, 2), Arrival(ONE.port, 3)]


def test_a_missing_stamp_says_nothing() -> None:
    roster = Roster()
    roster.put("a", Sighting(ONE.port, None))
    assert roster.put("a", Sighting(ONE.port, "200")) == []


def test_what_was_never_there_does_not_depart() -> None:
    assert Roster().drop("a") == []


PLACES = st.dictionaries(st.sampled_from("abcd"), st.sampled_from([ONE, TWO]))


@given(st.lists(PLACES, max_size=8))
def test_replaying_the_movements_gives_what_is_seen(states: list[dict[str, Sighting]]) -> None:
    roster, seq = Roster(), 0
    counted: dict[str, int] = {}
    for state in states:
        for movement in roster.settle(state):
            seq += 1
            assert movement.seq == seq
            serial = movement.port.usb.serial_number or ""
            counted[serial] = counted.get(serial, 0) + (1 if isinstance(movement, Arrival) else -1)
            assert counted[serial] >= 0
        serials = [sighting.port.usb.serial_number for sighting in state.values()]
        assert {serial: n for serial, n in counted.items() if n} == {s: serials.count(s) for s in serials}

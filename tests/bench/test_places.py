"""The sockets of a bench: an id for every name, and what was seen there, kept over a restart."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from propsoff.bench.places import MOST_PAST, MOST_PLACES, Past, PlaceMemory, place_id, place_of
from propsoff.ports.facts import Port, UsbIdentity


def a_past(number: int = 1) -> Past:
    return Past(f"20270115T08{number:04d}Z-board-0123456789ab", "pass", "Teal Wren", "2027-01-15T08:00:00.000Z")


@given(st.text())
def test_every_name_has_an_id_that_can_stand_in_an_address_or_a_file_name(name: str) -> None:
    made = place_id(name)
    assert re.fullmatch(r"[A-Za-z0-9._-]{1,80}", made)
    assert made not in (".", "..")
    assert not made.startswith(".")


@given(st.sets(st.text(max_size=80), min_size=2, max_size=30))
def test_names_that_lose_something_stay_apart(names: set[str]) -> None:
    # Slashes alone are lost without a mark: "a/b" and "a-b" are no two sockets of one bench.
    told = {name.strip("/").replace("/", "-") for name in names}
    assert len({place_id(name) for name in names}) >= len(told)


def test_a_socket_is_one_place_whatever_interface_its_console_has() -> None:
    ports = [Port("/dev/a", UsbIdentity(path=f"1-4.2:1.{n}"), "udev") for n in (0, 2)]
    assert {place_of(port) for port in ports} == {"1-4.2"}
    assert place_of(Port("/somewhere/links/bay-3", origin="folder")) == "bay-3"
    assert place_of(Port("/dev/ttyACM0")) == "dev-ttyACM0"


def test_results_outlive_a_restart_in_their_order(tmp_path: Path) -> None:
    path = tmp_path / "state" / "places.json"
    memory = PlaceMemory(path)
    for number in range(MOST_PAST + 3):
        memory.note("1-1", a_past(number))
    memory.keep()
    again = PlaceMemory(path).past["1-1"]
    assert list(again) == [a_past(number) for number in range(3, MOST_PAST + 3)]


def test_a_result_made_anew_takes_the_place_of_the_one_before() -> None:
    memory = PlaceMemory(None)
    for number in (1, 2):
        memory.note("1-1", a_past(number))
    memory.note("1-1", a_past(3), instead_of=a_past(1).report)
    memory.note("1-1", a_past(4), instead_of="of another run")
    assert [past.report for past in memory.past["1-1"]] == [a_past(number).report for number in (3, 2, 4)]


def test_of_places_without_end_those_used_longest_ago_are_forgotten() -> None:
    memory = PlaceMemory(None)
    for number in range(MOST_PLACES + 1):
        memory.note(f"place-{number}", a_past())
    memory.note("place-1", a_past())
    memory.note("one-more", a_past())
    assert len(memory.past) == MOST_PLACES
    assert "place-1" in memory.past
    assert not {"place-0", "place-2"} & memory.past.keys()


@pytest.mark.parametrize(
    "damaged",
    [
        b"",
        b"{",
        b"[]",
        b'{"places": {"a": 1}}',
        b'{"places": {"a": [{"report": 1, "verdict": "pass", "craft": null, "created": ""}]}}',
        b'{"places": {"a": [{}]}}',
        b"[" * 100_000,
        b"\xff\xfe",
    ],
)
def test_a_damaged_file_is_put_aside_and_costs_nothing_else(tmp_path: Path, damaged: bytes) -> None:
    path = tmp_path / "places.json"
    path.write_bytes(damaged)
    memory = PlaceMemory(path)
    assert memory.past == {}
    assert (tmp_path / "places.json.damaged").read_bytes() == damaged
    memory.note("1-1", a_past())
    memory.keep()
    assert json.loads(path.read_text())["places"]["1-1"][0]["verdict"] == "pass"


def test_places_keep_their_order_and_their_names_over_a_restart(tmp_path: Path) -> None:
    memory = PlaceMemory(tmp_path / "places.json")
    for place, name in (("b", "left socket"), ("a", "a+b"), ("b", "left socket")):
        memory.note(place, a_past(), name=name)
    memory.keep()
    again = PlaceMemory(tmp_path / "places.json")
    assert list(again.past) == ["b", "a"]
    assert again.names == {"b": "left socket", "a": "a+b"}


def test_a_file_of_before_names_were_kept_is_read_with_the_places_as_names(tmp_path: Path) -> None:
    path = tmp_path / "places.json"
    memory = PlaceMemory(path)
    memory.note("1-1", a_past(), name="left")
    memory.keep()
    document = json.loads(path.read_text())
    del document["names"]
    path.write_text(json.dumps(document))
    assert PlaceMemory(path).names == {"1-1": "1-1"}

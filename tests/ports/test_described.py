"""The identity written beside a link: what it may say, and that nothing in it can do harm."""

from __future__ import annotations

import json
from pathlib import Path

import hypothesis.strategies as st
import pytest
from hypothesis import given

from propsoff.ports.described import LONGEST_DESCRIPTION_BYTES, described
from propsoff.ports.facts import UsbIdentity

# The keys and their form are those of fixtures/propsoff_sim/CONSOLES.md, "The simulated bench".
FULL = {
    "vid": "0483",
    "pid": "5740",
    "serial_number": "4F2A00191C",
    "manufacturer": "Fenwick",
    "product": "Ossel Flight Core",
    "path": "bench-1.2",
}


def beside(tmp_path: Path, content: str | bytes) -> Path:
    raw = content if isinstance(content, bytes) else content.encode("utf-8")
    (tmp_path / "board.usb.json").write_bytes(raw)
    return tmp_path / "board"


def test_a_full_description_is_the_identity(tmp_path: Path) -> None:
    link = beside(tmp_path, json.dumps(FULL))
    expected = UsbIdentity(0x0483, 0x5740, "4F2A00191C", "Fenwick", "Ossel Flight Core", "bench-1.2")
    assert described(link) == (expected, None)


def test_no_description_is_no_problem(tmp_path: Path) -> None:
    assert described(tmp_path / "board") == (UsbIdentity(), None)


def test_every_value_may_be_null_and_the_links_name_stands_for_the_socket(tmp_path: Path) -> None:
    link = beside(tmp_path, json.dumps(dict.fromkeys(FULL)))
    assert described(link) == (UsbIdentity(path="board"), None)


def test_half_a_surrogate_pair_is_replaced(tmp_path: Path) -> None:
    usb, _ = described(beside(tmp_path, json.dumps(FULL | {"product": "Ossel \ud800"})))
    assert usb.product == "Ossel ?"


@pytest.mark.parametrize(
    ("content", "words"),
    [
        ('{"vid": "0483",\n "pid": }', "line 2: is not JSON"),
        ("", "line 1: is not JSON"),
        ("[1, 2]", "must be an object"),
        (json.dumps(FULL | {"vid": 1155}), "vid: must be four hexadecimal digits"),
        (json.dumps(FULL | {"vid": "483"}), "vid: must be four hexadecimal digits"),
        (json.dumps(FULL | {"pid": "zzzz"}), "pid: must be four hexadecimal digits"),
        (json.dumps(FULL | {"pid": "57401"}), "pid: must be four hexadecimal digits"),
        (json.dumps(FULL | {"product": ["a"]}), "product: must be text or null"),
        (json.dumps(FULL | {"path": 5}), "path: must be text or null"),
        (b"\xff\xfe", "is not UTF-8"),
        ("[" * 60_000, "nested too deep"),
        ("9" * 5000, ""),
        (" " * (LONGEST_DESCRIPTION_BYTES + 1), "is longer than"),
    ],
)
def test_a_malformed_description_leaves_the_identity_empty_and_says_so(
    tmp_path: Path, content: str | bytes, words: str
) -> None:
    usb, problem = described(beside(tmp_path, content))
    assert usb == UsbIdentity()
    assert problem is not None
    assert words in problem
    assert "board.usb.json" in problem


def test_a_folder_in_the_place_of_the_description_is_a_problem(tmp_path: Path) -> None:
    (tmp_path / "board.usb.json").mkdir()
    usb, problem = described(tmp_path / "board")
    assert usb == UsbIdentity()
    assert problem is not None
    assert "cannot be read" in problem


@given(
    st.one_of(st.binary(max_size=200), st.recursive(st.none() | st.text() | st.integers(), st.lists).map(json.dumps))
)
def test_no_content_whatever_raises(tmp_path_factory: pytest.TempPathFactory, content: str | bytes) -> None:
    usb, problem = described(beside(tmp_path_factory.mktemp("description"), content))
    assert problem is None or usb == UsbIdentity()

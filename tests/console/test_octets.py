"""Bytes as text and back, exactly."""

from __future__ import annotations

import codecs

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from propsoff.console.octets import bytes_of, partial_tail, text_of


@given(st.binary())
@example(bytes(range(256)))
@example("\uef80\uefff".encode())
@example(b"\xee\xbe\x80\xee\xbe\xee\xbf\xbf")
@example(b"\xed\xa0\x80")  # a surrogate in UTF-8's clothes is not UTF-8 (RFC 3629, section 3)
def test_every_sequence_of_bytes_comes_back(data: bytes) -> None:
    assert bytes_of(text_of(data)) == data


@given(st.lists(st.binary(max_size=6)))
def test_bytes_cut_anywhere_come_back_joined(pieces: list[bytes]) -> None:
    assert bytes_of("".join(map(text_of, pieces))) == b"".join(pieces)


@pytest.mark.parametrize("text", ["plain", "Zaunkönig", "藍鷺", "🦅", ""])
def test_utf_8_is_read_as_what_it_is(text: str) -> None:
    assert text_of(text.encode()) == text


def test_a_byte_that_is_not_utf_8_becomes_one_private_character() -> None:
    assert text_of(b"a\xffb\x80") == "a\uefffb\uef80"


def test_a_lone_surrogate_from_a_foreign_capture_becomes_a_question_mark() -> None:
    assert bytes_of("a\ud800b\udc90") == b"a?b?"


@given(st.text(alphabet=st.characters(exclude_categories=["Cs"]), min_size=1), st.data())
def test_what_is_held_back_is_what_pythons_own_decoder_holds_back(text: str, data: st.DataObject) -> None:
    encoded = text.encode()
    cut = encoded[: data.draw(st.integers(0, len(encoded)))]
    decoder = codecs.getincrementaldecoder("utf-8")()
    decoder.decode(cut)
    assert partial_tail(cut) == len(decoder.getstate()[0])


@given(st.binary(max_size=8))
def test_no_more_than_three_bytes_are_ever_held_back(data: bytes) -> None:
    assert 0 <= partial_tail(data) <= min(3, len(data))

"""Which dialect a saved capture speaks."""

from __future__ import annotations

from dataclasses import replace

import pytest

from dialects.conversations import CAPTURES, corvane_document, ossel
from dialects.samples import BRINDLE_BADGE, BRINDLE_VIEW, CORVANE_SETUP, OSSEL_RECITE
from propsoff.console.capture import Capture, Event, pasted
from propsoff.console.transcript import Transcript
from propsoff.dialects.model import Dialect
from propsoff.dialects.read import read_craft, read_exchanges
from propsoff.dialects.recognise import explain, recognise

Dialects = dict[str, Dialect]


@pytest.mark.parametrize("name", list(CAPTURES))
def test_a_conversation_is_recognised_by_its_identity_reply(name: str, dialects: Dialects) -> None:
    found = explain(CAPTURES[name](), dialects.values())
    assert found.dialect is dialects[name]
    assert found.reason == f"{name}: its identity command was answered as it should be"
    assert explain(Transcript(CAPTURES[name]()), dialects.values()) == found


@pytest.mark.parametrize("name", list(CAPTURES))
@pytest.mark.parametrize("copied", [False, True], ids=["recorded", "pasted"])
def test_what_was_said_comes_with_the_dialect_and_reads_as_the_capture_does(
    name: str, copied: bool, dialects: Dialects
) -> None:
    capture = CAPTURES[name]()
    if copied:
        capture = pasted("".join(event.text for event in capture.events if event.code == "o").encode())
    found = explain(capture, dialects.values())
    assert found.dialect is dialects[name]
    assert found.exchanges
    assert read_exchanges(found.exchanges, found.dialect) == read_craft(capture, dialects[name])


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("ossel", OSSEL_RECITE),
        ("brindle", BRINDLE_VIEW),
        ("corvane", corvane_document("setup", CORVANE_SETUP)),
        ("ossel", f"ossel> recite\n{OSSEL_RECITE}ossel>"),
    ],
)
def test_a_pasted_listing_is_recognised_by_its_marks(name: str, text: str, dialects: Dialects) -> None:
    found = explain(pasted(text.encode()), dialects.values())
    assert found.dialect is dialects[name]
    assert found.reason.endswith("the marks of its listings are there")


def test_a_pasted_line_that_names_the_firmware_is_enough(dialects: Dialects) -> None:
    found = explain(pasted(BRINDLE_BADGE.encode()), dialects.values())
    assert found.dialect is dialects["brindle"]
    assert found.reason.endswith("a line names its firmware")


@pytest.mark.parametrize("text", ["", "hello\n> \n", "$GPGGA,123519,4807.038,N\r\n", "ossel> nonsense\nossel> "])
def test_what_nobody_speaks_is_none_with_the_reason(text: str, dialects: Dialects) -> None:
    found = explain(pasted(text.encode()), dialects.values())
    assert found.dialect is None
    assert found.reason == (
        "no known dialect fits: neither an identity reply nor the marks of a listing (known: brindle, corvane, ossel)"
    )
    assert recognise(pasted(text.encode()), []) is None


def test_a_tie_is_none_and_names_both(dialects: Dialects) -> None:
    twin = replace(dialects["ossel"], id="ossel-of-mine")
    found = explain(ossel(), [twin, *dialects.values()])
    assert found.dialect is None
    assert found.reason.startswith("several dialects fit equally (ossel and ossel-of-mine)")


def test_an_identity_reply_outweighs_marks(dialects: Dialects) -> None:
    marks = corvane_document("setup", CORVANE_SETUP)
    capture = ossel()
    chatty = Capture((*capture.events, Event(0.0, "o", marks)), 0.0)
    assert recognise(chatty, dialects.values()) is dialects["ossel"]


def test_a_capture_without_output_is_nobodys(dialects: Dialects) -> None:
    assert recognise(Capture(()), dialects.values()) is None
    assert recognise(Capture((Event(0.0, "i", "who\r"),)), dialects.values()) is None

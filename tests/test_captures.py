"""The recorded captures: every one plays, reads to the verdict that is noted beside it, and is what its name says."""

from __future__ import annotations

import json

import asciinema.asciicast as player
import pytest

from propsoff.console.capture import load_capture, parse_cast
from propsoff.library import Toolbox, inspect_file, toolbox
from propsoff.settings import Settings
from tests_support.captures import CAPTURES

EXPECTED: dict[str, str] = json.loads((CAPTURES / "expected.json").read_text())


@pytest.fixture(scope="module")
def tools() -> Toolbox:
    return toolbox(Settings(plugins={"third_party": False}))


def test_there_are_enough_of_every_kind() -> None:
    names = {path.name for path in CAPTURES.iterdir() if path.suffix in {".cast", ".txt"}}
    assert names == set(EXPECTED)
    assert len(names) >= 12
    assert {"pass", "fail", "warn", "unknown", "incomplete"} <= set(EXPECTED.values())
    for firmware in ("ossel", "brindle", "corvane"):
        assert sum(firmware in name for name in names) >= 4


@pytest.mark.parametrize("name", sorted(EXPECTED))
def test_a_capture_comes_to_the_verdict_that_is_noted(tools: Toolbox, name: str) -> None:
    report = inspect_file(CAPTURES / name, tools=tools)
    assert report.verdict == EXPECTED[name], report.ended
    assert report.capture.file == name


@pytest.mark.parametrize("name", sorted(name for name in EXPECTED if name.endswith(".cast")))
def test_a_recording_plays_and_is_written_back_byte_for_byte(name: str) -> None:
    # The player is asciinema 2.4, the reference implementation of asciicast v2.
    with player.open_from_url(str(CAPTURES / name)) as recording:
        events = list(recording.events())
    assert [event[0] for event in events] == sorted(event[0] for event in events)
    assert events[-1][2].startswith("end: ")
    data = (CAPTURES / name).read_bytes()
    assert parse_cast(data, name).to_bytes() == data
    assert load_capture(CAPTURES / name).sha256

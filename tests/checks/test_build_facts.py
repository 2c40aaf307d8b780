"""Facts that only a build sheet can ask for."""

from __future__ import annotations

import pytest

from propsoff import Range
from propsoff_checks.build_facts import build_facts
from tests_support.crafts import Bench

STATED: dict[str, object] = {
    "board.serial": "4F2A",
    "craft.name": "Teal Wren",
    "logger.device": "flash",
    "logger.free_bytes": 4096,
}


def test_a_sheet_that_names_nothing_of_it_is_not_compared(bench: Bench) -> None:
    assert [one.outcome for one in bench.run(build_facts, STATED)] == ["skipped"]


@pytest.mark.parametrize(
    ("fact", "good", "bad", "name"),
    [
        ("board.name", "SISKIN 4", "FENWICK F7", "build-facts/board"),
        ("board.serial", "4F2A", "4F2B", "build-facts/serial"),
        ("craft.name", "teal wren", "Grey Wren", "build-facts/name"),
        ("logger.device", "flash", "card", "build-facts/recorder"),
        ("logger.free_bytes", Range(low=4096), Range(low=4097), "build-facts/recorder-room"),
    ],
)
def test_each_fact_is_compared_and_what_was_not_read_never_passes(
    bench: Bench, fact: str, good: object, bad: object, name: str
) -> None:
    def run(expected: object, value: object) -> list[tuple[str, str]]:
        found = bench.run(build_facts, {**STATED, fact: value}, sheet=bench.sheet(expect={fact: expected}))
        return [(one.name, one.outcome.value) for one in found]

    value = "SISKIN 4" if fact == "board.name" else STATED[fact]
    assert run(good, value) == [("build-facts", "pass")]
    assert run(bad, value) == [(name, "fail")]
    assert run(good, None) == [("build-facts/unread", "unknown")]


def test_the_name_is_put_right_at_the_console_and_says_both(bench: Bench) -> None:
    sheet = bench.sheet(expect={"craft.name": "Grey Wren"})
    (found,) = bench.run(build_facts, STATED, sheet=sheet)
    assert (found.expected, found.actual) == ("Grey Wren", "Teal Wren")
    assert found.remedy.console == ("set craft.name Grey Wren", "store")

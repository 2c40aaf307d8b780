"""Boards without a dialect: what they answer, what they record, and that they are nobody else."""

from __future__ import annotations

from collections.abc import AsyncIterator
from pathlib import Path

import pytest

from propsoff_sim.bench import SimBench
from propsoff_sim.catalogue import board_names
from propsoff_sim.device import joined
from propsoff_sim.run import listing
from propsoff_sim.strangers import STRANGERS
from propsoff_sim.unknown_boards import UNKNOWN_BOARDS
from propsoff_sim.wickerby import HARMFUL, PAGES, SUBJECTS, Wickerby
from sim.reader import Reader


@pytest.fixture
async def bench(tmp_path: Path) -> AsyncIterator[SimBench]:
    """An empty bench."""
    async with SimBench(tmp_path) as bench:
        yield bench


def said(board: Wickerby, typed: bytes) -> str:
    return joined(board.feed(typed)).decode()


def test_the_help_names_every_page_and_every_harmful_word() -> None:
    lines = said(Wickerby(), b"help\r").splitlines()
    assert [line.split()[0] for line in lines[2:-1]] == [*SUBJECTS, *HARMFUL]
    assert set(SUBJECTS) == set(PAGES)
    assert lines[0] == lines[1].split()[0] == "help"


@pytest.mark.parametrize("subject", list(SUBJECTS))
def test_a_subject_is_answered_with_its_page_and_recorded_as_harmless(subject: str) -> None:
    board = Wickerby()
    lines = said(board, f"{subject}\r\n".encode()).split("\r\n")
    assert lines[0] == subject
    assert lines[1:-1] == [line.strip() for line in PAGES[subject].strip().splitlines()]
    assert lines[-1] == "wickerby) "
    assert board.log.written == []


@pytest.mark.parametrize("word", list(HARMFUL))
def test_a_harmful_word_is_recorded_with_what_follows_it(word: str) -> None:
    board = Wickerby()
    said(board, f"{word} 3\r".encode())
    assert board.log.written == [f"{word} 3"]
    assert board.restart_wanted is (word == "anew")


def test_an_unknown_word_an_empty_line_and_a_character_taken_back() -> None:
    board = Wickerby()
    assert said(board, b"\r") == "\r\nwickerby) "
    assert said(board, b"helm\r") == "helm\r\nNo such word: helm\r\nwickerby) "
    assert said(board, b"abouu\x7ft\r").startswith("abouu\b \bt\r\nFirmware")


async def test_it_restarts_on_the_bench_and_keeps_its_record(bench: SimBench) -> None:
    plugged = bench.plug("wickerby")
    async with Reader(plugged.path) as reader:
        reader.write(b"anew\r")
        await reader.until_ended()
    assert plugged.written == ["anew"]


def test_no_board_without_a_dialect_is_one_of_the_others_or_shows_as_one() -> None:
    assert set(UNKNOWN_BOARDS).isdisjoint({*board_names(), *STRANGERS})
    products = {entry.usb.product for entry in UNKNOWN_BOARDS.values()}
    assert products.isdisjoint({entry.usb.product for entry in STRANGERS.values()})
    section = listing().partition("Boards without a dialect:\n")[2].partition("\nStrangers:")[0]
    assert [line.split()[0] for line in section.splitlines() if line.strip()] == list(UNKNOWN_BOARDS)

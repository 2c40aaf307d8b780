"""The guide to sheets names everything that a sheet can say, and the commands for sheets."""

from __future__ import annotations

from pathlib import Path

import pytest

from propsoff.cli.sheet import command
from propsoff.sheets.build import NEVER_WAIVED
from propsoff.sheets.grammar import KINDS, sheet_shape
from propsoff.sheets.model import CHEMISTRIES, REGIONS

TEXT = (Path(__file__).parents[2] / "contrib" / "guide" / "sheets.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("word", [*sheet_shape().keys, *REGIONS, *CHEMISTRIES, *KINDS, *NEVER_WAIVED])
def test_the_guide_names_every_key_and_word(word: str) -> None:
    marks = (f"`{word}`", f"[{word}]", f"[{word}.", f"`{word}.", f"{word} =")
    assert any(mark in TEXT for mark in marks) or word == "listing"


def test_the_guide_names_every_command_for_sheets() -> None:
    for name in command.commands:
        assert f"`propsoff sheet {name} " in TEXT

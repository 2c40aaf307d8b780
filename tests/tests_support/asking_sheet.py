"""A build sheet that asks a person, to test with."""

from __future__ import annotations

from pathlib import Path

QUESTIONS = """\
format = 1
name = "ours"
extends = "house-default"

[match]
craft = "*"

[[questions]]
id = "propellers-off"
ask = "Are all propellers off?"
kind = "yes-no"
expected = "yes"

[[questions]]
id = "battery-connector"
ask = "Which connector does the battery have?"
kind = "choice"
choices = ["small", "large"]

[[questions]]
id = "box"
ask = "What else is in the box?"
kind = "text"
"""


def asking_sheet(folder: Path) -> str:
    """The path of a file with that sheet, for `checks.sheets`."""
    path = folder / "ours.toml"
    path.write_text(QUESTIONS)
    return str(path)

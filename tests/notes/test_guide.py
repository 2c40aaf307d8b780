"""The samples of the guide to hand notes work, together."""

from __future__ import annotations

import re
from pathlib import Path

from propsoff.notes.answers import wanted_answer
from propsoff.notes.load import parse_notes
from propsoff.sheets.catalogue import catalogue

GUIDE = (Path(__file__).parents[2] / "contrib" / "guide" / "hand-notes.md").read_text(encoding="utf-8")


def test_the_sample_questions_are_answered_by_the_sample_notes(tmp_path: Path) -> None:
    questions, answers = re.findall(r"^```toml\n(.*?)^```", GUIDE, re.MULTILINE | re.DOTALL)
    (tmp_path / "a.toml").write_text(f'format = 1\nname = "a"\n{questions}')
    found = catalogue(user=[tmp_path])
    assert found.errors == ()
    [sheet] = [sheet for sheet in found.sheets if sheet.name == "a"]
    notes = parse_notes(answers)
    assert (notes.craft, notes.serial) == ("Teal Wren", "4F2A00191C")
    assert len(sheet.questions) == 2
    for question in sheet.questions:
        value = notes.answers[question.id].value
        assert wanted_answer(question, value) is None
        assert question.expected is not None
        assert question.expected.allows(value)
    assert notes.answers["battery-connector"].at == "2026-11-25T10:07:30+01:00"


def test_the_guide_names_the_limits_and_the_options() -> None:
    for words in ("--ask", "--notes FILE.toml", "NAME.notes.toml", "64 KiB", "exit code 2"):
        assert words in " ".join(GUIDE.split())
    assert max(map(len, GUIDE.splitlines())) <= 140

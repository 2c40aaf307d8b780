"""The pages about checks and build sheets say what the code says, and their samples work."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from propsoff import Case, Check, Outcome, PortRole
from propsoff.inspection.runner import CHECK_DEADLINE_S, MAX_FINDINGS
from propsoff.sheets.catalogue import built_in_sheets, catalogue
from propsoff.sheets.load import MATCH_KEYS
from propsoff.sheets.model import GRIDS
from tests_support.conversations import EVERY_CHECK as CHECKS
from tests_support.conversations import inspected, pasted_text

GUIDE = Path(__file__).parents[2] / "contrib" / "guide"
SECTIONS = ["Why", "Reads", "Outcomes", "Remedy", "Caution", "Sources"]


def page(check: Check) -> dict[str, str]:
    """The sections of a check's page; `""` is what stands above the first."""
    text = (GUIDE / "checks" / f"{check.id}.md").read_text(encoding="utf-8")
    parts = re.split(r"^## (.+)$", text, flags=re.MULTILINE)
    return {"": parts[0], **dict(zip(parts[1::2], (part.strip() for part in parts[2::2]), strict=True))}


def items(section: str) -> list[str]:
    return [line.removeprefix("- ").strip("`") for line in section.splitlines() if line.startswith("- ")]


def blocks(name: str, language: str) -> list[str]:
    return re.findall(
        rf"^```{language}\n(.*?)^```", (GUIDE / name).read_text(encoding="utf-8"), re.MULTILINE | re.DOTALL
    )


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.id)
def test_each_check_has_a_page_that_says_what_the_check_says(check: Check) -> None:
    sections = page(check)
    assert list(sections) == ["", *SECTIONS]
    assert sections[""].split("\n\n")[0] == f"# {check.id}"
    assert sections[""].split("\n\n")[1].strip() == check.title
    assert sections["Why"] == check.why
    assert items(sections["Reads"]) == list(check.reads)
    assert sections["Caution"] == check.caution
    assert items(sections["Sources"]) == list(check.sources)
    assert len(sections["Remedy"]) > 100


def test_there_is_no_page_without_a_check() -> None:
    assert {file.stem for file in (GUIDE / "checks").glob("*.md")} == {check.id for check in CHECKS}


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.id)
def test_the_page_lists_every_outcome_that_the_check_can_have_and_no_other(check: Check) -> None:
    listed = re.findall(r"^\| `(\w+)` \|", page(check)["Outcomes"], re.MULTILINE)
    source = Path(check.examine.__code__.co_filename).read_text(encoding="utf-8")
    calls = {"passed": "pass", "warn": "warn", "fail": "fail", "unread": "unknown", "unknown": "unknown"}
    used = {calls[call] for call in re.findall(r"case\.(passed|warn|fail|unread|unknown)\b", source)}
    if "against_sheet(" in source:
        used |= {"fail", "unknown"}
    assert set(listed) == used
    assert listed == [outcome.value for outcome in Outcome if outcome.value in used]


def test_the_sample_sheets_are_sheets(tmp_path: Path) -> None:
    samples = blocks("sheets.md", "toml")
    assert len(samples) == 5
    for at, sample in enumerate(samples):
        (tmp_path / f"{at}.toml").write_text(sample, encoding="utf-8")
    found = catalogue(user=[tmp_path])
    assert found.errors == ()
    assert len(found.sheets) == 1 + len(samples)


def test_the_guide_to_sheets_names_every_match_key_grid_and_role() -> None:
    text = (GUIDE / "sheets.md").read_text(encoding="utf-8")
    for word in (*MATCH_KEYS, *GRIDS, *PortRole.__args__):  # type: ignore[attr-defined]  # a Literal has them
        assert f"`{word}`" in text, word


def test_the_guide_states_the_house_defaults_as_they_are() -> None:
    text = (GUIDE / "sheets.md").read_text(encoding="utf-8")
    [house] = built_in_sheets()
    said = text[text.index("The built-in house default says") :].split("\n\n")[0]
    assert "a serial or an SPI receiver" in said
    assert str(house.expected("channels.order")) in said
    for link in ("analog", "digital"):
        for grid in house.grids_for(link):
            assert f"{grid.columns}x{grid.rows}" in said
    assert "console" in said


def test_the_sample_check_and_its_test_work() -> None:
    samples = blocks("writing-a-check.md", "python")
    space: dict[str, Any] = {}
    for sample in samples:
        exec(compile(sample, "writing-a-check.md", "exec"), space)
    [check] = space["propsoff_checks"]()
    report = inspected(pasted_text("ossel-hd53"), checks=(*CHECKS, check))
    assert [finding.outcome.value for finding in report.findings if finding.check == "spare-port"] == ["pass"]
    assert callable(space["test_a_sound_board_passes"])


def test_the_guide_names_every_call_of_a_case_and_the_limits() -> None:
    text = (GUIDE / "writing-a-check.md").read_text(encoding="utf-8")
    for call in ("passed", "warn", "fail", "unread", "unknown", "skipped"):
        assert hasattr(Case, call)
        assert f"case.{call}(" in text
    assert CHECK_DEADLINE_S == 5
    assert "five seconds" in text
    assert f"At most {MAX_FINDINGS} findings" in text

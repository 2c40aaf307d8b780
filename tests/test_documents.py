"""README and DEVELOPERS.md say what the program says, name files that are there, and wrap."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from propsoff.cli.main import EPILOG
from propsoff.settings_sources import load_settings

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_the_exit_codes_are_stated_once_in_the_words_of_the_help() -> None:
    codes = EPILOG[EPILOG.index("Exit codes: ") :]
    flowing = " ".join(README.split())
    assert codes in flowing
    assert flowing.count("Exit codes") == 1


def test_every_file_that_a_command_of_the_readme_reads_is_there() -> None:
    named = set(re.findall(r"fixtures/captures[\w./-]*", README))
    assert len(named) >= 4
    assert [name for name in named if not (ROOT / name).exists()] == []


def test_the_environment_is_made_before_anything_is_installed_into_it() -> None:
    assert README.index("python3 -m venv") < README.index("pip install")


def test_the_sample_settings_are_settings(tmp_path: Path) -> None:
    [sample] = re.findall(r"^```toml\n(.*?)^```", README, re.MULTILINE | re.DOTALL)
    (tmp_path / "propsoff.toml").write_text(sample)
    settings = load_settings(folder=tmp_path).settings
    assert settings.bench.name == "bench two"
    assert settings.checks.sheets == (tmp_path / "sheets",)


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md"])
def test_prose_is_wrapped(name: str) -> None:
    lines = (ROOT / name).read_text(encoding="utf-8").splitlines()
    prose = [line for line in lines if not line.startswith(("|", "sudo "))]
    assert [line for line in prose if len(line) > 132] == []


def test_the_check_in_the_guide_is_the_one_in_the_example() -> None:
    guide = (ROOT / "contrib" / "guide" / "writing-a-check.md").read_text(encoding="utf-8")
    first = re.findall(r"^```python\n(.*?)^```", guide, re.MULTILINE | re.DOTALL)[0]
    example = ROOT / "contrib" / "example-check" / "propsoff_example_check" / "__init__.py"
    assert first == example.read_text(encoding="utf-8")

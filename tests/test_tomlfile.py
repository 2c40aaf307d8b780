"""Reading a TOML file of the operator's: errors say which file and line."""

from __future__ import annotations

from pathlib import Path

import pytest

from propsoff.exceptions import SettingsError
from propsoff.tomlfile import nearest, read_toml


@pytest.mark.parametrize(
    ("content", "line", "words"),
    [
        (b"a = 1\nb = \n", 2, "not TOML"),
        (b"a = 1\na = 2\n", 2, "not TOML"),
        (b"a = 1\nb = '\xff'\n", 2, "UTF-8"),
        (b"a = " + b"[" * 5000, None, ""),
        (b"#" * (1 << 21), None, "1 MiB"),
    ],
)
def test_a_broken_file_is_named_with_its_line(tmp_path: Path, content: bytes, line: int | None, words: str) -> None:
    file = tmp_path / "broken.toml"
    file.write_bytes(content)
    with pytest.raises(SettingsError, match=r"broken\.toml") as caught:
        read_toml(file, SettingsError)
    assert words in str(caught.value)
    if line is not None:
        assert caught.value.line == line


def test_a_missing_file_is_named(tmp_path: Path) -> None:
    with pytest.raises(SettingsError, match=r"absent\.toml"):
        read_toml(tmp_path / "absent.toml", SettingsError)


def test_the_nearest_known_word_is_named_only_when_it_is_near() -> None:
    assert nearest("listn_s", ["listen_s", "quiet_s"]) == "listen_s"
    assert nearest("zzz", ["listen_s", "quiet_s"]) is None

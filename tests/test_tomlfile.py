"""The line of each key of a TOML file, and errors that say where."""

from __future__ import annotations

from pathlib import Path

import pytest

from propsoff.exceptions import SettingsError
from propsoff.tomlfile import KeyLines, nearest, read_toml

TEXT = '''# a comment with [brackets] = no
top = 1
"quoted key" = "a # b"

[table]
list = [
  1, # one ]
  2,
]
text = """
not.a.key = 3
[not.a.header]
"""
after = 4

[[item]]
name = "first"
[[item]]
name = "second"
[item.part]
deep.er = true
'''


@pytest.mark.parametrize(
    ("key", "line"),
    [
        ("top", 2),
        ("quoted key", 3),
        ("table", 5),
        ("table.list", 6),
        ("table.list[1]", 6),
        ("table.text", 10),
        ("table.after", 14),
        ("item[0].name", 17),
        ("item[1].name", 19),
        ("item[1].part", 20),
        ("item[1].part.deep.er", 21),
        ("item[1].part.deep", 21),
        ("table.absent", 5),
        ("nowhere", None),
        ("not.a.key", None),
    ],
)
def test_each_key_is_found_on_its_line(key: str, line: int | None) -> None:
    assert KeyLines(TEXT).of(key) == line


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

"""The token of a bench: from a file that only its owner can read, compared so that time tells nothing, never shown."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from propsoff.exceptions import SettingsError
from propsoff.page.token import Token, read_token

WORD = "not-a-real-token-of-anybody"


def a_file(folder: Path, content: bytes = f"{WORD}\n".encode(), mode: int = 0o600) -> Path:
    path = folder / "token"
    path.write_bytes(content)
    path.chmod(mode)
    return path


def test_a_token_matches_itself_and_nothing_else(tmp_path: Path) -> None:
    token = read_token(a_file(tmp_path))
    assert token.matches(WORD)
    for wrong in ("", WORD[:-1], WORD + " ", WORD.upper(), "Ω" * 1000, "\ud800"):
        assert not token.matches(wrong)


def test_a_token_is_compared_by_a_function_whose_time_tells_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    import hmac

    seen: list[tuple[int, int]] = []
    real = hmac.compare_digest

    def watched(a: bytes, b: bytes) -> bool:
        seen.append((len(a), len(b)))
        return real(a, b)

    monkeypatch.setattr(hmac, "compare_digest", watched)
    token = Token(WORD)
    for shown in (WORD, "", "x" * 5000):
        token.matches(shown)
    assert seen == [(32, 32)] * 3  # hashes: not even the length of the token shows


@pytest.mark.parametrize("mode", [0o644, 0o640, 0o604, 0o620, 0o660])
def test_a_file_that_others_can_read_or_write_is_refused_with_what_to_do(tmp_path: Path, mode: int) -> None:
    with pytest.raises(SettingsError, match=rf"mode 0{mode:o}\) \(chmod 600 ") as wrong:
        read_token(a_file(tmp_path, mode=mode))
    assert WORD not in str(wrong.value)


@pytest.mark.parametrize(
    ("content", "why"),
    [
        (b"", "shorter than 16"),
        (b"short\n", "shorter than 16"),
        (b"two words in one file", "one word"),
        ("ein-schlüssel-mit-umlaut".encode(), "one word"),
        (b"control\x07control\x07control", "one word"),
        (b"x" * 5000, "one word"),
        (b"\xff" * 32, "one word"),
        (b"1234512345123451234512345", "easily guessed"),
    ],
)
def test_what_is_no_good_token_is_refused_without_repeating_it(tmp_path: Path, content: bytes, why: str) -> None:
    with pytest.raises(SettingsError, match=why) as wrong:
        read_token(a_file(tmp_path, content))
    assert content.decode("latin-1") not in str(wrong.value) or not content


def test_a_file_that_is_none_is_refused(tmp_path: Path) -> None:
    with pytest.raises(SettingsError, match="No such file"):
        read_token(tmp_path / "nowhere")
    with pytest.raises(SettingsError, match="Is a directory"):
        read_token(tmp_path)
    fifo = tmp_path / "fifo"
    os.mkfifo(fifo)
    with pytest.raises(SettingsError, match="is no file"):
        read_token(fifo)


def test_a_token_does_not_show_itself() -> None:
    token = Token(WORD)
    assert WORD not in repr(token)
    assert not hasattr(token, "__dict__")

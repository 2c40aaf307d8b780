"""The token that callers from elsewhere must show. Only its hash is kept, so that no log or error can have it."""

from __future__ import annotations

import hashlib
import hmac
import os
import stat
import sys
from pathlib import Path

from propsoff.exceptions import SettingsError

_KEY = "page.token_file"
_LEAST, _MOST = 16, 1024
_LEAST_DIFFERENT = 6
"""Different characters: of tokens of 16 hexadecimal digits, drawn by chance, 4 in 100,000 have fewer."""
_MAKE_ONE = 'make one with: python3 -c "import secrets; print(secrets.token_urlsafe(32))"'


class Token:
    """A token that was read; `matches` takes the same time whatever it is compared with."""

    __slots__ = ("_digest",)

    def __init__(self, text: str) -> None:
        self._digest = _digest(text)

    def matches(self, shown: str) -> bool:
        """Whether this is the token."""
        return hmac.compare_digest(self._digest, _digest(shown))


def _digest(text: str) -> bytes:
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).digest()


def read_token(path: Path) -> Token:
    """The token in a file. Raises SettingsError when it cannot be read, others can read it, or it is no good token."""
    try:
        # A pipe without a writer would otherwise be waited for.
        with open(path, "rb", opener=_not_waiting) as file:
            _refuse_open_file(path, os.fstat(file.fileno()))
            data = file.read(_MOST + 2)
    except OSError as error:
        raise SettingsError(f"{path}: cannot be read: {error.strerror or error}", key=_KEY, hint=_MAKE_ONE) from None
    text = data.decode("utf-8", "replace").strip()
    if len(text) < _LEAST:
        raise SettingsError(f"{path}: the token is shorter than {_LEAST} characters", key=_KEY, hint=_MAKE_ONE)
    if len(text) > _MOST or not (text.isascii() and text.isprintable()) or " " in text:
        raise SettingsError(
            f"{path}: a token is one word of at most {_MOST} letters, digits and signs", key=_KEY, hint=_MAKE_ONE
        )
    if len(set(text)) < _LEAST_DIFFERENT:
        raise SettingsError(f"{path}: the token is easily guessed", key=_KEY, hint=_MAKE_ONE)
    return Token(text)


def _not_waiting(path: str, flags: int) -> int:
    return os.open(path, flags | getattr(os, "O_NONBLOCK", 0))


def _refuse_open_file(path: Path, about: os.stat_result) -> None:
    if not stat.S_ISREG(about.st_mode):
        raise SettingsError(f"{path}: is no file", key=_KEY, hint=_MAKE_ONE)
    if sys.platform == "win32":  # its rights are not in the mode
        return
    if about.st_uid not in (os.geteuid(), 0):
        raise SettingsError(f"{path}: belongs to another user", key=_KEY, hint="use a file of the user that runs this")
    if about.st_mode & 0o077:
        raise SettingsError(
            f"{path}: others may read it (mode {about.st_mode & 0o777:04o})", key=_KEY, hint=f"chmod 600 {path}"
        )

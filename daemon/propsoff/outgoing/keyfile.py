"""Files with a key or a password: read anew each time, so that they can be replaced while the bench runs."""

from __future__ import annotations

import stat
from pathlib import Path

from propsoff.exceptions import ConfigError

_MOST_BYTES = 4096


def secret_lines(path: Path) -> list[str]:
    """The lines of a secret file that are not empty. Raises ConfigError, whose text never holds what is in it."""
    try:
        with path.open("rb") as file:
            data = file.read(_MOST_BYTES + 1)
    except OSError as error:
        raise ConfigError(f"the secret cannot be read: {error.strerror or error}", source=path) from None
    if len(data) > _MOST_BYTES:
        raise ConfigError("is too long for a file with a secret", source=path)
    try:
        lines = [line.strip() for line in data.decode().splitlines() if line.strip()]
    except UnicodeDecodeError:
        raise ConfigError("is not text", source=path) from None
    if not lines:
        raise ConfigError("there is no secret in it", source=path)
    return lines


def open_to_others(path: Path) -> str | None:
    """A warning when every user of this computer may read or change a secret file; None otherwise."""
    try:
        mode = path.stat().st_mode
    except OSError:
        return None
    if not mode & (stat.S_IROTH | stat.S_IWOTH):
        return None
    return f"{path}: everybody on this computer may read or change this secret (chmod o-rw {path})"

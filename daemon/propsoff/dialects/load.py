"""Reading a dialect file."""

from __future__ import annotations

from pathlib import Path

from propsoff.dialects.model import Dialect


def load_dialect(path: Path) -> Dialect:
    """Read one dialect file.

    Raises DialectError, with file, line and key, when it cannot be read or is not a dialect.
    """
    raise NotImplementedError


def parse_dialect(text: str, source: str) -> Dialect:
    """Read a dialect from TOML text; `source` names it in errors. Raises DialectError as `load_dialect` does."""
    raise NotImplementedError

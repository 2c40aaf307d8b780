"""Free patterns for lines that no template describes, by an engine whose time is linear in the line.

A free pattern stands wherever a line template may: ``{ pattern = "(?P<key>[a-z]+) is (?P<value>.*)" }``. It is compiled
by google-re2 (syntax: https://github.com/google/re2/wiki/Syntax), which knows no construct that tries anything twice;
Python's own engine does and is never used for a text from a file.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from propsoff.dialects.templates import LineTemplate, TemplateError

LONGEST_PATTERN = 1000
FREE = "free"
"""The kind of a field of a free pattern: anything that its group takes."""
_NAMED = re.compile(r"\(\?P?<([^>]*)>")
_MEMORY_BYTES = 1 << 20


class EngineMissingError(ImportError):
    """The engine for free patterns is not installed."""


@dataclass(frozen=True)
class FreePattern:
    """A compiled pattern; used as a `LineTemplate` is. It must match the whole line; nothing is said with it."""

    source: str
    names: tuple[str, ...]

    @property
    def head(self) -> str:
        """Nothing is known of what a matching line begins with."""
        return ""

    def kind_of(self, name: str) -> str | None:
        """`FREE`, None when there is no such field."""
        return FREE if name in self.names else None

    @cached_property
    def forgotten(self) -> FreePattern | None:
        """The same pattern with the groups that this one forgets in place of its own; None where there are none."""
        names = tuple(name for name in self._compiled.groupindex if name not in self.names)
        return FreePattern(self.source, names) if names else None

    @cached_property
    def _compiled(self) -> Any:
        return _engine_compiled(self.source)

    def groups(self, text: str) -> tuple[str | None, ...] | None:
        """The values in the order of `names`, None for a group that took no part; None when the line does not match."""
        found = self._compiled.fullmatch(text.replace("\t", " ").rstrip(" "))
        return None if found is None else tuple(found.group(name) for name in self.names)

    def match(self, text: str) -> Mapping[str, str] | None:
        """The named groups that took part when the whole line matches, else None. Linear in the line's length."""
        found = self.groups(text)
        if found is None:
            return None
        return {name: value for name, value in zip(self.names, found, strict=True) if value is not None}

    def fits(self, text: str) -> bool:
        """Whether the whole line matches."""
        return self.groups(text) is not None

    def fill(self, values: Mapping[str, str]) -> str | None:
        """None: a pattern reads, it cannot say."""
        return None


Template = LineTemplate | FreePattern
"""What a dialect file may give for one whole line, key or value."""


def compile_pattern(source: str) -> FreePattern:
    """Compile a free pattern.

    Raises TemplateError, whose text says what is wrong with it. Raises EngineMissingError where google-re2 is not
    installed.
    """
    if not source:
        raise TemplateError("it is empty")
    if len(source) > LONGEST_PATTERN:
        raise TemplateError(f"longer than {LONGEST_PATTERN} characters")
    twice = next((name for name, count in Counter(_NAMED.findall(source)).items() if count > 1), None)
    if twice is not None:
        raise TemplateError(f"the group {twice!r} stands twice")
    order = sorted(_engine_compiled(source).groupindex.items(), key=lambda item: int(item[1]))
    return FreePattern(source, tuple(name for name, _ in order if not name.startswith("_")))


def _engine_compiled(source: str) -> Any:
    try:
        import re2
    except ImportError as error:
        raise EngineMissingError(
            "a free pattern needs the engine google-re2, whose time is linear in the line; it is not installed here"
        ) from error
    options = re2.Options()
    options.log_errors = False
    options.dot_nl = True
    options.max_mem = _MEMORY_BYTES
    try:
        return re2.compile(source, options)
    except re2.error as error:
        raise TemplateError(_reason(error)) from error


def _reason(error: Exception) -> str:
    what = error.args[0] if error.args else ""
    text = what.decode("utf-8", "replace") if isinstance(what, bytes) else str(what)
    return f"{text} (the syntax is RE2's: no look-around, no references back)"

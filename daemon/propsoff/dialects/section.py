"""Taking a TOML table apart with errors that name file, line and key.

A `Section` hands out each key once, in the type that is asked for; `finish` refuses what nobody asked for and names the
nearest key that exists.
"""

from __future__ import annotations

import difflib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any, NoReturn

from propsoff.dialects.patterns import EngineMissingError, Template, compile_pattern
from propsoff.dialects.templates import TemplateError, compile_template
from propsoff.exceptions import DialectError
from propsoff.toml_scan import KeyLines, Path

_NAMES = {
    str: "text",
    int: "a whole number",
    bool: "true or false",
    list: "a list",
    dict: "a table",
    Decimal: "a number",
}


@dataclass(frozen=True)
class Document:
    """The file that a section belongs to: its name for errors and its text."""

    source: str
    lines: KeyLines = field(repr=False)

    def fail(self, path: Path, problem: str, hint: str | None = None) -> NoReturn:
        """Raise DialectError for the key at `path`."""
        raise DialectError(problem, source=self.source, line=self.lines.of(*path), key=dotted(path) or None, hint=hint)


def dotted(path: Path) -> str:
    """A path as people write it: ``reads[0].words."radio.flip".as``."""
    out = ""
    for part in path:
        if isinstance(part, int):
            out += f"[{part}]"
        else:
            bare = part and all(char.isalnum() or char in "_-" for char in part)
            out += ("." if out else "") + (part if bare else f'"{part}"')
    return out


def nearest(word: str, known: Sequence[str]) -> str | None:
    """What to say about a wrong word: the nearest known one, or all of them when they are few."""
    close = difflib.get_close_matches(word, known, 1, 0.6)
    if close:
        return f"did you mean {close[0]!r}?"
    return f"known: {', '.join(sorted(known))}" if known and len(known) <= 16 else None


class Section:
    """One table of the file.

    Every method that takes a value raises DialectError when it is missing or of a wrong type.
    """

    def __init__(self, document: Document, path: Path, values: Mapping[str, Any]) -> None:
        self.document, self.path, self._values = document, path, values
        self._asked: dict[str, None] = {}
        self._given: frozenset[str] = frozenset()

    def fail(self, problem: str, key: str | int | None = None, hint: str | None = None) -> NoReturn:
        """Raise DialectError for this table, or for one of its keys."""
        self.document.fail(self.path if key is None else (*self.path, key), problem, hint)

    def has(self, key: str) -> bool:
        """Whether the key is there."""
        self._asked[key] = None
        return key in self._values

    def raw(self, key: str) -> Any:
        """The value as it stands, None when the key is not there."""
        self._asked[key] = None
        return self._values.get(key)

    def _typed(self, key: str, kind: type, default: Any, required: bool) -> Any:
        value = self.raw(key)
        if value is None:
            if required:
                self._missing(key, _NAMES[kind])
            return default
        if kind is Decimal and isinstance(value, int) and not isinstance(value, bool):
            value = Decimal(value)
        if not isinstance(value, kind) or (kind is int and isinstance(value, bool)):
            self.fail(f"expected {_NAMES[kind]}, found {_shown(value)}", key)
        return value

    def _missing(self, key: str, wanted: str) -> NoReturn:
        """Raise DialectError for a key that is not there; a key that looks like it is pointed at."""
        others = [other for other in self._values if other not in self._asked]
        close = difflib.get_close_matches(key, others, 1, 0.75)
        if close:
            self.fail("no such key here", close[0], f"did you mean {key!r}?")
        self.fail(f"{key!r} is missing: {wanted} is needed")

    def text(self, key: str) -> str:
        """A text that must be there."""
        found: str = self._typed(key, str, None, True)
        return found

    def text_or(self, key: str, default: str) -> str:
        """A text, or the default."""
        found: str = self._typed(key, str, default, False)
        return found

    def whole(self, key: str, default: int | None = None, *, least: int = 0, most: int = 1 << 31) -> int:
        """A whole number in a range; it must be there when there is no default."""
        value: int = self._typed(key, int, default, default is None)
        if not least <= value <= most:
            self.fail(f"expected {least} to {most}, found {value}", key)
        return value

    def number(self, key: str, default: Decimal | None = None) -> Decimal:
        """A number; it must be there when there is no default."""
        value: Decimal = self._typed(key, Decimal, default, default is None)
        if not value.is_finite():
            self.fail(f"expected a number, found {value}", key)
        return value

    def truth(self, key: str, default: bool | None = None) -> bool:
        """True or false; it must be there when there is no default."""
        value: bool = self._typed(key, bool, default, default is None)
        return value

    def texts(self, key: str, default: Sequence[str] | None = None) -> tuple[str, ...]:
        """A list of texts (one text alone is a list of one); it must be there when there is no default."""
        value = self.raw(key)
        if isinstance(value, str):
            return (value,)
        listed: Sequence[Any] = self._typed(key, list, default, default is None)
        for index, item in enumerate(listed):
            if not isinstance(item, str):
                self.document.fail((*self.path, key, index), f"expected text, found {_shown(item)}")
        return tuple(listed)

    def section(self, key: str, *, required: bool = True) -> Section:
        """A table; an empty one when it is not required and not there."""
        return Section(self.document, (*self.path, key), self._typed(key, dict, {}, required))

    def given(self, key: str, value: object) -> Section:
        """The same table with a value that the file must not repeat in it. Raises DialectError where it does."""
        if key in self._values:
            self.fail("no such key here", key, "it stands in the table above this one, for both")
        made = Section(self.document, self.path, {**self._values, key: value})
        made._given = self._given | {key}
        return made

    def sections(self, key: str) -> list[Section]:
        """A list of tables, empty when it is not there."""
        listed: list[Any] = self._typed(key, list, [], False)
        for index, item in enumerate(listed):
            if not isinstance(item, dict):
                self.document.fail((*self.path, key, index), f"expected a table, found {_shown(item)}")
        return [Section(self.document, (*self.path, key, index), item) for index, item in enumerate(listed)]

    def template(self, key: str) -> Template:
        """A line template, or a free pattern, that must be there."""
        if self.raw(key) is None:
            self._missing(key, "a line template")
        return self.compiled(key, self.raw(key))

    def template_or_none(self, key: str) -> Template | None:
        """A line template, or None when it is not there."""
        return self.compiled(key, self.raw(key)) if self.has(key) else None

    def templates(self, key: str, default: Sequence[str] | None = None) -> tuple[Template, ...]:
        """A list of line templates (one alone is a list of one); there must be one when there is no default."""
        value = self.raw(key)
        if value is None and default is None:
            self._missing(key, "a line template")
        if not isinstance(value, list):
            return () if value is None else (self.compiled(key, value),)
        if not value and default is None:
            self.fail("at least one line template is needed", key)
        return tuple(self.within(key).compiled(index, item) for index, item in enumerate(value))

    def compiled(self, key: str | int, written: object) -> Template:
        """Compile what stands at `key`: a template, or ``{ pattern = ... }``. Raises DialectError where it is wrong."""
        if isinstance(written, dict):
            return self._pattern(Section(self.document, (*self.path, key), written))
        if not isinstance(written, str):
            self.fail(f"expected a line template, found {_shown(written)}", key)
        try:
            return compile_template(written)
        except TemplateError as error:
            self.fail(f"line template {written!r}: {error}", key)

    def _pattern(self, section: Section) -> Template:
        source = section.text("pattern")
        section.finish()
        try:
            return compile_pattern(source)
        except TemplateError as error:
            section.fail(f"pattern {source!r}: {error}", "pattern")
        except EngineMissingError as error:
            section.fail(str(error), "pattern", "install it with: pip install 'propsoff[patterns]'")

    def within(self, key: str) -> Section:
        """A place for errors in the items of a list."""
        return Section(self.document, (*self.path, key), {})

    def copy(self) -> Section:
        """The same table, with nothing asked for yet."""
        return Section(self.document, self.path, self._values)

    def names(self) -> tuple[str, ...]:
        """The keys that are there."""
        return tuple(self._values)

    def finish(self) -> None:
        """Refuse keys that were not asked for. Raises DialectError with the nearest key that exists."""
        for key in self._values:
            if key not in self._asked:
                self.fail(
                    "no such key here", key, nearest(key, [each for each in self._asked if each not in self._given])
                )


def _shown(value: object) -> str:
    kind = next((name for known, name in _NAMES.items() if type(value) is known), type(value).__name__)
    return kind if isinstance(value, (dict, list)) else f"{kind} {value!r}"

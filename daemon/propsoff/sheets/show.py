"""A sheet with everything that it is built on taken in, as TOML, and beside each key where it comes from."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from propsoff.sheets.form import Path
from propsoff.sheets.written import LISTED, Stated, Written
from propsoff.toml_text import toml_comment, toml_key, toml_value

_BESIDE = 48
_BUILT_ON = "extends"


def shown(root: Stated, bases: Sequence[Written] = ()) -> str:
    """The text, itself a sheet that says the same alone. `root` and `bases` are what `extending.resolved` gave."""
    lines = [f"# built on {toml_comment(base.name)} ({toml_comment(base.source)})" for base in bases]
    lines += _table(root, root, ())
    return "\n".join(lines) + "\n"


def _table(root: Stated, node: Stated, path: tuple[str, ...]) -> Iterator[str]:
    """The plain keys of a table first, then the tables within it."""
    inner: list[tuple[str, Stated]] = []
    for key, item in node.value.items():
        if path == () and key == _BUILT_ON:
            continue
        if _is_section(item) or (path == () and key in LISTED):
            inner.append((key, item))
        else:
            yield _beside(f"{toml_key(key)} = {toml_value(item.plain())}", root.place((*path, key)))
    for key, item in inner:
        if path == () and key in LISTED:
            yield from _entries(root, item, key)
        else:
            yield ""
            yield f"[{toml_key(*path, key)}]"
            yield from _table(root, item, (*path, key))


def _entries(root: Stated, node: Stated, name: str) -> Iterator[str]:
    for at, entry in enumerate(node.value):
        yield ""
        yield f"[[{name}]]"
        value: dict[str, Any] = entry.value
        for key, item in value.items():
            where: Path = (name, at, key)
            yield _beside(f"{toml_key(key)} = {toml_value(item)}", root.place(where))


def _is_section(item: Stated) -> bool:
    return isinstance(item.value, dict) and all(isinstance(one, Stated) for one in item.value.values())


def _beside(text: str, place: str) -> str:
    return f"{text:<{_BESIDE}}  # {toml_comment(place)}"

"""The kinds of document that ship with propsoff, as a plug-in like anyone's; and gathering every plug-in's."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from propsoff.exceptions import PluginError
from propsoff.hookspecs import hookimpl
from propsoff.isolation import wait_bounded
from propsoff.plugins import DEADLINE_S, Plugins, blamed, items_of, shown

if TYPE_CHECKING:
    from propsoff.outputs.document import Document, Told

EACH_S = 0.1
"""What a document may take for each report beyond the deadline of a plug-in's call, in seconds."""
_NAME = re.compile(r"[a-z0-9][a-z0-9-]{0,39}")
_SUFFIX = re.compile(r"\.[A-Za-z0-9][A-Za-z0-9.]{0,19}")


@dataclass(frozen=True, slots=True)
class _Kind:
    """A kind that ships with propsoff; its module loads when it is made."""

    name: str
    suffix: str
    single: bool
    maker: Callable[[Iterable[Told], bool], bytes]

    def make(self, told: Iterable[Told], strict: bool) -> bytes:
        return self.maker(told, strict)


def _html(told: Iterable[Told], strict: bool) -> bytes:
    from propsoff.outputs.page import html_page

    [one] = told
    if one.report is None:
        raise ValueError(f"there is no report to show: {one.problem}")
    page = html_page(one.report, one.capture(), replaces=one.replaces, replaced_by=one.replaced_by)
    return page.encode("utf-8", "backslashreplace")


def _junit(told: Iterable[Told], strict: bool) -> bytes:
    from propsoff.outputs.junit import junit

    return junit(told, strict=strict)


def _markdown(told: Iterable[Told], strict: bool) -> bytes:
    from propsoff.outputs.markdown import markdown

    return markdown(told)


def _csv(told: Iterable[Told], strict: bool) -> bytes:
    from propsoff.outputs.csv_rows import csv_rows

    return csv_rows(told)


@hookimpl
def propsoff_documents() -> Sequence[Document]:
    """HTML, JUnit XML, Markdown and CSV."""
    return (
        _Kind("html", ".html", True, _html),
        _Kind("junit", ".xml", False, _junit),
        _Kind("markdown", ".md", False, _markdown),
        _Kind("csv", ".csv", False, _csv),
    )


@dataclass(frozen=True, slots=True)
class OwnedDocument:
    """A kind of document, the plug-in that brought it, and what it said of itself when it was gathered."""

    plugin: str
    name: str
    suffix: str
    single: bool
    document: Document

    def make(self, told: Iterable[Told], *, count: int, strict: bool, deadline_s: float = DEADLINE_S) -> bytes:
        """The document of `count` inspections, within `deadline_s` seconds and `EACH_S` more for each.

        Raises PluginError when the plug-in raises, hangs, or gives something else than bytes.
        """
        what, longest_s = f"output {self.name}", deadline_s + EACH_S * count
        with blamed(self.plugin, what, longest_s):
            made = wait_bounded(lambda: self.document.make(told, strict), longest_s)
        if not isinstance(made, bytes):
            raise PluginError(self.plugin, f"{what} gave {shown(made)}, where bytes were asked for")
        return made


def gather_documents(plugins: Plugins, deadline_s: float = DEADLINE_S) -> dict[str, OwnedDocument]:
    """Every kind by its name, the first to bring one wins; what cannot be used is noted with the plug-ins' failures."""
    hook = "propsoff_documents"
    kinds: dict[str, OwnedDocument] = {}
    for plugin, answer in plugins.gather(hook, deadline_s=deadline_s):
        for item in items_of(plugins, plugin, hook, answer):
            try:
                owned: OwnedDocument | str = _owned(plugin, item)
            except Exception as error:  # noqa: BLE001  its attributes are the plug-in's code
                owned = f"gave {shown(item)}, which raised {type(error).__name__} when it was looked at"
            if isinstance(owned, str):
                plugins.failed(plugin, hook, f"{hook} {owned}")
            elif owned.name in kinds:
                first = kinds[owned.name].plugin
                plugins.failed(plugin, hook, f"output {owned.name} is left out: {first} already brings one")
            else:
                kinds[owned.name] = owned
    return kinds


def _owned(plugin: str, item: Any) -> OwnedDocument | str:
    """What the item is, or what is wrong with it."""
    name, suffix, single = (getattr(item, part, None) for part in ("name", "suffix", "single"))
    if not callable(getattr(item, "make", None)):
        return f"gave {shown(item)}, which has no method `make`"
    if not isinstance(name, str) or not _NAME.fullmatch(name):
        return f"gave {shown(item)}, whose `name` is not made of lower-case letters, digits and hyphens"
    if not isinstance(suffix, str) or not _SUFFIX.fullmatch(suffix):
        return f"gave {shown(item)}, whose `suffix` is not a dot and then letters or digits"
    if not isinstance(single, bool):
        return f"gave {shown(item)}, whose `single` is neither True nor False"
    return OwnedDocument(plugin, name, suffix, single, item)

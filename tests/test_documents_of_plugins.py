"""Kinds of document: those that ship with propsoff and those of other plug-ins come by one hook, each in isolation."""

from __future__ import annotations

import asyncio
import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from propsoff import hookimpl
from propsoff.documents import gather_documents
from propsoff.exceptions import PluginError
from propsoff.outputs.document import Told
from propsoff.plugins import Plugins, build_plugins
from tests_support.findings import PASSED, report_of

TOLD = [Told("one", report_of(PASSED))]


@dataclass
class Kind:
    """A kind of document that says which reports it was given."""

    name: Any = "labels"
    suffix: Any = ".txt"
    single: Any = False

    def make(self, told: Iterable[Told], strict: bool) -> Any:
        return f"{[each.label for each in told]} {strict}".encode()


class Raises(Kind):
    def make(self, told: Iterable[Told], strict: bool) -> Any:
        raise SystemExit(7)


class Hangs(Kind):
    async def make(self, told: Iterable[Told], strict: bool) -> Any:
        await asyncio.Event().wait()


class GivesText(Kind):
    def make(self, told: Iterable[Told], strict: bool) -> Any:
        return "text"


class Later(Kind):
    async def make(self, told: Iterable[Told], strict: bool) -> Any:
        await asyncio.sleep(0)
        return b"later"


class Traps:
    @property
    def name(self) -> str:
        raise LookupError("by design")


def brought(*kinds: Any) -> Plugins:
    """The plug-ins, one of which brings these."""

    @hookimpl
    def propsoff_documents() -> Any:
        return kinds

    plugin = SimpleNamespace(propsoff_documents=propsoff_documents)
    return build_plugins(third_party=False, extra=[("other", plugin)])


def test_propsoff_documents() -> None:
    kinds = gather_documents(brought(Kind()))
    assert {name: kind.plugin for name, kind in kinds.items()} == {
        **dict.fromkeys(("html", "junit", "markdown", "csv"), "propsoff.documents"),
        "labels": "other",
    }
    assert kinds["labels"].make(TOLD, count=1, strict=True) == b"['one'] True"


def test_an_async_kind_is_awaited() -> None:
    assert gather_documents(brought(Later()))["labels"].make(TOLD, count=1, strict=False) == b"later"


def test_the_first_kind_of_a_name_wins_and_the_other_is_named() -> None:
    plugins = brought(Kind(name="junit"))
    assert gather_documents(plugins)["junit"].plugin == "propsoff.documents"
    assert [str(each) for each in plugins.bench_failures] == [
        "plug-in other: output junit is left out: propsoff.documents already brings one"
    ]


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        (Kind(name="No Name"), "lower-case"),
        (Kind(name=None), "lower-case"),
        (Kind(suffix="../x"), "suffix"),
        (Kind(single="no"), "single"),
        (SimpleNamespace(name="x", suffix=".x", single=False), "no method `make`"),
        (Traps(), "LookupError"),
        (3, "no method `make`"),
    ],
)
def test_nonsense_is_left_out_and_named_and_no_report_suffers(kind: Any, words: str) -> None:
    plugins = brought(kind, Kind())
    assert "labels" in gather_documents(plugins)
    [failure] = plugins.bench_failures
    assert failure.plugin == "other"
    assert words in str(failure)
    assert not plugins.failures


@pytest.mark.parametrize(
    ("kind", "words"), [(Raises(), "SystemExit"), (Hangs(), "did not come back within 0.3 s"), (GivesText(), "bytes")]
)
def test_a_kind_that_misbehaves_is_named(kind: Kind, words: str) -> None:
    owned = gather_documents(brought(kind))["labels"]
    with pytest.raises(PluginError, match=words) as caught:
        owned.make(TOLD, count=1, strict=False, deadline_s=0.2)
    assert caught.value.plugin == "other"


@pytest.mark.parametrize("kind", ["html", "junit", "markdown", "csv"])
def test_each_of_ours_tells_of_the_report(kind: str) -> None:
    made = gather_documents(build_plugins(third_party=False))[kind].make(TOLD, count=1, strict=False, deadline_s=20)
    assert b"one user for each UART" in made if kind != "junit" else b"port-roles" in made


def test_the_kind_in_the_guide_is_one() -> None:
    guide = (Path(__file__).parents[1] / "contrib" / "guide" / "plug-ins.md").read_text(encoding="utf-8")
    [sample] = [
        each for each in re.findall(r"^```python\n(.*?)^```", guide, re.MULTILINE | re.DOTALL) if "Labels" in each
    ]
    names: dict[str, Any] = {}
    exec(sample, names)
    plugin = SimpleNamespace(propsoff_documents=names["propsoff_documents"])
    plugins = build_plugins(third_party=False, extra=[("guide", plugin)])
    told = [Told("a\n", TOLD[0].report), Told("b", None, "broken")]
    made = gather_documents(plugins)["labels"].make(told, count=2, strict=False)
    assert made == b"'a\\n' fail\n'b' error"

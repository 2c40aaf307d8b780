"""Plug-ins: loaded through entry points, called in isolation, each culprit named."""

from __future__ import annotations

import asyncio
import sys
import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from propsoff import hookimpl, hookspecs
from propsoff.exceptions import PluginError
from propsoff.inspection.check import Check
from propsoff.plugins import Plugins, build_plugins, call_bounded, gather_checks, gather_paths

Install = Callable[[str, str], None]


@pytest.fixture
def install(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Install]:
    """Install a plug-in module as a package with an entry point, as pip would leave it (PEP 376, entry points spec)."""
    monkeypatch.syspath_prepend(str(tmp_path))
    names: list[str] = []

    def install(name: str, source: str) -> None:
        (tmp_path / f"{name}.py").write_text(source)
        info = tmp_path / f"{name}-1.2.dist-info"
        info.mkdir()
        (info / "METADATA").write_text(f"Metadata-Version: 2.1\nName: {name}\nVersion: 1.2\n")
        (info / "entry_points.txt").write_text(f"[propsoff]\n{name} = {name}\n")
        names.append(name)

    yield install
    for name in names:
        sys.modules.pop(name, None)


CHECKS = """
import propsoff

@propsoff.check("spare", title="t", why="w", reads=("ports",))
def spare(case):
    return []

@propsoff.hookimpl
def propsoff_checks():
    return [spare]
"""


def failures(plugins: Plugins) -> list[str]:
    return [str(failure) for failure in plugins.failures]


def test_an_installed_plugin_is_loaded_with_its_version_and_hooks(install: Install) -> None:
    install("bench_extra", CHECKS)
    plugins = build_plugins()
    info = next(info for info in plugins.infos if info.name == "bench_extra")
    assert (info.version, info.origin, info.hooks, info.problem) == ("1.2", "bench_extra", ("propsoff_checks",), None)
    assert [owned.check.id for owned in gather_checks(plugins) if owned.plugin == "bench_extra"] == ["spare"]


def test_third_party_plugins_can_be_left_out(install: Install) -> None:
    install("bench_extra", CHECKS)
    assert [info.name for info in build_plugins(third_party=False).infos] == ["propsoff_checks", "propsoff.documents"]


@pytest.mark.parametrize(
    ("source", "words"),
    [
        ("import no_such_module_anywhere", "no_such_module_anywhere"),
        ("raise SystemExit(3)", "SystemExit"),
        ("this is no python", "SyntaxError"),
        ("import propsoff\n@propsoff.hookimpl\ndef propsoff_chekcs(): return []\n", "propsoff_chekcs"),
        ("import propsoff\n@propsoff.hookimpl\ndef propsoff_checks(wrong): return []\n", "wrong"),
    ],
)
def test_a_plugin_that_cannot_be_loaded_is_named_and_the_others_stay(install: Install, source: str, words: str) -> None:
    install("broken_one", source)
    plugins = build_plugins()
    assert any("broken_one" in failure and words in failure for failure in failures(plugins))
    assert next(info for info in plugins.infos if info.name == "broken_one").problem
    assert gather_checks(plugins)


def raises() -> Any:
    raise ZeroDivisionError("by design")


def ends() -> Any:
    raise SystemExit(9)


async def raises_later() -> Any:
    await asyncio.sleep(0)
    raise LookupError("by design")


async def never() -> Any:
    await asyncio.Event().wait()


def spins() -> Any:
    while True:
        pass


def generates() -> Iterator[int]:
    yield 1
    raise KeyError("half way")


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (raises, "ZeroDivisionError: by design (test_plugins.py, line"),
        (ends, "SystemExit"),
        (raises_later, "LookupError"),
        (never, "did not come back within 0.2 s"),
        (spins, "did not come back within 0.2 s"),
        (generates, "half way"),
    ],
)
async def test_a_call_that_fails_names_the_culprit(call: Callable[[], Any], words: str) -> None:
    with pytest.raises(PluginError) as caught:
        await call_bounded("culprit", "propsoff_arrived", call, 0.2)
    assert caught.value.plugin == "culprit"
    assert words in str(caught.value)


async def test_a_timeout_raised_by_the_plugin_is_not_taken_for_its_deadline() -> None:
    def impatient() -> Any:
        raise TimeoutError("its own")

    with pytest.raises(PluginError, match="raised TimeoutError: its own"):
        await call_bounded("culprit", "propsoff_arrived", impatient, 5)


async def test_a_loop_that_never_ends_is_stopped_after_its_deadline() -> None:
    with pytest.raises(PluginError):
        await call_bounded("culprit", "propsoff_arrived", spins, 0.1)
    spinning = [thread for thread in threading.enumerate() if thread.name == "propsoff-plugin"]
    for thread in spinning:
        await asyncio.to_thread(thread.join, 10)
    assert not any(thread.is_alive() for thread in spinning)


async def test_sync_and_async_implementations_both_answer() -> None:
    async def later() -> int:
        await asyncio.sleep(0)
        return 2

    assert await call_bounded("p", "h", lambda: 1, 5) == 1
    assert await call_bounded("p", "h", later, 5) == 2


class Good:
    """Brings one folder of dialects."""

    @hookimpl
    def propsoff_dialects(self) -> list[Path]:
        return [Path("here")]


class Odd:
    """Answers nonsense to every question."""

    def __init__(self, answer: Any) -> None:
        self.answer = answer

    @hookimpl
    def propsoff_dialects(self) -> Any:
        return self.answer

    @hookimpl
    def propsoff_checks(self) -> Any:
        return self.answer


@pytest.mark.parametrize("answer", [None, 7, "text", [7], {"a": 1}, [None]])
def test_nonsense_is_named_and_the_others_are_heard(answer: Any) -> None:
    plugins = build_plugins(third_party=False, extra=[("odd", Odd(answer)), ("good", Good())])
    before = len(gather_checks(plugins))
    assert before >= 1
    assert any("plug-in odd" in failure for failure in failures(plugins))
    plugins.failures.clear()
    assert ("good", Path("here")) in gather_paths(plugins, "propsoff_dialects")


def test_a_second_check_of_one_id_is_left_out_and_said() -> None:
    def examine(_: Any) -> list[Any]:
        return []

    class Twice:
        @hookimpl
        def propsoff_checks(self) -> list[Check]:
            return [Check("same", "t", "w", (), examine), Check("same", "t", "w", (), examine)]

    plugins = build_plugins(third_party=False, extra=[("twice", Twice())])
    assert [owned.check.id for owned in gather_checks(plugins)].count("same") == 1
    assert any("same" in failure for failure in failures(plugins))


def test_every_hook_says_when_it_fires() -> None:
    hooks = [name for name in vars(hookspecs) if name.startswith("propsoff_")]
    assert len(hooks) == 9
    for name in hooks:
        doc = getattr(hookspecs, name).__doc__
        assert doc.startswith(("Once", "When")), name

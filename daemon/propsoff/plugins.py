"""Plug-ins: building the manager in a function, and calling every implementation in isolation.

pluggy loses everyone's results when one implementation raises, and hands an async one back un-awaited. So
implementations are called one by one here, awaited where needed, each with its own deadline, and a culprit is named.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from importlib import import_module
from importlib.metadata import entry_points
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pluggy

from propsoff import hookspecs
from propsoff.exceptions import PluginError
from propsoff.inspection.check import RESERVED
from propsoff.isolation import NotBackError, ordinary, run_bounded, wait_bounded

if TYPE_CHECKING:
    from propsoff.inspection.check import Check

BUILT_IN = ("propsoff_checks", "propsoff.documents")
"""The modules of the plug-ins that ship with propsoff; registered through the same hooks as anyone's."""
_BENCH_HOOKS = frozenset({"propsoff_port_sources", "propsoff_outputs", "propsoff_documents"})
GIVEN = "given by the program"
"""The origin of a plug-in that no installed package brings."""
DEADLINE_S = 5.0
"""How long one answer at start may take where the settings do not say."""
GROUP = "propsoff"
"""The entry point group of third-party plug-ins."""


@dataclass(frozen=True, slots=True)
class PluginInfo:
    """A plug-in: its name, version, where it came from, the hooks that it implements, and what is wrong with it."""

    name: str
    version: str
    origin: str
    hooks: tuple[str, ...] = ()
    problem: str | None = None


@dataclass
class Plugins:
    """The loaded plug-ins, and those that could not be loaded or misbehaved while they were asked.

    `failures` took something along that an inspection needs; `bench_failures` concern ports and ways out only.
    """

    manager: pluggy.PluginManager
    infos: list[PluginInfo]
    failures: list[PluginError] = field(default_factory=list)
    bench_failures: list[PluginError] = field(default_factory=list)

    def failed(self, name: str, hook: str, problem: str) -> None:
        """Note that a plug-in's answer for a hook could not be used."""
        failures = self.bench_failures if hook in _BENCH_HOOKS else self.failures
        failures.append(PluginError(name, problem))

    def calls(self, hook: str, **arguments: Any) -> Iterable[tuple[str, Callable[[], Any]]]:
        """(plug-in name, a call with the arguments it asks for) of each implementation, in order of registration."""
        for implementation in getattr(self.manager.hook, hook).get_hookimpls():
            wanted = {name: arguments[name] for name in implementation.argnames if name in arguments}
            yield implementation.plugin_name, _bound(implementation.function, wanted)

    def gather(self, hook: str, *, deadline_s: float = DEADLINE_S, **arguments: Any) -> list[tuple[str, Any]]:
        """(plug-in name, result) of each implementation that answered; the others are noted as failed.

        For the questions asked once at start: it blocks, for `deadline_s` seconds at most with each implementation.
        """
        answers: list[tuple[str, Any]] = []
        for name, call in self.calls(hook, **arguments):
            try:
                with blamed(name, hook, deadline_s):
                    answers.append((name, wait_bounded(call, deadline_s)))
            except PluginError as error:
                self.failed(name, hook, error.problem)
        return answers


def _bound(function: Callable[..., Any], arguments: Mapping[str, Any]) -> Callable[[], Any]:
    return lambda: function(**arguments)


async def call_bounded(plugin: str, hook: str, call: Callable[[], Any], deadline_s: float) -> Any:
    """Call one implementation, sync or async, within `deadline_s` seconds, off the event loop.

    Raises PluginError when it raises (whatever it raises) or does not come back in time.
    """
    with blamed(plugin, hook, deadline_s):
        return await run_bounded(call, deadline_s)


@contextmanager
def blamed(plugin: str, hook: str, deadline_s: float) -> Iterator[None]:
    """Whatever happens inside is this plug-in's doing. Raises PluginError."""
    try:
        yield
    except NotBackError:
        raise PluginError(plugin, f"{hook} did not come back within {deadline_s:g} s; it goes on without it") from None
    except Exception as error:
        raise PluginError(plugin, f"{hook} raised {_described(error)}") from error


def _described(error: BaseException) -> str:
    where = ""
    if (trace := error.__traceback__) is not None:
        while trace.tb_next is not None:
            trace = trace.tb_next
        where = f" ({Path(trace.tb_frame.f_code.co_filename).name}, line {trace.tb_lineno})"
    return f"{type(error).__name__}: {ordinary(error)}{where}"


def build_plugins(*, third_party: bool = True, extra: Sequence[tuple[str, object]] = ()) -> Plugins:
    """The plug-in manager with the built-in plug-ins, installed ones (`third_party`) and `extra` (name, object) pairs.

    A plug-in that cannot be imported, or implements a hook that does not exist, is left out and listed in `failures`.
    """
    manager = pluggy.PluginManager(hookspecs.PROJECT)
    manager.add_hookspecs(hookspecs)
    plugins = Plugins(manager, [])
    for name in BUILT_IN:
        _load(plugins, name, lambda name=name: import_module(name), _own_version(), "built in")  # type: ignore[misc]  # late binding
    if third_party:
        for point in entry_points(group=GROUP):
            version = point.dist.version if point.dist else "unknown"
            _load(plugins, point.name, point.load, version, point.dist.name if point.dist else point.value)
    for name, plugin in extra:
        _load(plugins, name, lambda plugin=plugin: plugin, "unknown", GIVEN)  # type: ignore[misc]
    return plugins


def _own_version() -> str:
    from propsoff import __version__

    return __version__


def _load(plugins: Plugins, name: str, load: Callable[[], object], version: str, origin: str) -> None:
    manager = plugins.manager
    try:
        plugin = load()
        manager.register(plugin, name=name)
    except KeyboardInterrupt:  # at import it is the operator's own
        raise
    except BaseException as error:  # noqa: BLE001  whatever a plug-in does at import, the bench goes on
        _reject(plugins, name, version, origin, f"could not be loaded: {_described(error)}")
        return
    try:
        manager.check_pending()
    except pluggy.PluginValidationError as error:
        manager.unregister(name=name)
        _reject(plugins, name, version, origin, f"implements a hook that does not exist: {error.args[-1]}")
        return
    hooks = tuple(sorted(caller.name for caller in manager.get_hookcallers(plugin) or ()))
    problem = None if hooks else "implements no hook of propsoff"
    plugins.infos.append(PluginInfo(name, version, origin, hooks, problem))


def _reject(plugins: Plugins, name: str, version: str, origin: str, problem: str) -> None:
    plugins.infos.append(PluginInfo(name, version, origin, (), problem))
    plugins.failures.append(PluginError(name, problem))


@dataclass(frozen=True, slots=True)
class OwnedCheck:
    """A check and the plug-in that brought it."""

    plugin: str
    check: Check


def gather_checks(plugins: Plugins, deadline_s: float = DEADLINE_S) -> list[OwnedCheck]:
    """Every check, in order of registration. Nonsense and repeated ids are left out and listed in `failures`."""
    return owned_checks(plugins, plugins.gather("propsoff_checks", deadline_s=deadline_s))


def owned_checks(plugins: Plugins, answers: Sequence[tuple[str, Any]]) -> list[OwnedCheck]:
    """As `gather_checks`, for answers already gathered."""
    from propsoff.inspection.check import Check

    owned: dict[str, OwnedCheck] = {}
    for name, answer in answers:
        for item in items_of(plugins, name, "propsoff_checks", answer):
            if not isinstance(item, Check):
                problem = f"propsoff_checks gave {shown(item)}, which is not a Check"
                plugins.failures.append(PluginError(name, problem))
            elif item.id in RESERVED:
                problem = f"check {item.id} is left out: propsoff itself reports under this id"
                plugins.failures.append(PluginError(name, problem))
            elif item.id in owned:
                first = owned[item.id].plugin
                plugins.failures.append(PluginError(name, f"check {item.id} is left out: {first} already brings one"))
            else:
                owned[item.id] = OwnedCheck(name, item)
    return list(owned.values())


def gather_paths(plugins: Plugins, hook: str, deadline_s: float = DEADLINE_S) -> list[tuple[str, Path]]:
    """(plug-in name, path) of the files or folders that plug-ins bring for `propsoff_dialects` or `propsoff_sheets`."""
    paths: list[tuple[str, Path]] = []
    for name, answer in plugins.gather(hook, deadline_s=deadline_s):
        for item in items_of(plugins, name, hook, answer):
            if isinstance(item, (str, Path)):
                paths.append((name, Path(item)))
            else:
                plugins.failures.append(PluginError(name, f"{hook} gave {shown(item)}, which is not a path"))
    return paths


def items_of(plugins: Plugins, name: str, hook: str, answer: Any) -> list[Any]:
    """What an answer lists; empty, and noted as failed, for one that is no list."""
    if isinstance(answer, (str, bytes)) or not isinstance(answer, Iterable):
        plugins.failed(name, hook, f"{hook} gave {shown(answer)}, where a list was asked for")
        return []
    try:
        return list(answer)
    except KeyboardInterrupt:  # the operator's own: this runs in the caller's thread
        raise
    except BaseException as error:  # noqa: BLE001  somebody else's iterator may raise anything
        plugins.failed(name, hook, f"{hook} raised {_described(error)}")
        return []


def shown(item: Any) -> str:
    """How a plug-in's object writes itself, in 80 characters at the most; its type where that fails."""
    try:
        return f"{item!r:.80}"
    except Exception:  # noqa: BLE001  it is the plug-in's code
        return f"a {type(item).__name__}"

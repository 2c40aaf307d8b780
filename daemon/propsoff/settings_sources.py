"""Where settings come from, in rising order, and errors that say which file, line, key or variable is wrong."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import platformdirs
from pydantic import ValidationError
from pydantic_settings import BaseSettings, EnvSettingsSource, InitSettingsSource, PydanticBaseSettingsSource
from pydantic_settings.exceptions import SettingsError as EnvValueError

from propsoff.exceptions import SettingsError
from propsoff.outgoing.section import COMMAND_VARIABLES
from propsoff.settings import Settings, known_keys
from propsoff.toml_scan import KeyLines
from propsoff.tomlfile import nearest, read_toml

FILE = "propsoff.toml"
PREFIX = "PROPSOFF_"
_BUILT_IN = "built in"


@dataclass(frozen=True)
class Layer:
    """One place that settings come from: its nested values, and for a file the line of each key."""

    name: str
    values: Mapping[str, Any]
    lines: KeyLines | None = None

    def has(self, key: str) -> bool:
        """Whether this layer sets a dotted key."""
        section, _, leaf = key.partition(".")
        inside = self.values.get(section)
        return isinstance(inside, Mapping) and leaf in inside

    def place(self, key: str) -> str:
        """Where this layer sets a dotted key, for people."""
        line = self.lines.of(*key.split(".")) if self.lines else None
        return f"{self.name}, line {line}" if line else self.name


@dataclass(frozen=True)
class Loaded:
    """Settings, and for each dotted key where its value came from."""

    settings: Settings
    origins: Mapping[str, str] = field(default_factory=dict)


def settings_files(folder: Path | None = None) -> tuple[Path, ...]:
    """The places of propsoff.toml in rising order: system, user, working folder."""
    system = platformdirs.site_config_path("propsoff") / FILE
    return (system, platformdirs.user_config_path("propsoff") / FILE, (folder or Path.cwd()) / FILE)


def load_settings(options: Mapping[str, Any] | None = None, *, folder: Path | None = None) -> Loaded:
    """The effective settings. `options` are nested values of the command line; `folder` is the working folder.

    Raises SettingsError for a file that is not TOML, an unknown key or variable (with the nearest known one), or a
    wrong value.
    """
    layers = [_file_layer(path) for path in settings_files(folder) if path.is_file()]
    _refuse_unknown_variables()
    layers.append(_environment_layer())
    layers.append(_checked(Layer("command line", dict(options or {}))))
    try:
        settings = _sourced(layers)()
    except ValidationError as error:
        raise _for_people(error, layers) from None
    return Loaded(settings, {key: _origin(key, layers) for key in known_keys()})


def _sourced(layers: list[Layer]) -> type[Settings]:
    """Settings that read exactly these layers, the last one first."""

    class Sourced(Settings):
        @classmethod
        def settings_customise_sources(
            cls, settings_cls: type[BaseSettings], *_: PydanticBaseSettingsSource, **__: PydanticBaseSettingsSource
        ) -> tuple[PydanticBaseSettingsSource, ...]:
            return tuple(InitSettingsSource(settings_cls, dict(layer.values)) for layer in reversed(layers))

    Sourced.__name__ = Sourced.__qualname__ = "Settings"
    return Sourced


def _file_layer(path: Path) -> Layer:
    values, lines = read_toml(path, SettingsError)
    layer = _checked(Layer(str(path), values, lines))
    _anchor(layer, values, path.parent)
    return layer


def _checked(layer: Layer) -> Layer:
    """The layer itself. Raises SettingsError for a section or key that does not exist."""
    known = known_keys()
    sections = {key.partition(".")[0] for key in known}
    for section, inside in layer.values.items():
        if section not in sections:
            raise _unknown(section, sections, layer)
        if not isinstance(inside, Mapping):
            line = layer.lines.of(section) if layer.lines else None
            raise SettingsError("is a table, not a value", source=layer.name, line=line, key=section)
        for leaf in inside:
            if f"{section}.{leaf}" not in known:
                raise _unknown(f"{section}.{leaf}", known, layer)
    return layer


def _anchor(layer: Layer, values: dict[str, Any], folder: Path) -> None:
    """Relative paths in a file are relative to the file. Raises SettingsError for a home folder that is not known."""
    paths = {
        "bench": ("state",),
        "ports": ("folder",),
        "output": ("folder",),
        "store": ("waiting",),
        "page": ("token_file",),
        "checks": ("sheets", "dialects"),
    }
    for section, leaves in paths.items():
        for leaf in leaves:
            value, key = values.get(section, {}).get(leaf), f"{section}.{leaf}"
            if isinstance(value, str):
                values[section][leaf] = folder / _at_home(value, key, layer)
            elif isinstance(value, list):
                values[section][leaf] = [folder / _at_home(str(each), key, layer) for each in value]


def _at_home(text: str, key: str, layer: Layer) -> Path:
    """A path, one that begins with ~ in the user's home. Raises SettingsError."""
    try:
        return Path(text).expanduser()
    except RuntimeError:
        line = layer.lines.of(*key.split(".")) if layer.lines else None
        problem = f"the home folder that {text!r} means is not known"
        raise SettingsError(problem, source=layer.name, line=line, key=key, hint="write the whole path") from None


def _unknown(key: str, known: Iterable[str], layer: Layer) -> SettingsError:
    like = nearest(key, known)
    hint = f"did you mean {like}?" if like else "see `propsoff settings` for what there is"
    line = layer.lines.of(*key.split(".")) if layer.lines else None
    return SettingsError("there is no such setting", source=layer.name, line=line, key=key, hint=hint)


def _variables() -> dict[str, str]:
    """Known variable names and the keys that they set."""
    return {PREFIX + key.replace(".", "__").upper(): key for key in known_keys()}


def _refuse_unknown_variables() -> None:
    known = _variables()
    for name in sorted(os.environ):
        upper = name.upper() if sys.platform == "win32" else name
        if upper.upper() in COMMAND_VARIABLES:  # a command that a bench runs may run propsoff
            continue
        if upper.upper().startswith(PREFIX) and upper.upper() not in known:
            like = nearest(upper.upper(), known)
            hint = f"did you mean {like}?" if like else "see `propsoff settings` for what there is"
            raise SettingsError("there is no such setting", source="environment", key=name, hint=hint)


def _environment_layer() -> Layer:
    try:
        return Layer("environment", EnvSettingsSource(Settings)())
    except EnvValueError as error:
        raise SettingsError(str(error), source="environment") from None


def _origin(key: str, layers: list[Layer]) -> str:
    for layer in reversed(layers):
        if layer.has(key):
            if layer.name == "environment":
                return f"environment, {next(name for name, each in _variables().items() if each == key)}"
            return layer.place(key)
    return _BUILT_IN


def _for_people(error: ValidationError, layers: list[Layer]) -> SettingsError:
    first = error.errors()[0]
    key = ".".join(str(part) for part in first["loc"][:2])
    inside = ".".join(str(part) for part in first["loc"][2:])
    message = (f"{inside}: " if inside else "") + first["msg"][0].lower() + first["msg"][1:]
    for layer in reversed(layers):
        if layer.has(key) or (len(first["loc"]) == 1 and key in layer.values):
            line = layer.lines.of(*key.split(".")) if layer.lines else None
            return SettingsError(f"{message}, found {first['input']!r}", source=layer.name, line=line, key=key)
    return SettingsError(message, key=key)

"""Documents that a run writes beside its reports: `--html`, `--junit`, `--markdown`, `--csv`, `--output KIND=FILE`."""

from __future__ import annotations

import stat
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from propsoff.cli.common import complain
from propsoff.exceptions import PluginError, SettingsError, TargetError

if TYPE_CHECKING:
    from rich.console import Console

    from propsoff.documents import OwnedDocument
    from propsoff.library import Toolbox
    from propsoff.outputs.document import Told

STDOUT = "-"
_META = "propsoff.documents"
_SHORT = {
    "html": "The page for people, into FILE (of several: a page each into the folder FILE).",
    "junit": "JUnit XML of all, into FILE.",
    "markdown": "Markdown of all for an issue tracker, into FILE.",
    "csv": "A CSV row for each finding of all, into FILE.",
}
_OTHER = (
    "Any kind of document that `propsoff plugins` lists. May be given often, as the four above. FILE - is standard "
    "output (once). What is there is replaced, whole or not at all."
)

Named = tuple[str, "Told"]
"""An inspection, and the name that a file of its own gets, without the suffix."""


def document_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """The options of a command that can write documents; what was asked for waits in its context."""
    command = _option("--output", "KIND=FILE", _OTHER)(command)
    for kind, text in reversed(_SHORT.items()):
        command = _option(f"--{kind}", "FILE", text)(command)
    return command


def _option(name: str, metavar: str, text: str) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    return click.option(
        name, multiple=True, metavar=metavar, expose_value=False, callback=_note, help=text, type=click.UNPROCESSED
    )


def _note(ctx: click.Context, param: click.Parameter, values: Sequence[str]) -> None:
    asked: list[tuple[str, str, str]] = ctx.meta.setdefault(_META, [])
    for value in values:
        kind, equals, file = value.partition("=") if param.name == "output" else (str(param.name), "=", value)
        source = f"--{param.name}"
        if not equals:
            raise SettingsError("is not of the form KIND=FILE, such as junit=checks.xml", source=source, key=value)
        if not file:
            raise SettingsError("names no file", source=source, key=kind, hint="name one, or - for standard output")
        asked.append((source, kind, file))


@dataclass(frozen=True)
class _Wanted:
    """A document that was asked for; `path` None is standard output."""

    source: str
    document: OwnedDocument
    path: Path | None
    folder: bool


class Writing:
    """The documents of one run."""

    def __init__(self, wanted: Sequence[_Wanted], deadline_s: float) -> None:
        self._wanted, self._deadline_s = wanted, deadline_s

    @classmethod
    def of(
        cls, ctx: click.Context, tools: Toolbox, *, several: bool, inputs: Iterable[Path] = (), as_json: bool = False
    ) -> Writing:
        """What this command line asks for. `inputs` are files, and trees of them, that must not be written into.

        Raises SettingsError for a kind that no plug-in brings, and for a file that cannot be meant.
        """
        asked: list[tuple[str, str, str]] = ctx.meta.get(_META, [])
        deadline_s = tools.settings.plugins.deadline_s
        if not asked:
            return cls((), deadline_s)
        kinds = _kinds(tools, deadline_s)
        wanted = [_wanted(source, kind, file, kinds, several=several) for source, kind, file in asked]
        _one_each(wanted, {path.resolve() for path in inputs}, as_json=as_json)
        return cls(wanted, deadline_s)

    @property
    def any(self) -> bool:
        """Whether any document was asked for."""
        return bool(self._wanted)

    def screen(self) -> Console:
        """Where people read: standard output, or standard error while a document goes there."""
        from propsoff.outputs.terminal import console_for

        taken = any(each.path is None for each in self._wanted)
        return console_for(sys.stderr if taken else sys.stdout)

    def write(
        self, told: Callable[[], Iterable[Named]], *, count: int, strict: bool, kept: Callable[[Path], bool]
    ) -> bool:
        """Write each document of `count` inspections; what cannot be written is said, and costs itself alone.

        `told` gives them anew at each call; `kept` knows the files of this run that none may take the place of, by
        their path without links. False when one could not be written.
        """
        done = True
        for each in self._wanted:
            for name, ones, many in _parts(each, told, count):
                path = each.path if name is None or each.path is None else each.path / f"{name}{each.document.suffix}"
                done &= self._written(each, path, ones, many, strict=strict, kept=kept)
        return done

    def _written(
        self,
        each: _Wanted,
        path: Path | None,
        told: Iterable[Told],
        count: int,
        *,
        strict: bool,
        kept: Callable[[Path], bool],
    ) -> bool:
        from propsoff.safe_write import replace_file

        try:
            if path is not None and kept(path.resolve()):
                complain(f"{each.source} {path}: is a report or capture of this run; nothing was written over it")
                return False
            data = each.document.make(told, count=count, strict=strict, deadline_s=self._deadline_s)
            if path is None:
                to_stdout(data)
            else:
                replace_file(path.resolve(), data)
        except PluginError as error:
            complain(str(error))
        except OSError as error:
            complain(f"{each.source} {path or STDOUT}: could not be written: {error.strerror or error}")
        else:
            return True
        return False


def _parts(
    each: _Wanted, told: Callable[[], Iterable[Named]], count: int
) -> Iterator[tuple[str | None, Iterable[Told], int]]:
    """What goes into one file: (its name in the folder, or None; what it tells; how many they are)."""
    if each.folder:
        for name, one in told():
            if one.report is None:
                complain(f"{one.label}: has no report, so no {each.document.name} is made of it: {one.problem}")
            else:
                yield name, [one], 1
    else:
        yield None, (one for _, one in told()), count


def _kinds(tools: Toolbox, deadline_s: float) -> dict[str, OwnedDocument]:
    from propsoff.documents import gather_documents

    before = len(tools.plugins.bench_failures)
    kinds = gather_documents(tools.plugins, deadline_s)
    for failure in tools.plugins.bench_failures[before:]:
        complain(str(failure))
    return kinds


def _wanted(source: str, kind: str, file: str, kinds: dict[str, OwnedDocument], *, several: bool) -> _Wanted:
    document = kinds.get(kind)
    if document is None:
        there = ", ".join(sorted(kinds)) or "none"
        raise SettingsError(f"there is no kind of document {kind!r}", source=source, hint=f"there are: {there}")
    folder = document.single and several
    if file == STDOUT:
        if folder:
            hint = "name a folder"
            raise SettingsError(f"{kind} makes a file for each of several", source=source, key=file, hint=hint)
        return _Wanted(source, document, None, folder=False)
    if "\0" in file:
        raise SettingsError("a file's name cannot hold a NUL", source=source, key=file)
    path = Path(file).absolute()
    _must_be_writable(source, path, folder=folder)
    return _Wanted(source, document, path, folder)


def _must_be_writable(source: str, path: Path, *, folder: bool) -> None:
    """Raises SettingsError where something is there that is neither the file nor the folder that is wanted."""
    try:
        mode = path.stat().st_mode
    except OSError:  # not there, or not to be seen: writing tells
        return
    if folder and not stat.S_ISDIR(mode):
        raise SettingsError(
            "is no folder", source=source, key=str(path), hint="of several, each gets a file in a folder"
        )
    if not folder and not stat.S_ISREG(mode):
        hint = "name a file, or - for standard output"
        raise SettingsError("is no ordinary file", source=source, key=str(path), hint=hint)


def _one_each(wanted: Sequence[_Wanted], inputs: set[Path], *, as_json: bool) -> None:
    """Raises SettingsError where two would go to one place, or one over what is read."""
    places: set[tuple[Path | None, str]] = {(None, "")} if as_json else set()
    for each in wanted:
        place = None if each.path is None else each.path.resolve()
        if place is not None and any(one in inputs for one in (place, *place.parents)):
            hint = "name another file"
            raise SettingsError("is read by this run and stays as it is", source=each.source, key=str(place), hint=hint)
        key = (place, each.document.suffix if each.folder else "")
        if key in places:
            name = "standard output" if place is None else str(place)
            hint = "give each a file of its own"
            raise SettingsError("two things would go there", source=each.source, key=name, hint=hint)
        places.add(key)


def print_json(text: str) -> None:
    """JSON on standard output, in UTF-8 (RFC 8259) whatever the terminal's; a reader that went away fails nothing.

    Raises TargetError when it cannot be written there, as onto a full disk.
    """
    from propsoff.outputs.nowhere import lead_nowhere

    try:
        to_stdout((text if text.endswith("\n") else f"{text}\n").encode())
    except OSError as error:
        lead_nowhere(sys.stdout)
        raise TargetError(f"standard output: could not be written: {error.strerror or error}") from None


def to_stdout(data: bytes) -> bool:
    """Write to standard output; False when its reader went away: the rest goes nowhere, and nothing fails for it."""
    from propsoff.outputs.nowhere import lead_nowhere

    try:
        sys.stdout.flush()
        sys.stdout.buffer.write(data)
        sys.stdout.buffer.flush()
    except BrokenPipeError:  # the reader has seen enough; the exit code stays the report's
        lead_nowhere(sys.stdout)
        return False
    return True

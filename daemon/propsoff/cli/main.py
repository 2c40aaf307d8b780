"""The command line: one file per command, each loaded only when it is called."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from typing import IO, Any

import click

from propsoff import __version__
from propsoff.exceptions import ConfigError, NoBenchError, PropsoffError, RequestError, StoreError, TargetError

EXIT_FAILED = 1
EXIT_USAGE = 2
EXIT_UNKNOWN = 3
EXIT_BUG = 4
EXIT_STOPPED = 128 + 2
EXIT_NO_READER = 128 + 13
"""As the shell has it of a program that SIGPIPE ended (common practice)."""

COMMANDS = {
    "watch": "Leave it running: each board that is plugged in is inspected.",
    "inspect": "Inspect boards or saved captures once.",
    "wait": "Wait for the next report on a place of a running bench.",
    "batch": "Inspect every capture in a folder tree.",
    "demo": "No hardware: simulated boards are plugged into a simulated bench.",
    "history": "The visits that are kept: of one craft, or of all.",
    "compare": "Two visits, craft or captures side by side: what differs.",
    "siblings": "Craft of one kind: the odd one out, and which has which fault.",
    "recheck": "Today's checks and sheets over every kept capture: what changes.",
    "show": "A report once more: on the screen, as a card, as a document.",
    "prune": "Take old visits out of history.",
    "export": "Write all of history as JSON lines.",
    "import": "Enter exported JSON lines into history.",
    "ports": "What is attached, and what the policy says of each port.",
    "allow": "Let a port be opened; or list all such words.",
    "deny": "Never open a port.",
    "revoke": "Take back a consent or a refusal.",
    "checks": "The checks, and what each reads.",
    "dialects": "The dialects, and where each comes from.",
    "dialect": "Check a dialect file, and see what it reads of a capture.",
    "learn": "Learn an unknown console, and draft a dialect for it.",
    "sheets": "The build sheets, and where each comes from.",
    "sheet": "Check, draft and show build sheets.",
    "plugins": "What is loaded, from where, and what failed.",
    "overlay": "Draw a craft's overlay, or move it to another grid.",
    "schema": "The JSON Schema of the report, and of a build sheet.",
    "settings": "The effective settings, and where each came from.",
    "sim": "Run simulated boards that any program can open.",
}

_MODULES = {"import": "import_"}
"""Where a command's name cannot be a module's."""

EPILOG = (
    "Propellers off before a board is connected. "
    "Exit codes: 0 every check passed or warned (with --strict: passed); 1 a check failed (with --strict: or warned); "
    "2 usage or configuration, or a report could not be written; 3 the conversation broke off, or something could not "
    "be read; 4 a check, a file that it needs, or propsoff itself broke; 130 stopped. Of several targets the first of "
    "130, 1, 4, 3, 2, 0 that any of them gives. With 2 nothing was inspected and --json prints nothing, unless only "
    "writing the report failed. A reader of the output that goes away (| head) changes none of these; what else "
    "it cuts short, such as an export, ends with 141."
)


class ReaderGoneError(Exception):
    """Whoever read the output went away before all of it was written."""


@contextmanager
def _reader_may_go() -> Iterator[None]:
    """click takes a broken pipe for a failure and exits with 1, which says that a check failed."""
    try:
        yield
    except BrokenPipeError as error:
        raise ReaderGoneError from error


class Commands(click.Group):
    """A group that knows its commands' names and imports one when it is called."""

    def make_context(
        self, info_name: str | None, args: list[str], parent: click.Context | None = None, **extra: Any
    ) -> click.Context:
        with _reader_may_go():
            return super().make_context(info_name, args, parent, **extra)

    def invoke(self, ctx: click.Context) -> Any:
        with _reader_may_go():
            return super().invoke(ctx)

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = import_module(f"propsoff.cli.{_MODULES.get(cmd_name, cmd_name)}").command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))

    def resolve_command(self, ctx: click.Context, args: list[str]) -> Any:
        # click's own suggestion imports every command to list it; the names are enough.
        if args and args[0] not in COMMANDS and not args[0].startswith("-"):
            from propsoff.tomlfile import nearest

            like = nearest(args[0], COMMANDS)
            hint = f" Did you mean {like}?" if like else ""
            raise click.UsageError(f"There is no command {args[0]!r}.{hint}", ctx)
        return super().resolve_command(ctx, args)


@click.group(cls=Commands, epilog=EPILOG, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="propsoff")
@click.option(
    "--set", "assignments", multiple=True, metavar="KEY=VALUE", help="Set one setting, e.g. timings.listen_s=0."
)
@click.pass_context
def cli(ctx: click.Context, assignments: tuple[str, ...]) -> None:
    """Plug a flight controller in, get a report: what is right, what is wrong, why it matters, how to put it right."""
    ctx.obj = assignments


def main(arguments: list[str] | None = None) -> None:
    """Run the command line and exit with its code."""
    sys.exit(run(arguments))


def run(arguments: list[str] | None = None) -> int:
    """Run the command line; every outcome has its exit code, and none is a traceback."""
    code = _outcome(arguments)
    try:
        for stream in (sys.stdout, sys.stderr):
            if stream is not None and not stream.closed:  # None where a program was started without one
                stream.flush()
    except BrokenPipeError:
        _lead_nowhere(sys.stdout, sys.stderr)
    except OSError as error:
        _lead_nowhere(sys.stdout)
        return code or _say(f"standard output: could not be written: {error.strerror or error}", EXIT_USAGE)
    return code


def _outcome(arguments: list[str] | None) -> int:
    try:
        code = cli.main(arguments, prog_name="propsoff", standalone_mode=False)
    except click.exceptions.Abort:
        return _say("stopped", EXIT_STOPPED)
    except click.ClickException as error:
        error.show()
        return EXIT_USAGE
    except (ConfigError, TargetError, StoreError, RequestError, NoBenchError) as error:
        return _say(str(error), EXIT_USAGE)
    except PropsoffError as error:
        return _say(str(error), EXIT_UNKNOWN)
    except ReaderGoneError:
        _lead_nowhere(sys.stdout, sys.stderr)
        return EXIT_NO_READER
    except KeyboardInterrupt:
        return _say("stopped", EXIT_STOPPED)
    except Exception as error:  # noqa: BLE001  the last line of defence: a fault of ours still ends in words
        return _bug(error)
    return code if isinstance(code, int) else 0


def _lead_nowhere(*streams: IO[str] | None) -> None:
    """Python would complain once more about a reader that went away when it flushes at exit."""
    from propsoff.outputs.nowhere import lead_nowhere

    for stream in streams:
        if stream is not None:
            lead_nowhere(stream)


def _say(text: str, code: int) -> int:
    from propsoff.cli.common import complain

    complain(text)
    return code


def _bug(error: Exception) -> int:
    """A fault of ours: the trace goes into a file, one line to the person."""
    import tempfile
    import traceback

    with tempfile.NamedTemporaryFile("w", prefix="propsoff-fault-", suffix=".txt", delete=False) as file:
        traceback.print_exception(error, file=file)
    what = f"{type(error).__name__}: {error}"
    return _say(f"a fault in propsoff itself: {what}. Please report it with the file {file.name}", EXIT_BUG)

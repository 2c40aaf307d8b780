"""`propsoff learn`: a draft of a dialect from a console that nobody knows."""

from __future__ import annotations

import contextlib
import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from propsoff.cli.common import complain, gathered, loaded_settings, must_be_new
from propsoff.cli.main import EXIT_STOPPED, EXIT_UNKNOWN, EXIT_USAGE
from propsoff.cli.targets import kind_of
from propsoff.console.capture import STOPPED
from propsoff.exceptions import TargetError

if TYPE_CHECKING:
    from propsoff.console.capture import Capture
    from propsoff.learning.learn import Lesson
    from propsoff.learning.model import Heard, HelpWord, LeftOut
    from propsoff.library import Toolbox
    from propsoff.ports.facts import Port, UsbHint

_TALK = ".cast"


@click.command()
@click.argument("target", metavar="PORT|CAPTURE")
@click.option(
    "--out", type=click.Path(path_type=Path, dir_okay=False), help="Write the draft there; an existing file stays."
)
@click.option("--json", "as_json", is_flag=True, help="Print what was found, with confidence and evidence, as JSON.")
@click.option("--no-input", is_flag=True, help="Ask nothing: for rigs. Only words that certainly read are sent anyway.")
@click.option("--id", "id_", help="The dialect's id; made from the firmware's name when it is not given.")
@click.option(
    "--usb", is_flag=True, help="Write the port's USB identity into the draft, so that `watch` opens such boards."
)
@click.option(
    "--threshold", type=click.FloatRange(0.5, 1.0), default=None, help="Confidence below which nothing is bound; 0.7."
)
@click.pass_context
def command(
    ctx: click.Context,
    target: str,
    out: Path | None,
    as_json: bool,
    no_input: bool,
    id_: str | None,
    usb: bool,
    threshold: float | None,
) -> int:
    """Learn the console of the board on PORT, or that of a saved CAPTURE or text, and write a draft of a dialect.

    Naming a port is the consent to talk to it: line ends, a nonsense word, the usual words for help, and then each word
    that certainly only reads, once, without arguments. Propellers off first, battery off.
    """
    must_be_new(out)
    tools = gathered(loaded_settings(ctx))
    port: Port | None = None
    if kind_of(target) == "port":
        if out is not None and out.suffix == _TALK:
            raise TargetError(f"{out}: is what the conversation will be called; name the draft {out.stem}.toml")
        heard, capture, port, why_not = _from_port(target, tools, ask=not no_input)
    else:
        heard, capture, why_not = _from_file(Path(target))
    if out is not None and port is not None:
        _keep(out, capture)
    if heard is None:
        complain(f"{target}: nothing was learned: {why_not}")
        return EXIT_STOPPED if why_not == STOPPED else EXIT_UNKNOWN
    lesson = _learned(heard, id_, _hints(port, usb), threshold)
    if not no_input and not as_json:
        lesson = _asked(lesson, id_, _hints(port, usb), threshold)
    return _show(lesson, target, out, as_json=as_json)


def _from_port(target: str, tools: Toolbox, *, ask: bool) -> tuple[Heard | None, Capture, Port, str]:
    import asyncio

    from propsoff.bench.learning import learn_port

    async def approve(chosen: Sequence[HelpWord], left_out: Sequence[LeftOut]) -> Sequence[HelpWord]:
        from propsoff.learning.choosing import in_words
        from propsoff.outputs.escape import visible

        for line in in_words(chosen, left_out):
            click.echo(visible(line), err=True)
        if not ask or not chosen:
            return chosen
        return chosen if await _agreed("Send these?") else ()

    listened = asyncio.run(learn_port(target, tools, approve))
    return listened.heard, listened.capture, listened.port, listened.why_not


async def _agreed(question: str) -> bool:
    """Whether a person says yes. It can be cancelled: nothing reads from the terminal before there is something."""
    import asyncio

    click.echo(f"{question} [y/N]: ", nl=False, err=True)
    loop, typed = asyncio.get_running_loop(), asyncio.Event()
    try:
        loop.add_reader(sys.stdin, typed.set)
    except (OSError, ValueError, NotImplementedError):  # a file, or none: that does not keep us waiting; or Windows
        typed.set()
    try:
        await typed.wait()
    finally:
        with contextlib.suppress(OSError, ValueError, NotImplementedError):
            loop.remove_reader(sys.stdin)
    try:
        return sys.stdin.readline().strip().casefold() in ("y", "yes")
    except (OSError, UnicodeDecodeError):  # the terminal went away, or bytes that are no text
        return False


def _from_file(path: Path) -> tuple[Heard | None, Capture, str]:
    from propsoff.console.capture import load_capture
    from propsoff.learning.from_text import heard_in

    capture = load_capture(path)
    heard = heard_in(capture)
    return heard, capture, "" if heard else "no prompt stands in it twice with a word after it"


def _hints(port: Port | None, usb: bool) -> Sequence[UsbHint]:
    from propsoff.ports.facts import UsbHint

    if not usb or port is None or port.usb.vid is None or port.usb.pid is None:
        return ()
    return (UsbHint(port.usb.vid, port.usb.pid, port.usb.product, ""),)


def _learned(heard: Heard, id_: str | None, hints: Sequence[UsbHint], threshold: float | None) -> Lesson:
    from propsoff.learning.bind import THRESHOLD
    from propsoff.learning.learn import learn, named_after

    lesson = learn(heard, id_=id_ or "learned", title="Learned", hints=hints, threshold=threshold or THRESHOLD)
    if id_ is None and (own := named_after(lesson)) is not None:
        return learn(heard, id_=own[0], title=own[1], hints=hints, threshold=threshold or THRESHOLD)
    return lesson


def _asked(lesson: Lesson, id_: str | None, hints: Sequence[UsbHint], threshold: float | None) -> Lesson:
    """The lesson with what a person says to the statements that are nearly certain."""
    from propsoff.learning.doubts import doubts_of, settled

    answers: dict[int, str] = {}
    for doubt in doubts_of(lesson):
        from propsoff.outputs.escape import visible

        click.echo(
            visible(f"line {doubt.statement.line}: {' '.join(doubt.statement.path)}  {doubt.statement.text}"), err=True
        )
        try:
            if click.confirm(f"  is this {doubt.fact} ({doubt.doc})?", default=False, err=True):
                answers[doubt.number] = doubt.fact
        except (click.Abort, EOFError):
            break
    return settled(lesson, answers) if answers else lesson


def _show(lesson: Lesson, target: str, out: Path | None, *, as_json: bool) -> int:
    from propsoff.learning.findings import as_json as found
    from propsoff.outputs.escape import visible

    if as_json:
        click.echo(json.dumps(found(lesson), indent=2))
    elif lesson.draft is not None and out is None:
        click.echo(lesson.draft.text, nl=False)
    written = lesson.draft is None or out is None or _written(lesson.draft.text, out, target)
    for trouble in (*lesson.heard.troubles, *lesson.heard.habits.unsure):
        complain(visible(trouble))
    bound = len(lesson.meaning.bound) + sum(len(rows.cells) for rows in lesson.meaning.rows)
    complain(f"{bound} facts bound, {len(lesson.meaning.unbound)} statements left to a person")
    if lesson.dialect is None:
        complain(f"the draft does not work yet: {visible(lesson.why_not)}")
        return EXIT_UNKNOWN
    return 0 if written else EXIT_USAGE


def _written(text: str, out: Path, target: str) -> bool:
    """Whether the draft was written; else it is printed, so that the talk was not in vain."""
    from propsoff.safe_write import replace_file

    try:
        replace_file(out, text.encode())
    except OSError as error:
        complain(f"{out}: the draft could not be written: {error.strerror or error}")
        click.echo(text, nl=False)
        return False
    click.echo(f"written: {out}; read it through, then: propsoff inspect --dialect {out} {target}", err=True)
    return True


def _keep(out: Path, capture: Capture) -> None:
    """The conversation is kept beside the draft, in the place of no other."""
    from propsoff.safe_write import write_new

    try:
        path = write_new(out.parent, out.stem, _TALK, capture.to_bytes())
    except OSError as error:
        complain(f"{out.with_suffix(_TALK)}: the conversation could not be kept: {error.strerror or error}")
    else:
        click.echo(f"the conversation: {path}", err=True)

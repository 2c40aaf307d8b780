"""`propsoff learn`: a draft of a dialect from a console that nobody knows."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from propsoff.cli.common import complain, gathered, loaded_settings, must_be_new
from propsoff.cli.learn_asking import Consent, settled_by_a_person
from propsoff.cli.learn_telling import TALK, keep, said_once, show
from propsoff.cli.main import EXIT_STOPPED, EXIT_UNKNOWN
from propsoff.cli.targets import kind_of
from propsoff.console.capture import STOPPED
from propsoff.exceptions import TargetError

if TYPE_CHECKING:
    from propsoff.console.capture import Capture
    from propsoff.learning.learn import Lesson
    from propsoff.learning.model import Heard
    from propsoff.library import Toolbox
    from propsoff.ports.facts import UsbHint

_ID = re.compile(r"[a-z0-9][a-z0-9-]*")
"""What a dialect's file takes for an id."""


def _an_id(_: click.Context, __: click.Parameter, value: str | None) -> str | None:
    """Refused at once, not by the draft after the whole conversation."""
    if value is not None and not _ID.fullmatch(value):
        raise click.BadParameter(f"{value!r}: lower-case letters, digits and hyphens only, no hyphen first")
    return value


@click.command()
@click.argument("target", metavar="PORT|CAPTURE")
@click.option(
    "--out", type=click.Path(path_type=Path, dir_okay=False), help="Write the draft there; an existing file stays."
)
@click.option("--json", "as_json", is_flag=True, help="Print what was found, with confidence and evidence, as JSON.")
@click.option("--no-input", is_flag=True, help="Ask nothing: for rigs. Only words that certainly read are sent anyway.")
@click.option(
    "--id", "id_", callback=_an_id, help="The dialect's id; made from the firmware's name when it is not given."
)
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

    Exit codes: 0 a draft that reads its own conversation; 2 usage, or the draft could not be written; 3 nothing was
    learned, or what is said must be seen to before the draft can be trusted; 130 stopped, or nothing was to be sent.
    """
    must_be_new(out)
    tools = gathered(loaded_settings(ctx))
    if kind_of(target) == "port":
        if out is not None and out.suffix == TALK:
            raise TargetError(f"{out}: is what the conversation will be called; name the draft {out.stem}.toml")
        heard = _from_port(target, tools, out, Consent(not no_input))
    else:
        heard = _from_file(Path(target))
    if isinstance(heard, int):
        return heard
    lesson = _learned(heard, id_, _hints(heard.capture, target) if usb else (), threshold)
    if not no_input and not as_json:
        lesson = settled_by_a_person(lesson, partial(_named, id_=id_))
    return show(lesson, target, out, as_json=as_json)


def _from_port(target: str, tools: Toolbox, out: Path | None, consent: Consent) -> Heard | int:
    """What was heard on a port, or the exit code when nothing can be learned of it."""
    import asyncio

    from propsoff.bench.learning import learn_port

    listened = asyncio.run(learn_port(target, tools, consent))
    if consent.declined:
        before = "beyond line ends and the usual words for help"
        complain(f"{target}: nothing was sent, as you said, {before}; nothing was learned")
        return EXIT_STOPPED
    if out is not None:
        keep(out, listened.capture, why="" if listened.heard else ", with what came all the same")
    if listened.heard is None:
        complain(f"{target}: nothing was learned: {said_once(listened.why_not, (listened.port.device, target))}")
        return EXIT_STOPPED if listened.why_not == STOPPED else EXIT_UNKNOWN
    return listened.heard


def _from_file(path: Path) -> Heard | int:
    from propsoff.console.capture import load_capture
    from propsoff.learning.from_text import heard_in

    heard = heard_in(load_capture(path))
    if heard is None:
        complain(f"{path}: nothing was learned: no prompt stands in it twice with a word after it")
        return EXIT_UNKNOWN
    return heard


def _hints(capture: Capture, target: str) -> Sequence[UsbHint]:
    """The USB identity of the port that the conversation was held on; none, and why, where it is not known."""
    from propsoff.ports.facts import UsbHint

    ids = [capture.port.get(name, "") for name in ("vid", "pid")]
    if all(re.fullmatch("[0-9a-fA-F]{4}", one) for one in ids):
        return (UsbHint(int(ids[0], 16), int(ids[1], 16), capture.port.get("product"), ""),)
    why = "it is text, which does not tell the port" if capture.origin == "pasted" else "its port tells no USB identity"
    complain(f"no USB hint is written: {target}: {why}")
    return ()


def _learned(heard: Heard, id_: str | None, hints: Sequence[UsbHint], threshold: float | None) -> Lesson:
    from propsoff.learning.bind import THRESHOLD
    from propsoff.learning.findings import UNNAMED
    from propsoff.learning.learn import learn

    lesson = learn(heard, id_=id_ or UNNAMED, title="Learned", hints=hints, threshold=threshold or THRESHOLD)
    return _named(lesson, id_)


def _named(lesson: Lesson, id_: str | None) -> Lesson:
    """The lesson under the firmware's own name, unless a person has given another."""
    from propsoff.learning.learn import named_after, prove

    own = named_after(lesson) if id_ is None else None
    if own is None or own == (lesson.id_, lesson.title):
        return lesson
    return prove(replace(lesson, id_=own[0], title=own[1], why_not=""))

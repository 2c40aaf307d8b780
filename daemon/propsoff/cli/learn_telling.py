"""What `propsoff learn` says and writes of what it learned."""

from __future__ import annotations

import json
import re
import shlex
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from propsoff.cli.common import complain, many, note
from propsoff.cli.main import EXIT_UNKNOWN, EXIT_USAGE
from propsoff.cli.writing import print_json

if TYPE_CHECKING:
    from propsoff.console.capture import Capture
    from propsoff.learning.learn import Lesson

TALK = ".cast"
_MOST_WRONG = 6


def show(lesson: Lesson, target: str, out: Path | None, *, as_json: bool) -> int:
    """Print or write the draft, say what is to be known of it, and give the exit code."""
    from propsoff.learning.findings import as_json as found
    from propsoff.learning.findings import refusal, wrong_with

    if as_json:
        print_json(json.dumps(found(lesson), indent=2))
    if why := refusal(lesson):
        complain(f"{target}: nothing was learned: {why}")
        return EXIT_UNKNOWN
    if lesson.draft is not None and out is None and not as_json:
        click.echo(lesson.draft.text, nl=False)
    written = lesson.draft is None or out is None or _written(lesson.draft.text, out, target)
    wrong = wrong_with(lesson)
    _tell(lesson, wrong)
    if lesson.dialect is None:
        what = "no draft could be made" if lesson.draft is None else "the draft does not work yet"
        complain(f"{what}: {lesson.why_not}")
        return EXIT_UNKNOWN
    if not written:
        return EXIT_USAGE
    return EXIT_UNKNOWN if wrong else 0


def _tell(lesson: Lesson, wrong: Sequence[str]) -> None:
    from propsoff.learning.findings import facts_in, not_known

    heard = lesson.heard
    for trouble in (*heard.troubles, *heard.habits.unsure):
        if trouble != heard.capture.ending:  # that is told as what is wrong
            complain(trouble)
    complain(
        f"{many(facts_in(lesson), 'fact')} bound, {many(len(lesson.meaning.unbound), 'statement')} left to a person"
    )
    if unknown := not_known(lesson):
        complain(f"not known of this board: {', '.join(unknown)}")
    for one in wrong[:_MOST_WRONG]:
        complain(one)
    if len(wrong) > _MOST_WRONG:
        complain(f"and {len(wrong) - _MOST_WRONG} more of the kind; `propsoff dialect check` shows them")


def _written(text: str, out: Path, target: str) -> bool:
    """Whether the draft was written; else it is printed, so that the talk was not in vain."""
    from propsoff.safe_write import replace_file

    try:
        replace_file(out, text.encode())
    except OSError as error:
        complain(f"{out}: the draft could not be written: {error.strerror or error}")
        click.echo(text, nl=False)
        return False
    then = f"propsoff inspect --dialect {shlex.quote(str(out))} {shlex.quote(target)}"
    note(f"written: {out}; read it through, then: {then}")
    return True


def keep(out: Path, capture: Capture, *, why: str = "") -> None:
    """The conversation is kept beside the draft, in the place of no other; not one in which nothing was heard.

    `why` says why it is kept where no draft will stand beside it.
    """
    from propsoff.safe_write import write_new

    if not any(event.code == "o" for event in capture.events):
        return
    try:
        path = write_new(out.parent, out.stem, TALK, capture.to_bytes())
    except OSError as error:
        complain(f"{out.with_suffix(TALK)}: the conversation could not be kept: {error.strerror or error}")
    else:
        note(f"the conversation{why}: {path}")


def said_once(why: str, names: Iterable[str]) -> str:
    """A reason without the names of the port, which stand before it already."""
    for name in names:
        why = re.sub(rf"(?:[Cc]ould not open port )?{re.escape(name)}: ", "", why)
    return why

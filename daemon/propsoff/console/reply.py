"""Is this reply whole? One pure function answers, for the live session and for a replayed capture alike.

A reply is `complete` only when every sign of its end that this console gives is there: its own echo (where it echoes),
the prompt as the whole last line, the end mark and the line count (where the query has them). It is `cut` when it stops
short, `unsure` when it reached an end but some sign disagrees. A prompt among the lines ends nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from difflib import SequenceMatcher

from propsoff.console.manner import Exchange, Line, LinePattern, Manner, Query, ReplyState

ECHO = "echo"
PROMPT = "prompt"
OPENING = "opening mark"
END_MARK = "end mark"
COUNT = "line count"
REFUSED = "refused"

_ECHO_WITHIN = 16
_GARBLED_RATIO = 0.5


@dataclass(frozen=True, slots=True)
class Heard:
    """What came after a command, before any of it is judged.

    `lines` are the finished lines from the one on which the command was typed; `before` is what stood on that line when
    the command went out. `tail` is the line under way at the end. `stops` tells, by line number, the pager's text that
    was answered with a key on that line. `size_bytes` is what the board sent in all. `pasted` text has had its command
    line taken off already; `echoed` says whether there was one.
    """

    lines: Sequence[Line]
    tail: str
    before: str = ""
    stops: Mapping[int, str] = field(default_factory=dict)
    size_bytes: int = 0
    pasted: bool = False
    echoed: bool = False


def judge(manner: Manner, query: Query, heard: Heard) -> Exchange:
    """The exchange: the reply's own lines, its state, why it is not complete, and the signs that were seen."""
    tail = heard.tail if heard.lines or heard.pasted else heard.tail.removeprefix(heard.before)
    prompt = shows_prompt(manner, tail, lenient=heard.pasted)
    echoed, garbled, lines = _after_echo(manner, query, heard)
    lines = _without_pager(manner, lines, heard.stops)
    marks = _find_marks(query, lines)
    lines = lines[marks.first : marks.last + 1]
    signs = [name for name, seen in ((ECHO, echoed and manner.echo), (PROMPT, prompt)) if seen]
    signs += [name for name, seen in ((OPENING, marks.opened), (END_MARK, marks.ended)) if seen]

    doubts = [] if echoed or not manner.echo else [_about_echo(query, garbled)]
    if query.opens is not None and not marks.opened:
        doubts.append("its opening line is missing")
    if query.ends is not None and not marks.ended:
        doubts.append("its end mark is missing")
    if marks.says is not None:
        read = _count(query, lines, marks)
        if read == marks.says:
            signs.append(COUNT)
        else:
            doubts.append(f"it says that it has {marks.says} lines, {read} were read: bytes were lost")
    if not prompt:
        doubts.append("no prompt after it")
    if (refusal := _refusal(manner, lines, marks)) is not None:
        signs.append(REFUSED)
        doubts.insert(0, f"the console answered with its error line: {refusal}")

    state: ReplyState = "unsure" if doubts else "complete"
    if heard.size_bytes > query.cap_bytes:
        state, doubts = "cut", [f"it outgrew its cap of {query.cap_bytes} bytes"]
    elif not marks.ended and REFUSED not in signs and _stops_short(query, lines, marks, prompt):
        state = "cut"
        doubts.append(f"it stops after line {lines[-1].number}" if lines else "nothing of it was heard")
    return Exchange(query.command, tuple(lines), state, "; ".join(doubts), tuple(signs))


def shows_prompt(manner: Manner, text: str, *, lenient: bool = False) -> bool:
    """Whether text is a prompt and nothing else. `lenient`: a person's paste may have lost the blanks at its end."""
    if manner.prompt.fits(text) or ((once := said_once(text)) != text and manner.prompt.fits(once)):
        return True
    return lenient and bool(text) and manner.prompt.fits(text.rstrip() + " ")


def said_once(text: str) -> str:
    """A prompt that stands on one line several times, for each empty line that was typed, once; other text as it is."""
    end = len(text) if len(text) <= _LONGEST_PROMPTS else 0
    for length in range(1, end // 2 + 1):
        if end % length == 0 and text == text[:length] * (end // length):
            return text[:length] if text[:length].strip() else text
    return text


_LONGEST_PROMPTS = 400


def shows_pager(manner: Manner, text: str) -> bool:
    """Whether text is the pager's stop and nothing else."""
    pager = manner.pager
    return pager is not None and (pager.fits(text) or pager.fits(text.rstrip()))


@dataclass(frozen=True, slots=True)
class _Marks:
    first: int
    last: int
    opened: bool
    ended: bool
    says: int | None


def _find_marks(query: Query, lines: Sequence[Line]) -> _Marks:
    """Where the reply's own opening and end mark stand; without one, its first and its last line."""
    opening, first = _first_match(query.opens, lines, 0)
    ending, last = _last_match(query.ends, lines, first)
    says = None
    for fields in (ending, opening):
        if fields is not None and says is None and (text := fields.get("count", "")).isdecimal() and len(text) < 10:
            says = int(text)
    return _Marks(first, last if ending is not None else len(lines) - 1, opening is not None, ending is not None, says)


def _first_match(
    pattern: LinePattern | None, lines: Sequence[Line], start: int
) -> tuple[Mapping[str, str] | None, int]:
    if pattern is not None:
        for at in range(start, len(lines)):
            if (fields := pattern.match(lines[at].text)) is not None:
                return fields, at
    return None, start


def _last_match(pattern: LinePattern | None, lines: Sequence[Line], stop: int) -> tuple[Mapping[str, str] | None, int]:
    if pattern is not None:
        for at in range(len(lines) - 1, stop - 1, -1):
            if (fields := pattern.match(lines[at].text)) is not None:
                return fields, at
    return None, stop


def _count(query: Query, lines: Sequence[Line], marks: _Marks) -> int:
    inner = lines[1 if marks.opened else 0 : len(lines) - 1 if marks.ended else len(lines)]
    if query.counted is None:
        return len(inner)
    return sum(query.counted.fits(line.text) for line in inner)


def _stops_short(query: Query, lines: Sequence[Line], marks: _Marks, prompt: bool) -> bool:
    """Whether a reply without an end mark is known to lack something at its end."""
    if not prompt:
        return True
    if query.ends is None and query.opens is None:
        return False
    return not lines or (marks.says is not None and _count(query, lines, marks) < marks.says)


def _refusal(manner: Manner, lines: Sequence[Line], marks: _Marks) -> str | None:
    if manner.error is None or marks.ended:
        return None
    for line in lines[:2]:
        if manner.error.fits(line.text):
            return line.text
    return None


def _about_echo(query: Query, garbled: str) -> str:
    return f"the echo of {query.command!r} " + (f"came back as {garbled!r}" if garbled else "did not come back")


def _after_echo(manner: Manner, query: Query, heard: Heard) -> tuple[bool, str, list[Line]]:
    """Whether the command's echo was seen, what stood in its place if not, and the lines after it."""
    lines = list(heard.lines)
    if heard.pasted or not lines:
        return heard.echoed, "", lines
    head = lines[0]
    rest = head.text[len(heard.before) :] if head.text.startswith(heard.before) else head.text
    if manner.echo:
        for at, line in enumerate(lines[:_ECHO_WITHIN]):
            text = rest if at == 0 else line.text
            if _is_echo(manner, query.command, text) or _is_echo(manner, query.command, line.text):
                return True, "", lines[at + 1 :]
            if query.opens is not None and query.opens.fits(line.text):
                break
    if not rest.strip():
        return False, "", lines[1:]
    if manner.echo and SequenceMatcher(None, rest.strip(), query.command, autojunk=False).ratio() > _GARBLED_RATIO:
        return False, rest, lines[1:]
    return False, "", [Line(head.number, rest), *lines[1:]]


def _is_echo(manner: Manner, command: str, text: str) -> bool:
    text = text.rstrip()
    if not text.endswith(command):
        return False
    lead = text[: len(text) - len(command)]
    return not lead.strip() or manner.prompt.fits(lead)


def _without_pager(manner: Manner, lines: list[Line], stops: Mapping[int, str]) -> list[Line]:
    if manner.pager is None:
        return lines
    kept = []
    for line in lines:
        stop = stops.get(line.number)
        if stop and line.text.startswith(stop):  # the console did not erase its stop before it went on
            rest = line.text.removeprefix(stop)
            if rest.strip():
                kept.append(Line(line.number, rest))
        elif not shows_pager(manner, line.text):
            kept.append(line)
    return kept

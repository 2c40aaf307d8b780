"""A conversation with an unknown console, taken out of a saved text: what was typed, and the answers."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import zip_longest

from propsoff.console.capture import Capture
from propsoff.console.manner import Line
from propsoff.console.reply import said_once
from propsoff.console.transcript import Step, Transcript
from propsoff.learning.choosing import choose
from propsoff.learning.habits import (
    NONSENSE,
    common_prompt,
    error_of,
    escaped,
    is_error,
    looks_like_pager,
    pager_of,
)
from propsoff.learning.help_text import help_words, menu_entries
from propsoff.learning.model import Answer, Habits, Heard, HelpWord
from propsoff.learning.vocabulary import words_of

_PROMPT = re.compile(r"(.{0,40}?[>#$%:?\])~])(?: +|$)(.*)")
_COMMAND = re.compile(r"[^\W_][\w.-]*(?: [\w.-]+){0,3}|\?", re.UNICODE)
_LINE_ENDS = ("\r", "\n")
_FEWEST = 2
_LONGEST_PROMPT = 40
_DONE = "done"
_HEADINGS = re.compile(r"#{2,}|={2,}|-{2,}|\*{2,}")
_MOSTLY = 0.5
_SHOWN = 4
_SHELL = frozenset(
    re.findall(
        r"\w+",
        "alias awk basename cat cd chmod chown cp cut date df dirname du echo find grep head kill ln ls make man mkdir "
        "mv od paste printf ps pwd rm rmdir sed sh sort sudo tail tar tee touch tr tty uname uniq vi wc xargs",
    )
)
"""Words of a shell and its utilities. Source: POSIX.1-2017, Shell and Utilities (`sudo`, `tar`: common practice)."""
_FEWEST_OF_A_SHELL = 2
_ARTICLES = frozenset(("a", "an", "the"))
_RUNNING_TEXT = frozenset(
    re.findall(
        r"\w+",
        "and are as be by for from how in into is it its not of or that the their this to what when where which why "
        "with without you your",
    )
)
"""Words that join others in a heading or a sentence; no console's command has them."""


def heard_in(capture: Capture) -> Heard | None:
    """What a saved conversation says; None when no prompt stands in it twice: nobody can tell what was typed."""
    transcript = Transcript(capture)
    broken = broken_off(capture) != ""
    taken = _recorded(transcript, broken=broken) or _printed(transcript.lines)
    if taken is None or not taken.answers:
        return None
    nonsense = next((answer.lines for answer in taken.answers if answer.command == NONSENSE), ())
    answers = tuple(answer for answer in taken.answers if not is_error(answer.lines, answer.command, nonsense))
    words = _words(answers)
    line_end = _line_end(transcript)
    typed = any(step.code == "i" for step in transcript.steps)
    unsure = () if typed else ("how commands end, and whether they are echoed, cannot be seen in a text",)
    error = error_of(nonsense, NONSENSE)
    pager = pager_of(taken.stops) if taken.stops else None
    habits = Habits(line_end, line_end, taken.echo, taken.prompt, pager, error=error, unsure=unsure)
    told = tuple(answer for answer in answers if not _is_help(answer) and answer.command != NONSENSE)
    _, left_out = choose(words, len(words))
    return Heard(habits, told, capture, words, left_out)


@dataclass(frozen=True, slots=True)
class _Taken:
    """What was taken apart: the prompt as a template, the answers, the echo, and where a pager stopped."""

    prompt: str
    answers: tuple[Answer, ...]
    echo: bool
    stops: Sequence[str]


def _recorded(transcript: Transcript, *, broken: bool) -> _Taken | None:
    """A conversation of which it was recorded what was typed; None where that is not so, or no prompt comes again."""
    asked, keys = _asked(transcript)
    befores = [before for step, _ in asked if (before := said_once(step.before)).strip()]
    prompt = common_prompt(befores)
    if prompt is None or len(asked) < _FEWEST:
        return None
    cut = broken and (not transcript.tail.strip() or common_prompt([*befores, said_once(transcript.tail)]) != prompt)
    stops = [key.before for key in keys if looks_like_pager(key.before)]
    pauses = {stop.strip() for stop in stops}
    found: dict[str, Answer] = {}
    echo = False
    for (step, command), following in zip_longest(asked, asked[1:]):
        stop = transcript.line if following is None else following[0].line
        lines, echoed = _without_typed(transcript.numbered(step.line, stop), step.before, command)
        echo = echo or echoed
        whole = not cut or following is not None
        tail = [Line(transcript.line, transcript.tail)] if not whole and transcript.tail else []
        kept = [line for line in lines if line.text.strip() not in pauses] + tail
        while kept and not kept[-1].text.strip():
            kept.pop()
        if kept:
            found[command] = Answer(command, tuple(kept), whole)
    return _Taken(prompt, tuple(found.values()), echo, stops)


def _asked(transcript: Transcript) -> tuple[list[tuple[Step, str]], list[Step]]:
    """The lines that were typed, each with the step at which it began, and the keys without a line end."""
    asked: list[tuple[Step, str]] = []
    keys: list[Step] = []
    begun: list[Step] = []
    for step in (step for step in transcript.steps if step.code == "i"):
        if begun and (begun[0].line != step.line or len(step.text.strip()) > 1):
            keys, begun = keys + begun, []
        begun.append(step)
        if step.text.endswith(_LINE_ENDS):
            if command := "".join(one.text for one in begun).strip():
                asked.append((begun[0], command))
            begun = []
    return asked, keys + begun


def _without_typed(lines: Sequence[Line], before: str, command: str) -> tuple[list[Line], bool]:
    """A reply without prompt and echo in front of its first line, and whether it was echoed."""
    if not lines:
        return [], False
    first, head = lines[0], lines[0].text.removeprefix(before).strip()
    if command.startswith(head):
        return list(lines[1:]), bool(head)
    if head != first.text.strip():
        return [Line(first.number, first.text.removeprefix(before)), *lines[1:]], False
    return list(lines), False


def _printed(lines: Sequence[Line]) -> _Taken | None:
    """A conversation of which only what stood on the screen is known."""
    prompt = _last_line(lines) or _prompt(lines)
    if prompt is None:
        return None
    stops = [line.text for line in lines if looks_like_pager(line.text) and "more" in line.text.casefold()]
    return _Taken(escaped(prompt), tuple(_answers(lines, prompt)), True, stops)


def _last_line(lines: Sequence[Line]) -> str | None:
    """The last line, where others begin with it and go on with a word: the prompt that still waits."""
    last = next((line.text.rstrip() for line in reversed(lines) if line.text.strip()), "")
    if not last or len(last) > _LONGEST_PROMPT or last[-1].isalnum():
        return None
    typed = sum(_typed_behind(last, line.text) is not None for line in lines)
    return last if typed >= _FEWEST else None


def _typed_behind(prompt: str, text: str) -> str | None:
    """What was typed behind the prompt on a line; None where it is no command."""
    command = text.rstrip().removeprefix(prompt).strip() if text.startswith(prompt) else ""
    return command if _COMMAND.fullmatch(command) else None


def broken_off(capture: Capture) -> str:
    """Why a recorded conversation did not come to its end; empty where it did, or where nobody can tell."""
    if capture.ending is not None:
        return "" if capture.ending == _DONE else capture.ending
    return "the recording has no end" if capture.origin == "recorded" and capture.tool else ""


def why_no_console(heard: Heard) -> str:
    """Why a text is hardly a conversation with a board's console; empty where it may be one."""
    commands = list(dict.fromkeys(answer.command for answer in heard.answers))
    shown = ", ".join(map(repr, commands[:_SHOWN])) + (", ..." if len(commands) > _SHOWN else "")
    taken = f"the prompt would be {heard.habits.prompt!r}, and typed after it {shown}"
    headings = sum(map(_reads_like_a_heading, commands))
    marked = _HEADINGS.fullmatch(heard.habits.prompt) is not None
    if headings > _MOSTLY * len(commands) or (marked and headings):
        return f"{taken}: these read like the headings of a document, not like a console's words"
    shell = sum(command.split()[0] in _SHELL for command in commands)
    if shell >= _FEWEST_OF_A_SHELL and shell > _MOSTLY * len(commands):
        return f"{taken}: that is a shell, not the console of a board"
    return ""


def _reads_like_a_heading(command: str) -> bool:
    """`Two commands`, `In a test rig`, `what can go wrong`: several words, in a sentence's case or joined as in one."""
    first, *others = command.split()
    if not others:
        return False
    sentence = first[:1].isupper() and not any(char.isupper() for char in first[1:] + "".join(others))
    joined = not _RUNNING_TEXT.isdisjoint(map(str.casefold, others))
    return sentence or joined or first.casefold() in (_ARTICLES | _RUNNING_TEXT)


def _is_help(answer: Answer) -> bool:
    return answer.command.casefold() in words_of("help")


def _words(answers: Sequence[Answer]) -> tuple[HelpWord, ...]:
    """The words that the helps name, each once."""
    words: dict[str, HelpWord] = {}
    for answer in filter(_is_help, answers):
        for word in menu_entries(answer.lines) or help_words(answer.lines):
            words.setdefault(word.word, word)
    return tuple(words.values())


def _line_end(transcript: Transcript) -> bytes:
    typed = [step.text for step in transcript.steps if step.code == "i" and step.text.endswith(("\r", "\n"))]
    return typed[0][-1:].encode() if typed else b"\r"


def _prompt(lines: Sequence[Line]) -> str | None:
    """The text before what was typed: the beginning that most lines with a command have in common."""
    counts: Counter[str] = Counter()
    for line in lines:
        match = _PROMPT.fullmatch(line.text.rstrip())
        if match is not None and (not match[2] or _COMMAND.fullmatch(match[2].strip())):
            counts[match[1]] += 1
    if not counts:
        return None
    best, number = counts.most_common(1)[0]
    return best if number >= _FEWEST else None


def _answers(lines: Sequence[Line], prompt: str) -> Iterator[Answer]:
    """Each command once; of one that was asked several times the last answer.

    The one that no prompt follows may have gone on: it is not whole.
    """
    found: dict[str, list[Line]] = {}
    under: list[Line] | None = None
    for line in lines:
        if line.text.rstrip() == prompt:
            under = None
        elif (command := _typed_behind(prompt, line.text)) is not None:
            under = found[command] = []
        elif under is not None:
            under.append(line)
    for command, answer in found.items():
        while answer and not answer[-1].text.strip():
            answer.pop()
        if answer:
            yield Answer(command, tuple(answer), whole=answer is not under)

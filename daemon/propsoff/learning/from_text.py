"""A conversation with an unknown console, taken out of a saved text: what was typed, and the answers."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence

from propsoff.console.capture import Capture
from propsoff.console.manner import Line
from propsoff.console.transcript import Transcript
from propsoff.learning.choosing import choose
from propsoff.learning.habits import NONSENSE, error_of, escaped, is_error, looks_like_pager, pager_of
from propsoff.learning.help_text import help_words, menu_entries
from propsoff.learning.model import Answer, Habits, Heard, HelpWord
from propsoff.learning.vocabulary import words_of

_PROMPT = re.compile(r"(.{0,40}?[>#$%:?\])~])(?: +|$)(.*)")
_COMMAND = re.compile(r"[^\W_][\w.-]*(?: [\w.-]+){0,3}|\?", re.UNICODE)
_FEWEST = 2


def heard_in(capture: Capture) -> Heard | None:
    """What a saved conversation says; None when no prompt stands in it twice: nobody can tell what was typed."""
    transcript = Transcript(capture)
    lines = transcript.lines
    typed = [step.text.strip("\r\n") for step in transcript.steps if step.code == "i"]
    prompt = _prompt(lines, [text for text in typed if text])
    if prompt is None:
        return None
    answers = tuple(_answers(lines, prompt))
    if not answers:
        return None
    nonsense = next((answer.lines for answer in answers if answer.command == NONSENSE), ())
    answers = tuple(answer for answer in answers if not is_error(answer.lines, answer.command, nonsense))
    words = _words(answers)
    stops = [line.text for line in lines if looks_like_pager(line.text) and "more" in line.text.casefold()]
    line_end = _line_end(transcript)
    echo = capture.origin == "pasted" or any(
        line.text.startswith(prompt) and line.text.rstrip() != prompt for line in lines
    )
    unsure = ("how commands end, and whether they are echoed, cannot be seen in a text",) if not typed else ()
    error = error_of(nonsense, NONSENSE)
    pager = pager_of(stops) if stops else None
    habits = Habits(line_end, line_end, echo, escaped(prompt), pager, error=error, unsure=unsure)
    told = tuple(answer for answer in answers if not _is_help(answer) and answer.command != NONSENSE)
    _, left_out = choose(words, len(words))
    return Heard(habits, told, capture, words, left_out)


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


def _prompt(lines: Sequence[Line], typed: Sequence[str]) -> str | None:
    """The text before what was typed: the beginning that most lines with a command have in common."""
    counts: Counter[str] = Counter()
    for line in lines:
        match = _PROMPT.fullmatch(line.text.rstrip())
        if match is None:
            continue
        if not match[2] or match[2] in typed or (not typed and _COMMAND.fullmatch(match[2].strip())):
            counts[match[1]] += 1
    if not counts:
        return None
    best, number = counts.most_common(1)[0]
    return best if number >= _FEWEST else None


def _answers(lines: Sequence[Line], prompt: str) -> Iterator[Answer]:
    """Each command once; of one that was asked several times the last answer."""
    found: dict[str, list[Line]] = {}
    under: list[Line] | None = None
    for line in lines:
        text = line.text.rstrip()
        if text == prompt:
            under = None
        elif text.startswith(prompt) and _COMMAND.fullmatch(text[len(prompt) :].strip()):
            under = found[text[len(prompt) :].strip()] = []
        elif under is not None:
            under.append(line)
    for command, answer in found.items():
        while answer and not answer[-1].text.strip():
            answer.pop()
        if answer:
            yield Answer(command, tuple(answer))

"""The transcript of a capture: the board's output as numbered lines, where each input stood, and the exchanges in it.

Line numbers count the line ends in the board's output from 1; for pasted text they are the file's own line numbers.
Everything is pure: the same capture gives the same transcript, whether it is read live, event by event, or from a file.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from propsoff.console.capture import Capture, Event
from propsoff.console.manner import Exchange, Line, Manner, Query
from propsoff.console.octets import bytes_of
from propsoff.console.reply import Heard, judge, shows_pager, shows_prompt
from propsoff.console.screen import Screen

_LINE_ENDS = ("\r", "\n")
_PROMPTS = 16
"""So many different prompts are looked for at the beginning of lines; a prompt that counts has more."""


@dataclass(frozen=True, slots=True)
class Step:
    """An input (`i`) or marker (`m`) and where it stood.

    `line` is the number (from 1) of the line under way then, `before` what stood on it, `size_bytes` how much the
    board had sent.
    """

    code: str
    text: str
    line: int
    before: str
    size_bytes: int


class Transcript:
    """A capture's lines and steps: of a whole capture, or without one to which `add` adds events as they come."""

    def __init__(self, capture: Capture | None = None) -> None:
        self.pasted = capture is not None and capture.origin == "pasted"
        self.steps: list[Step] = []
        self.size_bytes = 0
        self._screen = Screen()
        self._finished: list[Line] = []
        for event in _joined(capture.events) if capture is not None else ():
            self.add(event)

    def add(self, event: Event) -> None:
        """Take the next event."""
        if event.code == "o":
            self.size_bytes += len(event.text) if event.text.isascii() else len(bytes_of(event.text))
            self._screen.feed(event.text)
        else:
            self.steps.append(Step(event.code, event.text, self.line, self.tail, self.size_bytes))

    @property
    def tail(self) -> str:
        """The line under way, empty when nothing stands on it."""
        return self._screen.tail

    @property
    def line(self) -> int:
        """The number of the line under way, from 1."""
        return len(self._screen.lines) + 1

    @property
    def lines(self) -> tuple[Line, ...]:
        """Every line, the one under way last when something stands on it; index 0 is line 1."""
        last = [Line(self.line, self.tail)] if self.tail else []
        return (*self.numbered(1), *last)

    @property
    def texts(self) -> list[str]:
        """The same as texts alone."""
        return [*self._screen.lines, *([self.tail] if self.tail else [])]

    def numbered(self, first: int, stop: int | None = None) -> list[Line]:
        """The finished lines from number `first` up to, without, number `stop` (all of them when None)."""
        made = len(self._finished)
        self._finished += [Line(number, text) for number, text in enumerate(self._screen.lines[made:], made + 1)]
        return self._finished[first - 1 : None if stop is None else stop - 1]

    def here(self, code: str = "m", text: str = "") -> Step:
        """A step at the place reached, without recording it."""
        return Step(code, text, self.line, self.tail, self.size_bytes)

    def heard(self, start: Step, end: Step, keys: Sequence[Step] = ()) -> Heard:
        """What was heard between two steps; `keys` are the pager keys sent in between."""
        stops = {key.line: key.before for key in keys}
        size_bytes = end.size_bytes - start.size_bytes
        return Heard(self.numbered(start.line, end.line), end.before, start.before, stops, size_bytes)


def exchanges(source: Capture | Transcript, manner: Manner) -> tuple[Exchange, ...]:
    """The exchanges of this manner's own commands, in order, each judged.

    A recorded capture is split at its inputs: a command with its line end begins an exchange; pager keys and inputs
    without a line end belong to the reply under way; our own `reply` and `end` markers close it. Pasted text is split
    at lines `PROMPT + command`, and at a query's opening line where the console does not echo.
    """
    transcript = source if isinstance(source, Transcript) else Transcript(source)
    spans = _pasted(transcript, manner) if transcript.pasted else _recorded(transcript, manner)
    return tuple(judge(manner, query, heard) for query, heard in spans)


def _joined(events: Sequence[Event]) -> Iterator[Event]:
    """The same events with adjoining output in one piece: a board that sends byte by byte is read as fast as any."""
    pieces: list[str] = []
    for event in events:
        if event.code == "o":
            pieces.append(event.text)
            continue
        if pieces:
            yield Event(event.time_s, "o", "".join(pieces))
            pieces = []
        yield event
    if pieces:
        yield Event(events[-1].time_s, "o", "".join(pieces))


def _recorded(transcript: Transcript, manner: Manner) -> Iterator[tuple[Query, Heard]]:
    query: Query | None = None
    start = transcript.here()
    keys: list[Step] = []
    typed: list[Step] = []
    for step in (*transcript.steps, transcript.here(text="end: ")):
        closes, asked, begin = _meaning(step, typed, manner)
        if closes:
            if query is not None:
                yield query, transcript.heard(start, begin, keys)
            query, start, keys, typed = asked, begin, [], []
        elif step.code == "i" and shows_pager(manner, step.before):
            keys.append(step)
        elif step.code == "i":
            typed.append(step)


def _meaning(step: Step, typed: list[Step], manner: Manner) -> tuple[bool, Query | None, Step]:
    """Whether a step closes the exchange under way, the query that it begins, and where what was typed began."""
    if step.code == "m":
        return step.text.startswith(("reply ", "end: ")), None, step
    if not step.text.endswith(_LINE_ENDS):
        return False, None, step
    command = step.text.strip("\r\n")
    if command:
        return True, manner.query(command), step
    # Typed by hand and recorded key by key: the line end comes alone, after the letters.
    keyed = "".join(key.text for key in typed)
    for query in (manner.identify, *manner.reads):
        if keyed.endswith(query.command):
            return True, query, _first_key(typed, query.command)
    behind = next((key for key in reversed(typed) if shows_prompt(manner, key.before)), step)
    return shows_prompt(manner, behind.before), None, behind


def _first_key(typed: Sequence[Step], command: str) -> Step:
    """The key with which the command that was typed last began."""
    left = len(command)
    for step in reversed(typed):
        left -= len(step.text)
        if left <= 0:
            return step
    return typed[0]


@dataclass(slots=True)
class _Span:
    query: Query
    first: int
    echoed: bool
    lead: str


def _pasted(transcript: Transcript, manner: Manner) -> Iterator[tuple[Query, Heard]]:
    lines = transcript.texts
    spans, prompts = _find_spans(lines, manner)
    for at, span in enumerate(spans):
        following = spans[at + 1] if at + 1 < len(spans) else None
        stop = following.first - (1 if following.echoed else 0) if following else len(lines)
        lead = following.lead if following else ""
        yield span.query, _pasted_reply(span, lines[span.first : stop], lead, prompts, manner)


def _find_spans(lines: Sequence[str], manner: Manner) -> tuple[list[_Span], tuple[str, ...]]:
    """Where replies begin (index of the line after the command), and the prompts that were seen, word for word."""
    spans: list[_Span] = []
    prompts: set[str] = set()
    opened = False
    for at, line in enumerate(lines):
        if shows_prompt(manner, line, lenient=True):
            prompts.add(line.rstrip())
            continue
        if (typed := _typed(line, manner, first=not spans)) is not None:
            query, lead = typed
            prompts.add(lead.rstrip())
            spans.append(_Span(query, at + 1, True, lead))
            opened = False
        elif (query_opened := _opened(line, manner)) is not None:
            if opened or not spans or spans[-1].query is not query_opened:
                spans.append(_Span(query_opened, at, False, ""))
            opened = True
    return spans, tuple(sorted(prompt for prompt in prompts if prompt)[:_PROMPTS])


def _typed(line: str, manner: Manner, *, first: bool) -> tuple[Query, str] | None:
    """The query whose command stands on the line after a prompt (or alone, before any other), and that prompt."""
    text = line.rstrip()
    for query in (manner.identify, *manner.reads):
        if not text.endswith(query.command):
            continue
        lead = text[: len(text) - len(query.command)]
        if (first and not lead.strip()) or (lead and manner.prompt.fits(lead)):
            return query, lead
    return None


def _opened(line: str, manner: Manner) -> Query | None:
    for query in (manner.identify, *manner.reads):
        if query.opens is not None and query.opens.fits(line):
            return query
    return None


def _pasted_reply(span: _Span, texts: Sequence[str], following: str, prompts: Sequence[str], manner: Manner) -> Heard:
    """What was heard of one pasted reply: up to its end mark, or to the first prompt where there is none."""
    stop, tail = len(texts), following
    ended = _first_end(span.query, texts)
    for at in range(ended + 1 if ended is not None else 0, len(texts)):
        if (prompt := _prompt_at(texts[at], prompts, manner)) is not None:
            stop, tail = at, prompt
            break
    while not tail and stop and not texts[stop - 1].strip():  # blank lines at the end of a paste are the person's
        stop -= 1
    lines = [Line(number, text) for number, text in enumerate(texts[:stop], span.first + 1)]
    size_bytes = sum(len(bytes_of(text)) + 1 for text in texts[:stop])
    return Heard(lines, tail, size_bytes=size_bytes, pasted=True, echoed=span.echoed)


def _first_end(query: Query, texts: Sequence[str]) -> int | None:
    if query.ends is not None:
        for at, text in enumerate(texts):
            if query.ends.fits(text):
                return at
    return None


def _prompt_at(text: str, prompts: Sequence[str], manner: Manner) -> str | None:
    """The prompt with which the line begins, seen elsewhere in the text or standing alone; None when there is none."""
    if shows_prompt(manner, text, lenient=True):
        return text
    for prompt in prompts:
        lead = prompt + " "
        if text.startswith(lead) and manner.prompt.fits(lead):
            return lead
    return None

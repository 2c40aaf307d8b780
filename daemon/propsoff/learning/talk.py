"""The conversation with a console that nobody knows. Only on a port that a person named; bounded in words and time."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable, Sequence
from dataclasses import dataclass, replace

from propsoff.console.capture import Recorder
from propsoff.console.link import Link
from propsoff.console.manner import Line
from propsoff.console.octets import bytes_of
from propsoff.console.session import Session
from propsoff.console.strangers import classify
from propsoff.console.timings import Timings
from propsoff.exceptions import ConversationError, DeadlineError
from propsoff.learning.choosing import choose, does_no_harm
from propsoff.learning.facts_in import states_facts
from propsoff.learning.habits import NONSENSE, common_prompt, error_of, is_error, looks_like_pager, pager_of, prompt_of
from propsoff.learning.help_text import help_words, menu_entries, pointed_at
from propsoff.learning.model import Answer, Habits, Heard, HelpWord, LeftOut
from propsoff.learning.vocabulary import pieces_of, words_of

Approve = Callable[[Sequence[HelpWord], Sequence[LeftOut]], Awaitable[Sequence[HelpWord]]]
"""Given the words that would be sent and those that would not: the words that may be sent."""

MOST_COMMANDS = 40
_LINE_ENDS = (b"\r", b"\n")
_KEYS = (b" ", b"~", b"#", b"+", b"*", b"!", b"?", b"\x1b", b"\t")
_NEVER_WRITTEN_TO = ("positioning receiver", "g-code machine", "modem")
_PAGER_KEYS = (" ", "\r", "\n")
_CAP = 512 << 10
_PAGES = 200
_TYPING_S = 0.01


@dataclass(frozen=True, slots=True)
class Pace:
    """Waits of the learner in seconds: how long a silence ends a reply with a prompt, one without, and the longest."""

    listen_s: float = 1.0
    prompt_s: float = 0.08
    silence_s: float = 0.6
    answer_s: float = 10.0
    regain_s: float = 5.0
    talk_s: float = 180.0


class NoConsoleError(ConversationError):
    """What is on the port cannot be learned; the text says why."""


@dataclass(frozen=True, slots=True)
class _Said:
    """One reply as it was heard: its lines without what was typed, the line under way, and how it ended."""

    lines: tuple[Line, ...]
    tail: str
    echoed: str
    whole: bool


async def hear(
    link: Link, recorder: Recorder, approve: Approve, *, pace: Pace | None = None, timings: Timings
) -> Heard:
    """Learn how the console on a link talks, and what it answers to its reading words. Does not close the link.

    Sends line ends and single characters until a prompt comes, one nonsense word, the usual words for help, and then
    only what `approve` lets through; at most 40 in all. Whatever goes wrong ends in `troubles`.

    Raises NoConsoleError when there is nothing to be learned; LinkLostError when the port goes before that.
    """
    talk = _Talk(Session(link, recorder, timings), pace or Pace())
    async with asyncio.timeout(talk.pace.talk_s):
        return await talk.run(approve)


class _Talk:
    def __init__(self, session: Session, pace: Pace) -> None:
        self.session, self.pace = session, pace
        self.commands = 0
        self.prompts: list[str] = []
        self.stops: list[str] = []
        self.troubles: list[str] = []
        self.unsure: list[str] = []
        self.line_end = b"\r"
        self.wake = b"\r"
        self.pager_key = " "
        self.typing_s = 0.0
        self.echo = False
        self.nonsense: tuple[Line, ...] = ()
        self.answers: dict[str, Answer] = {}
        self.words: dict[str, HelpWord] = {}
        self.left_out: tuple[LeftOut, ...] = ()

    async def run(self, approve: Approve) -> Heard:
        """The whole of it."""
        await self._listen()
        await self._wake_up()
        greeting = self.session.transcript.lines
        try:
            await self._ask_nonsense()
            await self._ask_for_help(greeting)
            chosen, self.left_out = choose(
                self.words.values(), max(0, MOST_COMMANDS - self.commands), menu=all(map(str.isdigit, self.words))
            )
            for word in await approve(chosen, self.left_out):
                await self._read(word)
        except ConversationError as error:
            self.troubles.append(str(error))
        self.session.recorder.mark("end: done" if not self.troubles else f"end: {self.troubles[-1]}")
        return self._heard()

    def _heard(self) -> Heard:
        prompt = common_prompt(self.prompts) or "{_:words}"
        if prompt == "{_:words}":
            self.unsure.append("the prompt differs from time to time")
        error = error_of(self.nonsense, NONSENSE)
        habits = Habits(
            self.wake,
            self.line_end,
            self.echo,
            prompt,
            pager_of(self.stops) if self.stops else None,
            self.pager_key,
            error,
            self.typing_s,
            tuple(self.unsure),
        )
        answers = tuple(self.answers.values())
        words = tuple(self.words.values())
        return Heard(habits, answers, self.session.recorder.capture(), words, self.left_out, tuple(self.troubles))

    async def _listen(self) -> None:
        self.session.recorder.mark("listen")
        await self.session.listen(self.pace.listen_s)
        heard = "".join(event.text for event in self.session.recorder.capture().events if event.code == "o")
        stranger = classify(heard)
        if stranger.kind in _NEVER_WRITTEN_TO:
            raise NoConsoleError(f"{self.session.link.device}: {stranger.words}; nothing was sent to it")

    async def _wake_up(self) -> None:
        """A line end first, then single characters, until a prompt comes that comes again."""
        self.session.recorder.mark("wake")
        for key in (*_LINE_ENDS, *_KEYS):
            if await self._wakes(key):
                return
        heard = "".join(event.text for event in self.session.recorder.capture().events if event.code == "o")
        sent = "".join(event.text for event in self.session.recorder.capture().events if event.code == "i")
        stranger = classify(heard, sent)
        raise NoConsoleError(f"{self.session.link.device}: no prompt came that comes again: {stranger.words}")

    async def _wakes(self, key: bytes) -> bool:
        first = await self._key(key)
        if not first.strip():
            return False
        for end in (key,) if key in _LINE_ENDS else _LINE_ENDS:
            second, third = await self._key(end), await self._key(end)
            if prompt_of([first, second, third]) is not None:
                self.wake, self.line_end, self.prompts = key, end, [second, third]
                return True
            if second == third and second.strip() and not second.endswith(first):
                self.wake, self.line_end, self.prompts = key, end, [second, third]
                return True
        return False

    async def _key(self, key: bytes) -> str:
        """Send one key; the line under way when silence has come."""
        self.commands += 1
        await self.session.send(key)
        await self._until_silence(self.pace.silence_s)
        return self.session.transcript.tail

    async def _until_silence(self, silence_s: float) -> bool:
        """Hear the board out; False when it did not fall silent in time or said too much."""
        until = _now() + self.pace.answer_s
        start = self.session.transcript.size_bytes
        while await self.session.hear(silence_s):
            if _now() > until or self.session.transcript.size_bytes - start > _CAP:
                return False
        return True

    async def _ask_nonsense(self) -> None:
        said = await self._say(NONSENSE)
        if said.echoed != NONSENSE and NONSENSE.startswith(said.echoed) and (said.echoed or not said.lines):
            # Characters were lost; the line end may have been one of them, and what is left of the word with it.
            self.typing_s = _TYPING_S
            self.unsure.append("it loses characters that are typed fast; it is given 10 ms before each")
            await self._say("")
            said = await self._say(NONSENSE)
        self.echo = said.echoed == NONSENSE
        self.nonsense = said.lines
        if len([line for line in said.lines if line.text.strip()]) > 3:
            # What says so much to a word that it does not know says what it knows instead, or has restarted.
            self._learn(said.lines)
            self.nonsense = ()

    async def _ask_for_help(self, greeting: Sequence[Line]) -> None:
        menu = menu_entries(greeting)
        for word in menu:
            self.words.setdefault(word.word, word)
        if menu:
            return
        pointed = [one for one in pointed_at([*greeting, *self.nonsense]) if does_no_harm(one.word)]
        for asked in dict.fromkeys([*words_of("help")[:2], *(one.word for one in pointed), *words_of("help")[2:]]):
            said = await self._say(asked)
            if is_error(said.lines, asked, self.nonsense) or not _says_something(said.lines):
                continue
            answer = Answer(asked, said.lines, said.whole)
            if states_facts(answer):
                self.answers.setdefault(asked, answer)
                continue
            before = len(self.words)
            self._learn(said.lines)
            if len(self.words) > before + 1:
                return
            # It is no help, but it answers: what it says is kept.
            self.answers.setdefault(asked, answer)
        for one in pointed:
            self.words.setdefault(one.word, replace(one, says="read: the console itself points at it"))
        if not self.words and not any(map(states_facts, self.answers.values())) and self.nonsense:
            for guess in words_of("guesses"):
                self.words.setdefault(guess, HelpWord(guess, "read: the console names no words; this one is usual", 0))

    def _learn(self, lines: Sequence[Line]) -> None:
        for word in menu_entries(lines) or help_words(lines):
            self.words.setdefault(word.word, word)

    async def _read(self, word: HelpWord) -> None:
        """Ask one word, and leave the menu that it may have opened."""
        if self.commands >= MOST_COMMANDS or word.word in self.answers or word.word.casefold() in words_of("help"):
            return
        home = self.prompts[-1]
        said = await self._say(word.word)
        if is_error(said.lines, word.word, self.nonsense):
            return
        back = await self._go_back(said, home)
        self.answers.setdefault(
            word.word, Answer(word.word, said.lines, said.whole, back, word.says if word.word.isdigit() else "")
        )

    async def _go_back(self, said: _Said, home: str) -> str:
        """Leave a menu by the way that it names; what was typed, empty when there was no need."""
        if prompt_of([said.tail, home]) is not None:
            return ""
        for entry in (*menu_entries(said.lines), *help_words(said.lines)):
            if any(piece in words_of("ways_back") for piece in (*pieces_of(entry.says), *pieces_of(entry.word))):
                await self._say(entry.word)
                return entry.word
        await self._say("")
        if prompt_of([self.session.transcript.tail, home]) is None:
            raise DeadlineError(f"{self.session.link.device}: no way back was found to {home!r}")
        return ""

    async def _say(self, text: str) -> _Said:
        """Type a line; the reply. Raises LinkLostError, DeadlineError when the console does not come back."""
        self.commands += 1
        session = self.session
        session.recorder.flush()
        start = session.transcript.here("i")
        typed = bytes_of(text) + self.line_end
        if self.typing_s:
            for at in range(len(typed)):
                await session.listen(self.typing_s)
                await session.send(typed[at : at + 1])
        else:
            await session.send(typed)
        whole, stops = await self._hear_reply(start.line, len(start.before))
        lines = session.transcript.numbered(start.line)
        tail = session.transcript.tail
        begun = any(tail.startswith(prompt) for prompt in self.prompts)
        if whole and not begun and prompt_of([tail]) is not None:
            self.prompts.append(tail)
        return _reply(lines, start.before, text, tail, stops, whole)

    async def _hear_reply(self, first_line: int, before: int) -> tuple[bool, list[str]]:
        """Hear until a known prompt, or silence; (whether it ended, the stops of a pager that were answered)."""
        session, until = self.session, _now() + self.pace.answer_s
        start, wakes = session.transcript.size_bytes, 0
        stops: list[str] = []
        while _now() < until and session.transcript.size_bytes - start <= _CAP:
            tail = session.transcript.tail
            at_prompt = self._is_prompt(tail) and session.transcript.line > first_line - (0 if self.echo else 1)
            moved = session.transcript.size_bytes > start
            if await session.hear(self.pace.prompt_s if at_prompt and moved else self.pace.silence_s):
                continue
            tail = session.transcript.tail
            if self._is_prompt(tail) and (moved or session.transcript.size_bytes > start):
                return True, stops
            if looks_like_pager(tail) and len(stops) < _PAGES:
                stops.append(tail)
                self.stops.append(tail)
                await self._turn_page(tail)
            elif tail.strip() and moved:
                return True, stops
            elif wakes < 3:
                wakes += 1
                await session.send(self.wake)
            else:
                break
        await session.hush(_now() + self.pace.regain_s)
        return False, stops

    async def _turn_page(self, stop: str) -> None:
        for key in dict.fromkeys((self.pager_key, *_PAGER_KEYS)):
            size = self.session.transcript.size_bytes
            await self.session.send(key.encode())
            await self.session.hear(self.pace.silence_s)
            if self.session.transcript.size_bytes > size and self.session.transcript.tail != stop:
                self.pager_key = key
                return

    def _is_prompt(self, tail: str) -> bool:
        return any(prompt_of([tail, known]) is not None for known in dict.fromkeys(self.prompts))


def _reply(lines: Sequence[Line], before: str, typed: str, tail: str, stops: Sequence[str], whole: bool) -> _Said:
    """The reply without what was typed and without the stops of a pager."""
    if not lines:
        return _Said((), tail, tail.removeprefix(before).strip(), whole)
    kept = list(lines)
    head = kept[0].text.removeprefix(before)
    echoed = head.strip() if not head.strip() or head.strip() in typed else ""
    if typed.startswith(head.strip()):
        kept = kept[1:]
    elif head != kept[0].text:
        kept[0] = Line(kept[0].number, head)
    told = {stop.strip() for stop in stops}
    return _Said(tuple(line for line in kept if line.text.strip() not in told), tail, echoed, whole)


def _says_something(lines: Sequence[Line]) -> bool:
    return any(line.text.strip() for line in lines)


def _now() -> float:
    return asyncio.get_running_loop().time()

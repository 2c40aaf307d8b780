"""The conversation with a console that nobody knows. Only on a port that a person named; bounded in words and time."""

from __future__ import annotations

import asyncio
import re
from collections.abc import Awaitable, Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial

from propsoff.console.capture import Recorder
from propsoff.console.link import Link
from propsoff.console.manner import Line
from propsoff.console.session import Session
from propsoff.console.timings import Timings
from propsoff.exceptions import ConversationError, DeadlineError
from propsoff.learning.choosing import choose, does_no_harm
from propsoff.learning.facts_in import states_facts
from propsoff.learning.habits import (
    NONSENSE,
    common_prompt,
    error_of,
    is_error,
    is_misheard,
    is_nonsense,
    pager_of,
    prompt_of,
)
from propsoff.learning.help_text import help_words, menu_entries, pointed_at
from propsoff.learning.menus import offered, way_back, way_back_in
from propsoff.learning.model import Answer, Habits, Heard, HelpWord, LeftOut
from propsoff.learning.pace import NoConsoleError, Pace
from propsoff.learning.restarts import has_restarted, restarts_again
from propsoff.learning.speaker import Said, Speaker
from propsoff.learning.vocabulary import words_of
from propsoff.learning.waking import listen, wake

__all__ = ["MOST_COMMANDS", "Approve", "NoConsoleError", "Pace", "hear"]

Approve = Callable[[Sequence[HelpWord], Sequence[LeftOut]], Awaitable[Sequence[HelpWord]]]
"""Given the words that would be sent and those that would not: the words that may be sent."""

MOST_COMMANDS = 40
_SPARE = 2
"""Commands that are kept for leaving the menu that the last word opened."""
_DEEPEST = 2
"""So many menus within one another are gone through."""
_SHORT_ENTRY = 2
_MOSTLY = 0.7
_MENU = 0.5
_TYPING_S = 0.01
_LONG = 3
_LONGEST_LISTING = 2000


async def hear(
    link: Link, recorder: Recorder, approve: Approve, *, pace: Pace | None = None, timings: Timings
) -> Heard:
    """Learn how the console on a link talks, and what it answers to its reading words. Does not close the link.

    Sends line ends and single characters until a prompt comes, one nonsense word, the usual words for help, and then
    only what `approve` lets through; at most 40 in all. Whatever goes wrong after the prompt ends in `troubles`.
    To a console that starts again on the nonsense word only words are sent that it names itself.

    Raises NoConsoleError when there is nothing to be learned, and when the port goes before there is.
    """
    pace = pace or Pace()
    talk = _Talk(Speaker(Session(link, recorder, timings), pace))
    try:
        async with asyncio.timeout(pace.talk_s) as patience:
            return await talk.run(approve, patience)
    except TimeoutError:
        talk.troubles.append(f"{link.device}: the conversation took longer than {pace.talk_s:g} s")
    except NoConsoleError:
        raise
    except ConversationError as error:
        talk.troubles.append(str(error))
    recorder.mark(f"end: {talk.troubles[-1]}")
    if not talk.speaker.prompts:
        raise NoConsoleError(talk.troubles[-1])
    return talk.heard()


class _Talk:
    _approved: Approve
    """What may be sent, while nobody's time runs; asked for each list, also for that of a menu that was opened."""

    def __init__(self, speaker: Speaker) -> None:
        self.speaker, self.session = speaker, speaker.session
        self.troubles: list[str] = []
        self.unsure: list[str] = []
        self.nonsense: tuple[Line, ...] = ()
        self.restart: Said | None = None
        """The answer with which the console started again."""
        self.asked: set[str] = set()
        self.answers: dict[str, Answer] = {}
        self.words: dict[str, HelpWord] = {}
        self.left_out: tuple[LeftOut, ...] = ()
        self.numbered = False
        """Whether its words are the entries of a menu."""

    async def run(self, approve: Approve, patience: asyncio.Timeout) -> Heard:
        """The whole of it. Raises ConversationError."""
        self._approved = partial(_approved, approve, patience)
        await listen(self.speaker)
        await wake(self.speaker)
        greeting = self.session.transcript.lines
        await self._ask_nonsense(greeting)
        await self._ask_for_help(greeting)
        room = max(0, MOST_COMMANDS - _SPARE - self.speaker.commands)
        short = [word for word in self.words.values() if len(word.word) <= _SHORT_ENTRY]
        numbered = len(short) >= _MOSTLY * len(self.words)
        self.numbered = numbered
        chosen, self.left_out = choose(short if numbered else self.words.values(), room, menu=numbered)
        for word in await self._approved(chosen, self.left_out):
            await self._read(word)
        self.session.recorder.mark("end: done" if not self.troubles else f"end: {self.troubles[-1]}")
        return self.heard()

    def heard(self) -> Heard:
        """What was heard so far."""
        speaker = self.speaker
        prompt = common_prompt(speaker.prompts) or "{_:words}"
        if prompt == "{_:words}":
            self.unsure.append("the prompt differs from time to time")
        habits = Habits(
            speaker.wake,
            speaker.line_end,
            speaker.echo,
            prompt,
            pager_of(speaker.stops) if speaker.stops else None,
            speaker.pager_key,
            error_of(self.nonsense, NONSENSE),
            speaker.typing_s,
            tuple(self.unsure),
        )
        answers = tuple(self.answers.values())
        words = tuple(self.words.values())
        return Heard(habits, answers, self.session.recorder.capture(), words, self.left_out, tuple(self.troubles))

    async def _ask_nonsense(self, greeting: Sequence[Line]) -> None:
        said = await self.speaker.say(NONSENSE)
        if lost_characters(said):
            # Characters were lost; the line end may have been one of them, and what is left of the word with it.
            self.speaker.typing_s = _TYPING_S
            self.speaker.echo = bool(said.echoed)
            self.unsure.append("it loses characters that are typed fast; it is given 10 ms before each")
            await self.speaker.say("")
            said = await self.speaker.say(NONSENSE)
        self.speaker.echo = said.echoed == NONSENSE
        if has_restarted(said, greeting):
            self.restart = said
            self.troubles.append(
                f"{self.session.link.device}: it seems to start again on a word that it does not know; "
                "only words that it names itself were sent"
            )
        elif len(said.texts) > _LONG:
            self._learn(said.lines)  # it says what it knows instead
        else:
            self.nonsense = said.lines

    async def _ask_for_help(self, greeting: Sequence[Line]) -> None:
        told = self.restart.lines if self.restart else self.nonsense
        menu = menu_entries(greeting)
        for word in menu:
            self.words.setdefault(word.word, word)
        if menu:
            return
        named = [one for one in pointed_at([*greeting, *told]) if not is_nonsense(one.word)]  # what a refusal quotes
        pointed = {one.word: one for one in named if does_no_harm(one)}
        usual = () if self.restart else self._styled("help", told)
        called = () if self.restart else tuple(self._called(told))
        for asked in dict.fromkeys([*usual[:2], *pointed, *called, *usual[2:]]):
            if await self._asks_for_help(asked, pointed):
                return
        for one in pointed.values():
            self.words.setdefault(one.word, replace(one, says="read: the console itself points at it"))
        if not self.words and not any(map(_is_listing, self.answers.values())) and self.nonsense:
            for guess in self._styled("guesses", told):
                self.words.setdefault(guess, HelpWord(guess, "read: the console names no words; this one is usual", 0))

    def _called(self, told: Sequence[Line]) -> Iterator[str]:
        """The plural of what the console calls its words when it refuses one: `no such topic` has `topics`."""
        text = " ".join(line.text for line in told).replace(NONSENSE, "")
        for word in re.findall(r"[^\W\d_]+", text):
            if word.casefold() in words_of("nouns_for_words"):
                yield word + ("S" if word.isupper() else "s")

    def _styled(self, kind: str, told: Sequence[Line]) -> tuple[str, ...]:
        """Words of one kind as this console writes its own: in capitals where it writes nothing else."""
        letters = "".join(char for line in told for char in line.text.replace(NONSENSE, "") if char.isalpha())
        return tuple(map(str.upper, words_of(kind))) if letters.isupper() else words_of(kind)

    async def _asks_for_help(self, asked: str, pointed: dict[str, HelpWord]) -> bool:
        """Ask one word for help; whether the console's words are known now. What it says otherwise is kept."""
        said = await self._say(asked)
        if said is None or is_error(said.lines, asked, self.nonsense) or not said.texts:
            return False
        answer = Answer(asked, said.lines, said.whole)
        before = len(self.words)
        menu = len(menu_entries(said.lines)) >= max(_LONG, _MENU * len(said.texts))
        if (menu or not _is_listing(answer)) and (not self.restart or asked in words_of("help")):
            self._learn(said.lines)
        if len(self.words) > before + 1:
            return True
        self.answers.setdefault(asked, answer)
        return False

    def _learn(self, lines: Sequence[Line]) -> None:
        for word in menu_entries(lines) or help_words(lines):
            if not is_nonsense(word.word):
                self.words.setdefault(word.word, word)

    async def _say(self, word: str) -> Said | None:
        """Say a word once, and once more where it arrived garbled. None when it was said before, or never arrived.

        Raises ConversationError when the console has started again: no more is said then.
        """
        if word in self.asked:
            return None
        self.asked.add(word)
        said = await self._say_now(word)
        if self._is_garbled(said, word) and self.speaker.commands < MOST_COMMANDS - _SPARE:
            self.speaker.typing_s = max(_TYPING_S, 2 * self.speaker.typing_s)  # given time, a console loses less
            said = await self._say_now(word)
        if is_misheard(said.lines, word, self.nonsense):
            self.troubles.append(f"{self.session.link.device}: {word!r} did not arrive as it was typed")
            return None
        return said

    async def _say_now(self, word: str) -> Said:
        said = await self.speaker.say(word)
        if self.restart is not None and restarts_again(said, self.restart):
            raise DeadlineError(f"{self.session.link.device}: it started again on {word!r}; nothing more was sent")
        return said

    def _is_garbled(self, said: Said, word: str) -> bool:
        """Whether a word arrived with characters lost, by its echo or by what is refused."""
        if self.speaker.echo and word.isascii() and said.echoed != word:
            return True
        return is_misheard(said.lines, word, self.nonsense)

    async def _read(self, word: HelpWord, way: tuple[str, ...] = (), ways_out: tuple[str, ...] = ()) -> None:
        """Ask one word, read the menu that it may have opened, and leave that again.

        `way` are the entries that lead here, `ways_out` those that lead back from here, innermost first.
        """
        full = self.speaker.commands >= MOST_COMMANDS - _SPARE - len(way)
        if full or word.word in self.answers or word.word.casefold() in words_of("help"):
            return
        home = self.session.transcript.tail
        said = await self._say(word.word)
        if said is None or is_error(said.lines, word.word, self.nonsense):
            return
        about = word.says if len(word.word) <= _SHORT_ENTRY else ""
        answer = Answer(word.word, said.lines, said.whole, about=about, way=way, ways_out=ways_out)
        self.answers.setdefault(word.word, answer)
        moved = prompt_of([said.tail, home]) is None
        back = way_back(said.lines, listed=moved) or (way_back_in(said.tail) if moved else "")
        if back and len(way) < _DEEPEST:
            await self._read_menu(said, (*way, word.word), (back, *ways_out))
        if back or moved:
            await self._go_back(back, home)
            self.answers[word.word] = replace(self.answers[word.word], back=back)

    async def _read_menu(self, said: Said, way: tuple[str, ...], ways_out: tuple[str, ...]) -> None:
        """Read what the menu that was opened offers. An entry that is typed like one of another menu is left alone."""
        entries = [entry for entry in offered(said.lines) if entry.word not in self.words]
        chosen, left_out = choose(entries, MOST_COMMANDS, menu=self.numbered, pages_least=1)
        self.left_out += left_out
        for entry in await self._approved(chosen, left_out) if chosen else ():
            self.words.setdefault(entry.word, entry)
            await self._read(entry, way, ways_out)

    async def _go_back(self, back: str, home: str) -> None:
        """Leave a menu by the way that it names, or by an empty line.

        Raises DeadlineError when that leads elsewhere.
        """
        await self.speaker.say(back)
        if prompt_of([self.session.transcript.tail, home]) is None:
            raise DeadlineError(f"{self.session.link.device}: no way back was found to {home!r}")


def _is_listing(answer: Answer) -> bool:
    """Whether an answer states facts; one of thousands of lines is not looked through while the port waits."""
    return len(answer.lines) <= _LONGEST_LISTING and states_facts(answer)


def lost_characters(said: Said) -> bool:
    """Whether only a part of the nonsense word arrived: in the echo, or in what the console says of it."""
    if said.echoed == NONSENSE or any(NONSENSE in text.casefold() for text in said.texts):
        return False
    if NONSENSE.startswith(said.echoed) and (said.echoed or not said.lines):
        return True
    starts = {NONSENSE[:length] for length in range(1, len(NONSENSE))}
    return any(starts & {*re.findall(r"\w+", text.casefold())} for text in said.texts)


async def _approved(
    approve: Approve, patience: asyncio.Timeout, chosen: Sequence[HelpWord], left_out: Sequence[LeftOut]
) -> Sequence[HelpWord]:
    """What may be sent of what was chosen. A person's time is not that of the conversation."""
    loop = asyncio.get_running_loop()
    until, asked = patience.when(), loop.time()
    patience.reschedule(None)
    allowed = await approve(chosen, left_out)
    if until is not None:
        patience.reschedule(until + loop.time() - asked)
    return [word for word in allowed if word in chosen]

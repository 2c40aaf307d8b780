"""`--notes` and `--ask`: where a command's hand notes come from, and where they are kept."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from propsoff.cli.common import complain
from propsoff.exceptions import NotesError, SettingsError
from propsoff.notes.load import SUFFIX, beside
from propsoff.notes.model import Hand, HandNotes

if TYPE_CHECKING:
    from propsoff.console.capture import Capture
    from propsoff.library import Toolbox


@dataclass(frozen=True)
class Said:
    """What a person said of one craft. `unwritten`: it could not be kept; `stopped`: Ctrl-C ended the questions."""

    hand: Hand | None = None
    unwritten: bool = False
    stopped: bool = False


@dataclass(frozen=True)
class HandSource:
    """Where answers come from: a file that the operator names, the file beside a capture, and a person, if `ask`."""

    tools: Toolbox
    named: HandNotes | None = None
    ask: bool = False

    @classmethod
    def of(cls, tools: Toolbox, notes: Path | None, captures: Sequence[Path], *, ask: bool) -> HandSource:
        """For the options of a command line. Raises NotesError for files that cannot be used.

        Raises SettingsError when a person cannot be asked, or would have to write over answers that were not read.
        """
        if ask and not sys.stdin.isatty():
            hint = "give the answers in a file: --notes FILE.toml"
            raise SettingsError("standard input is no terminal, so nobody can be asked", source="--ask", hint=hint)
        named = None if notes is None else tools.notes_of(notes)
        for capture in captures if ask else ():
            there = tools.notes_beside(capture)
            if isinstance(there, NotesError):
                raise there
            if there is not None and named is not None:
                problem = f"{beside(capture)} has answers already, and would be written over"
                hint = "leave --notes out to go on from them, or --ask"
                raise SettingsError(problem, source="--ask", hint=hint)
        return cls(tools, named, ask)

    def without_asking(self) -> HandSource:
        """The same, once the person has had enough."""
        return replace(self, ask=False)

    def about_file(self, path: Path, capture: Capture) -> Said:
        """What is said of the craft of a saved capture. New answers are written beside it."""
        there = None if self.named is not None else self.tools.notes_beside(path)
        hand = self.named or there
        return self._asked(capture, hand, beside(path), kept=there) if self.ask else Said(hand)

    def about_port(self, capture: Capture, stem: str) -> Said:
        """What is said of a craft that was just read. The answers are written where its capture is kept as `stem`."""
        if self.named is None and not self.ask:
            return Said()
        return self._asked(capture, self.named, self.tools.settings.output.folder / f"{stem}{SUFFIX}", kept=None)

    def _asked(self, capture: Capture, hand: Hand | None, path: Path, *, kept: Hand | None) -> Said:
        """All answers, asked for if `ask`; those that are not what is `kept` are written."""
        from propsoff.cli.asking import ask_person

        meant = self.tools.meant(capture)
        if meant is None or isinstance(hand, NotesError):
            return Said(hand)
        if hand is not None and hand.of_another(meant.craft):
            if self.ask:
                complain(f"{hand.source or 'the hand notes'}: of another craft, so nothing is asked")
            return Said(hand)
        notes, stopped = ask_person(meant, hand) if self.ask else (hand, False)
        if notes is None or notes == kept:
            return Said(notes, stopped=stopped)
        return Said(notes, unwritten=not self._written(path, notes), stopped=stopped)

    def _written(self, path: Path, notes: HandNotes) -> bool:
        from propsoff.notes.save import save_notes

        try:
            save_notes(path, notes, sync=self.tools.settings.output.sync)
        except OSError as error:
            complain(f"{path}: the answers could not be written: {error.strerror or error}")
            return False
        return True

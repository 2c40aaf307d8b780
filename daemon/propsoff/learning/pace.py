"""The waits of a conversation with an unknown console, and its end when there is nothing to be learned."""

from __future__ import annotations

from dataclasses import dataclass

from propsoff.exceptions import ConversationError


@dataclass(frozen=True, slots=True)
class Pace:
    """Waits of the learner in seconds: how long a silence ends a reply with a prompt, one without, and the longest.

    `talk_s` bounds the whole conversation, without the time that a person takes to approve.
    """

    listen_s: float = 1.5
    """More than a second: what speaks once a second by itself is heard before anything is sent."""
    prompt_s: float = 0.08
    silence_s: float = 0.6
    answer_s: float = 10.0
    regain_s: float = 5.0
    talk_s: float = 180.0


class NoConsoleError(ConversationError):
    """What is on the port cannot be learned; the text says why."""

"""Consoles for the examination of the learner only: who tunes it does not read them. They share no code with it."""

from __future__ import annotations

from tests_support.other_consoles.console import Console
from tests_support.unseen_consoles.draycot import Draycot
from tests_support.unseen_consoles.merrowby import Merrowby
from tests_support.unseen_consoles.orrin import Orrin
from tests_support.unseen_consoles.sarcelle import Sarcelle
from tests_support.unseen_consoles.wexcombe import Wexcombe

UNSEEN: tuple[type[Console], ...] = (Draycot, Sarcelle, Merrowby, Orrin, Wexcombe)

"""Consoles for the last trial of the learner: who tunes it reads their marks only. They share no code with it."""

from __future__ import annotations

from tests_support.closing_consoles.fennimoor import Fennimoor
from tests_support.closing_consoles.ousterby import Ousterby
from tests_support.closing_consoles.skelding import Skelding
from tests_support.closing_consoles.tarrowby import Tarrowby
from tests_support.other_consoles.stating import StatingConsole

CLOSING: tuple[type[StatingConsole], ...] = (Tarrowby, Skelding, Ousterby, Fennimoor)

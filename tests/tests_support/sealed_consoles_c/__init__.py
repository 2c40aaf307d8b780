"""Consoles that stay sealed until the learner is judged, third set: whoever tunes it does not read them."""

from __future__ import annotations

from tests_support.other_consoles.stating import StatingConsole
from tests_support.sealed_consoles_c.drosselau import Drosselau
from tests_support.sealed_consoles_c.ockerfen import Ockerfen
from tests_support.sealed_consoles_c.pibworth import Pibworth
from tests_support.sealed_consoles_c.skelmarsh import Skelmarsh

SEALED_C: tuple[type[StatingConsole], ...] = (Skelmarsh, Ockerfen, Drosselau, Pibworth)

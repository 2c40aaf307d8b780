"""Consoles that stay sealed until the learner is judged, second set: who tunes it sees their marks only."""

from __future__ import annotations

from tests_support.other_consoles.stating import StatingConsole
from tests_support.sealed_consoles_b.ferrimoor import Ferrimoor
from tests_support.sealed_consoles_b.osmerdyke import Osmerdyke
from tests_support.sealed_consoles_b.tyndray import Tyndray
from tests_support.sealed_consoles_b.wendlecote import Wendlecote

SEALED_B: tuple[type[StatingConsole], ...] = (Wendlecote, Ferrimoor, Osmerdyke, Tyndray)

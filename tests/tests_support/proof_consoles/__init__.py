"""Consoles on which the learner is proved: whoever tunes it does not read them. They share no code with it."""

from __future__ import annotations

from tests_support.other_consoles.stating import StatingConsole
from tests_support.proof_consoles.calverstone import Calverstone
from tests_support.proof_consoles.eskmoor import Eskmoor
from tests_support.proof_consoles.harrowick import Harrowick
from tests_support.proof_consoles.lunderwick import Lunderwick

PROOF: tuple[type[StatingConsole], ...] = (Harrowick, Calverstone, Eskmoor, Lunderwick)

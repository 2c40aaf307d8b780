"""Consoles of a second examination of the learner: who tunes it does not read them. They share no code with it."""

from __future__ import annotations

from tests_support.exam_consoles.corbezzolo import Corbezzolo
from tests_support.exam_consoles.halvorn import Halvorn
from tests_support.exam_consoles.oxlip import Oxlip
from tests_support.exam_consoles.thistlepin import Thistlepin
from tests_support.other_consoles.console import Console

EXAM: tuple[type[Console], ...] = (Halvorn, Thistlepin, Oxlip, Corbezzolo)

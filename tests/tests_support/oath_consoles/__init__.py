"""Four invented consoles in common layouts, by which the learner is judged. No reader was looked at for them."""

from __future__ import annotations

from tests_support.oath_consoles.dorrick import Dorrick
from tests_support.oath_consoles.pembray import Pembray
from tests_support.oath_consoles.quillan import Quillan
from tests_support.oath_consoles.tessock import Tessock

OATH = (Tessock, Quillan, Dorrick, Pembray)

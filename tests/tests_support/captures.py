"""Where the recorded captures are."""

from __future__ import annotations

from pathlib import Path

CAPTURES = Path(__file__).parents[2] / "fixtures" / "captures"
SOUND = CAPTURES / "ossel-hd53-sound.cast"

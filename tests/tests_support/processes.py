"""The type of the fixture that runs the command line."""

from __future__ import annotations

import subprocess
from collections.abc import Callable

Run = Callable[..., subprocess.CompletedProcess[str]]

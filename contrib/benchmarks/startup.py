"""How long the command line takes to start. Target: `propsoff --help` in 300 ms."""

from __future__ import annotations

import subprocess
import sys
import time

from stand import median_ms

ROUNDS = 20


def main() -> None:
    """Print the figures, beside those of an interpreter that does nothing."""
    for words in (["-c", "pass"], ["-m", "propsoff", "--help"], ["-m", "propsoff", "checks"]):
        times = []
        for _ in range(ROUNDS):
            began = time.perf_counter()
            subprocess.run([sys.executable, *words], stdout=subprocess.DEVNULL, check=True)
            times.append(time.perf_counter() - began)
        print(f"python {' '.join(words)}: {median_ms(times)}")


if __name__ == "__main__":
    main()

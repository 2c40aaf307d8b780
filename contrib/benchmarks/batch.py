"""Batch inspection: captures a second, linear or not, and memory. Target: 100 captures of 30 kB a second.

The captures are recorded from simulated boards whose overlay has so many elements that the listing fills 30 kB: every
line is one that the reader has to understand.
"""

from __future__ import annotations

import resource
import shutil
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

from stand import recorded, scratch_folder

from propsoff_sim.board import BoardState, Element
from propsoff_sim.catalogue import sound_board

BOARDS = ("ossel-hd53", "brindle-hd53", "corvane-hd53")
SIZE = 30_000
COUNTS = (300, 600, 1200)


def long_board(name: str) -> BoardState:
    """A board whose recorded conversation is about 30 kB."""
    board = sound_board(name)
    per_element = {"ossel": 54, "brindle": 42, "corvane": 195}[name.partition("-")[0]]
    count = (SIZE - len(recorded(board).to_bytes())) // per_element
    more = tuple(Element(f"extra-{number:03}", number % 40, number % 18, 6, False) for number in range(count))
    return replace(board, overlay=replace(board.overlay, elements=(*board.overlay.elements, *more)))


def run(folder: Path, out: Path, jobs: int) -> tuple[float, float]:
    """(seconds, MB of the largest process so far) of one batch."""
    began = time.perf_counter()
    command = [sys.executable, "-m", "propsoff", "batch", str(folder), "--out", str(out), "--jobs", str(jobs)]
    subprocess.run(command, stdout=subprocess.DEVNULL, check=False)
    return time.perf_counter() - began, resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1000


def main() -> None:
    """Print the figures."""
    texts = {name: recorded(long_board(name)).to_bytes() for name in BOARDS}
    print("sizes:", ", ".join(f"{name} {len(text) / 1000:.1f} kB" for name, text in texts.items()))
    for names in (*([name] for name in BOARDS), list(BOARDS)):
        for count in COUNTS if len(names) > 1 else COUNTS[:1]:
            with scratch_folder() as scratch:
                folder = scratch / "captures"
                folder.mkdir()
                for number in range(count):
                    (folder / f"{number:05}.cast").write_bytes(texts[names[number % len(names)]])
                for jobs in (1, 2):
                    took, memory = run(folder, scratch / "out", jobs)
                    speed = f"{count / took:.0f} a second, at most {memory:.0f} MB a process"
                    print(f"{' + '.join(names)}: {count} captures, {jobs} processes: {speed}")
                    shutil.rmtree(scratch / "out")


if __name__ == "__main__":
    main()

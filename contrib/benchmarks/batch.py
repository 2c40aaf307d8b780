"""Batch inspection: captures a second, whether time is linear in files, and memory. Target: 100 captures of 30 kB a second."""

from __future__ import annotations

import json
import resource
import shutil
import subprocess
import sys
import time
from pathlib import Path

from stand import scratch_folder

CAPTURES = Path(__file__).parent.parent.parent / "fixtures" / "captures"
SIZE = 30_000
COUNTS = (500, 1000, 2000)


def padded(capture: Path) -> str:
    """A capture brought to 30 kB by repeating its whole listing as further output events that the reader must go through."""
    lines = capture.read_text().splitlines()
    listing = [line for line in lines[1:] if json.loads(line)[1] == "o"]
    body = lines[1:]
    # Chatter before the conversation: the same lines, out of any reply, so that every one is rendered and looked at.
    while sum(len(line) + 1 for line in lines) < SIZE:
        extra = [json.dumps([0.0, "o", json.loads(line)[2]]) for line in listing]
        lines = [lines[0], *extra, *lines[1:]]
        if len(extra) == 0:
            break
    assert body
    return "\n".join(lines) + "\n"


def run(folder: Path, out: Path, jobs: int) -> tuple[float, float]:
    """(seconds, MB of the largest process) of one batch."""
    began = time.perf_counter()
    command = [sys.executable, "-m", "propsoff", "batch", str(folder), "--out", str(out), "--jobs", str(jobs)]
    subprocess.run(command, stdout=subprocess.DEVNULL, check=False)
    return time.perf_counter() - began, resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1000


def main() -> None:
    """Print the figures."""
    sources = sorted(CAPTURES.glob("*.cast"))
    texts = [padded(source) for source in sources]
    sizes = [len(text) for text in texts]
    print(f"{len(sources)} captures brought to {min(sizes) // 1000}..{max(sizes) // 1000} kB")
    with scratch_folder() as scratch:
        for count in COUNTS:
            folder = scratch / str(count)
            folder.mkdir()
            for number in range(count):
                (folder / f"{number:05}.cast").write_text(texts[number % len(texts)])
            for jobs in (1, 2):
                took, memory = run(folder, scratch / "out", jobs)
                print(
                    f"{count} captures, {jobs} processes: {count / took:.0f} a second, at most {memory:.0f} MB a process"
                )
                shutil.rmtree(scratch / "out")


if __name__ == "__main__":
    main()

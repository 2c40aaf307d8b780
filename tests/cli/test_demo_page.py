"""`propsoff demo --page`: the box of siblings on the page, by itself."""

from __future__ import annotations

import signal
import subprocess
import sys

import httpx

from propsoff import BenchClient

BOX = {"left": ("Teal Wren A", "pass"), "middle": ("Teal Wren D50", "warn"), "right": ("Teal Wren D53", "warn")}


def test_the_box_of_siblings_stands_side_by_side_on_the_page_and_ctrl_c_ends_it(home: dict[str, str]) -> None:
    words = [sys.executable, "-m", "propsoff", "demo", "--page"]
    with subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=home) as demo:
        try:
            assert demo.stdout is not None
            line = next(line for line in demo.stdout if line.startswith("The page: "))
            url = line.removeprefix("The page: ").strip()
            page = httpx.get(url)
            assert (page.status_code, page.headers["content-type"].partition(";")[0]) == (200, "text/html")
            with BenchClient(url) as bench:
                seen: dict[str, tuple[str | None, str]] = {}
                for happening in bench.events():
                    for now in getattr(happening, "places", [happening]):
                        if getattr(now, "state", "") == "report":
                            seen[now.name] = (now.past[-1].craft, now.past[-1].verdict)
                    if len(seen) == len(BOX):
                        break
                assert seen == BOX
                assert [now.name for now in bench.places()] == list(BOX)
            demo.send_signal(signal.SIGINT)
            told, complaints = demo.communicate(timeout=30)
            assert (demo.returncode, complaints) == (0, "")
            assert "boards were seen" in told
        finally:
            demo.kill()

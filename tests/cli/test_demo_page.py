"""`propsoff demo --page`: the box of siblings on the page, by itself."""

from __future__ import annotations

import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager

import httpx

from propsoff import BenchClient

BOX = {"left": ("Teal Wren A", "pass"), "middle": ("Teal Wren D50", "warn"), "right": ("Teal Wren D53", "warn")}


USUAL = 8423
ASKED = {"propellers-off", "antenna", "remark"}


@contextmanager
def a_demo(home: dict[str, str], *options: str) -> Iterator[tuple[subprocess.Popen[str], str, list[str]]]:
    """The demonstration with its page: its process, where the page is, and what was printed before that."""
    words = [sys.executable, "-m", "propsoff", *options, "demo", "--page"]
    with subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=home) as demo:
        try:
            assert demo.stdout is not None
            said: list[str] = []
            for line in demo.stdout:
                if line.startswith("The page: "):
                    break
                said.append(line)
            yield demo, line.removeprefix("The page: ").strip(), said
        finally:
            demo.kill()


def end(demo: subprocess.Popen[str]) -> str:
    """End it as a person does; what it printed since."""
    demo.send_signal(signal.SIGINT)
    told, complaints = demo.communicate(timeout=30)
    assert (demo.returncode, complaints) == (0, "")
    return told


def a_free_port() -> int:
    """A TCP port that nobody listens on."""
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


@contextmanager
def a_taken_port(wanted: int = 0) -> Iterator[int]:
    """A TCP port that somebody listens on."""
    with socket.socket() as one:
        one.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        one.bind(("127.0.0.1", wanted))
        one.listen()
        yield int(one.getsockname()[1])


def test_the_box_of_siblings_stands_side_by_side_on_the_page_then_what_waits_for_a_person(
    home: dict[str, str],
) -> None:
    with a_demo(home, "--set", f"page.port={a_free_port()}") as (demo, url, _):
        page = httpx.get(url)
        assert (page.status_code, page.headers["content-type"].partition(";")[0]) == (200, "text/html")
        with BenchClient(url) as bench:
            seen: dict[str, tuple[str | None, str]] = {}
            waits: dict[str, object] = {}
            for happening in bench.events():
                for now in getattr(happening, "places", [happening]):
                    if getattr(now, "state", "") == "report" and len(seen) < len(BOX):
                        seen[now.name] = (now.past[-1].craft, now.past[-1].verdict)
                        if len(seen) == len(BOX):
                            assert [each.name for each in bench.places()] == [*BOX, "asking"]
                    if getattr(now, "ask", None):
                        waits["questions"] = now
                    if any(port.shut and port.scopes for port in getattr(now, "plugged", ())):
                        waits["port"] = now
                if len(waits) == 2:
                    break
            assert seen == BOX
            assert {question.id for ask in bench.asks() for question in ask.questions} == ASKED
        assert "boards were seen" in end(demo)


def test_the_page_is_served_where_the_settings_say(home: dict[str, str]) -> None:
    port = a_free_port()
    with a_demo(home, "--set", f"page.port={port}") as (demo, url, said):
        assert url == f"http://127.0.0.1:{port}"
        assert not any("taken" in line for line in said)
        end(demo)


def test_a_port_that_was_chosen_and_is_taken_is_an_error_that_says_so(home: dict[str, str]) -> None:
    with a_taken_port() as port:
        words = [sys.executable, "-m", "propsoff", "--set", f"page.port={port}", "demo", "--page", "--once"]
        done = subprocess.run(words, capture_output=True, text=True, timeout=50, check=False, env=home)
    assert done.returncode != 0
    for told in (f"port {port} is taken by another process", "page.port", "command line"):
        assert told in done.stderr
    assert "Traceback" not in done.stderr


def test_another_port_than_its_own_is_taken_with_the_reason(home: dict[str, str]) -> None:
    try:
        with a_taken_port(USUAL):
            told_why(home)
    except OSError:  # somebody else has it, which is as good
        told_why(home)


def told_why(home: dict[str, str]) -> None:
    """Run the demonstration where its own port is taken."""
    with a_demo(home) as (demo, url, said):
        assert not url.endswith(f":{USUAL}")
        assert any(f"The page's own port {USUAL} is taken by another process" in line for line in said), said
        end(demo)

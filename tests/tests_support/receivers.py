"""A receiver of web calls on loopback that answers as a test tells it to."""

from __future__ import annotations

import contextlib
import socket
import ssl
import struct
import threading
from collections import deque
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer


@dataclass(frozen=True)
class Came:
    """A request as it came."""

    path: str
    headers: dict[str, str]
    body: bytes


Answer = Callable[["Handler"], None]


class Handler(BaseHTTPRequestHandler):
    """One connection."""

    server: Receiver
    protocol_version = "HTTP/1.1"
    timeout = 20

    def do_POST(self) -> None:
        """Take the request down, then answer as told."""
        body = self.rfile.read(int(self.headers.get("content-length", "0")))
        self.server.came.append(Came(self.path, {k.lower(): v for k, v in self.headers.items()}, body))
        answers = self.server.answers
        answer = answers.popleft() if len(answers) > 1 else answers[0]
        self.close_connection = True
        with contextlib.suppress(BrokenPipeError, ConnectionResetError, ssl.SSLError):  # the caller had heard enough
            answer(self)

    def do_GET(self) -> None:
        """As one who followed a redirect would ask."""
        self.do_POST()

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002  the name of the method that it replaces
        """Say nothing."""


class Receiver(ThreadingHTTPServer):
    """Keeps what came; `answers` are used up one a request, the last one for ever."""

    daemon_threads = True
    block_on_close = False

    def __init__(self, *answers: Answer) -> None:
        super().__init__(("127.0.0.1", 0), Handler)
        self.answers = deque(answers or (status(204),))
        self.came: list[Came] = []
        self.ending = threading.Event()

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.server_address[1]}/reports"

    def handle_error(self, request: object, client_address: object) -> None:
        """A connection that ended early is no fault of the test."""


@contextmanager
def receiver(*answers: Answer, tls: ssl.SSLContext | None = None) -> Iterator[Receiver]:
    """A receiver that serves until the end of the block."""
    server = Receiver(*answers)
    if tls is not None:
        server.socket = tls.wrap_socket(server.socket, server_side=True, do_handshake_on_connect=False)
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True)
    thread.start()
    try:
        yield server
    finally:
        server.ending.set()
        server.shutdown()
        server.server_close()
        thread.join(10)


def status(code: int, body: bytes = b"", **headers: str) -> Answer:
    """An ordinary answer."""

    def answer(handler: Handler) -> None:
        handler.send_response(code)
        for name, value in headers.items():
            handler.send_header(name.replace("_", "-"), value)
        handler.send_header("Content-Length", str(len(body)))
        handler.end_headers()
        handler.wfile.write(body)

    return answer


def raw(data: bytes) -> Answer:
    """These bytes and nothing else."""

    def answer(handler: Handler) -> None:
        handler.wfile.write(data)

    return answer


def hangs(handler: Handler) -> None:
    """No answer until the test is over."""
    handler.server.ending.wait(30)


def endless(head: bytes) -> Answer:
    """A beginning, then bytes without an end."""

    def answer(handler: Handler) -> None:
        handler.wfile.write(head)
        while not handler.server.ending.is_set():
            handler.wfile.write(b"x" * 65536)

    return answer


def trickles(head: bytes) -> Answer:
    """A beginning, then a byte now and then, for ever: every single read succeeds."""

    def answer(handler: Handler) -> None:
        handler.wfile.write(head)
        while not handler.server.ending.wait(0.02):
            handler.wfile.write(b"x")

    return answer


def resets(handler: Handler) -> None:
    """The connection is reset."""
    handler.connection.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
    handler.connection.close()

"""Takes signed reports from benches and keeps each as a file, once: the other end of a web call, to build on."""

from __future__ import annotations

import argparse
import base64
import hashlib
import hmac
import json
import re
import threading
import time
from collections.abc import Mapping
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

MOST_BYTES = 10_000_000
TOLERANCE_S = 300
ID = re.compile(r"[A-Za-z0-9-]{1,80}")


def genuine(headers: Mapping[str, str], body: bytes, keys: list[bytes]) -> bool:
    """Whether a call came from somebody who has one of the keys, and not long ago (Standard Webhooks 1.0.0)."""
    try:
        sent_s = int(headers["webhook-timestamp"])
        content = f"{headers['webhook-id']}.{sent_s}.".encode() + body
        given = headers["webhook-signature"].encode().split(b" ")
    except (KeyError, ValueError):
        return False
    if abs(time.time() - sent_s) > TOLERANCE_S:
        return False
    wanted = [b"v1," + base64.b64encode(hmac.digest(key, content, hashlib.sha256)) for key in keys]
    # compare_digest takes as long for a nearly right signature as for a wrong one; == does not.
    return any(hmac.compare_digest(one, each) for one in wanted for each in given)


class Receiver(ThreadingHTTPServer):
    """Keeps reports in `folder`."""

    def __init__(self, port: int, folder: Path, keys: list[bytes]) -> None:
        super().__init__(("127.0.0.1", port), Handler)
        self.folder, self.keys = folder, keys


class Handler(BaseHTTPRequestHandler):
    """One call."""

    server: Receiver
    timeout = 30

    def do_POST(self) -> None:
        """Check it, keep it, answer."""
        length = self.headers.get("content-length", "")
        if not length.isdecimal() or int(length) > MOST_BYTES:
            return self._answer(413)
        body = self.rfile.read(int(length))
        if not genuine({name.lower(): value for name, value in self.headers.items()}, body, self.server.keys):
            return self._answer(401)
        try:
            name = str(json.loads(body)["id"])
        except (ValueError, KeyError, TypeError):
            return self._answer(422)
        if not ID.fullmatch(name):
            return self._answer(422)
        target = self.server.folder / f"{name}.json"
        if not target.exists():  # the same report may come twice: its id tells
            part = target.with_suffix(f".{threading.get_ident()}.part")  # its repetition may come meanwhile
            part.write_bytes(body)
            part.replace(target)
        return self._answer(204)

    def _answer(self, status: int) -> None:
        self.send_response(status)
        self.send_header("content-length", "0")
        self.end_headers()


def main() -> None:
    """Receive until interrupted."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--key", type=Path, required=True, help="the file that the bench's secret_file names")
    options.add_argument("--folder", type=Path, required=True, help="where reports are kept")
    options.add_argument("--port", type=int, default=8099)
    given = options.parse_args()
    given.folder.mkdir(parents=True, exist_ok=True)
    lines = [line.strip() for line in given.key.read_text().splitlines() if line.strip()]
    Receiver(
        given.port, given.folder, [base64.b64decode(line.removeprefix("whsec_")) for line in lines]
    ).serve_forever()


if __name__ == "__main__":
    main()

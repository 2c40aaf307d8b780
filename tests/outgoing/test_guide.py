"""What the guide says is so: its settings, its check of a signature, its names; and the receiver to begin with."""

from __future__ import annotations

import asyncio
import base64
import io
import json
import re
import socket
import subprocess
import sys
import time
import tomllib
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
import structlog
from pydantic import BaseModel

from propsoff.logs import configure_logs
from propsoff.outgoing.call import WebCall
from propsoff.outgoing.command import MOST_OUTPUT, NOT_THIS_ONE, command_environment
from propsoff.outgoing.lane import Later, Never, Outcome, Sent
from propsoff.outgoing.section import COMMAND_VARIABLES, CallTable, CommandTable, MqttTable, OutgoingSection
from propsoff.outgoing.signing import keys_in, signed_headers
from tests_support.outgoing import KEY, an_entry, secret_file, until

CONTRIB = Path(__file__).parents[2] / "contrib"
GUIDE = (CONTRIB / "guide" / "outgoing.md").read_text(encoding="utf-8")
FLAT = " ".join(GUIDE.split())


def samples(kind: str) -> list[str]:
    return re.findall(rf"^```{kind}\n(.*?)^```", GUIDE, re.MULTILINE | re.DOTALL)


def test_the_sample_settings_are_taken() -> None:
    [text] = samples("toml")
    section = OutgoingSection.model_validate(tomllib.loads(text)["outgoing"])
    assert [each.name for each in section.commands] == ["label"]
    assert [each.name for each in section.calls] == ["stock-list"]
    assert section.mqtt is not None
    assert section.mqtt.tls


@pytest.fixture(scope="module")
def genuine() -> Callable[..., bool]:
    """The guide's own check of a signature."""
    [code] = samples("python")
    names: dict[str, Any] = {}
    exec(code, names)
    found: Callable[..., bool] = names["genuine"]
    return found


def test_the_sample_check_takes_what_is_genuine_and_nothing_else(genuine: Callable[..., bool]) -> None:
    secret, body = "whsec_" + base64.b64encode(KEY).decode(), '{"craft":"Zügel"}'.encode()
    now = int(time.time())
    headers = signed_headers("id-1", now, body, [KEY])
    both = signed_headers("id-1", now, body, [bytes(32), KEY])
    assert genuine(headers, body, secret)
    assert genuine(both, body, secret)
    wrong: list[tuple[Mapping[str, str], bytes]] = [
        (headers, body + b" "),
        ({**headers, "webhook-id": "id-2"}, body),
        ({**headers, "webhook-timestamp": str(now + 1)}, body),
        ({**headers, "webhook-timestamp": "soon"}, body),
        ({**headers, "webhook-signature": "v1,AAAA"}, body),
        ({**headers, "webhook-signature": headers["webhook-signature"].replace("v1,", "v2,")}, body),
        ({**headers, "webhook-signature": "é"}, body),
        ({**headers, "webhook-signature": ""}, body),
        ({}, body),
        (signed_headers("id-1", now - 301, body, [KEY]), body),
        (signed_headers("id-1", now + 302, body, [KEY]), body),
        (signed_headers("id-1", now, body, [bytes(32)]), body),
    ]
    for given, content in wrong:
        assert not genuine(given, content, secret), given


def test_the_sample_line_makes_a_key(tmp_path: Path) -> None:
    [line] = [text for text in samples("sh") if "whsec_" in text]
    subprocess.run(["sh", "-ec", line], cwd=tmp_path, check=True, timeout=20)
    file = tmp_path / "stock-list.key"
    [key] = keys_in(file)
    assert len(key) == 32
    assert file.stat().st_mode & 0o777 == 0o600


def test_every_setting_and_its_value_stands_there() -> None:
    tables: tuple[type[BaseModel], ...] = (OutgoingSection, CommandTable, CallTable, MqttTable)
    for table in tables:
        for name, field in table.model_fields.items():
            if name in ("commands", "calls", "mqtt", "url"):
                continue
            given = field.default
            plain = not field.is_required() and given not in (None, ())
            value = f'"{given}"' if isinstance(given, str) else str(given).lower() if isinstance(given, bool) else given
            wanted = f"`{name} = {value}`" if plain else f"`{name}`"
            assert wanted in FLAT or (not plain and f"{name} = " in FLAT), wanted


def test_every_variable_of_a_command_stands_there(tmp_path: Path) -> None:
    (tmp_path / "a.cast").write_text("")
    environment = command_environment(an_entry(tmp_path), tmp_path / "a.json")
    ours = {name for name in environment if name.startswith("PROPSOFF_")}
    assert ours == set(COMMAND_VARIABLES) == set(re.findall(r"^\| `(PROPSOFF_\w+)` \|", GUIDE, re.MULTILINE))
    assert f"{NOT_THIS_ONE} (`EX_DATAERR`" in FLAT


def test_how_much_of_what_a_command_prints_is_looked_at_and_logged_stands_there() -> None:
    log = io.StringIO()
    before = structlog.get_config()
    try:
        configure_logs("json", "info", log)
        structlog.get_logger().info("a command ended", output="#" * MOST_OUTPUT)
    finally:
        structlog.configure(**before)
    logged = json.loads(log.getvalue())["output"].count("#")
    assert f"the first {MOST_OUTPUT // 1024} KiB are looked at" in FLAT
    assert f"{logged} characters of them go to the log" in FLAT


def test_lines_are_short() -> None:
    for file in (*CONTRIB.glob("outgoing/*"), *CONTRIB.glob("many-benches/broker/*.*"), CONTRIB / "guide/outgoing.md"):
        if file.is_file():
            assert max(map(len, file.read_text().splitlines())) <= 140, file


@contextmanager
def receiving(tmp_path: Path) -> Iterator[str]:
    """The receiver to begin with; its address."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    words = ["--key", str(secret_file(tmp_path)), "--folder", str(tmp_path / "received"), "--port", str(port)]
    process = subprocess.Popen([sys.executable, CONTRIB / "outgoing" / "receive.py", *words], stderr=subprocess.DEVNULL)
    try:
        yield f"http://127.0.0.1:{port}/"
    finally:
        process.kill()
        process.wait(20)


def listens(url: str) -> bool:
    try:
        socket.create_connection(("127.0.0.1", int(url.rpartition(":")[2].strip("/"))), 1).close()
    except OSError:
        return False
    return True


async def test_the_receiver_to_begin_with_keeps_each_report_once_and_refuses_others(tmp_path: Path) -> None:
    with receiving(tmp_path) as url:
        await until(lambda: listens(url))
        entry = an_entry(tmp_path)

        async def posted(key: bytes, body: bytes = entry.body, clock: Callable[[], float] = time.time) -> Outcome:
            folder = tmp_path / "keys"
            folder.mkdir(exist_ok=True)
            table = CallTable(name="x", url=url, secret_file=secret_file(folder, key))
            changed = type(entry)(entry.path, entry.head, body)
            return await asyncio.wait_for(WebCall(table, clock=clock).attempt(changed), 20)

        assert await posted(KEY) == Sent()
        assert await posted(KEY) == Sent()
        [kept] = (tmp_path / "received").iterdir()
        assert kept.name == f"{entry.head.report}.json"
        assert kept.read_bytes() == entry.body
        long = entry.body + b" " * 3_000_000  # takes its time to be written
        for _ in range(3):
            kept.unlink()
            assert await asyncio.gather(*(posted(KEY, long) for _ in range(6))) == [Sent()] * 6, "at the same time"
        assert kept.read_bytes() == long
        assert await posted(bytes(32)) == Later("the receiver answered 401")
        assert await posted(KEY, clock=lambda: time.time() - 400) == Later("the receiver answered 401")
        for body in (b"{}", b"[]", b"no JSON", b'{"id": "../../evil"}', b"\xff"):
            assert await posted(KEY, body) == Never("the receiver answered 422")
        assert len(list((tmp_path / "received").iterdir())) == 1

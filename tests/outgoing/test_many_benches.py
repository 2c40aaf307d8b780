"""The recipe for one broker and many benches, on the real broker and judged by systemd's own tools."""

from __future__ import annotations

import asyncio
import json
import os
import re
import shutil
import ssl
import subprocess
import sys
import tempfile
import tomllib
from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager
from dataclasses import dataclass, replace
from pathlib import Path

import aiomqtt
import pytest
import trustme

from propsoff.bench.places import place_id
from propsoff.settings import BenchSection
from tests_support.mosquitto import Mosquitto
from tests_support.outgoing import WithOutgoing, running, settings, until

CONTRIB = Path(__file__).parents[2] / "contrib"
RECIPE = CONTRIB / "many-benches" / "broker"
USERS = {"bench-7": "seven", "bench-8": "eight", "screen": "look"}


@pytest.fixture
def folder() -> Iterator[Path]:
    """A folder that the user mosquitto can get at: the broker gives root's rights up before it reads anything."""
    made = Path(tempfile.mkdtemp(prefix="propsoff-broker-"))
    made.chmod(0o755)
    yield made
    shutil.rmtree(made)


def owned(path: Path) -> Path:
    """The file with the owner and the rights that the recipe gives it."""
    path.chmod(0o640)
    if os.geteuid() == 0:
        shutil.chown(path, group="mosquitto")
    return path


@dataclass(frozen=True)
class Set:
    """A broker set up by the recipe."""

    port: int
    folder: Path

    def client(self, user: str | None, password: str | None) -> aiomqtt.Client:

        context = ssl.create_default_context(cafile=self.folder / "ca.crt")
        return aiomqtt.Client("127.0.0.1", self.port, username=user, password=password, tls_context=context, timeout=10)

    def bench(self, tmp_path: Path, name: str, user: str) -> WithOutgoing:
        """A bench's settings by the recipe, with this broker's address and files."""
        [text] = re.findall(r"^```toml\n(.*?)^```", (RECIPE / "README.md").read_text(), re.MULTILINE | re.DOTALL)
        values = tomllib.loads(text.replace("bench-7", name))
        home = tmp_path / f"{name}-{user}"
        home.mkdir()
        (home / "password").write_text(USERS[user])
        (home / "password").chmod(0o400)
        table = values["outgoing"]["mqtt"] | {
            "host": "127.0.0.1",
            "port": self.port,
            "ca_file": self.folder / "ca.crt",
            "password_file": home / "password",
            "username": user,
            "deadline_s": 1,
        }
        given = settings(home, mqtt=table)
        return replace(given, bench=BenchSection(state=home / "state", name=values["bench"]["name"], grace_s=5))


@asynccontextmanager
async def set_up(folder: Path) -> AsyncIterator[Set]:
    """The recipe's own files on the real broker; paths and the port are this test's."""
    authority = trustme.CA()
    certificate = authority.issue_cert("127.0.0.1")
    authority.cert_pem.write_to_path(str(folder / "ca.crt"))
    certificate.private_key_pem.write_to_path(str(folder / "broker.key"))
    certificate.cert_chain_pems[0].write_to_path(str(folder / "broker.crt"))
    shutil.copy(RECIPE / "propsoff.acl", folder)
    broker = Mosquitto(folder / "run")
    broker.passwords(folder / "propsoff.passwd", **USERS)
    for name in ("broker.key", "broker.crt", "propsoff.acl", "propsoff.passwd"):
        owned(folder / name)
    text = (RECIPE / "propsoff.conf").read_text().replace("listener 8883", f"listener {broker.port} 127.0.0.1")
    text = text.replace("/etc/mosquitto/certs", str(folder)).replace("/etc/mosquitto", str(folder))
    assert text.count(str(folder)) == 5  # one of them in a comment
    (folder / "run" / "mosquitto.conf").write_text(text)
    broker.start()
    try:
        yield Set(broker.port, folder)
    finally:
        broker.stop()


async def heard(client: aiomqtt.Client, into: dict[str, bytes]) -> None:
    async for message in client.messages:
        assert isinstance(message.payload, bytes)
        into[str(message.topic)] = message.payload


async def test_a_bench_speaks_for_itself_only_and_a_screen_sees_all(tmp_path: Path, folder: Path) -> None:

    seen: dict[str, bytes] = {}
    async with set_up(folder) as broker, broker.client("screen", "look") as screen:
        await screen.subscribe("propsoff/#", qos=1)
        hearing = asyncio.create_task(heard(screen, seen))
        async with (
            running(broker.bench(tmp_path, "bench-7", "bench-7")) as seven,
            running(broker.bench(tmp_path, "bench-8", "bench-8")) as eight,
        ):
            for bench in (seven, eight):
                await bench.report("a")
            await until(lambda: {"propsoff/bench-7/report", "propsoff/bench-8/report"} <= set(seen))
            assert seven.troubles == eight.troubles == []
            await _refused(broker, screen, seen)
        await until(lambda: seen["propsoff/bench-7/state"] == seen["propsoff/bench-8/state"] == b"offline")
        hearing.cancel()
        await asyncio.gather(hearing, return_exceptions=True)
    assert json.loads(seen["propsoff/bench-7/report"])["verdict"] == "incomplete"


async def _refused(broker: Set, screen: aiomqtt.Client, seen: dict[str, bytes]) -> None:
    """What the access list does not let them do."""
    spied: dict[str, bytes] = {}

    async with broker.client("bench-8", "eight") as other:
        spying = asyncio.create_task(heard(other, spied))
        await other.subscribe("propsoff/#", qos=1)
        await other.publish("propsoff/bench-7/state", b"forged", qos=1, retain=True)
        await screen.publish("propsoff/bench-7/state", b"forged", qos=1, retain=True)
        # What comes later is there, so what came before would be too: a broker keeps the order (MQTT 3.1.1, 4.6).
        await other.publish("propsoff/bench-8/report", b"{}", qos=1)
        await until(lambda: spied.get("propsoff/bench-8/report") == b"{}")
        await until(lambda: seen["propsoff/bench-8/report"] == b"{}")
        spying.cancel()
        await asyncio.gather(spying, return_exceptions=True)
    assert not [topic for topic in spied if "bench-7" in topic]
    assert seen["propsoff/bench-7/state"] == b"online"
    with pytest.raises(aiomqtt.MqttError):
        await broker.client(None, None).__aenter__()


async def test_a_bench_under_another_ones_name_is_told_that_it_may_not(tmp_path: Path, folder: Path) -> None:
    async with set_up(folder) as broker, running(broker.bench(tmp_path, "bench-7", "bench-8")) as bench:
        await until(lambda: bench.troubles)
    assert "let user bench-8 read and write propsoff/bench-7/#" in bench.troubles[0]


def test_the_names_of_the_recipe_stand_in_topics_as_they_are() -> None:
    assert place_id("bench-7") == "bench-7"


def verified(units: Path, name: str) -> str:
    done = subprocess.run(
        ["systemd-analyze", "verify", "--man=no", units / name],
        capture_output=True,
        text=True,
        timeout=50,
        check=False,
        env={**os.environ, "SYSTEMD_UNIT_PATH": f"{units}:"},
    )
    return done.stderr


@pytest.mark.integration
@pytest.mark.parametrize("broken", [False, True])
def test_systemd_knows_every_word_of_the_drop_ins(tmp_path: Path, broken: bool) -> None:
    # `verify` exits 0 on unknown keys, so any complaint at all fails.
    service = (CONTRIB / "systemd" / "propsoff.service").read_text()
    (tmp_path / "propsoff.service").write_text(service.replace("/opt/propsoff/bin/propsoff", sys.executable))
    shutil.copy("/lib/systemd/system/mosquitto.service", tmp_path)
    for name in ("propsoff.service", "mosquitto.service"):
        shutil.copytree(RECIPE / f"{name}.d", tmp_path / f"{name}.d")
        if broken:
            [file] = (tmp_path / f"{name}.d").iterdir()
            file.write_text(file.read_text() + "\nProtectEverything=yes\n")
        complaint = verified(tmp_path, name)
        assert ("ProtectEverything" in complaint) if broken else complaint == "", name

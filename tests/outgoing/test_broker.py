"""A real broker (Debian's mosquitto): what stands there, what is taken back, and what happens when things break."""

from __future__ import annotations

import asyncio
import gc
import json
import signal
import socket
from dataclasses import replace
from pathlib import Path
from typing import cast

import aiomqtt
import pytest
import trustme

from propsoff.bench.events import Left, Reading, Seen
from propsoff.bench.places import place_id
from propsoff.inspection.report import Report
from propsoff.outgoing.broker import Broker
from propsoff.outgoing.lane import BackOff
from propsoff.outgoing.outbox import waiting_files
from propsoff.outgoing.section import MqttTable
from propsoff.ports.facts import Port
from propsoff.ports.policy import Decision
from propsoff_sim.bench import SimBench
from tests_support.mosquitto import Mosquitto, mosquitto, subscriber
from tests_support.outgoing import Voice, WithOutgoing, running, settings, until
from tests_support.outgoing_bench import bench_process, bench_with_outgoing

YES = Decision(open=True, rule="consented", reason="allowed")


def root(name: str = "Bench 7") -> str:
    """The first levels of a bench's topics."""
    return f"propsoff/{place_id(name)}"


def options(tmp_path: Path, broker: Mosquitto, **table: object) -> WithOutgoing:
    return settings(tmp_path, mqtt={"host": "127.0.0.1", "port": broker.port, "deadline_s": 5, **table})


def place(name: str) -> Port:
    return Port(f"/bench/{name}", origin="folder")


def queue(tmp_path: Path) -> list[Path]:
    return waiting_files(tmp_path / "state/outgoing/mqtt")


async def test_a_bench_its_places_and_its_reports_stand_at_the_broker(tmp_path: Path) -> None:
    async with mosquitto(tmp_path / "broker") as broker, running(options(tmp_path, broker)) as bench:
        async with subscriber(broker) as seen:
            await until(lambda: seen.now.get(f"{root()}/state") == b"online")
            bench.outgoing.watcher(Seen(place("left"), YES))
            bench.outgoing.watcher(Reading(place("left")))
            report = await bench.report("a", "left")
            await until(lambda: seen.of(f"{root()}/report"))
            await until(lambda: json.loads(seen.now.get(f"{root()}/place/left", b"{}")).get("state") == "report")
        assert Report.from_json(seen.of(f"{root()}/report")[0]) == report
        state = json.loads(seen.now[f"{root()}/place/left"])
        assert (state["place"], state["verdict"], state["report"]) == ("left", "incomplete", report.id)
        assert state["craft"] == report.called
        assert state["since"].endswith("Z")
        # MQTT 3.1.1, 3.3.1.3: who subscribes later gets what is retained, marked so, and nothing else.
        async with subscriber(broker) as later:
            await until(lambda: len(later.all) >= 2)
            bench.outgoing.watcher(Left(place("left")))
            await until(lambda: json.loads(later.now[f"{root()}/place/left"])["state"] == "empty")
        assert {topic for topic, _, retained in later.all if retained} == {f"{root()}/state", f"{root()}/place/left"}
        assert later.of(f"{root()}/report") == []
    assert bench.troubles == []
    assert queue(tmp_path) == []


async def test_a_clean_stop_leaves_offline_and_takes_the_places_back(tmp_path: Path) -> None:
    async with mosquitto(tmp_path / "broker") as broker:
        async with running(options(tmp_path, broker)) as bench, subscriber(broker) as seen:
            bench.outgoing.watcher(Seen(place("left"), YES))
            await until(seen.places)
        async with subscriber(broker) as later:
            await until(lambda: later.all)
        assert [(topic, payload) for topic, payload, _ in later.all] == [(f"{root()}/state", b"offline")]


async def test_a_stop_says_offline_also_while_places_still_appear(tmp_path: Path) -> None:
    async with mosquitto(tmp_path / "broker") as broker:
        async with running(options(tmp_path, broker)) as bench, subscriber(broker) as seen:
            for number in range(100):
                bench.outgoing.watcher(Seen(place(f"p{number}"), YES))
            await until(lambda: len(seen.places()) == 100)
            closing = asyncio.create_task(bench.outgoing.close(5))
            for number in range(100, 100_000):
                if closing.done():
                    break
                bench.outgoing.watcher(Seen(place(f"p{number}"), YES))
                await asyncio.sleep(0.001)
            await closing
        async with subscriber(broker) as later:
            await until(lambda: later.all)
        assert [(topic, payload) for topic, payload, _ in later.all] == [(f"{root()}/state", b"offline")]
    assert bench.troubles == []


async def test_a_farewell_to_places_that_fails_does_not_cost_the_word_offline() -> None:
    class Client:
        """A connection that takes nothing of places."""

        def __init__(self) -> None:
            self.took: list[tuple[str, bytes]] = []

        async def publish(self, topic: str, payload: bytes, qos: int, *, retain: bool) -> None:
            if "/place/" in topic:
                raise aiomqtt.MqttError("Operation timed out")
            self.took.append((topic, payload))

    table = MqttTable(host="localhost")
    broker, client = Broker(table, "Bench 7", back_off=BackOff(1, 1), voice=Voice()), Client()
    broker.show({"left": b"{}"})
    await broker._farewell(cast("aiomqtt.Client", client))  # the stop of a connection, without a broker
    assert client.took == [(f"{root()}/state", b"offline")]


async def test_the_last_will_of_a_killed_bench_says_offline_and_the_next_run_clears_what_it_left(
    tmp_path: Path,
) -> None:
    async with mosquitto(tmp_path / "broker") as broker, subscriber(broker) as seen:
        section = options(tmp_path, broker).outgoing
        async with SimBench(tmp_path / "sockets") as sockets:
            with bench_process(tmp_path, section) as process:
                await until(lambda: seen.now.get(f"{root()}/state") == b"online", 50)
                sockets.plug("ossel-hd53", "left")
                await until(lambda: seen.of(f"{root()}/report"), 50)
                process.kill()
                await until(lambda: seen.now[f"{root()}/state"] == b"offline")
            assert set(seen.places()) == {f"{root()}/place/left"}
            sockets.unplug("left")
        (tmp_path / "state/places.json").unlink(missing_ok=True)
        with bench_process(tmp_path, section) as process:
            await until(lambda: seen.now[f"{root()}/state"] == b"online", 50)
            await until(lambda: not seen.places())
            process.send_signal(signal.SIGTERM)
            assert await asyncio.to_thread(process.wait, 30) == 0
        await until(lambda: seen.now[f"{root()}/state"] == b"offline")
        assert seen.of(f"{root()}/state") == [b"online", b"offline"] * 2


async def test_while_the_broker_is_away_reports_wait_and_of_places_only_the_newest_counts(tmp_path: Path) -> None:
    async with mosquitto(tmp_path / "broker") as broker, running(options(tmp_path, broker)) as bench:
        async with subscriber(broker) as before:
            await until(lambda: before.now.get(f"{root()}/state") == b"online")
        await asyncio.to_thread(broker.stop)
        await until(lambda: bench.troubles)
        reports = []
        for number in range(3):
            bench.outgoing.watcher(Seen(place("left"), YES))
            bench.outgoing.watcher(Reading(place("left")))
            reports.append((await bench.report(f"{number}", "left")).id)
            bench.outgoing.watcher(Left(place("left")))
        assert len(queue(tmp_path)) == 3
        await asyncio.to_thread(broker.start)
        async with subscriber(broker) as seen:
            await until(lambda: not queue(tmp_path))
            await until(lambda: bench.outgoing.waiting == 0 and seen.places())
        states = seen.of(f"{root()}/place/left")
        assert {json.loads(state)["report"] for state in states} == {reports[-1]}
        assert json.loads(states[-1])["state"] == "empty"
        await until(lambda: len(bench.said("an outgoing report is out")) == 3)
        assert [values["report"] for values in bench.said("an outgoing report is out")] == reports
    assert any("is connected now" in text for text in bench.troubles)
    assert 2 <= len(bench.troubles) <= 6


async def test_what_waited_goes_out_in_the_next_run(tmp_path: Path) -> None:
    broker = Mosquitto(tmp_path / "broker")
    async with running(options(tmp_path, broker)) as bench:
        first = await bench.report("a")
        await until(lambda: bench.troubles)
    assert "reports wait" in bench.troubles[0]
    await asyncio.to_thread(broker.start)
    try:
        async with subscriber(broker) as seen, running(options(tmp_path, broker)):
            await until(lambda: seen.of(f"{root()}/report"))
            await until(lambda: not queue(tmp_path))
        assert json.loads(seen.of(f"{root()}/report")[0])["id"] == first.id
    finally:
        await asyncio.to_thread(broker.stop)


async def guarded(tmp_path: Path, *rules: str) -> tuple[list[str], Path]:
    """Configuration of a broker with users and these access rules, and the bench's password file."""
    access, users, password = tmp_path / "acl", tmp_path / "users", tmp_path / "password"
    access.write_text("user looker\ntopic readwrite #\nuser bench\n" + "\n".join(rules) + "\n")
    access.chmod(0o700)
    await asyncio.to_thread(lambda: Mosquitto(tmp_path / "x").passwords(users, bench="right", looker="look"))
    password.write_text("right\n")
    password.chmod(0o600)
    return [f"acl_file {access}", f"password_file {users}"], password


@pytest.mark.parametrize(
    "rule", ["topic read propsoff/#", "topic write propsoff/#", "topic readwrite elsewhere/#"], ids=lambda rule: rule
)
async def test_what_the_access_list_refuses_is_noticed_said_and_goes_out_once_it_is_allowed(
    tmp_path: Path, rule: str
) -> None:
    lines, password = await guarded(tmp_path, rule)
    async with mosquitto(tmp_path / "broker", *lines, anonymous=False) as broker:
        known = options(tmp_path, broker, username="bench", password_file=password, deadline_s=0.5)
        async with running(known) as bench, subscriber(broker, username="looker", password="look") as seen:
            report = await bench.report("a")
            await until(lambda: bench.troubles)
            assert f"let user bench read and write {root()}/#" in bench.troubles[0]
            assert seen.of(f"{root()}/report") == []
            assert len(queue(tmp_path)) == 1
            (tmp_path / "acl").write_text((tmp_path / "acl").read_text().replace(rule, "topic readwrite propsoff/#"))
            broker.reload()
            await until(lambda: seen.of(f"{root()}/report"))
            await until(lambda: not queue(tmp_path))
        assert [json.loads(each)["id"] for each in seen.of(f"{root()}/report")] == [report.id]


async def test_a_refusal_of_reports_alone_is_noticed_and_the_report_waits(tmp_path: Path) -> None:
    rules = ["topic readwrite propsoff/+/state", "topic readwrite propsoff/+/place/#", "topic read propsoff/#"]
    lines, password = await guarded(tmp_path, *rules)
    async with mosquitto(tmp_path / "broker", *lines, anonymous=False) as broker:
        known = options(tmp_path, broker, username="bench", password_file=password, deadline_s=0.5)
        async with running(known) as bench, subscriber(broker, username="looker", password="look") as seen:
            await bench.report("a")
            await until(lambda: any(f"{root()}/report and did not give it back" in text for text in bench.troubles))
            await until(seen.places)
    assert len(queue(tmp_path)) == 1
    assert seen.of(f"{root()}/report") == []


async def test_a_refusal_of_places_alone_is_said_and_reports_go_out(tmp_path: Path) -> None:
    rules = ["topic readwrite propsoff/+/state", "topic readwrite propsoff/+/report", "topic read propsoff/#"]
    lines, password = await guarded(tmp_path, *rules)
    async with mosquitto(tmp_path / "broker", *lines, anonymous=False) as broker:
        known = options(tmp_path, broker, username="bench", password_file=password, deadline_s=0.5)
        async with running(known) as bench, subscriber(broker, username="looker", password="look") as seen:
            await bench.report("a")
            await until(lambda: seen.of(f"{root()}/report"))
            await until(lambda: any("/place/left and did not give it back" in text for text in bench.troubles))


async def test_without_confirming_a_bench_need_not_read(tmp_path: Path) -> None:
    lines, password = await guarded(tmp_path, "topic write propsoff/#")
    async with mosquitto(tmp_path / "broker", *lines, anonymous=False) as broker:
        known = options(tmp_path, broker, username="bench", password_file=password, confirm=False)
        async with running(known) as bench, subscriber(broker, username="looker", password="look") as seen:
            await bench.report("a")
            await until(lambda: seen.of(f"{root()}/report") and seen.places())
        assert bench.troubles == []
        assert seen.of(f"{root()}/state")[-1:] == [b"online"]


async def test_a_wrong_password_is_said_and_a_right_one_in_its_place_is_taken(tmp_path: Path) -> None:
    lines, password = await guarded(tmp_path, "topic readwrite propsoff/#")
    password.write_text("wrong\n")
    async with mosquitto(tmp_path / "broker", *lines, anonymous=False) as broker:
        known = options(tmp_path, broker, username="bench", password_file=password)
        async with running(known) as bench, subscriber(broker, username="looker", password="look") as seen:
            await until(lambda: bench.troubles)
            assert "ot authorized" in bench.troubles[0]
            assert "wrong" not in "".join(bench.troubles)
            password.write_text("right\n")
            await until(lambda: seen.now.get(f"{root()}/state") == b"online")


async def test_a_last_will_that_comes_late_is_put_right(tmp_path: Path) -> None:
    async with (
        mosquitto(tmp_path / "broker") as broker,
        running(options(tmp_path, broker)),
        subscriber(broker) as seen,
        aiomqtt.Client("127.0.0.1", broker.port) as other,
    ):
        await until(lambda: seen.now.get(f"{root()}/state") == b"online")
        await other.publish(f"{root()}/state", b"offline", qos=1, retain=True)
        await until(lambda: seen.of(f"{root()}/state")[-2:] == [b"offline", b"online"])


@pytest.mark.parametrize("name", ["a/b", "+", "#", "$SYS/x", "\x1b[2J", "Zügel ✈", "x" * 300, "..", "a b"])
async def test_hostile_names_of_places_stay_one_level_of_a_topic(tmp_path: Path, name: str) -> None:
    async with mosquitto(tmp_path / "broker") as broker, running(options(tmp_path, broker)) as bench:
        async with subscriber(broker) as seen:
            bench.outgoing.watcher(Seen(Port(name), YES))
            await until(seen.places)
        [(topic, payload)] = seen.places().items()
        # MQTT 3.1.1, 4.7: levels are parted by /, + and # are wildcards, U+0000 is not allowed.
        level = topic.removeprefix(f"{root()}/place/")
        assert level
        assert not set(level) & set("/+#\0")
        assert level.isprintable()
        assert json.loads(payload)["place"] == level
        assert json.loads(payload)["name"] == name


@pytest.mark.parametrize("name", ["a/b", "+", "#", "$SYS"])
def test_hostile_names_of_benches_stay_one_level_of_a_topic(name: str) -> None:
    assert root(name).count("/") == 1
    assert not set(root(name)) & set("+#\0")


async def test_a_broker_that_says_nothing_costs_nobody_else_anything(tmp_path: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as silent:
        table = {"host": "127.0.0.1", "port": silent.getsockname()[1], "deadline_s": 0.3}
        async with running(settings(tmp_path, mqtt=table), grace_s=0.5) as bench:
            await bench.report("a")
            await until(lambda: bench.troubles)
    assert len(queue(tmp_path)) == 1


# paho-mqtt 2.2 leaves the socket of a handshake that failed to the garbage collector, which closes it with a warning.
@pytest.mark.filterwarnings("ignore:unclosed <ssl.SSLSocket:ResourceWarning")
async def test_certificates_of_a_broker_are_verified(tmp_path: Path) -> None:
    ours, another = trustme.CA(), trustme.CA()
    certificate = ours.issue_cert("127.0.0.1")
    folder = tmp_path / "tls"
    folder.mkdir()
    certificate.private_key_pem.write_to_path(str(folder / "key"))
    certificate.cert_chain_pems[0].write_to_path(str(folder / "cert"))
    for name, authority in (("ours", ours), ("another", another)):
        authority.cert_pem.write_to_path(str(folder / name))
    lines = [f"certfile {folder / 'cert'}", f"keyfile {folder / 'key'}"]
    async with mosquitto(tmp_path / "broker", *lines) as broker:
        async with running(options(tmp_path, broker, tls=True, ca_file=folder / "another")) as bench:
            await bench.report("a")
            await until(lambda: bench.troubles)
        assert "certificate verify failed" in bench.troubles[0].lower()
        assert len(queue(tmp_path)) == 1
        async with running(options(tmp_path, broker, tls=True, ca_file=folder / "ours")) as bench:
            await until(lambda: not queue(tmp_path))
        assert bench.troubles == []
    gc.collect()  # here, where the warning is expected, and not in whatever test comes next


async def test_a_real_bench_tells_of_each_board_that_comes_and_goes(tmp_path: Path) -> None:
    async with mosquitto(tmp_path / "broker") as broker, subscriber(broker) as seen:
        topic, section = f"{root()}/place/left", options(tmp_path, broker).outgoing
        async with (
            SimBench(tmp_path / "sockets") as sockets,
            bench_with_outgoing(tmp_path, section) as (bench, _),
        ):
            sockets.plug("brindle-hd53+order-taer", "left")
            await bench.report()
            sockets.unplug("left")
            await until(lambda: any(json.loads(each or b"{}").get("state") == "empty" for each in seen.of(topic)))
            await until(lambda: seen.of(f"{root()}/report"))
        last = json.loads(seen.of(topic)[-2])
    assert (last["state"], last["verdict"], last["report"]) == ("empty", "fail", bench.reports[0].id)
    assert seen.of(topic)[-1] == b""
    assert bench.troubles == []


async def test_the_places_that_the_settings_name_stand_there_from_the_start(tmp_path: Path) -> None:
    async with mosquitto(tmp_path / "broker") as broker, subscriber(broker) as seen:
        known = options(tmp_path, broker)
        named = known.bench.model_copy(update={"places": {"left": "Left socket", "right": "Right socket"}})
        async with running(replace(known, bench=named)):
            await until(lambda: len(seen.places()) == 2)
            told = [json.loads(payload) for payload in seen.places().values()]
    assert sorted((state["name"], state["state"], state["verdict"]) for state in told) == [
        ("Left socket", "empty", None),
        ("Right socket", "empty", None),
    ]


async def test_a_broker_that_forgot_everything_is_told_again(tmp_path: Path) -> None:
    async with mosquitto(tmp_path / "broker") as broker, running(options(tmp_path, broker)) as bench:
        async with subscriber(broker) as seen:
            bench.outgoing.watcher(Seen(place("left"), YES))
            await until(seen.places)
        await asyncio.to_thread(broker.stop)
        (tmp_path / "broker" / "mosquitto.db").unlink()
        await asyncio.to_thread(broker.start)
        async with subscriber(broker) as later:
            await until(lambda: later.places() and later.now.get(f"{root()}/state") == b"online")

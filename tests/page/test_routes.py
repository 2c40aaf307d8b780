"""What the interface answers, with real boards: places, reports, consent, questions, captures."""

from __future__ import annotations

import asyncio
import json
from pathlib import Path
from typing import Any

import asciinema.asciicast as player
import httpx
import jsonschema
import pytest

from propsoff.inspection.report import Report
from propsoff.inspection.schema import report_schema
from propsoff.records.compare import compare
from propsoff_sim.bench import SimBench
from propsoff_sim.text import console_text
from tests_support.asking_sheet import asking_sheet
from tests_support.served import Asked, Sockets, asked

STRANGER = {"vid": 0x10C4, "pid": 0xEA60, "product": None}
NO_HISTORY: dict[str, object] = {"enabled": False}


async def entered(bench: Asked, client: httpx.AsyncClient, count: int) -> list[dict[str, Any]]:
    """The visits in history, as soon as there are so many."""
    async with asyncio.timeout(30):
        while len(visits := (await client.get("/api/1/reports")).json()["visits"]) < count:
            await asyncio.sleep(0.01)
    return list(visits)


async def test_a_report_is_answered_as_it_was_written_and_fits_the_published_schema(tmp_path: Path) -> None:
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        asked(tmp_path) as bench,
        bench.caller() as client,
    ):
        waits = asyncio.create_task(client.get("/api/1/places/bay/report?wait_s=60"))
        assert (await waits).status_code == 404  # nobody knows that place yet
        sockets.plug("ossel-hd53", "bay")
        await bench.until_place("bay", lambda now: True)
        answer = await client.get("/api/1/places/bay/report?wait_s=60")
        report = await bench.report()
        await bench.files(1)
        [file] = (tmp_path / "reports").glob("*.json")
        location = answer.headers["location"]
        assert location == f"/api/1/reports/{report.id}"
        assert answer.content == file.read_bytes() == (await client.get(location)).content
        jsonschema.Draft202012Validator(report_schema()).validate(answer.json())
        unknown = await client.get("/api/1/reports/20270115T080000Z-nobody-0123456789ab")
        assert unknown.status_code == 404


async def test_a_rig_inspects_again_and_waits_for_the_new_report(tmp_path: Path) -> None:
    async with SimBench(tmp_path / "sockets") as sockets, asked(tmp_path) as bench, bench.caller() as client:
        sockets.plug("ossel-hd53", "bay")
        first = await bench.report()
        await bench.until_place("bay", lambda now: now.state == "report")
        for number in range(2, 5):
            begun = await client.post("/api/1/places/bay/inspect", json={})
            assert begun.status_code == 202, begun.text
            before = begun.json()["before"]
            answer = await client.get(f"/api/1/places/bay/report?wait_s=60&after={before}")
            assert answer.json()["id"] not in (before, first.id)
            assert len(bench.reports) == number


async def test_what_stands_in_the_way_of_an_inspection_is_told(tmp_path: Path) -> None:
    source = Sockets()
    async with (
        SimBench(tmp_path / "side") as side,
        asked(tmp_path, extra=[("sockets", source)], bench={"places": {"spare": "a spare one"}}) as bench,
        bench.caller() as client,
    ):
        board = side.plug("ossel-hd53", pace=9600)
        port = source.plug(board, "1-1:1.0", **STRANGER)
        await bench.until_place("1-1", lambda now: now.state == "shut")

        async def kind(place: str, body: dict[str, Any]) -> tuple[int, str]:
            answer = await client.post(f"/api/1/places/{place}/inspect", json=body)
            return answer.status_code, answer.json()["type"].rpartition(":")[2]

        assert await kind("nowhere", {}) == (404, "nothing-there")
        assert await kind("spare", {}) == (404, "nothing-there")
        assert await kind("1-1", {"device": "/dev/other"}) == (404, "nothing-there")
        assert await kind("1-1", {}) == (403, "not-allowed")
        assert (await client.post("/api/1/places/1-1/inspect", json={"named": True})).status_code == 202
        await bench.until_place("1-1", lambda now: now.state == "reading")
        assert await kind("1-1", {"named": True, "device": port.device}) == (409, "being-read")
        joined = await client.post("/api/1/places/1-1/inspect", json={"named": True, "join": True})
        assert (joined.status_code, joined.json()["before"]) == (202, None)
        source.unplug(port)


async def test_consent_is_given_listed_and_taken_back(tmp_path: Path) -> None:
    source = Sockets()
    async with (
        SimBench(tmp_path / "side") as side,
        asked(tmp_path, extra=[("sockets", source)]) as bench,
        bench.caller() as client,
    ):
        source.plug(side.plug("ossel-hd53"), "1-1:1.0", **STRANGER)
        shut = await bench.until_place("1-1", lambda now: now.state == "shut")
        place = (await client.get("/api/1/places/1-1")).json()
        assert (place["note"], place["plugged"][0]["scopes"]) == (shut.note, ["socket", "board"])
        body = {"scope": "kind", "verdict": "allow"}
        refused = await client.post("/api/1/places/1-1/consent", json=body)
        assert (refused.status_code, refused.json()["type"]) == (409, "urn:propsoff:problem:settings")
        assert "no product string" in refused.json()["detail"]
        body = {"scope": "socket", "verdict": "allow", "note": "the left arm"}
        given = await client.post("/api/1/places/1-1/consent", json=body)
        assert given.status_code == 201
        assert {
            "scope": "socket",
            "verdict": "allow",
            "path": "1-1",
            "note": "the left arm",
        }.items() <= given.json().items()
        await bench.report()
        assert (await client.get("/api/1/consents")).json() == [given.json()]
        taken = await client.delete(f"/api/1/consents/{given.json()['id']}")
        assert (taken.status_code, taken.json()) == (200, given.json())
        assert (await client.delete(f"/api/1/consents/{given.json()['id']}")).status_code == 404
        assert (await client.get("/api/1/consents")).json() == []


async def test_questions_are_answered_once_and_the_answer_shows_next_time(tmp_path: Path) -> None:
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        asked(tmp_path, checks={"sheets": [asking_sheet(tmp_path)]}) as bench,
        bench.caller() as client,
    ):
        sockets.plug("ossel-hd53", "bay")
        ask = (await bench.until_place("bay", lambda now: now.ask is not None)).ask
        [waiting] = (await client.get("/api/1/asks")).json()
        assert waiting == (await client.get(f"/api/1/asks/{ask}")).json()
        assert (waiting["id"], waiting["place"], waiting["craft"], waiting["sheet"]) == (
            ask,
            "bay",
            "Teal Wren, serial number 4F2A00191C",
            "ours",
        )
        assert waiting["report"] == (await bench.report()).id
        assert [(each["id"], each["kind"], each["choices"], each["before"]) for each in waiting["questions"]] == [
            ("propellers-off", "yes-no", [], None),
            ("battery-connector", "choice", ["small", "large"], None),
            ("box", "text", [], None),
        ]
        wrong = await client.post(f"/api/1/asks/{ask}", json={"answers": {"box": "fine", "battery-connector": "9"}})
        assert (wrong.status_code, wrong.json()["type"]) == (422, "urn:propsoff:problem:bad-answer")
        assert wrong.json()["errors"] == [{"where": "battery-connector", "wanted": "a number from 1 to 2"}]
        number = await client.post(f"/api/1/asks/{ask}", json={"answers": {"propellers-off": 1}})
        assert (number.status_code, number.json()["type"]) == (422, "urn:propsoff:problem:bad-request")
        answered = await client.post(
            f"/api/1/asks/{ask}", json={"answers": {"propellers-off": True, "battery-connector": "LARGE"}}
        )
        assert answered.status_code == 200
        report = Report.from_json(answered.content)
        assert answered.headers["location"] == f"/api/1/reports/{report.id}"
        assert {fact.name: fact.value for fact in report.facts if fact.origin == "hand"} == {
            "hand.propellers-off": True,
            "hand.battery-connector": "large",
        }
        for method in ("GET", "DELETE"):
            stale = await client.request(method, f"/api/1/asks/{ask}")
            assert (stale.status_code, stale.json()["type"]) == (410, "urn:propsoff:problem:stale")
        await client.post("/api/1/places/bay/inspect")
        again = (await bench.until_place("bay", lambda now: now.ask not in (None, ask))).ask
        view = (await client.get(f"/api/1/asks/{again}")).json()
        assert [each["before"] for each in view["questions"]] == [True, "large", None]
        assert view["questions"][0]["before_at"].endswith("Z")
        assert (await client.delete(f"/api/1/asks/{again}")).status_code == 204
        assert (await client.get("/api/1/asks")).json() == []


async def test_a_conversation_is_followed_piece_by_piece_while_it_goes_on(tmp_path: Path) -> None:
    async with SimBench(tmp_path / "sockets") as sockets, asked(tmp_path) as bench, bench.caller() as client:
        sockets.plug("ossel-hd53", "bay", pace=38400)
        await bench.until_place("bay", lambda now: now.state == "reading")
        pieces: list[dict[str, Any]] = []
        told: dict[str, Any] = {"next": 0, "began": 0, "reading": True}
        first = (await client.get("/api/1/places/bay/conversation")).json()["began"]
        while told["reading"]:
            query = f"since={told['next']}&began={first}&wait_s=5"
            told = (await client.get(f"/api/1/places/bay/conversation?{query}")).json()
            pieces += told["pieces"]
        assert [piece["number"] for piece in pieces] == list(range(told["next"]))
        [file] = [await bench.files(1)]
        cast = (tmp_path / "reports" / file[0]["capture"]["file"]).read_text().splitlines()[1:]
        kept = [json.loads(line) for line in cast]
        for code in "oim":
            assert "".join(piece["text"] for piece in pieces if piece["code"] == code) == "".join(
                event[2] for event in kept if event[1] == code
            )
        await client.post("/api/1/places/bay/inspect")
        await bench.report(2)
        again = (await client.get(f"/api/1/places/bay/conversation?since={told['next']}&began={first}")).json()
        assert again["began"] > first
        assert again["pieces"][0]["number"] == 0
        beyond = (await client.get("/api/1/places/bay/conversation?since=999999")).json()
        assert beyond["pieces"][0]["number"] == 0


@pytest.mark.parametrize("store", [{}, NO_HISTORY], ids=["history", "this run"])
async def test_visits_are_listed_filtered_and_compared(tmp_path: Path, store: dict[str, object]) -> None:
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        asked(tmp_path, store=store) as bench,
        bench.caller() as client,
    ):
        for number, name in enumerate(["ossel-hd53", "brindle-hd53", "ossel-hd53+order-taer"], 1):
            sockets.plug(name, "bay", socket="1-1:1.0")
            await bench.report(number)
            await bench.files(number)
            sockets.unplug("bay")
        first, other, second = bench.reports
        visits = await entered(bench, client, 3)
        assert [visit["id"] for visit in visits] == [second.id, other.id, first.id]
        source = (await client.get("/api/1/reports")).json()["from"]
        assert source == ("this run" if store else "history")
        for query, wanted in (
            ("verdict=fail", [second.id]),
            (f"craft={first.id}", [second.id, first.id]),
            (f"craft={first.board_serial}", [second.id, first.id]),
            (f"craft={other.craft}", [second.id, other.id, first.id]),
            (f"board={other.board}", [other.id]),
            ("bench=bench&limit=2", [second.id, other.id]),
            ("bench=south", []),
            ("since=2999-01-01", []),
            (f"until={first.created}", [first.id]),
        ):
            found = (await client.get(f"/api/1/reports?{query}")).json()["visits"]
            assert [visit["id"] for visit in found] == wanted, query
        changes = (await client.get(f"/api/1/reports/{second.id}/changes")).json()
        assert (changes["with"], changes["created"], changes["same"]) == (first.id, first.created, False)
        found = compare(first, second)
        assert changes["comparison"]["equal"] == found.equal
        assert [each["name"] for each in changes["comparison"]["differs"]] == [each.name for each in found.differs]
        assert [each["name"] for each in changes["comparison"]["findings"]] == [each.name for each in found.findings]
        named = (await client.get(f"/api/1/reports/{first.id}/changes?with={other.id}")).json()
        assert named["with"] == other.id
        assert (await client.get(f"/api/1/reports/{other.id}/changes")).status_code == 404


async def test_a_report_is_had_as_card_drawing_and_capture(tmp_path: Path) -> None:
    async with SimBench(tmp_path / "sockets") as sockets, asked(tmp_path) as bench, bench.caller() as client:
        sockets.plug("ossel-hd53", "bay")
        first = await bench.report()
        await bench.until_place("bay", lambda now: now.state == "report")
        await client.post("/api/1/places/bay/inspect")
        second = await bench.report(2)
        await bench.files(2)
        await entered(bench, client, 2)
        card = await client.get(f"/api/1/reports/{second.id}/card")
        assert card.headers["content-type"].startswith("text/html")
        policy = card.headers["content-security-policy"]
        assert "style-src 'sha256-" in policy
        assert "unsafe" not in policy
        assert "script-src" not in policy
        assert "frame-ancestors 'none'" in policy
        assert "OLD" not in card.text
        old = await client.get(f"/api/1/reports/{first.id}/card?download=1")
        assert second.id in old.text
        assert "OLD" in old.text
        assert old.headers["content-disposition"] == f'attachment; filename="{first.id}.html"'
        drawing = await client.get(f"/api/1/reports/{first.id}/overlay")
        assert drawing.headers["content-type"] == "image/svg+xml"
        assert drawing.text.startswith("<svg ")
        capture = await client.get(f"/api/1/reports/{first.id}/capture")
        assert capture.headers["content-type"] == "application/x-asciicast"
        assert capture.headers["content-disposition"].startswith("attachment; filename=")
        saved = tmp_path / "again.cast"
        saved.write_bytes(capture.content)
        assert first.capture.file is not None
        assert capture.content == (tmp_path / "reports" / first.capture.file).read_bytes()
        with player.open_from_url(str(saved)) as recording:
            assert len(list(recording.events())) == first.capture.events
        # A capture that somebody changed is none; history has the real one.
        (tmp_path / "reports" / first.capture.file).write_bytes(b"forged")
        assert (await client.get(f"/api/1/reports/{first.id}/capture")).content == capture.content


async def test_reports_of_an_earlier_run_come_from_history(tmp_path: Path) -> None:
    async with SimBench(tmp_path / "sockets") as sockets, asked(tmp_path) as bench, bench.caller() as client:
        sockets.plug("ossel-hd53", "bay")
        report = await bench.report()
        await entered(bench, client, 1)
    for path in (tmp_path / "reports").iterdir():
        path.unlink()
    async with asked(tmp_path) as bench, bench.caller() as client:
        [place] = (await client.get("/api/1/places")).json()
        assert (place["state"], place["report"], place["past"][0]["report"]) == ("empty", None, report.id)
        answer = await client.get(f"/api/1/reports/{report.id}")
        assert answer.text == report.to_json()
        capture = await client.get(f"/api/1/reports/{report.id}/capture")
        assert capture.status_code == 200
        assert (await client.get(f"/api/1/reports/{report.id}/card")).status_code == 200


async def test_a_history_that_cannot_be_read_is_told_and_this_run_is_answered(tmp_path: Path) -> None:
    (tmp_path / "history.sqlite").write_bytes(b"this is no database" * 100)
    async with SimBench(tmp_path / "sockets") as sockets, asked(tmp_path) as bench, bench.caller() as client:
        sockets.plug("ossel-hd53", "bay")
        report = await bench.report()
        await bench.files(1)
        visits = await client.get("/api/1/reports")
        assert (visits.status_code, visits.json()["type"]) == (503, "urn:propsoff:problem:store")
        assert (await client.get(f"/api/1/reports/{report.id}")).status_code == 200
        assert (await client.get("/api/1/reports/20270115T080000Z-a-0123456789ab")).status_code == 503
        assert (await client.get(f"/api/1/reports/{report.id}/capture")).status_code == 200
        card = await client.get(f"/api/1/reports/{report.id}/card")
        assert card.status_code == 200


async def test_a_capture_that_is_brought_is_inspected_and_not_kept(tmp_path: Path) -> None:
    async with SimBench(tmp_path / "sockets") as sockets, asked(tmp_path) as bench, bench.caller() as client:
        sockets.plug("ossel-hd53+order-taer", "bay")
        live = await bench.report()
        await entered(bench, client, 1)
        assert live.capture.file is not None
        cast = (tmp_path / "reports" / live.capture.file).read_bytes()
        sent = await client.post("/api/1/captures", content=cast, headers={"content-type": "application/x-asciicast"})
        again = Report.from_json(sent.content)
        assert again.findings == live.findings
        assert (again.capture.sha256, again.capture.file) == (live.capture.sha256, None)
        text = console_text("ossel-hd53").encode()
        kind = {"content-type": "text/plain; charset=utf-8"}
        pasted = Report.from_json((await client.post("/api/1/captures", content=text, headers=kind)).content)
        assert (pasted.capture.origin, pasted.board) == ("pasted", live.board)
        for content in (b"", b"{}", b"[1]", b"{" * 50_000, b"\xff" * 100, cast[:-30].replace(b'"o"', b"5")):
            kind = {"content-type": "application/x-asciicast"}
            broken = await client.post("/api/1/captures", content=content, headers=kind)
            assert broken.status_code == 422, content[:20]
            assert broken.json()["type"] == "urn:propsoff:problem:bad-request"
        assert len(await bench.files(1)) == 1
        assert len((await client.get("/api/1/reports")).json()["visits"]) == 1
        assert not any(what == "fault" for what, _ in bench.said)


async def test_a_bench_that_stops_is_not_ready_but_alive(tmp_path: Path) -> None:
    slow: dict[str, object] = {"grace_s": 20.0}
    async with (
        SimBench(tmp_path / "sockets") as sockets,
        asked(tmp_path, bench=slow) as bench,
        bench.caller() as client,
    ):
        assert (await client.get("/api/1/ready")).json()["ready"] is True
        sockets.plug("ossel-hd53", "bay", faults=["endless:800"], pace=4800)
        await bench.until_place("bay", lambda now: now.state == "reading")
        bench.control._stopping.set()
        answer = await client.get("/api/1/ready")
        assert (answer.status_code, answer.json()) == (
            503,
            {"ready": False, "bench": "bench", "why": "the bench is stopping"},
        )
        sockets.unplug("bay")

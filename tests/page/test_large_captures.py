"""Large captures of callers: inspected in another process, so that the bench goes on as if nobody had sent them."""

from __future__ import annotations

import asyncio
import resource
from dataclasses import replace
from pathlib import Path

from propsoff.inspection.report import Report
from tests_support.served import QUICK, asked

CAST = {"content-type": "application/x-asciicast"}
HEAD = b'{"version": 2, "width": 80, "height": 24}\n'
LARGE = HEAD + b'[0, "o", "abc = 1\\r\\n"]\n' * 30_000


async def test_the_bench_answers_others_while_a_large_capture_is_inspected(tmp_path: Path) -> None:
    async with asked(tmp_path) as bench, bench.caller() as client:
        await client.get("/api/1/health")
        before = resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime
        sent = asyncio.create_task(client.post("/api/1/captures", content=LARGE, headers=CAST))
        answered = 0
        while not sent.done():
            assert (await client.get("/api/1/health")).status_code == 200
            answered += 1
        report = Report.from_json((await sent).content)
    assert report.capture.events == 30_000
    assert answered > 20
    assert resource.getrusage(resource.RUSAGE_CHILDREN).ru_utime - before > 0.2  # it was another process that worked


async def test_one_that_takes_too_long_is_a_problem_and_leaves_no_process(tmp_path: Path) -> None:
    limits = replace(QUICK, capture_s=0.1, capture_here_bytes=1000)
    async with asked(tmp_path, limits=limits) as bench, bench.caller() as client:
        answer = await client.post("/api/1/captures", content=LARGE, headers=CAST)
        assert (answer.status_code, answer.json()["type"]) == (413, "urn:propsoff:problem:too-large")
        assert "propsoff inspect" in answer.json()["detail"]
        small = await client.post("/api/1/captures", content=HEAD, headers=CAST)
        assert small.status_code == 200
        assert not any(what == "fault" for what, _ in bench.said)

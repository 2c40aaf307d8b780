"""The description of the interface: shipped as served, and every answer as described, whatever is asked.

Source: OpenAPI Specification 3.1; schemathesis makes requests from it, fitting and not, and judges the answers.
"""

from __future__ import annotations

import asyncio
import json
import random
import threading
from collections.abc import Iterator
from contextlib import asynccontextmanager, contextmanager
from importlib import resources
from pathlib import Path
from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import seed as seeded
from hypothesis.errors import Unsatisfiable
from schemathesis import GenerationMode
from schemathesis.config import SchemathesisConfig

from propsoff_sim.bench import SimBench
from tests_support.asking_sheet import asking_sheet
from tests_support.served import Asked, asked


def accepting(*statuses: int | str) -> dict[str, Any]:
    """A request that fits may be answered with these."""
    return {"positive_data_acceptance": {"expected-statuses": ["2xx", 401, 403, 404, 409, 429, 503, *statuses]}}


JUDGE: dict[str, Any] = {
    "checks": accepting(410),  # questions that no longer wait
    "operations": [{"include-path": "/api/1/captures", "checks": accepting(422)}],  # text that is no asciicast
}
EXAMPLES = 25
"""For each operation, fitting and not: some 900 requests in all."""


async def test_the_description_that_ships_is_the_one_that_is_served(tmp_path: Path) -> None:
    async with asked(tmp_path) as bench, bench.caller() as client:
        served = await client.get("/api/1/openapi.json")
    shipped = json.loads((resources.files("propsoff.page") / "openapi.json").read_bytes())
    assert outline(shipped) == outline(served.json()), (
        "after a change of the interface: curl --unix-socket STATE/bench.sock http://bench/api/1/openapi.json "
        "> daemon/propsoff/page/openapi.json"
    )


def outline(whole: dict[str, Any]) -> dict[str, Any]:
    """What a caller relies on: wordings and the order of keywords differ between versions of the libraries."""
    operations = {
        (path, method): (
            operation["operationId"],
            sorted((one["name"], one["in"], one["required"]) for one in operation.get("parameters", ())),
            sorted(operation.get("requestBody", {}).get("content", ())),
            {status: sorted(answer.get("content", ())) for status, answer in operation["responses"].items()},
        )
        for path, methods in whole["paths"].items()
        for method, operation in methods.items()
    }
    schemas = {
        name: (sorted(schema.get("properties", ())), sorted(schema.get("required", ())), schema.get("enum"))
        for name, schema in whole["components"]["schemas"].items()
    }
    return {"openapi": whole["openapi"][:3], "operations": operations, "schemas": schemas}


async def test_the_description_tells_every_problem_and_no_route_is_left_out(tmp_path: Path) -> None:
    async with asked(tmp_path) as bench, bench.caller() as client:
        whole = (await client.get("/api/1/openapi.json")).json()
    assert whole["openapi"].startswith("3.1")
    assert "HTTPValidationError" not in whole["components"]["schemas"]
    operations = {
        (method.upper(), path.removeprefix("/api/1")): operation
        for path, methods in whole["paths"].items()
        for method, operation in methods.items()
    }
    assert set(operations) == {
        ("GET", "/bench"),
        ("GET", "/events"),
        ("GET", "/places"),
        ("GET", "/places/{place}"),
        ("POST", "/places/{place}/inspect"),
        ("GET", "/places/{place}/report"),
        ("GET", "/places/{place}/conversation"),
        ("POST", "/places/{place}/consent"),
        ("GET", "/consents"),
        ("DELETE", "/consents/{consent}"),
        ("GET", "/asks"),
        ("GET", "/asks/{ask}"),
        ("POST", "/asks/{ask}"),
        ("DELETE", "/asks/{ask}"),
        ("GET", "/reports"),
        ("GET", "/reports/{report}"),
        ("GET", "/reports/{report}/capture"),
        ("GET", "/reports/{report}/card"),
        ("GET", "/reports/{report}/overlay"),
        ("GET", "/reports/{report}/changes"),
        ("POST", "/captures"),
        ("POST", "/session"),
        ("DELETE", "/session"),
        ("GET", "/health"),
        ("GET", "/ready"),
        ("GET", "/metrics"),
    }
    assert len({operation["operationId"] for operation in operations.values()}) == len(operations)
    for operation in operations.values():
        assert operation["summary"]
        for status, answer in operation["responses"].items():
            if int(status) >= 400 and (operation["operationId"], status) != ("ready", "503"):
                assert list(answer["content"]) == ["application/problem+json"], (operation["operationId"], status)


@contextmanager
def running(folder: Path) -> Iterator[tuple[Asked, str]]:
    """A bench in a thread of its own, with two craft read and questions that wait: schemathesis asks and blocks."""
    ready, ended = threading.Event(), threading.Event()
    found: list[Any] = []

    @asynccontextmanager
    async def whole() -> Any:
        async with (
            SimBench(folder / "sockets") as sockets,
            asked(folder, checks={"sheets": [asking_sheet(folder)]}) as bench,
        ):
            sockets.plug("ossel-hd53", "bay")
            sockets.plug("brindle-hd50+small-grid", "other")
            await bench.report(2)
            await bench.files(2)
            yield bench, await bench.url()

    async def main() -> None:
        async with whole() as pair:
            found.append(pair)
            ready.set()
            await asyncio.to_thread(ended.wait)

    thread = threading.Thread(target=asyncio.run, args=(main(),), daemon=True)
    thread.start()
    try:
        assert ready.wait(40)
        yield found[0]
    finally:
        ended.set()
        thread.join(30)


@pytest.mark.timeout(300)
@pytest.mark.filterwarnings("ignore::DeprecationWarning", "ignore::pytest.PytestUnraisableExceptionWarning")
def test_no_request_gets_an_answer_that_is_not_described(tmp_path: Path) -> None:
    seed = random.randrange(1 << 32)
    print(f"seed {seed}")  # noqa: T201  shown when it fails
    with running(tmp_path) as (bench, url):
        schema = schemathesis.openapi.from_url(f"{url}/api/1/openapi.json", config=SchemathesisConfig.from_dict(JUDGE))
        asked_for = 0
        for result in schema.get_all_operations():
            operation: Any = result.ok()  # type: ignore[union-attr]  # a description that is wrong raises here
            if operation.path == "/api/1/events":  # it never ends
                continue
            for mode in (GenerationMode.POSITIVE, GenerationMode.NEGATIVE):
                asked_for += tried(operation, mode, url, seed)
        faults = [values for what, values in bench.said if what in ("fault", "server")]
        assert not faults
        assert asked_for > 300
        print(f"{asked_for} requests")  # noqa: T201  shown when it fails


def tried(operation: Any, mode: GenerationMode, url: str, seed: int) -> int:
    """Ask one operation what its description allows, or does not; how often."""
    count = 0

    @seeded(seed)
    @settings(
        max_examples=EXAMPLES,
        deadline=None,
        database=None,
        suppress_health_check=list(HealthCheck),
        phases=[Phase.generate],
    )
    @given(case=operation.as_strategy(generation_mode=mode))
    def ask(case: Any) -> None:
        nonlocal count
        count += 1
        if case.query and "wait_s" in case.query:
            case.query["wait_s"] = min_wait(case.query["wait_s"])
        case.call_and_validate(base_url=url, timeout=30)

    try:
        ask()
    except Unsatisfiable:  # where nothing is asked for, nothing can be wrong
        assert mode is GenerationMode.NEGATIVE
    return count


def min_wait(value: Any) -> Any:
    """The test does not wait ten minutes; what is no time stays as it is."""
    return 0 if isinstance(value, int | float) and not isinstance(value, bool) and 0 <= value <= 600 else value

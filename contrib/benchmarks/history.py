"""History with many reports: how long it takes to fill, to list, and to fetch the facts of one model's newest visits.

    python contrib/benchmarks/history.py [REPORTS] [URL]

100,000 reports, SQLite in a temporary folder. Each craft has fifty visits, a hundred craft share a model of board. The
reports are one real report of a saved conversation under other names and times; what is timed is the database.
Targets: a list within 200 ms, newest visits with facts within 1 s, siblings of one model within 1 s.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from pathlib import Path

from propsoff.library import toolbox
from propsoff.store.model import Wanted
from propsoff.store.output import with_capture
from propsoff.store.packing import Prepared
from propsoff.store.store import open_store

CAPTURES = Path(__file__).parents[2] / "fixtures" / "captures"
VISITS_OF_A_CRAFT, CRAFT_OF_A_MODEL = 50, 100


def _largest(number: int) -> list[Path]:
    return sorted(CAPTURES.rglob("*.cast"), key=lambda each: -each.stat().st_size)[:number]


def inspected(path: Path) -> Prepared:
    """The report of a saved conversation, with it."""
    from propsoff.console.capture import load_capture

    tools = toolbox()
    report = tools.inspect(load_capture(path), file=path.name)
    return with_capture(report, path.read_bytes(), tools.rules_of(report))


def reports(number: int) -> Iterator[tuple[Prepared, None]]:
    """Reports that differ in what history looks at."""
    first = inspected(_largest(1)[0])
    craft = max(1, number // VISITS_OF_A_CRAFT)
    for at in range(number):
        who = at % craft
        columns = {
            **first.columns,
            "id": f"20270101T000000Z-board-{at:012x}",
            "created_us": first.columns["created_us"] + at * 1_000_000,
            "board": f"Model {who // CRAFT_OF_A_MODEL}",
            "folded_board": f"model {who // CRAFT_OF_A_MODEL}",
            "board_serial": f"{who:024x}",
            "folded_serial": f"{who:024x}",
            "key": f"serial:{who:024x}",
        }
        yield replace(first, columns=columns, capture=first.capture if at == 0 else None), None


def timed(what: str, call: Callable[[], object]) -> None:
    """Print the median of five."""
    took = []
    for _ in range(5):
        began = time.perf_counter()
        call()
        took.append(time.perf_counter() - began)
    print(f"{what:<58}{sorted(took)[2] * 1000:>9.1f} ms")


def main(number: int, url: str) -> None:
    """Fill a history and print the figures."""
    with open_store(url) as store:

        def with_facts(wanted: Wanted) -> int:
            ids = [visit.id for visit in store.latest(wanted)]
            return len(list(store.facts(ids))) + len(list(store.causes(ids)))

        began = time.perf_counter()
        for _ in store.enter_many(reports(number)):
            pass
        each = (time.perf_counter() - began) / number
        print(f"{number} reports entered in {each * number:.1f} s, {each * 1000:.2f} ms each")
        last = store.visits(Wanted(limit=1))[0]
        model = Wanted(board="Model 0")
        timed("the newest 50 visits", lambda: store.visits(Wanted(limit=50)))
        timed("the newest 50 visits of one model", lambda: store.visits(replace(model, limit=50)))
        timed("every visit of one craft", lambda: store.visits(Wanted(craft=last.board_serial)))
        timed("two reports, for comparing them", lambda: list(store.reports([last.id, str(last.replaces)])))
        timed("the newest visit of each craft of one model", lambda: store.latest(model))
        timed("the same with facts and causes", lambda: with_facts(model))
        timed("the newest visit of each craft", lambda: store.latest(Wanted()))
        timed("every visit", lambda: store.visits(Wanted()))


def commands(url: str) -> None:
    """Print how long whole commands take, their start included."""
    two = [inspected(path) for path in _largest(2)]
    with open_store(url) as store:
        for _ in store.enter_many((each, None) for each in two):
            pass
    a, b = (str(each.columns["id"]) for each in two)
    environment = {**os.environ, "PROPSOFF_STORE__URL": url}
    for words in (
        ("--help",),
        ("history",),
        ("compare", a, b),
        ("siblings", "Model 0", "--no-recompute"),
        ("siblings", "Model 0"),
        ("siblings", "Model 0", "--anew"),
    ):
        command = [sys.executable, "-m", "propsoff", *words]
        timed(
            f"propsoff {' '.join(words)}", partial(subprocess.run, command, env=environment, stdout=subprocess.DEVNULL)
        )


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        many = int(sys.argv[1]) if len(sys.argv) > 1 else 100_000
        where = sys.argv[2] if len(sys.argv) > 2 else f"sqlite:///{folder}/history.sqlite"
        main(many, where)
        commands(where)

"""The log goes on, whatever becomes of what it is written to."""

from __future__ import annotations

import io
import os
from collections.abc import Iterator

import pytest
import structlog

from propsoff.logs import configure_logs
from propsoff.outputs.nowhere import lead_nowhere


@pytest.fixture(autouse=True)
def _as_it_was() -> Iterator[None]:
    yield
    structlog.reset_defaults()


def test_a_log_whose_reader_went_away_stops_nobody_and_closes_without_a_fault() -> None:
    ours, theirs = os.pipe()
    stream = os.fdopen(theirs, "w", buffering=1)
    configure_logs("json", "info", stream)
    log = structlog.get_logger()
    log.info("one")
    assert b'"event": "one"' in os.read(ours, 4096)
    os.close(ours)
    log.info("two")
    log.info("three")
    stream.close()


def test_a_log_that_was_closed_or_whose_disk_is_full_stops_nobody() -> None:
    closed = io.StringIO()
    closed.close()
    with open("/dev/full", "w", buffering=1) as full:  # noqa: PTH123  a device, not a file
        for stream in (closed, full):
            configure_logs("json", "info", stream)
            structlog.get_logger().info("one")
        lead_nowhere(full)

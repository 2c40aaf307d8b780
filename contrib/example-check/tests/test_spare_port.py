"""The check, on simulated boards: with a free UART, without one, and with one that could not be read."""

from __future__ import annotations

from typing import Any

import pytest

from propsoff import Finding, Report, Toolbox, inspect_port, pasted, toolbox
from propsoff_sim.board import BoardState, SerialPort, with_facts, with_raw
from propsoff_sim.catalogue import board

NAMES = ["ossel-hd53", "brindle-analog", "corvane-hd50"]


@pytest.fixture(scope="module")
def tools() -> Toolbox:
    """All that is installed: this plug-in among it, found by its entry point."""
    return toolbox()


def spare_port(report: Report) -> Finding:
    """The one finding of this check."""
    [finding] = [finding for finding in report.findings if finding.check == "spare-port"]
    return finding


def crowded(name: str) -> BoardState:
    """The board with a device on every UART."""
    state = board(name)
    taken = [port if port.roles else SerialPort(("telemetry",), 57600) for port in state.ports]
    return with_facts(state, {f"ports.{at}": port for at, port in enumerate(taken)})


@pytest.mark.parametrize("name", NAMES)
def test_a_free_uart_passes_and_is_named(tools: Toolbox, sim_text: Any, name: str) -> None:
    finding = spare_port(tools.inspect(pasted(sim_text(name).encode())))
    assert finding.outcome == "pass"
    assert finding.summary.startswith("free: ")
    assert finding.evidence


@pytest.mark.parametrize("name", NAMES)
def test_a_board_without_a_free_uart_gives_a_warning(tools: Toolbox, sim_text: Any, name: str) -> None:
    finding = spare_port(tools.inspect(pasted(sim_text(crowded(name)).encode())))
    assert finding.outcome == "warn"
    assert finding.actual == "all 6 are taken"
    assert finding.caution is not None


def test_a_uart_that_was_not_read_is_unknown(tools: Toolbox, sim_text: Any) -> None:
    odd = with_raw(crowded("ossel-hd53"), "ports.5.roles", "gramophone")
    assert spare_port(tools.inspect(pasted(sim_text(odd).encode()))).outcome == "unknown"


def test_it_works_on_a_port_too(tools: Toolbox, sim_board: Any) -> None:
    plugged = sim_board("brindle-hd53")
    assert spare_port(inspect_port(str(plugged.path), tools=tools)).outcome == "pass"

"""Conversations with simulated boards, and what each board's facts ought to read as. The mapping is written by hand."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from propsoff.console.capture import Capture, Recorder
from propsoff.console.manner import Manner
from propsoff_sim.board import BoardState, SerialPort
from propsoff_sim.personalities import console_for

SENSOR = {True: "found", False: "missing"}


def talk(state: BoardState, manner: Manner) -> Capture:
    """The whole conversation with a board: wake, identity, every read; pager stops are answered."""
    engine = console_for(state)
    recorder = Recorder(clock=lambda: 0.0, started=0.0)

    def send(data: bytes) -> bytes:
        recorder.input(data)
        out = b"".join(chunk.data for chunk in engine.feed(data))
        recorder.output(out)
        return out

    send(manner.wake)
    for query in (manner.identify, *manner.reads):
        out = send(query.command.encode() + manner.line_end)
        while manner.pager is not None and b"press a key" in out[-60:]:
            out = send(manner.pager_key)
    recorder.mark("end: done")
    return recorder.capture()


def truth(state: BoardState) -> dict[str, Any]:
    """Canonical facts of a simulated board, by dotted name; None where its console states nothing."""
    return {
        **_radio(state),
        **_picture(state),
        **_power(state),
        "board.name": state.model,
        "board.serial": state.serial or None if state.firmware.name == "Brindle" else state.serial,
        "craft.name": state.label,
        "firmware.name": state.firmware.name,
        "firmware.version": state.firmware.version,
        "firmware.built": state.firmware.built,
        "sensors.gyro": SENSOR[state.sensors.gyro],
        "sensors.accelerometer": SENSOR[state.sensors.accelerometer],
        "sensors.barometer": SENSOR[state.sensors.barometer],
        "arming.blocks": state.arming_blocks,
        "logger.device": state.logger.device,
        "logger.free_bytes": state.logger.free_bytes,
    }


def _order(parts: tuple[str, ...]) -> str:
    """The sticks' letters; the simulator's further channels always run from 1 on, behind them, and are left out."""
    letters = "".join(part for part in parts if part.isalpha())
    assert parts[len(letters) :] == (("1", "2", "3", "4") if parts else ())
    return letters


def port_name(state: BoardState, index: int | None) -> str | None:
    """The board's own name of a UART: U1.., W0.., S1.."""
    letter, first = {"Ossel": ("U", 1), "Brindle": ("W", 0), "Corvane": ("S", 1)}[state.firmware.name]
    return None if index is None else f"{letter}{index + first}"


def _radio(state: BoardState) -> dict[str, Any]:
    return {
        "receiver.kind": state.receiver.kind,
        "receiver.protocol": state.receiver.protocol,
        "receiver.port": port_name(state, state.receiver.port),
        "receiver.inverted": state.receiver.inverted,
        "receiver.half_duplex": state.receiver.half_duplex,
        "receiver.telemetry": state.receiver.telemetry,
        "channels.order": _order(state.channels.order),
        "channels.low": state.channels.low,
        "channels.centre": state.channels.centre,
        "channels.high": state.channels.high,
        "channels.live": state.channels.live,
        "switches": [(each.function, each.channel, each.from_us, each.to_us) for each in state.switches],
        "ports": [
            (port_name(state, index), each.roles or ("unused",), _stated_baud(state, each))
            for index, each in enumerate(state.ports)
        ],
        "failsafe.action": state.failsafe.action,
        "failsafe.delay_s": state.failsafe.delay_ms / 1000,
        "failsafe.throttle_us": state.failsafe.throttle_us,
    }


def _stated_baud(state: BoardState, port: SerialPort) -> int | None:
    """Ossel says `idle` of an unused port and no rate."""
    return None if state.firmware.name == "Ossel" and not port.roles else port.baud


def _stated_loop_hz(state: BoardState) -> int:
    """Corvane gives the period in whole us: 16 kHz is written as 62, which is 16129 Hz."""
    if state.firmware.name != "Corvane":
        return state.motors.loop_hz
    return round(1_000_000 / (1_000_000 // state.motors.loop_hz))


def _picture(state: BoardState) -> dict[str, Any]:
    return {
        "overlay.enabled": state.overlay.enabled,
        "overlay.system": state.overlay.system,
        "overlay.columns": state.overlay.columns,
        "overlay.rows": state.overlay.rows,
        "overlay.elements": [
            (each.name, each.column, each.row, each.width, each.shown) for each in state.overlay.elements
        ],
        "video.link": state.video.link,
        "video.band": state.video.band,
        "video.channel": state.video.channel,
        "video.frequency_mhz": state.video.frequency_mhz,
        "video.power_mw": state.video.power_mw,
    }


def _power(state: BoardState) -> dict[str, Any]:
    return {
        "battery.cells": state.battery.cells,
        "battery.volts": state.battery.volts_mv / 1000,
        "battery.scale": state.battery.scale,
        "battery.cell_low": state.battery.cell_low_mv / 1000,
        "battery.cell_warn": state.battery.cell_warn_mv / 1000,
        "battery.cell_full": state.battery.cell_full_mv / 1000,
        "motors.protocol": state.motors.protocol,
        "motors.bidirectional": state.motors.bidirectional,
        "motors.poles": state.motors.poles,
        "motors.idle_percent": state.motors.idle_permille / 10,
        "motors.reversed": state.motors.reversed,
        "motors.loop_hz": _stated_loop_hz(state),
    }


def say_to(state: BoardState, lines: Sequence[str], manner: Manner) -> BoardState:
    """The board after these lines; each must have been taken."""
    engine = console_for(state)
    engine.feed(manner.wake)
    for line in lines:
        answer = b"".join(chunk.data for chunk in engine.feed(line.encode() + manner.line_end)).decode()
        refused = [
            text for text in answer.splitlines() if manner.error is not None and manner.error.match(text) is not None
        ]
        assert not refused, refused
        assert "not a verb" not in answer, answer
    return engine.state

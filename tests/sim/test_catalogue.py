"""Named boards and their faults."""

from __future__ import annotations

import re

import pytest

from propsoff_sim.board import FURTHER, BoardState, fact
from propsoff_sim.board_faults import BOARD_FAULTS
from propsoff_sim.catalogue import UnknownNameError, board, board_names, boards_for, scope, sound_board
from propsoff_sim.text import console_bytes

FIRST_FOUR_CHECKS = {
    "receiver-port-unused", "receiver-inverted", "receiver-half-duplex", "receiver-none", "receiver-ppm",
    "receiver-pwm", "receiver-port-missing", "no-protocol", "order-taer", "order-eatr", "order-repeated",
    "order-missing", "small-grid", "analog-grid-on-digital", "digital-on-analog", "wrong-standard", "old-firmware",
    "overlay-off", "two-roles", "two-receivers", "overlay-link-missing", "bad-baud", "console-lost",
    "malformed-value", "name-slash", "name-ansi", "name-script", "name-4k", "name-invalid-utf8", "name-prompt",
    "unnamed", "serial-number-twin",
}  # fmt: skip


def test_each_firmware_comes_in_four_variants_with_either_receiver() -> None:
    names = set(board_names())
    assert len(names) == 3 * 4 * 2
    assert {"ossel-hd53-spi", "brindle-analog-ntsc", "corvane-hd50"} <= names


@pytest.mark.parametrize(
    ("variant", "grid", "system", "link"),
    [  # MAX7456 data sheet 19-0576: 30 columns, 16 rows at 625 lines, 13 at 525; 50x18 and 53x20 are common practice
        ("analog", (30, 16), "pal", "analog"),
        ("analog-ntsc", (30, 13), "ntsc", "analog"),
        ("hd50", (50, 18), "digital", "digital"),
        ("hd53", (53, 20), "digital", "digital"),
    ],
)
@pytest.mark.parametrize("firmware", ["ossel", "brindle", "corvane"])
def test_a_variant_has_the_grid_of_its_link(
    firmware: str, variant: str, grid: tuple[int, int], system: str, link: str
) -> None:
    overlay = board(f"{firmware}-{variant}").overlay
    assert (overlay.columns, overlay.rows, overlay.system) == (*grid, system)
    assert board(f"{firmware}-{variant}").video.link == link


@pytest.mark.parametrize("name", sorted(board_names()))
def test_a_sound_board_is_sound(name: str) -> None:
    state = board(name)
    assert state.label == "Teal Wren"
    assert sorted(state.channels.order[:4]) == sorted("AETR")
    receiver = state.receiver
    if name.endswith("-spi"):
        assert (receiver.kind, receiver.port, state.port_of("receiver")) == ("spi", None, None)
    else:
        assert state.port_of("receiver") == receiver.port
        # SBUS is inverted (Zephyr input_sbus.c), CRSF is not (the public CRSF specification)
        assert receiver.inverted == (receiver.protocol == "sbus")
    assert (state.port_of("overlay-link") is not None) == (state.video.link == "digital")
    assert all(len(port.roles) <= 1 for port in state.ports)


def test_the_variants_speak_all_three_receiver_protocols() -> None:
    assert {board(name).receiver.protocol for name in board_names()} == {"crsf", "sbus", "ibus", None}


def test_the_faults_of_the_first_checks_are_there() -> None:
    assert set(BOARD_FAULTS) >= FIRST_FOUR_CHECKS
    assert all(re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", fault) for fault in BOARD_FAULTS)


def _seen(state: BoardState) -> tuple[bytes, object]:
    """All that a reader can see of a board."""
    return console_bytes(state), state.usb


@pytest.mark.parametrize("fault", sorted(BOARD_FAULTS))
def test_a_fault_shows_on_each_board_that_it_applies_to_and_spares_the_sound_one(fault: str) -> None:
    names = boards_for(BOARD_FAULTS[fault])
    assert names
    unchanged = []
    for name in names:
        before = sound_board(name)
        faulty = BOARD_FAULTS[fault].change(before)
        assert before == sound_board(name)
        if _seen(faulty) == _seen(before):
            unchanged.append(name)
    if BOARD_FAULTS[fault].twist:  # a twist may be what the board has anyway
        assert len(unchanged) < len(names)
    else:
        assert unchanged == []


@pytest.mark.parametrize(
    ("name", "facts"),
    [
        ("ossel-hd53+receiver-port-unused", {"receiver.port": 1, "ports.1.roles": ()}),
        ("ossel-hd53+receiver-inverted", {"receiver.protocol": "crsf", "receiver.inverted": True}),
        ("brindle-hd53+receiver-inverted", {"receiver.protocol": "sbus", "receiver.inverted": False}),
        ("ossel-hd53+receiver-half-duplex", {"receiver.half_duplex": True}),
        ("ossel-hd53+receiver-none", {"receiver.kind": "none", "receiver.port": None, "ports.1.roles": ()}),
        ("ossel-hd53+receiver-ppm", {"receiver.kind": "ppm", "receiver.protocol": None}),
        ("ossel-hd53-spi+receiver-pwm", {"receiver.kind": "pwm", "receiver.protocol": None}),
        ("ossel-hd53+receiver-port-missing", {"receiver.port": 8}),
        ("ossel-hd53+no-protocol", {"receiver.kind": "serial", "receiver.protocol": None}),
        ("ossel-hd53+order-taer", {"channels.order": ("T", "A", "E", "R", *FURTHER)}),
        ("ossel-hd53+order-eatr", {"channels.order": ("E", "A", "T", "R", *FURTHER)}),
        ("ossel-hd53+order-repeated", {"channels.order": ("A", "E", "T", "E", *FURTHER)}),
        ("ossel-hd53+order-missing", {"channels.order": ("A", "E", "T", *FURTHER)}),
        (
            "ossel-hd53+analog-grid-on-digital",
            {"overlay.system": "pal", "overlay.columns": 30, "video.link": "digital"},
        ),
        ("ossel-analog+digital-on-analog", {"overlay.system": "digital", "overlay.rows": 20, "video.link": "analog"}),
        ("ossel-analog+wrong-standard", {"overlay.system": "pal", "overlay.rows": 13}),
        ("ossel-analog-ntsc+wrong-standard", {"overlay.system": "ntsc", "overlay.rows": 16}),
        ("ossel-hd53+overlay-off", {"overlay.enabled": False}),
        ("ossel-hd53+two-roles", {"ports.1.roles": ("receiver", "telemetry")}),
        ("ossel-hd53+two-receivers", {"ports.1.roles": ("receiver",), "ports.2.roles": ("receiver",)}),
        ("ossel-hd53+overlay-link-missing", {"ports.3.roles": ()}),
        ("ossel-hd53+bad-baud", {"ports.1.baud": 1200}),
        ("ossel-hd53+bad-baud-overlay", {"ports.3.baud": 2400}),
        ("ossel-hd53+console-lost", {"ports.0.roles": ()}),
        ("ossel-hd53+layout-cramped", {"overlay.columns": 53, "overlay.elements.1.column": 22}),
        ("ossel-hd53+element-off-grid", {"overlay.elements.1.column": 51}),
        ("ossel-hd53+sbus", {"receiver.protocol": "sbus", "receiver.inverted": True, "ports.1.baud": 100000}),
        ("brindle-hd53+crsf", {"receiver.protocol": "crsf", "receiver.inverted": False, "ports.1.baud": 420000}),
    ],
)
def test_a_fault_is_what_its_title_says(name: str, facts: dict[str, object]) -> None:
    state = board(name)
    assert {path: fact(state, path) for path in facts} == facts


def test_several_faults_may_be_appended() -> None:
    state = board("ossel-hd53+small-grid+order-taer+bad-baud")
    assert (state.overlay.columns, state.ports[1].baud) == (50, 1200)
    assert state.channels.order == ("T", "A", "E", "R", *FURTHER)


def test_a_small_grid_is_the_next_smaller_one() -> None:
    assert [board(f"ossel-{each}+small-grid").overlay.columns for each in ("hd53", "hd50")] == [50, 30]


def test_firmware_from_before_the_grid_states_none() -> None:
    for firmware in ("ossel", "brindle", "corvane"):
        state = board(f"{firmware}-hd53+old-firmware")
        assert (state.overlay.columns, state.overlay.rows, state.overlay.system) == (None, None, "auto")


def test_an_unknown_board_names_the_nearest() -> None:
    with pytest.raises(UnknownNameError, match="no board is called 'osel-hd53'; nearest: ossel-hd53") as caught:
        board("osel-hd53")
    assert caught.value.nearest[0] == "ossel-hd53"


def test_an_unknown_fault_names_the_nearest() -> None:
    with pytest.raises(UnknownNameError, match="no fault is called 'smal-grid'; nearest: small-grid"):
        board("ossel-hd53+smal-grid")


def test_a_fault_that_cannot_be_says_so() -> None:
    with pytest.raises(UnknownNameError, match="'small-grid' does not apply to this board"):
        board("ossel-analog+small-grid")


def test_the_scope_of_a_fault_says_which_boards_can_have_it() -> None:
    scopes = {fault: scope(BOARD_FAULTS[fault]) for fault in ("unnamed", "small-grid", "bad-baud", "name-prompt-line")}
    assert scopes == {
        "unnamed": "any board",
        "small-grid": "hd50 hd53",
        "bad-baud": "serial receiver",
        "name-prompt-line": "brindle ossel",
    }


def test_two_boards_can_have_one_serial_number() -> None:
    twins = board("ossel-hd53+serial-number-twin"), board("ossel-analog+serial-number-twin")
    assert twins[0].serial == twins[1].serial == twins[0].usb.serial_number == twins[1].usb.serial_number
    own = board("ossel-hd53", serial="A-1"), board("ossel-hd53", serial="A-2")
    assert [each.usb.serial_number for each in own] == [each.serial for each in own] == ["A-1", "A-2"]

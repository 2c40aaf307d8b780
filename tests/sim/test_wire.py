"""Pacing and the faults of a line, without any port and with a clock of the test's own."""

from __future__ import annotations

import math

import pytest

from propsoff_sim.device import Chunk
from propsoff_sim.wire import Pacer, UnknownFaultError, Wire
from propsoff_sim.wire_faults import WIRE_FAULTS, Endless, Leave, Pause, Piece, Rates

TEXT = bytes(range(32, 127)) * 200
UNKNOWN = Rates(None)


def passed(wire: Wire, *chunks: Chunk, rates: Rates = UNKNOWN) -> list[Piece]:
    """What comes of these chunks."""
    return wire.outgoing(chunks, rates)


def text_of(pieces: list[Piece]) -> bytes:
    """The bytes among the pieces."""
    return b"".join(piece.data for piece in pieces if isinstance(piece, Chunk))


def sent(*faults: str, seed: int = 0, data: bytes = TEXT) -> bytes:
    """What of the data arrives over a line with these faults."""
    return text_of(passed(Wire(faults, seed=seed), Chunk("text", data)))


def paced_s(baud: int, count: int, step_s: float) -> float:
    """How long `count` bytes take at a rate, on a clock that goes in steps."""
    pacer, now_s, went = Pacer(baud), 0.0, 0
    while went < count:
        allowed = min(pacer.allow(now_s), count - went)
        pacer.sent(allowed)
        went += allowed
        now_s += step_s
    return now_s - step_s


@pytest.mark.parametrize("baud", [9600, 115200, 420000])
@pytest.mark.parametrize("step_s", [0.001, 0.005, 0.02])
def test_output_takes_ten_bits_a_character(baud: int, step_s: float) -> None:
    """8N1 is 10 bits a character: 11,520 bytes a second at 115200 baud (computed)."""
    count = baud // 10 * 2
    assert paced_s(baud, count, step_s) == pytest.approx(2.0, abs=step_s * 1.01)


def test_an_idle_line_earns_nothing() -> None:
    pacer = Pacer(9600)
    assert pacer.allow(0.0) == 0
    pacer.idle()
    assert pacer.allow(100.0) == 0
    assert pacer.allow(100.1) == 96


def test_a_late_timer_does_not_slow_the_line_but_a_long_sleep_gives_no_burst() -> None:
    pacer = Pacer(9600)
    pacer.allow(0.0)
    assert pacer.allow(0.1) == 96
    pacer.sent(96)
    assert pacer.allow(60.0) == 240  # a quarter of a second's worth


@pytest.mark.parametrize("baud", [0, -9600])
def test_a_rate_is_more_than_nothing(baud: int) -> None:
    with pytest.raises(ValueError, match="more than 0 baud"):
        Wire(pace=baud)


def test_a_sound_line_changes_nothing() -> None:
    assert sent() == TEXT
    assert Wire().incoming(TEXT, 0.0, UNKNOWN) == TEXT
    assert Wire().start() == []


@pytest.mark.parametrize("fault", ["lose", "flip"])
def test_corruption_strikes_the_share_that_was_asked_for(fault: str) -> None:
    share, count = 0.01, len(TEXT)
    got = sent(f"{fault}:{share}", seed=7)
    struck = count - len(got) if fault == "lose" else sum(a != b for a, b in zip(got, TEXT, strict=True))
    # binomial: mean np, standard deviation sqrt(np(1-p)); five of them
    assert abs(struck - count * share) < 5 * math.sqrt(count * share * (1 - share))


def test_a_flip_turns_exactly_one_bit_of_a_byte() -> None:
    got = sent("flip:0.05", seed=3)
    turned = [a ^ b for a, b in zip(got, TEXT, strict=True) if a != b]
    assert turned
    assert all(bits.bit_count() == 1 for bits in turned)
    assert len(set(turned)) == 8


@pytest.mark.parametrize("fault", ["lose:0.02", "flip:0.02"])
def test_the_same_seed_gives_the_same_corruption_however_the_output_is_cut_up(fault: str) -> None:
    whole = sent(fault, seed=5)
    wire = Wire((fault,), seed=5)
    pieces = [TEXT[at : at + 7] for at in range(0, len(TEXT), 7)]
    assert b"".join(text_of(passed(wire, Chunk("text", piece))) for piece in pieces) == whole
    assert sent(fault, seed=5) == whole
    assert sent(fault, seed=6) != whole


def test_nothing_is_lost_at_share_0_and_all_at_share_1() -> None:
    assert sent("lose:0") == TEXT
    assert sent("lose:1") == b""
    assert all(a != b for a, b in zip(sent("flip:1"), TEXT, strict=True))


def test_nul_bytes_come_between_and_nothing_is_lost() -> None:
    got = sent("nul")
    assert got.replace(b"\0", b"") == TEXT
    assert got.count(b"\0") == math.ceil(len(TEXT) / 32)


@pytest.mark.parametrize(
    ("fault", "kinds"),
    [
        ("mute", []),
        ("no-echo", ["text", "pager", "prompt"]),
        ("no-prompt", ["echo", "text", "pager"]),
    ],
)
def test_chunks_of_some_kinds_never_come(fault: str, kinds: list[str]) -> None:
    chunks = [Chunk("echo", b"e"), Chunk("text", b"t"), Chunk("pager", b"g"), Chunk("prompt", b"p")]
    got = Wire((fault,)).outgoing(chunks, UNKNOWN)
    assert [piece.kind for piece in got if isinstance(piece, Chunk)] == kinds


def test_a_late_prompt_waits() -> None:
    text, prompt = Chunk("text", b"x\r\n"), Chunk("prompt", b"> ")
    assert passed(Wire(("late-prompt:0.7",)), text, prompt) == [text, Pause(0.7), prompt]


def test_a_split_prompt_comes_in_two_halves() -> None:
    got = passed(Wire(("split-prompt:0.2",)), Chunk("prompt", b"ossel> "))
    assert got == [Chunk("prompt", b"oss"), Pause(0.2), Chunk("prompt", b"el> ")]


def test_lumps_have_a_pause_after_each() -> None:
    got = passed(Wire(("lumps:64",)), Chunk("text", b"x" * 150))
    assert [len(piece.data) if isinstance(piece, Chunk) else "-" for piece in got] == [64, "-", 64, "-", 22, "-"]


def test_the_answer_to_a_word_never_ends_but_that_to_a_line_end_does() -> None:
    wire = Wire(("endless",))
    wire.incoming(b"\r", 0.0, UNKNOWN)
    prompt = Chunk("prompt", b"> ")
    assert passed(wire, prompt) == [prompt]
    wire.incoming(b"who\r", 0.0, UNKNOWN)
    got = passed(wire, Chunk("text", b"x\r\n"), prompt)
    assert isinstance(got[-1], Endless)
    assert got[-1].data


@pytest.mark.parametrize(("fault", "leave"), [("unplug", "unplug"), ("reboot", "reboot")])
def test_a_board_leaves_after_exactly_so_many_bytes(fault: str, leave: str) -> None:
    wire = Wire((f"{fault}:10",))
    assert text_of(passed(wire, Chunk("text", b"1234567"))) == b"1234567"
    got = passed(wire, Chunk("text", b"89ABCDE"), Chunk("prompt", b"> "))
    assert text_of(got) == b"89A"
    assert got[-1] == Leave(leave)  # type: ignore[arg-type]  # one of the two kinds, from the table above


def test_a_board_reboots_once() -> None:
    wire = Wire(("reboot:3",))
    assert Leave("reboot") in passed(wire, Chunk("text", b"12345"))
    assert passed(wire, Chunk("text", b"12345")) == [Chunk("text", b"12345")]


def test_a_stalled_line_says_nothing_more() -> None:
    wire = Wire(("stall:3",))
    assert passed(wire, Chunk("text", b"12345")) == [Chunk("text", b"123")]
    assert passed(wire, Chunk("text", b"12345")) == []


def test_bytes_are_counted_after_they_were_lost() -> None:
    got = passed(Wire(("unplug:1000", "lose:0.5"), seed=1), Chunk("text", TEXT))
    assert len(text_of(got)) == 1000


def test_the_wrong_rate_turns_everything_to_garbage_both_ways() -> None:
    wire = Wire(("baud-mismatch:420000",), seed=2)
    wrong, right = Rates(115200), Rates(420000)
    garbage = text_of(passed(wire, Chunk("text", b"firmware := Ossel\r\n"), rates=wrong))
    assert garbage
    assert all(byte >= 0x80 for byte in garbage)
    assert b"\r" not in wire.incoming(b"who\r", 0.0, wrong)
    assert text_of(passed(wire, Chunk("text", b"who"), rates=right)) == b"who"
    assert wire.incoming(b"who\r", 0.0, right) == b"who\r"


def test_a_line_that_has_no_rate_never_mismatches() -> None:
    assert sent("baud-mismatch:420000") == TEXT


def test_characters_typed_fast_are_lost() -> None:
    wire = Wire(("drop-fast:4",))
    assert wire.incoming(b"recite\r", 1.0, UNKNOWN) == b"reci"
    assert wire.incoming(b"recite\r", 1.002, UNKNOWN) == b"re"
    typed = b"".join(wire.incoming(bytes([byte]), 2 + at * 0.002, UNKNOWN) for at, byte in enumerate(b"recite\r"))
    assert typed == b"recite\r"


@pytest.mark.parametrize("end", [b"\r", b"\n", b"\r\n"])
def test_a_sleepy_board_loses_everything_up_to_the_first_line_end(end: bytes) -> None:
    wire = Wire(("sleepy",))
    assert wire.incoming(b"wh", 0.0, UNKNOWN) == b""
    assert wire.incoming(b"o" + end, 0.1, UNKNOWN) == b""
    assert wire.incoming(b"who" + end, 0.2, UNKNOWN) == b"who" + end


def test_sentences_chatter_until_the_first_line_end() -> None:
    wire = Wire(("chatter:nmea",))
    assert text_of(wire.start()).startswith(b"$GP")
    assert text_of(wire.tick(UNKNOWN)).startswith(b"$GP")
    wire.incoming(b"\r", 0.0, UNKNOWN)
    assert wire.tick(UNKNOWN) == []


def test_a_log_goes_on_for_ever() -> None:
    wire = Wire(("chatter:log",))
    wire.incoming(b"who\r", 0.0, UNKNOWN)
    assert [text_of(wire.tick(UNKNOWN)) for _ in range(2)] == [b"log 00001 all quiet\r\n", b"log 00002 all quiet\r\n"]


@pytest.mark.parametrize(("kind", "waits"), [("nmea", True), ("boot", True), ("log", True), ("early", False)])
def test_only_early_chatter_does_not_wait_for_an_opener(kind: str, waits: bool) -> None:
    wire = Wire((f"chatter:{kind}",))
    assert wire.speaks_unasked
    assert wire.waits_for_opening == waits
    assert not Wire().speaks_unasked


@pytest.mark.parametrize("name", sorted(WIRE_FAULTS))
def test_every_fault_has_a_title_and_works_without_an_argument(name: str) -> None:
    assert WIRE_FAULTS[name].title
    Wire((name,)).outgoing([Chunk("text", b"x")], UNKNOWN)


@pytest.mark.parametrize(
    ("fault", "says"),
    [
        ("lost", "no fault is called 'lost'; there are: pace, "),
        ("lose:2", "is not a share"),
        ("lose:many", "could not convert"),
        ("unplug:0", "not a number above 0"),
        ("unplug:x", "invalid literal"),
        ("late-prompt:-1", "not a time in seconds"),
        ("chatter:birds", "chatter is nmea, boot, early or log"),
    ],
)
def test_a_fault_that_cannot_be_is_told_with_its_reason(fault: str, says: str) -> None:
    with pytest.raises(UnknownFaultError, match=says):
        Wire((fault,))

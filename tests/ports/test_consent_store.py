"""The file of consents: round trips, damage, locks, and two processes that write at the same time."""

from __future__ import annotations

import fcntl
import json
import os
import stat
import subprocess
import sys
from contextlib import suppress
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import hypothesis.strategies as st
import pytest
from hypothesis import given

import propsoff.ports.consent_store as module
from propsoff.exceptions import ConfigError, SettingsError, TargetError
from propsoff.ports.consent import Scope, Verdict
from propsoff.ports.consent_store import ConsentStore
from propsoff.ports.facts import Port, UsbIdentity

USB = UsbIdentity(0x0483, 0x5740, "4F2A00191C", "Fenwick", "Ossel Flight Core", "pci-0000:00:14.0-usb-0:4.2:1.0", 0)
PORT = Port("/dev/ttyACM0", USB, "udev")


def clock() -> datetime:
    return datetime(2026, 3, 14, 9, 30, tzinfo=UTC)


def numbered(serial_number: str) -> Port:
    return replace(PORT, usb=replace(USB, serial_number=serial_number))


@pytest.fixture
def store(tmp_path: Path) -> ConsentStore:
    return ConsentStore(tmp_path / "state" / "consents.json")


def test_a_missing_file_holds_no_consents(store: ConsentStore) -> None:
    assert store.all() == ()
    assert not store.path.exists()


def test_what_is_added_is_read_back_by_another_store(store: ConsentStore) -> None:
    added = [
        store.add(PORT, "board", "allow", clock, note="the one with the dent"),
        store.add(PORT, "socket", "deny", clock),
        store.add(numbered("x"), "kind", "allow", clock),
    ]
    assert ConsentStore(store.path).all() == tuple(added)


def test_the_time_is_rfc_3339_in_utc(store: ConsentStore) -> None:
    local = timezone(timedelta(hours=2))
    consent = store.add(PORT, "board", "allow", lambda: datetime(2026, 3, 14, 11, 30, tzinfo=local))
    assert consent.when == "2026-03-14T09:30:00+00:00"


def test_the_file_is_json_that_a_person_can_read(store: ConsentStore) -> None:
    store.add(PORT, "board", "allow", clock)
    (row,) = json.loads(store.path.read_text(encoding="utf-8"))
    assert row["vid"] == "0483"
    assert row["serial_number"] == "4F2A00191C"
    assert "path" not in row


def test_half_a_surrogate_pair_in_a_descriptor_does_no_harm(store: ConsentStore) -> None:
    consent = store.add(numbered("\ud800"), "board", "allow", clock)
    assert store.all() == (consent,)


def test_a_later_word_on_the_same_thing_replaces_the_earlier(store: ConsentStore) -> None:
    store.add(PORT, "board", "allow", clock)
    second = store.add(PORT, "board", "deny", clock)
    assert store.all() == (second,)


def test_revoking_takes_one_away_and_says_which(store: ConsentStore) -> None:
    board = store.add(PORT, "board", "allow", clock)
    kind = store.add(PORT, "kind", "allow", clock)
    assert store.revoke(board.id) == board
    assert store.all() == (kind,)


def test_revoking_the_last_leaves_an_empty_list(store: ConsentStore) -> None:
    store.revoke(store.add(PORT, "board", "allow", clock).id)
    assert store.all() == ()
    assert json.loads(store.path.read_text(encoding="utf-8")) == []


def test_revoking_what_is_not_there_lists_what_is(store: ConsentStore) -> None:
    kept = store.add(PORT, "board", "allow", clock)
    with pytest.raises(TargetError, match=rf"no consent 'nonsense'.*{kept.id}"):
        store.revoke("nonsense")
    assert store.all() == (kept,)


def test_a_refused_scope_writes_nothing(store: ConsentStore) -> None:
    with pytest.raises(SettingsError, match="serial number"):
        store.add(numbered(""), "board", "allow", clock)
    assert not store.path.exists()


def test_twins_among_the_attached_ports_are_refused(store: ConsentStore) -> None:
    twin = Port("/dev/ttyACM1", replace(USB, path="pci-0000:00:14.0-usb-0:7:1.0"), "udev")
    with pytest.raises(SettingsError, match="two attached boards"):
        store.add(PORT, "board", "allow", clock, attached=[PORT, twin])


GOOD = {
    "id": "aa",
    "verdict": "allow",
    "scope": "board",
    "when": "2026-03-14T09:30:00+00:00",
    "vid": "0483",
    "pid": "5740",
    "serial_number": "1",
}


def file_of(*rows: object) -> str:
    return "[\n" + ",\n".join(json.dumps(row) for row in rows) + "\n]\n"


@pytest.mark.parametrize(
    ("content", "line", "words"),
    [
        ("[\n{\n", 3, "is not JSON"),
        ("", 1, "is not JSON"),
        ('[\n  {"id": "aa",\n  oops\n]', 3, "is not JSON"),
        ("{}", 1, "must be an array"),
        ("[" * 100_000, 1, "nested too deep"),
        ("[" + "9" * 5000 + "]", 1, "is not JSON"),
        (file_of(GOOD, "text"), 3, "must be an object"),
        (file_of(GOOD, GOOD), 3, "second time"),
        (file_of(GOOD, GOOD | {"id": "bb", "verdict": "perhaps"}), 3, "verdict: must be allow or deny"),
        (file_of(GOOD | {"verdict": ["allow"]}), 2, "verdict: must be"),
        (file_of(GOOD | {"scope": "house"}), 2, "scope: must be board or kind or socket"),
        (file_of(GOOD | {"colour": "red"}), 2, "colour: is no key"),
        (file_of(GOOD | {"vid": "48"}), 2, "vid: must be four hexadecimal digits"),
        (file_of(GOOD | {"vid": 1155}), 2, "vid: must be four hexadecimal digits"),
        (file_of(GOOD | {"serial_number": ""}), 2, "serial_number: must be text"),
        (file_of(GOOD | {"serial_number": None}), 2, "serial_number: must be text"),
        (file_of(GOOD | {"product": "x"}), 2, "product: does not belong to the scope board"),
        (file_of(GOOD | {"scope": "kind"}), 2, "product: must be text"),
        (file_of(GOOD | {"when": "yesterday"}), 2, "when: must be a time"),
        (file_of(GOOD | {"when": "2026-03-14T09:30:00"}), 2, "when: must be a time with its zone"),
        (file_of(GOOD | {"note": 5}), 2, "note: must be text"),
        (file_of({}), 2, "scope: must be"),
    ],
)
def test_a_damaged_file_is_an_error_with_its_line_and_is_not_overwritten(
    store: ConsentStore, content: str, line: int, words: str
) -> None:
    store.path.parent.mkdir()
    store.path.write_text(content, encoding="utf-8")
    for attempt in (store.all, lambda: store.add(PORT, "board", "allow", clock), lambda: store.revoke("aa")):
        with pytest.raises(ConfigError) as caught:
            attempt()
        assert caught.value.line == line
        assert words in str(caught.value)
        assert str(store.path) in str(caught.value)
        assert "nothing was overwritten" in str(caught.value)
    assert store.path.read_text(encoding="utf-8") == content


def test_a_file_that_is_no_text_is_an_error_with_its_line(store: ConsentStore) -> None:
    store.path.parent.mkdir()
    store.path.write_bytes(b"[\n\xff\xfe\n]")
    with pytest.raises(ConfigError, match="line 2: is not UTF-8"):
        store.all()


def test_a_file_that_is_too_long_is_an_error(store: ConsentStore) -> None:
    store.path.parent.mkdir()
    store.path.write_bytes(b" " * (module.LARGEST_FILE_BYTES + 1))
    with pytest.raises(ConfigError, match="longer than"):
        store.all()


def test_a_folder_in_the_place_of_the_file_is_an_error(tmp_path: Path) -> None:
    (tmp_path / "consents.json").mkdir()
    with pytest.raises(ConfigError, match=r"cannot be read"):
        ConsentStore(tmp_path / "consents.json").all()


@given(st.binary(max_size=300))
def test_no_content_whatever_gives_anything_but_consents_or_a_config_error(content: bytes) -> None:
    with suppress(ConfigError):
        assert all(consent.id for consent in module._parsed(content, Path("consents.json")))


def test_a_hand_written_file_of_any_layout_is_read(store: ConsentStore) -> None:
    store.path.parent.mkdir()
    rows = [GOOD, GOOD | {"id": "bb", "verdict": "deny"}]
    store.path.write_text(json.dumps(rows, indent=4), encoding="utf-8")
    assert [consent.verdict for consent in store.all()] == ["allow", "deny"]


WRITER = """
import sys
from datetime import datetime, UTC
from propsoff.ports.consent_store import ConsentStore
from propsoff.ports.facts import Port, UsbIdentity

path, name = sys.argv[1:]
store = ConsentStore(path)
print("ready", flush=True)
sys.stdin.readline()
for number in range(25):
    port = Port("/dev/ttyACM0", UsbIdentity(0x0483, 0x5740, f"{name}-{number}"))
    store.add(port, "board", "allow", lambda: datetime.now(UTC))
"""


def test_two_processes_that_write_at_once_lose_nothing(store: ConsentStore) -> None:
    command = [sys.executable, "-c", WRITER, str(store.path)]
    writers = [
        subprocess.Popen([*command, name], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
        for name in ("page", "line")
    ]
    for writer in writers:
        assert writer.stdout is not None
        assert writer.stdout.readline() == "ready\n"
    for writer in writers:
        writer.communicate("go\n", timeout=50)
    assert [writer.returncode for writer in writers] == [0, 0]
    expected = {f"{name}-{number}" for name in ("page", "line") for number in range(25)}
    assert {consent.serial_number for consent in store.all()} == expected


def test_a_lock_that_is_never_released_is_an_error_and_not_a_hang(
    store: ConsentStore, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "LOCK_DEADLINE_S", 0.05)
    kept = store.add(PORT, "board", "allow", clock)
    descriptor = os.open(f"{store.path}.lock", os.O_RDONLY)
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX)
        with pytest.raises(ConfigError, match="another process held the lock"):
            store.add(PORT, "kind", "allow", clock)
        assert store.all() == (kept,)
    finally:
        os.close(descriptor)
    store.add(PORT, "kind", "allow", clock)


def test_a_write_that_fails_leaves_the_old_file_whole(store: ConsentStore, monkeypatch: pytest.MonkeyPatch) -> None:
    kept = store.add(PORT, "board", "allow", clock)
    before = store.path.read_bytes()

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(ConfigError, match="cannot be written: No space left"):
        store.add(PORT, "kind", "allow", clock)
    assert store.path.read_bytes() == before
    monkeypatch.undo()
    store.add(PORT, "kind", "allow", clock)
    assert store.all()[0] == kept


def test_a_reader_never_sees_a_half_written_file(store: ConsentStore, monkeypatch: pytest.MonkeyPatch) -> None:
    store.add(PORT, "board", "allow", clock)
    seen: list[int] = []
    real = os.fsync

    def look(descriptor: int) -> None:
        seen.append(len(ConsentStore(store.path).all()))
        real(descriptor)

    monkeypatch.setattr(os, "fsync", look)
    store.add(PORT, "kind", "allow", clock)
    # Before the rename the old file, after it (the sync of the folder) the new one.
    assert seen == [1, 2]


def test_the_file_stays_as_open_as_it_was(store: ConsentStore) -> None:
    store.add(PORT, "board", "allow", clock)
    store.path.chmod(0o640)
    store.add(PORT, "kind", "allow", clock)
    assert stat.S_IMODE(store.path.stat().st_mode) == 0o640


def test_a_link_to_the_file_stays_a_link(store: ConsentStore, tmp_path: Path) -> None:
    store.add(PORT, "board", "allow", clock)
    link = tmp_path / "link.json"
    link.symlink_to(store.path)
    ConsentStore(link).add(PORT, "kind", "allow", clock)
    assert link.is_symlink()
    assert len(store.all()) == 2


texts = st.text(min_size=1).filter(lambda text: bool(text.strip()) and text.isprintable())


@given(texts, texts, st.sampled_from(["board", "kind", "socket"]), st.sampled_from(["allow", "deny"]), st.text())
def test_any_text_of_a_descriptor_survives_the_file(
    tmp_path_factory: pytest.TempPathFactory, number: str, product: str, scope: Scope, verdict: Verdict, note: str
) -> None:
    store = ConsentStore(tmp_path_factory.mktemp("consents") / "consents.json")
    port = Port("/dev/ttyACM0", replace(USB, serial_number=number, product=product))
    consent = store.add(port, scope, verdict, clock, note=note)
    assert store.all() == (consent,)
    assert store.all()[0].covers(port)

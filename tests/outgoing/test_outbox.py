"""The queue on disk: order, bounds, what is damaged, and many threads at once."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest

from propsoff.outgoing.outbox import waiting_files
from tests_support.outgoing import Voice, an_outbox, no_file_free, queue
from tests_support.reports import a_report


def drained(folder: Path, voice: Voice) -> list[str]:
    """The reports in a queue as a new process finds them, in order."""
    outbox, found = an_outbox(folder, voice), list[str]()
    while (entry := outbox.first()) is not None:
        found.append(entry.head.report)
        outbox.done(entry.path)
    return found


def test_reports_wait_in_order_over_a_restart_and_none_twice(tmp_path: Path) -> None:
    voice = Voice()
    first = an_outbox(tmp_path / "q", voice)
    ids = [queue(first, f"board {number}") for number in range(12)]
    queue(first, "board 3")
    assert len(first) == 12
    second = an_outbox(tmp_path / "q", voice)
    ids += [queue(second, f"later {number}") for number in range(3)]
    queue(second, "board 3")
    assert drained(tmp_path / "q", voice) == ids
    assert waiting_files(tmp_path / "q") == []
    assert voice.troubles == []


def test_what_waits_is_the_report_byte_for_byte_and_what_is_known_of_it(tmp_path: Path) -> None:
    outbox = an_outbox(tmp_path / "q", Voice())
    queue(outbox, "teal wren")
    report, _ = a_report("teal wren")
    for box in (outbox, an_outbox(tmp_path / "q", Voice())):
        entry = box.first()
        assert entry is not None
        assert entry.body == report.to_json(indent=None).encode()
        assert (entry.head.report, entry.head.verdict) == (report.id, "incomplete")
        assert entry.head.capture == "teal wren.cast"


def test_of_too_many_the_oldest_is_dropped_aloud_but_never_what_is_under_way(tmp_path: Path) -> None:
    voice = Voice()
    outbox = an_outbox(tmp_path / "q", voice, keep=2)
    ids = [queue(outbox, name) for name in "ab"]
    entry = outbox.first()
    assert entry is not None
    assert outbox.hold(entry.path)
    ids.append(queue(outbox, "c"))
    assert len(voice.troubles) == 1
    assert ids[1] in voice.troubles[0]
    outbox.release()
    ids.append(queue(outbox, "d"))
    assert ids[0] in voice.troubles[1]
    assert not outbox.hold(entry.path)
    assert drained(tmp_path / "q", voice) == ids[2:]


DEEP = b"[" * 100_000 + b"]" * 100_000
HEAD = b'{"report":"a","verdict":"fail","place":null,"craft":null,"capture":null,"made_s":1.0}'


@pytest.mark.parametrize(
    "damage", [b"", b"\x00\xff", b"{}\n{}", b'{"report": 1}\n{}', b"[" * 100_000, DEEP, HEAD + b"\n" + DEEP]
)
def test_a_damaged_file_is_put_aside_and_said_and_the_next_one_comes(tmp_path: Path, damage: bytes) -> None:
    voice = Voice()
    queue(an_outbox(tmp_path / "q", voice), "a")
    [path] = waiting_files(tmp_path / "q")
    path.write_bytes(damage)
    good = queue(an_outbox(tmp_path / "q", voice), "b")
    assert drained(tmp_path / "q", voice) == [good]
    assert len(voice.troubles) == 1
    aside = path.with_suffix(".not-sent")
    assert str(aside) in voice.troubles[0]
    assert aside.read_bytes() == damage


def test_a_body_that_was_cut_short_is_put_aside(tmp_path: Path) -> None:
    voice = Voice()
    queue(an_outbox(tmp_path / "q", voice), "a")
    [path] = waiting_files(tmp_path / "q")
    path.write_bytes(path.read_bytes()[:-40])
    assert drained(tmp_path / "q", voice) == []
    assert "no report that waits" in voice.troubles[0]


def test_a_file_that_somebody_takes_away_is_passed_over(tmp_path: Path) -> None:
    voice = Voice()
    outbox = an_outbox(tmp_path / "q", voice)
    queue(outbox, "a")
    kept = queue(outbox, "b")
    waiting_files(tmp_path / "q")[0].unlink()
    entry = outbox.first()
    assert entry is not None
    assert entry.head.report == kept
    assert voice.troubles == []


def test_a_report_that_cannot_be_read_just_now_stays_where_it_is(tmp_path: Path) -> None:
    voice = Voice()
    kept = queue(an_outbox(tmp_path / "q", voice), "a")
    listed, fresh = an_outbox(tmp_path / "q", voice), an_outbox(tmp_path / "q", voice)
    assert len(listed) == 1
    with no_file_free():
        for outbox in (listed, fresh):
            with pytest.raises(OSError, match="Too many open files"):
                outbox.first()
        fresh.look_again()
    for outbox in (listed, fresh):
        entry = outbox.first()
        assert entry is not None
        assert entry.head.report == kept
    assert voice.troubles == []


def test_a_report_that_can_never_be_read_is_put_aside_in_the_end(tmp_path: Path) -> None:
    voice = Voice()
    outbox = an_outbox(tmp_path / "q", voice)
    queue(outbox, "a")
    with no_file_free():
        assert outbox.first(last_try=True) is None
    assert "it could not be read (Too many open files)" in voice.troubles[0]
    assert [path.suffix for path in (tmp_path / "q").iterdir()] == [".not-sent"]


def test_a_folder_among_those_that_wait_is_put_aside(tmp_path: Path) -> None:
    (tmp_path / "q" / "000000000001_x.outgoing").mkdir(parents=True)
    voice = Voice()
    assert an_outbox(tmp_path / "q", voice).first() is None
    assert "no report that waits" in voice.troubles[0]


def test_many_threads_put_in_at_once_and_nothing_is_lost(tmp_path: Path) -> None:
    voice = Voice()
    outbox = an_outbox(tmp_path / "q", voice)
    ids: list[str] = []
    threads = [
        threading.Thread(target=lambda at=at: ids.extend(queue(outbox, f"{at}-{number}") for number in range(5)))
        for at in range(8)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(20)
    assert sorted(drained(tmp_path / "q", voice)) == sorted(ids)
    assert len(ids) == 40


def test_a_disk_that_cannot_be_written_is_the_callers_to_know(tmp_path: Path) -> None:
    (tmp_path / "q").write_text("a file where the folder should be")
    with pytest.raises(OSError, match="q"):
        queue(an_outbox(tmp_path / "q", Voice()), "a")


def test_the_age_does_not_hang_on_a_clock_that_is_set_while_it_waits(tmp_path: Path) -> None:
    outbox = an_outbox(tmp_path / "q", Voice())
    queue(outbox, "a")
    mine, found = outbox.first(), an_outbox(tmp_path / "q", Voice()).first()
    assert mine is not None
    assert found is not None
    assert mine.queued_s is not None
    assert 0 <= mine.age_s < 20
    assert found.queued_s is None
    assert 0 <= found.age_s < 20

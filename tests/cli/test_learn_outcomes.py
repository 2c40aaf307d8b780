"""`propsoff learn`: what is refused, what is warned of, and with which exit code. The consoles are invented."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from propsoff.cli.learn_asking import would_send
from propsoff.dialects.load import parse_dialect
from propsoff.exceptions import DialectError
from propsoff.learning.model import HelpWord
from tests_support.captures import SOUND
from tests_support.processes import Run

ROOT = Path(__file__).parents[2]
UNPLUGGED = ROOT / "fixtures" / "captures" / "ossel-hd53-unplugged-in-mid-listing.cast"
TEASEL = """\
teasel> about
firmware    Teasel
version     0.9.1
board       FEN 3
teasel> radio
receiver    serial
protocol    SBUS
teasel>
"""
NAMELESS = "board> ver\nname: Fen\nversion: 1.2\nboard> rx\ntype: serial\nprotocol: CRSF\nboard> "
SHELL = "$ ls\na.txt  b.txt\n$ cat a.txt\nhello: there\n$ date\nThu Nov 26\n$"
SHELL_WITH_FACTS = "$ cat notes\nfirmware: Teasel\nversion: 1.2.3\nboard: FEN 3\n$ ls\nnotes\n$ pwd\n/home/somebody\n$"
FOUNDER = ("--set", "timings.listen_s=0.05", "learn")


def _learned(run: Run, folder: Path, text: str | bytes, *options: str) -> tuple[int, str, str | None]:
    """Exit code, standard error and draft of what is learned of a text."""
    (folder / "text.txt").write_bytes(text if isinstance(text, bytes) else text.encode())
    done = run("learn", "text.txt", "--no-input", "--out", "draft.toml", *options)
    draft = folder / "draft.toml"
    return done.returncode, done.stderr, draft.read_text() if draft.exists() else None


DOCUMENTS = ["README.md", "DEVELOPERS.md", "fixtures/propsoff_sim/CONSOLES.md"]
DOCUMENTS += [str(path.relative_to(ROOT)) for path in sorted((ROOT / "contrib" / "guide").glob("*.md"))]


@pytest.mark.parametrize("document", DOCUMENTS)
def test_a_document_is_no_console(run: Run, tmp_path: Path, document: str) -> None:
    done = run("learn", ROOT / document, "--no-input", "--out", "draft.toml")
    assert (done.returncode, done.stdout) == (3, ""), done.stderr
    assert "nothing was learned: " in done.stderr
    assert not (tmp_path / "draft.toml").exists()


@pytest.mark.parametrize("text", [SHELL, SHELL_WITH_FACTS])
def test_a_session_with_a_shell_is_no_console_of_a_board(run: Run, tmp_path: Path, text: str) -> None:
    code, said, draft = _learned(run, tmp_path, text)
    assert (code, draft) == (3, None)
    assert "nothing was learned: " in said
    assert "'$'" in said
    assert "'ls'" in said


def test_what_is_refused_is_not_printed_either_and_json_says_why(run: Run, tmp_path: Path) -> None:
    (tmp_path / "text.txt").write_text(SHELL)
    assert run("learn", "text.txt", "--no-input").stdout == ""
    done = run("learn", "text.txt", "--no-input", "--json")
    said = json.loads(done.stdout)
    assert done.returncode == 3
    assert (said["usable"], said["dialect"]) == (False, None)
    assert said["refused"] in done.stderr


def test_a_text_that_names_no_firmware_version_or_board_is_refused(run: Run, tmp_path: Path) -> None:
    page = "oak> radio\nprotocol: CRSF\nbaud: 420000\noak> battery\ncells: 6\nvoltage: 23.4 V\noak> "
    code, said, draft = _learned(run, tmp_path, page)
    assert (code, draft) == (3, None)
    assert "names a firmware, a version or a board" in said


def test_the_text_of_a_console_is_still_learned(run: Run, tmp_path: Path) -> None:
    code, said, draft = _learned(run, tmp_path, TEASEL)
    assert code == 0, said
    assert draft is not None
    assert 'id = "teasel"' in draft


def test_without_a_firmware_name_it_is_said_that_other_boards_would_be_read(run: Run, tmp_path: Path) -> None:
    code, said, draft = _learned(run, tmp_path, NAMELESS)
    assert code == 3
    assert draft is not None
    assert "any board" in said
    assert "'version: {_:rest}'" in said
    assert "--id" in said


def test_an_id_does_not_make_a_line_that_any_board_prints_tell_a_firmware(run: Run, tmp_path: Path) -> None:
    code, said, draft = _learned(run, tmp_path, NAMELESS, "--id", "fen")
    assert code == 3
    assert "any board" in said
    assert draft is not None
    assert 'id = "fen"' in draft


def test_a_line_of_its_own_tells_a_firmware_that_has_no_name_once_it_has_an_id(run: Run, tmp_path: Path) -> None:
    text = "oak> ver\nboard: FEN 3\noak> rx\nprotocol: CRSF\noak> "
    code, said, _ = _learned(run, tmp_path, text)
    assert code == 3
    assert "--id" in said
    assert "any board" not in said
    (tmp_path / "draft.toml").unlink()
    code, said, _ = _learned(run, tmp_path, text, "--id", "oak")
    assert code == 0, said


def test_a_name_that_a_person_confirms_names_the_draft(home: dict[str, str], tmp_path: Path) -> None:
    (tmp_path / "text.txt").write_text("oak> ver\nfirmware: Fen\nversion: 1.2\noak> rx\nprotocol: CRSF\noak> ")
    words = ["learn", "text.txt", "--threshold", "0.97", "--out", "draft.toml"]
    done = subprocess.run(
        [sys.executable, "-m", "propsoff", *words], input="y\n" * 20, capture_output=True, text=True, timeout=50,
        check=False, cwd=tmp_path, env=home,
    )  # fmt: skip
    assert "is this firmware.name " in done.stderr
    assert done.returncode == 0, done.stderr
    assert 'id = "fen"\ntitle = "Fen"\n' in (tmp_path / "draft.toml").read_text()


def _asked(home: dict[str, str], folder: Path, port: str, answer: str) -> subprocess.CompletedProcess[str]:
    words = ["-m", "propsoff", *FOUNDER, port, "--out", "draft.toml"]
    return subprocess.run(
        [sys.executable, *words], input=answer, capture_output=True, text=True, timeout=50, check=False,
        cwd=folder, env=home,
    )  # fmt: skip


@pytest.mark.parametrize("answer", ["n\n", ""])
def test_who_declines_is_told_so_and_the_board_is_blamed_for_nothing(
    home: dict[str, str], tmp_path: Path, sim_board: Any, answer: str
) -> None:
    done = _asked(home, tmp_path, str(sim_board("wickerby").path), answer)
    assert done.returncode == 130
    assert "nothing was sent, as you said" in done.stderr
    assert "does not work" not in done.stderr
    assert list(tmp_path.glob("draft*")) == []


def test_a_conversation_that_broke_off_is_learned_and_said_to_be_one(run: Run, tmp_path: Path) -> None:
    done = run("learn", UNPLUGGED, "--no-input", "--out", "draft.toml")
    assert done.returncode == 3
    assert "broke off: /bench/sockets/board: it was unplugged" in done.stderr
    assert "'recite'" in done.stderr
    assert (tmp_path / "draft.toml").exists()


def test_a_recording_without_its_end_is_said_to_be_one(run: Run, tmp_path: Path) -> None:
    lines = Path(SOUND).read_text().splitlines(keepends=True)
    (tmp_path / "cut.cast").write_text("".join(line for line in lines if '"end: ' not in line))
    done = run("learn", "cut.cast", "--no-input", "--out", "draft.toml")
    assert done.returncode == 3
    assert "broke off: the recording has no end" in done.stderr


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be", "utf-8-sig"])
def test_the_first_command_of_a_text_is_heard_in_every_encoding(run: Run, tmp_path: Path, encoding: str) -> None:
    code, said, draft = _learned(run, tmp_path, TEASEL.replace("\n", "\r\n").encode(encoding))
    assert code == 0, said
    assert draft is not None
    assert 'command = "about"' in draft


@pytest.mark.parametrize("lead", ["    ", "\t", "> "])
def test_what_stands_before_every_line_of_a_paste_is_not_the_board_s(run: Run, tmp_path: Path, lead: str) -> None:
    code, said, draft = _learned(run, tmp_path, "".join(f"{lead}{line}\n" for line in TEASEL.splitlines()))
    assert code == 0, said
    assert draft is not None
    assert 'prompt = "teasel>"' in draft


def test_an_id_that_can_be_none_is_refused_before_anything_is_sent(run: Run, tmp_path: Path, sim_board: Any) -> None:
    board = sim_board("wickerby")
    done = run(*FOUNDER, board.path, "--no-input", "--out", "draft.toml", "--id", "Bad Id!")
    assert done.returncode == 2
    assert "'Bad Id!'" in done.stderr
    assert "lower-case letters, digits and hyphens" in done.stderr
    assert board.received == b""
    assert list(tmp_path.glob("draft*")) == []


@pytest.mark.parametrize("id_", ["oak", "0ak-2", "-oak", "Oak", "o k", "", "oak\n", "öak"])
def test_what_is_taken_for_an_id_is_what_a_dialect_takes_for_one(run: Run, id_: str) -> None:
    refused: DialectError | None = None
    try:
        parse_dialect(f"format = 1\nid = {json.dumps(id_)}\n", "a test")
    except DialectError as error:
        refused = error  # of the id, or of the title, which comes next
    assert refused is not None
    taken = refused.key != "id"
    done = run("learn", "no-such-file", "--id", id_)
    assert ("'--id'" not in done.stderr) is taken, done.stderr


def test_why_no_usb_hint_is_written_is_said(run: Run, tmp_path: Path, sim_board: Any) -> None:
    _, said, draft = _learned(run, tmp_path, TEASEL, "--usb")
    assert "no USB hint is written: text.txt" in said
    assert draft is not None
    assert "[[usb]]" not in draft
    done = run(*FOUNDER, sim_board("wickerby").path, "--no-input", "--usb", "--out", "live.toml")
    assert ("no USB hint is written" in done.stderr) is ("[[usb]]" not in (tmp_path / "live.toml").read_text())


def test_a_recording_that_names_its_board_s_usb_identity_gives_the_hint(run: Run, tmp_path: Path) -> None:
    header, *events = Path(SOUND).read_text().splitlines(keepends=True)
    values = json.loads(header)
    values["propsoff"]["port"] |= {"vid": "1209", "pid": "00a1", "product": "Oak Board"}
    (tmp_path / "usb.cast").write_text(json.dumps(values) + "\n" + "".join(events))
    done = run("learn", "usb.cast", "--no-input", "--usb", "--out", "draft.toml")
    assert "no USB hint" not in done.stderr
    assert 'vid = 0x1209\npid = 0x00a1\nproduct = "Oak Board"\n' in (tmp_path / "draft.toml").read_text()


def test_a_port_that_cannot_be_opened_says_its_name_once_and_leaves_nothing(run: Run, tmp_path: Path) -> None:
    # Port 1 of the own machine: nothing listens there (RFC 6335 leaves it to a service that nobody runs any more).
    done = run("learn", "socket://localhost:1", "--no-input", "--out", "draft.toml")
    assert done.returncode == 3
    assert done.stderr.count("socket://localhost:1") == 1, done.stderr
    assert list(tmp_path.glob("draft*")) == []


def test_a_port_that_says_nothing_says_its_name_once_and_leaves_nothing(run: Run, tmp_path: Path) -> None:
    ours, theirs = os.openpty()
    try:
        name = os.ttyname(theirs)
        done = run(*FOUNDER, name, "--no-input", "--out", "draft.toml")
    finally:
        os.close(ours)
        os.close(theirs)
    assert done.returncode == 3
    assert done.stderr.count(name) == 1, done.stderr
    assert "nothing was heard" in done.stderr
    assert list(tmp_path.glob("draft*")) == []


def test_what_of_weight_is_not_known_is_said_in_one_line(run: Run, tmp_path: Path) -> None:
    _, said, _ = _learned(run, tmp_path, TEASEL)
    [line] = [line for line in said.splitlines() if "not known" in line]
    assert line == (
        "propsoff: not known of this board: serial number, channel order, switches, ports, overlay grid, video link, "
        "failsafe"
    )


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (TEASEL, "4 facts bound, 1 statement left to a person"),
        ("oak> ver\nversion: 1.2.3\noak> colour\ntint: mauve\nhue: dim\noak> ", "1 fact bound, 2 statements left"),
    ],
)
def test_one_is_said_as_one(run: Run, tmp_path: Path, text: str, said: str) -> None:
    assert said in _learned(run, tmp_path, text)[1]


@pytest.mark.parametrize(
    ("number", "said"),
    [
        (0, "would send no word: none is known that certainly only reads"),
        (1, "would send 1 word that reads:"),
        (2, "would send 2 words that read:"),
    ],
)
def test_the_words_that_would_be_sent_are_counted(number: int, said: str) -> None:
    chosen = [HelpWord(f"page{at}", "shows it", at) for at in range(number)]
    first, *others = would_send(chosen, [])
    assert first == said
    assert len(others) == number


def test_a_draft_that_does_not_read_its_own_conversation_right_says_what(run: Run, tmp_path: Path) -> None:
    # Two commands and their answers, but no prompt behind the second: it may have gone on.
    code, said, draft = _learned(run, tmp_path, TEASEL.removesuffix("teasel>\n"))
    assert code == 3
    assert "the reply to 'radio' is " in said
    assert draft is not None

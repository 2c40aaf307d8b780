"""`propsoff sheet`: check, draft and show."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from tests_support.captures import CAPTURES, SOUND
from tests_support.processes import Run, stopped_while_reading
from tests_support.sheets import HEAD, RICH


def test_sheets_that_are_right_are_said_to_be(run: Run, tmp_path: Path) -> None:
    (tmp_path / "base.toml").write_text('format = 1\nname = "base"\nabstract = true\n')
    (tmp_path / "top.toml").write_text('format = 1\nname = "top"\nextends = ["base", "house-default"]\n')
    done = run("sheet", "check", tmp_path / "base.toml", tmp_path / "top.toml")
    assert done.returncode == 0
    assert done.stdout.splitlines() == [
        f"ok  {tmp_path}/base.toml: base",
        f"ok  {tmp_path}/top.toml: top, built on house-default, base",
    ]
    folder = run("sheet", "check", tmp_path)
    assert (folder.returncode, folder.stdout) == (0, done.stdout)


def test_a_wrong_sheet_is_told_by_file_line_key_problem_and_hint(run: Run, tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text('format = 1\nname = "a"\n[channels]\nordr = "AETR"\nlow = "x"\n')
    (tmp_path / "b.toml").write_text('format = 1\nname = "b"\n')
    done = run("sheet", "check", "a.toml", "b.toml")
    assert done.returncode == 2
    assert done.stdout.splitlines() == [
        "a.toml:4: channels.ordr: there is no such key in a build sheet of format 1 (did you mean order?)",
        "a.toml:5: channels.low: 'x' is not a whole number (lower end that the board expects (us))",
        "ok  b.toml: b",
    ]


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"\xff\xfe", "line 1|:1: is not UTF-8 text"),
        (b"format = \n", ":1: is not TOML"),
        (b"", ": format: missing"),
        (b'format = 1\nname = "x"\nextends = "x"\n', ":3: extends: extends in a circle: x extends x"),
        (b'format = 1\nname = "x"\nextends = "house"\n', ":3: extends: there is no build sheet 'house'"),
        (b'format = 1\nname = "x\x1b[2J"\n', ":2: "),
        (b'format = 1\nname = "x"\n[checks]\nonly = ["port-rolls"]\n', "(did you mean port-roles?)"),
        (
            b'format = 1\nname = "x"\n[[waivers]]\nfinding = "port-rolls/x"\nreason = "r"\n',
            ":3: waivers.port-rolls/x: ",
        ),
        (
            b'format = 1\nname = "x"\n[[waivers]]\nfinding = "notes-file/other-craft"\nreason = "r"\n',
            ": what is found under notes-file cannot be waived",
        ),
        (b'format = 1\nname = "x"\n' + b"a" * (2 << 20), "larger than 1 MiB"),
    ],
)
def test_whatever_a_sheet_holds_there_is_an_answer_and_no_traceback(
    run: Run, tmp_path: Path, data: bytes, told: str
) -> None:
    (tmp_path / "x.toml").write_bytes(data)
    done = run("sheet", "check", "x.toml")
    assert done.returncode == 2
    assert any(each in done.stdout for each in told.split("|")), done.stdout
    assert "Traceback" not in done.stderr
    assert "\x1b" not in done.stdout


def test_a_sheet_that_is_not_there_is_told(run: Run) -> None:
    done = run("sheet", "check", "gone.toml")
    assert done.returncode == 2
    assert done.stdout.startswith("gone.toml: there is no such file or folder")


def test_what_is_wrong_with_a_base_is_told_for_the_sheet_that_is_built_on_it(run: Run, tmp_path: Path) -> None:
    (tmp_path / "base.toml").write_text('format = 1\nname = "base"\ncolour = 1\n')
    (tmp_path / "top.toml").write_text('format = 1\nname = "top"\nextends = "base"\n')
    done = run("--set", 'checks.sheets=["base.toml"]', "sheet", "check", "top.toml")
    assert done.returncode == 2
    assert done.stdout.count("base.toml:3: colour: there is no such key") == 1


def test_a_sheet_drafted_from_a_capture_is_right_and_the_craft_passes_against_it(run: Run, tmp_path: Path) -> None:
    capture = CAPTURES / "ossel-hd53-sound.cast"
    drafted = run("sheet", "draft", capture, "--out", "teal.toml")
    assert (drafted.returncode, drafted.stdout) == (0, "")
    assert "written: teal.toml" in drafted.stderr
    assert run("sheet", "check", "teal.toml").returncode == 0
    inspected = run("inspect", capture, "--sheet", "teal.toml", "--json")
    report = json.loads(inspected.stdout)
    assert (inspected.returncode, report["verdict"], report["sheet"]["name"]) == (0, "pass", "teal-wren-digital")
    assert run("sheet", "draft", capture).stdout == (tmp_path / "teal.toml").read_text()
    again = run("sheet", "draft", capture, "--out", "teal.toml")
    assert again.returncode == 2
    assert "is there already" in again.stderr


def test_a_sheet_is_drafted_from_the_board_on_a_port(run: Run, sim_bench: Any) -> None:
    board = sim_bench.plug("brindle-analog", "a", socket="1-3:1.0")
    done = run("--set", "timings.listen_s=0.05", "sheet", "draft", board.path)
    assert done.returncode == 0, done.stderr
    sheet = tomllib.loads(done.stdout)
    assert sheet["match"] == {"board": "MARL-405", "video": "analog"}
    assert sheet["receiver"]["protocol"] == "sbus"


@pytest.mark.parametrize(
    ("target", "code", "told"),
    [
        ("gone.cast", 2, "there is no such port or file"),
        (".", 2, "neither a port nor a capture"),
        ("nonsense://x", 2, "nonsense"),
        (CAPTURES / "stranger-silence.cast", 3, "no sheet can be drafted"),
        (CAPTURES / "ossel-hd53-unplugged-in-mid-listing.cast", 3, "did not reach its end"),
        (CAPTURES / "corvane-hd53-two-roles.cast", 0, "not right against its own sheet: port-roles"),
    ],
)
def test_what_no_sheet_or_no_good_one_can_be_drafted_from_is_told(
    run: Run, target: str | Path, code: int, told: str
) -> None:
    done = run("sheet", "draft", target)
    assert done.returncode == code, done.stderr
    assert told in done.stderr
    assert "Traceback" not in done.stderr


def test_a_resolved_sheet_is_shown_with_where_each_value_comes_from(run: Run, tmp_path: Path) -> None:
    (tmp_path / "top.toml").write_text(
        f'{HEAD.replace("teal", "top")}extends = "house-default"\n[channels]\norder = "TAER"\n'
    )
    done = run("sheet", "show", "TOP", "--sheet", "top.toml")
    assert done.returncode == 0
    lines = {" ".join(line.split()) for line in done.stdout.splitlines()}
    assert 'order = "TAER" # top.toml:5' in lines
    assert 'kind = ["serial", "spi"] # built in: house-default.toml:9' in lines
    assert tomllib.loads(done.stdout)["channels"] == {"order": "TAER"}


@pytest.mark.parametrize(
    ("text", "name", "told"),
    [
        ("", "house-defalt", "did you mean house-default?"),
        (f"{HEAD}colour = 1\n", "teal", "colour"),
        (f'{HEAD}extends = "gone"\n', "teal", "no build sheet 'gone'"),
        (f'{HEAD}[ports]\nrequired = ["receiver"]\nallowed = []\n', "teal", "ports.required"),
    ],
)
def test_a_sheet_that_cannot_be_shown_is_an_error_with_the_next_step(
    run: Run, tmp_path: Path, text: str, name: str, told: str
) -> None:
    (tmp_path / "s.toml").write_text(text or HEAD)
    done = run("sheet", "show", name, "--sheet", "s.toml")
    assert (done.returncode, done.stdout) == (2, "")
    assert told in done.stderr
    assert "Traceback" not in done.stderr


def test_the_schema_of_a_sheet_is_printed_and_takes_a_sheet(run: Run) -> None:
    schema = json.loads(run("schema", "sheet").stdout)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    document = json.loads(json.dumps(tomllib.loads(RICH), default=str))
    jsonschema.Draft202012Validator(schema).validate(document)
    assert "sheet   a build sheet" in run("schema").stdout.replace("sheet  a", "sheet   a")


def test_each_of_the_three_explains_itself_and_a_misspelt_one_is_a_usage_error(run: Run) -> None:
    for words in (["check"], ["draft"], ["show"]):
        done = run("sheet", *words, "--help")
        assert (done.returncode, done.stdout.startswith(f"Usage: propsoff sheet {words[0]}")) == (0, True)
    assert run("sheet", "chek").returncode == 2
    assert run("sheet").returncode == 2


def test_a_link_that_leads_to_itself_is_told_like_any_file_that_cannot_be_read(run: Run, tmp_path: Path) -> None:
    loop = tmp_path / "loop.toml"
    loop.symlink_to(loop)
    done = run("sheet", "check", loop)
    assert done.returncode == 2
    assert done.stdout.startswith(f"{loop}: ")


@pytest.mark.parametrize("words", [["x" * 300], [SOUND, "--out", f"{'x' * 300}.toml"]])
def test_a_name_that_no_file_can_have_is_told_to_whoever_drafts(run: Run, words: list[str]) -> None:
    done = run("sheet", "draft", *words)
    assert (done.returncode, done.stdout) == (2, "")
    assert "File name too long" in done.stderr
    assert "fault" not in done.stderr


async def test_ctrl_c_while_a_board_is_read_makes_no_draft_and_ends_with_130(
    home: dict[str, str], sim_bench: Any, tmp_path: Path
) -> None:
    board = sim_bench.plug("ossel-hd53", "slow", pace=9600)
    done, told = await stopped_while_reading(board, home, "sheet", "draft", board.path, "--out", tmp_path / "made.toml")
    assert (done, told) == (130, b"")
    assert not (tmp_path / "made.toml").exists()

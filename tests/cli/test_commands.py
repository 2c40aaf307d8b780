"""The smaller commands: what they print, and what they say to mistakes."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from propsoff.cli.main import COMMANDS
from tests_support.processes import Run


@pytest.mark.parametrize("command", sorted(COMMANDS))
def test_every_command_explains_itself(run: Run, command: str) -> None:
    done = run(command, "--help")
    assert done.returncode == 0
    assert done.stdout.startswith(f"Usage: propsoff {command}")


def test_help_shows_every_command_and_the_exit_codes(run: Run) -> None:
    done = run("--help")
    assert all(f"  {command} " in done.stdout for command in COMMANDS)
    assert "Exit codes" in done.stdout
    assert "Propellers off" in done.stdout


@pytest.mark.parametrize(
    ("words", "hint"),
    [
        (["wach"], "Did you mean watch"),
        (["checks", "overlay-canvs"], "Did you mean overlay-canvas"),
        (["sim", "ossel-hd54"], "ossel-hd53"),
        (["inspect"], "Missing argument"),
        (["--set", "timings.listn_s=1", "checks"], "timings.listen_s"),
        (["--set", "nonsense", "checks"], "SECTION.KEY=VALUE"),
        (["--set", 'checks.skip=["chanel-order"]', "checks"], "channel-order"),
        (["allow", "/dev/ttyNOWHERE"], "not attached"),
        (["revoke", "12345678"], "there is no consent"),
    ],
)
def test_a_mistake_is_a_usage_error_with_the_next_step(run: Run, words: list[str], hint: str) -> None:
    done = run("--set", "ports.source=listing", *words)
    assert done.returncode == 2
    assert hint in " ".join(done.stderr.split())
    assert "Traceback" not in done.stderr


def test_checks_say_what_they_read_and_where_it_comes_from(run: Run) -> None:
    listed = json.loads(run("checks", "--json").stdout)
    assert [each["id"] for each in listed][:4] == ["receiver-type", "channel-order", "port-roles", "overlay-canvas"]
    assert all(each["why"] and each["reads"] and each["sources"] for each in listed)
    told = run("checks", "overlay-canvas").stdout
    assert "MAX7456" in told
    assert "reads" in told


def test_the_printed_schema_is_a_valid_schema(run: Run) -> None:
    schema = json.loads(run("schema", "report").stdout)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    jsonschema.Draft202012Validator.check_schema(schema)


def test_settings_tell_value_and_origin(run: Run, tmp_path: Path) -> None:
    (tmp_path / "propsoff.toml").write_text("[log]\nlevel = 'error'\n")
    told = json.loads(run("settings", "--json", PROPSOFF_TIMINGS__LISTEN_S="0.5").stdout)
    assert told["log.level"] == {"value": "error", "from": f"{tmp_path}/propsoff.toml, line 2"}
    assert told["timings.listen_s"] == {"value": 0.5, "from": "environment, PROPSOFF_TIMINGS__LISTEN_S"}
    assert "Passive listening" in run("settings").stdout


def test_a_broken_settings_file_stops_every_command_with_its_line(run: Run, tmp_path: Path) -> None:
    (tmp_path / "propsoff.toml").write_text("[timings]\nlisten_s = 'x'\n")
    done = run("checks")
    assert done.returncode == 2
    assert "propsoff.toml, line 2: timings.listen_s" in done.stderr


def test_dialects_sheets_and_plugins_are_listed_with_their_origin(run: Run) -> None:
    dialects = run("dialects").stdout
    assert all(name in dialects for name in ("ossel", "brindle", "corvane", "0483:5740"))
    assert "house-default" in run("sheets").stdout
    plugins = run("plugins").stdout
    assert "propsoff_checks" in plugins
    assert "built in" in plugins


@pytest.mark.parametrize(("command", "folder"), [("dialects", "dialects"), ("sheets", "sheets")])
def test_a_broken_file_of_the_users_is_named_and_the_others_stay(
    run: Run, tmp_path: Path, command: str, folder: str
) -> None:
    place = tmp_path / "config" / "propsoff" / folder
    place.mkdir(parents=True)
    (place / "mine.toml").write_text("format = 1\nnmae = 'x'\n")
    done = run(command)
    assert done.returncode == 2
    assert f"{place}/mine.toml" in done.stderr
    assert len(done.stdout.splitlines()) >= 2


def test_consents_are_kept_listed_beaten_by_denial_and_taken_back(run: Run, sim_bench: Any) -> None:
    board = sim_bench.plug("ossel-hd53", socket="1-3:1.0")
    here = ("--set", f"ports.folder={sim_bench.folder}", "--set", "ports.source=none")
    allowed = run(*here, "allow", board.path, "--scope", "board", "--note", "bench two")
    assert allowed.returncode == 0, allowed.stderr
    assert "4F2A00191C" in run(*here, "allow").stdout
    assert "bench two" in run(*here, "allow").stdout
    assert run(*here, "deny", board.path, "--scope", "socket").returncode == 0
    ports = json.loads(run(*here, "ports", "--json").stdout)
    assert [(port["opens"], port["rule"]) for port in ports] == [(False, "denied")]
    listed = run(*here, "deny").stdout
    denial = next(line.split()[0] for line in listed.splitlines() if " deny " in line)
    assert run(*here, "revoke", denial).returncode == 0
    assert json.loads(run(*here, "ports", "--json").stdout)[0]["opens"] is True


def test_sim_prints_each_board_when_it_is_there_and_ends_with_its_input(home: dict[str, str]) -> None:
    simulator = subprocess.Popen(
        [sys.executable, "-m", "propsoff", "sim", "ossel-hd53", "gps"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env=home,
    )
    assert simulator.stdout
    assert simulator.stdin
    lines = [simulator.stdout.readline().split() for _ in range(2)]
    assert [line[0] for line in lines] == ["ossel-hd53", "gps"]
    assert all(Path(line[1]).exists() for line in lines)
    simulator.stdin.close()
    assert simulator.wait(30) == 0
    simulator.stdout.close()
    assert not any(Path(line[1]).exists() for line in lines)


def test_sim_lists_boards_strangers_and_faults(run: Run) -> None:
    listed = run("sim", "--list").stdout
    assert all(word in listed for word in ("ossel-hd53", "corvane-analog-spi", "gps", "small-grid", "unplug"))

"""Settings: rising order, where each value came from, and errors that say which file, line and key."""

from __future__ import annotations

from pathlib import Path

import pytest

from propsoff.console.timings import Timings
from propsoff.exceptions import SettingsError
from propsoff.settings import known_keys
from propsoff.settings_sources import load_settings


@pytest.fixture(autouse=True)
def homes(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A user and a system of the test's own (XDG Base Directory Specification 0.8), and no PROPSOFF_ variables."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "user"))
    monkeypatch.setenv("XDG_CONFIG_DIRS", str(tmp_path / "system"))
    for place in ("user", "system"):
        (tmp_path / place / "propsoff").mkdir(parents=True)
    (tmp_path / "work").mkdir()


def write(tmp_path: Path, place: str, text: str) -> None:
    folder = tmp_path / place if place == "work" else tmp_path / place / "propsoff"
    (folder / "propsoff.toml").write_text(text)


def test_each_layer_beats_the_one_below_it_and_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write(tmp_path, "system", "[timings]\nlisten_s = 1\nwake_s = 1\nidentify_s = 1\nquiet_s = 1\n")
    write(tmp_path, "user", "[timings]\n# ours\nwake_s = 2\nidentify_s = 2\nquiet_s = 2\n")
    write(tmp_path, "work", "[timings]\nidentify_s = 3\nquiet_s = 3\n")
    monkeypatch.setenv("PROPSOFF_TIMINGS__QUIET_S", "4")
    loaded = load_settings({"timings": {"stall_s": "5"}}, folder=tmp_path / "work")
    waits = loaded.settings.waits()
    assert (waits.listen_s, waits.wake_s, waits.identify_s, waits.quiet_s, waits.stall_s) == (1, 2, 3, 4, 5)
    assert loaded.origins["timings.listen_s"] == f"{tmp_path}/system/propsoff/propsoff.toml, line 2"
    assert loaded.origins["timings.wake_s"] == f"{tmp_path}/user/propsoff/propsoff.toml, line 3"
    assert loaded.origins["timings.identify_s"] == f"{tmp_path}/work/propsoff.toml, line 2"
    assert loaded.origins["timings.quiet_s"] == "environment, PROPSOFF_TIMINGS__QUIET_S"
    assert loaded.origins["timings.stall_s"] == "command line"
    assert loaded.origins["timings.close_s"] == "built in"


def test_without_files_the_waits_are_those_of_the_console(tmp_path: Path) -> None:
    assert load_settings(folder=tmp_path / "work").settings.waits() == Timings()


@pytest.mark.parametrize(
    ("text", "line", "key", "words"),
    [
        ("[timings]\nlistn_s = 1\n", 2, "timings.listn_s", "timings.listen_s"),
        ("[timing]\nlisten_s = 1\n", 1, "timing", "timings"),
        ("timings = 3\n", 1, "timings", "table"),
        ("[log]\n\nlevel = 'loud'\n", 3, "log.level", "loud"),
        ("[timings]\nlisten_s = -1\n", 2, "timings.listen_s", "-1"),
        ("[timings]\nlisten_s = nan\n", 2, "timings.listen_s", "nan"),
        ("[timings]\nlisten_s = true\nlisten_s = 2\n", 3, None, "TOML"),
        ("[output]\nkeep = 'many'\n", 2, "output.keep", "many"),
        ("[checks]\nskip = 'all'\n", 2, "checks.skip", "all"),
        ("[output]\nfolder = '~nosuchuser/reports'\n", 2, "output.folder", "'~nosuchuser/reports'"),
        ("[checks]\n\nsheets = ['a', '~nosuchuser/b']\n", 3, "checks.sheets", "'~nosuchuser/b'"),
        ("[outgoing.mqtt]\nhost = 'x'\npassword_file = '~nosuchuser/p'\n", 1, "outgoing.mqtt", "home folder"),
        ("[ports]\npoll_s = 0\n", 2, "ports.poll_s", "0.05"),
        ("[output]\nretry_s = 0\n", 2, "output.retry_s", "0.05"),
    ],
)
def test_a_wrong_file_is_told_with_line_and_key(
    tmp_path: Path, text: str, line: int, key: str | None, words: str
) -> None:
    write(tmp_path, "work", text)
    with pytest.raises(SettingsError) as caught:
        load_settings(folder=tmp_path / "work")
    assert (caught.value.line, caught.value.key) == (line, key)
    assert words in str(caught.value)
    assert "propsoff.toml" in str(caught.value)


def test_a_misspelt_variable_is_refused_with_the_nearest_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PROPSOFF_TIMINGS__LISTEN", "0")
    with pytest.raises(SettingsError, match="PROPSOFF_TIMINGS__LISTEN_S"):
        load_settings(folder=tmp_path / "work")


@pytest.mark.parametrize("value", ["soon", "nan", "-1", ""])
def test_a_wrong_variable_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, value: str) -> None:
    monkeypatch.setenv("PROPSOFF_TIMINGS__LISTEN_S", value)
    with pytest.raises(SettingsError, match=r"environment.*timings\.listen_s"):
        load_settings(folder=tmp_path / "work")


def test_a_variable_with_a_broken_list_is_told_not_thrown(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PROPSOFF_CHECKS__SKIP", "[receiver-type")
    with pytest.raises(SettingsError, match="environment"):
        load_settings(folder=tmp_path / "work")


def test_a_wrong_option_is_named(tmp_path: Path) -> None:
    with pytest.raises(SettingsError, match=r"command line: timings\.listen_s"):
        load_settings({"timings": {"listen_s": "x"}}, folder=tmp_path / "work")
    with pytest.raises(SettingsError, match=r"timings\.listn_s"):
        load_settings({"timings": {"listn_s": "1"}}, folder=tmp_path / "work")


def test_a_relative_path_in_a_file_is_relative_to_that_file(tmp_path: Path) -> None:
    write(tmp_path, "user", "[output]\nfolder = 'reports'\n[checks]\nsheets = ['house', '/abs']\n")
    settings = load_settings(folder=tmp_path / "work").settings
    assert settings.output.folder == tmp_path / "user/propsoff/reports"
    assert settings.checks.sheets == (tmp_path / "user/propsoff/house", Path("/abs"))


def test_every_setting_says_what_it_is() -> None:
    from propsoff.settings import Settings

    for key in known_keys():
        section, _, leaf = key.partition(".")
        kind = Settings.model_fields[section].annotation
        assert kind is not None
        assert kind.model_fields[leaf].description, key


def test_a_wrong_value_deep_in_a_table_is_told_with_where_it_stands(tmp_path: Path) -> None:
    (tmp_path / "propsoff.toml").write_text('[[outgoing.commands]]\nname = "ring"\nargv = []\n')
    with pytest.raises(SettingsError, match=r"outgoing\.commands: 0\.argv: ") as caught:
        load_settings(folder=tmp_path)
    assert caught.value.line == 1


def test_what_a_bench_tells_its_commands_is_no_misspelt_setting(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PROPSOFF_REPORT_ID", "20270101T000000Z-board-000000000000")
    monkeypatch.setenv("PROPSOFF_VERDICT", "fail")
    assert load_settings(folder=tmp_path).settings.bench.name == "bench"

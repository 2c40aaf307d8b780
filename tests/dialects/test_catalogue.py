"""Finding dialect files, and which one wins."""

from __future__ import annotations

from pathlib import Path

import pytest

from propsoff.dialects.catalogue import BUILTIN, catalogue


def toy(folder: Path, name: str, id_: str, title: str = "Toy") -> Path:
    """A small dialect file."""
    folder.mkdir(parents=True, exist_ok=True)
    file = folder / name
    file.write_text(
        f'format = 1\nid = "{id_}"\ntitle = "{title}"\n[console]\nline_end = "\\r"\necho = true\nprompt = "> "\n'
        '[identity]\ncommand = "who"\nknown_by = "toy"\ngrammar = "lines"\nlines = ["v {v:word}"]\n'
        '[identity.words]\nv = "firmware.version"\n'
    )
    return file


def test_the_built_in_dialects_are_there_without_a_word(tmp_path: Path) -> None:
    found = catalogue()
    assert [dialect.id for dialect in found.dialects] == ["brindle", "corvane", "ossel"]
    assert (found.errors, found.notes) == ((), ())
    assert found.get("ossel") is found.dialects[2]
    assert found.get("nobody") is None
    assert sorted(path.stem for path in BUILTIN.glob("*.toml")) == ["brindle", "corvane", "ossel"]


def test_files_and_folders_of_plug_ins_and_of_the_user_are_found(tmp_path: Path) -> None:
    one = toy(tmp_path / "plugin", "one.toml", "one")
    toy(tmp_path / "user", "two.toml", "two")
    toy(tmp_path / "user", "notes.txt", "three")
    found = catalogue(plugins=[one], user=[tmp_path / "user"])
    assert [dialect.id for dialect in found.dialects] == ["brindle", "corvane", "one", "ossel", "two"]
    assert found.errors == ()


def test_the_users_file_wins_over_a_plug_ins_and_that_over_a_built_in_one_and_it_is_said(tmp_path: Path) -> None:
    plugin = toy(tmp_path / "plugin", "o.toml", "ossel", "of the plug-in")
    user = toy(tmp_path / "user", "o.toml", "ossel", "of the user")
    both = catalogue(plugins=[plugin], user=[user])
    chosen = both.get("ossel")
    assert chosen is not None
    assert chosen.title == "of the user"
    assert both.notes == (
        f"dialect 'ossel': {plugin} is used instead of {BUILTIN / 'ossel.toml'}",
        f"dialect 'ossel': {user} is used instead of {plugin}",
    )
    chosen = catalogue(plugins=[plugin]).get("ossel")
    assert chosen is not None
    assert chosen.title == "of the plug-in"


def test_a_broken_file_is_an_error_that_names_it_and_the_others_go_on(tmp_path: Path) -> None:
    toy(tmp_path, "good.toml", "good")
    (tmp_path / "bad.toml").write_text("format = 1\nid = \n")
    found = catalogue(user=[tmp_path])
    assert found.get("good") is not None
    assert len(found.dialects) == 4
    (error,) = found.errors
    assert str(error).startswith(f"{tmp_path / 'bad.toml'}, line 2: is not TOML")


def test_a_broken_file_does_not_replace_the_built_in_one(tmp_path: Path) -> None:
    (tmp_path / "ossel.toml").write_text('format = 1\nid = "ossel"\n')
    found = catalogue(user=[tmp_path])
    assert found.get("ossel") is not None
    assert len(found.errors) == 1


def test_two_files_of_one_id_in_one_place_are_an_error_and_the_first_stays(tmp_path: Path) -> None:
    first = toy(tmp_path, "a.toml", "toy", "first")
    second = toy(tmp_path, "b.toml", "toy", "second")
    found = catalogue(user=[tmp_path])
    chosen = found.get("toy")
    assert chosen is not None
    assert chosen.title == "first"
    assert [str(error) for error in found.errors] == [f"{second}: id: 'toy' is the id of {first} already"]


def test_a_file_that_is_named_twice_is_read_once(tmp_path: Path) -> None:
    file = toy(tmp_path, "a.toml", "toy")
    link = tmp_path / "b.toml"
    link.symlink_to(file)
    assert catalogue(user=[file, tmp_path]).errors == ()


@pytest.mark.parametrize("name", ["absent", "absent.toml"])
def test_what_a_plug_in_names_must_exist(name: str, tmp_path: Path) -> None:
    found = catalogue(plugins=[tmp_path / name])
    assert len(found.errors) == 1
    assert str(found.errors[0]).startswith(str(tmp_path / name))
    assert len(found.dialects) == 3


def test_a_folder_that_cannot_be_listed_is_an_error(tmp_path: Path) -> None:
    found = catalogue(user=[tmp_path / ("x" * 300)])  # longer than a name may be
    assert [error.problem for error in found.errors] == ["cannot be listed: File name too long"]
    assert len(found.dialects) == 3


def test_the_users_folder_may_be_absent_but_a_file_that_is_named_may_not(tmp_path: Path) -> None:
    assert catalogue(user=[tmp_path / "absent"]).errors == ()
    assert len(catalogue(user=[tmp_path / "absent.toml"]).errors) == 1
    for name in ("absent", "absent.toml"):
        [error] = catalogue(named=[tmp_path / name]).errors
        assert str(error).startswith(str(tmp_path / name))
    toy(tmp_path / "there", "toy.toml", "toy")
    assert catalogue(named=[tmp_path / "there"]).get("toy") is not None


@pytest.mark.parametrize("target", ["loop.toml", "gone.toml"])
def test_a_link_that_leads_nowhere_is_an_error_of_that_file_and_the_others_go_on(target: str, tmp_path: Path) -> None:
    toy(tmp_path, "good.toml", "good")
    link = tmp_path / "loop.toml"
    link.symlink_to(tmp_path / target)
    for found in (catalogue(user=[tmp_path]), catalogue(named=[link, tmp_path])):
        assert found.get("good") is not None
        (error,) = found.errors
        assert str(error).startswith(str(link))

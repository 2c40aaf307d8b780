"""Finding build sheets: built in, from plug-ins, and the user's own."""

from __future__ import annotations

from pathlib import Path

from propsoff.sheets.catalogue import built_in_sheets, catalogue, files_at


def write(path: Path, name: str, more: str = "") -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(f'format = 1\nname = "{name}"\n{more}', encoding="utf-8")
    return path


def test_the_house_defaults_are_stated_openly() -> None:
    [house] = built_in_sheets()
    assert house.house_default
    assert house.built_in
    assert house.source == "built in: house-default.toml"
    said = {name: value.values for name, value in house.expectations.items()}
    assert said == {"receiver.kind": ("serial", "spi"), "channels.order": ("AETR",)}
    assert [grid.name for grid in house.grids_for("analog")] == ["ntsc", "pal"]
    assert [grid.name for grid in house.grids_for("digital")] == ["hd-53x20"]
    assert house.roles_required == ("console",)


def test_sheets_come_from_files_and_folders_in_a_steady_order(tmp_path: Path) -> None:
    folder = tmp_path / "sheets"
    for name in ("b", "a", ".hidden"):
        write(folder / f"{name}.toml", name)
    (folder / "notes.txt").write_text("no sheet")
    single = write(tmp_path / "single.toml", "single")
    found = catalogue(plugins=[single], user=[folder])
    assert [sheet.name for sheet in found.sheets] == ["house-default", "single", "a", "b"]
    assert (found.errors, found.notes) == ((), ())


def test_a_wrong_sheet_is_an_error_and_the_others_go_on(tmp_path: Path) -> None:
    write(tmp_path / "bad.toml", "bad", "[chanels]\n")
    write(tmp_path / "good.toml", "good")
    (tmp_path / "folder.toml").mkdir()
    found = catalogue(user=[tmp_path])
    assert [sheet.name for sheet in found.sheets] == ["house-default", "good"]
    assert [error.line for error in found.errors] == [3, None]
    assert "bad.toml, line 3: chanels" in str(found.errors[0])


def test_the_users_sheet_takes_the_place_of_others_of_its_name_and_that_is_noted(tmp_path: Path) -> None:
    plugin = write(tmp_path / "plugin" / "p.toml", "Shared", 'title = "of the plug-in"\n')
    write(tmp_path / "user" / "u.toml", "shared", 'title = "of the user"\n')
    write(tmp_path / "user" / "h.toml", "house-default", 'title = "our house"\n')
    found = catalogue(plugins=[plugin], user=[tmp_path / "user"])
    assert [sheet.title for sheet in found.sheets] == ["our house", "of the user"]
    assert len(found.notes) == 2
    assert all("takes the place of" in note for note in found.notes)


def test_two_sheets_of_one_name_in_one_place_are_an_error_that_names_both(tmp_path: Path) -> None:
    write(tmp_path / "a.toml", "twin")
    write(tmp_path / "b.toml", "Twin")
    found = catalogue(user=[tmp_path])
    assert [sheet.name for sheet in found.sheets] == ["house-default", "twin"]
    [error] = found.errors
    assert "b.toml" in str(error)
    assert "a.toml" in str(error)


def test_what_is_named_and_not_there_is_an_error_except_the_users_folder(tmp_path: Path) -> None:
    assert catalogue(user=[tmp_path / "none"]).errors == ()
    assert len(catalogue(user=[tmp_path / "none.toml"]).errors) == 1
    assert len(catalogue(plugins=[tmp_path / "none"]).errors) == 1
    for name in ("none", "none.toml", "x" * 300):  # the last: longer than a name may be
        [error] = catalogue(named=[tmp_path / name]).errors
        assert str(error).startswith(str(tmp_path / name))


def test_a_named_sheet_is_the_users_own(tmp_path: Path) -> None:
    mine = write(tmp_path / "user" / "u.toml", "mine")
    named = write(tmp_path / "elsewhere" / "m.toml", "mine")
    found = catalogue(user=[mine.parent], named=[named])
    [error] = found.errors
    assert str(mine) in str(error)


def test_a_file_that_is_named_twice_is_one_sheet(tmp_path: Path) -> None:
    mine = write(tmp_path / "sheets" / "mine.toml", "mine")
    found = catalogue(user=[mine.parent], named=[mine, mine.parent])
    assert (found.errors, [sheet.name for sheet in found.sheets]) == ((), ["house-default", "mine"])


def test_an_abstract_sheet_is_among_the_sheets_and_is_no_house_default(tmp_path: Path) -> None:
    write(tmp_path / "base.toml", "base", "abstract = true\n")
    [_, base] = catalogue(user=[tmp_path]).sheets
    assert (base.abstract, base.house_default) == (True, False)


def test_hand_notes_beside_the_sheets_are_not_read_as_sheets(tmp_path: Path) -> None:
    (tmp_path / "wren.notes.toml").write_text('[answers]\nantenna-fitted = "yes"\n', encoding="utf-8")
    (tmp_path / "wren.toml").write_text('format = 1\nname = "wren"\n', encoding="utf-8")
    assert [file.name for file in files_at(tmp_path)] == ["wren.toml"]


def test_a_link_that_leads_to_itself_is_an_error_that_names_it_and_the_others_go_on(tmp_path: Path) -> None:
    loop = tmp_path / "loop.toml"
    loop.symlink_to(loop)
    write(tmp_path / "sound.toml", "sound")
    found = catalogue(user=[tmp_path])
    assert [str(error.source) for error in found.errors] == [str(loop)]
    assert "sound" in [sheet.name for sheet in found.sheets]

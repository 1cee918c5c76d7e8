"""The opened folder: nothing outside it, nothing lost in it."""

from __future__ import annotations

from pathlib import Path

import pytest
from soapfilm.desk.folder import FileChangedError, Folder
from soapfilm.geometry.errors import FileFormatError, InputError
from soapfilm.geometry.input_file import confined
from soapfilm.geometry.section_file.section_file import load_section

PLATE = 'unit = "mm"\n[[shape]]\nprofile = "Rectangle"\nXDim = 100\nYDim = 10\n'


def test_names_that_lead_out_are_refused(tmp_path: Path) -> None:
    (tmp_path / "in").mkdir()
    (tmp_path / "out.toml").write_text(PLATE)
    (tmp_path / "in" / "link.toml").symlink_to(tmp_path / "out.toml")
    (tmp_path / "in" / "door").symlink_to(tmp_path)
    folder = Folder.at(tmp_path / "in")
    for name in ("../out.toml", str(tmp_path / "out.toml"), "link.toml", "door/out.toml"):
        with pytest.raises(InputError, match="outside the opened folder"):
            folder.read(name)
        with pytest.raises(InputError, match="outside the opened folder"):
            folder.save(name, "x", None, overwrite=True)
    assert (tmp_path / "out.toml").read_text() == PLATE
    assert folder.names() == []


def test_only_sheets_and_drawings_are_opened(tmp_path: Path) -> None:
    (tmp_path / "secret.txt").write_text("x")
    folder = Folder.at(tmp_path)
    for name in ("secret.txt", "", "a\0.toml", ".", "x" * 2000 + ".toml"):
        with pytest.raises(InputError):
            folder.read(name)
    with pytest.raises(InputError, match=r"\.toml"):
        folder.save("deck.dxf", "x", None)


def test_a_save_writes_what_was_read_and_no_more(tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    path.write_text(PLATE)
    folder = Folder.at(tmp_path)
    copy = folder.read("a.toml")
    saved = folder.save("a.toml", PLATE + "# mine\n", copy.digest)
    assert path.read_text() == PLATE + "# mine\n"
    path.write_text(PLATE + "# theirs\n")
    with pytest.raises(FileChangedError, match="changed on disk") as conflict:
        folder.save("a.toml", PLATE + "# again\n", saved.digest)
    assert conflict.value.text == PLATE + "# theirs\n"
    assert path.read_text() == PLATE + "# theirs\n"
    folder.save("a.toml", PLATE + "# again\n", saved.digest, overwrite=True)
    assert path.read_text() == PLATE + "# again\n"
    assert [p.name for p in tmp_path.iterdir()] == ["a.toml"]


def test_a_new_name_takes_no_file_that_is_there(tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text("# theirs\n")
    with pytest.raises(FileChangedError, match="there already"):
        Folder.at(tmp_path).save("a.toml", PLATE, None)
    assert (tmp_path / "a.toml").read_text() == "# theirs\n"


def test_near_files_come_first_and_hidden_ones_not(tmp_path: Path) -> None:
    for name in ("b.toml", "sub/a.toml", ".git/c.toml", "d.dxf", "e.txt"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text("")
    assert Folder.at(tmp_path).names() == ["b.toml", "d.dxf", "sub/a.toml"]


def test_readers_stay_in_the_folders_they_are_confined_to(tmp_path: Path) -> None:
    (tmp_path / "in").mkdir()
    (tmp_path / "in" / "a.toml").write_text(PLATE)
    (tmp_path / "out.toml").write_text(PLATE)
    (tmp_path / "in" / "link.toml").symlink_to(tmp_path / "out.toml")
    with confined([tmp_path / "in"]):
        assert load_section(tmp_path / "in" / "a.toml").unit == "mm"
        for path in (tmp_path / "out.toml", tmp_path / "in" / "link.toml"):
            with pytest.raises(FileFormatError, match="outside the opened folder"):
                load_section(path)
    assert load_section(tmp_path / "out.toml").unit == "mm"

"""What lies inside a folder."""

import pytest

from archgen.storage.files import is_inside


@pytest.fixture
def folder(tmp_path):
    top = tmp_path / "archive"
    (top / "pieces").mkdir(parents=True)
    (tmp_path / "mine.txt").write_text("x")
    for name in ("archive.toml", "pieces/piece.toml"):
        (top / name).write_text("")
    (top / "out").symlink_to(tmp_path / "mine.txt")
    (top / "in").symlink_to("pieces/piece.toml")
    (top / "round").symlink_to("round")
    (tmp_path / "linked").symlink_to(top)
    return top


@pytest.mark.parametrize("name", ["archive.toml", "pieces/piece.toml", "pieces", "in", "nothing-there"])
def test_what_lies_in_a_folder_is_inside(folder, name):
    assert is_inside(folder / name, folder)
    assert is_inside(folder.parent / "linked" / name, folder)
    assert is_inside(folder / name, folder.parent / "linked")


@pytest.mark.parametrize("name", ["out", "round", "..", "../mine.txt", "pieces/../../mine.txt"])
def test_what_leads_out_of_it_or_round_in_a_circle_is_not(folder, name):
    assert not is_inside(folder / name, folder)
    assert not is_inside(folder.parent / "linked" / name, folder)

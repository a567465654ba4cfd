"""What is found when a place is looked at again."""

import pytest

from archgen.progress import Silent
from archgen.uploading.check import check_place
from archgen.uploading.places.on_disk import FolderPlace
from tests.unit.uploading.made_sites import made, send

BESIDE = "img/owl-1.webp"


@pytest.fixture
def site(tmp_path):
    built = made(tmp_path / "site", {"owl": 1}, withdrawn=["pieces/koi.html", BESIDE])
    send(FolderPlace(tmp_path / "web"), built, tmp_path / "out")
    return built


def test_a_place_as_it_was_built_is_fine(tmp_path, site):
    found = check_place(FolderPlace(tmp_path / "web"), site, site.files, Silent())
    assert found.is_fine
    assert found.looked == len(site.files)


@pytest.mark.parametrize("harm", ["longer", "other", "away"])
def test_a_file_that_reads_otherwise_is_found(tmp_path, site, harm):
    page = tmp_path / "web/about.html"
    content = page.read_bytes()
    page.write_bytes({"longer": content + b" ", "other": content.swapcase(), "away": b""}[harm])
    if harm == "away":
        page.unlink()
    assert check_place(FolderPlace(tmp_path / "web"), site, site.files, Silent()).other == ("about.html",)


def test_what_left_and_lies_there_again_is_found_but_not_an_address_that_another_piece_has_now(tmp_path, site):
    (tmp_path / "web/pieces/koi.html").write_text("koi")
    found = check_place(FolderPlace(tmp_path / "web"), site, (), Silent())
    assert found.still == ("pieces/koi.html",)
    assert not found.is_fine

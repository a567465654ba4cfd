"""The portfolio that may go online is the folder a build wrote, and nothing else."""

import pytest

from archgen.errors import WithheldError
from archgen.uploading.built import built_site


@pytest.fixture
def out(tmp_path):
    (tmp_path / "portfolio/img").mkdir(parents=True)
    (tmp_path / "portfolio/index.html").write_text("home")
    (tmp_path / "portfolio/img/owl-1-8.webp").write_text("owl")
    return tmp_path


def test_every_file_of_the_folder_is_looked_at(out):
    site = built_site(out)
    assert {path: file.size for path, file in site.files.items()} == {"index.html": 4, "img/owl-1-8.webp": 3}
    assert site.read("index.html") == b"home"


def test_a_folder_with_a_link_in_it_is_none_that_a_build_left(out):
    (out / "portfolio/img/more").symlink_to(out)
    with pytest.raises(WithheldError):
        built_site(out)


def test_a_folder_that_is_empty_would_take_everything_offline(out):
    for file in ("index.html", "img/owl-1-8.webp"):
        (out / "portfolio" / file).unlink()
    with pytest.raises(WithheldError):
        built_site(out)

"""What is kept of pictures in files, and taken up again."""

import numpy as np
import pytest

from archgen.doubles.stored import DESCRIBE, archive_items, item
from archgen.picture_facts.facts import ImageJob, Role
from archgen.picture_facts.quick_facts import describe_picture
from archgen.picture_facts.stage import read_pictures
from archgen.progress import Silent
from archgen.storage.cache import Cache
from archgen.storage.jobs import Budget
from archgen.twins.description.prepared import Prepared
from tests.drawn_twins import photo, save


def test_a_picture_taken_up_is_the_one_put_down(tmp_path):
    described = DESCRIBE.make(photo(1))
    (tmp_path / "a.bin").write_bytes(described)
    whole, taken_up = Prepared.from_bytes(described), item("a", tmp_path / "a.bin", None).prepared
    assert np.array_equal(taken_up.gray, whole.gray)
    assert taken_up.to_bytes() == described
    assert taken_up.digest == whole.digest


def test_its_pixels_stay_in_the_file(tmp_path):
    (tmp_path / "a.bin").write_bytes(DESCRIBE.make(photo(2)))
    taken_up = item("a", tmp_path / "a.bin", None).prepared
    (tmp_path / "a.bin").unlink()
    assert taken_up.views[0].norms.base is None
    with pytest.raises(FileNotFoundError):
        _ = taken_up.gray


@pytest.mark.parametrize("size", [(480, 600), (4000, 3000)])
def test_any_folder_and_the_archive_see_the_same_of_a_picture(tmp_path, size):
    path = save(photo(1).resize(size), tmp_path / "pieces" / "owl" / "photos" / "a.jpg", quality=90)
    cache = Cache(tmp_path / "cache")
    job = ImageJob(path.relative_to(tmp_path).as_posix(), Role.PHOTO)
    facts = read_pictures([job], tmp_path, cache, 1, Silent(), DESCRIBE)[job.path].facts
    described, taken = describe_picture(path, DESCRIBE, Budget(10**9))
    assert (cache.blobs / facts.description).read_bytes() == described
    assert taken is None


def test_a_damaged_description_costs_one_comparison(tmp_path):
    path = save(photo(1), tmp_path / "pieces" / "owl" / "photos" / "a.jpg")
    cache = Cache(tmp_path / "cache")
    job = ImageJob(path.relative_to(tmp_path).as_posix(), Role.PHOTO)
    facts = read_pictures([job], tmp_path, cache, 1, Silent(), DESCRIBE)[job.path].facts
    assert len(list(archive_items({job.path: facts}, cache.blobs))) == 1
    (cache.blobs / facts.description).write_bytes(b"damaged")
    assert list(archive_items({job.path: facts}, cache.blobs)) == []

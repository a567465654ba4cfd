"""What pictures told is known while their piece's folder stands as it did, and all they were made into is there."""

import pytest

from archgen.picture_facts.facts import ImageJob, Role
from archgen.picture_facts.known_pictures import KnownPictures
from archgen.picture_facts.stage import read_pictures
from archgen.progress import Silent
from archgen.storage.cache import Cache
from archgen.storage.tree_state import TreeState
from tests.unit.images.pictures import encoded, photo

PATH = "pieces/owl/photos/a.jpg"
JOB = ImageJob(PATH, Role.PHOTO)


@pytest.fixture
def root(tmp_path):
    (tmp_path / "root/pieces/owl/photos").mkdir(parents=True)
    (tmp_path / "root" / PATH).write_bytes(encoded(photo(64, 48), "JPEG"))
    return tmp_path / "root"


def state(digest="as it was", *, is_settled=True):
    return {"owl": TreeState(digest, is_settled)}


@pytest.fixture
def read(root, tmp_path, monkeypatch):
    """Read one picture; say whether its file was looked at, and give its width."""
    looked = []
    digest = Cache.digest
    monkeypatch.setattr(Cache, "digest", lambda cache, path: looked.append(path) or digest(cache, path))

    def run(states, job=JOB, damage=lambda _: None):
        looked.clear()
        cache = Cache(tmp_path / "cache")
        damage(cache)
        known = KnownPictures(cache, states)
        (result,) = read_pictures([job], root, cache, 1, Silent(), None, known).values()
        known.save()
        cache.prune(result.facts.blobs if result.facts else ())
        cache.save()
        return bool(looked), result.facts.width if result.facts else None

    return run


def test_a_picture_in_an_unchanged_folder_is_not_looked_at(read):
    assert read(state()) == (True, 64)
    assert read(state()) == (False, 64)
    assert read(state()) == (False, 64)


def test_a_changed_folder_is_looked_at(read, root):
    read(state())
    (root / PATH).write_bytes(encoded(photo(80, 48), "JPEG"))
    assert read(state("otherwise")) == (True, 80)
    assert read(state("otherwise")) == (False, 80)


@pytest.mark.parametrize("states", [{}, state(is_settled=False)])
def test_what_may_change_unseen_is_not_kept(read, states):
    read(states)
    assert read(states)[0]


def test_another_job_is_looked_at(read):
    read(state())
    assert read(state(), ImageJob(PATH, Role.PHOTO, public=True))[0]
    assert not read(state(), ImageJob(PATH, Role.PHOTO, public=True))[0]


def test_a_picture_that_could_not_be_used_is_looked_at_each_time(read, root):
    (root / PATH).write_bytes(b"no picture")
    assert [read(state()) for _ in range(2)] == [(True, None)] * 2


def test_a_lost_copy_is_made_again(read, tmp_path):
    read(state())
    assert read(state(), damage=lambda cache: [path.unlink() for path in cache.blobs.iterdir()]) == (True, 64)
    assert any((tmp_path / "cache/blobs").iterdir())


def test_a_damaged_memory_is_empty(read, tmp_path):
    read(state())
    assert read(state(), damage=lambda _: (tmp_path / "cache/pictures").write_bytes(b"x"))[0]


def test_what_is_known_was_read_with_the_same_libraries(read, monkeypatch):
    read(state())
    monkeypatch.setattr("PIL.__version__", "0")
    assert read(state())[0]


def test_the_result_of_a_known_picture_stays_in_the_cache(read, tmp_path):
    """Else a changed folder would have all its pictures made anew."""
    read(state())
    read(state())
    assert (tmp_path / "cache/results").stat().st_size > 0

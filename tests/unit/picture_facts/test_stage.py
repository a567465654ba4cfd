import pytest

from archgen.images import decode
from archgen.picture_facts import stage
from archgen.picture_facts.facts import ImageJob, Role
from archgen.picture_facts.stage import read_pictures
from archgen.progress import Silent
from archgen.storage.cache import Cache
from tests.unit.images.pictures import line_art, photo


@pytest.fixture
def folder(tmp_path):
    made = tmp_path / "in"
    made.mkdir()
    photo(700, 500).save(made / "a.jpg")
    photo(700, 500).save(made / "b.png")
    line_art().save(made / "s.png")
    return made


@pytest.fixture
def decoded(monkeypatch):
    """Count what is decoded."""
    seen = []
    real = decode.load

    def load(opened, factor):
        seen.append(opened.stream.name)
        return real(opened, factor)

    monkeypatch.setattr(decode, "load", load)
    return seen


JOBS = [ImageJob("a.jpg", Role.PHOTO, True), ImageJob("b.png", Role.REFERENCE), ImageJob("s.png", Role.STENCIL)]


def read(folder, tmp_path, jobs=JOBS, workers=1):
    return read_pictures(jobs, folder, Cache(tmp_path / "cache"), workers, Silent())


def test_each_picture_is_decoded_once(folder, tmp_path, decoded):
    read(folder, tmp_path)
    assert len(decoded) == 3


def test_nothing_is_decoded_again_when_nothing_changed(folder, tmp_path, decoded):
    first = read(folder, tmp_path)
    decoded.clear()
    assert read(folder, tmp_path) == first
    assert decoded == []


def test_several_workers_give_the_same(folder, tmp_path):
    one = read(folder, tmp_path)
    two = read_pictures(JOBS, folder, Cache(tmp_path / "other"), 2, Silent())
    assert list(one) == [job.path for job in JOBS]
    assert one == two


@pytest.mark.parametrize("which", ["screen", "public", "print_copy"])
def test_a_lost_copy_is_made_again(folder, tmp_path, decoded, which):
    facts = read(folder, tmp_path)["a.jpg"].facts
    lost = facts.print_copy if which == "print_copy" else getattr(facts, which)[-1]
    (tmp_path / "cache" / "blobs" / lost.blob).unlink()
    decoded.clear()
    read(folder, tmp_path)
    assert len(decoded) == 1
    assert (tmp_path / "cache" / "blobs" / lost.blob).exists()


def test_a_spoilt_result_is_made_again(folder, tmp_path):
    first = read(folder, tmp_path)
    (tmp_path / "cache/results").write_bytes(b"not json")
    assert read(folder, tmp_path) == first


def test_a_picture_that_becomes_public_gets_its_copies(folder, tmp_path):
    read(folder, tmp_path)
    facts = read(folder, tmp_path, [ImageJob("b.png", Role.REFERENCE, True)])["b.png"].facts
    assert len(facts.public) == 2


def test_equal_files_share_what_is_kept_but_not_their_names(folder, tmp_path, decoded):
    (folder / "copy.jpg").write_bytes((folder / "a.jpg").read_bytes())
    results = read(folder, tmp_path, [ImageJob("a.jpg", Role.PHOTO), ImageJob("copy.jpg", Role.PHOTO)])
    assert len(decoded) == 1
    assert [result.facts.path for result in results.values()] == ["a.jpg", "copy.jpg"]


def test_findings_of_a_kept_result_name_the_file_at_hand(folder, tmp_path):
    (folder / "x.jpg").write_bytes(b"no picture")
    (folder / "y.jpg").write_bytes(b"no picture")
    results = read(folder, tmp_path, [ImageJob("x.jpg", Role.PHOTO), ImageJob("y.jpg", Role.PHOTO)])
    assert [str(result.findings[0].place) for result in results.values()] == ["x.jpg", "y.jpg"]


def test_another_library_version_is_another_key(folder, tmp_path, decoded, monkeypatch):
    read(folder, tmp_path)
    decoded.clear()
    monkeypatch.setattr(stage.PIL, "__version__", "0.0")
    read(folder, tmp_path)
    assert len(decoded) == 3


def test_no_pictures_are_no_trouble(folder, tmp_path):
    assert read(folder, tmp_path, []) == {}

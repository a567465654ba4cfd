"""What happens when the disk is full, a picture is drawn rather than decoded, or no file at all."""

import errno

import pytest

from archgen.errors import OutputError
from archgen.intake.plan import What
from archgen.intake.propose import propose_intake
from archgen.intake.reading.look import PictureLook, Unreadable, look_at_all
from archgen.intake.sources import gather
from archgen.progress import Silent
from archgen.storage.cache import Cache
from tests.intake_pictures import save, scene

LINES = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100">{}<path d="M10 10 L90 80 M20 70 Q50 10 80 60" \
fill="none" stroke="black" stroke-width="2"/></svg>'


def look(path, cache):
    return look_at_all([path], cache, 1, Silent())[path]


def test_a_full_disk_is_said_and_not_blamed_on_the_picture(tmp_path, monkeypatch):
    def full(*_more):
        raise OSError(errno.ENOSPC, "No space left on device")

    cache = Cache(tmp_path / "cache")
    monkeypatch.setattr(cache, "put_blob", full)
    with pytest.raises(OutputError, match="The disk is full"):
        look(save(scene(1), tmp_path / "a.png"), cache)


def test_an_empty_file_and_a_text_are_told(tmp_path):
    (tmp_path / "a.jpg").write_bytes(b"")
    (tmp_path / "b.png").write_text("hello")
    assert look(tmp_path / "a.jpg", Cache(tmp_path / "c")) == Unreadable("The file is empty (0 bytes).")
    assert "holds no picture" in look(tmp_path / "b.png", Cache(tmp_path / "c")).sentence


def test_a_drawn_stencil_is_taken_and_a_drawn_picture_is_told(intake_case, tmp_path):
    (tmp_path / "moth.svg").write_text(LINES.format(""))
    (tmp_path / "poster.svg").write_text(LINES.format('<rect width="100" height="100" fill="green"/>'))
    with gather([tmp_path], intake_case.root) as gathered:
        plan = propose_intake(gathered, intake_case.tools)
    assert [(one.name, one.guess.what, one.file) for one in plan.pictures] == [
        ("moth.svg", What.STENCIL, "stencils/moth.svg")
    ]
    assert {one.name: one.sentence for one in plan.not_taken} == {
        "poster.svg": "This SVG isn't a line drawing. Save it as PNG to file it as a reference."
    }


def test_a_damaged_entry_of_the_cache_is_read_anew(tmp_path):
    path, cache = save(scene(1), tmp_path / "a.png"), Cache(tmp_path / "cache")
    first = look(path, cache)
    (tmp_path / "cache/results").write_bytes(b"{")
    again = look(path, Cache(tmp_path / "cache"))
    assert isinstance(again, PictureLook)
    assert again == first

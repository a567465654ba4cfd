"""Reading again after a save: what changed is new, what did not is taken over."""

import datetime as dt
import shutil

from archgen.build import Options
from archgen.desk.rereading import read_again
from archgen.desk.state import DeskState, SharedProgress
from archgen.progress import Silent
from tests.unit.desk.conftest import copied, photo

OWL = "2026-03-14-barn-owl"


def again(state):
    return read_again(state.current.catalogue, state.cache, state.options)


def test_a_changed_record_is_read_and_its_pictures_with_it(state):
    record = state.root / f"pieces/{OWL}/piece.toml"
    record.write_text(record.read_text().replace("Barn owl", "Barn owl, facing left"))
    photo(state.root / f"pieces/{OWL}/photos/second.jpg", 90)
    catalogue = again(state)
    assert catalogue.overviews[OWL].title == "Barn owl, facing left"
    assert f"pieces/{OWL}/photos/second.jpg" in catalogue.facts


def test_a_new_piece_is_there_and_the_facts_of_the_others_are_taken_over(state):
    photo(state.root / "pieces/2026-11-26-moth/photos/moth.jpg", 90)
    (state.root / "pieces/2026-11-26-moth/piece.toml").write_text('title = "Moth"\n')
    before = state.current.catalogue.facts[f"pieces/{OWL}/photos/owl.jpg"]
    catalogue = again(state)
    assert set(catalogue.overviews) == {OWL, "2026-11-26-moth"}
    assert catalogue.facts[f"pieces/{OWL}/photos/owl.jpg"].digest == before.digest
    assert "pieces/2026-11-26-moth/photos/moth.jpg" in catalogue.facts


def test_a_piece_that_went_leaves_nothing_behind(state):
    shutil.copytree(state.root / f"pieces/{OWL}", state.root / "pieces/2026-03-15-barn-owl-again")
    state.renew()
    assert state.current.catalogue.twins.pairs
    shutil.rmtree(state.root / "pieces/2026-03-15-barn-owl-again")
    catalogue = again(state)
    assert set(catalogue.overviews) == {OWL}
    assert all("again" not in path for path in catalogue.facts)
    assert not catalogue.twins.pairs
    assert not [finding for finding in catalogue.findings if "again" in finding.place.file]


def test_what_is_found_is_that_of_a_whole_reading(state):
    (state.root / f"pieces/{OWL}/photos/broken.jpg").write_bytes(b"no picture")
    quick = {(one.code, one.place.file) for one in again(state).findings}
    state.renew()
    whole = {(one.code, one.place.file) for one in state.current.catalogue.findings}
    assert ("image.not-a-picture", f"pieces/{OWL}/photos/broken.jpg") in whole
    assert quick == whole


def test_a_save_during_a_whole_reading_is_not_forgotten(state, monkeypatch):
    whole = state._read_whole

    def slow(progress):
        catalogue = whole(progress)
        record = state.root / f"pieces/{OWL}/piece.toml"
        record.write_text(record.read_text().replace("Barn owl", "Saved meanwhile"))
        state.refresh()
        return catalogue

    monkeypatch.setattr(state, "_read_whole", slow)
    state.renew()
    assert state.current.catalogue.overviews[OWL].title == "Saved meanwhile"


def test_a_desk_that_is_open_past_midnight_has_the_new_day(read_archive_folder, tmp_path, monkeypatch):
    copied(read_archive_folder, tmp_path / "desk")
    root, out = tmp_path / "desk/archive", tmp_path / "desk/archive-built"
    days = [dt.date(2026, 12, 1), dt.date(2026, 12, 2)]
    monkeypatch.setattr("archgen.desk.state.build_day", lambda: days[0])
    state = DeskState(root, out, Options(1, days[0]), SharedProgress(Silent()))
    state.load()
    assert state.current.catalogue.built_on == days[0]
    monkeypatch.setattr("archgen.desk.state.build_day", lambda: days[1])
    before = state.shown
    assert state.current.catalogue.built_on == days[1]
    assert state.current is state.shown is not before
    assert state.current is state.shown
    state.renew()
    assert state.current.catalogue.built_on == days[1]

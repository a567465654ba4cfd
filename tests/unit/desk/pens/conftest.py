"""A desk for each test, on an archive of its own; the pictures are read once."""

import shutil

import pytest

from tests.unit.desk.pens.desk import make_archive, open_desk

NOW = "1790000000"  # 21 September 2026


@pytest.fixture(scope="session")
def read_archive(tmp_path_factory):
    """An archive whose pictures are in the cache."""
    place = tmp_path_factory.mktemp("desk")
    make_archive(place / "content")
    open_desk(place / "content", place / "build")
    return place


@pytest.fixture
def desk(read_archive, tmp_path, monkeypatch):
    monkeypatch.setenv("SOURCE_DATE_EPOCH", NOW)
    shutil.copytree(read_archive, tmp_path, dirs_exist_ok=True)
    return open_desk(tmp_path / "content", tmp_path / "build")

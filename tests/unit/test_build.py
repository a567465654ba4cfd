"""The order of the stages, where it decides what comes out."""

import datetime as dt

import pytest

from archgen import build
from archgen.findings import Finding, Place, Severity
from archgen.progress import Silent
from archgen.storage.cache import Cache
from tests.cli.archive import add_piece

RECORD = """
title = "Barn owl"
publish = true
[[photo]]
file = "photos/owl.jpg"
stage = "fresh"
[release]
status = "granted"
scope = ["portfolio"]
"""


@pytest.mark.parametrize(("severity", "reasons"), [(Severity.ERROR, 1), (Severity.WARNING, 0)])
def test_what_a_rule_of_another_package_finds_is_decided_with(tmp_path, monkeypatch, severity, reasons):
    add_piece(tmp_path / "content", "owl", RECORD)
    place = Place("pieces/owl/piece.toml", 2)
    added = Finding("studio.stop", severity, "owl", place, "Not this one.", "Ask.")
    without = _reasons(tmp_path)
    monkeypatch.setattr(build, "run_added_rules", lambda _: [added])
    assert len(_reasons(tmp_path)) == len(without) + reasons


def _reasons(folder):
    options = build.Options(1, dt.date(2026, 11, 25))
    catalogue = build.read_catalogue(folder / "content", Cache(folder / "cache"), options, Silent())
    return catalogue.overviews["owl"].publication.reasons

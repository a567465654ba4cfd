"""What the comparison of pictures has to say about rights: copies, merges, drawings after a picture."""

import datetime as dt

import pytest
from PIL import Image, ImageOps

from archgen import build
from archgen.build import Options, audit_archive
from archgen.progress import Silent
from archgen.publication.decision import Publication
from tests.drawn_twins import drawing, photo, piece, save

RECORD = """publish = true
[release]
status = "granted"
scope = ["portfolio"]
[[photo]]
file = "photos/healed.jpg"
stage = "healed"
[[reference]]
file = "references/a.jpg"
license = "own-work"
"""
OTHER = '[[reference]]\nfile = "references/b.jpg"\nlicense = "InC"\nused = false\n'


def looked_at(root):
    catalogue = audit_archive(root, root.parent / "out", Options(1, dt.date(2026, 11, 25)), Silent())
    owl = next(one for one in catalogue.overviews.values() if one.id == "owl")
    return owl.publication, {finding.code for finding in catalogue.findings_of(owl.piece)}


def test_copies_for_the_public_are_made_of_what_the_records_let_out_alone(tmp_path):
    root = tmp_path / "content"
    for name, record in (("owl", RECORD), ("moth", RECORD.replace("granted", "refused"))):
        save(photo(1 if name == "owl" else 3), piece(root, name, record) / "photos/healed.jpg")
        save(photo(2), root / f"pieces/{name}/references/a.jpg")
    facts = audit_archive(root, tmp_path / "out", Options(1, dt.date(2026, 11, 25)), Silent()).facts
    assert [path for path, one in facts.items() if one.public] == ["pieces/owl/photos/healed.jpg"]


def test_a_photo_that_only_its_picture_lets_out_gets_its_copies_afterwards(tmp_path, monkeypatch):
    folder = piece(tmp_path / "content", "owl", RECORD)
    save(photo(1), folder / "photos/healed.jpg")
    save(photo(2), folder / "references/a.jpg")
    monkeypatch.setattr(build, "decide_all", lambda _: {"owl": Publication(True, False, is_forbidden=True, reasons=())})
    assert looked_at(tmp_path / "content")[0].shown


def merged(*pictures):
    """Two pictures side by side in one, as a reference is put together."""
    sheet = Image.new("RGB", (960, 600), "white")
    for number, picture in enumerate(pictures):
        sheet.paste(picture.resize((480, 600)), (480 * number, 0))
    return sheet


@pytest.mark.parametrize(
    "change",
    [
        lambda one: one,
        lambda one: one.resize((240, 300)),
        lambda one: one.crop((60, 80, 420, 540)),
        ImageOps.mirror,
        lambda one: ImageOps.grayscale(one).convert("RGB"),
    ],
    ids=["encoded again", "small", "cut", "mirrored", "gray"],
)
def test_a_photo_that_is_a_copy_of_a_reference_is_held_until_it_is_decided(tmp_path, change):
    root = tmp_path / "content"
    folder = piece(root, "owl", RECORD)
    save(photo(1), folder / "references/a.jpg")
    save(change(photo(1)), folder / "photos/healed.jpg", quality=70)
    publication, codes = looked_at(root)
    assert not publication.shown
    assert "photo.held" in codes
    pictures = 'images = ["pieces/owl/photos/healed.jpg", "pieces/owl/references/a.jpg"]'
    (root / "decisions.toml").write_text(f"[[different]]\n{pictures}\n")
    assert looked_at(root)[0].shown


def test_a_photo_of_its_own_is_shown(tmp_path):
    root = tmp_path / "content"
    folder = piece(root, "owl", RECORD)
    save(photo(1), folder / "references/a.jpg")
    save(photo(2), folder / "photos/healed.jpg")
    publication, codes = looked_at(root)
    assert publication.shown
    assert not codes & {"photo.held", "rights.seems-from", "rights.used-after-all"}


@pytest.mark.parametrize(("made_from", "asked"), [("", True), ('made_from = ["references/b.jpg"]\n', False)])
def test_a_merged_reference_is_asked_about_and_its_sources_count(tmp_path, made_from, asked):
    root = tmp_path / "content"
    folder = piece(root, "owl", RECORD + made_from + OTHER.replace("used = false", "used = true"))
    save(merged(photo(1), photo(3)), folder / "references/a.jpg")
    save(photo(3), folder / "references/b.jpg")
    save(photo(2), folder / "photos/healed.jpg")
    publication, codes = looked_at(root)
    assert ("rights.seems-from" in codes) is asked
    assert publication.references[0].picture.show_piece.answer.value == ("yes" if asked else "no")


def test_what_was_said_to_be_unused_and_lies_in_a_merged_reference_is_asked_about(tmp_path):
    root = tmp_path / "content"
    folder = piece(root, "owl", RECORD + OTHER)
    save(merged(photo(1), photo(3)), folder / "references/a.jpg")
    save(photo(3), folder / "references/b.jpg")
    save(photo(2), folder / "photos/healed.jpg")
    for _ in range(2):  # the second time it is remembered
        publication, codes = looked_at(root)
        assert not publication.shown
        assert "rights.used-after-all" in codes
    pictures = 'images = ["pieces/owl/references/a.jpg", "pieces/owl/references/b.jpg"]'
    (root / "decisions.toml").write_text(f"[[different]]\n{pictures}\n")
    publication, codes = looked_at(root)
    assert publication.shown
    assert "rights.used-after-all" not in codes


def test_a_part_of_a_stencil_that_nobody_is_said_to_have_drawn_from_is_asked_about(tmp_path):
    root = tmp_path / "content"
    folder = piece(root, "owl", RECORD + OTHER + '[[stencil]]\nfile = "stencils/1.png"\n')
    save(photo(1), folder / "references/a.jpg")
    save(drawing(5, weight=6).convert("RGB"), folder / "references/b.jpg")
    save(merged(drawing(5, weight=6), drawing(8, weight=6)).convert("L"), folder / "stencils/1.png")
    save(photo(2), folder / "photos/healed.jpg")
    publication, codes = looked_at(root)
    assert not publication.shown
    assert "rights.used-after-all" in codes


@pytest.mark.parametrize(("seed", "shown"), [(5, False), (6, True)])
def test_what_was_said_to_be_unused_and_lies_under_the_stencil_is_asked_about(tmp_path, seed, shown):
    root = tmp_path / "content"
    folder = piece(root, "owl", RECORD + OTHER + '[[stencil]]\nfile = "stencils/1.png"\n')
    save(photo(1), folder / "references/a.jpg")
    save(drawing(5, weight=9).convert("RGB"), folder / "references/b.jpg")
    save(drawing(seed, weight=4), folder / "stencils/1.png")
    save(photo(2), folder / "photos/healed.jpg")
    publication, codes = looked_at(root)
    assert publication.shown is shown
    assert ("rights.used-after-all" in codes) is not shown

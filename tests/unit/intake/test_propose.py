"""The whole plan of a telephone with a new piece, a healed photo, filed pictures and other files."""

from dataclasses import replace

import pytest

from archgen.commands.texts.intake_text import group_lines
from archgen.intake.answers import joined_group
from archgen.intake.carry import addition
from archgen.intake.plan import GroupKind, What
from archgen.intake.propose import propose_intake
from archgen.intake.sources import gather
from tests.intake_pictures import save, scene, skin, stencil


@pytest.fixture
def plan(intake_case):
    return intake_case.plan


@pytest.fixture
def new(plan):
    return next(group for group in plan.groups if group.kind is GroupKind.NEW_PIECE)


@pytest.fixture
def owl(plan):
    return next(group for group in plan.groups if group.kind is GroupKind.ADDITION)


def by_name(group):
    return {picture.name: picture for picture in group.pictures}


def test_there_is_one_new_piece_and_one_addition(plan):
    assert len(plan.groups) == 2
    assert plan.looked_at == 12


def test_the_new_piece_has_its_photos_stencil_and_reference(new):
    kinds = {name: picture.guess.what for name, picture in by_name(new).items()}
    assert kinds == {
        "IMG_2301.jpg": What.IN_PROGRESS,
        "IMG_2306.jpg": What.FRESH,
        "IMG_2307.jpg": What.FRESH,
        "moth-1.png": What.STENCIL,
        "IMG_2299.jpg": What.REFERENCE,
    }
    assert new.title == "New piece, Thu 26 Nov 2026"
    assert new.summary == "5 pictures, taken within 3 h 26 min."
    assert new.folder == "2026-11-26-new-piece"


def test_reasons_are_said_and_doubts_too(new):
    pictures = by_name(new)
    assert (
        pictures["IMG_2301.jpg"].guess.reason == "Taken 3 h 26 min before the last photo, with less tone than the last."
    )
    assert "first of the day, 11:20" in pictures["IMG_2301.jpg"].guess.note
    assert pictures["IMG_2306.jpg"].guess.reason.startswith("Skin is red round the lines")
    assert "its lines are on the photos" in pictures["moth-1.png"].guess.reason
    assert pictures["IMG_2299.jpg"].guess.is_doubtful  # only its number is near
    assert not pictures["moth-1.png"].guess.is_doubtful


def test_one_photo_is_the_cover_and_the_other_frame_is_not_shown(new):
    covers = [picture for picture in new.pictures if picture.is_cover]
    assert len(covers) == 1
    assert covers[0].guess.note == "cover; sharpest of two"
    other = next(one for one in new.pictures if one.guess.what is What.FRESH and not one.is_cover)
    assert not other.show


def test_a_stencil_knows_its_size_on_paper(new):
    one = by_name(new)["moth-1.png"]
    assert one.dots_per_inch == pytest.approx(300, abs=0.1)
    assert 700 < one.line_width_px < 870


def test_the_healed_photo_is_offered_to_the_owl_with_its_day(owl):
    assert [picture.name for picture in owl.pictures] == ["IMG_2315.jpg"]
    first = owl.proposals[0]
    assert (first.piece, first.title, first.what, first.day) == ("2026-09-05-barn-owl", "Barn owl", What.HEALED, 82)
    assert first.by_lines
    assert first.beside == "pieces/2026-09-05-barn-owl/photos/owl-fresh.jpg"
    assert first.turned == pytest.approx(15, abs=1.5)
    assert "A healed photo of it is due." in first.reasons
    assert owl.pictures[0].guess.what is What.HEALED
    assert owl.into is None
    assert owl.is_doubtful


def test_what_is_filed_already_is_said_with_its_place(plan):
    filed = {one.picture.name: one for one in plan.filed}
    assert set(filed) == {"IMG_1904.jpg", "same.jpg", "owl-mirrored.png"}
    assert (filed["same.jpg"].words, filed["same.jpg"].is_same_file) == ("The same file as", True)
    assert (filed["IMG_1904.jpg"].words, filed["IMG_1904.jpg"].title) == ("A black-and-white copy of", "Fern")
    assert filed["IMG_1904.jpg"].place == "fresh, first photo"
    assert (filed["owl-mirrored.png"].words, filed["owl-mirrored.png"].place) == ("A mirrored copy of", "a stencil")


def test_every_other_file_is_told_once(plan):
    left = {one.name: one.sentence for one in plan.not_taken}
    assert set(left) == {"broken.jpg", "copy of IMG_2306.jpg", "clip.mov"} or set(left) == {
        "broken.jpg",
        "IMG_2306.jpg",
        "clip.mov",
    }
    assert "ends too early" in left["broken.jpg"]


def test_a_second_look_reads_no_picture_again(intake_case, monkeypatch):
    from archgen.intake.reading import look

    read, real = [], look._look
    monkeypatch.setattr(look, "_look", lambda path, *more: read.append(path) or real(path, *more))
    with gather([intake_case.phone], intake_case.root) as gathered:
        again = propose_intake(gathered, intake_case.tools)
    assert again == intake_case.plan
    # A desk of another test may still be reading what waits in its own inbox.
    assert [path.name for path in read if path.parent == intake_case.phone] == ["broken.jpg"]


def test_the_client_named_brings_that_clients_pieces(intake_case, tmp_path):
    save(skin(9, red=0.0), tmp_path / "a.jpg", "2026-11-20 10:00")
    tools = replace(intake_case.tools, client="C-0042")
    with gather([tmp_path], intake_case.root) as gathered:
        group = propose_intake(gathered, tools).groups[0]
    assert [one.piece for one in group.proposals] == ["2026-10-01-fern"]
    assert group.proposals[0].reasons[0] == "It is of the same client, C-0042."
    assert not group.proposals[0].by_lines
    assert group.kind is GroupKind.ADDITION


def test_a_client_named_by_a_folder_is_understood(intake_case, tmp_path):
    save(skin(9, red=0.0), tmp_path / "C-0007 left arm" / "a.jpg", "2026-11-20 10:00")
    with gather([tmp_path], intake_case.root) as gathered:
        group = propose_intake(gathered, intake_case.tools).groups[0]
    assert [one.piece for one in group.proposals] == ["2026-09-05-barn-owl"]


def test_red_skin_with_filed_lines_months_later_is_asked_and_not_added(intake_case, tmp_path):
    save(skin(1, red=1.0, turn=9, seed=8), tmp_path / "a.jpg", "2026-11-20 10:00")
    with gather([tmp_path], intake_case.root) as gathered:
        group = propose_intake(gathered, intake_case.tools).groups[0]
    assert group.kind is GroupKind.NEW_PIECE
    assert group.proposals[0].piece == "2026-09-05-barn-owl"
    assert "Or does it belong to Barn owl?" in group.questions


def test_two_clients_of_one_day_are_two_pieces(intake_case, tmp_path):
    for drawing, hour in ((11, 10), (12, 12)):
        for minute in (0, 5):
            save(skin(drawing, seed=minute), tmp_path / f"{hour}{minute}.jpg", f"2026-11-20 {hour}:{minute:02}")
    with gather([tmp_path], intake_case.root) as gathered:
        groups = propose_intake(gathered, intake_case.tools).groups
    assert sorted(len(group.pictures) for group in groups) == [2, 2]


def test_one_drawing_on_several_days_is_one_piece(intake_case, tmp_path):
    save(skin(13, done=0.5), tmp_path / "a.jpg", "2026-06-01 12:00")
    save(skin(13, turn=8, seed=2), tmp_path / "b.jpg", "2026-06-20 12:00")
    save(skin(13, red=0.0, turn=-8, seed=3, share=0.6), tmp_path / "c.jpg", "2026-09-20 12:00")
    with gather([tmp_path], intake_case.root) as gathered:
        groups = propose_intake(gathered, intake_case.tools).groups
    assert len(groups) == 1
    kinds = {picture.name: picture.guess.what for picture in groups[0].pictures}
    assert kinds == {"a.jpg": What.IN_PROGRESS, "b.jpg": What.FRESH, "c.jpg": What.HEALED}
    assert groups[0].day.isoformat() == "2026-06-20"


def propose(case, folder, **more):
    with gather([folder], case.root) as gathered:
        return propose_intake(gathered, replace(case.tools, **more)).groups


def flash_done_again(folder):
    """Photos of one day, lines only to fresh red skin, of the filed owl's drawing; a stencil and a reference."""
    save(skin(1, red=0.2, done=0.45, turn=-12, seed=21, share=0.7), folder / "IMG_3101.jpg", "2026-11-20 11:05")
    for minute in (40, 41, 43):
        picture = skin(1, red=1.0, turn=-10 + minute % 3, seed=minute, share=0.7)
        save(picture, folder / f"IMG_31{minute}.jpg", f"2026-11-20 14:{minute}")
    save(stencil(1, (1100, 1100)), folder / "bird-flash.png")
    save(scene(31), folder / "IMG_3100.jpg")


def test_a_flash_done_again_is_a_new_piece_with_all_of_its_day(intake_case, tmp_path):
    flash_done_again(tmp_path)
    (group,) = propose(intake_case, tmp_path)
    kinds = {name: picture.guess.what for name, picture in by_name(group).items()}
    assert group.kind is GroupKind.NEW_PIECE
    assert kinds["IMG_3101.jpg"] is What.IN_PROGRESS
    assert {kinds[name] for name in ("IMG_3140.jpg", "IMG_3141.jpg", "IMG_3143.jpg")} == {What.FRESH}
    assert kinds["IMG_3100.jpg"] is What.REFERENCE
    first = group.proposals[0]
    assert (first.piece, first.by_lines) == ("2026-09-05-barn-owl", True)
    assert {"red skin", "a photo in progress", "a reference with it"} <= set(first.against)
    assert "Or does it belong to Barn owl?" in group.questions
    assert any("Against it: red skin, a photo in progress" in line for line in group_lines(group))


@pytest.mark.parametrize(("extra", "words"), [("stencil", "a stencil with it"), ("reference", "a reference with it")])
def test_quiet_skin_with_a_drawing_of_its_day_is_asked_and_not_added(intake_case, tmp_path, extra, words):
    save(skin(1, red=0.0, turn=9, seed=8, share=0.7), tmp_path / "IMG_3201.jpg", "2026-11-20 10:00")
    if extra == "stencil":
        save(stencil(17), tmp_path / "IMG_3200.png")
    else:
        save(scene(32), tmp_path / "IMG_3200.jpg")
    (group,) = propose(intake_case, tmp_path)
    assert (group.kind, group.proposals[0].against) == (GroupKind.NEW_PIECE, (words,))


def test_work_in_progress_with_filed_lines_is_asked_and_not_added(intake_case, tmp_path):
    save(skin(1, red=0.0, done=0.45, turn=9, seed=8, share=0.7), tmp_path / "a.jpg", "2026-11-20 10:00")
    save(skin(1, red=0.0, turn=8, seed=9, share=0.7), tmp_path / "b.jpg", "2026-11-20 12:30")
    (group,) = propose(intake_case, tmp_path)
    assert (group.kind, group.proposals[0].against) == (GroupKind.NEW_PIECE, ("a photo in progress",))


def test_several_healed_photos_alone_are_offered_to_their_piece(intake_case, tmp_path):
    for minute in (0, 2, 45):
        picture = skin(1, red=0.0, turn=9 + minute / 9, seed=minute, share=0.7)
        save(picture, tmp_path / f"{minute}.jpg", f"2026-11-20 10:{minute:02}")
    (group,) = propose(intake_case, tmp_path)
    assert (group.kind, group.proposals[0].piece) == (GroupKind.ADDITION, "2026-09-05-barn-owl")
    assert group.proposals[0].against == ()
    assert {picture.guess.what for picture in group.pictures} == {What.HEALED}


def test_the_same_drawing_on_another_client_is_a_new_piece(intake_case, tmp_path):
    save(skin(1, red=0.0, turn=15, share=0.6, seed=5), tmp_path / "a.jpg", "2026-11-26 17:02")
    (own,) = propose(intake_case, tmp_path, client="C-0007")
    (other,) = propose(intake_case, tmp_path, client="C-0042")
    assert own.kind is GroupKind.ADDITION
    assert other.kind is GroupKind.NEW_PIECE
    by_lines = next(one for one in other.proposals if one.by_lines)
    assert by_lines.against == ("another client, C-0007",)


def test_a_touch_up_that_goes_to_its_piece_keeps_its_stages_and_brings_no_cover(intake_case, tmp_path):
    flash_done_again(tmp_path)
    (group,) = propose(intake_case, tmp_path)
    joined = joined_group(group, "2026-09-05-barn-owl")
    assert {one.guess.what for one in joined.pictures if one.guess.what.stage} == {What.IN_PROGRESS, What.FRESH}
    piece = next(one for one in intake_case.catalogue.pieces if one.id == "2026-09-05-barn-owl")
    for some in (group, joined):
        assert b"cover" not in addition(some.filed, piece, intake_case.root).edited[0].after

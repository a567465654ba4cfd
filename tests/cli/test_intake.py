"""archgen intake: the plan on the terminal, filing, undo, and every refusal in one sentence."""

import os
import shutil
import tomllib

import pytest

from archgen.build import Options, read_catalogue
from archgen.intake.propose import IntakeTools, propose_intake
from archgen.intake.sources import gather
from archgen.progress import Silent
from archgen.storage.cache import Cache
from archgen.storage.files import digest_file
from archgen.storage.staging import MARKER
from tests.cli.archive import Terminal
from tests.intake_pictures import save, scene, skin, stencil
from tests.unit.intake.conftest import make_filed

BUILT = "archive-built"


@pytest.fixture(scope="module")
def drawn(tmp_path_factory):
    """An archive and a telephone, drawn once, and a build folder in which what their pictures show is kept."""
    folder = tmp_path_factory.mktemp("drawn")
    root, phone = make_filed(folder / "archive"), folder / "phone"
    save(skin(3), phone / "IMG_1.jpg", "2026-11-26 14:45")
    save(stencil(3), phone / "moth-1.png", dpi=(300, 300))
    save(skin(1, red=0.0, turn=15, share=0.6, seed=5), phone / "IMG_9.jpg", "2026-11-26 17:02")
    cache = Cache(folder / BUILT / "cache")
    kept = Cache(cache.folder / "intake")
    tools = IntakeTools(read_catalogue(root, cache, Options(1), Silent()), cache, kept, 1, Silent())
    with gather((phone,), root) as gathered:
        propose_intake(gathered, tools)
    cache.save()
    kept.save()
    (folder / BUILT / MARKER).touch()
    return folder


@pytest.fixture
def studio(drawn, tmp_path, monkeypatch, capsys):
    shutil.copytree(drawn / "archive", tmp_path / "archive")
    monkeypatch.chdir(tmp_path)
    return Terminal(tmp_path / "archive", monkeypatch, capsys)


@pytest.fixture
def phone(drawn, tmp_path):
    return shutil.copytree(drawn / "phone", tmp_path / "phone")


@pytest.fixture
def built(drawn, tmp_path):
    """The folder of a build, which keeps what the pictures show."""
    return shutil.copytree(drawn / BUILT, tmp_path / BUILT)


def everything(folder):
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_the_plan_is_shown_and_nothing_is_written(studio, phone):
    before = everything(studio.root), everything(phone)
    ran = studio.run("intake", phone, "--archive", studio.root)
    assert ran.code == 0
    assert "3 files in" in ran.out
    assert "1 new piece, 1 addition to filed pieces. Nothing is written yet." in ran.out
    assert "Does it belong to Barn owl?" in ran.out
    assert "Nothing was filed. --yes files what is not doubtful" in ran.out
    assert (everything(studio.root), everything(phone)) == before


def test_yes_files_what_is_sure_and_undo_takes_it_back(studio, phone):
    before, pictures = everything(studio.root), everything(phone)
    ran = studio.run("intake", phone, "--archive", studio.root, "--yes", "--client", "C-0042")
    assert ran.code == 0
    assert "New piece, Thu 26 Nov 2026 filed, 2 pictures. archgen undo takes it back." in ran.out
    # The owl is another client's, so its drawing again is a new piece, and never filed unasked.
    assert "Against it: another client, C-0007." in ran.out
    assert "New piece, Thu 26 Nov 2026: left, since somebody has to look at it." in ran.out
    folder = studio.root / "pieces" / "2026-11-26-new-piece"
    assert digest_file(folder / "photos" / "IMG_1.jpg") == digest_file(phone / "IMG_1.jpg")
    record = tomllib.loads((folder / "piece.toml").read_text(encoding="utf-8"))
    assert record["client"] == "C-0042"
    assert record["photo"][0]["cover"] is True
    assert 55 < float(record["stencil"][0]["width"].removesuffix(" mm")) < 75
    assert everything(phone) == pictures
    assert studio.run("undo", "--archive", studio.root, "--yes").code == 0
    assert everything(studio.root) == before


@pytest.mark.usefixtures("built")
def test_what_is_filed_is_known_the_next_time(studio, phone):
    studio.run("intake", phone, "--archive", studio.root, "--yes")
    ran = studio.run("intake", phone, "--archive", studio.root, "--yes")
    assert "Filed already, so left out: 2 pictures" in ran.out
    assert len(list((studio.root / "pieces").iterdir())) == 3


@pytest.mark.usefixtures("built")
def test_a_corrected_plan_is_carried_out(studio, phone, tmp_path):
    ran = studio.run("intake", phone, "--archive", studio.root, "--plan", "plan.toml")
    assert "Nothing was filed. The proposal stands in plan.toml" in ran.out
    plan = tmp_path / "plan.toml"
    text = plan.read_text(encoding="utf-8").replace('# piece = "2026-09-05', 'piece = "2026-09-05')
    plan.write_text(text.replace('title = "New piece, Thu 26 Nov 2026"', 'title = "Night moth"'), encoding="utf-8")
    ran = studio.run("intake", "--apply", "plan.toml", "--archive", studio.root)
    assert ran.code == 0
    assert "1 picture added to Barn owl." in ran.out
    assert "Night moth filed, 2 pictures." in ran.out
    owl = tomllib.loads((studio.root / "pieces/2026-09-05-barn-owl/piece.toml").read_text(encoding="utf-8"))
    assert [photo["stage"] for photo in owl["photo"]] == ["fresh", "healed"]
    assert (studio.root / "pieces/2026-11-26-night-moth/stencils/moth-1.png").is_file()
    before = everything(studio.root)
    again = studio.run("intake", "--apply", "plan.toml", "--archive", studio.root)
    assert again.code == 0
    assert "IMG_1.jpg is in the archive already, in Night moth, so it is left." in again.out
    assert "Nothing in the plan is to be filed." in again.out
    assert everything(studio.root) == before


@pytest.mark.usefixtures("built")
def test_a_picture_changed_since_the_plan_stops_all_of_it(studio, phone):
    studio.run("intake", phone, "--archive", studio.root, "--plan", "plan.toml")
    before = everything(studio.root)
    save(skin(5), phone / "IMG_1.jpg", "2026-11-26 14:45")
    line = studio.refused(2, "intake", "--apply", "plan.toml", "--archive", studio.root)
    assert "IMG_1.jpg isn't there any more, or was changed since the plan was written." in line
    assert ", line " in line
    assert everything(studio.root) == before


@pytest.mark.usefixtures("built")
def test_the_inbox_is_taken_in_and_may_lie_elsewhere(studio, phone):
    line = studio.refused(2, "intake", "--from-inbox", "--archive", studio.root)
    assert "There is no inbox yet." in line
    (studio.root / "archive.toml").write_text(f'[archive]\ninbox = "{phone.as_posix()}"\n', encoding="utf-8")
    assert "3 files in" in studio.run("intake", "--from-inbox", "--archive", studio.root).out
    (studio.root / "archive.toml").unlink()
    (studio.root / "inbox").mkdir()
    save(scene(4), studio.root / "inbox" / "a.jpg")
    ran = studio.run("intake", "--from-inbox", "--archive", studio.root, "--yes")
    assert "1 file in" in ran.out
    assert "somebody has to look at it" in ran.out


@pytest.mark.usefixtures("built")
def test_colliding_names_keep_both_pictures(studio, tmp_path):
    for folder, seed in (("a", 1), ("b", 2)):
        save(skin(3, seed=seed, turn=seed), tmp_path / "two" / folder / "IMG_1.jpg", f"2026-11-26 14:4{seed}")
    studio.run("intake", tmp_path / "two", "--archive", studio.root, "--yes")
    photos = studio.root / "pieces" / "2026-11-26-new-piece" / "photos"
    assert {path.name for path in photos.iterdir()} == {"IMG_1.jpg", "IMG_1-2.jpg"}


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "Name a folder, files or a zip"),
        (("x", "--from-inbox"), "Name a folder, files or a zip"),
        (("phone", "--plan", "p.toml", "--yes"), "--plan only writes the proposal"),
        (("phone", "--plan", "there.toml"), "there.toml is there already"),
        (("archive",), "is the archive itself"),
    ],
)
def test_what_cannot_be_asked_for_is_said_in_a_line(studio, phone, tmp_path, words, said):
    (tmp_path / "there.toml").write_text("mine")
    assert phone.is_dir()
    assert said in studio.refused(2, "intake", *words, "--archive", studio.root)
    assert (tmp_path / "there.toml").read_text() == "mine"


def test_a_source_that_is_not_there_is_said(studio):
    assert "There is no nowhere" in studio.refused(4, "intake", "nowhere", "--archive", studio.root)


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write everywhere")
def test_an_archive_that_may_not_be_written_stays_as_it_is(studio, phone):
    (studio.root / "pieces").chmod(0o500)
    try:
        ran = studio.run("intake", phone, "--archive", studio.root, "--yes")
    finally:
        (studio.root / "pieces").chmod(0o700)
    assert ran.code == 4
    assert "not allowed to write" in ran.err


def test_an_empty_folder_is_no_trouble(studio, tmp_path):
    (tmp_path / "empty").mkdir()
    ran = studio.run("intake", tmp_path / "empty", "--archive", studio.root)
    assert ran.code == 0
    assert "0 files" in ran.out

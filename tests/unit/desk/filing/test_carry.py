"""From answers and pictures to one change: names that are free, files that are copied, registers that grow."""

import datetime as dt
import tomllib

import pytest

from archgen.desk.filing.answers import PieceAnswers
from archgen.desk.filing.carry import Meant, filing, piece_folder
from archgen.desk.filing.people import MeantClient
from archgen.intake.carry import addition, with_free_names
from archgen.intake.plan import What
from archgen.storage.files import digest_file
from tests.unit.desk.filing.planned import planned

DAY = dt.date(2026, 11, 26)
OWL = "2026-03-14-barn-owl"


@pytest.mark.parametrize(
    ("title", "day", "taken", "folder"),
    [
        ("Night moth", DAY, (), "pieces/2026-11-26-night-moth"),
        ("Night moth", DAY, ("2026-11-26-night-moth",), "pieces/2026-11-26-night-moth-2"),
        ("NIGHT  Moth!", None, (), "pieces/night-moth"),
        ("昇り鯉", DAY, (), "pieces/2026-11-26-piece"),
        ("../../etc", DAY, (), "pieces/2026-11-26-etc"),
        ("Écureuil", DAY, (), "pieces/2026-11-26-ecureuil"),
    ],
)
def test_the_folder_is_named_by_day_and_title_and_is_free(title, day, taken, folder):
    assert piece_folder(title, day, taken) == folder


def test_two_pictures_of_one_name_get_two_names():
    pictures = (planned("a.jpg"), planned("a.jpg"), planned("A.JPG"), planned("a.jpg", What.REFERENCE))
    assert [one.file for one in with_free_names(pictures)] == [
        "photos/a.jpg", "photos/a-2.jpg", "photos/A-3.JPG", "references/a.jpg",
    ]  # fmt: skip


def lying(tmp_path, name, what=What.FRESH, **more):
    source = tmp_path / name
    source.write_bytes(name.encode())
    return planned(name, what, source=source, digest=digest_file(source), **more)


def test_a_filing_is_one_new_folder_with_copies_and_the_register_where_somebody_is_new(still_state, tmp_path):
    catalogue = still_state.current.catalogue
    picture = lying(tmp_path, "a.jpg")
    answers = PieceAnswers("Night moth", notes="skin slow to take")
    change, tables = filing(
        catalogue, answers, [picture], "pieces/2026-11-26-night-moth", Meant(MeantClient("C-0044", "Piet Larsmo"))
    )
    assert change.words == "Night moth filed, 1 picture"
    assert change.new_folder == "pieces/2026-11-26-night-moth"
    paths = [one.path.removeprefix("pieces/2026-11-26-night-moth/") for one in change.new]
    assert paths == ["photos/a.jpg", "notes.md", "piece.toml"]
    assert change.new[0].source == picture.source
    assert change.new[0].digest == picture.digest
    assert tables[0].entries == (("title", "Night moth"), ("client", "C-0044"))
    assert [one.path for one in change.edited] == ["clients.toml"]
    assert tomllib.loads(change.edited[0].after.decode())["client"][-1] == {"code": "C-0044", "name": "Piet Larsmo"}


def test_a_client_of_the_register_changes_no_register(still_state, tmp_path):
    change, _ = filing(
        still_state.current.catalogue,
        PieceAnswers("Moth"),
        [lying(tmp_path, "a.jpg")],
        "pieces/moth",
        Meant(MeantClient("C-0042")),
    )
    assert change.edited == ()


def test_pictures_for_a_filed_piece_are_described_as_what_they_are(still_state, tmp_path):
    catalogue = still_state.current.catalogue
    piece = next(one for one in catalogue.pieces if one.id == OWL)
    pictures = [
        lying(tmp_path, "healed.jpg", What.HEALED, taken=dt.datetime(2026, 4, 20, 10, 0)),  # noqa: DTZ001
        lying(tmp_path, "copy.jpg", What.FRESH, show=False),
        lying(tmp_path, "owl.png", What.STENCIL),
        lying(tmp_path, "field.jpg", What.REFERENCE),
    ]
    change = addition(pictures, piece, catalogue.config.root)
    record = tomllib.loads(change.edited[0].after.decode())
    assert record["photo"][1:] == [
        {"file": "photos/healed.jpg", "stage": "healed", "taken": dt.date(2026, 4, 20)},
        {"file": "photos/copy.jpg", "stage": "fresh", "publish": False},
    ]
    assert record["stencil"][-1]["file"] == "stencils/owl.png"
    before = [one.version or 0 for one in piece.record.stencil]
    assert record["stencil"][-1]["version"] == max(before, default=0) + 1
    assert record["reference"] == [{"file": "references/field.jpg"}]
    assert [one.path for one in change.new] == [f"pieces/{OWL}/{one.file}" for one in pictures]
    assert change.words == "4 pictures added to Barn owl"


def test_a_picture_named_like_a_filed_one_does_not_take_its_place(still_state, tmp_path):
    catalogue = still_state.current.catalogue
    piece = next(one for one in catalogue.pieces if one.id == OWL)
    change = addition([lying(tmp_path, "owl.jpg", What.HEALED)], piece, catalogue.config.root)
    assert change.new[0].path == f"pieces/{OWL}/photos/owl-2.jpg"

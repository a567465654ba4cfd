"""One file that cannot be made: in the studio it is told of and the rest is made, for others nothing is renewed."""

from dataclasses import dataclass, field

import pytest

from archgen.errors import InputError
from archgen.outputs.artifact import Artifact, failing
from archgen.outputs.folders import OutputFolders
from archgen.outputs.not_made import telling
from archgen.pieces.survey import survey
from archgen.progress import Silent
from archgen.storage.cache import Cache
from tests.builders import make_catalogue, make_piece, paper_facts


@dataclass
class Folder:
    made: list = field(default_factory=list)
    folder = "sheets"

    def artifacts(self):
        yield from self.made


@pytest.fixture
def folders(tmp_path):
    return OutputFolders(tmp_path / "out", Cache(tmp_path / "out/cache"), 1, Silent())


GOOD = Artifact("good.txt", make=lambda: b"good")
BAD = Artifact("bad.pdf", make=failing("", KeyError("width")).make, piece="owl", made_of="pieces/owl/piece.toml")


def test_all_others_are_made_and_the_finding_names_what_it_was_made_of(folders):
    folders.replace(Folder([BAD, GOOD]))
    folders.commit()
    assert [path.name for path in (folders.out / "sheets").iterdir()] == ["good.txt"]
    (finding,) = folders.findings
    assert (finding.piece, finding.place.file) == ("owl", "pieces/owl/piece.toml")
    assert "sheets/bad.pdf was not made (KeyError: 'width')" in finding.problem
    assert list(folders.missing) == ["sheets/bad.pdf"]


def test_trouble_that_the_artist_can_put_right_says_how(folders):
    error = InputError("a.svg: this SVG takes too long, so it isn't drawn. Export it as PNG.")
    folders.replace(Folder([failing("a.pdf", error)]))
    folders.commit()
    (finding,) = folders.findings
    assert finding.problem == "sheets/a.pdf was not made: a.svg: this SVG takes too long, so it isn't drawn."
    assert finding.remedy == "Export it as PNG."


def test_a_page_that_others_lead_to_says_that_it_could_not_be_made(folders):
    folders.replace(Folder([failing("pieces/owl.html", MemoryError())]))
    folders.commit()
    text = (folders.out / "sheets/pieces/owl.html").read_text()
    assert "could not be made" in text
    assert 'href="../index.html"' in text


def test_a_folder_for_others_stays_as_it_was(folders, tmp_path):
    catalogue = survey(make_catalogue(tmp_path))
    assert folders.publish(Folder([GOOD]), catalogue, catalogue.publications)
    folders.commit()
    assert not folders.publish(Folder([GOOD, BAD]), catalogue, catalogue.publications)
    folders.commit()
    assert folders.withheld == ["sheets"]
    assert [path.name for path in (folders.out / "sheets").iterdir()] == ["good.txt"]


def test_a_list_of_files_that_cannot_be_made_leaves_the_folder(folders):
    class Broken(Folder):
        def artifacts(self):
            raise RecursionError

    folders.replace(Folder([GOOD]))
    folders.commit()
    folders.replace(Broken())
    folders.commit()
    assert (folders.out / "sheets/good.txt").is_file()
    assert [finding.code for finding in folders.findings] == ["output.not-made"]


def test_a_full_disk_is_no_fault_of_one_file(folders):
    with pytest.raises(OSError, match="full"):
        folders.replace(Folder([failing("a.pdf", OSError(28, "full"))]))
    folders.commit()


def test_no_page_leads_to_what_is_missing(folders, tmp_path):
    catalogue = survey(make_catalogue(tmp_path, make_piece("owl"), facts_of=paper_facts))
    (ready, *_) = catalogue.overviews["owl"].prints
    folders.replace(Folder([Artifact("owl.pdf", make=failing("", ValueError()).make)]))
    folders.commit()
    missing = folders.missing | {f"reprints/{ready.name}.pdf": folders.findings[0]}
    told = telling(catalogue, missing)
    assert told.overviews["owl"].prints[0].name == ""
    assert "was not made" in told.overviews["owl"].prints[0].problem
    assert told.overviews["owl"].prints[1:] == catalogue.overviews["owl"].prints[1:]
    assert "sheets/owl.pdf" in told.not_made


def test_what_is_made_ahead_is_made_once_and_failures_are_told_where_it_is_written(folders):
    made = []
    counted = Artifact("counted.txt", make=lambda: made.append("counted") or b"counted")
    output, broken = Folder([BAD, counted]), Folder(None)
    broken.folder = "reprints"
    with folders.making([output, broken]):
        assert not folders.findings
        folders.replace(output)
        folders.replace(broken)
    folders.commit()
    assert made == ["counted"]
    assert [path.name for path in (folders.out / "sheets").iterdir()] == ["counted.txt"]
    assert len(folders.findings) == 2
    assert not (folders.out / "reprints").exists()


@pytest.mark.parametrize("path", ["good.html", "good.pdf"])
def test_what_has_a_key_is_made_once_and_linked(folders, path):
    made = []
    kept = Artifact(path, make=lambda: made.append(path) or b"good", key="the same")
    for _ in range(2):
        folders.replace(Folder([kept, BAD, GOOD]))
        folders.commit()
        folders.cache.save()
    assert made == [path]
    file = folders.out / "sheets" / path
    assert file.read_bytes() == b"good"
    assert file.stat().st_nlink == 2
    assert (folders.out / "sheets/good.txt").read_bytes() == b"good"

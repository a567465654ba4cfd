"""The log of pieces that had to leave the public eye."""

import datetime as dt

import msgspec
import pytest

from archgen.catalogue import PortfolioFolder
from archgen.config import Config, PortfolioSettings
from archgen.publication.withdrawals import find_withdrawals, write_gone, write_withdrawals
from archgen.records import model
from tests.builders import TODAY, make_piece, make_record, paper_catalogue

ASKED = {"scope": ("portfolio",), "date": dt.date(2026, 1, 1)}
WITHDRAWN = model.Release(status=model.ReleaseStatus.WITHDRAWN, withdrawn=dt.date(2026, 6, 1), **ASKED)
TAKEN_BACK = model.Release(status=model.ReleaseStatus.GRANTED, withdrawn=dt.date(2026, 6, 1), **ASKED)
NO_DAY = model.Release(status=model.ReleaseStatus.WITHDRAWN, **ASKED)
ENDED = model.Release(status=model.ReleaseStatus.GRANTED, scope=("portfolio",), expires=dt.date(2026, 7, 1))
OLD_RIGHT = model.Reference(license="CC-BY-4.0", creator="A. Sample", expires=dt.date(2026, 5, 1))


@pytest.mark.parametrize(
    ("changes", "since"),
    [
        ({"release": WITHDRAWN}, dt.date(2026, 6, 1)),
        ({"release": TAKEN_BACK}, dt.date(2026, 6, 1)),
        ({"release": NO_DAY}, None),
        ({"release": WITHDRAWN, "publish": False}, dt.date(2026, 6, 1)),
        ({"release": ENDED}, dt.date(2026, 7, 1)),
        ({"reference": (OLD_RIGHT,)}, dt.date(2026, 5, 1)),
    ],
)
def test_what_had_to_go_is_listed_with_its_day(tmp_path, changes, since):
    catalogue = paper_catalogue(tmp_path, make_piece(record=make_record(**changes)))
    assert [removal.since for removal in find_withdrawals(catalogue)] == [since]


def test_what_is_shown_or_was_never_allowed_is_not_listed(tmp_path):
    refused = model.Release(status=model.ReleaseStatus.REFUSED)
    pieces = (make_piece(), make_piece("2026-01-01-moth", make_record(release=refused)))
    assert find_withdrawals(paper_catalogue(tmp_path, *pieces)) == ()


@pytest.mark.parametrize(
    ("references", "publish", "since"),
    [
        ((OLD_RIGHT,), False, None),  # it was not to be shown anyway
        ((msgspec.structs.replace(OLD_RIGHT, used=False),), True, None),
        ((msgspec.structs.replace(OLD_RIGHT, expires=TODAY),), True, None),
        (
            (OLD_RIGHT, msgspec.structs.replace(OLD_RIGHT, expires=TODAY - dt.timedelta(1))),
            True,
            TODAY - dt.timedelta(1),
        ),
    ],
)
def test_a_right_that_ended_counts_for_what_was_drawn_from_and_shown(tmp_path, references, publish, since):
    record = make_record(reference=references, publish=publish)
    found = find_withdrawals(paper_catalogue(tmp_path, make_piece(record=record)))
    assert [(one.since, one.reason) for one in found] == [(since, "right to a reference ended")] * (since is not None)


def test_a_right_that_has_not_ended_took_nothing_away(tmp_path):
    refused = model.Release(status=model.ReleaseStatus.REFUSED)
    lasting = msgspec.structs.replace(OLD_RIGHT, expires=TODAY)
    record = make_record(reference=(lasting,), release=refused)
    assert find_withdrawals(paper_catalogue(tmp_path, make_piece(record=record))) == ()


def test_the_latest_stands_first_and_what_has_no_day_last(tmp_path):
    releases = {"undated": NO_DAY, "june": WITHDRAWN, "july": ENDED, "june-2": TAKEN_BACK}
    pieces = [make_piece(name, make_record(release=release)) for name, release in releases.items()]
    catalogue = paper_catalogue(tmp_path, *pieces)
    assert [one.piece for one in find_withdrawals(catalogue)] == ["july", "june", "june-2", "undated"]
    assert "since 1 Jul 2026" in write_withdrawals(catalogue)


def test_the_log_says_nothing_of_the_client(tmp_path):
    catalogue = paper_catalogue(tmp_path, make_piece(record=make_record(release=WITHDRAWN)))
    text = write_withdrawals(catalogue)
    assert "Barn owl" in text
    assert not any(private in text for private in ("C-0042", "Private Name", "release.pdf"))


@pytest.mark.parametrize("url", ["https://needle.example.org/", None])
@pytest.mark.parametrize("is_there", [True, False, None])
def test_the_log_says_what_the_folder_shows_and_which_addresses_to_drop(tmp_path, is_there, url):
    piece = make_piece(record=make_record(release=NO_DAY))
    pieces = (piece, make_piece("2026-01-01-moth", make_record(title="Moth")))
    folder = None if is_there is None else PortfolioFolder(frozenset([piece.id] if is_there else []))
    config = Config(root=tmp_path, portfolio=PortfolioSettings(url=url))
    catalogue = paper_catalogue(tmp_path, *pieces, portfolio=folder, config=config)
    (found,) = find_withdrawals(catalogue)
    text = write_withdrawals(catalogue)
    assert found.is_there is is_there
    assert ("STILL IN THE FOLDER" in text, "Not in the folder" in text) == (is_there is True, is_there is False)
    paths = ("pieces/barn-owl.html", "img/barn-owl-1-800.webp", "img/barn-owl-2-800.webp")
    assert found.addresses == (paths if is_there is False else ())
    root = "https://needle.example.org/" if url else ""
    assert [line for line in text.splitlines() if "barn-owl." in line or "img/" in line] == [
        f"{root}{path}" for path in found.addresses
    ]
    assert "date not recorded" in text


def test_all_that_ever_left_is_listed_with_its_addresses():
    gone = {"owl": ("Barn öwl", ("pieces/barn-öwl.html", "img/barn-öwl-1-800.webp"))}
    assert write_gone(PortfolioFolder(frozenset()), "https://a.example").startswith("Nothing")
    text = write_gone(PortfolioFolder(frozenset(), gone), "https://a.example")
    assert "Barn öwl (owl)" in text
    assert "https://a.example/pieces/barn-%C3%B6wl.html\nhttps://a.example/img/barn-%C3%B6wl-1-800.webp\n" in text


def test_an_empty_log_says_so(tmp_path):
    assert write_withdrawals(paper_catalogue(tmp_path)) == "Nothing had to be removed.\n"

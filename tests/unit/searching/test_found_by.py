"""By what a piece is found: every text of its record, and the places and needles as the trade says them."""

from enum import Enum

import msgspec
import pytest

from archgen.pieces.survey import survey
from archgen.plain_text import words_of
from archgen.records import model
from archgen.searching.found_by import batch_lines, client_lines, piece_lines, stencil_lines
from archgen.tracing.book import BatchBook
from tests.builders import make_catalogue, make_piece, make_record


def texts_of(value):
    if isinstance(value, str):
        yield value
    elif isinstance(value, Enum):
        yield str(value.value)
    elif isinstance(value, msgspec.Struct):
        yield from texts_of(tuple(msgspec.structs.asdict(value).values()))
    elif isinstance(value, tuple):
        for part in value:
            yield from texts_of(part)


@pytest.fixture
def words_for(tmp_path):
    def found(piece, **changes):
        catalogue = survey(make_catalogue(tmp_path, piece, **changes))
        lines = piece_lines(catalogue.overviews[piece.id], catalogue, BatchBook(catalogue))
        return {word for line in lines for word in line.words}

    return found


def test_every_text_of_a_record_leads_to_its_piece(words_for):
    full = make_record(
        reference=(
            model.Reference(
                file="references/sketch.jpg", source="an old calendar", creator="Marit Oskelund",
                license="all-rights-reserved",
                rights_url="https://example.org/terms", permission="references/letter.pdf", digital_source="composite",
                ai_system="paintbox", ai_terms="https://example.org/ai", made_from=("first.jpg",), note="sent by post",
            ),
        ),
        values=model.Values(reference="references/tones.jpg", note="whites last"),
        rights_override=model.RightsOverride(reason="the maker died childless"),
        release=model.Release(status=model.ReleaseStatus.GRANTED, scope=("portfolio",), file="a.pdf", note="by phone"),
    )  # fmt: skip
    words = words_for(make_piece(record=full))
    # What stands in a closed list is shown in words of its own.
    told = [
        text for text in texts_of(full) if text not in {"liner", "sitting", "touch-up", "granted", "fresh", "healed"}
    ]
    missing = {word for text in told for word in words_of(text).split()} - words
    assert missing <= set(words_of(full.placement.region or "").split()) | {"in", "progress"}


def test_a_place_is_found_by_the_words_it_was_written_in(words_for):
    piece = msgspec.structs.replace(make_piece(), place_as_written="inner bicep")
    assert {"inner", "bicep"} <= words_for(piece)
    assert "bicep" not in words_for(make_piece())


def test_a_client_is_found_by_name_but_a_piece_not_by_the_contact(words_for):
    clients = {"C-0042": model.Client(code="C-0042", name="Somebody", contact="telephone 5550", note="allergic")}
    words = words_for(make_piece(record=make_record(client="C-0042")), clients=clients)
    assert {"somebody", "allergic", "#c-42"} <= words
    assert "telephone" not in words
    own = {word for line in client_lines("C-0042", clients["C-0042"], ["Owl"]) for word in line.words}
    assert {"telephone", "5550", "somebody", "owl", "#c-42"} <= own


def test_lengths_days_and_needles_have_words_of_their_own(words_for):
    record = make_record(
        size=model.Size(width=model.Length(58), height=model.Length(92.25)),
        needle=(model.Needle(code="1003RL"), model.Needle(code="15CM")),
    )
    words = words_for(make_piece(record=record))
    assert {"=58", "=92.2", "3rl", "rl", "3rlbugpin", "bugpin", "15cm", "15mag"} & words == {
        "=58", "=92.2", "3rl", "rl", "3rlbugpin", "bugpin", "15cm", "15mag",
    }  # fmt: skip
    assert f":{record.finished_on:%Y%m%d}" in words


def test_a_stencil_is_found_by_version_skin_width_and_what_was_noted(tmp_path):
    catalogue = survey(make_catalogue(tmp_path, make_piece()))
    overview = next(iter(catalogue.overviews.values()))
    for version in overview.versions:
        words = {word for line in stencil_lines(version, "mm") for word in line.words}
        assert ("skin" in words) == version.is_applied
        assert f"^{version.stencil.version}" in words
        assert f"={version.stencil.width:g}" in words
        assert set(words_of(version.stencil.note or "").split()) <= words


def test_a_batch_is_found_by_its_number_its_name_and_a_recall(tmp_path):
    catalogue = make_catalogue(tmp_path, make_piece())
    book = BatchBook(catalogue)
    number = book.numbers[0]
    words = {word for line in batch_lines(number, catalogue.inks.get(number), book) for word in line.words}
    assert set(words_of(number).split()) <= words
    assert any(word.startswith("#") for word in words)

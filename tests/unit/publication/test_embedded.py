"""What a file says beside what the record says: it asks, fills in, holds back, and clears nothing."""

import dataclasses

import msgspec
import pytest

from archgen.config import Config, PortfolioSettings
from archgen.metadata.file_rights import EmbeddedRights
from archgen.publication.decision import decide_publication, rights_of
from archgen.publication.embedded import claims, completed, fills, is_ours, licence_of, likeness_of, proposals, says_ai
from archgen.publication.rights import Answer
from archgen.records import model
from tests.builders import make_piece, make_record, paper_catalogue

OWN = {"file": "references/a.jpg", "license": "own-work"}


def catalogue_with(tmp_path, said, **reference):
    record = make_record(reference=(model.Reference(**{**OWN, **reference}),))
    catalogue = paper_catalogue(tmp_path, make_piece(record=record))
    facts = {
        p: msgspec.structs.replace(f, rights=said) if "/references/" in p else f for p, f in catalogue.facts.items()
    }
    return dataclasses.replace(catalogue, facts=facts)


def shown(catalogue):
    return decide_publication(catalogue.pieces[0], catalogue).shown


def test_a_picture_that_says_a_model_made_it_is_a_question_and_labelled(tmp_path):
    catalogue = catalogue_with(tmp_path, EmbeddedRights(digital_source="trainedAlgorithmicMedia"))
    (right,) = rights_of(catalogue.pieces[0], catalogue)
    assert (right.use.answer, right.is_ai) == (Answer.HOLD, True)


def test_a_minor_named_in_a_file_keeps_the_piece_in_until_the_record_answers(tmp_path):
    said = EmbeddedRights(minor_age="AG-U14")
    assert shown(catalogue_with(tmp_path, None))
    assert not shown(catalogue_with(tmp_path, said))
    assert shown(catalogue_with(tmp_path, said, likeness=model.Likeness.NONE))


@pytest.mark.parametrize("said", [EmbeddedRights(people=("Anna",)), EmbeddedRights(model_release="MR-LMR")])
def test_a_person_named_in_a_file_keeps_the_piece_in_until_the_record_answers(tmp_path, said):
    assert not shown(catalogue_with(tmp_path, said))
    assert shown(catalogue_with(tmp_path, said, likeness=model.Likeness.CONSENTED))


def test_a_licence_in_a_file_clears_nothing(tmp_path):
    said = EmbeddedRights(licence="https://creativecommons.org/publicdomain/zero/1.0/")
    assert not shown(catalogue_with(tmp_path, said, license=None))


@pytest.mark.parametrize(
    ("age", "likeness"),
    [
        ("AG-U14", model.Likeness.MINOR),
        ("AG-A17", model.Likeness.MINOR),
        ("AG-A16", model.Likeness.MINOR),
        ("AG-A15", model.Likeness.MINOR),
        ("AG-A18", None),
        ("AG-A25", None),
        ("AG-UNK", None),
    ],
)
def test_an_age_under_eighteen_is_a_minor(age, likeness):
    assert likeness_of(EmbeddedRights(minor_age=age)) is likeness


@pytest.mark.parametrize(
    ("fields", "licence"),
    [
        ({"licence": "http://creativecommons.org/licenses/by-sa/4.0/"}, "CC-BY-SA-4.0"),
        ({"web_statement": "https://creativecommons.org/licenses/by/3.0/de/deed.de"}, "CC-BY-3.0-DE"),
        ({"usage_terms": "http://rightsstatements.org/vocab/InC/1.0/"}, "InC"),
        ({"web_statement": "https://example.org/rights"}, None),
        ({"usage_terms": "permission"}, None),
    ],
)
def test_a_licence_is_known_by_its_address(fields, licence):
    found = licence_of(EmbeddedRights(**fields))
    assert (found.id if found else None) == licence


def test_only_empty_fields_are_filled():
    said = EmbeddedRights(
        creators=("A", "B"), licence="https://creativecommons.org/licenses/by/4.0/", ai_system="M", ai_version="2"
    )
    given = model.Reference(file="references/a.jpg", creator="C")
    assert [(key, value) for key, value, _ in fills(given, said)] == [
        ("license", "CC-BY-4.0"),
        ("rights_url", "https://creativecommons.org/licenses/by/4.0/"),
        ("ai_system", "M 2"),
    ]


def test_a_notice_alone_is_read_as_all_rights_reserved():
    assert ("license", "all-rights-reserved", "copyright notice") in fills(
        model.Reference(file="a"), EmbeddedRights(copyright_notice="© A")
    )
    public = EmbeddedRights(copyright_notice="no claim", copyright_status="CS-PUB")
    assert not [key for key, _, _ in fills(model.Reference(file="a"), public) if key == "license"]


@pytest.mark.parametrize(
    ("names", "ours"),
    [
        (("© Sample Artist 2026",), True),
        (("SAMPLE ARTIST", "by Sample Artist"), True),
        (("Sample Artist", "A. Other"), False),
        (("A. Other",), False),
    ],
)
def test_a_claim_is_ours_when_every_name_is_the_studios_own(tmp_path, names, ours):
    catalogue = paper_catalogue(tmp_path)
    assert is_ours(names, catalogue) is ours
    creator = PortfolioSettings(artist="", creator="Sample Artist")
    own = dataclasses.replace(catalogue, config=Config(root=tmp_path, portfolio=creator))
    assert is_ours(names, own) is ours
    nobody = dataclasses.replace(catalogue, config=Config(root=tmp_path, portfolio=PortfolioSettings(artist="·")))
    assert not is_ours(names, nobody)


def test_a_picture_is_claimed_by_notice_owner_and_maker():
    said = EmbeddedRights(copyright_notice="© A", copyright_owners=("B",), creators=("C", "D"))
    assert claims(said) == ("© A", "B", "C", "D")
    assert claims(EmbeddedRights(creators=("C",))) == ("C",)


@pytest.mark.parametrize(
    ("said", "recorded", "source"),
    [
        ({"digital_source": "trainedAlgorithmicMedia"}, {}, "trainedAlgorithmicMedia"),
        ({"digital_source": "screenCapture"}, {}, "screenCapture"),
        ({"digital_source": "digitalCapture"}, {}, None),  # says nothing that is stricter
        ({"ai_system": "Sample 2"}, {}, "compositeWithTrainedAlgorithmicMedia"),
        ({"digital_source": "screenCapture", "ai_system": "Sample 2"}, {}, "screenCapture"),
        ({"digital_source": "trainedAlgorithmicMedia"}, {"digital_source": "digitalCapture"}, "digitalCapture"),
        ({"digital_source": "trainedAlgorithmicMedia"}, {"ai_system": "Mine"}, None),
        ({}, {}, None),
    ],
)
def test_a_file_tells_how_a_picture_was_made_where_the_record_is_silent(said, recorded, source):
    reference = model.Reference(**recorded)
    assert completed(reference, EmbeddedRights(**said)).digital_source == source
    assert completed(reference, None) is reference
    assert says_ai(EmbeddedRights(**said)) is bool({"trainedAlgorithmicMedia", "Sample 2"} & set(said.values()))


@pytest.mark.parametrize(
    ("said", "likeness"),
    [
        ({"people": ("Anna",)}, model.Likeness.UNKNOWN),
        ({"model_release": "MR-UMR"}, model.Likeness.UNKNOWN),
        ({"model_release": "MR-NAP"}, None),  # no person shown
        ({"people": ("Anna",), "minor_age": "AG-U14"}, model.Likeness.MINOR),
        ({}, None),
    ],
)
def test_people_shown_are_told_by_names_and_releases(said, likeness):
    assert likeness_of(EmbeddedRights(**said)) is likeness
    assert completed(model.Reference(), EmbeddedRights(**said)).likeness is likeness
    told = model.Reference(likeness=model.Likeness.CONSENTED)
    assert completed(told, EmbeddedRights(**said)).likeness is model.Likeness.CONSENTED


def test_what_would_be_filled_in_is_listed_by_reference(tmp_path):
    (found,) = proposals(catalogue_with(tmp_path, EmbeddedRights(creators=("A. Sample",))))
    assert (found.number, found.key, found.value) == (0, "creator", "A. Sample")


@pytest.mark.parametrize(
    ("said", "key", "value", "origin"),
    [
        (EmbeddedRights(attribution_name="A. Sample"), "creator", "A. Sample", "creator"),
        (EmbeddedRights(creators=("B. Maker",), attribution_name="A. Sample"), "creator", "B. Maker", "creator"),
        (
            EmbeddedRights(attribution_url="https://example.org/a"),
            "source",
            "https://example.org/a",
            "attribution address",
        ),
        (EmbeddedRights(source="a book of birds"), "source", "a book of birds", "source"),
    ],
)
def test_what_a_file_says_of_its_maker_and_source_is_offered(said, key, value, origin):
    assert (key, value, origin) in fills(model.Reference(), said)


def test_a_person_nobody_can_name_keeps_the_piece_in(tmp_path):
    assert not shown(catalogue_with(tmp_path, None, likeness=model.Likeness.UNKNOWN))

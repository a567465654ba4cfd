"""Every field of the model says whether it is public or private, and what follows from that."""

import dataclasses
from typing import Annotated

import msgspec
import pytest

from archgen import config
from archgen.privacy import MarkedText, Private, Public, Sought, marked_texts, privacy_marks, public_part
from archgen.records import model
from archgen.records.designs import model as designs
from tests.builders import make_piece, make_record
from tests.planter import text_fields


def _below(kind):
    return [kind, *(deeper for child in kind.__subclasses__() for deeper in _below(child))]


MODEL = [
    kind
    for kind in [*_below(model.Record)[1:], model.Piece, designs.Design]
    if kind.__module__ in (model.__name__, designs.__name__)
]
SETTINGS = [
    config.ArchiveSettings,
    config.PortfolioSettings,
    config.SettingsInLanguage,
    config.PrinterSettings,
    config.Limits,
    config.Config,
]


@pytest.mark.parametrize("kind", [*MODEL, *SETTINGS], ids=lambda kind: kind.__name__)
def test_every_field_says_whether_it_is_public_or_private(kind):
    fields = msgspec.structs.fields(kind) if issubclass(kind, msgspec.Struct) else dataclasses.fields(kind)
    assert set(privacy_marks(kind)) == {field.name for field in fields}


def test_a_field_that_does_not_say_it_is_named():
    class Unmarked(model.Record, frozen=True, kw_only=True):
        told: Annotated[str, Private("thing")]
        silent: str

    with pytest.raises(TypeError, match=r"Unmarked\.silent"):
        privacy_marks(Unmarked)


def test_the_fields_the_contract_calls_private_are_private():
    """The list at the end of the archive folder's contract, written here a second time."""
    wholly = (
        model.Healing, model.Ink, model.InkBatch, model.Supply, model.Box, model.Client, model.Told, model.Decision,
        model.Release, model.Price, model.Values, model.RightsOverride,
    )  # fmt: skip
    texts = ("note", "notes", "use", "client")
    expected = {(kind, name) for kind in wholly for name in privacy_marks(kind)}
    expected |= {(kind, name) for kind in MODEL for name in privacy_marks(kind) if name in texts}
    expected |= {
        (model.Sitting, "date"), (model.Needle, "batch"), (model.Needle, "sterilisation"),
        (model.Reference, "likeness"),
        (model.Reference, "file"), (model.Reference, "permission"), (model.Reference, "made_from"), (model.Piece, "id"),
        (model.Piece, "photos"), (model.Piece, "stencils"), (model.Piece, "references"), (model.Photo, "file"),
        (model.Stencil, "file"), (model.Stencil, "from_"), (model.Landmark, "on"), (config.PortfolioSettings, "order"),
        (designs.DesignPicture, "file"), (designs.DesignRecord, "holder"), (designs.DesignRecord, "until"),
        (model.PieceRecord, "price"), (model.PieceRecord, "values"), (model.PieceRecord, "release"),
    }  # fmt: skip
    assert not [f"{kind.__name__}.{name}" for kind, name in expected if isinstance(privacy_marks(kind)[name], Public)]


def test_few_texts_are_not_looked_for():
    """Closed lists, the trade's own words, and names of things in the studio; anything else is looked for."""
    never = {f"{kind.__name__}.{name}" for kind in [*MODEL, *SETTINGS] for name, mark in text_fields(kind)
             if mark.sought is Sought.NEVER}  # fmt: skip
    assert never == {
        "Placement.region", "Needle.code", "Values.needle", "Values.start", "Values.edges", "Box.code",
        "Reference.license", "Reference.digital_source", "Release.scope",
        "PieceRecord.styles", "PieceRecord.subjects", "ArchiveSettings.language", "ArchiveSettings.units",
            "ArchiveSettings.inbox",
        "PortfolioSettings.theme", "PortfolioSettings.mark",
            "PortfolioSettings.languages", "PortfolioSettings.currency", "PrinterSettings.name",
        "PrinterSettings.paper", "PrinterSettings.method", "AsWritten.key",
        "OtherStory.language", "SettingsInLanguage.language",
            "Piece.place_as_written", "Piece.record_name", "Piece.missing", "Piece.home", "DesignRecord.styles",
    }  # fmt: skip


def test_the_public_part_keeps_what_is_public_and_nothing_else():
    part = public_part(make_record())
    assert (part.title, part.placement.region, part.hours) == ("Barn owl", "forearm-outer", 3.5)
    assert (part.client, part.placement.note, part.needle, part.finished) == (None, None, (), None)
    assert [(photo.file, photo.alt) for photo in part.photo][:1] == [
        (None, "Barn owl on an outer forearm, facing left")
    ]
    assert [sitting.date for sitting in part.sitting] == [None]
    assert {type(text.mark) for text in marked_texts(part)} == {Public}


def test_the_public_part_of_settings_has_no_order():
    settings = config.PortfolioSettings(artist="S", order=("2026-03-14-barn-owl",))
    assert public_part(settings) == config.PortfolioSettings(artist="S", require_rights=True)


def test_every_text_of_a_piece_is_given_with_its_field():
    texts = list(marked_texts(make_piece()))
    assert MarkedText(model.Sitting, "note", privacy_marks(model.Sitting)["note"], "rested ten minutes") in texts
    assert {"references/owl-field.jpg"} == {t.text for t in texts if (t.owner, t.name) == (model.Stencil, "from_")}


def test_what_was_left_at_its_default_is_nobodys_text():
    assert list(marked_texts(config.ArchiveSettings())) == []
    assert [text.text for text in marked_texts(config.ArchiveSettings(title="Back room"))] == ["Back room"]

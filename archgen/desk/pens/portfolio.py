"""Into the portfolio and out of it: what will happen is worked out, and said, before anything is written."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, replace

import msgspec

from archgen.answers.answer import set_all
from archgen.catalogue import Catalogue
from archgen.languages.house import say, say_count
from archgen.picture_facts.facts import ImageFacts
from archgen.publication.decision import Publication, decide_publication
from archgen.records.model import Piece
from archgen.units import date_words
from archgen.writing.record_text import Edit, SetKey


@dataclass(frozen=True, slots=True)
class PortfolioPen:
    """What the portfolio holds of a piece and what one touch would change.

    Attributes:
        now: How it stands, in a sentence.
        is_wanted: Whether the record asks for it to be shown.
        will: What will happen, in sentences.
        pictures: The files of the photos that will be shown, or leave.
        waits: What keeps it out, in sentences, although it is wanted or would be.
    """

    now: str
    is_wanted: bool
    will: tuple[str, ...]
    pictures: tuple[str, ...]
    waits: tuple[str, ...]


def portfolio_pen(piece: Piece, catalogue: Catalogue) -> PortfolioPen | None:
    """Work out what a touch would do; None where the record cannot be read."""
    if piece.record is None:
        return None
    now = decide_publication(piece, catalogue)
    if now.wanted:
        return _wanted(now, catalogue, piece)
    asked = msgspec.structs.replace(piece, record=msgspec.structs.replace(piece.record, publish=True))
    pieces = tuple(asked if one.id == piece.id else one for one in catalogue.pieces)
    then = decide_publication(asked, replace(catalogue, pieces=pieces, facts=_as_if_copied(piece, catalogue)))
    pictures = tuple(photo.file for photo in (then.photos or then.sound_photos))
    will: tuple[str, ...]
    if then.shown:
        will = (
            say(
                "On the next build it stands in the portfolio with {photos}.",
                photos=say_count("{number} photo", "{number} photos", len(pictures)),
            ),
            say("Never shown: client, batches, notes, references, file names."),
        )
    else:
        will = (say("It is written down as wanted, and waits for what stands below."),)
    return PortfolioPen(
        say("Not meant for the portfolio."),
        False,
        will,
        pictures if then.shown else (),
        () if then.shown else then.reasons,
    )


def _as_if_copied(piece: Piece, catalogue: Catalogue) -> Mapping[str, ImageFacts]:
    """Give the facts as they are once the build has made the copies for the public."""
    own = {path: one for path in piece.photos if (one := catalogue.facts.get(path)) and not one.public}
    return {**catalogue.facts, **{path: msgspec.structs.replace(one, public=one.screen) for path, one in own.items()}}


def _wanted(now: Publication, catalogue: Catalogue, piece: Piece) -> PortfolioPen:
    pictures = tuple(photo.file for photo in now.photos)
    is_there = catalogue.is_in_portfolio(piece.id)
    count = say_count("{number} photo", "{number} photos", len(pictures))
    if now.shown:
        words = say("On the next build: {photos}.", photos=count)
        if is_there is not False:
            words = say("Shown: {photos}.", photos=count)
    else:
        words = say("Wanted, and it waits.")
    leaves = say(
        "Its page and {pictures} leave the portfolio at once, and it is noted.",
        pictures=say_count("{number} picture", "{number} pictures", len(pictures)),
    )
    will = (
        leaves if now.shown or is_there else say("It is not asked for any more."),
        say("Copies others made are not reached."),
    )
    return PortfolioPen(words, True, will, pictures, now.reasons)


def publish_edits() -> tuple[Edit, ...]:
    """Ask for a piece to be shown."""
    return (SetKey(("publish",), True),)


def take_out_edits(today: dt.date, *, is_withdrawn: bool) -> tuple[Edit, ...]:
    """Take a piece out; with the release withdrawn, the day is written and the removal listed."""
    out: tuple[Edit, ...] = (SetKey(("publish",), False),)
    return (*set_all(("release",), {"status": "withdrawn", "withdrawn": today}), *out) if is_withdrawn else out


def out_words(title: str, today: dt.date, *, is_withdrawn: bool) -> str:
    """Say what was done."""
    if not is_withdrawn:
        return say("{title} taken out of the portfolio", title=title)
    return say("{title} taken out of the portfolio, the release taken back {day}", title=title, day=date_words(today))

"""Everything that is held about one person as files: a page to read, the same as data, photos and papers."""

from collections.abc import Mapping
from pathlib import Path

import msgspec

from archgen.config import Config
from archgen.errors import OutputError
from archgen.holdings.held import Held, HeldPiece, HeldSitting
from archgen.languages.house import say, say_count
from archgen.outputs.result_file import write_file, zipped
from archgen.render.html import load_theme
from archgen.storage.files import is_inside
from archgen.units import date_words, hours_words, length_words, size_words
from archgen.values.frozen import Value
from archgen.wording.planning.stock import made_of_words

PAGE, DATA = "index.html", "data.json"


class BundlePiece(Value, frozen=True):
    """A piece on the page."""

    title: str
    facts: tuple[tuple[str, str], ...]
    materials: tuple[str, ...]
    claims: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...]
    photos: tuple[tuple[str, str], ...]
    papers: tuple[str, ...]


class BundleView(Value, frozen=True):
    """The page."""

    language: str
    name: str
    title: str
    as_of: str
    register: tuple[tuple[str, str], ...]
    pieces: tuple[BundlePiece, ...]
    told: tuple[str, ...]
    designs: tuple[str, ...]
    care: tuple[str, ...]
    kept: str


def bundle_files(held: Held, pictures: Mapping[str, bytes], config: Config) -> dict[str, bytes]:
    """Give all files by their path; `pictures` are photos and papers by theirs."""
    view = BundleView(
        language="en",
        name=config.portfolio.artist or config.portfolio.title,
        title=say("What is recorded about you"),
        as_of=date_words(held.as_of),
        register=((say("Code"), held.code), *held.register),
        pieces=tuple(_piece(piece, held, pictures) for piece in held.pieces),
        told=tuple(_joined(batch, date_words(day) if day else None, how) for batch, day, how in held.told),
        designs=tuple(
            _joined(title, say("until {day}", day=date_words(day)) if day else None, note)
            for title, day, note in held.designs
        ),
        kept=_kept(config.keep.years),
        care=tuple(part.strip() for part in (held.care or "").split("\n\n") if part.strip()),
    )
    page = load_theme("handout").render("client.html", view=view).encode()
    data = msgspec.json.format(msgspec.json.encode(held), indent=2)
    return {PAGE: page, DATA: data, **pictures}


def _kept(years: int | None) -> str:
    if years is None:
        return say("How long it is kept isn’t written down yet: ask the studio.")
    return say_count(
        "What the law wants kept is kept for {number} year; the rest until you ask or it isn’t needed any more.",
        "What the law wants kept is kept for {number} years; the rest until you ask or it isn’t needed any more.",
        years,
    )


def _joined(*parts: str | None) -> str:
    return " · ".join(filter(None, parts))


def write_bundle(place: Path, files: Mapping[str, bytes], root: Path) -> Path:
    """Write the files as a zip, or into a folder that is not there yet.

    Raises:
        OutputError: It would lie in the archive, something else is there, or the disk does not let it.
    """
    if is_inside(place, root):
        raise OutputError(
            say("{place} lies in your archive, where archgen writes nothing. Choose another place.", place=place)
        )
    if place.suffix.lower() == ".zip":
        return write_file(place, zipped(files), root, b"PK")
    try:
        for path, content in files.items():
            (place / path).parent.mkdir(parents=True, exist_ok=True)
            (place / path).write_bytes(content)
    except OSError as error:
        raise OutputError(
            say(
                "{place} cannot be written ({why}).",
                place=place,
                why=(error.strerror or say("disk error")).lower(),
            )
        ) from error
    return place.resolve()


def _piece(piece: HeldPiece, held: Held, pictures: Mapping[str, bytes]) -> BundlePiece:
    money = f" {held.currency}" if held.currency else ""
    facts = (
        (say("Finished"), piece.finished and date_words(piece.finished)),
        (say("Styles"), ", ".join(piece.styles)),
        (say("Shows"), ", ".join(piece.subjects)),
        (say("Where"), _joined(piece.placement, piece.placement_note)),
        (say("Size"), size_words(piece.width_mm, piece.height_mm)),
        (say("Round the limb"), length_words(piece.girth_mm) if piece.girth_mm else None),
        (say("Stencil on skin"), ", ".join(piece.stencil)),
        *((one.kind, _visit(one)) for one in piece.sittings),
        (say("Photos may be shown"), _release(piece)),
        (say("Charged"), f"{piece.charged:,.2f}{money}" if piece.charged is not None else None),
        (say("Deposit"), f"{piece.deposit:,.2f}{money}" if piece.deposit is not None else None),
    )
    materials = (
        ", ".join(
            part
            for part in (
                f"{one.what}: {one.name or say('not named')}",
                one.maker,
                say("batch {batch}", batch=one.batch) if one.batch else say("no batch recorded"),
                one.expiry and say("good until {day}", day=date_words(one.expiry)),
                one.recalled and say("called back on {day}", day=date_words(one.recalled)),
            )
            if part
        )
        for one in piece.materials
    )
    seen = (*piece.sittings, *piece.healing)
    notes = (f"{one.kind}{f', {date_words(one.date)}' if one.date else ''}: {one.note}" for one in seen if one.note)
    return BundlePiece(
        piece.title,
        tuple((label, words) for label, words in facts if words),
        tuple(materials),
        tuple(map(made_of_words, piece.claims)),
        tuple(notes),
        tuple((one.file, one.stage) for one in piece.photos if one.file in pictures),
        tuple(path for path in piece.papers if path in pictures),
    )


def _visit(one: HeldSitting) -> str:
    day = date_words(one.date) if one.date else say("day not recorded")
    return f"{day}, {hours_words(one.hours)}" if one.hours else day


def _release(piece: HeldPiece) -> str:
    answers = {"granted": say("you agreed"), "refused": say("you said no"), "withdrawn": say("you took it back")}
    said = answers.get(piece.release)
    if not said:
        return say("you were not asked, so they are not shown")
    return _joined(
        f"{said}, {date_words(piece.release_date)}" if piece.release_date else said,
        say("in: {scope}", scope=", ".join(piece.release_scope)) if piece.release_scope else None,
        say("until {day}", day=date_words(piece.release_expires)) if piece.release_expires else None,
        say("taken back on {day}", day=date_words(piece.release_withdrawn)) if piece.release_withdrawn else None,
        piece.release_note,
    )

"""Everything that is held about one person as files: a page to read, the same as data, photos and papers."""

from collections.abc import Mapping
from pathlib import Path

import msgspec

from archgen.config import Config
from archgen.errors import OutputError
from archgen.holdings.held import Held, HeldPiece, HeldSitting
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
        title="What is recorded about you",
        as_of=date_words(held.as_of),
        register=(("Code", held.code), *held.register),
        pieces=tuple(_piece(piece, held, pictures) for piece in held.pieces),
        told=tuple(_joined(batch, date_words(day) if day else None, how) for batch, day, how in held.told),
        designs=tuple(
            _joined(title, f"until {date_words(day)}" if day else None, note) for title, day, note in held.designs
        ),
        kept=_kept(config.keep.years),
        care=tuple(part.strip() for part in (held.care or "").split("\n\n") if part.strip()),
    )
    page = load_theme("handout").render("client.html", view=view).encode()
    data = msgspec.json.format(msgspec.json.encode(held), indent=2)
    return {PAGE: page, DATA: data, **pictures}


def _kept(years: int | None) -> str:
    if years is None:
        return "How long it is kept isn’t written down yet: ask the studio."
    return f"What the law wants kept is kept for {years} years; the rest until you ask or it isn’t needed any more."


def _joined(*parts: str | None) -> str:
    return " · ".join(filter(None, parts))


def write_bundle(place: Path, files: Mapping[str, bytes], root: Path) -> Path:
    """Write the files as a zip, or into a folder that is not there yet.

    Raises:
        OutputError: It would lie in the archive, something else is there, or the disk does not let it.
    """
    if is_inside(place, root):
        raise OutputError(f"{place} lies in your archive, where archgen writes nothing. Choose another place.")
    if place.suffix.lower() == ".zip":
        return write_file(place, zipped(files), root, b"PK")
    try:
        for path, content in files.items():
            (place / path).parent.mkdir(parents=True, exist_ok=True)
            (place / path).write_bytes(content)
    except OSError as error:
        raise OutputError(f"{place} cannot be written ({(error.strerror or 'disk error').lower()}).") from error
    return place.resolve()


def _piece(piece: HeldPiece, held: Held, pictures: Mapping[str, bytes]) -> BundlePiece:
    money = f" {held.currency}" if held.currency else ""
    facts = (
        ("Finished", piece.finished and date_words(piece.finished)),
        ("Styles", ", ".join(piece.styles)),
        ("Shows", ", ".join(piece.subjects)),
        ("Where", _joined(piece.placement, piece.placement_note)),
        ("Size", size_words(piece.width_mm, piece.height_mm)),
        ("Round the limb", length_words(piece.girth_mm) if piece.girth_mm else None),
        ("Stencil on skin", ", ".join(piece.stencil)),
        *((one.kind, _visit(one)) for one in piece.sittings),
        ("Photos may be shown", _release(piece)),
        ("Charged", f"{piece.charged:,.2f}{money}" if piece.charged is not None else None),
        ("Deposit", f"{piece.deposit:,.2f}{money}" if piece.deposit is not None else None),
    )
    materials = (
        ", ".join(
            part
            for part in (
                f"{one.what}: {one.name or 'not named'}",
                one.maker,
                f"batch {one.batch}" if one.batch else "no batch recorded",
                one.expiry and f"good until {date_words(one.expiry)}",
                one.recalled and f"called back on {date_words(one.recalled)}",
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
    day = date_words(one.date) if one.date else "day not recorded"
    return f"{day}, {hours_words(one.hours)}" if one.hours else day


def _release(piece: HeldPiece) -> str:
    said = {"granted": "you agreed", "refused": "you said no", "withdrawn": "you took it back"}.get(piece.release)
    if not said:
        return "you were not asked, so they are not shown"
    return _joined(
        f"{said}, {date_words(piece.release_date)}" if piece.release_date else said,
        f"in: {', '.join(piece.release_scope)}" if piece.release_scope else None,
        f"until {date_words(piece.release_expires)}" if piece.release_expires else None,
        f"taken back on {date_words(piece.release_withdrawn)}" if piece.release_withdrawn else None,
        piece.release_note,
    )

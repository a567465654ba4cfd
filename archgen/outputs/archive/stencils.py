"""The list of all stencils, and what is worked out about one."""

from collections.abc import Iterator

from archgen.outputs.archive.cards import region_words
from archgen.outputs.archive.context import Context, also_used
from archgen.outputs.archive.lists import NOT_RECORDED, Card, CardList, ListEntry, Order, card_list, fold, texts_of
from archgen.outputs.site_pages import picture
from archgen.picture_facts.facts import ImageFacts
from archgen.records.model import Piece, Stencil
from archgen.units import size_words
from archgen.wording.pieces import Mark, placement_words


def stencil_list(context: Context) -> CardList:
    """Make the list of all stencils, those that went on skin first, then newest."""
    entries = [
        _stencil_entry(context, piece, stencil, facts)
        for piece in context.catalogue.pieces
        for stencil, facts in stencils_of(context, piece)
    ]
    groups = (("skin", "On the skin"), ("width", "Printed width"), ("subject", "Subject"), ("placement", "Placement"))
    orders = (
        Order("applied", "On the skin first", "the versions that went on skin first"),
        Order("newest", "Newest first", "newest first"),
        Order("title", "By title", "by title"),
        Order("largest", "Widest first", "widest first"),
    )
    return card_list(entries, groups, orders)


def stencils_of(context: Context, piece: Piece) -> Iterator[tuple[Stencil, ImageFacts | None]]:
    """List the stencils of the record, then those only found in the folder, with their picture facts."""
    named = piece.record.stencil if piece.record else ()
    known = {f"{piece.folder}/{stencil.file}" for stencil in named}
    prefix = len(piece.folder) + 1
    found = tuple(Stencil(file=path[prefix:]) for path in piece.stencils if path not in known)
    for stencil in named + found:
        yield stencil, context.facts(piece, stencil.file)


def stencil_height_mm(stencil: Stencil, facts: ImageFacts | None) -> float | None:
    """Work out the printed height of the marks from their width; None when either is unknown."""
    if stencil.width is None or facts is None or facts.marks is None:
        return None
    left, top, right, bottom = facts.marks
    return stencil.width * (bottom - top) / (right - left) if right > left else None


def _stencil_entry(context: Context, piece: Piece, stencil: Stencil, facts: ImageFacts | None) -> ListEntry:
    applied = piece.record is not None and stencil == piece.record.applied_stencil
    height = stencil_height_mm(stencil, facts)
    version = f"Version {stencil.version}" if stencil.version is not None else "No version recorded"
    size = size_words(stencil.width, height and round(height), context.units) or "Width not recorded"
    alt = f"Stencil of {piece.title}, {version.lower()}"
    card = Card(
        href=f"{context.piece_pages[piece.id]}#stencils",
        title=piece.title,
        picture=picture(facts.screen, alt, wanted_px=600) if facts else None,
        drawing=True,
        longest_mm=max(stencil.width or 0, height or 0) or None,
        lines=(f"{version} · {size}",),
        soft=stencil.note,
        marks=(Mark("check-ask", "Not described in the record", asks=True),) if _is_undescribed(piece, stencil) else (),
        applied=applied,
        mirrored=stencil.mirrored,
        also=also_used(context, f"{piece.folder}/{stencil.file}"),
    )
    record = piece.record
    traits = {
        "skin": ("on the skin" if applied else "not used",),
        "width": (width_class(stencil.width),),
        "subject": record.subjects if record else (),
        "placement": (region_words(record),) if record else (),
    }
    texts = [piece.title, piece.id, *texts_of(stencil), size, *(record.subjects if record else ())]
    texts += [*record.styles, placement_words(record.placement) or ""] if record else []
    day = record.finished_on if record else None
    newest = (-day.toordinal() if day else 0, piece.id, -(stencil.version or 0), stencil.file)
    sorted_by = {
        "applied": (not applied, newest),
        "newest": newest,
        "title": (piece.title.lower(), newest),
        "largest": (-(stencil.width or 0), newest),
    }
    return ListEntry(card, fold(texts), traits, sorted_by)


def _is_undescribed(piece: Piece, stencil: Stencil) -> bool:
    return piece.record is None or stencil not in piece.record.stencil


def width_class(width_mm: float | None) -> str:
    """Sort a printed width into one of three classes."""
    if width_mm is None:
        return NOT_RECORDED
    if width_mm < 60:
        return "under 60 mm"
    return "60 to 120 mm" if width_mm <= 120 else "over 120 mm"

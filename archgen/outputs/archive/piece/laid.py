"""Fresh on healed and the stencil on both, as one picture with a divider."""

from archgen.outputs.site_pages import PagePicture, picture
from archgen.picture_facts.facts import Derivative
from archgen.pieces.overview import PieceOverview
from archgen.values.frozen import Value
from archgen.wording.laid import laid_words
from archgen.wording.pieces import photo_alt

_PHOTO_PX = 1000


class LaidView(Value, frozen=True):
    """What lies on the last photo.

    Attributes:
        base: The healed photo; the only one where `fresh` is empty.
        fresh: The fresh photo in its shape.
        stencils: The stencil on the fresh photo and on the last one; empty where it could not be laid.
        words: How sure that is.
        certain: Whether it may be shown before anybody asks for it.
    """

    base: PagePicture
    fresh: str
    stencils: tuple[str, str]
    words: tuple[str, ...]
    certain: bool


def laid_view(overview: PieceOverview) -> LaidView | None:
    """Show what was laid on each other; None where nothing was."""
    laid = overview.laid
    last = overview.photos.healed or overview.photos.fresh
    if laid is None or last is None or last.facts is None:
        return None
    layers = [laid.fresh, *laid.stencils]
    base = picture(last.facts.screen, photo_alt(overview.title, last.photo), wanted_px=_PHOTO_PX)
    if base is None or not any(layers):
        return None
    fresh, on_last = laid.fresh, laid.stencils[-1]
    on_fresh = laid.stencils[0] if fresh else None
    return LaidView(
        base=base,
        fresh=_href(fresh.picture) if fresh else "",
        stencils=(_href(on_fresh.picture) if on_fresh else "", _href(on_last.picture) if on_last else ""),
        words=laid_words(laid),
        certain=laid.is_certain,
    )


def _href(copy: Derivative) -> str:
    return f"../img/{copy.blob}"

"""A quote for a piece still to be done: hours, sittings and a price, from the artist's own records."""

import datetime as dt
import math
from collections.abc import Sequence
from statistics import median

import numpy as np

from archgen.config import QuoteSettings
from archgen.quoting.hours_model import FEWEST, Foretold, Worked, learn
from archgen.quoting.past_work import PastPiece, PastWork
from archgen.quoting.wish import Wish
from archgen.values.frozen import Value

# So many pieces beside a foretold one, and so many where nothing can be foretold.
_NEAREST, _NEAREST_ALONE = 5, 3
# How far a style or a placement in common brings pieces together, in logarithms of area.
_OTHER_STYLE, _OTHER_PLACE = 0.7, 0.35
# A style that was done less often says little by itself.
_FEW = 3
_FORETOLD_AGAIN = 20
# Pieces with several sittings from which the usual longest one is taken, and how full a last sitting must be.
_SEVERAL, _FULL = 3, 0.15
# A last sitting of less than this part of a long one is nothing: hours are foretold no closer.
_NOTHING = 0.05
_CHARGED = 3
# Prices are told in steps.
_STEP = 10


class Forward(Value, frozen=True):
    """Of the last pieces, each foretold from those before it, how many lay between their bounds."""

    pieces: int
    inside: int


class Sittings(Value, frozen=True):
    """How many sittings.

    Attributes:
        most: Where it takes as long as four of five such pieces do, or none may last beyond `longest`.
        longest: Hours of the artist's usual longest one.
    """

    number: int
    most: int
    longest: float


class PriceRange(Value, frozen=True):
    """A price between two bounds.

    Attributes:
        by_hour: What an hour costs.
        is_set: Whether that is set; else it is what the artist's own pieces came to, in the middle.
        pieces: From how many pieces, when it isn't set.
    """

    least: float
    most: float
    by_hour: float
    is_set: bool
    pieces: int = 0


class Quote(Value, frozen=True):
    """What the records say of a piece still to be done.

    Attributes:
        known: How many pieces it rests on.
        foretold: None when they are too few.
        nearest: The pieces most like it, the nearest first.
        to_check: Pieces whose hours can hardly be: they were set apart.
        forward: None when there are too few pieces to foretell one from others.
        few_of: Styles of the wish that were done less than three times.
        beyond: Whether the wish is larger (1) or smaller (-1) than anything recorded by half; else 0.
        past: What it rests on.
    """

    wish: Wish
    known: int
    foretold: Foretold | None
    nearest: tuple[PastPiece, ...]
    to_check: tuple[PastPiece, ...]
    forward: Forward | None
    few_of: tuple[str, ...]
    beyond: int
    sittings: Sittings | None
    price: PriceRange | None
    past: PastWork


def make_quote(past: PastWork, wish: Wish, settings: QuoteSettings, today: dt.date) -> Quote:
    """Work out a quote."""
    pieces = past.pieces
    worked = [piece.worked(today) for piece in pieces]
    enough = len(pieces) >= FEWEST
    model = learn(worked) if enough else None
    foretold = model.foretell(Worked(wish.area_mm2, _styles(wish), wish.place)) if model else None
    apart = {len(pieces) - len(model.pieces) + at for at in model.apart} if model else set()
    sound = [piece for at, piece in enumerate(pieces) if at not in apart]
    return Quote(
        wish=wish,
        known=len(pieces),
        foretold=foretold,
        nearest=tuple(_nearest(pieces, wish)[: _NEAREST if enough else _NEAREST_ALONE]),
        to_check=tuple(pieces[at] for at in sorted(apart)),
        forward=_forward(pieces),
        few_of=tuple(style for style in wish.styles if _done(pieces, style) < _FEW) if enough else (),
        beyond=_beyond(pieces, wish),
        sittings=_sittings(sound, past.other_sittings, foretold) if foretold else None,
        price=_price(sound, foretold, settings) if foretold else None,
        past=past,
    )


def _styles(wish: Wish) -> tuple[str, ...]:
    return tuple(style.casefold() for style in wish.styles)


def _done(pieces: Sequence[PastPiece], style: str) -> int:
    return sum(style.casefold() in (own.casefold() for own in piece.styles) for piece in pieces)


def _nearest(pieces: Sequence[PastPiece], wish: Wish) -> list[PastPiece]:
    def apart(piece: PastPiece) -> tuple[float, int]:
        size = abs(math.log(piece.width_mm * piece.height_mm / wish.area_mm2))
        styles = {style.casefold() for style in piece.styles}
        other_style = bool(wish.styles) and styles.isdisjoint(_styles(wish))
        other_place = wish.place is not None and piece.place != wish.place
        days = piece.finished.toordinal() if piece.finished else 0
        return size + _OTHER_STYLE * other_style + _OTHER_PLACE * other_place, -days

    return sorted(pieces, key=apart)


def _forward(pieces: Sequence[PastPiece]) -> Forward | None:
    """Foretell each of the last pieces from those before it alone; those without a day don't count."""
    days = [piece for piece in pieces if piece.finished]
    first = max(FEWEST, len(days) - _FORETOLD_AGAIN)
    if len(days) - first < 1:
        return None
    inside = 0
    for at in range(first, len(days)):
        piece = days[at]
        today = piece.finished or dt.date.max
        told = learn([before.worked(today) for before in days[:at]]).foretell(piece.worked(today))
        inside += told.least <= piece.hours <= told.most
    return Forward(len(days) - first, inside)


def _beyond(pieces: Sequence[PastPiece], wish: Wish) -> int:
    areas = [piece.width_mm * piece.height_mm for piece in pieces]
    if not areas:
        return 0
    return int(wish.area_mm2 > 1.5 * max(areas)) - int(wish.area_mm2 < min(areas) / 1.5)


def _sittings(pieces: Sequence[PastPiece], others: Sequence[float], foretold: Foretold) -> Sittings:
    """Divide hours by the usual longest sitting: that of pieces with several, else of all sittings."""
    several = [max(piece.sittings) for piece in pieces if len(piece.sittings) > 1]
    every = [*others, *(sitting for piece in pieces for sitting in piece.sittings)]
    longest = float(np.percentile(several, 75) if len(several) >= _SEVERAL else np.percentile(every, 95))
    return divided(foretold, longest)


def divided(foretold: Foretold, longest: float) -> Sittings:
    """Divide foretold hours into sittings of no more than so many."""

    def number(hours: float, part: float = _FULL) -> int:
        return max(1, math.ceil(hours / longest - part))

    most = max(number(foretold.hours, _NOTHING), number(foretold.most))
    return Sittings(number(foretold.hours), most, longest)


def _price(pieces: Sequence[PastPiece], foretold: Foretold, settings: QuoteSettings) -> PriceRange | None:
    charged = [piece.charged / piece.hours for piece in pieces if piece.charged]
    if settings.hour is None and len(charged) < _CHARGED:
        return None
    hour = settings.hour if settings.hour is not None else float(median(charged))
    bounds = foretold.least, foretold.most
    least, most = (max(_STEP * round(hours * hour / _STEP), settings.least or 0) for hours in bounds)
    is_set = settings.hour is not None
    return PriceRange(least, most, hour, is_set, 0 if is_set else len(charged))

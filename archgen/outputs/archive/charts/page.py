"""The page of figures: hours against size, pieces by month, needles, places, days to the photo of the healed piece."""

from collections import Counter
from collections.abc import Iterable, Sequence
from itertools import islice

from archgen.languages.house import say, say_count, to_say
from archgen.outputs.archive.charts.scatter import Scatter, scatter
from archgen.outputs.archive.context import Context, Site
from archgen.quoting.past_work import PastPiece, past_work
from archgen.records.model import Stage
from archgen.records.vocabulary.placements import placement_words
from archgen.supplies.stock import needle_names
from archgen.units import date_words, hours_words, month_words, size_words
from archgen.values.frozen import Value

# Shapes that are told apart in one ink; what comes after them is one group.
_SHAPES = 4
_OTHERS = to_say("other styles")
_NO_STYLE = to_say("no style recorded")
_MONTHS = 24
_MOST = 12
BAR_PX = 320


class ChartPoint(Value, frozen=True):
    """A piece in a drawing and in the table under it."""

    href: str
    title: str
    cells: tuple[str, ...]
    x: float
    y: float
    shape: int


class ScatterChart(Value, frozen=True):
    """Hours against size; `groups` are the styles in the order of their shapes."""

    drawing: Scatter
    groups: tuple[str, ...]
    points: tuple[ChartPoint, ...]


class Bar(Value, frozen=True):
    """A line of a chart that is its own table; `width` in px of `BAR_PX`."""

    words: str
    number: str
    width: float
    href: str = ""


class BarChart(Value, frozen=True):
    """Bars under a heading; `left_out` are how many shorter ones there are."""

    key: str
    title: str
    column: str
    said: str
    bars: tuple[Bar, ...]
    left_out: int = 0


class ChartsView(Value, frozen=True):
    """The page."""

    site: Site
    lacking: str
    hours: ScatterChart | None
    charts: tuple[BarChart, ...]


def charts_view(context: Context) -> ChartsView:
    """Make the page."""
    past = past_work(context.catalogue.pieces)
    lacking = past.no_size + past.no_hours + len(past.unclear)
    charts = (_by_month(context), _by_needle(context), _by_place(context), _to_healed(context))
    return ChartsView(
        site=context.site,
        lacking=say_count(
            "{number} piece without hours or both sides of the size",
            "{number} pieces without hours or both sides of the size",
            lacking,
        )
        if lacking
        else "",
        hours=_hours(context, past.pieces) if past.pieces else None,
        charts=tuple(chart for chart in charts if chart.bars),
    )


def _hours(context: Context, pieces: Sequence[PastPiece]) -> ScatterChart:
    counted = Counter(piece.styles[0].casefold() if piece.styles else say(_NO_STYLE) for piece in pieces)
    groups = [style for style, _ in counted.most_common(_SHAPES)]
    if len(counted) > len(groups):
        groups.append(say(_OTHERS))
    shapes = [_shape(piece, groups) for piece in pieces]
    drawing = scatter(
        [
            (piece.width_mm * piece.height_mm / 100, piece.hours, shape)
            for piece, shape in zip(pieces, shapes, strict=True)
        ]
    )
    points = tuple(
        ChartPoint(
            href=context.piece_pages[piece.id],
            title=piece.title,
            cells=(
                hours_words(piece.hours),
                size_words(piece.width_mm, piece.height_mm, context.units) or "",
                ", ".join(piece.styles),
                date_words(piece.finished) if piece.finished else "",
            ),
            x=dot.x,
            y=dot.y,
            shape=dot.shape,
        )
        for piece, dot in zip(pieces, drawing.dots, strict=True)
    )
    return ScatterChart(drawing, tuple(groups), points)


def _shape(piece: PastPiece, groups: Sequence[str]) -> int:
    style = piece.styles[0].casefold() if piece.styles else say(_NO_STYLE)
    return groups.index(style) if style in groups else len(groups) - 1


def _by_month(context: Context) -> BarChart:
    days = [day for overview in context.overviews.values() if (day := overview.finished_on)]
    counted = Counter(day.year * 12 + day.month - 1 for day in days)
    last = max(counted, default=0)
    months = [month for month in range(last, last - _MONTHS, -1) if counted and month >= min(counted)]
    bars = _bars((month_words(month), counted[month]) for month in months)
    earlier = len(days) - sum(counted[month] for month in months)
    said = say_count("{number} piece earlier", "{number} pieces earlier", earlier) if earlier else ""
    return BarChart("months", say("Pieces by month"), say("Month"), said, bars)


def _by_needle(context: Context) -> BarChart:
    counted = Counter(
        name
        for overview in context.overviews.values()
        for name in {name for use in overview.needles for name in needle_names(use.needle.code)}
    )
    return _counted("needles", say("Needles"), say("Needle"), counted)


def _by_place(context: Context) -> BarChart:
    places = (overview.record.placement for overview in context.overviews.values() if overview.record)
    counted = Counter(words for place in places if (words := placement_words(place.region)))
    return _counted("places", say("Places"), say("Place"), counted)


def _to_healed(context: Context) -> BarChart:
    found = []
    for overview in context.overviews.values():
        days = [
            photo.days_after
            for photo in overview.photos.shown
            if photo.stage is Stage.HEALED and photo.days_after is not None
        ]
        if days:
            found.append((min(days), overview))
    found.sort(key=lambda one: (one[0], one[1].id))
    longest = max((days for days, _ in found), default=0)
    bars = tuple(
        Bar(
            overview.title,
            say_count("{number} day", "{number} days", days),
            _width(days, longest),
            context.piece_pages[overview.id],
        )
        for days, overview in found
    )
    middle = (
        say_count("{number} day in the middle", "{number} days in the middle", found[len(found) // 2][0])
        if found
        else ""
    )
    return BarChart("healed", say("Days to the first photo of the healed piece"), say("Piece"), middle, bars)


def _counted(key: str, title: str, column: str, counted: Counter[str]) -> BarChart:
    order = sorted(counted.items(), key=lambda one: (-one[1], one[0]))
    return BarChart(key, title, column, "", _bars(islice(order, _MOST)), max(len(order) - _MOST, 0))


def _bars(counted: Iterable[tuple[str, int]]) -> tuple[Bar, ...]:
    known = list(counted)
    most = max((number for _, number in known), default=0)
    return tuple(Bar(words, str(number), _width(number, most)) for words, number in known)


def _width(number: float, most: float) -> float:
    return round(BAR_PX * number / most, 1) if most else 0.0

"""Put stencils on sheets: centred, side by side with cutting gaps, or in overlapping tiles; millimetres only."""

import math
from collections.abc import Iterator, Sequence

from archgen.errors import UsageError
from archgen.languages.house import say
from archgen.printing.page import CROSS_ARM_MM, CUTTING_GAP_MM, OVERLAP_MM, Rect
from archgen.values.frozen import Value

# A4 tiles of a whole back are about 24; more than this is a wrong unit.
MOST_PAGES = 200
MOST_COPIES = 1000
# The line of words under each stencil when a sheet carries several.
LABEL_MM = 4.5


class LayoutItem(Value, frozen=True):
    """What to print: a window of a drawing (mm, as it lies on paper) and how often; None fills one sheet."""

    window: Rect
    copies: int | None = 1


class SheetPosition(Value, frozen=True):
    """A window of drawing number `item` with its upper left corner at x, y of the sheet."""

    item: int
    window: Rect
    x: float
    y: float

    @property
    def box(self) -> Rect:
        """Give the place on the sheet."""
        return Rect(self.x, self.y, self.window.width, self.window.height)

    def whole(self, width_mm: float, height_mm: float) -> Rect:
        """Give where the whole drawing lies of which the window is a part, most of it perhaps off the sheet."""
        return Rect(self.x - self.window.left, self.y - self.window.top, width_mm, height_mm)


class Tile(Value, frozen=True):
    """Which of how many sheets of one drawing this is, counted from the upper left of the printed drawing."""

    row: int
    column: int
    rows: int
    columns: int


class Page(Value, frozen=True):
    """One sheet, in mm: drawings, registration crosses (centres), cutting lines (x1, y1, x2, y2)."""

    placements: tuple[SheetPosition, ...]
    crosses: tuple[tuple[float, float], ...] = ()
    cuts: tuple[tuple[float, float, float, float], ...] = ()
    tile: Tile | None = None


def lay_out(area: Rect, items: Sequence[LayoutItem]) -> tuple[Page, ...]:
    """Put every item on sheets whose free room is `area`: what fits shares sheets, what does not is tiled.

    Raises:
        UsageError: More copies or sheets than anyone prints.
    """
    labels = LABEL_MM if len(items) > 1 else 0.0
    small: list[tuple[int, Rect]] = []
    pages: list[Page] = []
    for number, item in enumerate(items):
        if _fits(item.window, area, labels):
            small += [(number, item.window)] * _copies(item, area, labels)
        elif item.copies == 1:
            pages += _tiles(area, number, item.window)
        else:
            raise UsageError(
                say(
                    "Copies are only possible for a stencil that fits on one sheet. Print it once, or choose "
                    "larger paper."
                )
            )
    pages = [*_shelves(area, small, labels), *pages]
    if len(pages) > MOST_PAGES:
        raise _too_many(len(pages))
    return tuple(pages)


def _too_many(sheets: int) -> UsageError:
    return UsageError(
        say("That would take {sheets} sheets. Choose a smaller size or larger paper, or print a region.", sheets=sheets)
    )


def _fits(window: Rect, area: Rect, labels: float) -> bool:
    return window.width <= area.width + 1e-6 and window.height + labels <= area.height + 1e-6


def _copies(item: LayoutItem, area: Rect, labels: float) -> int:
    if item.copies is None:
        across = _count(area.width, item.window.width)
        return across * _count(area.height, item.window.height + labels)
    if not 1 <= item.copies <= MOST_COPIES:
        raise UsageError(
            say(
                "{copies} copies cannot be printed. Ask for 1 to {most_copies}, or for as many as fit.",
                copies=item.copies,
                most_copies=MOST_COPIES,
            )
        )
    return item.copies


def _count(room: float, side: float) -> int:
    return int((room + CUTTING_GAP_MM + 1e-6) // (side + CUTTING_GAP_MM))


def _shelves(area: Rect, windows: Sequence[tuple[int, Rect]], labels: float) -> Iterator[Page]:
    """Fill rows from left to right, rows from top to bottom; the order stays."""
    rows: list[list[tuple[int, Rect]]] = []
    used_width = used_height = 0.0
    for number, window in windows:
        height = window.height + labels
        if (
            rows
            and used_width + CUTTING_GAP_MM + window.width <= area.width + 1e-6
            and height <= _height(rows[-1], labels)
        ):
            rows[-1].append((number, window))
            used_width += CUTTING_GAP_MM + window.width
            continue
        if (
            rows
            and used_height + _height(rows[-1], labels) + 2 * CUTTING_GAP_MM + height
            > area.height + CUTTING_GAP_MM + 1e-6
        ):
            yield _page(area, rows, labels)
            rows, used_height = [], 0.0
        elif rows:
            used_height += _height(rows[-1], labels) + CUTTING_GAP_MM
        rows.append([(number, window)])
        used_width = window.width
    if rows:
        yield _page(area, rows, labels)


def _height(row: Sequence[tuple[int, Rect]], labels: float) -> float:
    return max(window.height for _, window in row) + labels


def _page(area: Rect, rows: Sequence[Sequence[tuple[int, Rect]]], labels: float) -> Page:
    """Centre the rows; cut between rows all across, inside a row from cut to cut."""
    half = CUTTING_GAP_MM / 2
    placed: list[SheetPosition] = []
    cuts: list[tuple[float, float, float, float]] = []
    total = sum(_height(row, labels) for row in rows) + CUTTING_GAP_MM * (len(rows) - 1)
    top = area.top + (area.height - total) / 2
    for index, row in enumerate(rows):
        height = _height(row, labels)
        width = sum(window.width for _, window in row) + CUTTING_GAP_MM * (len(row) - 1)
        left = area.left + (area.width - width) / 2
        if index:
            cuts.append((area.left, top - half, area.right, top - half))
        for position, (number, window) in enumerate(row):
            if position:
                cuts.append(
                    (
                        left - half,
                        max(top - half, area.top),
                        left - half,
                        min(top + height + half, area.bottom),
                    )
                )
            placed.append(SheetPosition(number, window, left, top))
            left += window.width + CUTTING_GAP_MM
        top += height + CUTTING_GAP_MM
    return Page(tuple(placed), (), tuple(cuts))


def _tiles(area: Rect, number: int, window: Rect) -> Iterator[Page]:
    """Cut a window into equal overlapping tiles, and mark the middles of the shared strips with crosses."""
    columns, rows = _split(window.width, area.width), _split(window.height, area.height)
    if len(columns) * len(rows) > MOST_PAGES:
        raise _too_many(len(columns) * len(rows))
    marks = _crosses(window, columns, rows)
    for r, (top, height) in enumerate(rows):
        for c, (left, width) in enumerate(columns):
            tile = Rect(window.left + left, window.top + top, width, height)
            x, y = area.left + (area.width - width) / 2, area.top + (area.height - height) / 2
            seen = tuple(
                (x + mx - tile.left, y + my - tile.top) for mx, my in marks if tile.holds(mx, my, CROSS_ARM_MM + 0.5)
            )
            yield Page((SheetPosition(number, tile, x, y),), seen, (), Tile(r + 1, c + 1, len(rows), len(columns)))


def _split(length: float, room: float) -> list[tuple[float, float]]:
    """Give start and length of equal tiles that share OVERLAP_MM."""
    count = 1 if length <= room + 1e-6 else math.ceil((length - OVERLAP_MM) / (room - OVERLAP_MM) - 1e-9)
    side = (length + (count - 1) * OVERLAP_MM) / count
    return [(index * (side - OVERLAP_MM), side) for index in range(count)]


def _crosses(
    window: Rect, columns: list[tuple[float, float]], rows: list[tuple[float, float]]
) -> list[tuple[float, float]]:
    """Put two crosses on every seam between two tiles, a quarter in from each end."""
    marks = []
    seams_x = [window.left + left + OVERLAP_MM / 2 for left, _ in columns[1:]]
    seams_y = [window.top + top + OVERLAP_MM / 2 for top, _ in rows[1:]]
    for x in seams_x:
        marks += [(x, window.top + top + share * height) for top, height in rows for share in (0.25, 0.75)]
    for y in seams_y:
        marks += [(window.left + left + share * width, y) for left, width in columns for share in (0.25, 0.75)]
    return marks

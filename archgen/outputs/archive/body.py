"""The body figure: which places are hatched, and numbers with leaders to them."""

import re
import xml.etree.ElementTree as ET
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from archgen.languages.house import say_count, within
from archgen.records.model import Placement, Side
from archgen.records.vocabulary.placements import PLACES, place_words
from archgen.values.frozen import Value

_SVG = "{http://www.w3.org/2000/svg}"
_NUMBER = re.compile(r"-?\d*\.?\d+")
_DISC_DISTANCE, _DISC_SPACING = 54, 42
_EDGE = 24


class Region(Value, frozen=True):
    """One drawn part of a placement: side and view, its outline, a point in its middle."""

    side: str
    view: str
    outline: str
    centre: tuple[float, float]


class Callout(Value, frozen=True):
    """A numbered disc and the point its leader goes to."""

    number: int
    x: float
    y: float
    to_x: float
    to_y: float


class Body(Value, frozen=True):
    """A figure with its marked places."""

    view_box: str
    outlines: tuple[str, ...]
    callouts: tuple[Callout, ...]
    words: str


@dataclass(frozen=True)
class Figure:
    """The drawing of the theme, read once: placement id -> its regions."""

    drawing: Path

    @cached_property
    def _root(self) -> ET.Element:
        return ET.fromstring(self.drawing.read_text(encoding="utf-8"))  # noqa: S314 - our own file

    @property
    def view_box(self) -> str:
        """Give the drawing's viewBox."""
        return self._root.attrib["viewBox"]

    @cached_property
    def regions(self) -> Mapping[str, tuple[Region, ...]]:
        """Give the regions of each placement id."""
        return {
            group.attrib["id"]: tuple(_region(path) for path in group.iter(f"{_SVG}path"))
            for group in self._root.iter(f"{_SVG}g")
            if group.get("class") in {"region", "span"}
        }

    @cached_property
    def wholes(self) -> frozenset[str]:
        """Give the ids that lie over several places, such as a sleeve: not to be touched, only marked."""
        return frozenset(group.attrib["id"] for group in self._root.iter(f"{_SVG}g") if group.get("class") == "span")

    @cached_property
    def touched(self) -> Mapping[str, tuple[str, ...]]:
        """Give the outlines of each place that can be touched, on both sides, by the words one narrows by."""
        return {
            within(place_words(PLACES[place])): tuple(region.outline for region in regions)
            for place, regions in self.regions.items()
            if place in PLACES and place not in self.wholes
        }

    def marked(self, placement: Placement) -> tuple[Region, ...]:
        """Choose the regions of a placement; none when the side of a paired place is not recorded."""
        regions = self.regions.get(placement.region or "", ())
        middle = tuple(region for region in regions if region.side == "centre")
        if placement.side in (None, Side.CENTRE):
            return middle or (regions if placement.side else ())
        return tuple(region for region in regions if region.side == placement.side.value) or middle

    def body(self, placements: Sequence[Placement], words: str, *, numbered: bool) -> Body | None:
        """Mark places in the figure; None when none of them can be shown."""
        marked = [self.marked(placement) for placement in placements]
        outlines = tuple(dict.fromkeys(region.outline for regions in marked for region in regions))
        if not outlines:
            return None
        callouts: list[Callout] = []
        for number, regions in enumerate(marked, 1):
            if numbered and regions:
                callouts.append(self._callout(number, regions[0].centre, callouts))
        return Body(self.view_box, outlines, tuple(callouts), words)

    def numbered(self, placements: Sequence[Placement]) -> Body | None:
        """Mark the places of pieces, numbered in their order; None when none of them can be shown."""
        words = say_count(
            "Body figure with the places of {number} piece",
            "Body figure with the places of {number} pieces",
            len(placements),
        )
        return self.body(placements, words, numbered=True)

    def _callout(self, number: int, point: tuple[float, float], others: Sequence[Callout]) -> Callout:
        left, top, width, height = (float(part) for part in self.view_box.split())
        x, y = point
        # Front and back fill the two halves; a disc stands on the outer side of its own half's middle.
        middle = left + width * (0.24 if x < left + width / 2 else 0.76)
        disc_x = x + _DISC_DISTANCE if x >= middle else x - _DISC_DISTANCE
        disc_x = min(max(disc_x, left + _EDGE), left + width - _EDGE)
        disc_y = y
        while any(abs(o.x - disc_x) < _DISC_SPACING and abs(o.y - disc_y) < _DISC_SPACING for o in others):
            disc_y += _DISC_SPACING / 2
        disc_y = min(disc_y, top + height - _EDGE)
        return Callout(number, round(disc_x, 1), round(disc_y, 1), round(x, 1), round(y, 1))


def _region(path: ET.Element) -> Region:
    outline = path.attrib["d"]
    return Region(path.attrib["data-side"], path.attrib["data-view"], outline, _middle(outline))


def _middle(outline: str) -> tuple[float, float]:
    """Give the centroid of the first closed part of an outline of M and l."""
    numbers = [float(number) for number in _NUMBER.findall(outline.partition("z")[0])]
    x, y = numbers[0], numbers[1]
    points = [(x, y)]
    for dx, dy in zip(numbers[2::2], numbers[3::2], strict=False):
        x, y = x + dx, y + dy
        points.append((x, y))
    area = cx = cy = 0.0
    for (x0, y0), (x1, y1) in zip(points, [*points[1:], points[0]], strict=True):
        cross = x0 * y1 - x1 * y0
        area, cx, cy = area + cross, cx + (x0 + x1) * cross, cy + (y0 + y1) * cross
    return (cx / (3 * area), cy / (3 * area)) if area else points[0]

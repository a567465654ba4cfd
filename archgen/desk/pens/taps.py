"""Two pictures laid on each other by two taps in each: what was tapped, where the lines then lie, what is written."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from archgen.errors import UsageError
from archgen.languages.house import say
from archgen.laying.lay import LaidLines, lay_by_tap, lay_by_taps
from archgen.laying.line_map import LineMap, find_edges, find_lines
from archgen.laying.pose import Doubles
from archgen.laying.refine import sample
from archgen.picture_facts.facts import ImageFacts
from archgen.picture_facts.laid_facts import LinePicture, line_picture
from archgen.records.model import Stencil
from archgen.writing.record_text import AddTable, Edit, RemoveKey

Point = tuple[float, float]
# First picture, second, first, second: with four the lines are laid.
TAPS = 4
# Both taps of a picture lie further apart than this share of its long side, or they settle no turn and no size.
_LEAST_APART = 0.04
_LINES_SHOWN = 1500
_TAP = re.compile(r"(\d{1,6}),(\d{1,6})")


@dataclass(frozen=True, slots=True)
class TappedPicture:
    """A picture to tap on.

    Attributes:
        path: Relative to the archive folder.
        is_mirrored: Whether the file is mirrored against the skin.
    """

    path: str
    facts: ImageFacts
    is_mirrored: bool = False

    @property
    def size(self) -> tuple[int, int]:
        """Give its width and height in pixels, upright."""
        return self.facts.width, self.facts.height

    @property
    def seen(self) -> LinePicture:
        """Give the copy whose lines are looked for."""
        return line_picture(self.facts, mirrored=self.is_mirrored)


@dataclass(frozen=True, slots=True)
class LaidPictures:
    """Where the first picture's lines lie in the second.

    Attributes:
        lines: Points of the first picture's lines in pixels of the second.
        is_sure: Whether the lines settle the place; else only the eye can.
        marks: Points of the first picture and of the second, in pixels of the files, far from each other.
        share: How many of the lines have one under them, 0 to 1.
    """

    lines: tuple[Point, ...]
    is_sure: bool
    marks: tuple[tuple[Point, Point], ...]
    share: float


def read_taps(text: str) -> tuple[Point, ...]:
    """Read "412,980;1630,2210".

    Raises:
        UsageError: It is something else.
    """
    found = [_TAP.fullmatch(one) for one in text.split(";")] if text else []
    taps = tuple((float(match[1]), float(match[2])) for match in found if match)
    if len(taps) != len(found) or len(taps) > TAPS:
        raise UsageError(say("These points can't be read. Tap them again."))
    return taps


def write_taps(taps: Sequence[Point]) -> str:
    """Write what `read_taps` reads."""
    return ";".join(f"{x:.0f},{y:.0f}" for x, y in taps)


def tap_in_file(x: str, y: str, shown_width: int, picture: TappedPicture) -> Point:
    """Give the pixel of the file a tap means on a copy shown so wide; 0: it counts pixels of the file already.

    Raises:
        UsageError: It lies beside the picture.
    """
    if not (x.isdecimal() and y.isdecimal() and len(x) < 7 and len(y) < 7):
        raise UsageError(say("Tap on the picture, or write the place in whole pixels."))
    width, height = picture.size
    scale = width / shown_width if shown_width else 1.0
    point = (round(int(x) * scale), round(int(y) * scale))
    if point[0] > width or point[1] > height:
        raise UsageError(
            say(
                "This point lies beside the picture, which is {width} pixels wide and {height} high.",
                width=width,
                height=height,
            )
        )
    return point


def check_apart(taps: Sequence[Point], first: TappedPicture, second: TappedPicture) -> None:
    """Make sure that the two taps of each picture lie far enough from each other.

    Raises:
        UsageError: They do not.
    """
    for one, other, picture in ((taps[0], taps[2], first), (taps[1], taps[3], second)):
        if float(np.hypot(one[0] - other[0], one[1] - other[1])) < _LEAST_APART * max(picture.size):
            raise UsageError(say("The two points lie too near each other. Tap two that are far apart."))


def lay_tapped(
    first: TappedPicture, second: TappedPicture, taps: Sequence[Point], blobs: Path, *, on_skin: bool
) -> LaidPictures | None:
    """Lay the first picture's lines on the second, from the taps to where the lines pull them.

    With one point on each, turn and size are found by the lines alone; None where they tell nothing.
    """
    # A stencil is drawn along the edges of what a reference shows; on skin its lines are seen as lines.
    drawing, look = find_lines(first.seen.open(blobs)), find_lines if on_skin else find_edges
    onto = look(second.seen.open(blobs))
    firsts = _in_map([_turned(one, first) for one in taps[0::2]], first, drawing)
    seconds = _in_map(taps[1::2], second, onto)
    if len(firsts) > 1:
        laid: LaidLines | None = lay_by_taps(drawing, onto, firsts, seconds, on_skin=on_skin)
    else:
        laid = lay_by_tap(drawing, onto, _point(firsts[0]), _point(seconds[0]), on_skin=on_skin)
    if laid is None:
        return None
    back = max(second.size) / max(onto.width, onto.height)
    chosen = sample(drawing, _LINES_SHOWN)
    places = laid.pose.places(chosen.points) * back
    return LaidPictures(
        lines=tuple((round(float(x), 1), round(float(y), 1)) for x, y in places),
        is_sure=laid.settles(on_skin=on_skin),
        marks=_marks(laid, firsts, drawing, first, back),
        share=laid.score.hit,
    )


def _point(place: Doubles) -> Point:
    return float(place[0]), float(place[1])


def _turned(point: Point, picture: TappedPicture) -> Point:
    """Give a point of a mirrored file where it is on the skin, and the other way round."""
    return (picture.size[0] - point[0], point[1]) if picture.is_mirrored else point


def _in_map(points: Sequence[Point], picture: TappedPicture, lines: LineMap) -> Doubles:
    return np.array(points, np.float64) * max(lines.width, lines.height) / max(picture.size)


def _marks(
    laid: LaidLines, taps: Doubles, drawing: LineMap, first: TappedPicture, back: float
) -> tuple[tuple[Point, Point], ...]:
    """Give the tapped points, two at least, and the point of the drawing farthest from the line through them."""
    points = sample(drawing).points.astype(np.float64)
    if len(taps) == 1:
        far = np.hypot(points[:, 0] - taps[0, 0], points[:, 1] - taps[0, 1])
        taps = np.vstack([taps, points[int(far.argmax())]])
    along = taps[1] - taps[0]
    apart = np.abs((points - taps[0]) @ np.array([-along[1], along[0]]))
    chosen = np.vstack([taps, points[int(apart.argmax())]]) if len(points) else taps
    places = laid.pose.places(chosen) * back
    grow = max(first.size) / max(drawing.width, drawing.height)
    found = []
    for (x, y), (to_x, to_y) in zip(chosen * grow, places, strict=True):
        there = _turned((float(x), float(y)), first)
        found.append(((round(there[0]), round(there[1])), (round(float(to_x)), round(float(to_y)))))
    return tuple(found)


def landmark_edits(stencil: Stencil, number: int, on: str, marks: Sequence[tuple[Point, Point]]) -> tuple[Edit, ...]:
    """Give what a yes writes; points on the same picture from before make way."""
    way = ("stencil", number, "landmark")
    old = [place for place, mark in enumerate(stencil.landmark) if mark.on == on]
    gone = tuple(RemoveKey((*way, place)) for place in reversed(old))
    new = tuple(
        AddTable(way, {"stencil": [int(one[0]), int(one[1])], "on": on, "at": [int(two[0]), int(two[1])]})
        for one, two in marks
    )
    return (*gone, *new)


def carried_marks(stencil: Stencil, over: str, laid: Sequence[tuple[Point, Point]]) -> tuple[tuple[Point, Point], ...]:
    """Carry the points of a stencil on one photo over to another, by the points the two photos share."""
    own = [(mark.stencil, mark.at) for mark in stencil.landmark if mark.on == over]
    ones, others = np.array([one for one, _ in laid]), np.array([two for _, two in laid])
    if len(own) < 2 or len(laid) < 3:
        return ()
    spread = np.hstack([ones, np.ones((len(ones), 1))])
    affine, *_ = np.linalg.lstsq(spread, others, rcond=None)
    found = []
    for on_stencil, at in own:
        place = np.array([at[0], at[1], 1.0]) @ affine
        found.append(((on_stencil[0], on_stencil[1]), (round(float(place[0])), round(float(place[1])))))
    return tuple(found)

"""Where a stencil lies on the reference it was drawn from: by recorded points and the lines, or proposed for a yes."""

from dataclasses import dataclass
from enum import Enum

import numpy as np
import numpy.typing as npt
from PIL import Image

from archgen.errors import UsageError
from archgen.languages.house import say, to_say
from archgen.laying.lay import best_elsewhere, lay_by_taps
from archgen.laying.line_map import find_edges, find_lines
from archgen.laying.refine import sample
from archgen.laying.search import find_place
from archgen.printing.reference_pdf import PrintedLandmark

Doubles = npt.NDArray[np.float64]

# Of 14 references of the demo laid without a point all came to lie rightly, at .46 to .78 with leads of .07 to .33; 24
# pictures of something else scored .49 and less with leads of .09 and less. Real photographs were not among them.
_LEAST_TOTAL, _LEAST_LEAD = 0.5, 0.1
_OTHER_PICTURE = 0.4
# How far, in shares of the drawing's diagonal, the lines may pull a recorded point: 3 mm of a piece of 100 mm.
_MOST_PULL = 0.03
_FEW = 24
# How much better the lines must lie at recorded points than anywhere by chance. Set on 52 right pairs, drawn and real
# (48 borne out), and 104 wrong ones (none); of 34 and 68 held back 27 and none were. Right ones that fail are asked
# about or show craters, a disc of light, grains of stars: no line bears out anything. Wrong ones led by .03 at most.
_BORNE_OUT = 0.07
# Below this gain not even the eye could say: the lines lie no better than by chance.
_SEEN_GAIN = 0.1


class ReferencePlace(Enum):
    """How the reference was laid under the stencil; the value is what the sheet says."""

    POINTS_AND_LINES = to_say("laid by its points and the lines")
    SEEN = to_say("laid by its lines, checked by eye")
    PROPOSED = to_say("proposed by its lines")
    NOWHERE = to_say("not laid on the stencil")
    UNPROVEN = to_say("its lines don't lie at its points")

    @property
    def words(self) -> str:
        """Say it."""
        return say(self.value)

    @property
    def is_to_scale(self) -> bool:
        """Say whether it can be measured on the print."""
        return self in (ReferencePlace.POINTS_AND_LINES, ReferencePlace.SEEN)

    @property
    def advice(self) -> str:
        """Say what to do about a print that isn't to scale."""
        if self is ReferencePlace.UNPROVEN:
            return say(
                "the stencil's lines don't lie on the reference where its points put them. Is it the right "
                "picture? Set the points again at the desk (archgen desk), and print again."
            )
        return say("lay the stencil on its reference by two points at the desk (archgen desk), and print again.")


@dataclass(frozen=True, slots=True)
class DrawnStencil:
    """A stencil as its file shows it: gray, the box of its marks in the pixels landmarks are counted in.

    `stored_mirrored` says that the file reads right only in a mirror.
    """

    gray: Image.Image
    box: tuple[float, float, float, float]
    box_on_sheet: tuple[float, float, float, float]
    stored_mirrored: bool

    @property
    def upright(self) -> Image.Image:
        """Give the marks as they read on skin."""
        left, top, right, bottom = self.box
        cut = self.gray.crop((round(left), round(top), round(right), round(bottom)))
        return cut.transpose(Image.Transpose.FLIP_LEFT_RIGHT) if self.stored_mirrored else cut

    def shares(self, points: Doubles) -> Doubles:
        """Turn points of the file into shares of the marks' box as they read on skin."""
        left, top, right, bottom = self.box_on_sheet
        shares = (points - (left, top)) / (right - left, bottom - top)
        return np.column_stack([1 - shares[:, 0], shares[:, 1]]) if self.stored_mirrored else shares

    def in_file(self, shares: Doubles) -> Doubles:
        """Turn shares of the box into points of the file."""
        left, top, right, bottom = self.box_on_sheet
        across = 1 - shares[:, 0] if self.stored_mirrored else shares[:, 0]
        return np.column_stack([left + across * (right - left), top + shares[:, 1] * (bottom - top)])


@dataclass(frozen=True, slots=True)
class Registration:
    """How the reference lies, as points both show; none where nobody knows.

    Attributes:
        lines: Places on the reference, in its pixels, where the stencil's lines come to lie, to be looked at.
        score: How well lines lie on lines, 0 to 1, and `lead` over the next best place where it was searched for.
    """

    placement: ReferencePlace
    landmarks: tuple[PrintedLandmark, ...] = ()
    lines: tuple[tuple[float, float], ...] = ()
    score: float = 0.0
    lead: float = 0.0


def register(stencil: DrawnStencil, reference: Image.Image, landmarks: tuple[PrintedLandmark, ...]) -> Registration:
    """Lay a stencil on its reference: by two recorded points and the lines, else by the lines alone.

    Raises:
        UsageError: The points lie on one spot or off the reference; or without points, it is another picture.
    """
    upright = stencil.upright
    drawing, onto = find_lines(upright), find_edges(reference)
    per_drawing = np.array([drawing.width, drawing.height], np.float64)
    per_reference = max(onto.width, onto.height) / max(reference.size)
    if len(landmarks) >= 2:
        _check(landmarks, reference.size)
        ones = stencil.shares(np.array([mark.stencil for mark in landmarks], np.float64)) * per_drawing
        others = np.array([mark.reference for mark in landmarks], np.float64) * per_reference
        laid = lay_by_taps(drawing, onto, ones, others, on_skin=False)
        off = np.hypot(*(laid.pose.places(ones) - others).T).max() / (drawing.diagonal * laid.pose.scale)
        lead = laid.score.total - best_elsewhere(drawing, onto, laid.pose)
        placement = _at_points(float(off), lead, laid.score.gain)
    else:
        found = find_place(drawing, onto)
        if found is None or found.score.total < _OTHER_PICTURE:
            raise UsageError(
                say(
                    "The reference looks like another picture: the stencil's lines lie nowhere on it. If it's "
                    "the right one, lay the stencil on it by two points at the desk (archgen desk)."
                )
            )
        laid, lead = found, found.score.total - found.rival
        sure = found.score.total >= _LEAST_TOTAL and lead >= _LEAST_LEAD
        placement = ReferencePlace.PROPOSED if sure else ReferencePlace.NOWHERE
    points = sample(drawing).points.astype(np.float64)
    there = laid.pose.places(points) / per_reference
    nowhere = placement in (ReferencePlace.NOWHERE, ReferencePlace.UNPROVEN)
    marks = () if nowhere else _marks(stencil, points / per_drawing, there)
    lines = tuple((float(x), float(y)) for x, y in laid.pose.places(drawing.points) / per_reference)
    return Registration(placement, marks, lines, laid.score.total, lead)


def _at_points(off: float, lead: float, gain: float) -> ReferencePlace:
    """Judge a place by two points: two allow any picture, so the lines have to bear it out."""
    if lead >= _BORNE_OUT and off <= _MOST_PULL:
        return ReferencePlace.POINTS_AND_LINES
    return ReferencePlace.PROPOSED if gain >= _SEEN_GAIN else ReferencePlace.UNPROVEN


def _check(landmarks: tuple[PrintedLandmark, ...], size: tuple[int, int]) -> None:
    for x, y in (mark.reference for mark in landmarks):
        if not (0 <= x <= size[0] and 0 <= y <= size[1]):
            raise UsageError(
                say(
                    "The landmark at = [{place}] lies outside the reference, which is {wide} pixels wide and {high} "
                    "high. Count pixels from the upper left corner of the upright picture, across first.",
                    place=f"{x:g}, {y:g}",
                    wide=size[0],
                    high=size[1],
                )
            )
    for side in ("stencil", "reference"):
        places = np.array([getattr(mark, side) for mark in landmarks], np.float64)
        if np.ptp(places, axis=0).max() < 1:
            raise UsageError(say("The landmarks of the reference lie on one spot. Mark two points far apart."))


def _marks(stencil: DrawnStencil, shares: Doubles, there: Doubles) -> tuple[PrintedLandmark, ...]:
    """Tell a pose by some points of the drawing spread over it."""
    chosen = np.linspace(0, len(shares) - 1, min(_FEW, len(shares))).astype(int)
    files = stencil.in_file(shares[chosen])
    return tuple(
        PrintedLandmark((float(one[0]), float(one[1])), (float(two[0]), float(two[1])))
        for one, two in zip(files, there[chosen], strict=True)
    )

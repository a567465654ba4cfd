"""Lay the photos of pieces and their stencils on each other, once, and keep it all; knows pictures, not pieces.

By recorded points where there are some, pulled in along the lines; else by the lines alone, which is a proposal.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, partial
from io import BytesIO

import cv2
import msgspec
import numpy as np
import PIL
from PIL import Image

from archgen.languages.house import say
from archgen.laying import line_map, marks
from archgen.laying.lay import LaidLines, lay_by_marks, lay_by_taps, lay_from
from archgen.laying.line_map import PX_PER_MM, LineMap, find_lines
from archgen.laying.marks import LineMarks, agree, find_marks
from archgen.laying.pose import Doubles, Pose
from archgen.laying.refine import nearest_lines, sample
from archgen.laying.repeats import repeats
from archgen.laying.score import shares_under
from archgen.laying.shown import lines_layer
from archgen.picture_facts.facts import Derivative
from archgen.picture_facts.laid_facts import WHOLE, FramePart, LaidFacts, LaidLayer, LayJob, LinePicture, PointPair
from archgen.progress import ProgressReporter
from archgen.storage import jobs as storage_jobs
from archgen.storage.cache import Cache

VERSION = 2
# Long side of the layers; the places that are looked up one by one lie so far apart, those between are even.
_SIDE, _MESH = 1000, 16
# The part that both photos show is found in so many cells across and down; where it is less, all is shown.
_CELLS, _LEAST_FILLED = 64, 0.3
# Of a photo's lines those near the stencil's are the drawing's; the others are the limb's, a sleeve's, a background's.
_NEAR_MM = 3.0
_LEAST_POINTS = 40
# So much of a drawing that is found by its lines alone lies inside the photo.
_INSIDE_SHARE = 0.85
# No shift is seen when nine tenths of the lines have one within a millimetre, since a few always lie under glare or
# hair, and chance gives less than half of it; on photos with so few pixels a millimetre nothing is said.
_SEEN_SHARE, _CHANCE_SHARE, _LEAST_PX_PER_MM = 0.9, 0.5, 3.0


def lay_pictures(
    jobs: Sequence[LayJob], cache: Cache, workers: int, progress: ProgressReporter
) -> Mapping[LayJob, LaidFacts]:
    """Do all jobs, from the cache where nothing changed; what cannot be laid is missing."""
    results = progress.track(
        storage_jobs.run(partial(_lay, cache=cache), jobs, workers), len(jobs), say("Laying photos")
    )
    return {job: facts for job, facts in zip(jobs, results, strict=True) if facts}


def _lay(job: LayJob, cache: Cache) -> LaidFacts | None:
    versions = f"{line_map.VERSION}, {marks.VERSION}, OpenCV {cv2.__version__}, Pillow {PIL.__version__}"
    key = Cache.key("laid", VERSION, msgspec.json.encode(job).decode(), versions)
    known = cache.value(key, LaidFacts)
    if known and cache.has_blobs(known.blobs):
        return known
    try:
        facts = _look(job, cache)
    except Exception:  # no piece may keep the others from being laid; its photos stand side by side
        return None
    cache.put(key, msgspec.json.encode(facts))
    return facts


@dataclass(frozen=True, eq=False)
class _LinedPicture:
    """A picture with its lines."""

    of: LinePicture
    picture: Image.Image
    lines: LineMap

    @cached_property
    def marks(self) -> LineMarks:
        """Find the marks of its lines."""
        return find_marks(self.lines)

    @property
    def per_px(self) -> float:
        """Give the pixels of the line map for one of the file."""
        return max(self.lines.width, self.lines.height) / max(self.of.width, self.of.height)

    def in_map(self, points: Doubles) -> Doubles:
        """Give points of the file on the line map, as seen on the skin."""
        there = points.copy()
        if self.of.mirrored:
            there[:, 0] = self.of.width - there[:, 0]
        return there * self.per_px


@dataclass(frozen=True, slots=True, eq=False)
class _Lying:
    """How the lines of one picture lie on another, and whether recorded points led there."""

    laid: LaidLines
    lines: LineMap
    recorded: bool

    def layer(self, cache: Cache, picture: Image.Image) -> LaidLayer:
        """Keep it as it is shown."""
        buffer = BytesIO()
        picture.save(buffer, "WEBP", quality=80, method=2)
        blob = cache.put_blob(buffer.getvalue(), ".webp")
        return LaidLayer(
            Derivative(picture.width, picture.height, blob), self.recorded, self.laid.settles(on_skin=True)
        )


def _look(job: LayJob, cache: Cache) -> LaidFacts:
    photos = [_seen(photo, cache) for photo in job.photos]
    drawing = _seen(job.drawing, cache) if job.drawing else None
    on = [_stencil_on(drawing, *one) if drawing else None for one in zip(photos, job.on_photos, strict=True)]
    over = _fresh_on_healed(photos, drawing, on, job.on_photos) if len(photos) > 1 else None
    base = photos[-1]
    layers = [_stencil_layer(drawing, lying, over, base, cache) for lying in on[:-1]]
    layers.append(_stencil_layer(drawing, on[-1], None, base, cache))
    is_alike = bool(over or any(layers)) and repeats((drawing or photos[0]).lines)
    px_per_mm = _px_per_mm(job, drawing, on[-1])
    warped = _warped(photos[0], over.laid.pose, base) if over else None
    return LaidFacts(
        fresh=over.layer(cache, warped) if over and warped else None,
        stencils=tuple(layers),
        alike_elsewhere=is_alike,
        no_shift_seen=over is not None and not is_alike and _is_still(over, base, px_per_mm),
        both=_filled_part(warped) if warped else WHOLE,
    )


def _seen(picture: LinePicture, cache: Cache) -> _LinedPicture:
    opened = picture.open(cache.blobs)
    return _LinedPicture(picture, opened, find_lines(opened))


def _stencil_on(drawing: _LinedPicture, photo: _LinedPicture, points: Sequence[PointPair]) -> _Lying | None:
    if len(points) > 1:
        pairs = np.array(points, np.float64)
        firsts, seconds = drawing.in_map(pairs[:, :2]), photo.in_map(pairs[:, 2:])
        return _Lying(lay_by_taps(drawing.lines, photo.lines, firsts, seconds, on_skin=True), drawing.lines, True)
    laid = lay_by_marks(drawing.lines, drawing.marks, photo.lines, photo.marks)
    return _found(laid, drawing.lines) if laid and _lies_inside(drawing.lines, laid.pose, photo.lines) else None


def _found(laid: LaidLines | None, lines: LineMap) -> _Lying | None:
    """Keep what was found by lines alone only where they settle it."""
    return _Lying(laid, lines, False) if laid and laid.settles(on_skin=True) else None


def _lies_inside(drawing: LineMap, pose: Pose, onto: LineMap) -> bool:
    places = pose.places(drawing.points)
    inside = (places > 0).all(1) & (places[:, 0] < onto.width) & (places[:, 1] < onto.height)
    return float(inside.mean()) >= _INSIDE_SHARE


def _fresh_on_healed(
    photos: Sequence[_LinedPicture],
    drawing: _LinedPicture | None,
    on: Sequence[_Lying | None],
    points: Sequence[Sequence[PointPair]],
) -> _Lying | None:
    """Lay the fresh photo on the healed one: by points of the stencil recorded on both, else by the lines alone."""
    fresh, healed = photos
    on_healed = {one[:2]: one[2:] for one in points[1]}
    shared = [(*one[2:], *on_healed[one[:2]]) for one in points[0] if one[:2] in on_healed]
    drawn = [lying.laid.pose.places(drawing.lines.points) if drawing and lying else None for lying in on]
    if len(shared) > 1:
        pairs = np.array(shared, np.float64)
        lines = _near(fresh.lines, drawn[0])
        firsts, seconds = fresh.in_map(pairs[:, :2]), healed.in_map(pairs[:, 2:])
        return _Lying(lay_by_taps(lines, healed.lines, firsts, seconds, on_skin=True), lines, True)
    found = agree(fresh.marks, healed.marks)
    if found is None:
        return None
    lines = _near(fresh.lines, found.pose.origins(drawn[1]) if drawn[0] is None and drawn[1] is not None else drawn[0])
    return _found(lay_from(lines, healed.lines, found.pose), lines)


def _near(lines: LineMap, drawn: Doubles | None) -> LineMap:
    """Keep the lines of a photo that lie near the stencil's; all where those are too few, or nothing is known."""
    if drawn is None:
        return lines
    field = np.full((lines.height, lines.width), 255, np.uint8)
    at = np.round(drawn).astype(int)
    at = at[(at >= 0).all(1) & (at[:, 0] < lines.width) & (at[:, 1] < lines.height)]
    field[at[:, 1], at[:, 0]] = 0
    away = cv2.distanceTransform(field, cv2.DIST_L2, 3)
    own = np.round(lines.points).astype(int)
    near = away[own[:, 1].clip(0, lines.height - 1), own[:, 0].clip(0, lines.width - 1)] <= _NEAR_MM * PX_PER_MM
    if near.sum() < _LEAST_POINTS:
        return lines
    return replace(lines, points=lines.points[near], angles=lines.angles[near], strengths=lines.strengths[near])


def _px_per_mm(job: LayJob, drawing: _LinedPicture | None, on_base: _Lying | None) -> float | None:
    """Give how many pixels of the last photo's line map a printed millimetre takes there."""
    if drawing is None or on_base is None or job.drawing_px_per_mm is None:
        return None
    return job.drawing_px_per_mm * drawing.per_px * on_base.laid.pose.scale


def _is_still(over: _Lying, healed: _LinedPicture, px_per_mm: float | None) -> bool:
    if px_per_mm is None or px_per_mm < _LEAST_PX_PER_MM:
        return False
    share, chance = shares_under(sample(over.lines), nearest_lines(healed.lines), over.laid.pose, px_per_mm)
    return share >= _SEEN_SHARE and chance <= _CHANCE_SHARE


def _frame(base: _LinedPicture) -> tuple[int, int]:
    """Give the size of the layers: that of the last photo's copy, made smaller."""
    scale = min(1.0, _SIDE / max(base.picture.size))
    return round(base.picture.width * scale), round(base.picture.height * scale)


def _stencil_layer(
    drawing: _LinedPicture | None, lying: _Lying | None, over: _Lying | None, base: _LinedPicture, cache: Cache
) -> LaidLayer | None:
    """Draw the stencil's lines as they lie, violet with a light edge; through `over` where that is another photo."""
    if drawing is None or lying is None:
        return None
    places = lying.laid.pose.places(drawing.lines.points)
    if over:
        places = over.laid.pose.places(places)
    frame = _frame(base)
    return lying.layer(cache, lines_layer(places * frame[0] / base.lines.width, frame))


def _warped(first: _LinedPicture, pose: Pose, base: _LinedPicture) -> Image.Image:
    """Give the first picture in the shape of the last; clear where there is none of it."""
    width, height = _frame(base)
    mesh = np.stack(np.meshgrid(np.arange(0, width + _MESH, _MESH), np.arange(0, height + _MESH, _MESH)), axis=-1)
    there = pose.origins(mesh.reshape(-1, 2) * base.lines.width / width) * first.picture.width / first.lines.width
    rough = there.reshape(mesh.shape).astype(np.float32)
    columns, rows = np.meshgrid(np.arange(width, dtype=np.float32), np.arange(height, dtype=np.float32))
    across, down = cv2.split(cv2.remap(rough, columns / _MESH, rows / _MESH, cv2.INTER_LINEAR))
    pixels = np.dstack([np.asarray(first.picture), np.full(first.picture.size[::-1], 255, np.uint8)])
    # Outside is clear: the library fills with zeros.
    warped = cv2.remap(pixels, across, down, cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT)
    return Image.fromarray(np.asarray(warped, np.uint8), "RGBA")


def _filled_part(picture: Image.Image) -> FramePart:
    """Give the largest rectangle of a picture in which nothing is clear, by cells; all of it where that is small."""
    alpha = np.asarray(picture.getchannel("A"))
    # A mean is full only where every pixel is.
    filled = cv2.resize(alpha, (_CELLS, _CELLS), interpolation=cv2.INTER_AREA) == 255
    widths, heights, best = np.arange(1, _CELLS + 1), np.zeros(_CELLS, int), (0, 0, 0, 0, 0)
    for row in range(_CELLS):
        heights = np.where(filled[row], heights + 1, 0)
        for left in range(_CELLS):
            lowest = np.minimum.accumulate(heights[left:])
            areas = lowest * widths[: _CELLS - left]
            wide = int(areas.argmax())
            best = max(best, (int(areas[wide]), left, row + 1 - int(lowest[wide]), wide + 1, int(lowest[wide])))
    area, *box = best
    return FramePart(*(side / _CELLS for side in box)) if area >= _LEAST_FILLED * _CELLS**2 else WHOLE

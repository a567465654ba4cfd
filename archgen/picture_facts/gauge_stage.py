"""Gauge the stencils of an archive once, draw what pages show of it, and keep it all; knows pictures, not pieces."""

from collections.abc import Mapping, Sequence
from functools import partial
from io import BytesIO
from pathlib import Path

import cv2
import msgspec
import numpy as np
import PIL
from PIL import Image, ImageOps

from archgen.errors import ArchgenError
from archgen.findings import Finding
from archgen.languages.house import say
from archgen.picture_facts.facts import Derivative
from archgen.picture_facts.gauge_facts import GaugeFacts, GaugeJob, PairFacts, PairJob, gauge_figures
from archgen.picture_facts.remarks import not_gauged
from archgen.progress import ProgressReporter
from archgen.stencils import cylinder, gauge_picture, marks, ridges, stroke_width
from archgen.stencils.versions import changes, overlay
from archgen.storage import jobs as storage_jobs
from archgen.storage.cache import Cache
from archgen.values.frozen import Value

VERSION = 9
PAIR_VERSION = 3
SCREEN_PX, PAPER_PX, LIMB_PX = 720, 560, 420
# Gauging takes about this much a pixel, and this much more of those looked at together; as much as decoding pictures
# may take is under way at a time.
_BYTES_PER_PX, _BYTES_PER_BAND_PX = 10, 30
_MEMORY_BYTES = 330_000_000
# SVG and PDF are drawn at 600 dots per inch.
_VECTOR_PX_PER_MM = 600 / 25.4
# Of two drawings with less of the smaller one's lines in common one is not drawn from the other.
_SAME_DRAWING = 0.5


class GaugeResults(Value, frozen=True):
    """The gauges of stencils, and what is to be said of those that have none."""

    facts: Mapping[GaugeJob, GaugeFacts]
    findings: tuple[Finding, ...]


def gauge_stencils(
    jobs: Sequence[GaugeJob], root: Path, cache: Cache, workers: int, progress: ProgressReporter
) -> GaugeResults:
    """Gauge all stencils, from the cache where nothing changed; what cannot be gauged is missing from the gauges."""
    memory = storage_jobs.Budget(_MEMORY_BYTES)
    work = partial(_gauge, root=root, cache=cache, memory=memory)
    results = list(progress.track(storage_jobs.run(work, jobs, workers), len(jobs), say("Gauging stencils")))
    gauged = {job: facts for job, facts in zip(jobs, results, strict=True) if isinstance(facts, GaugeFacts)}
    return GaugeResults(gauged, tuple(finding for finding in results if isinstance(finding, Finding)))


def compare_versions(
    jobs: Sequence[PairJob], cache: Cache, workers: int, progress: ProgressReporter
) -> Mapping[PairJob, PairFacts]:
    """Lay all pairs over each other, from the cache where nothing changed; a pair that cannot be is missing."""
    results = progress.track(
        storage_jobs.run(partial(_try_compare, cache=cache), jobs, workers), len(jobs), say("Comparing versions")
    )
    return {job: facts for job, facts in zip(jobs, results, strict=True) if facts}


def _try_compare(job: PairJob, cache: Cache) -> PairFacts | None:
    try:
        return _compare(job, cache)
    except Exception:  # no pair may keep the others from being compared
        return None


def _compare(job: PairJob, cache: Cache) -> PairFacts:
    key = Cache.key("versions", PAIR_VERSION, *map(str, msgspec.structs.astuple(job)), _libraries())
    known = cache.value(key, PairFacts)
    if known is not None and known.picture and cache.has_blobs(known.blobs):
        return known
    first = design(cache.blobs / job.first, mirrored=job.first_mirrored)
    second = design(cache.blobs / job.second, mirrored=job.second_mirrored)
    compared = _compared(job, first, second)
    found, turned_over = compared.changes, False
    if found.kept_share < _SAME_DRAWING:
        turned_over = _compared(job, first, ImageOps.mirror(second)).changes.kept_share > max(
            _SAME_DRAWING, 2 * found.kept_share
        )
    shown = compared.picture.quantize(64, Image.Quantize.FASTOCTREE, dither=Image.Dither.NONE)
    facts = PairFacts(*compared.shift_mm, found, _keep(cache, shown), turned_over)
    cache.put(key, msgspec.json.encode(facts))
    return facts


def _compared(job: PairJob, first: Image.Image, second: Image.Image) -> changes.ComparedDrawings:
    shift = overlay.best_shift(first, second, job.first_mm, job.second_mm)
    return changes.compare_drawings(first, second, (job.first_mm, job.second_mm), shift)


def design(path: Path, *, mirrored: bool) -> Image.Image:
    """Open the gray copy of a stencil's marks as it reads on skin."""
    with Image.open(path) as stored:
        gray = stored.convert("L")
    return ImageOps.mirror(gray) if mirrored else gray


def _libraries() -> str:
    return f"numpy {np.__version__}, OpenCV {cv2.__version__}, Pillow {PIL.__version__}"


def _gauge(job: GaugeJob, root: Path, cache: Cache, memory: storage_jobs.Budget) -> GaugeFacts | Finding | None:
    # Not by its path: the same file in two pieces is gauged once.
    parts = msgspec.structs.astuple(msgspec.structs.replace(job, path=""))
    key = Cache.key("gauge", VERSION, *map(str, parts), Path(job.path).suffix.lower(), _libraries())
    stored = _stored(cache, key)
    if stored is not None:
        return stored
    try:
        facts = _look(job, root, cache, memory)
    except ArchgenError:
        # What is wrong with the file is a finding of the picture stage already.
        return None
    except Exception as error:  # no drawing may keep the others from being gauged
        return not_gauged(job.path, error)
    cache.put(key, msgspec.json.encode(facts))
    return facts


def _stored(cache: Cache, key: str) -> GaugeFacts | None:
    facts = cache.value(key, GaugeFacts)
    return facts if facts and cache.has_blobs(facts.blobs) else None


def _look(job: GaugeJob, root: Path, cache: Cache, memory: storage_jobs.Budget) -> GaugeFacts:
    with Image.open(cache.blobs / job.design) as copy:
        pixels = copy.width * copy.height
    with memory.hold(_BYTES_PER_PX * pixels + _BYTES_PER_BAND_PX * min(pixels, ridges.BAND_PX)):
        seen = marks.read_marks(root / job.path, pixels_across=round(job.width_mm * _VECTOR_PX_PER_MM))
        seen = marks.turned(seen) if job.mirrored else seen
        limits = stroke_width.GaugeLimits(stroke_mm=job.stroke_mm, gap_mm=job.gap_mm)
        gauge = stroke_width.measure(seen, job.width_mm, limits)
        screen = gauge_picture.draw_gauge(seen, gauge, SCREEN_PX)
        paper = None
        if job.on_paper:
            paper = gauge_picture.draw_gauge(seen, gauge, PAPER_PX, palette=gauge_picture.PAPER)
    figures = gauge_figures(gauge, job.bundle_mm)
    return GaugeFacts(
        **msgspec.structs.asdict(figures),
        screen=_keep(cache, screen.quantize(24, Image.Quantize.FASTOCTREE, dither=Image.Dither.NONE)),
        paper=_keep(cache, paper.convert("L").quantize(12, dither=Image.Dither.NONE)) if paper else None,
        limb=_limb(job, cache),
    )


def _limb(job: GaugeJob, cache: Cache) -> Derivative | None:
    if job.girth_mm is None:
        return None
    gray = design(cache.blobs / job.design, mirrored=job.mirrored)
    view = cylinder.straight_ahead(gray, (0, 0, *gray.size), job.width_mm, job.girth_mm, LIMB_PX)
    return _keep(cache, view.quantize(64, dither=Image.Dither.NONE))


def _keep(cache: Cache, picture: Image.Image) -> Derivative:
    buffer = BytesIO()
    picture.save(buffer, "PNG", compress_level=6)  # all effort would take four times as long for 2 % less
    return Derivative(picture.width, picture.height, cache.put_blob(buffer.getvalue(), ".png"))

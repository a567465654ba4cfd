"""Plan the tones of photographs and check the plans with other libraries; by hand.

    python -m tests.bench.bench_order --pictures FOLDER [--most 40] [--needle 1.08] [--tones 5]

FOLDER holds photographs of any kind, such as Debian's wallpapers; those of scikit-image come first. A drawing is made
of each: the outline of its subject (GrabCut) and its edges, in strokes of 0.3 mm, printed 40 to 110 mm wide. Told is
what is wrong with any plan, and beside each the likeness of plan and photograph at the bundle's scale, for the plan and
for k-means with the same merging.
"""

import argparse
import io
import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import cv2
import numpy as np
from PIL import Image
from scipy.cluster.vq import kmeans
from shapely import Polygon, STRtree, make_valid
from skimage import data
from skimage.metrics import structural_similarity

from archgen.shading.arcs import loops_of
from archgen.shading.cells import OUTSIDE
from archgen.shading.cleaning import cleaned, find_parts
from archgen.shading.joining import capped
from archgen.shading.light import lightness, without_lines
from archgen.shading.numbers import DISC_MM, Anchor, place_numbers
from archgen.shading.plan import LaidReference, PlanWish, ShadingPlan, make_plan

PPM = 11.8
_OWN = ("astronaut", "camera", "cell", "chelsea", "clock", "coffee", "coins", "grass", "gravel", "hubble_deep_field")
_OWN += ("immunohistochemistry", "moon", "retina", "rocket")
_STROKE_MM = 0.3
_OVERLAP_MM2 = 0.05
# Stands for small lights among the numbers of tones, of which there are seven at most.
_LIGHT = 8


@dataclass(frozen=True, slots=True)
class CheckedPlan:
    """What was found out about one plan."""

    name: str
    areas: int
    steps: int
    seconds: float
    plan_ssim: float
    kmeans_ssim: float
    kept: float
    wrong: tuple[str, ...]


def photographs(folder: Path | None) -> Iterator[tuple[str, Image.Image]]:
    """Give all photographs, upright and gray."""
    for name in _OWN:
        yield name, Image.fromarray(np.asarray(getattr(data, name)())).convert("L")
    yield "motorcycle", Image.fromarray(data.stereo_motorcycle()[0]).convert("L")
    for path in sorted(folder.iterdir()) if folder else ():
        with Image.open(path) as picture:
            yield path.stem, picture.convert("L")


def laid(picture: Image.Image, width_mm: float) -> LaidReference:
    """Make a drawing of a photograph and lay both on each other."""
    wide = round(width_mm * PPM)
    gray = picture.resize((wide, round(wide * picture.height / picture.width)), Image.Resampling.LANCZOS)
    pixels = np.asarray(gray)
    subject = _subject(pixels)
    edges = cv2.Canny(cv2.GaussianBlur(pixels, (0, 0), 0.25 * PPM), 30, 80)
    stroke = max(round(_STROKE_MM * PPM), 1)
    lines = cv2.dilate(edges & (subject * 255), np.ones((stroke, stroke), np.uint8))
    outlines, _ = cv2.findContours(subject, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    cv2.drawContours(lines, outlines, -1, 255, stroke)
    white = Image.new("L", gray.size, 255)
    return LaidReference(gray, Image.fromarray(255 - lines), white, width_mm)


def _subject(pixels: np.ndarray) -> np.ndarray:
    """Cut the subject out of the middle; the middle itself where nothing stands out."""
    small = cv2.resize(pixels, None, fx=0.25, fy=0.25, interpolation=cv2.INTER_AREA)
    high, wide = small.shape
    frame = (wide // 10, high // 10, wide * 8 // 10, high * 8 // 10)
    mask, back, front = np.zeros(small.shape, np.uint8), np.zeros((1, 65)), np.zeros((1, 65))
    cv2.setRNGSeed(1)
    cv2.grabCut(cv2.cvtColor(small, cv2.COLOR_GRAY2BGR), mask, frame, back, front, 4, cv2.GC_INIT_WITH_RECT)
    found = np.isin(mask, (cv2.GC_FGD, cv2.GC_PR_FGD)).astype(np.uint8)
    found = cv2.morphologyEx(found, cv2.MORPH_OPEN, np.ones((9, 9), np.uint8))
    if found.mean() < 0.12:
        found[:] = 0
        cv2.ellipse(found, (wide // 2, high // 2), (wide * 2 // 5, high * 2 // 5), 0, 0, 360, 1, cv2.FILLED)
    return cv2.resize(found, pixels.shape[::-1], interpolation=cv2.INTER_NEAREST)


def check(name: str, picture: Image.Image, width_mm: float, wish: PlanWish) -> CheckedPlan:
    """Plan one photograph and look at the plan."""
    scene = laid(picture, width_mm)
    make_plan(scene, wish)
    start = time.process_time()
    plan = make_plan(scene, wish)
    seconds = time.process_time() - start
    light, even_tones = _looked_at(scene, plan, wish)
    tones = np.array([OUTSIDE, *(area.tone for area in plan.areas)])[plan.numbers]
    wrong = (*_shapes_wrong(plan), *_numbers_wrong(plan), *_order_wrong(plan), *_lines_wrong(scene, plan))
    similar = [_similarity(light, one, plan) for one in (_with_lights(tones, plan), even_tones)]
    kept = _kept(scene, replace(wish, cuts=plan.cuts, edges=plan.edges), tones)
    return CheckedPlan(name, len(plan.areas), len(plan.steps) + 1 + bool(plan.lights), seconds, *similar, kept, wrong)


def _looked_at(scene: LaidReference, plan: ShadingPlan, wish: PlanWish) -> tuple[np.ndarray, np.ndarray]:
    """Give the photograph's light without the lines, and tones by k-means with the same merging."""
    size = plan.numbers.shape[::-1]
    light = lightness(scene.reference.resize(size, Image.Resampling.BOX))
    ink = np.asarray(scene.drawing.resize(size, Image.Resampling.BOX)) < 128
    within = plan.numbers > 0
    bare = without_lines(light, ink, within, np.zeros_like(within), plan.px_per_mm)
    seeds = np.quantile(bare[within], (np.arange(len(plan.levels)) + 0.5) / len(plan.levels))
    centres = np.sort(kmeans(bare[within].astype(float), np.unique(seeds))[0])
    nearest = np.abs(bare[..., None] - centres).argmin(axis=-1)
    bound = plan.bound.in_px(plan.px_per_mm)
    clean = cleaned(np.where(within, nearest, OUTSIDE).astype(np.int32), bare, centres, bound)
    parts = capped(find_parts(clean), centres, wish.most_areas)
    return bare, parts.tones[parts.numbers]


def _with_lights(tones: np.ndarray, plan: ShadingPlan) -> np.ndarray:
    """Draw the small lights that a plan leaves open, as its page does."""
    drawn = tones.astype(np.int32)
    for light in plan.lights:
        centre = round(light.x * plan.px_per_mm), round(light.y * plan.px_per_mm)
        cv2.circle(drawn, centre, max(round(light.radius_mm * plan.px_per_mm), 1), _LIGHT, cv2.FILLED)
    return np.where(tones == OUTSIDE, OUTSIDE, drawn)


def _similarity(light: np.ndarray, tones: np.ndarray, plan: ShadingPlan) -> float:
    """Compare at the bundle's scale, inside the drawing: Wang and others (2004), as scikit-image has it."""
    within = plan.numbers > 0
    means = np.array([light[within & (tones == tone)].mean() if (tones == tone).any() else 0 for tone in range(9)])
    made = np.where(tones >= 0, means[tones], light)
    sigma = plan.bound.bundle_mm * plan.px_per_mm / 2
    one, two = (cv2.GaussianBlur(each.astype(np.float64), (0, 0), sigma) for each in (light, made))
    _, each = structural_similarity(one, two, data_range=100, gaussian_weights=True, full=True)
    return float(each[within].mean())


def _kept(scene: LaidReference, wish: PlanWish, tones: np.ndarray) -> float:
    """Save the photograph again as JPEG, and say how much of the plan comes out as before with its kept cuts."""
    saved = io.BytesIO()
    scene.reference.save(saved, "JPEG", quality=85)
    again = make_plan(replace(scene, reference=Image.open(saved)), wish)
    after = np.array([OUTSIDE, *(area.tone for area in again.areas)])[again.numbers]
    inside = tones != OUTSIDE
    return float((after == tones)[inside].mean())


def _shapes_wrong(plan: ShadingPlan) -> Iterator[str]:
    shapes = {}
    for number, loops in loops_of(plan.arcs).items():
        if any((loop[0] != loop[-1]).any() for loop in loops):
            yield f"area {number} is open"
        shape = Polygon()
        for loop in loops:
            shape = shape.symmetric_difference(make_valid(Polygon(loop / plan.px_per_mm)))
        shapes[number] = shape
        if shape.area < plan.bound.least_mm2:
            yield f"area {number} has {shape.area:.2f} of {plan.bound.least_mm2:.2f} mm²"
        if shape.buffer(-plan.bound.bundle_mm / 2 * 0.995, quad_segs=32).is_empty:
            yield f"area {number} holds no disc"
    tree = STRtree(list(shapes.values()))
    both = [(a, b) for a, b in zip(*tree.query(tree.geometries), strict=True) if a < b]
    overlap = sum(tree.geometries[a].intersection(tree.geometries[b]).area for a, b in both)
    if overlap > _OVERLAP_MM2:
        yield f"areas overlap by {overlap:.2f} mm²"


def _numbers_wrong(plan: ShadingPlan) -> Iterator[str]:
    steps = plan.step_of
    anchors = [
        Anchor(area.deep_x, area.deep_y, area.depth_mm, steps[index])
        for index, area in enumerate(plan.areas)
        if index in steps
    ]
    numbers = place_numbers(anchors, plan.size_mm[0])
    told = {(x, y, one.step) for one in numbers for x, y in (one.leads_to or ((one.x, one.y),))}
    for one in anchors:
        if (one.x, one.y, one.step) not in told:
            yield f"an area of step {one.step} has no number"
    places = np.array([(one.x, one.y) for one in numbers])
    apart = np.hypot(*(places[:, None] - places[None]).transpose(2, 0, 1)) + np.eye(len(places)) * 99
    if (apart < DISC_MM).any():
        yield "a number covers another"
    for light in plan.lights:
        if (np.hypot(*(places - (light.x, light.y)).T) < DISC_MM / 2 + light.radius_mm * 0.9).any():
            yield "a number lies over a light"


def _order_wrong(plan: ShadingPlan) -> Iterator[str]:
    """Look at the order by the numbers of pixels alone."""
    keys = []
    for step in plan.steps:
        for index in step:
            rows = np.nonzero(plan.numbers == index + 1)[0]
            height = plan.size_mm[1] - (rows.mean() + 0.5) / plan.px_per_mm
            keys.append((round(plan.levels[plan.areas[index].tone], 6), int(height // plan.band_mm)))
    if keys != sorted(keys):
        yield "the order is not dark to light and from the bottom up"
    if plan.band_mm > 20 and len(plan.steps) < 15:
        yield "bands are wider than they need be"


def _lines_wrong(scene: LaidReference, plan: ShadingPlan) -> Iterator[str]:
    """Areas of one tone may touch along drawn lines alone."""
    ink = np.asarray(scene.drawing.resize(plan.numbers.shape[::-1], Image.Resampling.BOX)) < 200
    drawn = cv2.distanceTransform((~ink).astype(np.uint8), cv2.DIST_L2, 5) < plan.px_per_mm
    tones = np.array([OUTSIDE, *(area.tone for area in plan.areas)])[plan.numbers]
    pairs = [np.s_[:, 1:], np.s_[:, :-1]], [np.s_[1:], np.s_[:-1]]
    met = [(tones[a] == tones[b]) & (plan.numbers[a] != plan.numbers[b]) for a, b in pairs]
    off = sum(int((each & ~drawn[a]).sum()) for each, (a, _) in zip(met, pairs, strict=True))
    if off > 0.1 * sum(int(each.sum()) for each in met):
        yield "areas of one tone touch where no line is drawn"


def main() -> None:
    """Check all photographs and sum up."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--pictures", type=Path)
    parser.add_argument("--most", type=int, default=40)
    parser.add_argument("--needle", type=float, default=1.08)
    parser.add_argument("--tones", type=int, default=5)
    given = parser.parse_args()
    rng, checked = np.random.default_rng(11), []
    for name, picture in list(photographs(given.pictures))[: given.most]:
        width = float(rng.uniform(40, 110)) / max(1.0, picture.height / picture.width)
        one = check(name, picture, width, PlanWish(bundle_mm=given.needle, tones=given.tones))
        checked.append(one)
        print(
            f"{name:24} {width:5.0f} mm {one.areas:3} areas {one.steps:3} steps {one.seconds:5.2f} s  "
            f"{one.plan_ssim:.3f} k-means {one.kmeans_ssim:.3f}  kept {one.kept:.1%}  {'; '.join(one.wrong)}"
        )
    plans, others, kept, seconds = (
        np.array([getattr(one, name) for one in checked]) for name in ("plan_ssim", "kmeans_ssim", "kept", "seconds")
    )
    print(f"{len(checked)} photographs, {sum(len(one.wrong) for one in checked)} wrong")
    print(f"steps 8 to 25: {np.mean([8 <= one.steps <= 25 for one in checked]):.0%}")
    print(f"likeness {plans.mean():.3f}, k-means {others.mean():.3f}, above it {(plans > others).sum()}")
    print(f"kept: least {kept.min():.1%}, mean {kept.mean():.1%}, in the middle {np.median(kept):.1%}")
    print(f"seconds: most {seconds.max():.2f}, mean {seconds.mean():.2f}")


if __name__ == "__main__":
    main()

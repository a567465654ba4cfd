"""A reference laid under its stencil: by points and lines, by lines alone, or not at all."""

import datetime as dt

import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageFilter, ImageOps
from skimage import data
from skimage.transform import SimilarityTransform, warp

from archgen.config import PrinterSettings
from archgen.errors import UsageError
from archgen.outputs.reprints import registration
from archgen.outputs.reprints.registration import DrawnStencil, ReferencePlace, register
from archgen.outputs.reprints.working_print import Beside, looked_at, registered, working_print
from archgen.printing.reference_pdf import PrintedLandmark, write_reference
from archgen.printing.stencil_plan import ReprintJob, StencilPrint, make_plan
from tests.drawn_lines import marks_of

SIZE = (700, 900)


def shapes(pen, fill, outline, width):
    """Draw a lopsided figure: a body, a head, an arm, some leaves."""
    rng = np.random.default_rng(8)
    half = width / 2  # an outline is drawn inside its box: its middle shall lie on the edge of the area

    def oval(left, top, right, bottom, tone):
        box = (left - half, top - half, right + half, bottom + half)
        pen.ellipse(box, fill=fill and tone, outline=outline, width=width)

    oval(150, 300, 520, 860, 160)
    oval(260, 60, 560, 330, 120)
    pen.polygon([(500, 420), (690, 300), (660, 480), (540, 560)], fill=fill and 60, outline=outline, width=width)
    for _ in range(7):
        x, y = rng.uniform(180, 420), rng.uniform(380, 760)
        oval(x, y, x + rng.uniform(30, 90), y + rng.uniform(30, 90), 200)


@pytest.fixture(scope="module")
def drawing():
    picture = Image.new("L", SIZE, 255)
    shapes(ImageDraw.Draw(picture), None, 0, 5)
    return picture.filter(ImageFilter.GaussianBlur(0.7))


POSE = SimilarityTransform(scale=1.9, rotation=np.radians(7), translation=(560, 300))


@pytest.fixture(scope="module")
def reference():
    """The same figure as areas of gray on a mottled ground, turned, larger and elsewhere."""
    picture = Image.new("L", SIZE, 40)
    shapes(ImageDraw.Draw(picture), True, None, 0)
    large = warp(np.asarray(picture) / 255, POSE.inverse, output_shape=(2400, 2200), cval=40 / 255, order=1)
    noise = np.random.default_rng(3).normal(0, 0.02, large.shape)
    return Image.fromarray((255 * np.clip(large + noise, 0, 1)).astype(np.uint8))


def stencil_of(drawing, *, mirrored=False):
    marks = marks_of(ImageOps.mirror(drawing) if mirrored else drawing)
    return DrawnStencil(marks.gray, marks.box, marks.box, mirrored)


def worst_mm(found, mirrored, px_per_mm=8.0):
    """Compare the recorded points with where scikit-image takes the same points of the drawing."""
    ones = np.array([mark.stencil for mark in found.landmarks])
    if mirrored:
        ones = np.column_stack([SIZE[0] - ones[:, 0], ones[:, 1]])
    off = POSE(ones) - np.array([mark.reference for mark in found.landmarks])
    return np.hypot(*off.T).max() / POSE.scale / px_per_mm


def points(*places, mirrored=False, noise=0.0):
    rng = np.random.default_rng(5)
    for x, y in places:
        there = POSE((x, y))[0] + rng.normal(0, noise, 2)
        yield PrintedLandmark((SIZE[0] - x if mirrored else x, y), (float(there[0]), float(there[1])))


@pytest.mark.parametrize("mirrored", [False, True])
def test_two_points_and_the_lines_lay_it_nearer_than_the_points_alone(drawing, reference, mirrored):
    taps = tuple(points((200, 400), (600, 330), mirrored=mirrored, noise=8.0))
    found = register(stencil_of(drawing, mirrored=mirrored), reference, taps)
    assert found.placement is ReferencePlace.POINTS_AND_LINES
    alone = SimilarityTransform.from_estimate(
        np.array([(SIZE[0] - m.stencil[0] if mirrored else m.stencil[0], m.stencil[1]) for m in taps]),
        np.array([m.reference for m in taps]),
    )
    corners = np.array([(150, 60), (690, 60), (690, 860), (150, 860)], float)
    loose = np.hypot(*(alone(corners) - POSE(corners)).T).max() / POSE.scale / 8
    assert worst_mm(found, mirrored) < 0.3 < loose


def test_without_points_the_place_is_proposed_and_counts_only_after_a_yes(drawing, reference):
    found = register(stencil_of(drawing), reference, ())
    assert found.placement is ReferencePlace.PROPOSED
    assert worst_mm(found, mirrored=False) < 0.3
    assert not found.placement.is_to_scale
    assert looked_at(found).placement.is_to_scale


def test_points_that_the_lines_contradict_are_asked_about(drawing, reference):
    far = tuple(PrintedLandmark(m.stencil, (m.reference[0] + dx, m.reference[1])) for m, dx in
                zip(points((200, 400), (600, 330)), (60, -60), strict=True))  # fmt: skip
    found = register(stencil_of(drawing), reference, far)
    assert found.placement is ReferencePlace.PROPOSED
    assert worst_mm(found, mirrored=False) < 0.3


@pytest.fixture(scope="module")
def other():
    """A photograph of a cat: another picture altogether."""
    return Image.fromarray(data.chelsea())


OTHER_POINTS = (PrintedLandmark((200, 400), (120, 90)), PrintedLandmark((600, 330), (300, 70)))


def test_another_picture_is_not_to_scale_whatever_its_two_points(drawing, other):
    found = register(stencil_of(drawing), other, OTHER_POINTS)
    assert (found.placement, found.landmarks) == (ReferencePlace.UNPROVEN, ())
    assert found.lead < 0.07
    assert looked_at(found) is found
    assert not found.placement.is_to_scale
    assert "Is it the right picture?" in found.placement.advice


@pytest.mark.parametrize(
    ("off", "lead", "gain", "placement"),
    [
        (0.02, 0.08, 0.3, ReferencePlace.POINTS_AND_LINES),
        (0.02, 0.06, 0.3, ReferencePlace.PROPOSED),
        (0.04, 0.08, 0.3, ReferencePlace.PROPOSED),
        (0.02, 0.06, 0.11, ReferencePlace.PROPOSED),
        (0.02, 0.06, 0.09, ReferencePlace.UNPROVEN),
    ],
)
def test_a_place_by_points_counts_once_the_lines_bear_it_out(off, lead, gain, placement):
    assert registration._at_points(off, lead, gain) is placement


def test_a_picture_of_something_else_is_refused(drawing):
    rng = np.random.default_rng(2)
    other = Image.fromarray(rng.integers(0, 255, (12, 12)).astype(np.uint8)).resize(
        (1500, 1500), Image.Resampling.BICUBIC
    )
    with pytest.raises(UsageError, match="looks like another picture"):
        register(stencil_of(drawing), other, ())


@pytest.mark.parametrize(
    ("marks", "said"),
    [
        (((5, 5), (9, 9)), "one spot"),
        (((5, 5), (9, 2401)), r"at = \[9, 2401\] lies outside"),
        (((5, 5), (-1, 9)), "lies outside"),
    ],
)
def test_points_that_are_none_are_refused(drawing, reference, marks, said):
    landmarks = tuple(
        PrintedLandmark((50 * n + 5, 5), spot)
        for n, spot in enumerate(marks if said != "one spot" else ((9, 9), (9, 9)))
    )
    with pytest.raises(UsageError, match=said):
        register(stencil_of(drawing), reference, landmarks)


@pytest.fixture(scope="module")
def plan(drawing):
    stencil = StencilPrint(marks_of(drawing), width_mm=60.0, label="Version 1")
    return make_plan(ReprintJob("Figure", (stencil,), PrinterSettings(), dt.date(2026, 3, 14)))


@pytest.fixture
def beside(reference, tmp_path):
    reference.save(tmp_path / "reference.png")
    return Beside(tmp_path / "reference.png", tones=4)


def test_the_print_is_cropped_to_the_drawing_and_lies_under_its_lines(plan, beside, drawing):
    found = looked_at(registered(plan, beside))
    job = working_print(plan, beside, found)
    assert job.is_to_scale
    assert "checked by eye" in job.placing
    assert "no area under 1 mm²" in job.rests_on
    placed = np.asarray(job.placed)
    assert placed[5, 5] == 255  # outside the figure
    # The head is 120 in the reference, wherever it stood there.
    left, top, right, bottom = marks_of(drawing).box
    at = int((410 - left) / (right - left) * placed.shape[1]), int((150 - top) / (bottom - top) * placed.shape[0])
    assert int(placed[at[1], at[0]]) == pytest.approx(120, abs=15)
    ink = np.asarray(drawing.crop((round(left), round(top), round(right), round(bottom))).resize(job.placed.size)) < 60
    assert np.asarray(job.simplified)[ink].mean() < 20  # the stencil's own lines over the tones
    assert b"%PDF" in write_reference(job)[:8]


def test_what_nobody_said_yes_to_is_printed_not_to_scale(plan, beside):
    job = working_print(plan, beside, registered(plan, beside))
    assert not job.is_to_scale
    assert job.placing == "not laid on the stencil"
    assert job.advice.startswith("lay the stencil on its reference by two points")


def test_another_pictures_print_says_not_to_scale_and_why(plan, other, tmp_path):
    other.save(tmp_path / "cat.png")
    beside = Beside(tmp_path / "cat.png", OTHER_POINTS, tones=3)
    job = working_print(plan, beside, registered(plan, beside))
    assert (job.is_to_scale, job.placing) == (False, "its lines don't lie at its points")
    assert job.advice.startswith("the stencil's lines don't lie on the reference where its points put them.")

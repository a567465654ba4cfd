"""The gauge against lines and gaps of exactly known width, and against SciPy's distance transform."""

from functools import cache

import numpy as np
import pytest
from scipy import ndimage

from archgen.stencils.stroke_width import GaugeLimits, measure
from tests.drawn_lines import line_field, marks_of

LINES = np.random.default_rng(7).uniform(0.15, 1.3, 60)
GAPS = np.random.default_rng(8).uniform(0.2, 2.0, 40)


@cache
def drawn(dpi, gaps):
    return line_field(dpi, GAPS if gaps else LINES, gaps=gaps, length_mm=7)


def measured(dpi, *, gaps=False, one_bit=False):
    """Give the measured minus the true width of each line or gap, in mm."""
    gray, k, truth = drawn(dpi, gaps)
    if one_bit:
        gray = np.where(gray >= 128, 255, 0).astype(np.uint8)
    return errors_of(marks_of(gray), k, truth, gaps=gaps)


def errors_of(marks, k, truth, *, gaps=False):
    gauge = measure(marks, marks.width_px / k)
    ridge = gauge.measured.gaps if gaps else gauge.measured.strokes
    errors = []
    for x, y, width in truth:
        near = np.hypot(ridge.x - (x - marks.box[0]), ridge.y - (y - marks.box[1])) < 3 * k
        inside = near & (ridge.width < width * 1.5 * k)
        assert inside.any(), f"{width:.3f} mm was not seen"
        errors.append(np.median(ridge.width[inside]) / k - width)
    return np.array(errors)


def complaints(errors, bias, worst):
    found = [f"bias {errors.mean():.4f}"] if abs(errors.mean()) > bias else []
    return found + ([f"worst {np.abs(errors).max():.4f}"] if np.abs(errors).max() > worst else [])


@pytest.mark.parametrize(("dpi", "bias", "worst"), [(600, 0.003, 0.010), (300, 0.003, 0.020)])
def test_sixty_lines_at_any_angle_are_measured_true(dpi, bias, worst):
    errors = measured(dpi)
    assert complaints(errors, bias, worst) == []
    assert complaints(errors + 0.004, bias, worst) != []


@pytest.mark.parametrize(("dpi", "worst"), [(600, 0.010), (300, 0.020)])
def test_forty_gaps_at_any_angle_are_measured_true(dpi, worst):
    assert complaints(measured(dpi, gaps=True), 0.003, worst) == []


def test_a_file_of_ink_and_paper_is_measured_within_a_pixel():
    assert complaints(measured(600, one_bit=True), 0.004, 25.4 / 600) == []


@pytest.mark.parametrize("dpi", [300, 600])
def test_no_line_is_flagged_or_missed_beyond_a_hundredth_of_a_millimetre(dpi):
    """Lines just below and just above the limit, at many angles: each is on its side."""
    limit = 0.3
    widths = np.array([limit - 0.01, limit + 0.01] * 15)
    gray, k, truth = line_field(dpi, widths, seed=4, length_mm=7)
    marks = marks_of(gray)
    gauge = measure(marks, marks.width_px / k, GaugeLimits(stroke_mm=limit))
    flagged = np.array([
        any(np.hypot(place.x_mm * k - x + marks.box[0], place.y_mm * k - y + marks.box[1]) < 4 * k
            for place in gauge.thin)
        for x, y, _ in truth
    ])  # fmt: skip
    assert list(flagged) == list(widths < limit)


def test_scipys_distance_transform_agrees_within_its_own_pixel():
    """A second opinion by another way: twice the greatest distance inside the thresholded line."""
    dpi = 600
    gray, k, truth = drawn(dpi, False)
    distance = ndimage.distance_transform_edt(gray < 128)
    reach = int(2 * k)
    theirs = []
    for x, y, _ in truth:
        window = distance[int(y) - reach : int(y) + reach, int(x) - reach : int(x) + reach]
        theirs.append((2 * window.max() - 1) / k)
    difference = (np.array(theirs) - measured(dpi) - LINES) * dpi / 25.4
    assert abs(difference.mean()) < 0.5
    assert np.abs(difference).max() < 2


def scanned(gray):
    """Add up light as a scanner does and store it on the sRGB curve (IEC 61966-2-1), with grain."""
    light = 0.04 + 0.78 * gray / 255 + np.random.default_rng(1).normal(0, 0.008, gray.shape)
    light = np.clip(light, 0, 1)
    code = np.where(light <= 0.0031308, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055)
    return np.round(255 * code).astype(np.uint8)


def test_a_scan_is_measured_in_linear_light():
    """On the stored values every line would come out thinner by about 0.6 of a 600 dpi pixel."""
    gray, k, truth = drawn(600, False)
    scan = marks_of(scanned(gray))
    flat = np.where(np.abs(gray.astype(int) - 127.5) > 127, gray, scanned(gray))
    assert complaints(errors_of(scan, k, truth), 0.004, 0.015) == []
    assert errors_of(marks_of(flat.astype(np.uint8)), k, truth).mean() < -0.012

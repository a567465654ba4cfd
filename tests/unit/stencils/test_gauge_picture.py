"""Every narrow point of a gauged stencil carries a dot as wide as it, and no other does."""

import numpy as np
from PIL import Image, ImageDraw

from archgen.stencils import gauge_picture
from archgen.stencils.ridges import Ridge


def test_narrow_points_are_marked_as_one_by_one_with_a_round_pen():
    rng = np.random.default_rng(7)
    x, y = rng.uniform(-20, 330, (2, 400)).astype(np.float32)
    width = rng.uniform(1, 40, 400).astype(np.float32)
    canvas = Image.new("RGB", (360, 340), "white")
    gauge_picture._mark(canvas, Ridge(x, y, width, np.zeros((400, 2), np.float32), x), 25, 0.9, (9, 80, 200))
    expected = Image.new("RGB", canvas.size, "white")
    pen = ImageDraw.Draw(expected)
    for across, down, wide in zip(x, y, width, strict=True):
        if wide < 25:
            half = int(np.ceil(max(wide * np.float32(0.9) / 2 + 3, 3.5)))
            cx, cy = (int(np.round(24 + along * np.float32(0.9))) for along in (across, down))
            pen.ellipse((cx - half, cy - half, cx + half, cy + half), fill=(9, 80, 200))
    assert np.array_equal(np.asarray(canvas), np.asarray(expected))


def test_what_lies_outside_the_picture_is_left_out():
    canvas, far = Image.new("RGB", (90, 90), "white"), np.array([-300, 400], np.float32)
    gauge_picture._mark(
        canvas, Ridge(far, far, np.ones(2, np.float32), np.zeros((2, 2), np.float32), far), 9, 1, (0, 0, 0)
    )
    assert canvas.getextrema() == ((255, 255),) * 3


def test_nothing_is_marked_where_nothing_is_narrow():
    canvas = Image.new("RGB", (90, 90), "white")
    points = np.full(3, 30, np.float32)
    gauge_picture._mark(canvas, Ridge(points, points, points, np.zeros((3, 2), np.float32), points), 30, 1, (0, 0, 0))
    assert canvas.getextrema() == ((255, 255),) * 3

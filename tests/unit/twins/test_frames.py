"""Drawings that share a frame, and what stands inside it."""

import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageFilter, ImageOps

from archgen.twins.engine import find_pairs
from archgen.twins.model import Relation
from tests.unit.twins.pictures import drawing, items

FRAMES = ("ring", "triangle", "card")
SIDE = 480


def framed(frame, seed, *, share=0.3, weight=7, bold=0):
    """Draw a small drawing into a frame that has most of the ink."""
    out = Image.new("L", (SIDE, SIDE), 255)
    pen = ImageDraw.Draw(out)
    if frame == "ring":
        pen.ellipse((20, 20, 460, 460), outline=0, width=16 + bold)
        pen.ellipse((52, 52, 428, 428), outline=0, width=5 + bold)
        for angle in np.arange(24) * np.pi / 12:
            x, y = 240 + 204 * np.cos(angle), 240 + 204 * np.sin(angle)
            pen.ellipse((x - 7, y - 7, x + 7, y + 7), fill=0)
    elif frame == "triangle":
        pen.polygon([(240, 25), (462, 440), (18, 440)], outline=0, width=24 + bold)
    else:
        pen.rounded_rectangle((60, 15, 420, 465), 30, outline=0, width=8 + bold)
        pen.rounded_rectangle((84, 39, 396, 441), 14, outline=0, width=4 + bold)
        for x, y in ((100, 55), (340, 385)):
            pen.ellipse((x, y, x + 40, y + 40), fill=0)
    side = int(SIDE * share)
    place = ((SIDE - side) // 2, 230 if frame == "triangle" else (SIDE - side) // 2)
    out.paste(drawing(seed, (side, side), weight + bold), place)
    return out


@pytest.mark.parametrize("frame", FRAMES)
def test_one_frame_round_two_drawings_is_no_pair(frame):
    pictures = {f"d{seed}": framed(frame, seed, share=0.36) for seed in range(5)}
    assert find_pairs(items(**pictures)) == []


@pytest.mark.parametrize("frame", FRAMES)
@pytest.mark.parametrize(
    ("change", "relations"),
    [
        (lambda im: im.resize((300, 300), Image.Resampling.LANCZOS), {Relation.IDENTICAL, Relation.EDITED}),
        (lambda im: im.filter(ImageFilter.GaussianBlur(1.5)), {Relation.EDITED}),
        (ImageOps.mirror, {Relation.MIRRORED}),
        (lambda im: im.rotate(4, Image.Resampling.BICUBIC, expand=True, fillcolor=255), {Relation.EDITED}),
        (lambda im: im.point(lambda level: 255 if level > 140 else 0), set(Relation)),
    ],
    ids=["smaller", "soft", "mirrored", "tilted", "cut"],
)
def test_one_frame_with_the_same_drawing_is_a_pair(frame, change, relations):
    picture = framed(frame, 3)
    (pair,) = find_pairs(items(a=picture, b=change(picture)))
    assert pair.relation in relations


@pytest.mark.parametrize("frame", FRAMES)
def test_a_framed_drawing_with_heavier_lines_is_a_version(frame):
    (pair,) = find_pairs(items(a=framed(frame, 3), b=framed(frame, 3, bold=4)))
    assert pair.relation is Relation.VERSION


@pytest.mark.parametrize("frame", FRAMES)
def test_a_bare_frame_is_a_pair_with_itself(frame):
    bare = framed(frame, 3, share=0.02)
    (pair,) = find_pairs(items(a=bare, b=bare.resize((400, 400), Image.Resampling.LANCZOS)))
    assert pair.relation in {Relation.IDENTICAL, Relation.EDITED}


@pytest.mark.parametrize("frame", FRAMES)
def test_a_framed_drawing_with_a_part_taken_out_is_a_pair(frame):
    whole = framed(frame, 3, share=0.36)
    less = whole.copy()
    less.paste(255, (154, 230 if frame == "triangle" else 154, 240, 403 if frame == "triangle" else 326))
    (pair,) = find_pairs(items(a=whole, b=less))
    assert pair.transform == pytest.approx((1, 0, 0, 0, 1, 0), abs=0.01)

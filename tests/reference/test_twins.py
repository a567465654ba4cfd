"""The twins engine against scikit-image's photographs and transforms, and against imagehash's own hashes."""

from functools import cache
from pathlib import Path

import imagehash
import numpy as np
import pytest
import skimage
from PIL import Image, ImageEnhance, ImageOps
from skimage.transform import AffineTransform, SimilarityTransform, warp

from archgen.twins.description.prepare import prepare
from archgen.twins.engine import find_pairs
from archgen.twins.model import ComparedPicture

NAMES = (
    "astronaut.png",
    "camera.png",
    "chelsea.png",
    "coffee.png",
    "rocket.jpg",
    "coins.png",
    "motorcycle_left.png",
    "clock_motion.png",
)


@cache
def photograph(name: str) -> Image.Image:
    picture = Image.open(Path(skimage.__path__[0]) / "data" / name).convert("RGB")
    picture.thumbnail((512, 512))
    return picture


def warped(picture: Image.Image, transform: AffineTransform | SimilarityTransform) -> Image.Image:
    """The second picture shows at p what the first has at transform(p): scikit-image's definition of warp."""
    out = warp(np.asarray(picture), transform, mode="constant", cval=1.0, preserve_range=True)
    return Image.fromarray(np.clip(out, 0, 255).astype(np.uint8))


@pytest.mark.parametrize("name", NAMES[:5])
@pytest.mark.parametrize(
    "transform",
    [
        SimilarityTransform(scale=0.9, translation=(20, 12)),
        SimilarityTransform(scale=0.92, rotation=np.radians(3), translation=(30, 8)),
        AffineTransform(scale=(0.85, 0.9), shear=np.radians(2), translation=(30, 15)),
    ],
    ids=["part", "turned part", "sheared part"],
)
def test_the_alignment_is_that_of_scikit_image(name, transform):
    picture = photograph(name)
    (pair,) = find_pairs(
        [ComparedPicture("a", prepare(picture)), ComparedPicture("b", prepare(warped(picture, transform)))]
    )
    size = np.array(picture.size)
    corners = np.array([[0.1, 0.1], [0.9, 0.1], [0.1, 0.9], [0.9, 0.9], [0.5, 0.5]])
    xx, xy, x0, yx, yy, y0 = pair.transform
    found = corners @ np.array([[xx, xy], [yx, yy]]).T + [x0, y0]
    expected = transform(corners * size) / size
    assert np.abs(found - expected).max() < 0.006


@pytest.mark.parametrize("name", NAMES[:4])
def test_a_mirrored_copy_is_a_stranger_to_phash_and_found_by_the_engine(name):
    """About half the bits: McKeown and Buchanan 2023, Forensic Science International: Digital Investigation 44."""
    picture = photograph(name)
    mirrored = ImageOps.mirror(picture)
    far = imagehash.phash(picture) - imagehash.phash(mirrored)
    unrelated = [imagehash.phash(picture) - imagehash.phash(photograph(other)) for other in NAMES if other != name]
    assert far >= min(unrelated)
    (pair,) = find_pairs([ComparedPicture("a", prepare(picture)), ComparedPicture("b", prepare(mirrored))])
    assert pair.mirrored


def copies(picture: Image.Image) -> dict[str, Image.Image]:
    w, h = picture.size
    return {
        "half": picture.resize((w // 2, h // 2)),
        "mirrored": ImageOps.mirror(picture),
        "turned": picture.transpose(Image.Transpose.ROTATE_90),
        "dark": ImageEnhance.Brightness(picture).enhance(0.7),
        "part": picture.crop((w // 12, h // 16, w, h)),
        "small part": picture.crop((w // 10, h // 10, w * 9 // 10, h * 9 // 10)),
        "tilted": picture.rotate(3, Image.Resampling.BICUBIC, fillcolor="white"),
        "framed": ImageOps.expand(picture, w // 12, "black"),
    }


def eight_turns(picture: Image.Image) -> list[Image.Image]:
    sides = (picture, ImageOps.mirror(picture))
    return [side.rotate(degrees, expand=True) for side in sides for degrees in (0, 90, 180, 270)]


def test_the_engine_finds_what_perceptual_hashes_miss():
    """The hashes are given the least distance of eight turns and a usual limit (common practice, no source)."""
    pictures = {
        (name, kind): copy
        for name in NAMES[:6]
        for kind, copy in {"0": photograph(name), **copies(photograph(name))}.items()
    }
    keys = {"/".join(key): key for key in pictures}
    pairs = find_pairs([ComparedPicture(text, prepare(pictures[key])) for text, key in keys.items()])
    found = {(keys[pair.a], keys[pair.b]) for pair in pairs}
    assert all(a[0] == b[0] for a, b in found)
    wanted = [(name, kind) for name, kind in pictures if kind != "0"]
    right = [{((name, "0"), (name, kind)), ((name, kind), (name, "0"))} & found for name, kind in wanted]
    recall = np.mean([bool(one) for one in right])
    assert recall >= 0.97
    for method, most in ((imagehash.phash, 5), (imagehash.dhash, 2)):
        hashes = {key: [method(turned) for turned in eight_turns(pictures[key])] for key in pictures}
        hits = [min(hashes[name, "0"][0] - turned for turned in hashes[name, kind]) <= most for name, kind in wanted]
        assert np.mean(hits) < recall - 0.2

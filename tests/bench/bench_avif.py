"""What AVIF saves at equal likeness: python -m tests.bench.bench_avif [--pictures FOLDER] (needs scikit-image).

Of each picture (photographs of scikit-image, the demo's photos, those of a folder) both formats are made at the size of
pages. Told are the bytes and the structural similarity of both as the program makes them; then at which of AVIF's
qualities that similarity reaches WebP's, and how many bytes fewer it takes there; and the processor time of both.
"""

import argparse
import io
import time
from collections.abc import Iterator
from pathlib import Path
from statistics import mean, median

import numpy as np
from PIL import Image
from skimage import data
from skimage.metrics import structural_similarity

from archgen.images import derivatives

DEMO = Path(__file__).parents[2] / "content" / "pieces"
LARGEST_PX = 1400


def pictures(folder: Path | None) -> Iterator[tuple[str, Image.Image]]:
    for name in ("astronaut", "chelsea", "coffee", "rocket", "retina"):
        yield name, Image.fromarray(getattr(data, name)())
    found = sorted(DEMO.glob("*/photos/*.jpg"))[::7]
    for path in (*found, *(sorted(folder.rglob("*.jpg")) if folder else ())):
        with Image.open(path) as opened:
            yield path.name, opened.convert("RGB")


def at_page_size(picture: Image.Image) -> Image.Image:
    while max(picture.size) > LARGEST_PX:
        picture = picture.reduce(2)
    return picture


def likeness(picture: Image.Image, content: bytes) -> float:
    made = np.asarray(Image.open(io.BytesIO(content)).convert("RGB"))
    return float(structural_similarity(np.asarray(picture), made, channel_axis=2))


def timed(encode, picture: Image.Image) -> tuple[bytes, float]:
    start = time.process_time()
    return encode(picture), time.process_time() - start


def at_equal_likeness(picture: Image.Image, goal: float) -> tuple[int, int]:
    """Give the lowest quality that reaches a likeness, and its bytes."""
    low, high, found = 20, 95, b""
    usual = derivatives.AVIF_QUALITY
    try:
        while low < high:
            derivatives.AVIF_QUALITY = (low + high) // 2
            content = derivatives.public_avif(picture)
            if likeness(picture, content) >= goal:
                high, found = derivatives.AVIF_QUALITY, content
            else:
                low = derivatives.AVIF_QUALITY + 1
        derivatives.AVIF_QUALITY = low
        return low, len(found or derivatives.public_avif(picture))
    finally:
        derivatives.AVIF_QUALITY = usual


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--pictures", type=Path, help="a folder with more photographs")
    options.add_argument("--large", action="store_true", help="as the largest copy is made, faster and less small")
    arguments = options.parse_args()
    if arguments.large:
        derivatives.AVIF_SPEED = derivatives.AVIF_LARGE_SPEED
    else:
        derivatives.AVIF_LARGE_SPEED = derivatives.AVIF_SPEED
    saved, as_made, nearer, spent = [], [], [], [0.0, 0.0]
    for name, picture in pictures(arguments.pictures):
        small = at_page_size(picture)
        webp, webp_s = timed(derivatives.public_webp, small)
        avif, avif_s = timed(derivatives.public_avif, small)
        goal, reached = likeness(small, webp), likeness(small, avif)
        quality, least = at_equal_likeness(small, goal)
        saved.append(1 - least / len(webp))
        as_made.append(1 - len(avif) / len(webp))
        nearer.append(reached - goal)
        spent = [spent[0] + webp_s, spent[1] + avif_s]
        print(
            f"{name:24} {small.width:4} x {small.height:4}  WebP {len(webp):7} {goal:.4f}  AVIF {len(avif):7} "
            f"{reached:.4f} ({as_made[-1]:+.0%})  equal at {quality}: {saved[-1]:+.0%}",
            flush=True,
        )
    print(
        f"{len(saved)} pictures; fewer bytes at equal likeness: mean {mean(saved):.1%}, median {median(saved):.1%}; "
        f"as made: mean {mean(as_made):.1%}, likeness {mean(nearer):+.4f} (at worst {min(nearer):+.4f}); "
        f"{spent[1] / spent[0]:.1f} times the time"
    )


if __name__ == "__main__":
    main()

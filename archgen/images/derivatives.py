"""Make the smaller copies that pages show; knows sizes and encodings, not pieces.

Sizes come from exact halves (box averages of whole pixels): one free resize of a 12-megapixel photo took longer
than decoding it and writing all its copies.
"""

import zlib
from collections.abc import Sequence
from io import BytesIO

from PIL import Image

# The largest copy's long side lies under this, at about 2000 for the usual cameras; its half and quarter follow.
LARGEST_PX = 3200
COPIES = 3
# A copy under this serves nobody.
SMALLEST_PX = 320
# What a case sheet prints about 80 mm wide at 300 dpi.
PRINT_PX = 1000

SCREEN_QUALITY = 80
PUBLIC_QUALITY = 78
# Method 2 takes half the time of the default 4 and gives 3 % more bytes.
PUBLIC_METHOD = 2
# Tuned for structural similarity, this quality has that of our WebP or more (tests/bench/bench_avif.py). Speed 8 takes
# four and a half times as long as WebP, 9 half as long again; the largest copy has three quarters of all pixels.
AVIF_QUALITY, AVIF_SPEED, AVIF_LARGE_SPEED, AVIF_LARGE_PX = 60, 8, 9, 1200
# Line art and tiny pictures hardly gain; then a second file is no use.
AVIF_LEAST_SHARE = 0.95


def first_factor(width: int, height: int) -> int:
    """Say how many times smaller the largest copy is: a power of two."""
    factor = 1
    while max(width, height) / factor >= LARGEST_PX:
        factor *= 2
    return factor


def halves(picture: Image.Image) -> list[Image.Image]:
    """Give the picture and its half and quarter, as far as they are of use, largest first."""
    sizes = [picture]
    while len(sizes) < COPIES and max(sizes[-1].size) // 2 >= SMALLEST_PX:
        sizes.append(sizes[-1].reduce(2))
    return sizes


def nearest_to_print(sizes: Sequence[tuple[int, int]]) -> int:
    """Give the index of the size that a printed sheet uses."""
    return min(range(len(sizes)), key=lambda index: abs(max(sizes[index]) - PRINT_PX))


def screen_jpeg(picture: Image.Image) -> bytes:
    """Encode a photo for pages opened from disk, where quick matters more than small."""
    return _encoded(picture, "JPEG", quality=SCREEN_QUALITY)


def public_webp(picture: Image.Image) -> bytes:
    """Encode a picture for published pages: nothing but pixels."""
    return _encoded(picture.convert("RGB"), "WEBP", quality=PUBLIC_QUALITY, method=PUBLIC_METHOD)


def public_avif(picture: Image.Image) -> bytes:
    """Encode a picture for published pages again, for browsers that read the smaller format; likewise only pixels."""
    speed = AVIF_SPEED if max(picture.size) < AVIF_LARGE_PX else AVIF_LARGE_SPEED
    options = {"quality": AVIF_QUALITY, "speed": speed, "advanced": {"tune": "ssim"}}
    return _encoded(picture.convert("RGB"), "AVIF", max_threads=1, **options)


def is_worthwhile(smaller: Sequence[bytes], usual: Sequence[bytes]) -> bool:
    """Say whether a second set of files saves enough to be there."""
    return sum(map(len, smaller)) < AVIF_LEAST_SHARE * sum(map(len, usual))


def gray_png(picture: Image.Image) -> bytes:
    """Encode line art without loss: by runs of one value, in half the time of all repetitions.

    Dense drawings take fewer bytes so; clean ones up to a twentieth more.
    """
    return _encoded(picture, "PNG", compress_level=6, compress_type=zlib.Z_RLE)


def _encoded(picture: Image.Image, file_format: str, **options: object) -> bytes:
    picture.info.clear()  # Pillow writes a comment or a profile it finds here
    buffer = BytesIO()
    picture.save(buffer, file_format, **options)
    return buffer.getvalue()

"""Difference hashes of an upright picture and of its mirror image; knows pixels only."""

from PIL import Image, ImageOps

# The hash looks at 9 x 8 samples; what is larger than this only costs time.
_ENOUGH_PX = 128


def hashes(picture: Image.Image) -> tuple[str, str]:
    """Give the 64-bit difference hash of the picture and of its mirror image, hexadecimal.

    The difference hash keeps left-right symmetric art apart from JPEG noise, which a DCT hash does not: half of the
    terms of such art are near zero and their signs are chance.
    """
    from imagehash import dhash  # noqa: PLC0415  half a second that a build with nothing new need not wait for

    factor = max(max(picture.size) // _ENOUGH_PX, 1)
    gray = picture.convert("L")
    # Mirrored before it is reduced: the last column of a reduced picture may stand for fewer pixels.
    return str(dhash(gray.reduce(factor))), str(dhash(ImageOps.mirror(gray).reduce(factor)))

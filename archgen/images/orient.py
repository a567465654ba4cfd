"""Turn pictures the way their camera was held: the eight values of the EXIF Orientation tag; knows no files."""

from PIL import Image

# Exif 2.32, tag 0x0112: what has to be done to the stored pixels to see the picture upright.
_TURN = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}


def upright(picture: Image.Image, orientation: int) -> Image.Image:
    """Give the picture as it was seen; values outside 1 to 8 mean that it is upright already."""
    turn = _TURN.get(orientation)
    return picture if turn is None else picture.transpose(turn)


def upright_size(width: int, height: int, orientation: int) -> tuple[int, int]:
    """Give the size after turning."""
    return (height, width) if orientation in {5, 6, 7, 8} else (width, height)

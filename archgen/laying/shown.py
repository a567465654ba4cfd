"""Draw lines as they lie on another picture: violet with a light edge, clear elsewhere."""

import cv2
import numpy as np
import numpy.typing as npt
from PIL import Image

_VIOLET = np.array([74, 42, 138], np.uint8)


def lines_layer(places: npt.NDArray[np.floating], size: tuple[int, int]) -> Image.Image:
    """Draw points of lines, in pixels of a picture of this width and height, as a layer to lie on it."""
    width, height = size
    core = np.zeros((height, width), np.uint8)
    at = np.round(places).astype(int)
    at = at[(at >= 0).all(1) & (at[:, 0] < width) & (at[:, 1] < height)]
    core[at[:, 1], at[:, 0]] = 255
    core = np.asarray(cv2.dilate(core, np.ones((2, 2), np.uint8)), np.uint8)
    edge = cv2.GaussianBlur(cv2.dilate(core, np.ones((5, 5), np.uint8)), (0, 0), 0.8)
    pixels = np.where(core[..., None] > 0, _VIOLET, np.uint8(255))
    return Image.fromarray(np.dstack([pixels, edge]), "RGBA")

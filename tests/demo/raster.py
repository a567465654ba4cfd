"""Anti-aliased stencils from the vectors, at any resolution."""

import numpy as np
from PIL import Image, ImageDraw
from scipy import ndimage as ndi

from tests.demo.design import Design, Shape, Stroke
from tests.demo.geom import Array

# How far the edge of what is solid black moves when lines get twice as heavy.
BLACK_EDGE_MM = 0.45


def draw_stroke(d: ImageDraw.ImageDraw, pts: Array, width: Array, value: int) -> None:
    """One variable-width stroke in pixel coordinates: quads and round joints."""
    r = width / 2
    if len(pts) < 2:
        return
    t = np.gradient(pts, axis=0)
    t /= np.maximum(np.hypot(t[:, 0], t[:, 1]), 1e-9)[:, None]
    n = np.stack([-t[:, 1], t[:, 0]], 1) * r[:, None]
    quad = np.hstack([pts[:-1] + n[:-1], pts[1:] + n[1:], pts[1:] - n[1:], pts[:-1] - n[:-1]]).tolist()
    box = np.hstack([pts - r[:, None], pts + r[:, None]]).tolist()
    for q in quad:
        d.polygon(q, fill=value)
    for b in box:
        d.ellipse(b, fill=value)


def stencil(
    design: Design, dpi: float = 600, weight: float = 1.0, over: int = 2, mirrored: bool = False
) -> Image.Image:
    """Black line art on white, 8-bit grey. `weight` scales every line width."""
    k = dpi / 25.4 * over
    size = (int(np.ceil(design.width * k / over)) * over, int(np.ceil(design.height * k / over)) * over)
    im, solid = Image.new("L", size, 255), Image.new("L", size, 0)
    d, black = ImageDraw.Draw(im), ImageDraw.Draw(solid)
    for it in design.items:
        if isinstance(it, Shape) and it.stencil:
            outline = (it.poly * k).ravel().tolist()
            d.polygon(outline, fill=0 if it.fill else 255)
            black.polygon(outline, fill=255 if it.black else 0)
        elif isinstance(it, Stroke):
            draw_stroke(d, it.pts * k, np.maximum(it.width * weight * k, over * 1.0), 255 if it.white else 0)
    if any(isinstance(it, Shape) and it.black for it in design.items):
        im.paste(0, mask=_weighed(solid, (weight - 1) * BLACK_EDGE_MM * k))
    im = im.reduce(over)
    return im.transpose(Image.Transpose.FLIP_LEFT_RIGHT) if mirrored else im


def _weighed(solid: Image.Image, out: float) -> Image.Image:
    """Move the edge of what is solid black outwards by so many pixels, or inwards."""
    if not out:
        return solid
    inside = np.asarray(solid) > 127
    grown = ndi.distance_transform_edt(~inside) < out if out > 0 else ndi.distance_transform_edt(inside) > -out
    return Image.fromarray(grown.astype(np.uint8) * 255)


def transparent(grey: Image.Image) -> Image.Image:
    """The same line art as black ink on a transparent ground (LA)."""
    alpha = Image.eval(grey, lambda v: 255 - v)
    return Image.merge("LA", (Image.new("L", grey.size, 0), alpha))

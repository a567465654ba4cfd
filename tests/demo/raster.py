"""Anti-aliased stencils from the vectors, at any resolution."""

import numpy as np
from PIL import Image, ImageDraw

from tests.demo.design import Design, Shape, Stroke
from tests.demo.geom import Array


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
    im = Image.new("L", size, 255)
    d = ImageDraw.Draw(im)
    for it in design.items:
        if isinstance(it, Shape):
            if it.stencil:
                d.polygon((it.poly * k).ravel().tolist(), fill=0 if it.fill else 255)
        elif isinstance(it, Stroke):
            draw_stroke(d, it.pts * k, np.maximum(it.width * weight * k, over * 1.0), 255 if it.white else 0)
    im = im.reduce(over)
    return im.transpose(Image.Transpose.FLIP_LEFT_RIGHT) if mirrored else im


def transparent(grey: Image.Image) -> Image.Image:
    """The same line art as black ink on a transparent ground (LA)."""
    alpha = Image.eval(grey, lambda v: 255 - v)
    return Image.merge("LA", (Image.new("L", grey.size, 0), alpha))

"""A vase with a leaf: a reference in tones and the stencil drawn from it, unlike their mirror images."""

from PIL import Image, ImageDraw

from archgen.shading.light import gray_of

WIDE, HIGH = 500, 700
VASE = [(120, 640), (80, 420), (150, 250), (140, 180), (310, 180), (300, 250), (390, 430), (340, 640)]
LEAF = [(240, 180), (300, 60), (440, 30), (400, 130)]
BAND = [(82, 430), (110, 350), (352, 350), (388, 430), (384, 470), (88, 470)]


def reference():
    """Paint it: a dark band, a shaded side, a leaf in a middle tone, a small light."""
    picture = Image.new("L", (WIDE, HIGH), gray_of(97))
    pen = ImageDraw.Draw(picture)
    pen.polygon(VASE, fill=gray_of(88))
    pen.polygon([(220, 640), (260, 250), (250, 180), *VASE[4:]], fill=gray_of(60))
    pen.polygon(LEAF, fill=gray_of(45))
    pen.polygon(BAND, fill=gray_of(12))
    pen.ellipse((200, 392, 218, 410), fill=255)
    return picture


def stencil():
    """Draw its lines."""
    picture = Image.new("L", (WIDE, HIGH), 255)
    pen = ImageDraw.Draw(picture)
    for shape in (VASE, LEAF, BAND):
        pen.line([*shape, shape[0]], fill=0, width=4, joint="curve")
    return picture

"""A gray PNG comes into a PDF as it is packed, and shows what it showed."""

import datetime as dt
import io

import numpy as np
import pikepdf
import pypdfium2
import pytest
from PIL import Image, ImageDraw

from archgen.render.pdf_pictures import packed
from archgen.render.typst_pdf import make_pdf

TEMPLATE = """
#set document(title: "picture")
#set page(width: 60pt, height: 40pt, margin: 0pt)
#image("/drawing.png", alt: "a drawing", fit: "stretch", width: 60pt, height: 40pt)
"""


def drawing(mode):
    gray = Image.linear_gradient("L").resize((60, 40))
    ImageDraw.Draw(gray).ellipse((8, 5, 30, 32), outline=0, width=3)
    if mode == "colours":
        return Image.merge("RGB", (gray, gray.rotate(180), gray)).quantize(13)
    return gray.quantize(7) if mode == "P" else gray.convert(mode)


def png_of(picture, **options):
    result = io.BytesIO()
    picture.save(result, "PNG", **options)
    return result.getvalue()


@pytest.mark.parametrize("mode", ["L", "1", "P", "colours"])
def test_a_packed_drawing_prints_as_it_was(mode):
    picture = drawing(mode)
    pdf = make_pdf(TEMPLATE, {}, {"drawing.png": png_of(picture)}, dt.date(2026, 5, 1))
    page = np.asarray(pypdfium2.PdfDocument(pdf)[0].render().to_pil().convert("L"), int)
    assert np.abs(page - np.asarray(picture.convert("L"), int)).max() <= 2
    with pikepdf.open(io.BytesIO(pdf)) as document:
        (image,) = (one for one in document.objects if isinstance(one, pikepdf.Stream) and one.get("/Width") == 60)
        assert image.read_raw_bytes() == packed(png_of(picture)).rows


@pytest.mark.parametrize(
    ("picture", "options"),
    [
        (drawing("L").convert("RGB"), {}),
        (drawing("P"), {"transparency": 0}),
        (drawing("L").convert("LA"), {}),
        (drawing("L").convert("I;16"), {}),
    ],
)
def test_what_a_pdf_cannot_take_as_it_is_packed_is_left(picture, options):
    assert packed(png_of(picture, **options)) is None


def test_an_interlaced_png_is_left():
    plain = png_of(drawing("L"))
    assert packed(plain)
    assert packed(plain[:28] + b"\x01" + plain[29:]) is None  # the last byte of its head, ISO/IEC 15948, 11.2.2

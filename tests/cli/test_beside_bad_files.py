"""A bad file beside a good stencil: the good one prints to the same byte, the bad one says why it doesn't."""

import io
import zlib

import pytest
from PIL import Image

from tests.cli.archive import add_piece
from tests.unit.images.pictures import encoded, line_art

RECORD = 'title = "Heron"\n[[stencil]]\nfile = "stencils/good.png"\nversion = 1\nwidth = "40 mm"\n'
BAD = '[[stencil]]\nfile = "stencils/{name}"\nversion = 2\nparent = 1\nwidth = "50 mm"\n'
SVG = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 80">{inside}</svg>'
PNG = encoded(line_art(), "PNG")


def pdf(inside, box="0 0 200 200"):
    return (
        b"%PDF-1.4\n1 0 obj<</Type/Catalog/Pages 2 0 R>>endobj\n2 0 obj<</Type/Pages/Kids[3 0 R]/Count 1>>endobj\n"
        b"3 0 obj<</Type/Page/Parent 2 0 R/MediaBox[" + box.encode() + b"]/Contents 4 0 R>>endobj\n4 0 obj" + inside
    )


def a_bomb():
    content = zlib.compress(zlib.compress(b"0 0 m 1 1 l S\n" * 20_000_000, 1))
    head = f"<</Length {len(content)}/Filter[/FlateDecode/FlateDecode]>>stream\n"
    return head.encode() + content + b"\nendstream endobj\ntrailer<</Root 1 0 R>>\n%%EOF"


def bad_frames():
    stream = io.BytesIO()
    line_art().save(stream, "TIFF", compression="tiff_lzw")
    raw = bytearray(stream.getvalue())
    raw[20:60] = b"\xff" * 40
    return bytes(raw)


KINDS = {
    "empty.png": b"",
    "cut.png": PNG[: len(PNG) // 2],
    "text.jpg": b"Dear diary",
    "damaged.tif": bad_frames(),
    "cut.webp": encoded(line_art(), "WEBP")[:90],
    "cut.heic": encoded(line_art().convert("RGB"), "HEIF")[:200],
    "blank.png": encoded(Image.new("L", (300, 200), 255), "PNG"),
    "nested.svg": SVG.format(inside="<g>" * 60_000 + "</g>" * 60_000).encode(),
    "hang.svg": SVG.format(
        inside='<filter id="f"><feGaussianBlur stdDeviation="90"/></filter>'
        + '<g filter="url(#f)">' * 40 + '<path d="M1 1h90v70z"/>' + "</g>" * 40
    ).encode(),
    "no-size.svg": SVG.format(inside='<path d="M0 0h9v9z"/>').replace("0 0 100 80", "0 0 0 0").encode(),
    "bomb.pdf": pdf(a_bomb()),
    "torn.pdf": pdf(b"<</Length 9"),
}  # fmt: skip


@pytest.fixture(scope="module")
def alone():
    return {}


@pytest.mark.parametrize("name", list(KINDS))
def test_a_bad_version_leaves_the_good_one_as_it_prints_alone(terminal, name, alone):
    folder = add_piece(terminal.root, "2026-06-06-heron", RECORD, "good.png")
    if not alone:
        assert terminal.run("reprint", "heron", "--version", "1", "--out", "alone.pdf").code == 0
        alone["print"] = (terminal.root.parent / "alone.pdf").read_bytes()
    (folder / "piece.toml").write_text(RECORD + BAD.format(name=name))
    (folder / "stencils" / name).write_bytes(KINDS[name])
    assert terminal.run("reprint", "heron", "--version", "1", "--out", "beside.pdf").code == 0
    assert (terminal.root.parent / "beside.pdf").read_bytes() == alone["print"]
    ran = terminal.run("reprint", "heron", "--version", "2", "--out", "bad.pdf")
    assert ran.code in (1, 2, 3, 4), (ran.out, ran.err)
    assert name in ran.err
    assert "Traceback" not in ran.out + ran.err
    assert not (terminal.root.parent / "bad.pdf").exists()

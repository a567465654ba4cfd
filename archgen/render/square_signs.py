"""Square pictures of one sign: a letter set in the faces every machine has, or a picture put on paper; as PNG.

What launchers cut round or otherwise keeps the middle four fifths of a square (W3C, Web Application Manifest, maskable
icons: a circle whose radius is two fifths of the icon's side).
"""

import io
import json
from pathlib import Path

import typst
from PIL import Image

from archgen.render.typst_pdf import fonts

# The longest side of what stands in the square: all of it is seen in a square, and in the circle that may be cut of it.
_IN_SQUARE, _IN_CIRCLE = 0.72, 0.54
_INK, _PAPER = "#1b1920", "#fbfbf9"
_LETTER = b"""#let r = json(bytes(sys.inputs.data))
#set page(width: 512pt, height: 512pt, margin: 0pt, fill: rgb(r.ink))
#set text(font: json(bytes(sys.inputs.faces)), fallback: false, fill: rgb(r.paper))
#set text(top-edge: "bounds", bottom-edge: "bounds")
#context {
  let one = measure(text(100pt, r.letter))
  align(center + horizon, text(100pt * (r.share * 512pt / calc.max(one.width, one.height)), r.letter))
}
"""


def letter_square(letter: str, side: int, *, is_cut: bool = False) -> bytes:
    """Set one letter, light on ink; `is_cut` leaves room for a circle to be cut out."""
    loaded, faces, _ = fonts()
    said = {"letter": letter, "ink": _INK, "paper": _PAPER, "share": _IN_CIRCLE if is_cut else _IN_SQUARE}
    inputs = {"data": json.dumps(said), "faces": json.dumps(faces)}
    drawn = typst.Compiler(_LETTER, font_paths=loaded, sys_inputs=inputs).compile(format="png", ppi=72.0 * side / 512)
    if not isinstance(drawn, bytes):
        raise TypeError("one page gives one picture")
    with Image.open(io.BytesIO(drawn)) as opened:
        return _png(opened.convert("RGB").resize((side, side)))


def picture_square(picture: Path, side: int, *, is_cut: bool = False) -> bytes:
    """Put a picture on paper, whole; `is_cut` leaves room for a circle to be cut out.

    Raises:
        OSError: It cannot be read.
    """
    square = Image.new("RGB", (side, side), "white")
    with Image.open(picture) as opened:
        drawn = opened.convert("RGB")
    most = round(side * (_IN_CIRCLE if is_cut else _IN_SQUARE))
    scale = most / max(drawn.size)
    small = drawn.resize((max(1, round(drawn.width * scale)), max(1, round(drawn.height * scale))))
    square.paste(small, ((side - small.width) // 2, (side - small.height) // 2))
    return _png(square)


def _png(picture: Image.Image) -> bytes:
    buffer = io.BytesIO()
    picture.save(buffer, "PNG", optimize=True)
    return buffer.getvalue()

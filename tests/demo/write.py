"""Write the demo archive: pictures, records, registers, pages. The only module here that touches the disk."""

import io
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path

import numpy as np
import pillow_heif
from PIL import Image

from tests.demo import edits, german
from tests.demo.design import Design
from tests.demo.drawing import FINE, PRINTED, composed, motif
from tests.demo.embedded import with_rights
from tests.demo.exif import Shot, exif_block
from tests.demo.geom import Array
from tests.demo.icc import display_p3, to_display_p3
from tests.demo.letter import letter
from tests.demo.limb import Scene, View
from tests.demo.photo import burst, render
from tests.demo.piece import DemoPiece, Drawing, PhotoFile, ReferenceFile, StencilFile
from tests.demo.pieces import PIECES
from tests.demo.raster import stencil, transparent
from tests.demo.reference import MARGIN, paint, paper
from tests.demo.registers import PAGES
from tests.demo.relief import seen_at
from tests.demo.shade import Maps, ink
from tests.demo.to_have import DESIGNS, DemoDesign

STENCIL_DPI, DESIGN_DPI = 600, 330
INK_PPM = 20.0
# At 76 the grain of a 12-megapixel photo costs 0.8 MB; below 70 it breaks into blocks (looked at).
PHOTO_QUALITY, HEIC_QUALITY, REFERENCE_QUALITY = 76, 55, 82
DIRECTIONS = np.array([(-1.0, -1.0), (1.0, -0.8), (0.2, 1.0)])


def write_archive(out: Path, pieces: Iterable[str] | None = None, scale: float = 1.0) -> list[str]:
    """Write the archive folder, or some of its pieces, and give the pieces' ids.

    Args:
        out: The archive folder; files in it are overwritten, none is deleted.
        pieces: Ids of the pieces; all when None.
        scale: Pixels against the full pictures: at 0.1 a 12-megapixel photo is 302 x 403. Millimetres stay.
    """
    wanted = None if pieces is None else set(pieces)
    for name, text in PAGES.items():
        _put(out / name, text.encode())
    chosen = [piece for piece in PIECES if wanted is None or piece.id in wanted]
    for piece in chosen:
        write_piece(out, piece, scale)
    for design in DESIGNS if wanted is None else ():
        write_design(out, design, scale)
    return [piece.id for piece in chosen]


def write_piece(out: Path, piece: DemoPiece, scale: float = 1.0) -> None:
    """Write one piece's folder."""
    folder, studio = out / "pieces" / piece.id, Studio(piece, scale)
    for drawn in piece.stencils:
        _put(folder / "stencils" / drawn.name, studio.stencil(drawn))
    for photo in piece.photos:
        _put(folder / "photos" / photo.name, studio.photo(photo))
    for reference in piece.references:
        _put(folder / "references" / reference.name, studio.reference(reference))
    for sheet in piece.letters:
        _put(folder / sheet.name, letter(sheet.title, sheet.paragraphs))
    landmarks = studio.landmarks(*piece.landmarks) if piece.landmarks else ""
    _put(folder / "piece.toml", piece.record.replace("$landmarks\n", landmarks).encode())
    texts = {"notes.md": piece.notes, "story.md": piece.story, "story.de.md": german.STORIES.get(piece.id)}
    for name, text in texts.items():
        if text:
            _put(folder / name, text.encode())


def write_design(out: Path, design: DemoDesign, scale: float = 1.0) -> None:
    """Write the folder of a design that waits to be tattooed: its drawing on a sheet, its record and words."""
    folder = out / "designs" / design.id
    drawn = composed([(_design(part), part.at) for part in design.parts], len(design.parts))
    lines = stencil(drawn, DESIGN_DPI * scale)
    edge = round(max(lines.size) * 0.08)
    sheet = Image.new("L", (lines.width + 2 * edge, lines.height + 2 * edge), 255)
    sheet.paste(lines, (edge, edge))
    name = tomllib.loads(design.record)["picture"][0]["file"]
    _put(folder / name, _encoded(sheet, "PNG", compress_level=9))
    for file, text in {"design.toml": design.record, "story.md": design.story, "story.de.md": design.german}.items():
        _put(folder / file, text.encode())


@dataclass
class Studio:
    """Makes the files of one piece; the drawing and its shading are made once."""

    piece: DemoPiece
    scale: float = 1.0

    @cached_property
    def design(self) -> Design:
        return self.drawn(len(self.parts))

    @property
    def parts(self) -> tuple[Drawing, ...]:
        """Give the drawings of the piece, those behind first."""
        return (self.piece.drawing, *self.piece.more)

    def drawn(self, count: int) -> Design:
        """Give the first so many drawings as one, in the place of the whole."""
        if len(self.parts) == 1:
            return _design(self.piece.drawing)
        return composed([(_design(part), part.at) for part in self.parts], count)

    @cached_property
    def _inks(self) -> dict[tuple[str, int], Maps]:
        return {}

    def ink(self, style: str, count: int | None = None) -> Maps:
        """Give the drawing as it is on skin, or as much of it as was done by then."""
        known = style, count or len(self.parts)
        if known not in self._inks:
            ppm = INK_PPM if self.scale > 0.4 and len(self.parts) == 1 else 10.0
            self._inks[known] = ink(self.drawn(known[1]), ppm, style, seed=self.piece.photos[0].scene.seed)
        return self._inks[known]

    @property
    def dpi(self) -> float:
        return STENCIL_DPI * self.scale

    def stencil(self, drawn: StencilFile) -> bytes:
        """Draw one version as PNG."""
        design = self.design if drawn.part is None else _design(self.parts[drawn.part])
        im = stencil(design, self.dpi, drawn.weight, mirrored=drawn.mirrored)
        if drawn.bottom < 1:
            im = im.crop((0, 0, im.width, round(im.height * drawn.bottom)))
        if drawn.scanned:
            im = edits.scanned(im, self.dpi / 25.4)
        if drawn.clear:
            im = transparent(im)
        return _encoded(im, "PNG", dpi=(self.dpi, self.dpi), compress_level=9)

    def scene(self, photo: PhotoFile) -> Scene:
        """Give the scene of one shot of a burst."""
        return burst(photo.scene, photo.shot + 1)[photo.shot]

    def size(self, photo: PhotoFile) -> tuple[int, int]:
        """Give the upright picture's size."""
        long_side = max(64, round(photo.long_side * self.scale))
        short = round(long_side * 3 / 4)
        return (short, long_side) if photo.scene.portrait else (long_side, short)

    def photo(self, photo: PhotoFile) -> bytes:
        """Take, edit and encode one photo."""
        style = photo.style or self.piece.drawing.style
        im = render(self.ink(style, photo.parts), self.scene(photo), self.size(photo))
        if photo.edit:
            im = edits.EDITS[photo.edit](im)
        if photo.name.endswith(".heic"):
            return _heic(im, photo)
        quality = 62 if photo.edit == "messenger" else PHOTO_QUALITY
        if photo.edit == "messenger":  # a messenger strips everything
            return _encoded(im, "JPEG", quality=quality)
        shot = Shot(photo.taken, position=photo.position)
        if photo.turned:
            small = im.copy()
            im = im.transpose(Image.Transpose.ROTATE_90)
            small.thumbnail((160, 160))
            shot = replace(
                shot,
                orientation=6,
                serial="3041177052",
                thumbnail=_encoded(small.transpose(Image.Transpose.ROTATE_90), "JPEG", quality=70),
            )
        return _encoded(im, "JPEG", quality=quality, exif=b"Exif\0\0" + exif_block(shot))

    def reference(self, reference: ReferenceFile) -> bytes:
        """Paint one reference as JPEG."""
        drawn = replace(self.piece.drawing, motif=reference.motif or self.piece.drawing.motif)
        long_side = max(64, round(reference.long_side * self.scale))
        im = paint(
            drawn.motif, motif(drawn.motif, None, drawn.seed, drawn.flip), reference.kind, reference.seed, long_side
        )
        data = _encoded(im.convert("CMYK") if reference.cmyk else im, "JPEG", quality=REFERENCE_QUALITY)
        return with_rights(data, reference.rights) if reference.rights else data

    def landmarks(self, on_stencil: str, *pictures: str) -> str:
        """Write a stencil's landmarks: where its marks are in its file, on photos and on references."""
        version = next(s for s in self.piece.stencils if s.name == on_stencil)
        points = self.marks(version.weight)
        drawn = points
        if version.mirrored:
            drawn = np.stack([self.design.width - points[:, 0], points[:, 1]], axis=1)
        return "".join(
            f'\n  [[stencil.landmark]]\n  stencil = [{a:.0f}, {b:.0f}]\n  on      = "{name}"\n'
            f"  at      = [{x:.0f}, {y:.0f}]\n"
            for name, seen in (self._seen(picture, points) for picture in pictures)
            for (a, b), (x, y) in zip(drawn * self.dpi / 25.4, seen, strict=True)
        )

    def _seen(self, picture: str, points: Array) -> tuple[str, Array]:
        """Say where points of the drawing lie in a photo or a reference: its path in the piece, pixels."""
        for photo in self.piece.photos:
            if photo.name == picture:
                view = View(self.scene(photo), self.size(photo), self.design.width, self.design.height)
                return f"photos/{picture}", view.project(points)
        reference = next(r for r in self.piece.references if r.name == picture)
        first = motif(self.piece.drawing.motif, None, self.piece.drawing.seed, self.piece.drawing.flip)
        size = paper(first, max(64, round(reference.long_side * self.scale)))
        at = seen_at(points / self.design.scale, first.width, first.height, size, MARGIN[reference.kind])
        return f"references/{picture}", at

    def marks(self, weight: float) -> Array:
        """Find three marks near the edge of a version, in mm."""
        black = np.asarray(stencil(self.design, STENCIL_DPI, weight)) < 64
        rows, columns = np.nonzero(black)
        pixels = np.stack([columns, rows], axis=1)
        best = [pixels[np.argmax(pixels @ direction)] for direction in DIRECTIONS]
        return (np.array(best) + 0.5) * 25.4 / STENCIL_DPI


def _design(drawing: Drawing) -> Design:
    hand = FINE if drawing.fine else PRINTED
    return motif(drawing.motif, drawing.width_mm, drawing.seed, drawing.flip, hand, drawing.turn, drawing.bend)


def _heic(im: Image.Image, photo: PhotoFile) -> bytes:
    """Store as a phone does: Display P3, upright, with position and time."""
    pillow_heif.register_heif_opener()
    shot = Shot(photo.taken, position=photo.position)
    return _encoded(
        to_display_p3(im), "HEIF", quality=HEIC_QUALITY, icc_profile=display_p3(), exif=b"Exif\0\0" + exif_block(shot)
    )


def _encoded(im: Image.Image, form: str, **how: object) -> bytes:
    buffer = io.BytesIO()
    im.save(buffer, form, **how)
    return buffer.getvalue()


def _put(path: Path, data: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)

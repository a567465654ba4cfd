"""Draw an archive of many pieces with one fresh photo each, and later photos of some of them, as the demo's are drawn.

The drawings are the demo's own and those of Debian's openclipart-png, whose dark parts and edges become lines and whose
colours become gray tone. A later photo has other light, another turn and slant, another nearness, other softness, other
skin noise and backdrop than the fresh one. The ink is the very drawing, no hand drew it anew, and no skin is real: both
flatter whatever recognises lines.
"""

import datetime as dt
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from PIL import Image

from tests.demo.drawing import MOTIFS, motif
from tests.demo.geom import Array
from tests.demo.limb import Scene
from tests.demo.photo import render
from tests.demo.shade import Maps, ink
from tests.demo.skin import PLACES, TONES

CLIP_ART = Path("/usr/share/openclipart/png")
FOLDERS = (
    *("animals", "plants", "recreation/religion", "tools/weapons", "transportation/boating", "people/bodypart"),
    *("recreation/music", "food/fruit", "geography/astronomy", "buildings/homes", "recreation/holiday"),
)
PPM = 10.0
LONG_SIDE = 1024
_BACKDROPS = ("charcoal", "stone", "black", "slate", "linen")
_KEYS = ((-0.62, -0.42, 0.66), (0.6, -0.4, 0.7), (-0.3, 0.5, 0.8), (0.2, -0.7, 0.6), (-0.75, -0.1, 0.6))
_WIDTHS = {
    "wrist": 38,
    "forearm": 56,
    "upper-arm": 66,
    "arm": 66,
    "calf": 72,
    "thigh": 90,
    "shoulder": 80,
    "ribs": 95,
    "back": 110,
}


@dataclass(frozen=True, slots=True)
class DrawnPiece:
    """One piece: its drawing, where it sits, when it was done, whose it is."""

    number: int
    drawing: str
    place: str
    tone: str
    width_mm: float
    day: dt.date
    client: str

    @property
    def id(self) -> str:
        """Give the folder's name."""
        stem = Path(self.drawing).stem.replace("_", "-")[:24].strip("-").lower()
        return f"{self.day.isoformat()}-{self.number:03d}-{''.join(c if c.isalnum() else '-' for c in stem)}"


def plan_pieces(count: int, seed: int = 11) -> list[DrawnPiece]:
    """Plan so many pieces of two years and some 130 clients, the demo's motifs first."""
    rng = np.random.default_rng(seed)
    clip = sorted(str(path.relative_to(CLIP_ART)) for folder in FOLDERS for path in (CLIP_ART / folder).rglob("*.png"))
    drawings = [*MOTIFS, *rng.permutation(clip).tolist()]
    first, places, tones = dt.date(2024, 9, 2), list(PLACES), list(TONES)
    pieces: list[DrawnPiece] = []
    for drawing in drawings:
        if len(pieces) == count:
            break
        if drawing not in MOTIFS and not _is_fit(CLIP_ART / drawing):
            continue
        number = len(pieces)
        place = places[int(rng.integers(len(places)))]
        pieces.append(
            DrawnPiece(
                number,
                drawing,
                place,
                tones[int(rng.integers(len(tones)))],
                _WIDTHS[place] * float(rng.uniform(0.75, 1.15)),
                first + dt.timedelta(days=round(number * 730 / count)),
                f"C-{1 + int(rng.integers(130)):04d}",
            )
        )
    return pieces


def drawn_ink(piece: DrawnPiece) -> Maps:
    """Give the drawing as ink."""
    if piece.drawing in MOTIFS:
        return ink(motif(piece.drawing, piece.width_mm), PPM, "wash", seed=piece.number)
    lines, tone = _clip_ink(CLIP_ART / piece.drawing, piece.width_mm)
    zero = np.zeros_like(lines)
    return Maps(PPM, lines, tone, zero, (tone > 0).astype(np.float32))


def fresh_photo(piece: DrawnPiece) -> Image.Image:
    """Take the photo of the day."""
    rng = np.random.default_rng([piece.number, 1])
    return _shot(piece, "fresh", float(rng.uniform(-12, 12)), rng, slant=0.0)


def later_photo(piece: DrawnPiece, *, stage: str = "healed") -> Image.Image:
    """Take a photo months later: one in five at any angle, as a client's telephone has it."""
    rng = np.random.default_rng([piece.number, 2])
    tilt = float(rng.uniform(-180, 180)) if rng.random() < 0.2 else float(rng.uniform(-25, 25))
    picture = _shot(piece, stage, tilt, rng, slant=0.10)
    return Image.fromarray(cv2.GaussianBlur(np.asarray(picture), (0, 0), float(rng.uniform(0.3, 1.3))))


def _shot(piece: DrawnPiece, stage: str, tilt: float, rng: np.random.Generator, slant: float) -> Image.Image:
    scene = Scene(
        piece.place,
        piece.tone,
        stage,
        _BACKDROPS[int(rng.integers(len(_BACKDROPS)))],
        int(rng.integers(1, 9999)),
        fill=float(rng.uniform(0.42, 0.72)),
        tilt=tilt,
        portrait=bool(rng.random() < 0.8),
        key=_KEYS[int(rng.integers(len(_KEYS)))],
        shift=(float(rng.normal(0, 3)), float(rng.normal(0, 3))),
        exposure=float(rng.uniform(0.85, 1.15)),
        warmth=float(rng.uniform(-0.3, 0.6)),
    )
    size = (LONG_SIDE * 3 // 4, LONG_SIDE)
    picture = render(drawn_ink(piece), scene, size if scene.portrait else size[::-1])
    return _slanted(picture, slant, rng) if slant else picture


def _slanted(picture: Image.Image, slant: float, rng: np.random.Generator) -> Image.Image:
    """Look at it from the side: the corners move by up to a share of the picture."""
    width, height = picture.size
    corners = np.array([(0, 0), (width, 0), (width, height), (0, height)], np.float32)
    inward = np.array([(1, 1), (-1, 1), (-1, -1), (1, -1)], np.float32)
    moved = corners - inward * rng.uniform(0, slant, (4, 2)).astype(np.float32) * (width, height)
    bent = cv2.getPerspectiveTransform(corners, moved.astype(np.float32))
    return Image.fromarray(cv2.warpPerspective(np.asarray(picture), bent, (width, height), flags=cv2.INTER_AREA))


def _is_fit(path: Path) -> bool:
    """Say whether a picture holds a drawing of some size."""
    with Image.open(path) as opened:
        if min(opened.size) < 120:
            return False
        gray = _flat(opened)
    box = Image.eval(gray, lambda value: 255 * (value < 235)).getbbox()
    return box is not None and 0.25 < (box[2] - box[0]) / max(box[3] - box[1], 1) < 3 and box[2] - box[0] > 110


def _flat(opened: Image.Image) -> Image.Image:
    seen = opened.convert("RGBA")
    paper = Image.new("RGBA", seen.size, "white")
    paper.alpha_composite(seen)
    return paper.convert("L")


def _clip_ink(path: Path, width_mm: float) -> tuple[Array, Array]:
    with Image.open(path) as opened:
        gray = _flat(opened)
    box = Image.eval(gray, lambda value: 255 * (value < 235)).getbbox()
    gray = gray.crop(box)
    # Tall drawings are kept on the limb.
    scale = min(width_mm * PPM / gray.width, 1.25 * width_mm * PPM / gray.height)
    gray = gray.resize((round(gray.width * scale), round(gray.height * scale)), Image.Resampling.BICUBIC)
    pixels = np.pad(np.asarray(gray), 12, constant_values=255)
    edges = cv2.Canny(cv2.GaussianBlur(pixels, (0, 0), 1.5), 30, 80)
    wide = cv2.dilate(edges, np.ones((4, 4), np.uint8))
    lines = np.maximum(wide > 0, pixels < 60).astype(np.float32)
    lines = cv2.GaussianBlur(lines, (0, 0), 0.8)
    tone = np.clip(0.45 * (1 - cv2.GaussianBlur(pixels, (0, 0), 4).astype(np.float32) / 255), 0, 1)
    return lines, tone

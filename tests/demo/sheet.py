"""Contact sheets of the archive, to look at: python -m tests.demo.sheet ARCHIVE photos|stencils|references OUT.png."""

import argparse
from pathlib import Path

import numpy as np
import pillow_heif
from PIL import Image, ImageOps

COLUMNS, CELL = 8, (250, 320)
GROUNDS = {"photos": (24, 24, 25), "references": (24, 24, 25), "stencils": (255, 255, 255)}


def opened(path: Path) -> Image.Image:
    """Open a picture upright, on white, in eight bits."""
    im: Image.Image = Image.open(path)
    if im.mode == "RGB" and im.format == "JPEG":
        im.draft("RGB", (2 * CELL[0], 2 * CELL[1]))
    im = ImageOps.exif_transpose(im)
    if im.mode == "I;16":
        im = Image.fromarray((np.asarray(im) >> 8).astype(np.uint8))
    if im.mode == "LA":
        im = ImageOps.invert(im.getchannel("A"))
    return im.convert("RGB")


def sheet(files: list[Path], ground: tuple[int, int, int]) -> Image.Image:
    """Lay the pictures out in a grid, each whole in its cell."""
    rows = -(-len(files) // COLUMNS)
    out = Image.new("RGB", (COLUMNS * CELL[0], rows * CELL[1]), ground)
    for k, file in enumerate(files):
        im = opened(file)
        im.thumbnail((CELL[0] - 8, CELL[1] - 8), Image.Resampling.LANCZOS)
        x, y = k % COLUMNS * CELL[0], k // COLUMNS * CELL[1]
        out.paste(im, (x + (CELL[0] - im.width) // 2, y + (CELL[1] - im.height) // 2))
    return out


def main() -> int:
    """Write one contact sheet."""
    parser = argparse.ArgumentParser(prog="python -m tests.demo.sheet", description="Lay out the archive's pictures.")
    parser.add_argument("archive", type=Path)
    parser.add_argument("part", choices=sorted(GROUNDS))
    parser.add_argument("out", type=Path)
    given = parser.parse_args()
    pillow_heif.register_heif_opener()
    files = sorted(f for f in given.archive.glob(f"pieces/*/{given.part}/*") if f.suffix != ".pdf")
    sheet(files, GROUNDS[given.part]).save(given.out)
    return 0


if __name__ == "__main__":
    raise SystemExit(main())

"""Draw an archive of many pieces with five pictures each, of few pixels, no two alike.

python -m tests.bench.many_pieces FOLDER [PIECES] [FIRST]
"""

import datetime as dt
import sys
from pathlib import Path

import cv2
import numpy as np
from PIL import Image, ImageDraw

WORDS = ("owl", "moth", "fern", "koi", "peony", "swallow", "branch", "feather", "moon", "lighthouse", "ornament")
PLACES = ("forearm-outer", "forearm-inner", "calf", "upper-arm-outer", "thigh-front")
SETTINGS = """[archive]
title = "Working archive"
[portfolio]
title = "Tattoos"
artist = "T. Sample"
creator = "T. Sample"
copyright = "T. Sample"
"""
RECORD = """title = "{title}"
publish = {publish}
finished = {day}
styles = ["black-and-grey"]
subjects = ["{subject}"]
client = "C-{client:04}"
[size]
width = "62 mm"
height = "83 mm"
[placement]
region = "{place}"
side = "left"
girth = "268 mm"
[[sitting]]
date = {day}
hours = "3h30"
note = "skin slow to take, {n}"
[[needle]]
code = "1003RL"
batch = "N-{box:05}"
[[ink]]
batch = "BK-{bottle:04}"
[[reference]]
file = "references/a.jpg"
source = "https://example.org/{n}"
license = "CC-BY-4.0"
creator = "A. Sample"
[[stencil]]
file = "stencils/one.png"
version = 1
[[stencil]]
file = "stencils/two.png"
version = 2
width = "62 mm"
applied = true
from = ["references/a.jpg"]
[[photo]]
file = "photos/fresh.jpg"
stage = "fresh"
alt = "{title}"
[[photo]]
file = "photos/healed.jpg"
stage = "healed"
cover = true
[release]
status = "granted"
scope = ["portfolio"]
date = {day}
"""


def write_archive(root: Path, pieces: int, first: int = 0) -> None:
    """Write pieces with the numbers from `first` on; one in three may be published."""
    root.mkdir(parents=True, exist_ok=True)
    (root / "archive.toml").write_text(SETTINGS, "utf-8")
    last = first + pieces
    (root / "clients.toml").write_text("".join(f'[[client]]\ncode = "C-{n:04}"\n' for n in range(last // 3 + 1)))
    (root / "inks.toml").write_text(
        "".join(f'[[batch]]\nbatch = "BK-{n:04}"\nname = "black"\n' for n in range(last // 40 + 1))
    )
    for n in range(first, last):
        write_piece(root / "pieces" / f"piece-{n:05}", n)


def write_piece(folder: Path, n: int) -> None:
    """Write the piece with this number."""
    for name in ("photos", "stencils", "references"):
        (folder / name).mkdir(parents=True)
    subject = WORDS[n % len(WORDS)]
    day = dt.date(2012, 1, 1) + dt.timedelta(days=n * 5 % 5000)
    words = {"title": f"{subject.capitalize()} {n}", "publish": str(n % 3 == 0).lower(), "day": day}
    numbers = {"n": n, "client": n // 3, "box": n // 20, "bottle": n // 40}
    record = RECORD.format(**words, **numbers, subject=subject, place=PLACES[n % len(PLACES)])
    (folder / "piece.toml").write_text(record, "utf-8")
    (folder / "notes.md").write_text(f"Left the whiskers one pass only, number {n}.\n", "utf-8")
    rng = np.random.default_rng(n)
    for file in ("photos/fresh.jpg", "photos/healed.jpg", "references/a.jpg"):
        _surface(rng).save(folder / file, quality=80)
    drawing = _drawing(rng)
    drawing.save(folder / "stencils/one.png", optimize=True)
    ImageDraw.Draw(drawing).line([tuple(rng.uniform(8, 110, 2)) for _ in range(3)], 0, 2)
    drawing.save(folder / "stencils/two.png", optimize=True)


def _surface(rng: np.random.Generator) -> Image.Image:
    coarse = rng.integers(30, 226, (7, 6, 3), np.uint8)
    return Image.fromarray(cv2.resize(coarse, (96, 128), interpolation=cv2.INTER_CUBIC))


def _drawing(rng: np.random.Generator) -> Image.Image:
    paper = Image.new("L", (120, 160), 255)
    pen = ImageDraw.Draw(paper)
    for _ in range(6):
        pen.line([tuple(rng.uniform((6, 6), (114, 154))) for _ in range(4)], 0, 2, joint="curve")
    return paper.convert("1").convert("L")


if __name__ == "__main__":
    write_archive(Path(sys.argv[1]), *map(int, sys.argv[2:]))

"""Fifteen pictures as a phone would hold them after two days, and the demo archive without what they show.

Made from the demo's own drawings and photos: frames a little turned, nearer or lighter, with a camera's date. Two
pieces of the demo are taken out, and the healed photo of a third, so that they can be filed again.
"""

import datetime as dt
import re
import shutil
from pathlib import Path

from PIL import Image, ImageEnhance, ImageOps

MUSHROOMS, SNAKE, WRIST, OWL = (
    "2026-05-30-mushrooms",
    "2026-04-11-snake-and-branch",
    "2026-09-05-wrist-ornament",
    "2025-02-08-barn-owl",
)


def archive_before(content: Path, target: Path) -> Path:
    """Copy the demo without the two pieces and the healed photo."""
    shutil.copytree(content, target)
    for piece in (MUSHROOMS, SNAKE):
        shutil.rmtree(target / "pieces" / piece)
    record = target / "pieces" / WRIST / "piece.toml"
    (record.parent / "photos" / "wrist-ornament-healed.jpg").unlink()
    tables = re.split(r"\n\n(?=\[)", record.read_text(encoding="utf-8"))
    record.write_text("\n\n".join(one for one in tables if "healed" not in one and "[[healing]]" not in one))
    return target


def phone_pictures(content: Path, folder: Path) -> list[Path]:
    """Write the pictures and give their places."""
    folder.mkdir(parents=True, exist_ok=True)
    pieces = content / "pieces"
    caps = Image.open(pieces / MUSHROOMS / "photos/mushrooms-fresh.jpg")
    plate = Image.open(pieces / MUSHROOMS / "references/mushroom-plate.jpg")
    snake = Image.open(pieces / SNAKE / "photos/snake-fresh.jpg")
    lines = Image.open(pieces / SNAKE / "photos/snake-lines.jpg")
    healed = Image.open(pieces / WRIST / "photos/wrist-ornament-healed.jpg")
    first, second, third = (dt.datetime(2026, 11, day) for day in (26, 27, 28))  # noqa: DTZ001 - as cameras write it
    shots = [
        ("IMG_2301.jpg", _lighter(_frame(caps, 1.5, 0.02)), first.replace(hour=11, minute=20)),
        ("IMG_2306.jpg", _frame(caps, 0.0, 0.0), first.replace(hour=14, minute=45, second=2)),
        ("IMG_2307.jpg", _frame(caps, 0.6, 0.01), first.replace(hour=14, minute=45, second=4)),
        ("IMG_2309.jpg", _frame(caps, -1.0, 0.09), first.replace(hour=14, minute=46)),
        ("IMG_2311.jpg", _frame(lines, 0.0, 0.0), second.replace(hour=10, minute=40)),
        ("IMG_2315.jpg", _frame(healed, 2.0, 0.02), third.replace(hour=11, minute=10)),
        ("IMG_2318.jpg", _frame(snake, 0.0, 0.0), second.replace(hour=13, minute=50)),
        ("IMG_2319.jpg", _frame(snake, 0.7, 0.01), second.replace(hour=13, minute=50, second=3)),
        ("IMG_2320.jpg", _frame(snake, -0.8, 0.08), second.replace(hour=13, minute=52)),
    ]
    places = [_save(picture, folder / name, taken) for name, picture, taken in shots]
    for source, name in (
        (pieces / MUSHROOMS / "stencils/mushrooms-1.png", "mushrooms-1.png"),
        (pieces / SNAKE / "stencils/snake-1.png", "snake-1.png"),
        (pieces / MUSHROOMS / "references/mushroom-plate.jpg", "mushroom-plate.jpg"),
        (pieces / SNAKE / "references/branch-snake.jpg", "branch-snake.jpg"),
    ):
        shutil.copyfile(source, folder / name)
        places.append(folder / name)
    places.append(_save(_screenshot(plate), folder / "IMG_2299.jpg", None))
    owl = Image.open(next((pieces / OWL / "photos").glob("*fresh*")))
    places.append(_save(ImageOps.grayscale(owl).convert("RGB"), folder / "IMG_1904.jpg", None))
    return places


def _frame(picture: Image.Image, turn: float, nearer: float) -> Image.Image:
    """Turn a photo by some degrees and cut away a share of each edge, as another frame of the same moment."""
    upright = ImageOps.exif_transpose(picture).convert("RGB")
    turned = upright.rotate(turn, Image.Resampling.BICUBIC, expand=False)
    edge = nearer + abs(turn) * 0.015
    width, height = turned.size
    box = (int(width * edge), int(height * edge), int(width * (1 - edge)), int(height * (1 - edge)))
    return turned.crop(box)


def _screenshot(picture: Image.Image) -> Image.Image:
    """Show the picture on a telephone's screen, without any words about it."""
    screen = Image.new("RGB", (1170, 1600), "black")
    shown = ImageOps.contain(picture.convert("RGB"), (1170, 1170))
    screen.paste(shown, (0, 215))
    return screen


def _lighter(picture: Image.Image) -> Image.Image:
    """Take tone away, as before the shading."""
    return ImageEnhance.Contrast(ImageEnhance.Brightness(picture).enhance(1.12)).enhance(0.75)


def _save(picture: Image.Image, place: Path, taken: dt.datetime | None) -> Path:
    exif = Image.Exif()
    if taken:
        exif[0x010F], exif[0x0110] = "Phone", "Phone 1"
        stamp = f"{taken:%Y:%m:%d %H:%M:%S}"
        exif[0x0132] = stamp
        exif.get_ifd(0x8769)[0x9003] = stamp
    picture.save(place, quality=90, exif=exif)
    return place

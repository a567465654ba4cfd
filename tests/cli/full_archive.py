"""A small written archive, and the command line run on it, for the tests of whole commands."""

import hashlib
import os
from pathlib import Path

import pytest
from PIL import Image, ImageDraw

from archgen.cli import main

# Every private text of this archive begins with this, and no public one does.
PRIVATE = "zqpriv"

OWL = f"""
title = "Barn owl"
publish = true
finished = 2026-03-14
styles = ["blackwork"]
subjects = ["nightbird"]
client = "{PRIVATE}-client"
[size]
width = "62 mm"
height = "88 mm"
[placement]
region = "forearm-outer"
side = "left"
girth = "268 mm"
note = "hairline"
[[sitting]]
date = 2026-03-14
hours = "3h30"
note = "{PRIVATE}sitting"
[[healing]]
date = 2026-04-20
note = "{PRIVATE}healing"
[[needle]]
code = "1003RL"
use = "{PRIVATE}needle"
batch = "{PRIVATE}-lot-1"
sterilisation = "{PRIVATE}-lot-2"
expiry = 2028-05-31
[[ink]]
batch = "{PRIVATE}-lot-3"
use = "{PRIVATE}use"
[[reference]]
file = "references/{PRIVATE}owl.jpg"
source = "https://example.org/owl"
creator = "Sample Maker"
license = "CC-BY-4.0"
note = "{PRIVATE}reference"
[[stencil]]
file = "stencils/owl.png"
version = 1
width = "62 mm"
note = "{PRIVATE}stencil"
[[photo]]
file = "photos/owl fresh.jpg"
stage = "fresh"
alt = "An owl on a forearm"
[[photo]]
file = "photos/owl-lines.jpg"
stage = "in-progress"
alt = "{PRIVATE}lines"
[release]
status = "granted"
scope = ["portfolio"]
date = 2026-03-14
expires = 2031-01-01
file = "release.pdf"
note = "{PRIVATE}release"
[rights_override]
reason = "{PRIVATE}override"
"""


def write(root: Path, path: str, text: str) -> Path:
    target = root / path
    target.parent.mkdir(parents=True, exist_ok=True)
    target.write_text(text, encoding="utf-8")
    return target


def draw(root: Path, path: str, shade: int = 120, **save) -> Path:
    """Draw a picture in which every shade has another figure."""
    target = root / path
    target.parent.mkdir(parents=True, exist_ok=True)
    picture = Image.new("RGB", (320, 400), (shade, 150, 140))
    pen = ImageDraw.Draw(picture)
    for step in range(6):
        left = (shade * 7 + step * 53) % 200
        top = (shade * 13 + step * 71) % 300
        pen.ellipse((left, top, left + 90, top + 60), outline=(20, 20, 20), width=5)
    picture.save(target, **save)
    return target


def draw_stencil(root: Path, path: str, step: int = 40) -> Path:
    target = root / path
    target.parent.mkdir(parents=True, exist_ok=True)
    picture = Image.new("L", (600, 800), 255)
    pen = ImageDraw.Draw(picture)
    for offset in range(0, 240, step):
        pen.rectangle((60 + offset, 80 + offset, 540 - offset, 720 - offset), outline=0, width=6)
    picture.save(target)
    return target


def write_archive(root: Path) -> Path:
    """Write one full published piece, one of a single line and one with a line nobody can read."""
    exif = Image.Exif()
    exif[0x010E] = f"{PRIVATE}description"
    exif.get_ifd(0x8825)[1] = "N"
    owl = "pieces/2026-03-14-barn-owl"
    write(root, f"{owl}/piece.toml", OWL)
    write(root, f"{owl}/notes.md", f"# {PRIVATE}notes\n")
    write(root, f"{owl}/story.md", "A **story** told.\n")
    write(root, f"{owl}/release.pdf", "%PDF-1.4\n%%EOF\n")
    draw(root, f"{owl}/photos/owl fresh.jpg", 150, exif=exif)
    draw(root, f"{owl}/photos/owl-lines.jpg", 90)
    draw(root, f"{owl}/photos/{PRIVATE}undescribed.png", 30)
    draw(root, f"{owl}/references/{PRIVATE}owl.jpg", 200)
    draw_stencil(root, f"{owl}/stencils/owl.png")
    write(root, "pieces/2026-05-05-moth/piece.toml", 'title = "Moth"\n')
    draw(root, "pieces/2026-05-05-moth/photos/moth.webp", 220)
    write(root, "pieces/2026-06-01-koi/piece.toml", 'title = "Koi"\n[size]\nwidth = "62 mn"\njust words\n')
    draw(root, "pieces/2026-06-01-koi/photos/koi.jpg", 60)
    write(root, "archive.toml", '[portfolio]\ntitle = "Needlework"\n')
    write(root, "about.md", "# About\n\nHello.\n")
    write(
        root,
        "clients.toml",
        f'[[client]]\ncode = "{PRIVATE}-client"\nname = "{PRIVATE}name"\ncontact = "{PRIVATE}@example.org"\n',
    )
    write(
        root,
        "inks.toml",
        f'[[batch]]\nbatch = "{PRIVATE}-lot-3"\nname = "{PRIVATE}ink"\nmaker = "{PRIVATE}maker"\nexpiry = 2027-08-01\n',
    )
    return root


def run(monkeypatch: pytest.MonkeyPatch, *arguments: str | Path) -> int:
    """Run a command and give its exit code."""
    monkeypatch.setattr("sys.argv", ["archgen", *map(str, arguments)])
    with pytest.raises(SystemExit) as ended:
        main()
    return int(ended.value.code or 0)


def fingerprint(folder: Path) -> dict[str, tuple[str, int]]:
    """Give digest and time of everything below a folder."""
    return {
        str(path.relative_to(folder)): (
            hashlib.sha256(path.read_bytes()).hexdigest() if path.is_file() else "",
            os.lstat(path).st_mtime_ns,
        )
        for path in sorted(folder.rglob("*"))
    }


def tree(out: Path) -> dict[str, str]:
    """Give the digest of every result of a build."""
    return {
        str(path.relative_to(out)): hashlib.sha256(path.read_bytes()).hexdigest()
        for part in ("archive", "portfolio", "sheets")
        for path in sorted((out / part).rglob("*"))
        if path.is_file()
    }

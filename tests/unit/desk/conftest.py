"""A small archive with a desk open on it."""

import datetime as dt
import shutil

import pytest
from PIL import Image, ImageDraw

from archgen.build import Options
from archgen.desk.state import DeskState, SharedProgress
from archgen.intake.plan import What
from archgen.progress import Silent
from tests.unit.desk.asking import Asker

DAY = dt.date(2026, 11, 29)
OWL = """title = "Barn owl"
client = "C-0042"
[size]
width = "62 mm"
height = "88 mm"
[placement]
region = "forearm-outer"
side = "left"
[[sitting]]
date = 2026-03-14
hours = 3
[[needle]]
code = "3RL"
batch = "N-1"
[[needle]]
code = "15 curved mag"
batch = "N-2"
[[ink]]
batch = "BK-1"
[[photo]]
file = "photos/owl.jpg"
stage = "fresh"
"""
CLIENTS = """# who is who
[[client]]
code = "C-0042"
name = "Wilma Tarrenby"
[[client]]
code = "C-0043"
name = "Ida Vesterholt"
"""
INKS = """[[batch]]
batch = "BK-1"
name = "dense black"
opened = 2026-01-10
expiry = 2028-01-01
[[batch]]
batch = "GW2-1"
name = "grey wash 2"
opened = 2026-01-10
recalled = 2026-05-02
[[batch]]
batch = "WH-1"
name = "opaque white"
opened = 2026-01-10
expiry = 2026-06-30
[[batch]]
batch = "GW1-1"
name = "grey wash 1"
opened = 2026-01-10
closed = 2026-03-01
[[box]]
code = "3RL"
batch = "N-9"
opened = 2026-06-01
"""


def photo(place, shade=120, size=(600, 800), taken=None):
    picture = Image.new("RGB", size, (200, 160, 140))
    draw = ImageDraw.Draw(picture)
    # Shades near each other are one drawing; the filed piece has another.
    draw.regular_polygon((300, 400, 170), 3 + shade // 40, outline=(shade, shade // 2, 60), width=14)
    draw.line((100, 100 + shade, 500, 700 - shade), fill=(30, 20, 40), width=9)
    exif = Image.Exif()
    if taken:
        exif[0x010F], exif[0x0110] = "Phone", "Phone 1"
        exif[0x0132] = taken
        exif.get_ifd(0x8769)[0x9003] = taken
    place.parent.mkdir(parents=True, exist_ok=True)
    picture.save(place, quality=90, exif=exif)
    return place


def moth(place, frame, taken):
    """Draw another motif than the owl's, a little moved from frame to frame."""
    picture = Image.new("RGB", (800, 600), (205, 160, 135))
    draw = ImageDraw.Draw(picture)
    at = frame * 6
    for step in range(9):
        draw.polygon(
            ((400 + at, 80 + step * 50), (90 + step * 30, 500), (700 - step * 40, 520 - at)),
            outline=(20, 20, 30),
            width=5,
        )
    draw.rectangle((620, 60 + at, 740, 200), fill=(190, 140, 120))
    exif = Image.Exif()
    exif[0x010F], exif[0x0110], exif[0x0132] = "Phone", "Phone 1", taken
    exif.get_ifd(0x8769)[0x9003] = taken
    place.parent.mkdir(parents=True, exist_ok=True)
    picture.save(place, quality=90, exif=exif)
    return place


def call_them_photos(inbox):
    """Say what the drawn frames are, as an artist does where a guess is wrong."""
    for picture in inbox.plan.pictures:
        if picture.name.startswith("IMG_"):
            inbox.said.what[picture.key] = What.IN_PROGRESS if picture.name == "IMG_1.jpg" else What.FRESH


def stencil(place, dots=(600, 600)):
    picture = Image.new("L", (1000, 800), 255)
    ImageDraw.Draw(picture).ellipse((100, 100, 900, 700), outline=0, width=6)
    place.parent.mkdir(parents=True, exist_ok=True)
    picture.save(place, dpi=dots)
    return place


@pytest.fixture(scope="session")
def read_archive_folder(tmp_path_factory):
    """An archive that was read once, with its build folder."""
    folder = tmp_path_factory.mktemp("desk")
    root = folder / "archive"
    photo(root / "pieces/2026-03-14-barn-owl/photos/owl.jpg", taken="2026:03:14 15:00:00")
    (root / "pieces/2026-03-14-barn-owl/piece.toml").write_text(OWL)
    (root / "clients.toml").write_text(CLIENTS)
    (root / "inks.toml").write_text(INKS)
    (root / "archive.toml").write_text('[archive]\ntitle = "Trial archive"\n')
    opened(root, folder / "archive-built")
    return folder


def copied(folder, place):
    """Copy an archive with its build folder; what a desk still open on it is writing, the copy can do without."""
    return shutil.copytree(folder, place, ignore=shutil.ignore_patterns("*.part"))


def opened(root, out):
    state = DeskState(root, out, Options(workers=1, built_on=DAY), SharedProgress(Silent()))
    state.load()
    assert state.trouble is None
    return state


@pytest.fixture
def state(read_archive_folder, tmp_path):
    """A desk of its own for each test."""
    copied(read_archive_folder, tmp_path / "desk")
    return opened(tmp_path / "desk/archive", tmp_path / "desk/archive-built")


@pytest.fixture(scope="session")
def still_state(read_archive_folder):
    """A desk for tests that write nothing."""
    return opened(read_archive_folder / "archive", read_archive_folder / "archive-built")


@pytest.fixture
def asker(state):
    return Asker(state)


@pytest.fixture(scope="session")
def still(still_state):
    return Asker(still_state)

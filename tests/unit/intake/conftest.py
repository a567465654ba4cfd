"""One small archive and one telephone for the tests of the plan: read once, since nothing here writes."""

import datetime as dt
from types import SimpleNamespace

import pytest
from PIL import Image, ImageOps

from archgen.build import Options, read_catalogue
from archgen.intake.propose import IntakeTools, propose_intake
from archgen.intake.sources import gather
from archgen.progress import Silent
from archgen.storage.cache import Cache
from tests.intake_pictures import file_piece, save, scene, skin, stencil

TODAY = dt.date(2026, 11, 29)
OWL = """title = "Barn owl"
client = "C-0007"
[[sitting]]
date = 2026-09-05
[[photo]]
file = "photos/owl-fresh.jpg"
stage = "fresh"
taken = 2026-09-05
"""
FERN = """title = "Fern"
client = "C-0042"
[[sitting]]
date = 2026-10-01
[[photo]]
file = "photos/fern-fresh.jpg"
stage = "fresh"
"""


def make_filed(root):
    """Two filed pieces, drawings 1 and 2."""
    owl = file_piece(root, "2026-09-05-barn-owl", OWL, owl_fresh=skin(1))
    save(stencil(1), owl / "stencils" / "owl-1.png")
    save(scene(1), owl / "references" / "forest.jpg")
    file_piece(root, "2026-10-01-fern", FERN, fern_fresh=skin(2))
    (root / "clients.toml").write_text('[[client]]\ncode = "C-0007"\n[[client]]\ncode = "C-0042"\n')
    return root


def fill_phone(phone):
    """A new piece of drawing 3 with all that goes with it, a healed owl, a filed photo twice, and more."""
    save(skin(3, done=0.5, seed=3), phone / "IMG_2301.jpg", "2026-11-26 11:20")
    save(skin(3, seed=1), phone / "IMG_2306.jpg", "2026-11-26 14:45")
    save(skin(3, seed=2, shift=(6, -5), turn=1), phone / "IMG_2307.jpg", "2026-11-26 14:46")
    save(stencil(3), phone / "moth-1.png", dpi=(300, 300))
    save(scene(8), phone / "IMG_2299.jpg")
    save(skin(1, red=0.0, turn=15, share=0.6, seed=5), phone / "IMG_2315.jpg", "2026-11-26 17:02")
    save(ImageOps.grayscale(skin(2)), phone / "IMG_1904.jpg", quality=70)
    save(stencil(1).transpose(Image.Transpose.FLIP_LEFT_RIGHT), phone / "owl-mirrored.png")
    (phone / "broken.jpg").write_bytes((phone / "IMG_2306.jpg").read_bytes()[:9000])
    (phone / "copy of IMG_2306.jpg").write_bytes((phone / "IMG_2306.jpg").read_bytes())
    (phone / "clip.mov").write_bytes(b"x")
    return phone


@pytest.fixture(scope="session")
def intake_case(tmp_path_factory):
    """The plan of the telephone, and what it was made with."""
    folder = tmp_path_factory.mktemp("intake")
    root, phone = make_filed(folder / "archive"), fill_phone(folder / "phone")
    (phone / "same.jpg").write_bytes((root / "pieces/2026-10-01-fern/photos/fern-fresh.jpg").read_bytes())
    cache = Cache(folder / "cache")
    catalogue = read_catalogue(root, cache, Options(1, TODAY), Silent())
    tools = IntakeTools(catalogue, cache, Cache(folder / "cache-intake"), 1, Silent())
    with gather([phone], root) as gathered:
        plan = propose_intake(gathered, tools)
    return SimpleNamespace(root=root, phone=phone, catalogue=catalogue, plan=plan, tools=tools, folder=folder)

"""One motif on two people, photographed as the demo's skin is: what is a healed photo, and what the same work again."""

from functools import cache

import pytest
from PIL import Image

from archgen.build import Options, read_catalogue
from archgen.intake.plan import GroupKind, What
from archgen.intake.propose import IntakeTools, propose_intake
from archgen.intake.sources import gather
from archgen.progress import Silent
from archgen.storage.cache import Cache
from tests.demo.drawing import motif
from tests.demo.limb import Scene
from tests.demo.photo import burst, render
from tests.demo.raster import stencil
from tests.demo.shade import ink
from tests.intake_pictures import file_piece, save, scene
from tests.unit.intake.conftest import TODAY

SIZE = (768, 1024)
SWALLOW = """title = "Swallow"
client = "C-0007"
[[sitting]]
date = 2026-02-14
[[photo]]
file = "photos/swallow-fresh.jpg"
stage = "fresh"
taken = 2026-02-14
"""


@cache
def swallow(style):
    return ink(motif("swallow", 60.0), 10.0, style, seed=4)


def shot(where, style="wash"):
    return render(swallow(style), where, SIZE)


@pytest.fixture(scope="module")
def tools(tmp_path_factory):
    folder = tmp_path_factory.mktemp("swallow")
    first = shot(Scene("forearm", "light", "fresh", "stone", 4, fill=0.55, tilt=8))
    file_piece(folder / "archive", "2026-02-14-swallow", SWALLOW, swallow_fresh=first)
    cache = Cache(folder / "cache")
    catalogue = read_catalogue(folder / "archive", cache, Options(1, TODAY), Silent())
    return IntakeTools(catalogue, cache, Cache(folder / "cache-intake"), 1, Silent())


def groups_of(folder, tools):
    with gather([folder], tools.catalogue.config.root) as gathered:
        return propose_intake(gathered, tools).groups


def test_a_healed_photo_alone_is_offered_to_its_piece(tools, tmp_path):
    healed = shot(Scene("forearm", "light", "healed", "slate", 9, fill=0.5, tilt=-6, exposure=0.95))
    save(healed, tmp_path / "IMG_4001.jpg", "2026-06-20 16:02")
    (group,) = groups_of(tmp_path, tools)
    assert (group.kind, group.proposals[0].piece) == (GroupKind.ADDITION, "2026-02-14-swallow")
    assert group.pictures[0].guess.what is What.HEALED
    assert not group.proposals[0].against


def test_the_same_motif_on_another_limb_is_a_new_piece_from_lines_to_fresh(tools, tmp_path):
    there = Scene("calf", "light", "fresh", "charcoal", 31, fill=0.58, tilt=3)
    lines = Scene("calf", "light", "fresh", "slate", 32, fill=0.5, tilt=-4)
    save(shot(lines, "line"), tmp_path / "IMG_4101.jpg", "2026-06-27 11:20")
    for number, one in enumerate(burst(there, 3)):
        save(shot(one), tmp_path / f"IMG_410{number + 5}.jpg", f"2026-06-27 14:4{number + 4}")
    drawn: Image.Image = stencil(motif("swallow", 60.0), 300)
    save(drawn, tmp_path / "bird-1.png", dpi=(300, 300))
    save(scene(41), tmp_path / "IMG_4100.jpg")
    (group,) = groups_of(tmp_path, tools)
    kinds = {one.name: one.guess.what for one in group.pictures}
    assert group.kind is GroupKind.NEW_PIECE
    assert kinds == {
        "IMG_4101.jpg": What.IN_PROGRESS,
        "IMG_4105.jpg": What.FRESH,
        "IMG_4106.jpg": What.FRESH,
        "IMG_4107.jpg": What.FRESH,
        "bird-1.png": What.STENCIL,
        "IMG_4100.jpg": What.REFERENCE,
    }
    first = group.proposals[0]
    assert (first.piece, first.by_lines) == ("2026-02-14-swallow", True)
    assert {"a photo in progress", "a stencil with it", "a reference with it"} <= set(first.against)
    assert "Or does it belong to Swallow?" in group.questions

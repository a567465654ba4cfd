"""Fresh laid on healed and the stencil on both, built from real pictures and looked at by their pixels."""

import datetime as dt
import io
import shutil
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from archgen.build import Options, build
from archgen.progress import Silent
from tests.intake_pictures import save, skin, stencil

pytestmark = pytest.mark.browser

RECORD = """title = "Barn owl"
finished = 2026-03-14
[placement]
region = "forearm-outer"
[[stencil]]
file = "stencils/1.png"
width = "60 mm"
applied = true
[[photo]]
file = "photos/fresh.png"
stage = "fresh"
[[photo]]
file = "photos/healed.png"
stage = "healed"
taken = 2026-05-01
"""
# As much as a long day writes down, and a question to each of whom one can ask.
FULL = """title = "Long-haired dog"
client = "C-0018"
finished = 2026-03-14
styles = ["micro-portrait", "black-and-grey", "botanical"]
subjects = ["dog", "pet", "moth", "fern"]
publish = true
[size]
width = "57 mm"
height = "78 mm"
[placement]
region = "forearm-inner"
side = "left"
girth = "273 mm"
note = "looks at the owner, not at the room"
[[sitting]]
date = 2026-03-14
hours = "4 h 45 min"
note = "eyes first, then stopped and looked, then the rest"
[[healing]]
date = 2026-05-01
note = "eyes bright, left ear a shade lighter than planned, leave it"
[[needle]]
code = "1RL"
use = "fur"
batch = "N-88520"
expiry = 2028-11-30
[[needle]]
code = "bugpin 9RL"
use = "nose, eyes"
batch = "N-88213"
[[needle]]
code = "0805RS"
use = "soft tone under the fur"
batch = "N-88541"
[[ink]]
batch = "BK-1177"
[[ink]]
batch = "GW2-2498"
use = "second tone, fur"
[[ink]]
batch = "WH-0310"
use = "whiskers, light in the eyes"
[[reference]]
file = "references/sharpened.png"
source = "supplied by the client, nothing in writing"
digital_source = "compositeWithTrainedAlgorithmicMedia"
[release]
status = "granted"
scope = ["portfolio"]
date = 2026-03-14
"""
INKS = """[[batch]]
batch = "GW2-2498"
name = "grey wash 2"
maker = "Brackwater"
opened = 2025-02-01
expiry = 2027-08-01
recalled = 2026-05-02
[[batch]]
batch = "BK-1177"
name = "dense black"
maker = "Hollow Tarn"
[[batch]]
batch = "WH-0310"
name = "opaque white"
"""
TURN = {"turn": 14, "share": 0.7, "shift": (20, 30)}


@pytest.fixture(scope="module")
def out(tmp_path_factory):
    root = tmp_path_factory.mktemp("studio")
    owl = root / "content" / "pieces" / "2026-03-14-barn-owl"
    save(stencil(3), owl / "stencils/1.png")
    # The fresh photo is much redder, so that a pixel tells which of the two it is.
    red = np.asarray(skin(3)) * np.array([1.0, 0.6, 0.6])
    save(Image.fromarray(red.astype(np.uint8)), owl / "photos/fresh.png")
    save(skin(3, red=0.0, seed=2, **TURN), owl / "photos/healed.png")
    (owl / "piece.toml").write_text(RECORD)
    alone = root / "content" / "pieces" / "2026-02-01-alone"
    save(stencil(4), alone / "stencils/1.png")
    save(skin(4), alone / "photos/fresh.png")
    (alone / "piece.toml").write_text(RECORD.partition('[[photo]]\nfile = "photos/healed')[0].replace("owl", "alone"))
    full = root / "content" / "pieces" / "2026-03-14-full"
    shutil.copytree(owl, full)
    save(stencil(5), full / "references/sharpened.png")
    save(stencil(6), full / "references/from-messenger.png")
    (full / "piece.toml").write_text(FULL + RECORD.partition("[[stencil]]")[1] + RECORD.partition("[[stencil]]")[2])
    (full / "notes.md").write_text("He died in December, fourteen years old.\n\nTissues on the left shelf.")
    (full / "story.md").write_text("He slept on that arm for fourteen years.")
    (root / "content" / "archive.toml").write_text("")
    (root / "content" / "inks.toml").write_text(INKS)
    build(root / "content", root / "built", Options(1, dt.date(2026, 6, 1)), Silent())
    return root / "built" / "archive" / "pieces"


@pytest.fixture
def owl(out, visit):
    return visit(out / "2026-03-14-barn-owl.html").page


def seen(page, selector=".over-pic"):
    page.wait_for_function("Array.from(document.images).every((one) => one.complete || one.loading === 'lazy')")
    return np.asarray(Image.open(io.BytesIO(page.locator(selector).screenshot())).convert("RGB"), int)


def is_red(pixels):
    """Say for the left and the right third how much of it is the redder, fresh photo."""
    third = pixels.shape[1] // 3
    red = pixels[..., 0] - pixels[..., 1] > 75
    middle = slice(pixels.shape[0] // 3, pixels.shape[0] * 2 // 3)
    return red[middle, third // 2 : third].mean(), red[middle, -third : -third // 2].mean()


def test_the_line_between_fresh_and_healed_moves_by_arrow_keys(owl):
    slider = owl.get_by_role("slider")
    left, right = is_red(seen(owl))
    assert left > 0.7
    assert right < 0.1
    slider.focus()
    owl.keyboard.press("Home")
    assert max(is_red(seen(owl))) < 0.1
    owl.keyboard.press("End")
    assert min(is_red(seen(owl))) > 0.7
    owl.keyboard.press("ArrowLeft")
    assert slider.get_attribute("aria-valuetext") == "99 % fresh, 1 % healed"


def test_the_line_follows_a_finger(owl):
    box = owl.locator(".over-pic").bounding_box()
    y = box["y"] + box["height"] / 2
    owl.mouse.move(box["x"] + box["width"] / 2, y)
    owl.mouse.down()
    owl.mouse.move(box["x"] + box["width"] * 0.9, y, steps=4)
    owl.mouse.up()
    assert 88 <= int(owl.get_by_role("slider").input_value()) <= 98
    assert min(is_red(seen(owl))) > 0.7


def test_it_says_that_it_is_a_proposal(owl):
    said = owl.locator(".over-words").inner_text()
    assert "A proposal: the fresh photo laid on the healed one" in said
    assert "No shift over 1 mm seen." in said


def test_the_stencil_shows_on_both_sides_when_asked_for(owl):
    def violet():
        pixels = seen(owl)
        found = (abs(pixels - [74, 42, 138]) < 40).all(-1)
        half = pixels.shape[1] // 2
        return found[:, : half - 25].sum(), found[:, half + 25 :].sum()

    assert max(violet()) < 20
    owl.get_by_role("button", name="Show the stencil on it").click()
    assert min(violet()) > 100


def test_the_number_keys_lead_to_the_overlay_and_back(owl):
    assert owl.is_visible(".over-pic")
    owl.keyboard.press("1")
    assert owl.is_hidden(".over-pic")
    assert owl.locator("#compare figure").evaluate_all("all => all.every((one) => one.offsetWidth > 0)")
    owl.keyboard.press("4")
    assert owl.is_visible(".over-pic")


def test_without_scripts_both_photos_stand_side_by_side(out, window):
    page = window(java_script_enabled=False)
    page.goto((out / "2026-03-14-barn-owl.html").as_uri())
    assert page.is_hidden(".over")
    boxes = [figure.bounding_box() for figure in page.locator("#compare figure").all()]
    assert boxes[1]["x"] > boxes[0]["x"] + boxes[0]["width"]


def test_on_paper_both_photos_stand_side_by_side(owl):
    owl.emulate_media(media="print")
    assert owl.is_hidden(".over")
    boxes = [figure.bounding_box() for figure in owl.locator("#compare figure").all()]
    assert boxes[1]["x"] > boxes[0]["x"] + boxes[0]["width"] / 2


def test_the_line_is_seen_in_colours_the_reader_has_set(out, window):
    page = window(forced_colors="active")
    page.goto(Path(out / "2026-03-14-barn-owl.html").as_uri())
    before = seen(page)
    page.get_by_role("slider").focus()
    page.keyboard.press("Home")
    middle = before.shape[1] // 2
    changed = abs(before - seen(page)).sum(-1)[:, middle - 2 : middle + 2]
    assert (changed > 120).mean() > 0.5


def test_a_single_photo_takes_the_stencil_too(out, visit):
    page = visit(out / "2026-02-01-alone.html").page
    page.get_by_role("button", name="Show the stencil on it").click()
    box, ink = (page.locator(one).bounding_box() for one in ("#compare .pic img:not([data-ink])", "[data-ink]"))
    assert box == ink
    assert (abs(seen(page, "#compare .pic") - [74, 42, 138]) < 40).all(-1).sum() > 400


@pytest.mark.parametrize(("width", "most"), [(1440, 2400), (390, 4650)])
def test_a_piece_with_much_to_say_stays_within_its_height(out, visit, width, most):
    # Nothing unfolded, 2600 and 5000 px are the most: what is left is for pieces with more versions and longer notes.
    page = visit(out / "2026-03-14-full.html", width=width).page
    assert page.locator(".notice").is_visible()
    assert page.locator(".finding").count() >= 3
    assert page.evaluate("document.documentElement.scrollHeight") <= most


def test_axe_finds_nothing_on_the_overlay(owl, axe):
    owl.get_by_role("button", name="Show the stencil on it").click()
    assert axe(owl) == []

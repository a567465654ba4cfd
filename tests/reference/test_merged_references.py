"""How often the pictures show what a record leaves out: what a reference was merged from, what lies under a stencil.

One archive of drawn pictures, a piece for each manner and seed; the pictures are ours, so what is in them is known. The
manners are those in which references are put together and stencils are drawn: common practice, no source.
"""

import datetime as dt
import itertools

import pytest
from PIL import Image, ImageDraw, ImageOps

from archgen.build import Options, audit_archive
from archgen.progress import Silent
from tests.drawn_twins import SIZE, drawing, photo, piece, save

# One round; more of them say the same (18 of 18 and 15 of 15 in three).
SEEDS = (11,)
RECORD = '[[reference]]\nfile = "references/a.jpg"\nlicense = "own-work"\n'
SOURCE = '[[reference]]\nfile = "references/b.jpg"\nlicense = "InC"\nused = {used}\n'
STENCIL = '[[stencil]]\nfile = "stencils/1.png"\n'


def sheet(width, height, *placed):
    page = Image.new("RGB", (width, height), "white")
    for picture, box in placed:
        page.paste(picture.resize((box[2] - box[0], box[3] - box[1])), box[:2])
    return page


def beside(one, other):
    return sheet(960, 600, (one, (0, 0, 480, 600)), (other, (480, 0, 960, 600)))


def below(one, other):
    return sheet(480, 1200, (one, (0, 0, 480, 600)), (other, (0, 600, 480, 1200)))


def in_a_corner(one, other):
    return sheet(*SIZE, (one, (0, 0, *SIZE)), (other, (216, 270, *SIZE)))


def in_the_middle(one, other):
    return sheet(*SIZE, (one, (0, 0, *SIZE)), (other, (106, 132, 374, 468)))


def mirrored_beside(one, other):
    return beside(one, ImageOps.mirror(other))


def board_of_four(one, other):
    seed = int.from_bytes(other.tobytes()[:3])
    more = (photo(seed + 1), photo(seed + 2))
    boxes = ((0, 0, 480, 600), (480, 0, 960, 600), (0, 600, 480, 1200), (480, 600, 960, 1200))
    return sheet(960, 1200, *zip((one, other, *more), boxes, strict=True))


MERGED = (beside, below, in_a_corner, in_the_middle, mirrored_beside, board_of_four)


def finer(seed):
    return drawing(seed, weight=3)


def mirrored(seed):
    return ImageOps.mirror(drawing(seed, weight=5))


def turned(seed):
    return drawing(seed, weight=5).transpose(Image.Transpose.ROTATE_90)


def smaller_on_a_larger_page(seed):
    page = Image.new("L", (900, 1100), 255)
    page.paste(drawing(seed, weight=5).resize((360, 450)), (250, 300))
    return page


def with_more_lines(seed):
    lines = drawing(seed, weight=5).copy()
    pen = ImageDraw.Draw(lines)
    pen.arc((80, 60, 420, 540), 20, 300, fill=0, width=5)
    pen.line((60, 500, 430, 520), fill=0, width=5)
    return lines


DRAWN = (finer, mirrored, turned, smaller_on_a_larger_page, with_more_lines)


def add(root, start, manner, seed, record):
    return piece(root, f"{start}-{manner.__name__}-{seed}".replace("_", "-"), record)


@pytest.fixture(scope="module")
def findings(tmp_path_factory):
    """Audit all pieces at once; give the codes found at each, by its name."""
    root = tmp_path_factory.mktemp("merged") / "content"
    drawn_from, looked_at = (RECORD + SOURCE.format(used=used) for used in ("true", "false"))
    # Every piece has pictures of its own: one that lies in two pieces is rightly asked about in both.
    fresh = itertools.count(1000)
    for seed in SEEDS:
        for merge in MERGED:
            for start in ("from", "not"):
                one, other, unrelated = (photo(next(fresh)) for _ in range(3))
                folder = add(root, start, merge, seed, drawn_from)
                save(merge(one, other), folder / "references/a.jpg", quality=88)
                save(other if start == "from" else unrelated, folder / "references/b.jpg", quality=80)
        for draw in DRAWN:
            for start in ("after", "other"):
                drawn, unrelated = next(fresh), next(fresh)
                folder = add(root, start, draw, seed, looked_at + STENCIL)
                save(photo(next(fresh)), folder / "references/a.jpg")
                looked = drawing(drawn if start == "after" else unrelated, weight=7)
                save(looked.convert("RGB"), folder / "references/b.jpg")
                save(draw(drawn), folder / "stencils/1.png")
    catalogue = audit_archive(root, root.parent / "out", Options(1, dt.date(2026, 11, 25)), Silent())
    pieces = [one.piece for one in catalogue.overviews.values()]
    return {one.id: {finding.code for finding in catalogue.findings_of(one)} for one in pieces}


def counted(findings, start, code):
    """Give, for each manner, at how many of its pieces the code was found."""
    found = {}
    for name, codes in findings.items():
        if name.startswith(f"{start}-"):
            manner = name.removeprefix(f"{start}-").rpartition("-")[0]
            found[manner] = found.get(manner, 0) + (code in codes)
    return found


def test_what_a_reference_was_merged_from_is_proposed(findings):
    found = counted(findings, "from", "rights.seems-from")
    assert set(found) == {merge.__name__.replace("_", "-") for merge in MERGED}
    assert set(found.values()) == {len(SEEDS)}, found


def test_nothing_is_proposed_where_a_reference_was_merged_from_others(findings):
    assert set(counted(findings, "not", "rights.seems-from").values()) == {0}


def test_what_is_said_to_be_unused_and_lies_under_a_stencil_is_asked_about(findings):
    found = counted(findings, "after", "rights.used-after-all")
    assert set(found) == {draw.__name__.replace("_", "-") for draw in DRAWN}
    assert set(found.values()) == {len(SEEDS)}, found


def test_another_drawing_is_not_asked_about(findings):
    assert set(counted(findings, "other", "rights.used-after-all").values()) == {0}

"""Stencil pictures of every kind become the same marks."""

import numpy as np
import pikepdf
import pytest
from PIL import Image, ImageDraw, ImageFilter

from archgen.errors import InputError
from archgen.stencils.marks import Origin, find_marks, read_marks
from tests.drawn_lines import sign

BOX = (20, 30, 620, 830)


def scan_of(drawing, *, paper=0.8, ink=0.05, slope=0.0, grain=0.012, seed=3):
    """Do what a scanner does: add up light, unevenly lit, with grain, then store it on the sRGB curve."""
    light = ink + (paper - ink) * np.asarray(drawing.filter(ImageFilter.GaussianBlur(0.7)), float) / 255
    light *= 1 - slope * np.linspace(0, 1, light.shape[1])
    light += np.random.default_rng(seed).normal(0, grain, light.shape)
    light = np.clip(light, 0, 1)
    code = np.where(light <= 0.0031308, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055)
    return Image.fromarray(np.round(255 * code).astype(np.uint8))


def save(picture, path, **options):
    picture.save(path, **options)
    return path


def transparent():
    return Image.merge("LA", (Image.new("L", sign().size, 0), Image.eval(sign(), lambda level: 255 - level)))


def sixteen_bit():
    return Image.fromarray((np.asarray(sign(), np.uint16) * 257).astype(np.uint16))


def twelve_bits_in_sixteen():
    return Image.fromarray((np.asarray(sign(), np.uint16) * 16).astype(np.uint16))


@pytest.mark.parametrize(("name", "picture", "options"), [
    ("gray.png", sign, {}), ("gray.jpg", sign, {"quality": 85}), ("gray.tif", sign, {"compression": "tiff_lzw"}),
    ("gray.webp", lambda: sign().convert("RGB"), {"quality": 90}), ("deep.png", sixteen_bit, {}),
    ("twelve.tif", twelve_bits_in_sixteen, {}),
    ("gray.heic", lambda: sign().convert("RGB"), {"quality": 95}), ("clear.png", transparent, {}),
    ("palette.png", lambda: sign().convert("P"), {}), ("fax.tif", lambda: sign().convert("1", dither=0), {}),
    ("cmyk.tif", lambda: sign().convert("CMYK"), {}),
])  # fmt: skip
def test_pictures_of_every_kind_have_the_same_box(name, picture, options, tmp_path):
    marks = read_marks(save(picture(), tmp_path / name, **options))
    assert marks.box == pytest.approx(BOX, abs=0.6)
    assert marks.gray.mode == "L"
    assert marks.warnings == ()


def test_a_picture_is_turned_the_way_its_camera_was_held(tmp_path):
    exif = Image.Exif()
    exif[0x0112] = 6
    path = save(sign().rotate(90, expand=True), tmp_path / "turned.jpg", exif=exif, quality=95)
    marks = read_marks(path)
    assert marks.box == pytest.approx(BOX, abs=1)


SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="66" height="88" viewBox="0 0 66 88">'
    '<rect x="3" y="4" width="60" height="80" fill="none" stroke="#000"/></svg>'
)


def test_an_svg_is_drawn_as_wide_as_the_print_needs(tmp_path):
    path = tmp_path / "drawn.svg"
    path.write_text(SVG)
    marks = read_marks(path, pixels_across=1440)
    # 61 by 81 with the line: half of it stands outside.
    # Twice as wide, so that its edges lie where they are.
    assert marks.width_px == pytest.approx(2880, rel=0.02)
    assert marks.height_px == pytest.approx(marks.width_px * 81 / 61, rel=1e-4)
    assert marks.is_vector


def test_a_pdf_is_drawn_as_wide_as_the_print_needs(tmp_path):
    path = tmp_path / "drawn.pdf"
    with pikepdf.new() as pdf:
        page = pdf.add_blank_page(page_size=(200, 300))
        page.Contents = pdf.make_stream(b"1 0 0 rg 20 30 60 80 re f 0 g 30 40 40 60 re f")
        pdf.save(path)
    marks = read_marks(path, pixels_across=900)
    assert marks.width_px == pytest.approx(1800, rel=0.02)
    assert marks.height_px / marks.width_px == pytest.approx(4 / 3, rel=5e-4)


def test_a_file_of_ink_and_paper_is_known_as_such(tmp_path):
    assert read_marks(save(sign(one_bit=True), tmp_path / "fax.png")).origin is Origin.ONE_BIT
    assert read_marks(save(sign(), tmp_path / "gray.png")).origin is Origin.DRAWN


def test_colored_ink_is_cut_at_its_own_half():
    """Violet lines are dark, not black: half-covered pixels must count as half."""
    violet = Image.eval(sign(), lambda level: 70 + level * 185 // 255)
    marks = find_marks(violet, "violet")
    assert marks.gray.getextrema() == (0, 255)
    assert marks.box == pytest.approx(BOX, abs=0.1)


@pytest.mark.parametrize("paper", [0.5, 0.8, 0.95])
def test_a_scan_is_known_by_its_grain_and_its_paper_becomes_white(paper):
    marks = find_marks(scan_of(sign(), paper=paper), "scan")
    assert marks.origin is Origin.SCANNED
    assert marks.box == pytest.approx(BOX, abs=1)
    assert marks.warnings == ()
    assert np.median(np.asarray(marks.gray)) > 245


def test_a_drawn_jpeg_is_no_scan(tmp_path):
    assert read_marks(save(sign(), tmp_path / "drawn.jpg", quality=70)).origin is Origin.DRAWN


def test_the_marks_of_an_unevenly_lit_scan_are_found_and_the_light_is_named():
    marks = find_marks(scan_of(sign(), slope=0.6), "scan")
    assert marks.box == pytest.approx(BOX, abs=1)
    assert any("unevenly" in said for said in marks.warnings)


def test_a_light_scan_is_warned_of_and_still_cut_at_the_middle_of_its_lines():
    marks = find_marks(scan_of(sign(), ink=0.5), "scan")
    assert any("very light" in said for said in marks.warnings)
    assert marks.box == pytest.approx(BOX, abs=1)


def test_dust_and_the_shadow_of_the_papers_edge_do_not_widen_the_marks():
    sheet = Image.new("L", (1400, 1800), 255)
    sheet.paste(sign(), (300, 400))
    pen = ImageDraw.Draw(sheet)
    pen.rectangle((0, 0, 9, 1799), fill=30)
    pen.point([(1300, 90), (80, 1700)], fill=0)
    marks = find_marks(scan_of(sheet), "scan")
    assert marks.box == pytest.approx((320, 430, 920, 1230), abs=1.5)


def test_gray_lines_that_would_vanish_are_warned_of():
    drawing = sign()
    ImageDraw.Draw(drawing).rectangle((300, 60, 560, 300), outline=170, width=20)
    assert any("light gray" in said for said in find_marks(drawing, "drawing").warnings)


def test_a_negative_is_warned_of():
    assert any("negative" in said for said in find_marks(Image.eval(sign(), lambda level: 255 - level), "n").warnings)


@pytest.mark.parametrize(("level", "words"), [(255, "empty"), (0, "black all over"), (180, "one even tone")])
def test_a_picture_without_a_drawing_is_refused(level, words):
    with pytest.raises(InputError, match=words):
        find_marks(Image.new("L", (300, 200), level), "blank.png")


def test_the_scan_of_a_blank_sheet_is_refused():
    with pytest.raises(InputError):
        find_marks(scan_of(Image.new("L", (600, 500), 255), grain=0.004), "blank.png")


def test_white_lines_on_transparency_are_explained(tmp_path):
    alpha = Image.eval(sign(), lambda level: 255 - level)
    path = save(Image.merge("LA", (Image.new("L", alpha.size, 255), alpha)), tmp_path / "white.png")
    with pytest.raises(InputError, match="save them as black lines"):
        read_marks(path)


@pytest.mark.parametrize("name", ["missing.png", "missing.svg", "missing.pdf"])
def test_a_missing_file_is_named(name, tmp_path):
    with pytest.raises(InputError, match=name):
        read_marks(tmp_path / name)


@pytest.mark.parametrize(("name", "content"), [
    ("words.png", b"not a picture"), ("words.svg", b"<svg"), ("words.pdf", b"%PDF-1.4 nothing"), ("empty.png", b""),
    ("empty.svg", b""), ("empty.pdf", b""),
    ("blank.svg", b'<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"/>'),
])  # fmt: skip
def test_an_unreadable_file_is_one_clear_line(name, content, tmp_path):
    path = tmp_path / name
    path.write_bytes(content)
    with pytest.raises(InputError) as caught:
        read_marks(path)
    assert str(caught.value).startswith(name)
    assert "\n" not in str(caught.value)


def test_a_truncated_picture_is_refused(tmp_path):
    path = save(sign(), tmp_path / "cut.png")
    path.write_bytes(path.read_bytes()[:-1500])
    with pytest.raises(InputError, match=r"cut\.png"):
        read_marks(path)


@pytest.mark.parametrize("times", [3, 40, 300])
def test_a_small_drawing_on_a_large_page_is_drawn_alone_and_as_finely(times, tmp_path):
    path = tmp_path / "small.svg"
    path.write_text(SVG.replace("0 0 66 88", f"{-20 * times} {-9 * times} {66 * times} {88 * times}"))
    marks = read_marks(path, pixels_across=3000)
    assert marks.width_px == pytest.approx(3000, rel=0.02)
    assert marks.height_px / marks.width_px == pytest.approx(81 / 61, rel=2e-4)
    assert marks.gray.width < 3300


def test_a_black_picture_with_light_specks_comes_to_an_end():
    chance = np.random.default_rng(1)
    black = np.where(chance.random((200, 300)) < 0.01, chance.integers(140, 220, (200, 300)), 0)
    marks = find_marks(Image.fromarray(black.astype(np.uint8)), "dark.png", scanned=True)
    assert any("negative" in said for said in marks.warnings)

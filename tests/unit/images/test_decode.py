import numpy as np
import pillow_heif
import pytest
from PIL import Image

from archgen.images import decode
from archgen.picture_facts.facts import Role
from tests.unit.images.pictures import blob, codes, difference, encoded, line_art, photo, read_one


@pytest.fixture
def folder(tmp_path):
    made = tmp_path / "in"
    made.mkdir()
    return made


def seen(folder, name, role=Role.PHOTO):
    result = read_one(folder, name, role)
    assert result.facts, result.findings
    with Image.open(blob(folder, result.facts.screen[0].blob)) as picture:
        picture.load()
    return result, picture


@pytest.mark.parametrize(
    ("name", "file_format"),
    [("p.jpg", "JPEG"), ("p.png", "PNG"), ("p.webp", "WEBP"), ("p.tif", "TIFF"), ("p.avif", "AVIF"), ("p.heic", "HEIF"),
     ("p.gif", "GIF"), ("p.bmp", "BMP"), ("P.JPEG", "JPEG")],
)  # fmt: skip
def test_every_format_is_read(folder, name, file_format):
    options = {"quality": 95} if file_format not in {"PNG", "TIFF", "GIF", "BMP"} else {}
    photo().save(folder / name, file_format, **options)
    result, picture = seen(folder, name)
    assert result.facts.file_format == file_format
    assert not result.findings
    assert difference(picture, photo()) < 6


def test_sixteen_bit_gray_keeps_its_tones(folder):
    ramp = np.tile(np.linspace(0, 65535, 128).astype(np.uint16), (40, 1))
    Image.fromarray(ramp).save(folder / "p.png")
    _, picture = seen(folder, "p.png", Role.STENCIL)
    assert np.abs(np.asarray(picture, int)[0] - np.linspace(0, 255, 128)).max() <= 1


@pytest.mark.parametrize("kind", ["<u2", ">u2", "<i4"])
@pytest.mark.parametrize("bits", [8, 10, 12, 14, 16])
def test_the_tones_of_fewer_bits_than_the_file_has_room_for_are_kept(folder, bits, kind):
    """A scanner's 12 bits in a TIFF of 16, in either order of bytes: white is 4095 there."""
    white = 2**bits - 1
    ramp = np.tile(np.linspace(0, white, 128).round().astype(kind), (40, 1))
    mode = {"<u2": "I;16", ">u2": "I;16B", "<i4": "I"}[kind]
    Image.frombytes(mode, (128, 40), ramp.tobytes()).save(folder / "p.tif")
    for role in (Role.STENCIL, Role.PHOTO):
        _, picture = seen(folder, "p.tif", role)
        assert np.abs(np.asarray(picture.convert("L"), int)[20] - np.linspace(0, 255, 128)).max() <= 3


@pytest.mark.parametrize("mode", ["I;16", "I;16B"])
def test_what_lies_in_the_last_rows_counts_for_the_tones_of_a_large_picture(folder, mode):
    dark = np.full((1200, 1000), 4000, mode.replace("I;16B", ">u2").replace("I;16", "<u2"))
    dark[-20:] = 65535
    Image.frombytes(mode, (1000, 1200), dark.tobytes()).save(folder / "p.tif")
    _, picture = seen(folder, "p.tif", Role.STENCIL)
    assert picture.convert("L").getpixel((500, 100)) == 16


def test_deep_gray_heic_is_read_from_the_decoders_memory_alone(folder, monkeypatch):
    monkeypatch.setattr(pillow_heif.options, "SAVE_HDR_TO_12_BIT", True)
    ramp = np.tile(np.linspace(0, 65535, 128).astype(np.uint16), (40, 1))
    Image.fromarray(ramp).save(folder / "p.heic", quality=-1)
    with decode.open_picture(folder / "p.heic") as opened:
        assert opened.mode == "I;16"
        monkeypatch.setattr(opened.picture, "load", None)
        read = decode.load(opened, 1)
    assert np.abs(np.asarray(read.convert("L"), int)[0] - np.linspace(0, 255, 128)).max() <= 2


@pytest.mark.parametrize("top", [1.0, 255.0])
def test_floating_point_scans_keep_their_tones(folder, top):
    ramp = np.tile(np.linspace(0, top, 128).astype(np.float32), (40, 1))
    Image.fromarray(ramp).save(folder / "p.tif")
    _, picture = seen(folder, "p.tif", Role.STENCIL)
    assert np.abs(np.asarray(picture, int)[0] - np.linspace(0, 255, 128)).max() <= 1


def test_transparency_is_white(folder):
    drawing = Image.new("RGBA", (100, 60), (0, 0, 0, 0))
    drawing.paste((0, 0, 0, 255), (20, 20, 60, 40))
    drawing.save(folder / "s.png")
    result, picture = seen(folder, "s.png", Role.STENCIL)
    assert picture.mode == "L"
    assert picture.getpixel((5, 5)) == 255
    assert picture.getpixel((30, 30)) == 0
    assert result.facts.marks == (20, 20, 60, 40)


@pytest.mark.parametrize("mode", ["LA", "P", "1", "RGB"])
def test_other_kinds_of_transparency_are_white_too(folder, mode):
    drawing = Image.new("L", (100, 60), 128)
    drawing.paste(0, (20, 20, 60, 40))
    if mode == "LA":
        drawing.putalpha(drawing.point(lambda level: 255 if level == 0 else 0))
        drawing.save(folder / "s.png")
    elif mode == "P":
        colors = drawing.convert("RGB").quantize(4)
        colors.save(folder / "s.png", transparency=colors.getpixel((0, 0)))
    elif mode == "RGB":
        drawing.convert("RGB").save(folder / "s.png", transparency=(128, 128, 128))
    else:
        drawing.point(lambda level: 255 if level else 0).convert("1").save(folder / "s.png")
    result, picture = seen(folder, "s.png", Role.STENCIL)
    assert picture.getpixel((5, 5)) == 255
    assert result.facts.marks == (20, 20, 60, 40)


def test_cmyk_without_profile_is_shown_and_noted(folder):
    photo().convert("CMYK").save(folder / "p.jpg", quality=95)
    result, picture = seen(folder, "p.jpg")
    assert codes(result) == ["image.cmyk-without-profile"]
    assert difference(picture, photo()) < 8


def test_a_large_jpeg_is_decoded_small(folder):
    (folder / "p.jpg").write_bytes(encoded(photo(8000, 400), "JPEG"))
    result, picture = seen(folder, "p.jpg")
    assert (result.facts.width, result.facts.height) == (8000, 400)
    assert picture.size == (2000, 100)
    with decode.open_picture(folder / "p.jpg") as opened:
        assert decode.memory_needed(opened, 4, as_gray=False) < 8000 * 400


def test_reducing_in_bands_equals_reducing_the_whole(folder):
    rng = np.random.default_rng(3)
    noise = Image.fromarray(rng.integers(0, 256, (1501, 1703, 3), dtype=np.uint8))
    noise.save(folder / "p.png")
    with decode.open_picture(folder / "p.png") as opened:
        small = decode.load(opened, 4)
    assert small.tobytes() == noise.reduce(4).tobytes()


def test_a_heic_is_read_row_by_row_like_the_whole(folder):
    photo(1001, 1203).save(folder / "p.heic", quality=95)
    with decode.open_picture(folder / "p.heic") as opened:
        small = decode.load(opened, 2)
    with Image.open(folder / "p.heic") as whole:
        assert small.tobytes() == whole.convert("RGB").reduce(2).tobytes()


def test_a_progressive_jpeg_counts_its_buffers(folder):
    photo(1000, 1000).save(folder / "plain.jpg", subsampling="4:2:0")
    photo(1000, 1000).save(folder / "progressive.jpg", progressive=True, subsampling="4:2:0")
    needs = []
    for name in ("plain.jpg", "progressive.jpg"):
        with decode.open_picture(folder / name) as opened:
            needs.append(decode.memory_needed(opened, 1, as_gray=False))
    # Two bytes for each of one and a half samples per pixel (ITU-T T.81: coefficients of up to 12 bits).
    assert needs[1] - needs[0] == 3_000_000


def test_a_progressive_jpeg_whose_head_gives_its_parts_no_room_is_damaged(folder):
    photo(400, 300).save(folder / "p.jpg", progressive=True)
    content = bytearray((folder / "p.jpg").read_bytes())
    frame = content.index(b"\xff\xc2")  # ITU-T T.81, B.2.2: length, precision, lines, samples, number of parts
    for part in range(content[frame + 9]):
        content[frame + 11 + 3 * part] = 0
    (folder / "p.jpg").write_bytes(content)
    with decode.open_picture(folder / "p.jpg") as opened:
        assert decode.memory_needed(opened, 1, as_gray=False) >= 2 * 400 * 300
    assert codes(read_one(folder, "p.jpg")) == ["image.damaged"]


def test_a_stencil_photographed_as_jpeg_is_read_in_gray(folder):
    line_art().convert("RGB").save(folder / "s.jpg", quality=95)
    result, picture = seen(folder, "s.jpg", Role.STENCIL)
    assert picture.mode == "L"
    assert result.facts.marks == (40, 30, 220, 150)


@pytest.mark.parametrize(
    ("name", "dpi", "size"),
    [
        ("fax.jpg", (200, 100), (60, 80)),
        ("fax.png", (200, 100), (60, 80)),
        ("fax.tif", (100, 200), (120, 40)),
        ("turned.jpg", (72, 72), (60, 40)),
        ("rounded.png", (300, 299), (60, 40)),
        ("nonsense.tif", (72, 1), (60, 40)),
        ("untold.png", None, (60, 40)),
    ],
)
def test_dots_that_lie_closer_one_way_are_made_square(folder, name, dpi, size):
    picture = Image.new("L", (60, 40), 255)
    picture.paste(0, (0, 0, 30, 20))
    picture.save(folder / name, **({"dpi": dpi} if dpi else {}))
    with decode.open_picture(folder / name) as opened:
        assert (opened.width, opened.height) == size
        gray = decode.load_gray(opened)
    assert gray.size == size
    middle = size[0] // 2, size[1] // 2
    assert [gray.getpixel((middle[0] + step, middle[1] + step)) < 60 for step in (-4, 4)] == [True, False]


def test_a_large_picture_with_dots_closer_one_way_is_decoded_small_and_square(folder):
    Image.new("RGB", (1600, 800), "tan").save(folder / "wide.jpg", dpi=(204, 98))
    with decode.open_picture(folder / "wide.jpg") as opened:
        assert decode.load(opened, 4).size == (400, 416)

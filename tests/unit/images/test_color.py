import numpy as np
import pytest
from PIL import Image, ImageCms

from archgen.images import color
from tests.unit.images.pictures import P3_COLORANTS, SRGB_COLORANTS, blob, codes, matrix_profile, photo, read_one

P3 = matrix_profile(P3_COLORANTS)


def flat(*value: int) -> Image.Image:
    return Image.new("RGB", (4, 4), value)


def srgb_of_p3(value):
    """Convert by the definitions: SMPTE EG 432-1 and IEC 61966-2-1 primaries, both with the white D65."""

    def to_xyz(primaries):
        xyz = np.array([[x / y, 1, (1 - x - y) / y] for x, y in primaries]).T
        white = np.array([0.3127 / 0.3290, 1, (1 - 0.3127 - 0.3290) / 0.3290])
        return xyz * np.linalg.solve(xyz, white)

    p3 = to_xyz([(0.680, 0.320), (0.265, 0.690), (0.150, 0.060)])
    srgb = to_xyz([(0.64, 0.33), (0.30, 0.60), (0.15, 0.06)])
    code = np.array(value) / 255
    linear = np.where(code <= 0.04045, code / 12.92, ((code + 0.055) / 1.055) ** 2.4)
    out = np.clip(np.linalg.solve(srgb, p3 @ linear), 0, 1)
    return np.where(out <= 0.0031308, out * 12.92, 1.055 * out ** (1 / 2.4) - 0.055) * 255


@pytest.mark.parametrize(
    "value", [(200, 120, 80), (90, 140, 60), (60, 80, 170), (128, 128, 128), (234, 51, 35), (255, 255, 255)]
)
def test_display_p3_lands_where_the_standards_say(value):
    seen = color.to_srgb(flat(*value), P3).getpixel((0, 0))
    assert np.abs(np.array(seen) - srgb_of_p3(value)).max() <= 1.5


def test_the_widest_p3_red_is_the_fullest_srgb_red():
    red, green, blue = color.to_srgb(flat(255, 0, 0), P3).getpixel((0, 0))
    assert (red, green, blue) == (255, 0, 0)


def test_a_profile_that_is_srgb_changes_no_pixel():
    picture = photo()
    assert color.to_srgb(picture.copy(), matrix_profile(SRGB_COLORANTS)).tobytes() == picture.tobytes()


def test_another_gamma_is_followed():
    # 0.5 linear under gamma 1.0 is 188 on the sRGB curve (IEC 61966-2-1).
    seen = color.to_srgb(flat(128, 128, 128), matrix_profile(SRGB_COLORANTS, gamma=1.0)).getpixel((0, 0))
    assert all(abs(level - 188) <= 1 for level in seen)


def test_a_gray_picture_stays_gray_under_a_colour_profile():
    gray = color.to_srgb(Image.new("L", (4, 4), 128), matrix_profile(SRGB_COLORANTS, gamma=1.0))
    assert gray.mode == "L"
    assert abs(gray.getpixel((0, 0)) - 188) <= 1


def test_a_profile_of_another_kind_is_refused():
    with pytest.raises(color.UnusableProfileError):
        color.to_srgb(Image.new("CMYK", (4, 4)), P3)


def test_cmyk_without_profile_is_plain_subtraction():
    assert color.to_srgb(Image.new("CMYK", (4, 4), (0, 255, 255, 0)), None).getpixel((0, 0)) == (255, 0, 0)


def test_lab_pictures_are_understood():
    # CIE L* 50 with a* = b* = 0 (stored as 128) is a neutral of 18.4 % luminance: 119 on the sRGB curve.
    red, green, blue = color.to_srgb(Image.new("LAB", (4, 4), (128, 128, 128)), None).getpixel((0, 0))
    assert all(abs(level - 119) <= 2 for level in (red, green, blue))


@pytest.mark.parametrize("ending", ["jpg", "png", "webp", "tif", "avif", "heic"])
def test_an_embedded_profile_is_followed_in_every_format(tmp_path, ending):
    folder = tmp_path / "in"
    folder.mkdir()
    value = (200, 120, 80)
    options = {"quality": 95} if ending != "png" else {}
    Image.new("RGB", (64, 64), value).save(folder / f"p.{ending}", icc_profile=P3, **options)
    result = read_one(folder, f"p.{ending}")
    with Image.open(blob(folder, result.facts.screen[0].blob)) as seen:
        found = np.array(seen.getpixel((32, 32)))
    assert np.abs(found - srgb_of_p3(value)).max() <= 4
    assert np.abs(found - np.array(value)).max() > 8
    assert codes(result) == []


def by_the_whole_transform(picture, profile):
    return ImageCms.applyTransform(picture, color._transform(profile)[1])


@pytest.mark.parametrize(("profile", "is_quick"), [(P3, True), (matrix_profile(P3_COLORANTS, 1.8), False)])
def test_other_primaries_under_the_same_curve_are_converted_by_themselves(profile, is_quick, monkeypatch):
    noise = Image.fromarray(np.random.default_rng(4).integers(0, 256, (90, 130, 3), np.uint8))
    whole = np.asarray(by_the_whole_transform(noise, profile), np.int16)
    calls, convert = [], color._with_other_primaries
    monkeypatch.setattr(color, "_with_other_primaries", lambda *given: calls.append(1) or convert(*given))
    ours = np.asarray(color.to_srgb(noise.copy(), profile), np.int16)
    assert (np.abs(ours - whole).max() <= 1, bool(calls)) == (True, is_quick)


def test_nearly_every_converted_value_is_the_one_the_definitions_give():
    noise = np.random.default_rng(4).integers(0, 256, (60, 70, 3), np.uint8)
    wanted = np.array([srgb_of_p3(value) for value in noise.reshape(-1, 3)])
    found = np.asarray(color.to_srgb(Image.fromarray(noise), P3), float).reshape(-1, 3)
    # A whole value is half a value away at most; a profile gives its colours to the fourth digit (ICC.1, 4.6).
    assert np.mean(np.abs(found - wanted) > 0.51) < 0.003

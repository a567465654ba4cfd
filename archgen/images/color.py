"""Bring pictures to sRGB by the profile they carry; knows profiles (ICC.1), not files."""

from functools import lru_cache
from io import BytesIO

from PIL import Image, ImageCms

# The profile's kind of colour -> the mode its pictures have.
_MODE = {"RGB": "RGB", "GRAY": "L", "CMYK": "CMYK", "Lab": "LAB"}
# A profile that moves no test colour further than this is sRGB by another name, and a photo of 3 million
# pixels saves the 30 ms that converting takes, more than all its smaller copies together.
_SAME_COLOR = 1


class UnusableProfileError(Exception):
    """The embedded profile is damaged or belongs to another kind of picture."""


def to_srgb(picture: Image.Image, profile: bytes | None) -> Image.Image:
    """Give the picture in sRGB: mode RGB, or L when it has no colour. May change the picture handed in.

    Without a profile RGB and gray are taken as sRGB, CMYK by plain subtraction.

    Raises:
        UnusableProfileError: Call again without the profile.
    """
    if picture.mode == "LAB":
        return _convert(picture, _lab_transform())
    if not profile:
        return picture if picture.mode in {"RGB", "L"} else picture.convert("RGB")
    mode, transform = _transform(profile)
    if picture.mode != mode and (picture.mode, mode) != ("L", "RGB"):
        raise UnusableProfileError
    if transform is None:
        return picture
    converted = _convert(picture.convert(mode), transform)
    return converted.convert("L") if picture.mode == "L" else converted


def _convert(picture: Image.Image, transform: ImageCms.ImageCmsTransform) -> Image.Image:
    if picture.mode == "RGB":
        ImageCms.applyTransform(picture, transform, inPlace=True)
        return picture
    changed = ImageCms.applyTransform(picture, transform)
    assert changed is not None  # noqa: S101  None comes only with inPlace
    return changed


@lru_cache(maxsize=32)
def _transform(profile: bytes) -> tuple[str, ImageCms.ImageCmsTransform | None]:
    """Give the mode a profile is for, and its way to sRGB, None when it is sRGB itself."""
    try:
        source = ImageCms.ImageCmsProfile(BytesIO(profile))
        mode = _MODE[source.profile.xcolor_space.strip()]
        transform = ImageCms.buildTransform(
            source,
            ImageCms.createProfile("sRGB"),
            mode,
            "RGB",
            renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
            flags=ImageCms.Flags.BLACKPOINTCOMPENSATION,
        )
    except (ImageCms.PyCMSError, KeyError, OSError, ValueError) as error:
        raise UnusableProfileError from error
    return mode, None if _changes_nothing(mode, transform) else transform


def _changes_nothing(mode: str, transform: ImageCms.ImageCmsTransform) -> bool:
    if mode not in {"RGB", "L"}:
        return False
    channels = len(Image.new(mode, (1, 1)).getbands())
    levels = range(0, 256, 51)
    colors = (
        [(r, g, b) for r in levels for g in levels for b in levels] if channels == 3 else [(v,) for v in range(256)]
    )
    before = Image.frombytes(mode, (len(colors), 1), bytes(value for color in colors for value in color))
    after = ImageCms.applyTransform(before, transform)
    assert after is not None  # noqa: S101  None comes only with inPlace
    differences = zip(before.convert("RGB").tobytes(), after.tobytes(), strict=True)
    return all(abs(one - other) <= _SAME_COLOR for one, other in differences)


@lru_cache(maxsize=1)
def _lab_transform() -> ImageCms.ImageCmsTransform:
    return ImageCms.buildTransform(ImageCms.createProfile("LAB"), ImageCms.createProfile("sRGB"), "LAB", "RGB")

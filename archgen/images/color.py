"""Bring pictures to sRGB by the profile they carry; knows profiles (ICC.1), not files."""

from functools import lru_cache
from io import BytesIO

import cv2
import numpy as np
import numpy.typing as npt
from PIL import Image, ImageCms

Floats = npt.NDArray[np.float32]

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
    mode, transform, primaries = _transform(profile)
    if picture.mode != mode and (picture.mode, mode) != ("L", "RGB"):
        raise UnusableProfileError
    if transform is None:
        return picture
    if primaries is not None and picture.mode == "RGB":
        return _with_other_primaries(picture, primaries)
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
def _transform(profile: bytes) -> tuple[str, ImageCms.ImageCmsTransform | None, Floats | None]:
    """Give the mode a profile is for, and its way to sRGB, None when it is sRGB itself.

    And the matrix between linear colours, where that way is nothing but other primaries.
    """
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
    if mode not in {"RGB", "L"}:
        return mode, transform, None
    before = _test_colors(mode)
    after = ImageCms.applyTransform(before, transform)
    assert after is not None  # noqa: S101  None comes only with inPlace
    if _are_same(before.convert("RGB"), after):
        return mode, None, None
    primaries = _primaries(source) if mode == "RGB" else None
    if primaries is not None and not _are_same(_with_other_primaries(before, primaries), after):
        primaries = None
    return mode, transform, primaries


def _test_colors(mode: str) -> Image.Image:
    """Give a row of colours: all grays, and of RGB every mixture of eighteen levels besides."""
    grays = bytes(range(256))
    if mode == "L":
        return Image.frombytes(mode, (256, 1), grays)
    mixed = np.stack(np.meshgrid(*[np.arange(0, 256, 15, dtype=np.uint8)] * 3), axis=-1).reshape(-1, 3)
    rows = np.concatenate([np.repeat(np.arange(256, dtype=np.uint8), 3).reshape(-1, 3), mixed])
    return Image.fromarray(rows[None])


def _are_same(one: Image.Image, other: Image.Image) -> bool:
    return bool(np.abs(np.asarray(one, np.int16) - np.asarray(other, np.int16)).max() <= _SAME_COLOR)


def _primaries(source: ImageCms.ImageCmsProfile) -> Floats | None:
    """Give the matrix from the profile's linear colours to those of sRGB (ICC.1, 9.2.44 and the like: in XYZ)."""
    found = [
        [getattr(profile.profile, f"{name}_colorant", None) for name in ("red", "green", "blue")]
        for profile in (source, ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")))
    ]
    if not all(all(colorants) for colorants in found):
        return None
    own, srgb = (np.array([colorant[0] for colorant in colorants if colorant]).T for colorants in found)
    return np.asarray(np.linalg.solve(srgb, own), np.float32)


def _curve() -> tuple[npt.NDArray[np.uint16], npt.NDArray[np.uint8]]:
    """Give the light of each value of sRGB (IEC 61966-2-1) in 65536 steps, and the value of each step."""
    values, steps = np.arange(256) / 255, np.arange(_STEPS) / (_STEPS - 1)
    light = np.where(values <= 0.04045, values / 12.92, ((values + 0.055) / 1.055) ** 2.4)
    back = np.where(steps <= 0.0031308, steps * 12.92, 1.055 * steps ** (1 / 2.4) - 0.055)
    return np.round(light * (_STEPS - 1)).astype(np.uint16), np.round(back * 255).astype(np.uint8)


_STEPS = 1 << 16
_LIGHT, _VALUES = _curve()


def _with_other_primaries(picture: Image.Image, primaries: Floats) -> Image.Image:
    """Convert colours of the same curve, as phones' wide colours are; what sRGB has no value for ends at its edge."""
    before = np.asarray(picture)
    after = np.empty_like(before)
    for top in range(0, len(before), _ROWS):
        light = cv2.transform(cv2.LUT(before[top : top + _ROWS], _LIGHT), primaries)
        cv2.LUT(light, _VALUES, after[top : top + _ROWS])
    return Image.fromarray(after)


# Rows at a time, as many as stay near the processor.
_ROWS = 64


@lru_cache(maxsize=1)
def _lab_transform() -> ImageCms.ImageCmsTransform:
    return ImageCms.buildTransform(ImageCms.createProfile("LAB"), ImageCms.createProfile("sRGB"), "LAB", "RGB")

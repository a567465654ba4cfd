"""Open stencil files: pictures with limits, SVG and PDF drawn; gives upright pictures, judges nothing."""

import warnings
from io import BytesIO
from pathlib import Path

import numpy as np
from PIL import Image, ImageCms, ImageOps, UnidentifiedImageError

from archgen.errors import InputError

# A3 at 1200 dpi in one bit is 278 million pixels; beyond that a picture is a mistake or an attack.
MAX_PIXELS = 300_000_000
# What a drawn vector file may take: A3 at 600 dpi is 70 million.
MAX_DRAWN_PIXELS = 120_000_000
MAX_VECTOR_BYTES = 50_000_000
_VECTOR = {".svg", ".svgz", ".pdf"}
_POINTS_PER_INCH = 72


def is_vector(path: Path) -> bool:
    """Say whether the file is drawn at a resolution of our choice."""
    return path.suffix.lower() in _VECTOR


def open_upright(path: Path) -> Image.Image:
    """Open a picture turned the way its camera or scanner says.

    Raises:
        InputError: The file is missing, damaged, no picture or too large.
    """
    if path.suffix.lower() in {".heic", ".heif"}:
        from pillow_heif import register_heif_opener  # noqa: PLC0415  takes 50 ms that other files need not wait for

        register_heif_opener()
    try:
        with warnings.catch_warnings():
            # Pillow warns at 89 and stops at 179 million pixels; the limit here is our own.
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            with Image.open(path) as picture:
                if picture.width * picture.height > MAX_PIXELS:
                    raise InputError(
                        f"{path.name}: {picture.width} × {picture.height} pixels are too many for one stencil. "
                        "Save it at 600 dots per inch of its printed size."
                    )
                return ImageOps.exif_transpose(picture)
    except FileNotFoundError as error:
        raise InputError(f"{path.name}: there is no such file. Check the name.") from error
    except Image.DecompressionBombError as error:
        raise InputError(
            f"{path.name}: the picture is too large. Save it at 600 dots per inch of its printed size."
        ) from error
    except UnidentifiedImageError as error:
        raise InputError(
            f"{path.name}: this is not a picture archgen can read. Use PNG, JPEG, TIFF, WebP, HEIC, SVG or PDF."
        ) from error
    except (OSError, SyntaxError, ValueError) as error:
        raise InputError(
            f"{path.name}: the picture is damaged or cut short. Save it again from the drawing program."
        ) from error


def on_white(picture: Image.Image) -> Image.Image:
    """Give the picture as 8-bit gray on white, its embedded colours understood."""
    if picture.mode.startswith("I") or picture.mode == "F":
        values = np.asarray(picture, dtype=np.float32)
        top = 255.0 if picture.mode == "F" and float(values.max(initial=0)) <= 255 else 65535.0
        return Image.fromarray(np.clip(values * (255.0 / top) + 0.5, 0, 255).astype(np.uint8))
    if picture.mode in {"1", "L"}:
        return picture.convert("L")
    if picture.mode in {"LA", "PA", "RGBA", "La", "RGBa"} or "transparency" in picture.info:
        rgba = picture.convert("RGBA")
        paper = Image.new("RGBA", rgba.size, "white")
        return Image.alpha_composite(paper, rgba).convert("L")
    return _to_srgb(picture).convert("L")


def _to_srgb(picture: Image.Image) -> Image.Image:
    """Follow an embedded profile where one fits; a broken profile is no reason to refuse a line drawing."""
    profile = picture.info.get("icc_profile")
    if profile and picture.mode in {"RGB", "CMYK"}:
        try:
            source = ImageCms.ImageCmsProfile(BytesIO(profile))
            changed = ImageCms.profileToProfile(picture, source, ImageCms.createProfile("sRGB"), outputMode="RGB")
        except (ImageCms.PyCMSError, OSError):
            changed = None
        if changed is not None:
            return changed
    return picture.convert("RGB")


def draw_vector(path: Path, width_px: int) -> Image.Image:
    """Draw an SVG, or the first page of a PDF, so many pixels wide.

    Raises:
        InputError: The file is missing, damaged, empty or too large to draw.
    """
    try:
        if path.stat().st_size > MAX_VECTOR_BYTES:
            raise InputError(
                f"{path.name}: the file is too large for a drawing. Export it as PNG at 600 dots per inch."
            )
        return _draw_pdf(path, width_px) if path.suffix.lower() == ".pdf" else _draw_svg(path, width_px)
    except FileNotFoundError as error:
        raise InputError(f"{path.name}: there is no such file. Check the name.") from error


def _draw_svg(path: Path, width_px: int) -> Image.Image:
    import resvg_py  # noqa: PLC0415  only SVG files wait for it

    _refuse_too_many(path, width_px, width_px)
    try:
        drawn = resvg_py.svg_to_bytes(svg_path=str(path), width=width_px, background="#ffffff")
        return Image.open(BytesIO(bytes(drawn)))
    except (ValueError, RuntimeError, OSError) as error:
        raise InputError(
            f"{path.name}: the SVG cannot be drawn. Save it again as plain SVG, or export it as PNG."
        ) from error


def _draw_pdf(path: Path, width_px: int) -> Image.Image:
    import pypdfium2  # noqa: PLC0415  only PDF files wait for it

    try:
        document = pypdfium2.PdfDocument(path)
        page = document[0]
        width_pt, height_pt = page.get_size()
        _refuse_too_many(path, width_px, round(width_px * height_pt / width_pt))
        picture: Image.Image = page.render(scale=width_px / width_pt, grayscale=True).to_pil()
        document.close()
    except (pypdfium2.PdfiumError, IndexError, ZeroDivisionError) as error:
        raise InputError(
            f"{path.name}: the PDF cannot be drawn. Remove its password or export the page as PNG."
        ) from error
    return picture


def _refuse_too_many(path: Path, width_px: int, height_px: int) -> None:
    if width_px * height_px > MAX_DRAWN_PIXELS:
        raise InputError(
            f"{path.name}: drawn that large it would take {width_px} × {height_px} pixels. "
            "The drawing is a small part of its page: crop the page to the drawing."
        )

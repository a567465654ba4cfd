"""Make from one decode all that is wanted of a picture: copies, hashes, a stencil's marks; knows no findings."""

from collections.abc import Sequence

import msgspec
from PIL import Image

from archgen.images import color, derivatives, orient
from archgen.metadata.picture_file import PictureFile
from archgen.picture_facts.facts import AVIF, Derivative, Describe
from archgen.stencils import drawn_part
from archgen.stencils.specks import Specks
from archgen.stencils.vector.area import AreaDrawing, DrawnSheet
from archgen.storage.cache import Cache
from archgen.values.frozen import Value


class Copies(msgspec.Struct, frozen=True, kw_only=True):
    """What one decode gave.

    Attributes:
        is_profile_damaged: Whether the embedded colours could not be understood.
        specks: Of a stencil, what lies far beside its drawing.
    """

    screen: tuple[Derivative, ...]
    public: tuple[Derivative, ...]
    print_copy: Derivative
    marks: drawn_part.Box | None = None
    is_profile_damaged: bool = False
    specks: Specks | None = None
    description: str | None = None


class WantedCopies(Value, frozen=True):
    """What is to be made of a picture, and where it is kept."""

    cache: Cache
    public: bool = False
    avif: bool = False
    describe: Describe | None = None


def of_photo(file: PictureFile, factor: int, orientation: int, wanted: WantedCopies) -> Copies:
    """Make the copies of a photo or reference.

    Raises:
        UnusableError: It cannot be decoded.
    """
    small = orient.upright(file.load(factor), orientation)
    try:
        small, damaged = color.to_srgb(small, file.profile), False
    except color.UnusableProfileError:
        small, damaged = color.to_srgb(small, None), True
    sizes = derivatives.halves(small)
    screen = tuple(_keep(wanted.cache, size, derivatives.screen_jpeg(size), ".jpg") for size in sizes)
    return Copies(
        description=_describe(sizes, wanted),
        screen=screen,
        public=_public_copies(sizes, wanted),
        print_copy=screen[derivatives.nearest_to_print([size.size for size in sizes])],
        is_profile_damaged=damaged,
    )


def of_stencil(gray: Image.Image, wanted: WantedCopies) -> Copies:
    """Make the copies of an upright gray stencil."""
    marks, specks = drawn_part.marks_box(gray), drawn_part.specks_beside(gray)
    sizes = _stencil_sizes(gray)
    drawn = gray.crop(marks) if marks else gray
    del gray  # may be 150 megabytes, as may the next one
    return msgspec.structs.replace(_stencil_copies(sizes, drawn, marks, wanted), specks=specks)


def of_sheet(sheet: DrawnSheet, wanted: WantedCopies) -> Copies:
    """Make the copies of a stencil that is an SVG or a PDF."""
    marks = drawn_part.marks_box(sheet.close.gray) if sheet.close else None
    if sheet.close is None or marks is None:
        return of_stencil(sheet.gray, wanted)
    drawn = sheet.close.gray.crop(marks)
    return _stencil_copies(_stencil_sizes(sheet.gray), drawn, _on_sheet(sheet.close, marks), wanted)


def _on_sheet(close: AreaDrawing, marks: drawn_part.Box) -> drawn_part.Box:
    """Give a box of the drawing alone in the pixels of its sheet."""
    left, top = (round(side * close.scale) for side in close.corner)
    return marks[0] + left, marks[1] + top, marks[2] + left, marks[3] + top


def _stencil_sizes(gray: Image.Image) -> list[Image.Image]:
    factor = derivatives.first_factor(*gray.size)
    return derivatives.halves(gray.reduce(factor) if factor > 1 else gray)


def _stencil_copies(
    sizes: Sequence[Image.Image], drawn: Image.Image, marks: drawn_part.Box | None, wanted: WantedCopies
) -> Copies:
    drawn = drawn_part.on_white(drawn)
    return Copies(
        description=_describe(sizes, wanted),
        screen=tuple(_keep(wanted.cache, size, derivatives.gray_png(size), ".png") for size in sizes),
        public=_public_copies(sizes, wanted),
        print_copy=_keep(wanted.cache, drawn, derivatives.gray_png(drawn), ".png"),
        marks=marks,
    )


def _describe(sizes: Sequence[Image.Image], wanted: WantedCopies) -> str | None:
    """Learn from the upright sRGB or gray pixels, largest copy first: the one place for measures of any kind."""
    if wanted.describe is None:
        return None
    middle = sizes[derivatives.nearest_to_print([size.size for size in sizes])]
    return wanted.cache.put_blob(wanted.describe.make(middle), ".bin")


def _public_copies(sizes: Sequence[Image.Image], wanted: WantedCopies) -> tuple[Derivative, ...]:
    if not wanted.public:
        return ()
    usual = list(map(derivatives.public_webp, sizes))
    found = [_keep(wanted.cache, *one, ".webp") for one in zip(sizes, usual, strict=True)]
    if wanted.avif and derivatives.is_worthwhile(smaller := list(map(derivatives.public_avif, sizes)), usual):
        found += [_keep(wanted.cache, *one, AVIF) for one in zip(sizes, smaller, strict=True)]
    return tuple(found)


def _keep(cache: Cache, picture: Image.Image, content: bytes, suffix: str) -> Derivative:
    return Derivative(picture.width, picture.height, cache.put_blob(content, suffix))

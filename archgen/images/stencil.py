"""Find the drawn part of a stencil on its paper; knows gray pixels, not files or millimetres."""

from PIL import Image

Box = tuple[int, int, int, int]

# The paper's tone is looked for in the light half; marks are darker than half way from it to the ink.
_LIGHT = 128
# Paper grain and the noise of a scanner stay within this many levels of the paper's tone.
_GRAIN = 40
# Large sheets are searched at this size first, where single dirty pixels vanish.
_SEARCH_PX = 1500


def marks_box(gray: Image.Image) -> Box | None:
    """Give left, top, right, bottom of what is darker than half way between paper and ink; None on a blank sheet."""
    cut = _half_way(gray.histogram())
    if cut is None:
        return None
    factor = max(max(gray.size) // _SEARCH_PX, 1)
    rough = _dark_box(gray.reduce(factor), cut)
    if rough is None or factor == 1:
        return rough
    left, top = max((rough[0] - 1) * factor, 0), max((rough[1] - 1) * factor, 0)
    right, bottom = min((rough[2] + 1) * factor, gray.width), min((rough[3] + 1) * factor, gray.height)
    exact = _dark_box(gray.crop((left, top, right, bottom)), cut)
    assert exact is not None  # noqa: S101  an average is no darker than its darkest pixel
    return exact[0] + left, exact[1] + top, exact[2] + left, exact[3] + top


def _half_way(histogram: list[int]) -> int | None:
    light = histogram[_LIGHT:]
    paper = light.index(max(light)) + _LIGHT if any(light) else 255
    darkest = next((level for level, count in enumerate(histogram) if count), 255)
    return None if paper - darkest <= _GRAIN else (paper + darkest) // 2


def _dark_box(gray: Image.Image, cut: int) -> Box | None:
    return gray.point([255 if level <= cut else 0 for level in range(256)]).getbbox()

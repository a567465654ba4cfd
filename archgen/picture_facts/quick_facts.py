"""Describe one picture for comparing and make nothing else of it; same pixels and limits as the image stage."""

import datetime as dt
from pathlib import Path

from archgen.images import color, decode, derivatives, orient
from archgen.metadata import tags
from archgen.picture_facts.facts import Describe
from archgen.storage.jobs import Budget


def describe_picture(path: Path, describe: Describe, memory: Budget) -> tuple[bytes, dt.datetime | None]:
    """Give the description and the camera's date.

    Raises:
        UnusableError: The file isn't a picture, damaged, too large or too small.
        OSError: It cannot be read.
    """
    with decode.open_picture(path) as opened:
        factor = derivatives.first_factor(opened.width, opened.height)
        needed = decode.memory_needed(opened, factor, as_gray=False)
        decode.check_memory(opened, needed)
        told = tags.read(opened)
        with memory.hold(needed):
            small = orient.upright(decode.load(opened, factor), told.orientation)
            try:
                small = color.to_srgb(small, opened.profile)
            except color.UnusableProfileError:
                small = color.to_srgb(small, None)
            sizes = derivatives.halves(small)
            return describe.make(sizes[derivatives.nearest_to_print([size.size for size in sizes])]), told.taken

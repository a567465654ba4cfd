"""Describe one picture for comparing and make nothing else of it; same pixels and limits as the image stage."""

import datetime as dt
from pathlib import Path

from archgen.images import color, decode, derivatives, orient
from archgen.metadata.picture_file import open_file
from archgen.picture_facts.facts import Describe
from archgen.storage.jobs import Budget


def describe_picture(path: Path, describe: Describe, memory: Budget) -> tuple[bytes, dt.datetime | None]:
    """Give the description and the camera's date.

    Raises:
        UnusableError: The file isn't a picture, damaged, too large or too small.
        OSError: It cannot be read.
    """
    with open_file(path) as file:
        factor = derivatives.first_factor(file.width, file.height)
        needed = file.memory_needed(factor, as_gray=False)
        decode.check_memory(file, needed)
        told = file.told
        with memory.hold(needed):
            small = orient.upright(file.load(factor), told.orientation)
            try:
                small = color.to_srgb(small, file.profile)
            except color.UnusableProfileError:
                small = color.to_srgb(small, None)
            sizes = derivatives.halves(small)
            return describe.make(sizes[derivatives.nearest_to_print([size.size for size in sizes])]), told.taken

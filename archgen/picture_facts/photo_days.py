"""The day a photo was taken: as the record says, else as the camera wrote into the file."""

import datetime as dt

from archgen.picture_facts.facts import ImageFacts
from archgen.records.model import Photo


def taken_on(photo: Photo | None, facts: ImageFacts | None) -> dt.date | None:
    """Give the recorded day, else the camera's; None where neither is known."""
    if photo and photo.taken:
        return photo.taken
    return facts.taken.date() if facts and facts.taken else None
